/** The one quick loop over the readings of a study, against the words of definitions 5 and 7 taken one by one. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { blockKey } from '#core/readings/shift-occurrence.ts';
import { chooseReadings, toolPhaseStarts } from '#core/study/choose-readings.ts';
import { plantOf, start, tool } from './plant-of.ts';

const hour = 3_600_000;
const tools = [
  tool('T-1'),
  tool('T-2', { calibratedOn: start + 20 * hour }),
  tool('T-3', { events: [{ at: start + 9 * hour, kind: 'repair', note: null }] }),
];

interface Row {
  readonly at: number;
  readonly step: number;
  readonly tool: number;
  readonly revision: number;
  readonly unjudged: number;
  readonly wanted: boolean;
  readonly value: number;
  readonly decimals: number;
}

const row: fc.Arbitrary<Row> = fc.record({
  // Over two days, so that shifts, the gap between them and midnight are all met; some step back.
  at: fc.integer({ min: 0, max: 96 }).map((half) => start + (half * hour) / 2),
  step: fc.constantFrom(0, 2, 2, 2, 3, 4),
  tool: fc.integer({ min: -1, max: 2 }),
  revision: fc.constantFrom(-1, 0, 1, 1, 2, 2),
  unjudged: fc.constantFrom(0, 0, 0, 1, 2),
  wanted: fc.boolean(),
  value: fc.constantFrom(24, 24.5, Number.NaN),
  decimals: fc.integer({ min: 0, max: 3 }),
});

/** Numbers keys from 0 in order of first appearance. */
function numbered(keys: readonly string[]): number[] {
  const found = new Map<string, number>();
  return keys.map((key) => {
    const number = found.get(key) ?? found.size;
    found.set(key, number);
    return number;
  });
}

test('chooses, numbers and counts as the definitions say', () => {
  fc.assert(
    fc.property(
      fc.array(row, { maxLength: 60 }),
      fc.boolean(),
      fc.constantFrom(null, [true, true, true], [false, true, true], [false, false, true]),
      fc.boolean(),
      (rows, allTries, revisionFits, ordinary) => {
        // Half of the cases are of what is usual: nothing left away, times rising.
        const all = ordinary
          ? rows
              .map((one) => ({ ...one, step: 2, revision: 2, unjudged: 0, wanted: true, value: 24 }))
              .sort((a, b) => a.at - b.at)
          : rows;
        const plant = plantOf(
          all.map((one) => ({ value: 24, at: one.step === 0 ? Number.NaN : one.at })),
          { tools },
        );
        const { readings, judged, register } = plant;
        all.forEach((one, i) => {
          readings.atStep[i] = one.step;
          readings.tool[i] = one.tool;
          readings.decimals[i] = one.decimals;
          judged.revision[i] = one.revision;
          judged.unjudgedBecause[i] = one.unjudged;
        });
        const inScope = Uint32Array.from(all, (_, i) => i);
        // A reading in the other direction is no try.
        const wanted = Uint8Array.from(all, (one) => (one.wanted && one.unjudged !== 1 ? 1 : 0));
        const before = inScope.slice();
        const chosen = chooseReadings(plant, {
          inScope,
          source: Float64Array.from(all, (one) => one.value),
          tries: allTries ? null : wanted,
          revisionFits,
          revisions: 3,
        });
        expect(inScope).toEqual(before);

        const counts = { otherDirection: 0, furtherTries: 0, noValue: 0, otherRevisions: 0 };
        const kept: number[] = [];
        all.forEach((one, i) => {
          if (one.unjudged === 1) counts.otherDirection++;
          else if (!allTries && !one.wanted) counts.furtherTries++;
          else if (Number.isNaN(one.value)) counts.noValue++;
          else if (revisionFits !== null && revisionFits[one.revision] !== true) counts.otherRevisions++;
          else kept.push(i);
        });
        expect(chosen.counts).toEqual(counts);
        expect([...chosen.positions]).toEqual(kept);
        expect([...chosen.values]).toEqual(kept.map((i) => all[i]!.value));
        expect(chosen.decimals).toBe(Math.max(0, ...kept.map((i) => all[i]!.decimals)));

        const block = (i: number): number => blockKey(register.shifts, readings.at[i]!, readings.atStep[i]!);
        const strata = numbered(kept.map((i) => `${all[i]!.tool} ${all[i]!.revision} ${block(i)}`));
        expect([...chosen.strata]).toEqual(strata);
        expect(chosen.strataCount).toBe(new Set(strata).size);
        chosen.strata.forEach((stratum, k) => {
          const own = block(kept[k]!);
          expect(chosen.blockOfStratum[stratum]).toBe(Number.isNaN(own) ? -1 : own);
        });

        const since = (times: readonly number[], i: number): number =>
          times.filter((time) => time <= readings.at[i]!).length;
        const ownEvents = (i: number): number => {
          const own = register.tools[all[i]!.tool];
          return own ? since(toolPhaseStarts(own), i) : 0;
        };
        const sameParts = (a: readonly number[], b: readonly number[]): void => {
          expect(numbered(a.map(String))).toEqual(numbered(b.map(String)));
        };
        sameParts([...chosen.runOf], numbered(kept.map((i) => `${all[i]!.tool} ${all[i]!.revision} ${ownEvents(i)}`)));
        const met = new Set(kept.map((i) => all[i]!.tool));
        const events = [...new Set(register.tools.flatMap((one, t) => (met.has(t) ? toolPhaseStarts(one) : [])))];
        sameParts([...chosen.phase], numbered(kept.map((i) => `${all[i]!.revision} ${since(events, i)}`)));
      },
    ),
    { numRuns: 1500 },
  );
});

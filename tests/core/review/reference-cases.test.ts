/** Every case of definitions-review.json (definitions 2 to 4), named file#id. */
import { describe, expect, it } from 'vitest';
import { judgeAll } from '#core/judging/judge.ts';
import { failReasons, unjudgedCodes } from '#core/judging/judged.ts';
import { emptyColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import type { Scope } from '#core/readings/scope.ts';
import { everything } from '#core/readings/scope.ts';
import { selectReadings } from '#core/readings/select-readings.ts';
import { blockKey, blockOfKey, shiftOccurrence } from '#core/readings/shift-occurrence.ts';
import { fallsAndNeverRises } from '#core/readings/time-order.ts';
import type { Shift } from '#core/register/register.ts';
import { percentLimit } from '#core/register/register-file.ts';
import { batchesOf } from '#core/review/batches.ts';
import { fastenerChains } from '#core/review/chains.ts';
import { reviewTally } from '#core/review/review-tally.ts';
import { benjaminiHochberg } from '#core/stats/benjamini-hochberg.ts';
import { fisherExact } from '#core/stats/fisher-exact.ts';
import { clopperPearsonInterval, wilsonInterval } from '#core/stats/proportion-interval.ts';
import { civilText, msPerDay, parseCivil } from '#core/time/civil-time.ts';
import { convertTorque, isTorqueUnit } from '#core/units/torque-unit.ts';
import { expectNear, referenceCases } from '../drift/reference.ts';
import { assemble, civil, plantOf, registerOf, type TestReading } from '../support/plant-of.ts';

const file = 'definitions-review.json';
const cases = referenceCases(file);
const starting = (prefix: string) => cases.filter((one) => one.id.startsWith(prefix));
const seen = new Set<string>();
const each = (prefix: string, run: (one: (typeof cases)[number]) => void): void => {
  for (const one of starting(prefix)) {
    seen.add(one.id);
    it(`${file}#${one.id}`, () => run(one));
  }
};

describe('rates, tests and adjusted p', () => {
  each('rates', ({ input, expect: want }) => {
    input.k_n.forEach(([k, n]: [number, number], row: number) => {
      const wilson = wilsonInterval(k, n);
      expectNear(wilson.low, want.wilson[row][0]);
      expectNear(wilson.high, want.wilson[row][1]);
      const exact = clopperPearsonInterval(k, n);
      expectNear(exact.low, want.exact[row][0]);
      expectNear(exact.high, want.exact[row][1]);
    });
    const p = input.tables_cell_pass_cell_fail_rest_pass_rest_fail_columnwise.map(
      ([a, b, c, d]: [number, number, number, number]) => fisherExact(a, b, c, d),
    );
    p.forEach((value: number, row: number) => {
      expectNear(value, want.fisher[row]);
    });
    benjaminiHochberg(p).forEach((value, row) => {
      expectNear(value, want.bh_fisher[row]);
    });
    benjaminiHochberg(input.bh_ties).forEach((value, row) => {
      expectNear(value, want.bh_ties[row]);
    });
  });
});

describe('order', () => {
  each('order-', ({ input, expect: want }) => {
    if (input.readings) {
      const rows = input.readings as { id: string; tool: string; at: string }[];
      const plant = plantOf(rows.map(({ tool, at }) => ({ tool, at })));
      expect(Array.from(plant.order, (i) => rows[i]!.id)).toEqual(want.ids_in_order);
      return;
    }
    const rows = input.file as { line: number; at: string; sequence?: number }[];
    const newestFirst = fallsAndNeverRises(rows.map((row) => civil(row.at)));
    const plant = plantOf(
      rows.map((row) => ({ at: row.at, line: row.line, sequence: row.sequence ?? null })),
      { sources: [{ newestFirst }] },
    );
    const lines = Array.from(plant.order, (i) => plant.readings.line[i]!);
    expect(lines).toEqual(want.order_within_tool ?? want.lines_in_order);
    if (want.order_within_file) expect(newestFirst).toBe(false);
  });
});

interface FileShift {
  readonly name: string;
  readonly start: string;
  readonly end: string;
}

const shiftsOf = (shifts: readonly FileShift[]): readonly Shift[] => registerOf({ shifts }).shifts;
const dayText = (day: number): string => civilText(day, msPerDay);

describe('shifts and blocks', () => {
  each('shift-', ({ input, expect: want }) => {
    const shifts = shiftsOf(input.shifts);
    const times = (Array.isArray(input.at) ? input.at : [input.at]) as string[];
    const found = times.map((text) => {
      const parsed = parseCivil(text)!;
      const step = parsed.hasTime ? 2 : 4;
      const occurrence = shiftOccurrence(shifts, parsed.at, step)!;
      const block = blockOfKey(blockKey(shifts, parsed.at, step));
      // One key a block: the key must lead back to the same occurrence.
      expect(block).toEqual(occurrence);
      return { shift: shifts[occurrence.shift]?.name ?? null, day: dayText(occurrence.day) };
    });
    if (want.blocks) expect(found.map((one) => one.day)).toEqual(want.blocks);
    if ('shift' in want) expect(found[0]!.shift).toBe(want.shift);
    if (want.occurrence) expect(found[0]!.day).toBe(want.occurrence);
    if (want.block) expect(found[0]!.day).toBe(want.block);
    if (want.day) expect(found[0]!.day).toBe(want.day);
  });
});

describe('scope', () => {
  each('scope-', ({ input, expect: want }) => {
    const from = parseCivil(input.from)!;
    const to = parseCivil(input.to)!;
    const scope: Scope = {
      ...everything,
      from: from.at,
      // A bare date as the end includes that whole day.
      to: to.hasTime ? to.at : to.at + msPerDay,
      shifts: input.shift ? [input.shift] : [],
    };
    const plant = plantOf([{ at: input.at }], { register: { shifts: input.shifts ?? [] } });
    expect(selectReadings(plant, scope).length).toBe(want.inside ? 1 : 0);
  });
});

function verdictOf(reading: TestReading, limits: readonly object[], direction = 'cw') {
  const plant = plantOf([{ joint: 'J', ...reading }], { register: { joints: [{ name: 'J', direction, limits }] } });
  const { judged } = plant;
  return {
    verdict: ['unjudged', 'pass', 'fail'][judged.verdict[0]!],
    unjudgedBecause: unjudgedCodes[judged.unjudgedBecause[0]!],
    reasons: failReasons(judged.reasons[0]!),
  };
}

describe('judging', () => {
  each('revision-', ({ input, expect: want }) => {
    const limits = input.limits.map((one: object) => ({ unit: 'N.m', ...one }));
    const got = verdictOf({ at: input.at, torque: input.torque }, limits);
    expect(got).toMatchObject(want);
  });
  each('judge-', ({ input, expect: want }) => {
    if (!isTorqueUnit(input.unit)) throw new Error(input.unit);
    const limits = [{ from: '2026-01-01', unit: input.limits_unit, low: Number(input.low), high: Number(input.high) }];
    const got = verdictOf({ at: '2026-03-05', torque: Number(input.torque), unit: input.unit }, limits);
    expect(got.verdict).toBe(want.verdict);
  });
  each('percent-', ({ input, expect: want }) => {
    expectNear(percentLimit(Number(input.target), Number(input.minus_percent)), want.low, 4e-16);
    expectNear(percentLimit(Number(input.target), Number(input.plus_percent)), want.high, 4e-16);
    const register = registerOf({
      joints: [
        {
          name: 'J',
          limits: [
            {
              from: '2026-01-01',
              unit: 'N.m',
              target: Number(input.target),
              lowPercent: Number(input.minus_percent),
              highPercent: Number(input.plus_percent),
            },
          ],
        },
      ],
    });
    expectNear(register.joints[0]!.revisions[0]!.low!, want.low, 4e-16);
    expectNear(register.joints[0]!.revisions[0]!.high!, want.high, 4e-16);
  });
  each('verdict-', ({ input, expect: want }) => {
    const limits = [{ from: '2026-01-01', unit: 'N.m', ...input.limits }];
    const got = verdictOf({ at: '2026-03-05', ...input.reading }, limits, input.direction);
    expect(got).toMatchObject(want);
  });
});

/** Chains with verdicts given, not judged: torque stands for the verdict. */
const torqueFor: Readonly<Record<string, number | null>> = {
  pass: 10,
  fail: 1,
  unjudged: null,
  'other-direction': -10,
};

interface ChainReading {
  readonly second: number;
  readonly tool: string;
  readonly joint?: string;
  readonly fastener?: string;
  readonly verdict: string;
}

function chainPlant(input: { readings: ChainReading[]; retryWithinSeconds?: number; minute?: boolean }): Plant {
  const joints = [...new Set(input.readings.map((one) => one.joint ?? 'J'))];
  return plantOf(
    input.readings.map((one) => ({
      at: civil('2026-03-05T10:00:00') + one.second * 1000,
      atStep: input.minute ? 3 : 2,
      tool: one.tool,
      joint: one.joint ?? 'J',
      fastener: one.fastener ?? null,
      torque: torqueFor[one.verdict] ?? null,
    })),
    {
      register: {
        joints: joints.map((name) => ({
          name,
          limits: [
            {
              from: '2026-01-01',
              unit: 'N.m',
              low: 5,
              high: 15,
              retryWithinSeconds: input.retryWithinSeconds ?? null,
            },
          ],
        })),
      },
    },
  );
}

describe('chains of tries', () => {
  each('chain-', ({ id, input, expect: want }) => {
    const plant = chainPlant(input);
    const chains = fastenerChains(plant);
    const attempts = Array.from(chains.attempt, (attempt) => (attempt === 0 ? null : attempt));
    expect(attempts).toEqual(want.attempt);
    if (want.fastener) {
      expect(Array.from(chains.fastener, (number) => (number < 0 ? null : number + 1))).toEqual(want.fastener);
    }
    const tally = reviewTally(plant, everything);
    expect({ passes: tally.firstPassed, of: tally.firstJudged }).toEqual(want.firstPass);
    expect({ passes: tally.lastPassed, of: tally.lastJudged }).toEqual(want.final);
    if (want.readingsPass) {
      expect({ passes: tally.pass, of: tally.pass + tally.fail }).toEqual(want.readingsPass);
    }
    if (id === 'chain-other-direction-between') expect(Array.from(chains.loosened)).toEqual([0, 0, 1, 0]);
  });
});

const noRetry = { from: '2026-01-01', unit: 'N.m', low: 5, high: 15 };

describe('batches', () => {
  each('batch-by-position', ({ input, expect: want }) => {
    const plant = plantOf(
      input.positions.map((position: number, k: number) => ({
        at: civil('2026-03-05T10:00:00') + k * 20_000,
        joint: 'J',
        torque: 10,
        position,
      })),
      { register: { joints: [{ name: 'J', limits: [{ ...noRetry, batchSize: input.batchSize }] }] } },
    );
    expect(rowsOf(plant)).toEqual(want.batches);
  });
  each('batch-by-time', ({ input, expect: want }) => {
    const start = civil('2026-03-05T10:00:00');
    const rows: TestReading[] = [];
    input.chains.forEach((chain: { start: number; end: number; joint: string }, k: number) => {
      // A chain that ends later than it starts: a failed try and its repetition, by identity.
      const fastener = chain.end > chain.start ? `F${k}` : null;
      const common = { joint: chain.joint, fastener };
      rows.push({ ...common, at: start + chain.start * 1000, torque: fastener ? 1 : 10 });
      if (fastener) rows.push({ ...common, at: start + chain.end * 1000, torque: 10 });
    });
    const plant = plantOf(rows, {
      register: {
        joints: Object.entries(input.batchSize).map(([name, batchSize]) => ({
          name,
          limits: [{ ...noRetry, batchSize }],
        })),
      },
    });
    const all = batchesOf(plant);
    const got = Array.from({ length: all.count }, (_, b) => [
      plant.register.joints[all.joint[b]!]!.name,
      all.distinct[b],
    ]);
    expect(got).toEqual(want.batches);
  });
  each('batch-untellable', () => {
    const plant = plantOf(
      [0, 30, 60].map((second) => ({ at: civil('2026-03-05T10:00:00') + second * 1000, joint: 'J', torque: 10 })),
      { register: { joints: [{ name: 'J', limits: [{ ...noRetry, batchSize: 2 }] }] } },
    );
    const all = batchesOf(plant);
    expect(all.count).toBe(0);
    expect(all.untold.length).toBe(3);
  });
});

function rowsOf(plant: Plant): { distinct: number; missing: number; surplus: number }[] {
  const all = batchesOf(plant);
  return Array.from({ length: all.count }, (_, b) => ({
    distinct: all.distinct[b]!,
    missing: Math.max(0, all.size[b]! - all.distinct[b]!),
    surplus: Math.max(0, all.distinct[b]! - all.size[b]!),
  }));
}

it('every case of the file is one of the tests above', () => {
  expect(cases.filter((one) => !seen.has(one.id)).map((one) => one.id)).toEqual([]);
});

it('judges nothing and orders nothing without readings', () => {
  const readings = emptyColumns(0);
  const register = registerOf({});
  expect(judgeAll(readings, register).verdict.length).toBe(0);
  expect(assemble(readings, register, [], { fasteners: [], batches: [] }).order.length).toBe(0);
  expect(convertTorque(1, 'N.m', 'N.m')).toBe(1);
});

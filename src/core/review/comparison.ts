import type { PeriodComparison } from '../contract/models/review-model.ts';
import { verdictPass } from '../judging/judged.ts';
import type { Plant } from '../readings/plant.ts';
import type { Scope } from '../readings/scope.ts';
import { selectReadings } from '../readings/select-readings.ts';
import { occurrenceSpan } from '../readings/shift-occurrence.ts';
import { said } from '../text/said.ts';
import { msPerDay } from '../time/civil-time.ts';
import { fastenerChains } from './chains.ts';
import { fastenerRate, rateDifference } from './fastener-rates.ts';
import { periodOf } from './period-of.ts';
import type { ReviewTally } from './review-tally.ts';

/** How far back a shift with readings is looked for: over a long weekend. */
const daysBack = 5;
/** Both ends of a compared scope are given: its readings are not asked. */
const noEnds = { earliest: Number.POSITIVE_INFINITY, latest: Number.NEGATIVE_INFINITY };

/** The scope against the shift or period before it and against the same one a week before; those with readings. */
export function comparisons(plant: Plant, scope: Scope, tally: ReviewTally): PeriodComparison[] {
  if (scope.from === null || scope.to === null || scope.to <= scope.from) return [];
  const now = fastenerRate(tally.fasteners, tally.firstJudged, tally.firstPassed);
  const week: Scope = { ...scope, from: scope.from - 7 * msPerDay, to: scope.to - 7 * msPerDay };
  const previous = previousScope(plant, scope);
  const candidates = [
    { kind: 'previous' as const, scope: previous },
    // Of a whole week the week before is the period before: once is enough.
    { kind: 'week-before' as const, scope: previous !== null && sameScope(previous, week) ? null : week },
  ];
  return candidates.flatMap(({ kind, scope: other }) => {
    if (other === null) return [];
    const selection = selectReadings(plant, other);
    if (selection.length === 0) return [];
    const { firstPass, failing } = firstPassOf(plant, selection);
    const difference = rateDifference(now, firstPass);
    const period = periodOf(plant, other, noEnds);
    const from = period.from ?? 0;
    const shift = period.shift;
    return [
      {
        kind,
        label: said(kind === 'previous' ? 'review.compare-previous' : 'review.compare-week', {
          shift,
          from,
          to: period.to ?? from,
        }),
        from,
        to: period.to ?? from,
        firstPass,
        failing,
        difference,
        said: said('review.compare', {
          share: firstPass.share,
          judged: firstPass.judged,
          value: difference?.value ?? null,
          low95: difference?.low95 ?? null,
          high95: difference?.high95 ?? null,
        }),
      },
    ];
  });
}

const sameScope = (a: Scope, b: Scope): boolean =>
  a.from === b.from && a.to === b.to && a.shifts.join() === b.shifts.join();

/** The last shift occurrence with readings before a single one, or the period of the same length just before. */
function previousScope(plant: Plant, scope: Scope): Scope | null {
  const { from, to } = scope;
  if (from === null || to === null) return null;
  const { shifts } = plant.register;
  const single = scope.shifts.length === 1 && from % msPerDay === 0 && to - from === msPerDay;
  const shift = shifts.findIndex((one) => one.name === scope.shifts[0]);
  if (!single || shift < 0) return { ...scope, from: from - (to - from), to: from };
  const start = occurrenceSpan(shifts, { shift, day: from }).from;
  const before: { name: string; day: number; from: number }[] = [];
  for (let back = 0; back <= daysBack; back++) {
    const day = from - back * msPerDay;
    shifts.forEach((one, position) => {
      const span = occurrenceSpan(shifts, { shift: position, day });
      if (span.to <= start) before.push({ name: one.name, day, from: span.from });
    });
  }
  before.sort((a, b) => b.from - a.from);
  for (const one of before) {
    const other = { ...scope, shifts: [one.name], from: one.day, to: one.day + msPerDay };
    if (selectReadings(plant, other).length > 0) return other;
  }
  return null;
}

function firstPassOf(
  plant: Plant,
  selection: Uint32Array,
): { firstPass: PeriodComparison['firstPass']; failing: number } {
  const { verdict } = plant.judged;
  const { first } = fastenerChains(plant);
  let fasteners = 0;
  let judged = 0;
  let passed = 0;
  let failing = 0;
  for (let k = 0; k < selection.length; k++) {
    const i = selection[k]!;
    const v = verdict[i]!;
    if (v === 2) failing++;
    if (first[i] !== 1) continue;
    fasteners++;
    if (v === 0) continue;
    judged++;
    if (v === verdictPass) passed++;
  }
  return { firstPass: fastenerRate(fasteners, judged, passed), failing };
}

/** What the run chart draws of a study: readings, groups, or bands where there are too many. */
import { type StudyBand, type StudyGroup, type StudyMark, studyMarksMost } from '../contract/models/study-model.ts';
import { timeStepsMs } from '../readings/columns.ts';
import type { Plant } from '../readings/plant.ts';
import { readingName } from '../readings/plant.ts';
import { ascendingValues } from '../stats/ascending-values.ts';
import { deviationLimits, rangeLimits } from '../stats/control-limits.ts';
import { quantileType7 } from '../stats/quantiles.ts';
import type { RunRuleName } from '../stats/run-rules.ts';
import type { Study } from './study.ts';
import { readingsOfPoint } from './study-answer.ts';

/** Columns of the run chart above `studyMarksMost` readings. */
const bandColumns = 400;

/** Time of a reading; null: none. */
function timeAt(plant: Plant, position: number): number | null {
  const at = plant.readings.at[position]!;
  return Number.isNaN(at) ? null : at;
}

/**
 * Every reading as a mark, left-out ones included, up to `studyMarksMost`; above that the left-out and the outside ones
 * only (never dropped, unless they alone are too many: then evenly thinned), and bands for the rest.
 */
export function studyMarks(
  plant: Plant,
  study: Study,
  operators: readonly string[],
): { marks: StudyMark[]; bands: StudyBand[] } {
  const { positions, values, used, limits } = study.readings;
  const n = positions.length;
  const low = limits.low === null ? Number.NEGATIVE_INFINITY : limits.low - 1e-9 * Math.abs(limits.low);
  const high = limits.high === null ? Number.POSITIVE_INFINITY : limits.high + 1e-9 * Math.abs(limits.high);
  const outsideOf = (value: number): -1 | 0 | 1 => (value < low ? -1 : value > high ? 1 : 0);
  const mark = (k: number): StudyMark => {
    const i = positions[k]!;
    const group = study.chart.singles ? -1 : study.groupOf[k]!;
    return {
      id: readingName(plant.readings, i),
      position: i,
      order: k,
      value: values[k]!,
      at: timeAt(plant, i),
      atStepMs: timeStepsMs[plant.readings.atStep[i]! as 0 | 1 | 2 | 3 | 4] ?? 0,
      tool: plant.register.tools[plant.readings.tool[i]!]?.serial ?? null,
      operator: plant.readings.operator[i]! < 0 ? null : (operators[plant.readings.operator[i]!] ?? null),
      group: study.chart.singles ? (used[k] === 1 ? k : null) : group < 0 ? null : group,
      leftOut: used[k] !== 1,
      outside: outsideOf(values[k]!),
    };
  };
  if (n <= studyMarksMost) return { marks: Array.from({ length: n }, (_, k) => mark(k)), bands: [] };
  const special: number[] = [];
  for (let k = 0; k < n; k++) if (used[k] !== 1 || outsideOf(values[k]!) !== 0) special.push(k);
  const every = Math.max(1, Math.ceil(special.length / studyMarksMost));
  return {
    marks: special.filter((_, index) => index % every === 0).map(mark),
    bands: bandsOf(plant, study),
  };
}

function bandsOf(plant: Plant, study: Study): StudyBand[] {
  const { positions, values, used, decimals } = study.readings;
  const n = positions.length;
  const bands: StudyBand[] = [];
  for (let column = 0; column < bandColumns; column++) {
    const from = Math.floor((column * n) / bandColumns);
    const to = Math.floor(((column + 1) * n) / bandColumns);
    const inside = new Float64Array(to - from);
    let count = 0;
    for (let k = from; k < to; k++) if (used[k] === 1) inside[count++] = values[k]!;
    if (count === 0) continue;
    const sorted = ascendingValues(inside.subarray(0, count), decimals);
    bands.push({
      fromOrder: from,
      toOrder: to - 1,
      at: timeAt(plant, positions[from]!),
      n: count,
      least: sorted[0]!,
      low: quantileType7(sorted, 0.05),
      median: quantileType7(sorted, 0.5),
      high: quantileType7(sorted, 0.95),
      greatest: sorted[count - 1]!,
    });
  }
  return bands;
}

/**
 * Points of the control chart with their limits. Above `studyMarksMost` points with signals are kept (evenly thinned if
 * they alone are too many) and every k-th of the others.
 */
export function studyGroups(plant: Plant, study: Study): { groups: StudyGroup[]; thinned: boolean } {
  const { chart, readings } = study;
  const { points } = chart;
  const signals = new Map<number, RunRuleName[]>();
  for (const signal of chart.signals) {
    const list = signals.get(signal.at);
    if (list) list.push(signal.rule);
    else signals.set(signal.at, [signal.rule]);
  }
  const total = points.length;
  const thinned = total > studyMarksMost;
  const half = studyMarksMost / 2;
  const everyPoint = thinned ? Math.ceil(total / half) : 1;
  const everySignal = thinned ? Math.max(1, Math.ceil(signals.size / half)) : 1;
  const groups: StudyGroup[] = [];
  let signalSeen = 0;
  for (let p = 0; p < total; p++) {
    const own = signals.get(p) ?? noSignals;
    const keep = !thinned || p % everyPoint === 0 || (own.length > 0 && signalSeen % everySignal === 0);
    if (own.length > 0) signalSeen++;
    if (!keep) continue;
    const group = points.group[p]!;
    const fromOrder = points.fromOrder[p]!;
    const n = points.n[p]!;
    const orders = readingsOfPoint(study, group);
    const first = orders[0] ?? fromOrder;
    const squares = chart.singles ? 0 : study.groups.sumOfSquares[group]!;
    const limits = chart.limitsBySize.get(n);
    const spread = spreadLimits(study, n);
    groups.push({
      // With single readings a group is known by its place in the sequence, as marks are.
      index: chart.singles ? fromOrder : group,
      fromOrder,
      toOrder: orders[orders.length - 1] ?? fromOrder,
      at: timeAt(plant, readings.positions[first]!),
      stratum: readings.strata[first]!,
      phase: points.phase[p]!,
      tool: plant.register.tools[plant.readings.tool[readings.positions[first]!]!]?.serial ?? null,
      n,
      mean: points.mean[p]!,
      s: chart.singles || n < 2 ? null : Math.sqrt(squares / (n - 1)),
      range: chart.singles || n < 2 ? null : study.groups.range[group]!,
      movingRange: chart.singles ? movingRangeAt(study, group) : null,
      lower: limits?.lower ?? null,
      upper: limits?.upper ?? null,
      spreadLower: spread?.lower ?? null,
      spreadUpper: spread?.upper ?? null,
      signals: [...own],
      positions: Array.from(orders, (order) => readings.positions[order]!),
    });
  }
  return { groups, thinned };
}

const noSignals: readonly RunRuleName[] = [];

/** Moving range that ends at a reading, by its place among the used ones; null: it is the first of its run. */
function movingRangeAt(study: Study, place: number): number | null {
  const { at, ranges } = study.moving;
  let low = 0;
  let high = at.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (at[middle]! < place) low = middle + 1;
    else high = middle;
  }
  return at[low] === place ? ranges[low]! : null;
}

/** Limits of the chart of spread for a group of its own size. */
function spreadLimits(study: Study, n: number): { lower: number; upper: number } | null {
  const { spreadCenter, spreadKind } = study.chart;
  if (spreadCenter === null) return null;
  if (spreadKind === 'moving-range') return { lower: 0, upper: rangeLimits(spreadCenter, 2).upper };
  if (n < 2) return null;
  return spreadKind === 'range' ? rangeLimits(spreadCenter, n) : deviationLimits(spreadCenter, n);
}

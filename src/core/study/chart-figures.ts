/** The control chart of a study as numbers. */
import type { StudyChoices } from '../contract/calls.ts';
import type { WithinMethod } from '../contract/models/study-model.ts';
import type { Computed } from '../outcome.ts';
import type { Plant } from '../readings/plant.ts';
import { deviationLimits, locationLimits, rangeLimits } from '../stats/control-limits.ts';
import { cusumChart } from '../stats/cusum.ts';
import { ewmaChart } from '../stats/ewma.ts';
import { defaultRunRules, type RunSignal, runSignals } from '../stats/run-rules.ts';
import { sampleMoments } from '../stats/sample-moments.ts';
import { type StabilityCount, stabilityByCount } from '../stats/stability-by-count.ts';
import type { GroupFigures } from '../stats/subgroups.ts';
import {
  type MovingRanges,
  movingRanges,
  type WithinSigma,
  withinSigmaOfGroups,
  withinSigmaOfRanges,
} from '../stats/within-sigma.ts';
import type { Steps } from '../steps.ts';
import type { ChartFigures, ChartPoint } from './study.ts';
import type { StudyReadings } from './study-readings.ts';

/** Least number of groups, or of single readings, for a control chart. */
export const leastGroups = 10;

export const leastSingles = 20;

interface ChartInput {
  readonly readings: StudyReadings;
  readonly values: Float64Array;
  readonly orderOf: Int32Array;
  readonly groups: GroupFigures;
  /** Group of every reading in its place, left-out ones included. */
  readonly grouping: Int32Array;
  readonly groupCount: number;
  readonly size: number;
  readonly within: WithinMethod;
  readonly withinSigma: Computed<WithinSigma>;
  readonly moving: MovingRanges;
  readonly runOf: Int32Array;
  readonly baseline: StudyChoices['baseline'];
}

/**
 * The control chart of a study.
 *
 * One baseline for all phases: centre and limits come from every charted reading, or from those of the span the user
 * chose. They do not step at a calibration, a repair or a limit revision, because the indices are of all readings
 * together, and a level that moves there must show; rules that look back do not cross a phase.
 */
export function* chartFigures(plant: Plant, input: ChartInput): Steps<ChartFigures> {
  const { readings, values, orderOf, size, within, runOf } = input;
  const n = values.length;
  const singles = size === 1;
  const raw: { group: number; n: number; mean: number; phase: number; fromOrder: number }[] = [];
  if (singles) {
    for (let k = 0; k < n; k++) {
      raw.push({ group: k, n: 1, mean: values[k]!, phase: readings.phase[orderOf[k]!]!, fromOrder: orderOf[k]! });
    }
  } else {
    const firstOrder = new Int32Array(input.groupCount).fill(-1);
    for (let k = 0; k < input.grouping.length; k++) {
      const g = input.grouping[k]!;
      if (g >= 0 && firstOrder[g] === -1) firstOrder[g] = k;
    }
    for (let g = 0; g < input.groupCount; g++) {
      const from = firstOrder[g]!;
      if (input.groups.n[g] === 0) continue;
      raw.push({
        group: g,
        n: input.groups.n[g]!,
        mean: input.groups.mean[g]!,
        phase: readings.phase[from]!,
        fromOrder: from,
      });
    }
  }
  const span = input.baseline;
  const inSpan = (point: { fromOrder: number }): boolean => {
    if (span === null) return true;
    const at = plant.readings.at[readings.positions[point.fromOrder]!]!;
    return at >= (span.from ?? Number.NEGATIVE_INFINITY) && at < (span.to ?? Number.POSITIVE_INFINITY);
  };
  const base = span === null ? raw : raw.filter(inSpan);
  const own = span === null ? input : baselineParts(input, base, runOf);
  // Centre line: the mean of the charted readings, so that shortened groups count by their readings.
  let sum = 0;
  let count = 0;
  for (const point of base) {
    sum += point.mean * point.n;
    count += point.n;
  }
  const center = count > 0 ? sum / count : null;
  const enough = base.length >= (singles ? leastSingles : leastGroups);
  const sigma = own.withinSigma.ok && enough ? own.withinSigma.value.sigma : null;
  const limitsOf = (points: number) =>
    sigma === null || center === null ? null : locationLimits(center, sigma, points);
  const points: ChartPoint[] = raw.map((point) => {
    const limits = limitsOf(point.n);
    return { ...point, lower: limits?.lower ?? null, upper: limits?.upper ?? null };
  });
  const full = limitsOf(size);
  yield;
  const spread = spreadFigures(own.groups, own.moving, size, within);
  let signals: readonly RunSignal[] = [];
  let stability: StabilityCount | null = null;
  let beyond = 0;
  let runs = 0;
  let ewma: ChartFigures['ewma'] = null;
  let cusum: ChartFigures['cusum'] = null;
  let pointSigma: number | null = null;
  if (sigma !== null && center !== null) {
    const scores = new Float64Array(points.length);
    const means = new Float64Array(points.length);
    const phases = new Int32Array(points.length);
    for (let p = 0; p < points.length; p++) {
      const point = points[p]!;
      scores[p] = ((point.mean - center) * Math.sqrt(point.n)) / sigma;
      means[p] = point.mean;
      phases[p] = point.phase;
    }
    signals = runSignals(scores, defaultRunRules, phases, means);
    for (const signal of signals) {
      if (signal.rule === 'beyond-3-sigma') beyond++;
      else if (signal.rule === '9-on-one-side') runs++;
    }
    stability = stabilityByCount(points.length, beyond, runs);
    yield;
    // EWMA and CUSUM take mean and sigma of the plotted statistic itself, from the baseline (definitions 12).
    const baseMeans = span === null ? means : Float64Array.from(base, (point) => point.mean);
    const basePhases = span === null ? phases : Int32Array.from(base, (point) => point.phase);
    const ofPoints = movingRanges(
      baseMeans,
      basePhases.map((phase) => phaseNumber(basePhases, phase)),
    );
    const plotted = withinSigmaOfRanges(ofPoints, 'mr-bar');
    if (plotted.ok) {
      pointSigma = plotted.value.sigma;
      const middle = sampleMoments(baseMeans)?.mean ?? center;
      ewma = ewmaChart(means, middle, pointSigma, 0.2, 3);
      const standard = pointSigma;
      cusum = cusumChart(
        means.map((value) => (value - middle) / standard),
        0.5,
        5,
      );
    }
  }
  return {
    singles,
    baseline: span === null ? null : { from: span.from, to: span.to, points: base.length },
    sigma,
    points,
    center,
    lower: full?.lower ?? null,
    upper: full?.upper ?? null,
    ...spread,
    signals,
    stability,
    beyond,
    runs,
    ewma,
    cusum,
    pointSigma,
  };
}

/** Groups, moving ranges and sigma of the points of a chosen baseline alone. */
function baselineParts(
  input: ChartInput,
  base: readonly { readonly group: number; readonly fromOrder: number }[],
  runOf: Int32Array,
): Pick<ChartInput, 'groups' | 'moving' | 'withinSigma'> {
  const { groups, values, within } = input;
  if (input.size === 1) {
    const runInBase = new Int32Array(values.length).fill(-1);
    for (const point of base) runInBase[point.group] = runOf[point.group]!;
    const moving = movingRanges(values, runInBase);
    const method = within === 'mr-median' ? 'mr-median' : 'mr-bar';
    return { groups, moving, withinSigma: withinSigmaOfRanges(moving, method) };
  }
  const n = new Int32Array(groups.n.length);
  for (const point of base) n[point.group] = groups.n[point.group]!;
  const inBase = { ...groups, n };
  return {
    groups: inBase,
    moving: input.moving,
    withinSigma: withinSigmaOfGroups(inBase, within === 's-bar' || within === 'r-bar' ? within : 'pooled'),
  };
}

const phaseIndex = new WeakMap<Int32Array, Map<number, number>>();

/** Numbers phases from 0, as `movingRanges` needs them. */
function phaseNumber(phases: Int32Array, phase: number): number {
  let map = phaseIndex.get(phases);
  if (!map) {
    map = new Map();
    phaseIndex.set(phases, map);
  }
  let number = map.get(phase);
  if (number === undefined) {
    number = map.size;
    map.set(phase, number);
  }
  return number;
}

/** Centre and limits of the chart of spread, for a full group. */
function spreadFigures(
  groups: GroupFigures,
  moving: MovingRanges,
  size: number,
  within: WithinMethod,
): Pick<ChartFigures, 'spreadKind' | 'spreadCenter' | 'spreadLower' | 'spreadUpper'> {
  if (size === 1) {
    let sum = 0;
    for (const range of moving.ranges) sum += range;
    const mean = moving.ranges.length > 0 ? sum / moving.ranges.length : null;
    const limits = mean === null ? null : rangeLimits(mean, 2);
    return {
      spreadKind: 'moving-range',
      spreadCenter: mean,
      spreadLower: limits ? 0 : null,
      spreadUpper: limits?.upper ?? null,
    };
  }
  const spreadKind = within === 'r-bar' ? 'range' : 's';
  let sum = 0;
  let count = 0;
  for (let g = 0; g < groups.n.length; g++) {
    if (groups.n[g]! < 2) continue;
    sum += spreadKind === 'range' ? groups.range[g]! : Math.sqrt(groups.sumOfSquares[g]! / (groups.n[g]! - 1));
    count++;
  }
  if (count === 0) return { spreadKind, spreadCenter: null, spreadLower: null, spreadUpper: null };
  const mean = sum / count;
  const limits = spreadKind === 'range' ? rangeLimits(mean, size) : deviationLimits(mean, size);
  return { spreadKind, spreadCenter: mean, spreadLower: limits.lower, spreadUpper: limits.upper };
}

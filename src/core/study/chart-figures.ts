/** The control chart of a study as numbers. */
import type { StudyChoices } from '../contract/calls.ts';
import type { WithinMethod } from '../contract/models/study-model.ts';
import type { Computed } from '../outcome.ts';
import type { Plant } from '../readings/plant.ts';
import { type ChartLimits, deviationLimits, locationLimits, rangeLimits } from '../stats/control-limits.ts';
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
import type { ChartFigures, ChartPoints } from './study.ts';
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
  const { readings, size, within, runOf } = input;
  const singles = size === 1;
  const points = singles ? pointsOfReadings(input) : pointsOfGroups(input);
  yield;
  const span = input.baseline;
  const base = span === null ? null : placesInSpan(plant, readings, points, span);
  const baseLength = base?.length ?? points.length;
  const own = base === null ? input : baselineParts(input, points, base, runOf);
  // Centre line: the mean of the charted readings, so that shortened groups count by their readings.
  let sum = 0;
  let count = 0;
  for (let k = 0; k < baseLength; k++) {
    const p = base === null ? k : base[k]!;
    sum += points.mean[p]! * points.n[p]!;
    count += points.n[p]!;
  }
  const center = count > 0 ? sum / count : null;
  const enough = baseLength >= (singles ? leastSingles : leastGroups);
  const sigma = own.withinSigma.ok && enough ? own.withinSigma.value.sigma : null;
  const limitsBySize = new Map<number, ChartLimits>();
  if (sigma !== null && center !== null) {
    for (let p = 0; p < points.length; p++) {
      const size = points.n[p]!;
      if (!limitsBySize.has(size)) limitsBySize.set(size, locationLimits(center, sigma, size));
    }
    limitsBySize.set(size, locationLimits(center, sigma, size));
  }
  const full = limitsBySize.get(size);
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
    const { mean: means, n: sizes, phase: phases } = points;
    const scores = new Float64Array(points.length);
    for (let p = 0; p < points.length; p++) scores[p] = ((means[p]! - center) * Math.sqrt(sizes[p]!)) / sigma;
    signals = runSignals(scores, defaultRunRules, phases, means);
    for (const signal of signals) {
      if (signal.rule === 'beyond-3-sigma') beyond++;
      else if (signal.rule === '9-on-one-side') runs++;
    }
    stability = stabilityByCount(points.length, beyond, runs);
    yield;
    // EWMA and CUSUM take mean and sigma of the plotted statistic itself, from the baseline (definitions 12).
    const baseMeans = base === null ? means : Float64Array.from(base, (p) => means[p]!);
    const basePhases = base === null ? phases : Int32Array.from(base, (p) => phases[p]!);
    const ofPoints = movingRanges(baseMeans, numbered(basePhases));
    const plotted = withinSigmaOfRanges(ofPoints, 'mr-bar');
    if (plotted.ok) {
      pointSigma = plotted.value.sigma;
      const middle = sampleMoments(baseMeans)?.mean ?? center;
      yield;
      ewma = ewmaChart(means, middle, pointSigma, 0.2, 3);
      yield;
      const standard = new Float64Array(means.length);
      for (let p = 0; p < standard.length; p++) standard[p] = (means[p]! - middle) / pointSigma;
      cusum = cusumChart(standard, 0.5, 5);
    }
  }
  return {
    singles,
    baseline: span === null ? null : { from: span.from, to: span.to, points: baseLength },
    sigma,
    points,
    limitsBySize,
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

/** Every reading used is a point. */
function pointsOfReadings({ readings, values, orderOf }: ChartInput): ChartPoints {
  const n = values.length;
  const group = new Int32Array(n);
  const phase = new Int32Array(n);
  for (let k = 0; k < n; k++) {
    group[k] = k;
    phase[k] = readings.phase[orderOf[k]!]!;
  }
  return { length: n, group, n: new Int32Array(n).fill(1), mean: values, phase, fromOrder: orderOf };
}

/** Every group with a reading used is a point; it stands where its first reading does, a left-out one included. */
function pointsOfGroups({ readings, grouping, groupCount, groups }: ChartInput): ChartPoints {
  const first = new Int32Array(groupCount).fill(-1);
  for (let k = 0; k < grouping.length; k++) {
    const g = grouping[k]!;
    if (g >= 0 && first[g] === -1) first[g] = k;
  }
  let length = 0;
  for (let g = 0; g < groupCount; g++) if (groups.n[g]! > 0) length++;
  const points = {
    length,
    group: new Int32Array(length),
    n: new Int32Array(length),
    mean: new Float64Array(length),
    phase: new Int32Array(length),
    fromOrder: new Int32Array(length),
  };
  let p = 0;
  for (let g = 0; g < groupCount; g++) {
    if (groups.n[g] === 0) continue;
    points.group[p] = g;
    points.n[p] = groups.n[g]!;
    points.mean[p] = groups.mean[g]!;
    points.phase[p] = readings.phase[first[g]!]!;
    points.fromOrder[p++] = first[g]!;
  }
  return points;
}

/** Places of the points whose first reading lies in the span: from <= time < to. */
function placesInSpan(
  plant: Plant,
  readings: StudyReadings,
  points: ChartPoints,
  span: NonNullable<StudyChoices['baseline']>,
): Int32Array {
  const from = span.from ?? Number.NEGATIVE_INFINITY;
  const to = span.to ?? Number.POSITIVE_INFINITY;
  const found = new Int32Array(points.length);
  let n = 0;
  for (let p = 0; p < points.length; p++) {
    const at = plant.readings.at[readings.positions[points.fromOrder[p]!]!]!;
    if (at >= from && at < to) found[n++] = p;
  }
  return found.subarray(0, n);
}

/** Groups, moving ranges and sigma of the points of a chosen baseline alone. */
function baselineParts(
  input: ChartInput,
  points: ChartPoints,
  base: Int32Array,
  runOf: Int32Array,
): Pick<ChartInput, 'groups' | 'moving' | 'withinSigma'> {
  const { groups, values, within } = input;
  if (input.size === 1) {
    const runInBase = new Int32Array(values.length).fill(-1);
    for (const p of base) runInBase[points.group[p]!] = runOf[points.group[p]!]!;
    const moving = movingRanges(values, runInBase);
    const method = within === 'mr-median' ? 'mr-median' : 'mr-bar';
    return { groups, moving, withinSigma: withinSigmaOfRanges(moving, method) };
  }
  const n = new Int32Array(groups.n.length);
  for (const p of base) n[points.group[p]!] = groups.n[points.group[p]!]!;
  const inBase = { ...groups, n };
  return {
    groups: inBase,
    moving: input.moving,
    withinSigma: withinSigmaOfGroups(inBase, within === 's-bar' || within === 'r-bar' ? within : 'pooled'),
  };
}

/** Phases numbered from 0 in order of appearance, as `movingRanges` needs them. */
function numbered(phases: Int32Array): Int32Array {
  const numberOf = new Map<number, number>();
  const numbers = new Int32Array(phases.length);
  let last = Number.NaN;
  let number = 0;
  for (let k = 0; k < phases.length; k++) {
    const phase = phases[k]!;
    if (phase !== last) {
      last = phase;
      number = numberOf.get(phase) ?? numberOf.size;
      numberOf.set(phase, number);
    }
    numbers[k] = number;
  }
  return numbers;
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

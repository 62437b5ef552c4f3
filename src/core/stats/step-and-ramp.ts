/** When a series changed, and whether by a step or by a ramp. */

/** Blocks left free at each end. */
const freeEnds = 4;
/** Hansen 2000: likelihood-ratio bound for the date of a step; 3.84 covers only 81 to 91 % (definitions 15). */
const stepBound = 7.352;
/** Chi-square 95 % point, 1 degree of freedom: bound for the kink of a ramp. */
const rampBound = 3.841;
/** Below this difference of BIC the interval holds both shapes' sets. */
const bicMargin = 6;

export interface StepAndRamp {
  readonly shape: 'step' | 'ramp';
  readonly bicStep: number;
  readonly bicRamp: number;
  /** Values before the change, counted from 1. */
  readonly stepAfter: number;
  readonly rampAfter: number;
  /** Smallest and largest date of each shape's set. */
  readonly stepSet: readonly [number, number];
  readonly rampSet: readonly [number, number];
  /** Span of the date: the chosen shape's set, or both where their BICs differ by less than 6. */
  readonly interval: readonly [number, number];
}

/**
 * Fits a step (two levels) and a ramp (a level, then a slope from a kink) by least squares at every date.
 *
 * Method: running sums give each date in O(1), so O(n) in all; the smaller BIC = m ln(RSS/m) + 3 ln m names the shape.
 * Sources: B. E. Hansen, Econometrica 68 (2000) 575 for the bound of the step; the coverage of both bounds was settled
 * by simulation (definitions 15).
 *
 * @param values finite, in order of time
 * @returns null with fewer than 9 values or none different
 */
export function stepAndRamp(values: ArrayLike<number>): StepAndRamp | null {
  const m = values.length;
  if (m < 2 * freeEnds + 1) return null;
  let differs = false;
  for (let i = 1; i < m; i++) differs ||= values[i] !== values[0];
  if (!differs) return null;
  let mean = 0;
  for (let i = 0; i < m; i++) mean += values[i]! / m;
  let total = 0;
  for (let i = 0; i < m; i++) total += (values[i]! - mean) ** 2;
  // Centred values: every sum below is a difference from the overall level, which keeps digits.
  const y = Float64Array.from(values, (value) => value - mean);
  const last = m - freeEnds;
  const step = new Float64Array(m + 1).fill(Number.NaN);
  const ramp = new Float64Array(m + 1).fill(Number.NaN);
  let before = 0;
  for (let i = 0; i < freeEnds - 1; i++) before += y[i]!;
  // sum of y_i and of i y_i (i from 1) over i > k, and of all
  const tailSum = new Float64Array(m + 2);
  const tailMoment = new Float64Array(m + 2);
  for (let i = m; i >= 1; i--) {
    tailSum[i - 1] = tailSum[i]! + y[i - 1]!;
    tailMoment[i - 1] = tailMoment[i]! + i * y[i - 1]!;
  }
  const all = tailSum[0]!;
  for (let k = freeEnds; k <= last; k++) {
    before += y[k - 1]!;
    const after = all - before;
    step[k] = Math.max(0, total - (before * before) / k - (after * after) / (m - k) + (all * all) / m);
    // Regress y on h = max(0, i - k).
    const r = m - k;
    const sumH = (r * (r + 1)) / 2;
    const sumHH = (r * (r + 1) * (2 * r + 1)) / 6;
    const sumHy = tailMoment[k]! - k * tailSum[k]!;
    const shh = sumHH - (sumH * sumH) / m;
    const shy = sumHy - (sumH * all) / m;
    ramp[k] = Math.max(0, total - (shy * shy) / shh);
  }
  const stepAfter = smallestAt(step, freeEnds, last);
  const rampAfter = smallestAt(ramp, freeEnds, last);
  const bic = (rss: number): number => m * Math.log(Math.max(rss, Number.MIN_VALUE) / m) + 3 * Math.log(m);
  const bicStep = bic(step[stepAfter]!);
  const bicRamp = bic(ramp[rampAfter]!);
  const stepSet = likelySet(step, freeEnds, last, step[stepAfter]!, m, stepBound);
  const rampSet = likelySet(ramp, freeEnds, last, ramp[rampAfter]!, m, rampBound);
  const shape = bicStep <= bicRamp ? 'step' : 'ramp';
  const interval: readonly [number, number] =
    Math.abs(bicStep - bicRamp) < bicMargin
      ? [Math.min(stepSet[0], rampSet[0]), Math.max(stepSet[1], rampSet[1])]
      : shape === 'step'
        ? stepSet
        : rampSet;
  return { shape, bicStep, bicRamp, stepAfter, rampAfter, stepSet, rampSet, interval };
}

function smallestAt(rss: Float64Array, from: number, to: number): number {
  let at = from;
  for (let k = from + 1; k <= to; k++) if (rss[k]! < rss[at]!) at = k;
  return at;
}

function likelySet(
  rss: Float64Array,
  from: number,
  to: number,
  least: number,
  m: number,
  bound: number,
): readonly [number, number] {
  let low = to;
  let high = from;
  for (let k = from; k <= to; k++) {
    // A perfect fit leaves only the dates that fit as well.
    const inside = least > 0 ? m * Math.log(rss[k]! / least) <= bound : rss[k] === 0;
    if (!inside) continue;
    low = Math.min(low, k);
    high = Math.max(high, k);
  }
  return [low, high];
}

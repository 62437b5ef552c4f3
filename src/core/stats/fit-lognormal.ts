/** Lognormal models: two parameters, three with a threshold, and the mirror image of that. */
import { findRoot } from './find-root.ts';
import type { FittedModel, ModelName } from './fitted-model.ts';
import { normalCdf, normalDensity, normalLogCdf, normalQuantile, normalSurvival } from './normal-distribution.ts';
import { countedMoments } from './sample-moments.ts';

/** Two-parameter lognormal by maximum likelihood (closed form); null unless all values are positive and differ. */
export function fitLognormal(values: ArrayLike<number>, weights: ArrayLike<number> | null = null): FittedModel | null {
  return fitAbove(values, weights, 0, 1, 'lognormal', 2);
}

/** Points at which the slope of the profile is looked at, evenly in the logarithm of the distance below the least value. */
const profilePoints = 80;

/**
 * Lognormal with a threshold, for readings that pile up just above the stop.
 *
 * For each threshold the closed-form fit; the threshold is the highest interior local maximum of that profile between
 * 20 s and half a display step below the least value (the likelihood itself grows without bound at the least value).
 * O(n) for each of about 80 thresholds. Null: no such maximum, the model does not fit.
 *
 * @param step display step h
 */
export function fitThresholdLognormal(
  values: ArrayLike<number>,
  step: number,
  weights: ArrayLike<number> | null = null,
): FittedModel | null {
  const distance = thresholdDistance(values, weights, step, 1);
  if (distance === null) return null;
  return fitAbove(values, weights, leastOf(values, 1) - distance, 1, 'lognormal-threshold', 3);
}

/** The mirror image: a tail to the left below an upper threshold. */
export function fitMirroredLognormal(
  values: ArrayLike<number>,
  step: number,
  weights: ArrayLike<number> | null = null,
): FittedModel | null {
  const distance = thresholdDistance(values, weights, step, -1);
  if (distance === null) return null;
  return fitAbove(values, weights, leastOf(values, -1) - distance, -1, 'lognormal-mirrored', 3);
}

function leastOf(values: ArrayLike<number>, sign: 1 | -1): number {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < values.length; i++) if (sign * values[i]! < least) least = sign * values[i]!;
  return least;
}

/** Distance of the threshold below the least value (of the mirrored values for sign -1). */
function thresholdDistance(
  values: ArrayLike<number>,
  weights: ArrayLike<number> | null,
  step: number,
  sign: 1 | -1,
): number | null {
  const moments = countedMoments(values, weights);
  const s = moments?.standardDeviation ?? 0;
  if (!moments || !(s > 0)) return null;
  const length = values.length;
  const n = moments.n;
  const w = (i: number): number => (weights === null ? 1 : weights[i]!);
  const least = leastOf(values, sign);
  const above = Float64Array.from({ length }, (_, i) => sign * values[i]! - least);
  const logs = new Float64Array(length);
  // Profile log-likelihood and its slope in the threshold, at a distance below the least value.
  const profile = (distance: number): number => {
    let sum = 0;
    for (let i = 0; i < length; i++) {
      logs[i] = Math.log(above[i]! + distance);
      sum += w(i) * logs[i]!;
    }
    const mean = sum / n;
    let squares = 0;
    for (let i = 0; i < length; i++) squares += w(i) * (logs[i]! - mean) ** 2;
    return (-n / 2) * (Math.log((2 * Math.PI * squares) / n) + 1) - sum;
  };
  const slope = (logDistance: number): number => {
    const distance = Math.exp(logDistance);
    let sum = 0;
    for (let i = 0; i < length; i++) {
      logs[i] = Math.log(above[i]! + distance);
      sum += w(i) * logs[i]!;
    }
    const mean = sum / n;
    let squares = 0;
    let product = 0;
    let inverse = 0;
    for (let i = 0; i < length; i++) {
      const u = logs[i]! - mean;
      const r = 1 / (above[i]! + distance);
      squares += w(i) * u * u;
      product += w(i) * u * r;
      inverse += w(i) * r;
    }
    return (n * product) / squares + inverse;
  };
  const far = Math.log(20 * s);
  const near = Math.log(step / 2);
  if (!(far > near)) return null;
  const seen: { at: number; slope: number }[] = [];
  for (let k = 0; k < profilePoints; k++) {
    const at = far + ((near - far) * k) / (profilePoints - 1);
    seen.push({ at, slope: slope(at) });
  }
  let best: number | null = null;
  let bestProfile = Number.NEGATIVE_INFINITY;
  const look = (from: { at: number; slope: number }, to: { at: number; slope: number }): void => {
    // Coming from far below, the profile rises and then falls: a local maximum in between.
    if (!(from.slope > 0 && to.slope <= 0)) return;
    const found = findRoot(slope, from.at, to.at, 1e-14);
    if (found === null) return;
    const value = profile(Math.exp(found));
    if (value > bestProfile) {
      bestProfile = value;
      best = Math.exp(found);
    }
  };
  for (let k = 1; k < seen.length; k++) {
    look(seen[k - 1]!, seen[k]!);
    // A slope that turns round before it reaches zero may do so between the points: there a closer look.
    const [left, here, right] = [seen[k - 1]!, seen[k]!, seen[k + 1]];
    if (!right) continue;
    const scaled = [left, here, right].map((one) => one.slope * Math.exp(one.at));
    const [a = 0, b = 0, c = 0] = scaled;
    if (!((a > b && b < c && b > 0) || (a < b && b > c && b < 0))) continue;
    let before = left;
    for (let j = 1; j <= 8; j++) {
      const at = left.at + ((right.at - left.at) * j) / 8;
      const next = { at, slope: slope(at) };
      look(before, next);
      before = next;
    }
  }
  return best;
}

/** Closed-form fit of log(sign x - threshold). */
function fitAbove(
  values: ArrayLike<number>,
  weights: ArrayLike<number> | null,
  threshold: number,
  sign: 1 | -1,
  name: ModelName,
  parameterCount: number,
): FittedModel | null {
  const length = values.length;
  if (length < 2) return null;
  const logs = new Float64Array(length);
  let sum = 0;
  for (let i = 0; i < length; i++) {
    const above = sign * values[i]! - threshold;
    if (!(above > 0)) return null;
    logs[i] = Math.log(above);
    sum += (weights === null ? 1 : weights[i]!) * logs[i]!;
  }
  const moments = countedMoments(logs, weights);
  if (!moments || !(moments.sumOfSquares > 0)) return null;
  const { n } = moments;
  const meanlog = moments.mean;
  const sdlog = Math.sqrt(moments.sumOfSquares / n);
  const score = (x: number): number => {
    const above = sign * x - threshold;
    return above > 0 ? (Math.log(above) - meanlog) / sdlog : Number.NEGATIVE_INFINITY;
  };
  const own = sign === 1;
  return {
    name,
    parameters: parameterCount === 2 ? { meanlog, sdlog } : { threshold: sign * threshold, meanlog, sdlog },
    parameterCount,
    logLikelihood: (-n / 2) * (Math.log(2 * Math.PI * sdlog * sdlog) + 1) - sum,
    quantile: (p) => sign * (threshold + Math.exp(meanlog + sign * sdlog * normalQuantile(p))),
    cdf: (x) => (own ? normalCdf(score(x)) : normalSurvival(score(x))),
    survival: (x) => (own ? normalSurvival(score(x)) : normalCdf(score(x))),
    logCdf: (x) => normalLogCdf(own ? score(x) : -score(x)),
    logSurvival: (x) => normalLogCdf(own ? -score(x) : score(x)),
    density: (x) => {
      const above = sign * x - threshold;
      return above > 0 ? normalDensity(score(x)) / (sdlog * above) : 0;
    },
  };
}

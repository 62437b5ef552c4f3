/** Mean and standard deviation to full double precision. */

export interface SampleMoments {
  readonly n: number;
  readonly mean: number;
  /** Sum of squared distances from the mean. */
  readonly sumOfSquares: number;
  /** Divides by n - 1; null below 2 values. */
  readonly standardDeviation: number | null;
  readonly least: number;
  readonly greatest: number;
}

/**
 * Number, mean, sum of squares, standard deviation (n - 1), least and greatest value; null for no values.
 *
 * Method: Neumaier's compensated sum for the mean, then a second pass over the distances with the correction
 * term of the corrected two-pass algorithm. O(n).
 * Source: A. Neumaier, ZAMM 54 (1974) 39; Chan, Golub & LeVeque, Am. Stat. 37 (1983) 242 (stated from memory).
 *
 * @param values readings in one unit, all finite; not modified
 * @throws RangeError if a value is not finite: selection must have left it out
 * @example sampleMoments([2, 4, 6])?.standardDeviation // => 2
 */
export function sampleMoments(values: ArrayLike<number>): SampleMoments | null {
  const n = values.length;
  if (n === 0) return null;
  let sum = 0;
  let lost = 0;
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < n; i++) {
    const value = values[i]!;
    const next = sum + value;
    lost += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum;
    sum = next;
    if (value < least) least = value;
    if (value > greatest) greatest = value;
  }
  // One check after the loop instead of one a value: a NaN or an infinity survives into the sum.
  if (!Number.isFinite(sum + lost)) throw new RangeError('sampleMoments: a value is not finite');
  const mean = (sum + lost) / n;
  // What rounding took from the mean; the distances are taken from mean + rest.
  let squares = 0;
  let distances = 0;
  for (let i = 0; i < n; i++) {
    const distance = values[i]! - mean;
    squares += distance * distance;
    distances += distance;
  }
  const sumOfSquares = least === greatest ? 0 : Math.max(0, squares - (distances * distances) / n);
  return {
    n,
    mean: least === greatest ? least : mean,
    sumOfSquares,
    standardDeviation: n < 2 ? null : Math.sqrt(sumOfSquares / (n - 1)),
    least,
    greatest,
  };
}

/**
 * As `sampleMoments`, where `weights[i]` readings have the value `values[i]`; null weights: one each.
 *
 * @param weights whole numbers, at least 1
 */
export function countedMoments(values: ArrayLike<number>, weights: ArrayLike<number> | null): SampleMoments | null {
  if (weights === null) return sampleMoments(values);
  const length = values.length;
  let n = 0;
  let sum = 0;
  let lost = 0;
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < length; i++) {
    const value = values[i]!;
    const part = value * weights[i]!;
    const next = sum + part;
    lost += Math.abs(sum) >= Math.abs(part) ? sum - next + part : part - next + sum;
    sum = next;
    n += weights[i]!;
    if (value < least) least = value;
    if (value > greatest) greatest = value;
  }
  if (n === 0) return null;
  const mean = (sum + lost) / n;
  let squares = 0;
  let distances = 0;
  for (let i = 0; i < length; i++) {
    const distance = values[i]! - mean;
    squares += weights[i]! * distance * distance;
    distances += weights[i]! * distance;
  }
  const sumOfSquares = least === greatest ? 0 : Math.max(0, squares - (distances * distances) / n);
  return {
    n,
    mean,
    sumOfSquares,
    standardDeviation: n < 2 ? null : Math.sqrt(sumOfSquares / (n - 1)),
    least,
    greatest,
  };
}

/**
 * Skewness G1 = g1 sqrt(n (n - 1)) / (n - 2), the form of most statistics programs; null below 3 values or without spread.
 */
export function skewnessG1(values: ArrayLike<number>): number | null {
  const moments = sampleMoments(values);
  if (!moments || moments.n < 3 || moments.sumOfSquares === 0) return null;
  let cubes = 0;
  for (let i = 0; i < moments.n; i++) cubes += (values[i]! - moments.mean) ** 3;
  const g1 = cubes / moments.n / (moments.sumOfSquares / moments.n) ** 1.5;
  return (g1 * Math.sqrt(moments.n * (moments.n - 1))) / (moments.n - 2);
}

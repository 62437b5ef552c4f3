/** Whether a series rises or falls, by signs of all pairs. */
import normal from '@stdlib/stats-base-dists-normal';
import { midRanks } from './mid-ranks.ts';

const z95 = 1.959963984540054;

export interface MannKendall {
  /** Rising pairs less falling pairs. */
  readonly s: number;
  /** Variance of `s` with ties, without the factor. */
  readonly varS: number;
  /** Hamed-Rao factor for autocorrelation; 1 when not asked for. Only factors above 1 are used. */
  readonly factor: number;
  readonly z: number;
  /** Two-sided. */
  readonly p: number;
}

/**
 * Mann-Kendall test with tie-corrected variance and continuity correction; z is 0 when all values are equal.
 *
 * Method: all pairs, O(n^2). With `detrend`, var(S) is multiplied by max(1, Hamed-Rao factor), made from the rank
 * autocorrelations of `values - slope x` that lie beyond +- 1.96/sqrt(n).
 * Sources: H. B. Mann, Econometrica 13 (1945) 245; M. G. Kendall, Rank Correlation Methods (1975); K. H. Hamed and
 * A. R. Rao, J. Hydrology 204 (1998) 182.
 *
 * @param values finite, in order of time
 * @param detrend position of each value on the axis of the trend, and the trend's slope; absent: no factor
 */
export function mannKendall(
  values: ArrayLike<number>,
  detrend?: { readonly x: ArrayLike<number>; readonly slope: number },
): MannKendall {
  const n = values.length;
  let s = 0;
  for (let i = 0; i < n; i++) {
    const a = values[i]!;
    for (let j = i + 1; j < n; j++) {
      const b = values[j]!;
      s += b > a ? 1 : b < a ? -1 : 0;
    }
  }
  const varS = tiedVariance(values);
  const factor = detrend && n > 2 ? hamedRaoFactor(values, detrend.x, detrend.slope) : 1;
  const z = varS === 0 ? 0 : (s - Math.sign(s)) / Math.sqrt(varS * Math.max(1, factor));
  return { s, varS, factor, z, p: Math.min(1, 2 * normal.cdf(-Math.abs(z), 0, 1)) };
}

/** Variance of S when the order is chance, with groups of equal values (Kendall 1975). */
export function tiedVariance(values: ArrayLike<number>): number {
  const n = values.length;
  const sorted = Float64Array.from(values).sort();
  let ties = 0;
  let from = 0;
  while (from < n) {
    let to = from;
    while (to + 1 < n && sorted[to + 1] === sorted[from]) to++;
    const t = to - from + 1;
    ties += t * (t - 1) * (2 * t + 5);
    from = to + 1;
  }
  return (n * (n - 1) * (2 * n + 5) - ties) / 18;
}

function hamedRaoFactor(values: ArrayLike<number>, x: ArrayLike<number>, slope: number): number {
  const n = values.length;
  const ranks = midRanks(Float64Array.from(values, (value, i) => value - slope * x[i]!));
  const mean = (n + 1) / 2;
  let sumOfSquares = 0;
  for (let i = 0; i < n; i++) sumOfSquares += (ranks[i]! - mean) ** 2;
  if (sumOfSquares === 0) return 1;
  let sum = 0;
  for (let lag = 1; lag < n; lag++) {
    let products = 0;
    for (let i = 0; i + lag < n; i++) products += (ranks[i]! - mean) * (ranks[i + lag]! - mean);
    const rho = products / sumOfSquares;
    if (Math.abs(rho) > z95 / Math.sqrt(n)) sum += (n - lag) * (n - lag - 1) * (n - lag - 2) * rho;
  }
  return 1 + (2 / (n * (n - 1) * (n - 2))) * sum;
}

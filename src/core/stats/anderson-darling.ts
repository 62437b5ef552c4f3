/** The Anderson-Darling statistic, and its p for a normal with estimated mean and deviation. */
import { type Computed, computed, noSpread, tooFewValues } from '../outcome.ts';
import { normalLogCdf } from './normal-distribution.ts';
import { sampleMoments } from './sample-moments.ts';

export interface AndersonDarling {
  /** A squared, not the adjusted A*. */
  readonly statistic: number;
  readonly adjusted: number;
  readonly p: number;
  /** True beyond the table (A* > 10): p is an upper bound. */
  readonly atMost: boolean;
}

export const leastForNormality = 8;

/**
 * A squared from log F and log (1 - F) of sorted values.
 *
 * Equal values are taken together: the weights 2i - 1 of a run from a to b sum to b^2 - a^2, so that rounded readings
 * cost two logarithms a distinct value, not a reading.
 */
export function andersonDarlingStatistic(
  sorted: ArrayLike<number>,
  logCdf: (x: number) => number,
  logSurvival: (x: number) => number,
): number {
  const n = sorted.length;
  let sum = 0;
  for (let a = 0; a < n; ) {
    const value = sorted[a]!;
    let b = a + 1;
    while (b < n && sorted[b] === value) b++;
    sum += logCdf(value) * (b * b - a * a) + logSurvival(value) * ((n - a) * (n - a) - (n - b) * (n - b));
    a = b;
  }
  return -n - sum / n;
}

/**
 * Test of normality.
 *
 * Source of p: D'Agostino & Stephens, Goodness-of-Fit Techniques (1986), Table 4.9 (not Stephens 1974).
 *
 * @param sorted values, ascending
 */
export function andersonDarlingNormal(sorted: ArrayLike<number>): Computed<AndersonDarling> {
  const n = sorted.length;
  if (n < leastForNormality) return tooFewValues(leastForNormality, n);
  const moments = sampleMoments(sorted);
  const s = moments?.standardDeviation ?? 0;
  if (!moments || s === 0) return noSpread();
  const statistic = andersonDarlingStatistic(
    sorted,
    (x) => normalLogCdf((x - moments.mean) / s),
    (x) => normalLogCdf((moments.mean - x) / s),
  );
  const adjusted = statistic * (1 + 0.75 / n + 2.25 / (n * n));
  return computed({ statistic, adjusted, ...andersonDarlingP(adjusted) });
}

/** The branch of the table that holds A*: p = exp(a + b A* + c A*^2), or one minus that. */
export interface AndersonDarlingBranch {
  readonly terms: readonly [number, number, number];
  readonly oneMinus: boolean;
}

/** Branch for A* up to 10; beyond, the table ends. */
export function andersonDarlingBranch(adjusted: number): AndersonDarlingBranch {
  if (adjusted >= 0.6) return { terms: [1.2937, -5.709, 0.0186], oneMinus: false };
  if (adjusted >= 0.34) return { terms: [0.9177, -4.279, -1.38], oneMinus: false };
  if (adjusted >= 0.2) return { terms: [-8.318, 42.796, -59.938], oneMinus: true };
  return { terms: [-13.436, 101.14, -223.73], oneMinus: true };
}

/** p of the adjusted statistic A*. */
export function andersonDarlingP(adjusted: number): { p: number; atMost: boolean } {
  if (adjusted > 10) return { p: 1e-20, atMost: true };
  const { terms, oneMinus } = andersonDarlingBranch(adjusted);
  const value = Math.exp(terms[0] + terms[1] * adjusted + terms[2] * adjusted * adjusted);
  return { p: oneMinus ? 1 - value : value, atMost: false };
}

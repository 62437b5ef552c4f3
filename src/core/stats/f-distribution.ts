/**
 * The F distribution, each tail through the incomplete beta function of its own argument.
 *
 * The library's own cdf keeps only 9 digits for small x and its complement none far out (checked against R 4.2.2).
 */
import beta from '@stdlib/stats-base-dists-beta';

/** Probability below x. */
export function fCdf(x: number, df1: number, df2: number): number {
  return x <= 0 ? 0 : beta.cdf((df1 * x) / (df1 * x + df2), df1 / 2, df2 / 2);
}

/** Probability above x. */
export function fSurvival(x: number, df1: number, df2: number): number {
  return x <= 0 ? 1 : beta.cdf(df2 / (df1 * x + df2), df2 / 2, df1 / 2);
}

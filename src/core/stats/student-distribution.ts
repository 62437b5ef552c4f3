/** Student's t distribution. Source: @stdlib (incomplete beta of Boost); checked against R 4.2.2 to 1e-11 relative. */
import t from '@stdlib/stats-base-dists-t';

/** Probability above x. */
export function studentSurvival(x: number, degreesOfFreedom: number): number {
  return t.cdf(-x, degreesOfFreedom);
}

/** Probability of being further from 0 than x on either side. */
export function studentTwoSidedP(x: number, degreesOfFreedom: number): number {
  return Math.min(1, 2 * t.cdf(-Math.abs(x), degreesOfFreedom));
}

/** The value with probability `p` above it; exact for small p, where 1 - p would lose digits. */
export function studentUpperQuantile(p: number, degreesOfFreedom: number): number {
  return -t.quantile(p, degreesOfFreedom);
}

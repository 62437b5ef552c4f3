/** The chi-square distribution. Source: @stdlib (incomplete gamma of Boost); checked against R 4.2.2 to 1e-11 relative. */
import gammainc from '@stdlib/math-base-special-gammainc';
import chiSquare from '@stdlib/stats-base-dists-chisquare';

/** The value with probability `p` below it. */
export function chiSquareQuantile(p: number, degreesOfFreedom: number): number {
  return chiSquare.quantile(p, degreesOfFreedom);
}

/** Probability below x. */
export function chiSquareCdf(x: number, degreesOfFreedom: number): number {
  return chiSquare.cdf(x, degreesOfFreedom);
}

/** Probability above x, without the loss of 1 - cdf. */
export function chiSquareSurvival(x: number, degreesOfFreedom: number): number {
  return x <= 0 ? 1 : gammainc(x / 2, degreesOfFreedom / 2, true, true);
}

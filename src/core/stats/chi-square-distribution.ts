/** The chi-square distribution, a gamma of shape nu/2; checked against R 4.2.2 to 1e-11 relative. */
import { gammaQuantile } from './gamma-distribution.ts';
import { regularisedGammaP, regularisedGammaQ } from './incomplete-gamma.ts';

/** The value with probability `p` below it. */
export function chiSquareQuantile(p: number, degreesOfFreedom: number): number {
  return gammaQuantile(p, degreesOfFreedom / 2, 2);
}

/** Probability below x. */
export function chiSquareCdf(x: number, degreesOfFreedom: number): number {
  return regularisedGammaP(degreesOfFreedom / 2, x / 2);
}

/** Probability above x, without the loss of 1 - cdf. */
export function chiSquareSurvival(x: number, degreesOfFreedom: number): number {
  return regularisedGammaQ(degreesOfFreedom / 2, x / 2);
}

/** The gamma distribution by shape and scale. Source: @stdlib (incomplete gamma of Boost); checked against R 4.2.2. */
import gammainc from '@stdlib/math-base-special-gammainc';
import gamma from '@stdlib/stats-base-dists-gamma';

/** Probability below x. */
export function gammaCdf(x: number, shape: number, scale: number): number {
  return x <= 0 ? 0 : gammainc(x / scale, shape, true, false);
}

/** Probability above x, without the loss of 1 - cdf. */
export function gammaSurvival(x: number, shape: number, scale: number): number {
  return x <= 0 ? 1 : gammainc(x / scale, shape, true, true);
}

/** The value with probability `p` below it. */
export function gammaQuantile(p: number, shape: number, scale: number): number {
  // The library takes shape and rate.
  return gamma.quantile(p, shape, 1) * scale;
}

/** Positions and bands of a probability plot. */
import { betaQuantile } from './beta-distribution.ts';

/**
 * Plotting positions of Filliben: medians of the order statistics of uniforms, approximately.
 *
 * Source: NIST/SEMATECH e-Handbook 1.3.3.21.
 */
export function fillibenPosition(i: number, n: number): number {
  const last = 0.5 ** (1 / n);
  if (i === n) return last;
  if (i === 1) return 1 - last;
  return (i - 0.3175) / (n + 0.365);
}

/**
 * Where the i-th smallest of n values lies with 95 % probability if the model holds: probabilities to be put
 * through the model's quantile function. Point by point, not for the whole line at once.
 */
export function orderStatisticBand(i: number, n: number): { low: number; high: number } {
  return { low: betaQuantile(0.025, i, n + 1 - i), high: betaQuantile(0.975, i, n + 1 - i) };
}

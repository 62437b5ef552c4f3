/** The Shapiro-Wilk test of normality. */
import { type Computed, computed, noSpread, notDefined, tooFewValues } from '../outcome.ts';
import { leastForNormality } from './anderson-darling.ts';
import { normalQuantile, normalSurvival } from './normal-distribution.ts';
import { medianOfSorted } from './quantiles.ts';

/** Above this the approximation was never fitted: no subsampling, the test is left out. */
export const mostForShapiroWilk = 5000;

/**
 * W and its p.
 *
 * Source: P. Royston, algorithm AS R94, Applied Statistics 44 (1995) 547, in the arrangement of R's `shapiro.test`.
 * The algorithm itself works from 3 values; studies show it from 8.
 *
 * @param sorted values, ascending, 3 to 5000
 */
export function shapiroWilk(
  sorted: ArrayLike<number>,
  least = leastForNormality,
): Computed<{ statistic: number; p: number }> {
  const n = sorted.length;
  if (n < Math.max(3, least)) return tooFewValues(Math.max(3, least), n);
  if (n > mostForShapiroWilk) return notDefined('study.shapiro-too-many');
  const range = sorted[n - 1]! - sorted[0]!;
  if (!(range > 0)) return noSpread();
  const a = weights(n);
  const middle = medianOfSorted(sorted);
  // Weight of the i-th smallest: -a for the lower half, +a for the upper, 0 in the middle.
  const weight = (i: number): number => {
    const j = n - 1 - i;
    if (i === j) return 0;
    return i < j ? -a[i]! : a[j]!;
  };
  let sx = 0;
  let sa = 0;
  for (let i = 0; i < n; i++) {
    sx += (sorted[i]! - middle) / range;
    sa += weight(i);
  }
  sx /= n;
  sa /= n;
  let ssa = 0;
  let ssx = 0;
  let sax = 0;
  for (let i = 0; i < n; i++) {
    const da = weight(i) - sa;
    const dx = (sorted[i]! - middle) / range - sx;
    ssa += da * da;
    ssx += dx * dx;
    sax += da * dx;
  }
  const root = Math.sqrt(ssa * ssx);
  // 1 - W formed as a product keeps its digits when W is near 1.
  const w1 = ((root - sax) * (root + sax)) / (ssa * ssx);
  const statistic = 1 - w1;
  if (n === 3) {
    const p = (6 / Math.PI) * (Math.asin(Math.sqrt(statistic)) - Math.asin(Math.sqrt(0.75)));
    return computed({ statistic, p: Math.min(1, Math.max(0, p)) });
  }
  let y = Math.log(w1);
  const log = Math.log(n);
  let mean: number;
  let s: number;
  if (n <= 11) {
    const gamma = -2.273 + 0.459 * n;
    if (y >= gamma) return computed({ statistic, p: 1e-99 });
    y = -Math.log(gamma - y);
    mean = polynomial([0.544, -0.39978, 0.025054, -6.714e-4], n);
    s = Math.exp(polynomial([1.3822, -0.77857, 0.062767, -0.0020322], n));
  } else {
    mean = polynomial([-1.5861, -0.31082, -0.083751, 0.0038915], log);
    s = Math.exp(polynomial([-0.4803, -0.082676, 0.0030302], log));
  }
  return computed({ statistic, p: normalSurvival((y - mean) / s) });
}

/** Weights of the outer halves, from the outside in. */
function weights(n: number): Float64Array {
  const half = Math.floor(n / 2);
  const a = new Float64Array(half);
  if (n === 3) {
    a[0] = Math.SQRT1_2;
    return a;
  }
  const m = new Float64Array(half);
  let sum = 0;
  for (let i = 0; i < half; i++) {
    m[i] = normalQuantile((i + 1 - 0.375) / (n + 0.25));
    sum += m[i]! * m[i]!;
  }
  sum *= 2;
  const root = Math.sqrt(sum);
  const r = 1 / Math.sqrt(n);
  const a1 = polynomial([0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056], r) - m[0]! / root;
  a[0] = a1;
  let from = 1;
  let factor: number;
  if (n > 5) {
    const a2 = polynomial([0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633], r) - m[1]! / root;
    factor = Math.sqrt((sum - 2 * m[0]! ** 2 - 2 * m[1]! ** 2) / (1 - 2 * a1 * a1 - 2 * a2 * a2));
    a[1] = a2;
    from = 2;
  } else {
    factor = Math.sqrt((sum - 2 * m[0]! ** 2) / (1 - 2 * a1 * a1));
  }
  for (let i = from; i < half; i++) a[i] = -m[i]! / factor;
  return a;
}

function polynomial(coefficients: readonly number[], x: number): number {
  let value = 0;
  for (let i = coefficients.length - 1; i >= 0; i--) value = value * x + coefficients[i]!;
  return value;
}

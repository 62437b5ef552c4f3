/** Slope of a trend as the median of all pair slopes. */
import { type Computed, computed, noSpread, tooFewValues } from '../outcome.ts';
import { tiedVariance } from './mann-kendall.ts';

const z95 = 1.959963984540054;

export interface TheilSen {
  readonly slope: number;
  readonly low95: number;
  readonly high95: number;
  /** Pairs with a rising x. */
  readonly pairs: number;
}

/**
 * Theil-Sen slope with Sen's interval.
 *
 * Method: all pairs with different x, O(n^2). Interval: the round((N - C)/2)-th and
 * (round((N + C)/2) + 1)-th smallest, C = z sqrt(var S) with ties and without any factor for autocorrelation; as SciPy.
 * Rounding is half to even, as R and SciPy round; ends are kept inside the list.
 * Source: P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379.
 *
 * @param x positions, not falling
 * @param y values at `x`, finite
 */
export function theilSen(x: ArrayLike<number>, y: ArrayLike<number>): Computed<TheilSen> {
  const n = y.length;
  if (n < 2) return tooFewValues(2, n);
  const slopes = new Float64Array((n * (n - 1)) / 2);
  let pairs = 0;
  for (let i = 0; i < n; i++) {
    const xi = x[i]!;
    const yi = y[i]!;
    for (let j = i + 1; j < n; j++) {
      const dx = x[j]! - xi;
      if (dx > 0) slopes[pairs++] = (y[j]! - yi) / dx;
    }
  }
  if (pairs === 0) return noSpread();
  const c = z95 * Math.sqrt(tiedVariance(y));
  const low = Math.max(1, roundHalfEven((pairs - c) / 2));
  const high = Math.min(pairs, roundHalfEven((pairs + c) / 2) + 1);
  const middle = Math.floor(pairs / 2);
  // Four order statistics are wanted, not the order: each search narrows the next.
  const low95 = selectSmallest(slopes, 0, pairs, low - 1);
  const high95 = selectSmallest(slopes, low - 1, pairs, high - 1);
  const upper = selectSmallest(slopes, low - 1, high, middle);
  const slope = pairs % 2 === 1 ? upper : (selectSmallest(slopes, low - 1, middle + 1, middle - 1) + upper) / 2;
  return computed({ slope, low95, high95, pairs });
}

/**
 * The value that sorting `values[from..to)` would put at `k`; afterwards nothing before `k` is larger, nothing after
 * smaller. Method: C. A. R. Hoare's selection, expected O(n).
 */
function selectSmallest(values: Float64Array, from: number, to: number, k: number): number {
  let left = Math.min(from, k);
  let right = Math.max(to, k + 1) - 1;
  while (left < right) {
    const pivot = medianOfThree(values[left]!, values[(left + right) >> 1]!, values[right]!);
    let i = left;
    let j = right;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i > j) break;
      const held = values[i]!;
      values[i] = values[j]!;
      values[j] = held;
      i++;
      j--;
    }
    if (k <= j) right = j;
    else if (k >= i) left = i;
    else break;
  }
  return values[k]!;
}

const medianOfThree = (a: number, b: number, c: number): number =>
  Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));

function roundHalfEven(value: number): number {
  const floor = Math.floor(value);
  const rest = value - floor;
  if (rest !== 0.5) return Math.round(value);
  return floor % 2 === 0 ? floor : floor + 1;
}

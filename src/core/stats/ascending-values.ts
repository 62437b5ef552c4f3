/** Values in ascending order, and the distinct ones with how often they come. */

/** Values written with so few steps between least and greatest are counted instead of compared. */
const mostSteps = 2_000_000;

/**
 * A sorted copy. Readings are decimals with few places: where every value is exactly a whole number of 10^-decimals
 * they are counted, O(n); else they are sorted, O(n log n).
 */
export function ascendingValues(values: ArrayLike<number>, decimals: number): Float64Array {
  return countedOrder(values, decimals) ?? Float64Array.from(values).sort();
}

function countedOrder(values: ArrayLike<number>, decimals: number): Float64Array | null {
  const n = values.length;
  const scale = 10 ** decimals;
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < n; i++) {
    const value = values[i]!;
    if (value < least) least = value;
    if (value > greatest) greatest = value;
  }
  const first = Math.round(least * scale);
  const steps = Math.round(greatest * scale) - first + 1;
  if (n === 0 || !(steps > 0) || steps > mostSteps || steps > 4 * n + 1000) return null;
  const counts = new Int32Array(steps);
  for (let i = 0; i < n; i++) {
    const step = Math.round(values[i]! * scale);
    // The quotient of two whole numbers is the double nearest to the decimal: anything else is no such decimal.
    if (step / scale !== values[i]) return null;
    counts[step - first]!++;
  }
  const sorted = new Float64Array(n);
  let at = 0;
  for (let step = 0; step < steps; step++) {
    const count = counts[step]!;
    if (count > 0) {
      sorted.fill((first + step) / scale, at, at + count);
      at += count;
    }
  }
  return sorted;
}

export interface CountedValues {
  readonly values: Float64Array;
  readonly weights: Float64Array;
  readonly n: number;
}

/** Distinct values of a sorted list with their numbers; null when there are too many of them to gain anything. */
export function countedValues(sorted: ArrayLike<number>): CountedValues | null {
  const n = sorted.length;
  let distinct = 0;
  for (let i = 0; i < n; i++) if (i === 0 || sorted[i] !== sorted[i - 1]) distinct++;
  if (distinct * 4 > n) return null;
  const values = new Float64Array(distinct);
  const weights = new Float64Array(distinct);
  let at = -1;
  for (let i = 0; i < n; i++) {
    if (i === 0 || sorted[i] !== sorted[i - 1]) values[++at] = sorted[i]!;
    weights[at]!++;
  }
  return { values, weights, n };
}

/** The step in which readings were written. */

/**
 * Display step h: 10^-k with k the most decimals written, or the smallest difference between distinct values if larger.
 *
 * @param sorted values, ascending
 * @param decimals most decimals written in any of them
 * @example displayStep([24.0, 24.02, 24.06], 2) // => 0.02
 */
export function displayStep(sorted: ArrayLike<number>, decimals: number): number {
  const written = decimalStep(decimals);
  let smallest = Number.POSITIVE_INFINITY;
  for (let i = 1; i < sorted.length; i++) {
    const difference = sorted[i]! - sorted[i - 1]!;
    // Differences under half a written step are floating point (or a conversion), not two values.
    if (difference > written / 2 && difference < smallest) {
      smallest = difference;
      if (smallest <= written * 1.000001) return written;
    }
  }
  if (!Number.isFinite(smallest) || smallest <= written) return written;
  // Two decimals written give steps of whole hundredths: take the rounding of the subtraction out again. Values that
  // were converted from another unit keep their own step.
  const steps = smallest / written;
  const whole = Math.round(steps);
  return Number((Math.abs(steps - whole) < 1e-6 ? whole * written : smallest).toPrecision(12));
}

/** 10^-k as the nearest double of its decimal text. */
export function decimalStep(decimals: number): number {
  return Number(`1e-${decimals}`);
}

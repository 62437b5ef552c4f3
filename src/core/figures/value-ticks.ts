/** Round values for a scale of numbers. */

/**
 * Multiples of 1, 2 or 5 times a power of ten inside a scale, at most `most` of them.
 *
 * @param most how many ticks the axis has room for, at least 1
 * @returns the values in rising order and the decimals that print them without loss; no ticks when the scale is empty
 * @example valueTicks(21.7, 26.3, 6) // => { values: [22, 23, 24, 25, 26], decimals: 0 }
 */
export function valueTicks(min: number, max: number, most: number): { values: number[]; decimals: number } {
  const low = Math.min(min, max);
  const high = Math.max(min, max);
  if (!Number.isFinite(low + high)) throw new RangeError(`scale from ${min} to ${max}`);
  if (high === low) return { values: [], decimals: 0 };
  let power = Math.floor(Math.log10((high - low) / Math.max(1, most))) - 1;
  for (;;) {
    for (const factor of [1, 2, 5]) {
      // Divide by a whole power of ten: 0.1 * 3 is not 0.3, 3 / 10 is.
      const scale = 10 ** Math.abs(power);
      const at = (k: number): number => (power < 0 ? (k * factor) / scale : k * factor * scale);
      const step = at(1);
      const first = Math.ceil(low / step - 1e-9);
      const last = Math.floor(high / step + 1e-9);
      if (last - first + 1 <= Math.max(1, most)) {
        const values: number[] = [];
        for (let k = first; k <= last; k += 1) values.push(at(k));
        return { values, decimals: Math.max(0, -power) };
      }
    }
    power += 1;
  }
}

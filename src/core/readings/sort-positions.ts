/**
 * Positions sorted by a key each, stable; absent keys (NaN) come last either way.
 *
 * Method: radix sort on the bits of the double, 16 at a time, passes in which all keys agree left out; O(n).
 *
 * @param positions not modified
 * @param keyOf key of a position; NaN: none
 */
export function sortPositions(
  positions: Uint32Array,
  keyOf: (position: number) => number,
  descending: boolean,
): Uint32Array<ArrayBuffer> {
  const n = positions.length;
  const keys = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    const key = keyOf(positions[k]!);
    keys[k] = Number.isNaN(key) ? Number.POSITIVE_INFINITY : descending ? -key : key;
  }
  const bits = new Uint32Array(keys.buffer);
  // An order of unsigned numbers: negative doubles turned round, positive ones moved above them.
  const digits = [0, 1, 2, 3].map(() => new Uint16Array(n));
  for (let k = 0; k < n; k++) {
    const high = bits[2 * k + 1]!;
    const low = bits[2 * k]!;
    // -0 and 0 are one key.
    const zero = (high & 0x7fffffff) === 0 && low === 0;
    const turned = zero || (high & 0x80000000) === 0 ? high | 0x80000000 : ~high;
    const turnedLow = zero || (high & 0x80000000) === 0 ? low : ~low;
    const top = zero ? 0x80000000 : turned;
    digits[0]![k] = turnedLow & 0xffff;
    digits[1]![k] = (turnedLow >>> 16) & 0xffff;
    digits[2]![k] = top & 0xffff;
    digits[3]![k] = (top >>> 16) & 0xffff;
  }
  let from = Uint32Array.from({ length: n }, (_, k) => k);
  let into = new Uint32Array(n);
  const counts = new Uint32Array(65_537);
  for (const digit of digits) {
    counts.fill(0);
    for (let k = 0; k < n; k++) counts[digit[k]! + 1]!++;
    if (n > 0 && counts[digit[0]! + 1] === n) continue;
    for (let d = 0; d < 65_536; d++) counts[d + 1]! += counts[d]!;
    for (let k = 0; k < n; k++) {
      const at = from[k]!;
      into[counts[digit[at]!]!++] = at;
    }
    const swap = from;
    from = into;
    into = swap;
  }
  for (let k = 0; k < n; k++) into[k] = positions[from[k]!]!;
  return into;
}

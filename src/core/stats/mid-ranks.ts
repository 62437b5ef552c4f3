/**
 * Ranks from 1, equal values sharing the mean of the ranks they cover.
 *
 * Method: sort, O(n log n); equal to R `rank(x)`.
 *
 * @param values finite numbers; not modified
 */
export function midRanks(values: ArrayLike<number>): Float64Array {
  const n = values.length;
  const order = Uint32Array.from({ length: n }, (_, i) => i).sort((a, b) => values[a]! - values[b]!);
  const ranks = new Float64Array(n);
  let from = 0;
  while (from < n) {
    let to = from;
    while (to + 1 < n && values[order[to + 1]!] === values[order[from]!]) to++;
    for (let k = from; k <= to; k++) ranks[order[k]!] = (from + to) / 2 + 1;
    from = to + 1;
  }
  return ranks;
}

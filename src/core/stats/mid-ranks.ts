/**
 * Ranks from 1, equal values sharing the mean of the ranks they cover.
 *
 * Method: numeric sort, then each value looked up by halving, O(n log n); equal to R `rank(x)`.
 *
 * @param values finite numbers; not modified
 */
export function midRanks(values: ArrayLike<number>): Float64Array {
  const n = values.length;
  const sorted = Float64Array.from(values).sort();
  // Mean rank of the run of equal values that each place belongs to.
  const rankAt = new Float64Array(n);
  let from = 0;
  while (from < n) {
    let to = from;
    while (to + 1 < n && sorted[to + 1] === sorted[from]) to++;
    rankAt.fill((from + to) / 2 + 1, from, to + 1);
    from = to + 1;
  }
  const ranks = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const value = values[i]!;
    let low = 0;
    let high = n - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (sorted[middle]! < value) low = middle + 1;
      else high = middle;
    }
    ranks[i] = rankAt[low]!;
  }
  return ranks;
}

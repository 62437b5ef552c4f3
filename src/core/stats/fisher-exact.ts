/**
 * Fisher's exact test of a two by two table, two-sided: the chance, with both margins held, of a table as likely as the
 * one seen or less.
 *
 * Tables count as equally likely when they differ by less than 1e-7, relatively, as in R's `fisher.test`: equal
 * probabilities may differ in their last bits.
 *
 * Method: hypergeometric weights from the mode outwards by their ratios, no factorials; stops where the weights no longer
 * count, so that it costs about ten standard deviations, not the whole support.
 * Source: R. A. Fisher, J. R. Stat. Soc. 98 (1935) 39; rule for two sides as R 4.2.2.
 *
 * @param a passes of the first group, `b` its fails, `c` passes of the second, `d` its fails; whole, not negative
 * @returns p, 0..1; 1 where a margin is empty
 * @example fisherExact(3, 1, 1, 3) // => 0.48571428571428577
 */
export function fisherExact(a: number, b: number, c: number, d: number): number {
  for (const cell of [a, b, c, d]) {
    if (!Number.isInteger(cell) || cell < 0) throw new RangeError(`cell of a table is ${cell}`);
  }
  const row = a + b;
  const column = a + c;
  const all = a + b + c + d;
  const least = Math.max(0, row + column - all);
  const most = Math.min(row, column);
  if (least === most) return 1;
  /** P(k + 1) / P(k). */
  const ratio = (k: number): number => ((row - k) * (column - k)) / ((k + 1) * (all - row - column + k + 1));
  const mode = Math.min(most, Math.max(least, Math.floor(((row + 1) * (column + 1)) / (all + 2))));
  let seen = 1;
  if (a > mode) for (let k = mode; k < a && seen > 0; k++) seen *= ratio(k);
  else for (let k = mode; k > a && seen > 0; k--) seen /= ratio(k - 1);
  if (seen === 0) return 0;
  const atMost = seen * (1 + 1e-7);
  const negligible = Math.min(1e-30, seen * 1e-20);
  let total = 1;
  let asUnlikely = 1 <= atMost ? 1 : 0;
  for (let k = mode, weight = 1; k < most; k++) {
    weight *= ratio(k);
    if (weight < negligible) break;
    total += weight;
    if (weight <= atMost) asUnlikely += weight;
  }
  for (let k = mode, weight = 1; k > least; k--) {
    weight /= ratio(k - 1);
    if (weight < negligible) break;
    total += weight;
    if (weight <= atMost) asUnlikely += weight;
  }
  return Math.min(1, asUnlikely / total);
}

/**
 * P-values adjusted so that the expected share of false discoveries stays at the level they are compared with.
 *
 * Method: step-up, O(n log n); equal to R `p.adjust(p, "BH")`.
 * Source: Y. Benjamini, Y. Hochberg, J. R. Stat. Soc. B 57 (1995) 289.
 *
 * @param pValues 0..1 each, in any order
 * @returns adjusted values in the order given
 */
export function benjaminiHochberg(pValues: readonly number[]): number[] {
  const order = pValues.map((_, index) => index).sort((a, b) => pValues[a]! - pValues[b]!);
  const adjusted = new Array<number>(pValues.length).fill(1);
  let least = 1;
  for (let rank = order.length; rank >= 1; rank--) {
    const index = order[rank - 1]!;
    least = Math.min(least, (pValues[index]! * order.length) / rank);
    adjusted[index] = least;
  }
  return adjusted;
}

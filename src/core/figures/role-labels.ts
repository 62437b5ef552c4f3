/** Places for the names that stand above the columns of a quoted line, so that none runs into another. */

export interface RoleLabel {
  /** Where the column begins, px. */
  readonly x: number;
  /** Width of the name, px. */
  readonly width: number;
}

/**
 * Levels for names that each begin above their own column, with a leader down to it; 0 is the lowest.
 *
 * A name that would run into the next column's leader goes above that column's name. Leaders then never cross a name:
 * everything that begins under a name stands lower than it.
 *
 * @param labels in order of `x`
 * @param gapPx least room between a name and what follows it
 * @example roleLevels([{ x: 0, width: 40 }, { x: 30, width: 40 }], 4) // => [1, 0]
 */
export function roleLevels(labels: readonly RoleLabel[], gapPx: number): number[] {
  const levels = new Array<number>(labels.length).fill(0);
  for (let j = labels.length - 1; j >= 0; j -= 1) {
    const label = labels[j]!;
    for (let i = j + 1; i < labels.length && labels[i]!.x < label.x + label.width + gapPx; i += 1) {
      levels[j] = Math.max(levels[j]!, levels[i]! + 1);
    }
  }
  return levels;
}

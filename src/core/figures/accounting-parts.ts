/** The accounting bar of a file: how its lines divide into accepted, already held, rejected, blank or header. */
import type { LineCounts } from '../intake/vocabulary.ts';

export type AccountingPart = 'accepted' | 'held' | 'rejected' | 'rest';

export interface DrawnPart {
  readonly part: AccountingPart;
  readonly lines: number;
  /** Left edge and width, px. Width 0: nothing is drawn, the number is. */
  readonly x: number;
  readonly width: number;
  /** Drawn wider than its share, so that it can be seen and pressed. */
  readonly widened: boolean;
}

const leastPx = 6;
const gapPx = 2;

/**
 * Divides a bar of `widthPx` by lines, in fixed order. Parts under 6 px are drawn 6 px wide, taken from the others in
 * proportion; empty parts are not drawn.
 */
export function accountingParts(lines: LineCounts, widthPx: number): DrawnPart[] {
  const counts: [AccountingPart, number][] = [
    ['accepted', lines.accepted],
    ['held', lines.alreadyHeld],
    ['rejected', lines.rejected],
    ['rest', lines.blank + lines.header],
  ];
  const drawn = counts.filter(([, count]) => count > 0);
  let room = widthPx - gapPx * Math.max(0, drawn.length - 1);
  let rest = drawn.reduce((sum, [, count]) => sum + count, 0);
  const widened = new Set<AccountingPart>();
  // A part that falls under the least width shrinks the others, which may bring the next one under it: until none does.
  for (let again = true; again; ) {
    again = false;
    for (const [part, count] of drawn) {
      if (widened.has(part) || (count / rest) * room >= leastPx) continue;
      widened.add(part);
      room -= leastPx;
      rest -= count;
      again = true;
    }
  }
  let x = 0;
  return counts.map(([part, count]) => {
    if (count === 0) return { part, lines: 0, x, width: 0, widened: false };
    const width = widened.has(part) ? leastPx : (count / rest) * room;
    const here = x;
    x += width + gapPx;
    return { part, lines: count, x: here, width, widened: widened.has(part) };
  });
}

/** A clock axis with its idle stretches cut out: from civil time to place on the axis, and back. */
import type { ClockAxis } from '../contract/models/review-model.ts';

/**
 * Place of a civil time on the axis, in axis ms.
 *
 * A time inside a cut lies inside the cut's width, in proportion; before the first and after the last span, at the end.
 */
export function clockPosition(axis: ClockAxis, at: number): number {
  const { spans } = axis;
  let low = 0;
  let high = spans.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const span = spans[middle]!;
    if (at < span.from) high = middle - 1;
    else if (at > span.to) low = middle + 1;
    else return span.offset + (at - span.from);
  }
  const before = spans[high];
  const after = spans[high + 1];
  if (!before) return 0;
  if (!after) return axis.length;
  const left = before.offset + (before.to - before.from);
  const share = (at - before.to) / (after.from - before.to);
  return left + share * (after.offset - left);
}

/** Civil time at a place on the axis: inside a cut, in proportion. */
export function clockTime(axis: ClockAxis, offset: number): number {
  const { spans } = axis;
  let before: ClockAxis['spans'][number] | undefined;
  for (const span of spans) {
    const end = span.offset + (span.to - span.from);
    if (offset < span.offset) {
      if (!before) return span.from;
      const left = before.offset + (before.to - before.from);
      return before.to + ((offset - left) / (span.offset - left)) * (span.from - before.to);
    }
    if (offset <= end) return span.from + (offset - span.offset);
    before = span;
  }
  return before ? before.to : 0;
}

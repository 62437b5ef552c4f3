import { shiftOccurrence } from '../readings/shift-occurrence.ts';
import type { Shift } from '../register/register.ts';
import { msPerDay, msPerMinute } from '../time/civil-time.ts';

/** The name of a break, an empty text for a break without one, null for a pause that is no break. */
export type PauseName = string | null;

/** A time with seconds, as `shiftOccurrence` wants it. */
const withTime = 2;
const stretchedBy = 20 * msPerMinute;

/**
 * Which break of its shift a stretch without readings is: the one that covers most of it.
 *
 * People stop before the bell and start after it, so a pause is a break when it holds at least half of it and is at most
 * 20 min longer (common practice, no source).
 *
 * @param gap civil ms
 */
export function breakIn(shifts: readonly Shift[], gap: { readonly from: number; readonly to: number }): PauseName {
  const occurrence = shiftOccurrence(shifts, gap.from, withTime);
  const shift = occurrence ? shifts[occurrence.shift] : undefined;
  if (!occurrence || !shift) return null;
  let most = 0;
  let name: PauseName = null;
  for (const one of shift.breaks) {
    // A night shift's break may lie after midnight, on the day after the one it is named by.
    const early = one.startMinute < shift.startMinute ? msPerDay : 0;
    const from = occurrence.day + early + one.startMinute * msPerMinute;
    const minutes = (one.endMinute - one.startMinute + 1440) % 1440;
    const to = from + minutes * msPerMinute;
    const shared = Math.min(to, gap.to) - Math.max(from, gap.from);
    if (shared > most && shared >= (to - from) / 2 && gap.to - gap.from - shared <= stretchedBy) {
      most = shared;
      name = one.name ?? '';
    }
  }
  return name;
}

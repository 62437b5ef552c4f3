/** A date that was read under one order of its parts, under another. */
import { civilFields, civilTime, msPerDay } from '../time/civil-time.ts';
import type { DateOrder } from './vocabulary.ts';

/**
 * The civil time that the same written date means under another order; the time of day stays.
 *
 * @param at civil ms, read under `from`
 * @returns civil ms; null: there is no such date under `to`
 * @example underOrder(Date.UTC(2026, 2, 5), 'dmy', 'mdy') // => 3 May 2026
 */
export function underOrder(at: number, from: DateOrder, to: DateOrder): number | null {
  if (from === to) return at;
  const midnight = Math.floor(at / msPerDay) * msPerDay;
  const f = civilFields(midnight);
  // Parts as written: first, second, third. Only two-digit years leave a choice with the year first.
  const [a, b, c] =
    from === 'dmy'
      ? [f.day, f.month, f.year]
      : from === 'mdy'
        ? [f.month, f.day, f.year]
        : [f.year % 100, f.month, f.day];
  const year = to === 'ymd' ? 2000 + a : from === 'ymd' ? 2000 + c : c;
  const day = to === 'dmy' ? civilTime(year, b, a) : to === 'mdy' ? civilTime(year, a, b) : civilTime(year, b, c % 100);
  return day === null ? null : day + (at - midnight);
}

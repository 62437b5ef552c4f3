import type { Shift } from '../register/register.ts';
import { msPerDay, msPerMinute } from '../time/civil-time.ts';

/** One occurrence of a shift: which shift (-1: outside all), and the civil day on which it starts (ms). */
export interface ShiftOccurrence {
  readonly shift: number;
  readonly day: number;
}

/** Code in `atStep` of a date without a time of day. */
export const dateOnly = 4;
/** Code in `atStep` of no date at all. */
export const noDate = 0;

/** Minutes of a day: the length of one weekday's part of a shift table. */
export const minutesPerDay = 1440;
const daysPerWeek = 7;

/**
 * Which shift holds each minute of the week, ready for a million look-ups: `tablePlace` says where.
 *
 * Shifts start and end on whole minutes, so the minute of a time decides. Where shifts overlap the first in the
 * register's list holds. `end <= start` runs past midnight; the part after midnight belongs to the day before, and it is
 * that day whose weekday must be one of the shift's.
 */
export interface ShiftTable {
  /** Position of the shift, by minute of the week from Monday 00:00; -1: none. */
  readonly shift: Int16Array;
  /** 1: the occurrence started on the day before. */
  readonly dayBefore: Uint8Array;
}

export function shiftTable(shifts: readonly Shift[]): ShiftTable {
  const shift = new Int16Array(daysPerWeek * minutesPerDay).fill(-1);
  const dayBefore = new Uint8Array(daysPerWeek * minutesPerDay);
  shifts.forEach((one, position) => {
    const pastMidnight = one.endMinute <= one.startMinute;
    const startsOn = (weekday: number): boolean =>
      one.weekdays === null || one.weekdays.includes((weekday + daysPerWeek) % daysPerWeek);
    for (let weekday = 0; weekday < daysPerWeek; weekday++) {
      for (let minute = 0; minute < minutesPerDay; minute++) {
        const place = weekday * minutesPerDay + minute;
        if (shift[place] !== -1) continue;
        const today = minute >= one.startMinute && (pastMidnight || minute < one.endMinute);
        const yesterday = pastMidnight && !today && minute < one.endMinute;
        if (today && startsOn(weekday)) shift[place] = position;
        else if (yesterday && startsOn(weekday - 1)) {
          shift[place] = position;
          dayBefore[place] = 1;
        }
      }
    }
  });
  return { shift, dayBefore };
}

/** 0 for Monday to 6 for Sunday. */
export function weekdayOf(at: number): number {
  // 1 January 1970 was a Thursday.
  return (((Math.floor(at / msPerDay) + 3) % daysPerWeek) + daysPerWeek) % daysPerWeek;
}

/** Place in a shift table of a civil time, given the start of its day. */
export function tablePlace(at: number, midnight: number): number {
  return weekdayOf(midnight) * minutesPerDay + Math.floor((at - midnight) / msPerMinute);
}

const tables = new WeakMap<readonly Shift[], ShiftTable>();
const tableOf = (shifts: readonly Shift[]): ShiftTable => {
  let table = tables.get(shifts);
  if (!table) {
    table = shiftTable(shifts);
    tables.set(shifts, table);
  }
  return table;
};

/**
 * The shift occurrence that holds a civil time: start <= time < end, named by the day on which it starts.
 *
 * @param at civil ms, NaN without a date
 * @param atStepCode precision as in `ReadingColumns.atStep`; a date alone is a day and no shift
 * @returns null without a date; shift -1 outside all shifts, with the civil day
 */
export function shiftOccurrence(shifts: readonly Shift[], at: number, atStepCode: number): ShiftOccurrence | null {
  if (atStepCode === noDate || Number.isNaN(at)) return null;
  const midnight = Math.floor(at / msPerDay) * msPerDay;
  if (atStepCode === dateOnly) return { shift: -1, day: midnight };
  const table = tableOf(shifts);
  const place = tablePlace(at, midnight);
  return { shift: table.shift[place]!, day: table.dayBefore[place] === 1 ? midnight - msPerDay : midnight };
}

/** Room for the shifts of a day in a block key. */
const perDay = 1024;

/**
 * The block of a civil time as one number: the shift occurrence, or the civil day where no shift holds it.
 *
 * Equal keys, same block. Keys grow with the day; within a day they do not tell which shift came first.
 *
 * @returns NaN without a date
 */
export function blockKey(shifts: readonly Shift[], at: number, atStepCode: number): number {
  if (atStepCode === noDate || Number.isNaN(at)) return Number.NaN;
  const day = Math.floor(at / msPerDay);
  if (atStepCode === dateOnly) return day * perDay;
  const table = tableOf(shifts);
  const place = tablePlace(at, day * msPerDay);
  return (day - table.dayBefore[place]!) * perDay + table.shift[place]! + 1;
}

/** What a block key stands for. */
export function blockOfKey(key: number): ShiftOccurrence {
  const day = Math.floor(key / perDay);
  return { shift: key - day * perDay - 1, day: day * msPerDay };
}

/** First instant of an occurrence and the first after it; the whole civil day where it is no shift. */
export function occurrenceSpan(shifts: readonly Shift[], occurrence: ShiftOccurrence): { from: number; to: number } {
  const shift = shifts[occurrence.shift];
  if (!shift) return { from: occurrence.day, to: occurrence.day + msPerDay };
  const end = shift.endMinute <= shift.startMinute ? shift.endMinute + 1440 : shift.endMinute;
  return {
    from: occurrence.day + shift.startMinute * msPerMinute,
    to: occurrence.day + end * msPerMinute,
  };
}

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

/**
 * Which shift holds each minute of the day, ready for a million look-ups.
 *
 * Shifts start and end on whole minutes, so the minute of a time decides. Where shifts overlap the first in the
 * register's list holds. `end <= start` runs past midnight; the part after midnight belongs to the day before.
 */
export interface ShiftTable {
  /** Position of the shift, by minute of the day; -1: none. */
  readonly shift: Int16Array;
  /** 1: the occurrence started on the day before. */
  readonly dayBefore: Uint8Array;
}

export function shiftTable(shifts: readonly Shift[]): ShiftTable {
  const shift = new Int16Array(1440).fill(-1);
  const dayBefore = new Uint8Array(1440);
  shifts.forEach((one, position) => {
    const pastMidnight = one.endMinute <= one.startMinute;
    for (let minute = 0; minute < 1440; minute++) {
      if (shift[minute] !== -1) continue;
      if (pastMidnight) {
        if (minute >= one.startMinute) shift[minute] = position;
        else if (minute < one.endMinute) {
          shift[minute] = position;
          dayBefore[minute] = 1;
        }
      } else if (minute >= one.startMinute && minute < one.endMinute) shift[minute] = position;
    }
  });
  return { shift, dayBefore };
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
  const minute = Math.floor((at - midnight) / msPerMinute);
  return { shift: table.shift[minute]!, day: table.dayBefore[minute] === 1 ? midnight - msPerDay : midnight };
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
  const minute = Math.floor((at - day * msPerDay) / msPerMinute);
  return (day - table.dayBefore[minute]!) * perDay + table.shift[minute]! + 1;
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

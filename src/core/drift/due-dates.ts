/** When calibrations and checks are due (definitions 13). */
import type { DueDate } from '../contract/models/drift-model.ts';
import type { Tool } from '../register/register.ts';
import { civilFields, civilTime, daysInMonth, msPerDay, startOfDay } from '../time/civil-time.ts';

/** ISO 6789, 2003 edition, seen second-hand: without a user's own procedure 12 months or 5,000 cycles. */
export const defaultIntervalMonths = 12;
export const defaultIntervalCycles = 5000;

/**
 * The same day of the month a number of months later, or that month's last day where there is none.
 *
 * @param at civil ms; the time of day is dropped
 * @param months whole months, may be negative
 * @example addMonths(Date.UTC(2024, 0, 31), 1) // => 29 February 2024
 */
export function addMonths(at: number, months: number): number {
  const f = civilFields(at);
  const count = f.year * 12 + (f.month - 1) + months;
  const year = Math.floor(count / 12);
  const month = count - year * 12 + 1;
  const day = civilTime(year, month, Math.min(f.day, daysInMonth(year, month)));
  if (day === null) throw new RangeError(`no day ${months} months after ${at}`);
  return day;
}

/** The newest calibration known: entered by hand or an event; null: none. Later than `now` does not count. */
export function lastCalibration(tool: Pick<Tool, 'calibratedOn' | 'events'>, now: number): number | null {
  let last: number | null = tool.calibratedOn !== null && tool.calibratedOn <= now ? tool.calibratedOn : null;
  for (const event of tool.events) {
    if (event.kind === 'calibration' && event.at <= now && (last === null || event.at > last)) last = event.at;
  }
  return last;
}

/** Pulls after which a tool is calibrated again; null: it goes by months only. */
export function cycleInterval(tool: Pick<Tool, 'intervalMonths' | 'intervalCycles'>): number | null {
  if (tool.intervalMonths === null && tool.intervalCycles === null) return defaultIntervalCycles;
  return tool.intervalCycles === null || tool.intervalCycles < 1 ? null : tool.intervalCycles;
}

/**
 * When the calibration of a tool is due: date plus months, until the end of that day, or the day on which the readings
 * held since reach the cycle interval, whichever is first. The count is a lower bound: not every pull is held.
 *
 * @param tool intervals; both absent: the default of ISO 6789 stands in
 * @param calibratedAt civil ms of the last calibration; null gives null
 * @param timesSince civil ms of the tool's readings after the calibration, rising; those past the cycle interval may lack
 * @param now civil ms
 */
export function calibrationDue(
  tool: Pick<Tool, 'intervalMonths' | 'intervalCycles'>,
  calibratedAt: number | null,
  timesSince: ArrayLike<number>,
  now: number,
): DueDate | null {
  if (calibratedAt === null) return null;
  const byDefault = tool.intervalMonths === null && tool.intervalCycles === null;
  const months = byDefault ? defaultIntervalMonths : tool.intervalMonths;
  const cycles = cycleInterval(tool);
  const byMonths = months === null ? null : addMonths(calibratedAt, months);
  const reachedAt = cycles === null ? undefined : timesSince[cycles - 1];
  if (reachedAt !== undefined && (byMonths === null || startOfDay(reachedAt) <= byMonths)) {
    // The interval is used up by that very reading: overdue from then on, not from the end of the day.
    return { on: startOfDay(reachedAt), overdue: now >= reachedAt, because: 'cycles', byDefault };
  }
  if (byMonths === null) return null;
  return { on: byMonths, overdue: now >= byMonths + msPerDay, because: 'months', byDefault };
}

/**
 * When the next check on a reference is due: `checkEveryDays` after the last check, or after the last calibration where
 * there was no check since.
 *
 * @returns null when the plant asks for no checks, or nothing to count from is known
 */
export function checkDue(
  tool: Pick<Tool, 'checkEveryDays'>,
  lastCheckAt: number | null,
  calibratedAt: number | null,
  now: number,
): DueDate | null {
  if (tool.checkEveryDays === null) return null;
  const from =
    lastCheckAt === null ? calibratedAt : calibratedAt === null ? lastCheckAt : Math.max(lastCheckAt, calibratedAt);
  if (from === null) return null;
  const on = startOfDay(from) + tool.checkEveryDays * msPerDay;
  return { on, overdue: now >= on + msPerDay, because: 'days', byDefault: false };
}

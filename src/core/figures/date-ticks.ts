/** Dates for a time axis. */
import { civilFields, civilTime, msPerDay, msPerMinute, startOfDay } from '../time/civil-time.ts';
import type { AxisTick } from './figure.ts';
import { figureFormat } from './figure-format.ts';

const dayLabelPx = 58;

/**
 * Ticks at starts of days, of weeks (Mondays) or of months, as many as fit; within two days, at whole hours or minutes.
 *
 * @param from civil ms at the left end
 * @param to civil ms at the right end, after `from`
 * @param widthPx room for the axis
 */
export function dateTicks(from: number, to: number, widthPx: number): AxisTick[] {
  const most = Math.max(2, Math.floor(widthPx / dayLabelPx));
  if (to - from <= 2 * msPerDay) {
    const ticks = hourTicks(from, to, most);
    // A first label with a day and a time needs more room.
    return ticks[0]?.label.includes(', ') ? hourTicks(from, to, Math.max(1, Math.floor((most * 3) / 4))) : ticks;
  }
  const days = (to - from) / msPerDay;
  for (const step of [1, 2]) {
    if (days / step <= most) return each(startOfDay(from + msPerDay - 1), to, (at) => at + step * msPerDay);
  }
  const monday = startOfDay(from + msPerDay - 1) + ((8 - civilFields(from + msPerDay - 1).weekday) % 7) * msPerDay;
  for (const weeks of [1, 2]) {
    if (days / (7 * weeks) <= most) return each(monday, to, (at) => at + weeks * 7 * msPerDay);
  }
  for (const months of [1, 2, 3, 6, 12]) {
    if (days / (30.4 * months) <= most || months === 12) return monthTicks(from, to, months);
  }
  return [];
}

function each(first: number, to: number, next: (at: number) => number): AxisTick[] {
  const out: AxisTick[] = [];
  for (let at = first; at <= to; at = next(at)) out.push({ at, label: figureFormat.dayMonth(at) });
  return out;
}

const minuteSteps = [1, 2, 5, 10, 15, 30, 60, 120, 180, 240, 360, 720, 1440];

/** At whole steps of minutes or hours; the first tick names the day, and so does every midnight. */
function hourTicks(from: number, to: number, most: number): AxisTick[] {
  const minutes = (to - from) / msPerMinute;
  const step = (minuteSteps.find((m) => minutes / m <= most) ?? 1440) * msPerMinute;
  const out: AxisTick[] = [];
  for (let at = Math.ceil(from / step) * step; at <= to; at += step) {
    const label = at === startOfDay(at) ? figureFormat.dayMonth(at) : figureFormat.time(at);
    out.push({ at, label: out.length > 0 || at === startOfDay(at) ? label : `${figureFormat.dayMonth(at)}, ${label}` });
  }
  return out;
}

function monthTicks(from: number, to: number, step: number): AxisTick[] {
  const start = civilFields(from);
  const out: AxisTick[] = [];
  for (let k = 0; ; k += 1) {
    const month = start.month - 1 + k;
    const at = civilTime(start.year + Math.floor(month / 12), (month % 12) + 1, 1);
    if (at === null || at > to) return out;
    if (at >= from && (month % 12) % step === 0) {
      const f = civilFields(at);
      const label = figureFormat.dayMonth(at).replace(/^1 /, '');
      out.push({ at, label: f.month === 1 ? `${label} ${f.year}` : label });
    }
  }
}

/**
 * Civil time: what the device's clock showed, kept as milliseconds since 1970-01-01 as if that clock were UTC.
 *
 * No zone is ever guessed or applied, so every conversion here is pure arithmetic on the proleptic Gregorian calendar.
 */
export const msPerDay = 86_400_000;
export const msPerHour = 3_600_000;
export const msPerMinute = 60_000;

/** Calendar fields of a civil time; month and day count from 1, weekday from Monday = 1 to Sunday = 7 (ISO 8601). */
export interface CivilFields {
  readonly year: number;
  readonly month: number;
  readonly day: number;
  readonly hour: number;
  readonly minute: number;
  readonly second: number;
  readonly millisecond: number;
  readonly weekday: number;
}

/**
 * Civil time of calendar fields, or null when there is no such day or time of day (31 February, 24:03).
 *
 * @example civilTime(1970, 1, 2) // => 86400000
 */
export function civilTime(
  year: number,
  month: number,
  day: number,
  hour = 0,
  minute = 0,
  second = 0,
  millisecond = 0,
): number | null {
  if (month < 1 || month > 12 || day < 1 || day > daysInMonth(year, month)) return null;
  if (hour < 0 || hour > 23 || minute < 0 || minute > 59 || second < 0 || second > 59) return null;
  return daysFromCivil(year, month, day) * msPerDay + ((hour * 60 + minute) * 60 + second) * 1000 + millisecond;
}

/** Days in a month of the Gregorian calendar. */
export function daysInMonth(year: number, month: number): number {
  if (month === 2) return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0 ? 29 : 28;
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
}

/** Days from 1970-01-01 to a date. Method: H. Hinnant's days-from-civil arithmetic (public domain). */
export function daysFromCivil(year: number, month: number, day: number): number {
  const y = month <= 2 ? year - 1 : year;
  const era = Math.floor(y / 400);
  const yearOfEra = y - era * 400;
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  const dayOfEra = yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146_097 + dayOfEra - 719_468;
}

/** Calendar fields of a civil time. */
export function civilFields(at: number): CivilFields {
  const days = Math.floor(at / msPerDay);
  const rest = at - days * msPerDay;
  const z = days + 719_468;
  const era = Math.floor(z / 146_097);
  const dayOfEra = z - era * 146_097;
  const yearOfEra = Math.floor(
    (dayOfEra - Math.floor(dayOfEra / 1460) + Math.floor(dayOfEra / 36_524) - Math.floor(dayOfEra / 146_096)) / 365,
  );
  const dayOfYear = dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const shifted = Math.floor((5 * dayOfYear + 2) / 153);
  const day = dayOfYear - Math.floor((153 * shifted + 2) / 5) + 1;
  const month = shifted + (shifted < 10 ? 3 : -9);
  const year = yearOfEra + era * 400 + (month <= 2 ? 1 : 0);
  return {
    year,
    month,
    day,
    hour: Math.floor(rest / msPerHour),
    minute: Math.floor(rest / msPerMinute) % 60,
    second: Math.floor(rest / 1000) % 60,
    millisecond: rest % 1000,
    weekday: ((((days + 3) % 7) + 7) % 7) + 1,
  };
}

/** Start of the civil day that holds a time. */
export function startOfDay(at: number): number {
  return Math.floor(at / msPerDay) * msPerDay;
}

/**
 * ISO 8601 text without a zone, as long as the time is known: `2026-03-05`, `2026-03-05T06:12:44`, with a fraction
 * only if there is one.
 *
 * @param stepMs precision to which the time was written; 86,400,000 prints the date alone
 * @example civilText(0, 1000) // => '1970-01-01T00:00:00'
 */
export function civilText(at: number, stepMs = 1000): string {
  const f = civilFields(at);
  const date = `${String(f.year).padStart(4, '0')}-${two(f.month)}-${two(f.day)}`;
  if (stepMs >= msPerDay) return date;
  const fraction = f.millisecond === 0 ? '' : `.${String(f.millisecond).padStart(3, '0')}`;
  return `${date}T${two(f.hour)}:${two(f.minute)}:${two(f.second)}${fraction}`;
}

/**
 * Reads the ISO 8601 forms that `civilText` writes, with `T` or a blank and the seconds optional; null for anything else.
 *
 * For register files and options of the command line. Dumps are read by core/intake, which knows many more spellings.
 */
export function parseCivil(text: string): { at: number; hasTime: boolean } | null {
  const m = /^(\d{4})-(\d{2})-(\d{2})(?:[T ](\d{2}):(\d{2})(?::(\d{2})(?:\.(\d{1,3}))?)?)?$/.exec(text.trim());
  if (!m) return null;
  const at = civilTime(
    Number(m[1]),
    Number(m[2]),
    Number(m[3]),
    Number(m[4] ?? 0),
    Number(m[5] ?? 0),
    Number(m[6] ?? 0),
    Number((m[7] ?? '').padEnd(3, '0')),
  );
  return at === null ? null : { at, hasTime: m[4] !== undefined };
}

const two = (value: number): string => String(value).padStart(2, '0');

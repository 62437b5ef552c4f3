/**
 * Reads dates and times of day from stretches of text. Numeric dates go a hand-written way, since this runs on every
 * row; everything else (month names, compact forms, CJK) goes a general one.
 *
 * Results stand in module variables. The order of day and month is an input: each cell says which orders it allows
 * (`dateOrders`), and the caller gathers that over the whole column.
 */
import { daysFromCivil, daysInMonth, msPerDay } from '../time/civil-time.ts';
import { asciiDigits } from './cell-kind.ts';
import type { DateOrder } from './vocabulary.ts';

/** Civil ms of the date read, with the time of day where the cell held one. */
export let dateMs = 0;
/** Precision code of readings/columns.ts: 1 ms, 2 s, 3 min, 4 date only. */
export let dateStep = 4;
/** Orders under which the cell is a date: bit 1 dmy, 2 mdy, 4 ymd. 0: the spelling leaves no choice. */
export let dateOrders = 0;
/** Time of day in ms and its precision. */
export let timeMs = 0;
export let timeStep = 2;
/** A zone, offset or `Z` was written; it is kept as a fact and not applied. */
export let timeZoned = false;

/** Outcomes of reading a cell. */
export const readOk = 0;
export const readNoDate = 1;
export const readNoTime = 2;

export const orderBits: Readonly<Record<DateOrder, number>> = { dmy: 1, mdy: 2, ymd: 4 };

/** The date alone in a cell that was read last: dates repeat from row to row, and comparing is quicker than reading. */
let lastText = '';
let lastOrder = 0;
let lastYear = 0;
let lastMs = 0;
let lastOrders = 0;

function isLast(text: string, from: number, to: number, order: number, thisYear: number): boolean {
  const length = to - from;
  if (length !== lastText.length || order !== lastOrder || thisYear !== lastYear) return false;
  for (let i = 0; i < length; i++) if (text.charCodeAt(from + i) !== lastText.charCodeAt(i)) return false;
  return true;
}

let cachedYear = -1;
let cachedMonth = -1;
let cachedDay = -1;
let cachedMs = 0;

function dayMs(year: number, month: number, day: number): number {
  if (year !== cachedYear || month !== cachedMonth || day !== cachedDay) {
    cachedYear = year;
    cachedMonth = month;
    cachedDay = day;
    cachedMs = daysFromCivil(year, month, day) * msPerDay;
  }
  return cachedMs;
}

const validDay = (year: number, month: number, day: number): boolean =>
  month >= 1 && month <= 12 && day >= 1 && (day <= 28 || day <= daysInMonth(year, month));

/** Two-digit years: 70 to 99 are the last century's (a clock that was never set), the rest this one's. */
const fullYear = (year: number, digits: number): number => (digits > 2 ? year : year >= 70 ? 1900 + year : 2000 + year);

/**
 * Reads a date, with a time of day behind it when there is one.
 *
 * @param order bit of the order in force for numeric dates
 * @param thisYear for two-digit years: a year that has not come yet is no year
 */
export function readDate(text: string, from: number, to: number, order: number, thisYear: number): number {
  if (isLast(text, from, to, order, thisYear)) {
    dateMs = lastMs;
    dateStep = 4;
    dateOrders = lastOrders;
    return readOk;
  }
  let p = from;
  while (p < to && text.charCodeAt(p) <= 32) p++;
  const start = p;
  let a = 0;
  let c = text.charCodeAt(p);
  while (p < to && c >= 48 && c <= 57) {
    a = a * 10 + (c - 48);
    p++;
    c = text.charCodeAt(p);
  }
  const la = p - start;
  if (la === 0 || la > 4 || p >= to || !isSeparator(c)) return readOtherDate(text.slice(from, to), order, thisYear);
  const separator = c;
  p++;
  let at = p;
  let b = 0;
  c = text.charCodeAt(p);
  while (p < to && c >= 48 && c <= 57) {
    b = b * 10 + (c - 48);
    p++;
    c = text.charCodeAt(p);
  }
  const lb = p - at;
  if (lb === 0 || lb > 2 || p >= to || c !== separator) return readOtherDate(text.slice(from, to), order, thisYear);
  p++;
  at = p;
  let y = 0;
  c = text.charCodeAt(p);
  while (p < to && c >= 48 && c <= 57) {
    y = y * 10 + (c - 48);
    p++;
    c = text.charCodeAt(p);
  }
  const ly = p - at;
  if (ly === 0 || ly > 4 || ly === 3) return readOtherDate(text.slice(from, to), order, thisYear);
  if (!numericDate(a, la, b, y, ly, order, thisYear)) return readNoDate;
  dateStep = 4;
  if (p < to) return timeBehind(text, p, to);
  // At most ten characters: a slice so short is a copy and keeps no file in memory.
  if (to - from <= 10) {
    lastText = text.slice(from, to);
    lastOrder = order;
    lastYear = thisYear;
    lastMs = dateMs;
    lastOrders = dateOrders;
  }
  return readOk;
}

function timeBehind(text: string, from: number, to: number): number {
  let p = from;
  const c = text.charCodeAt(p);
  // A dot or comma may stand between: `05.03.2026, 06:12`.
  if (c === 84 || c === 116 || c === 44 || c === 45 || c === 95 || c === 47) p++;
  else if (c > 32) return readNoDate;
  while (p < to && text.charCodeAt(p) <= 32) p++;
  if (p >= to) return readOk;
  if (readTime(text, p, to) !== readOk) return readNoTime;
  dateMs += timeMs;
  dateStep = timeStep;
  return readOk;
}

const isSeparator = (c: number): boolean => c === 47 || c === 46 || c === 45;

/** Sets the date of three numbers; false when it is none under any order, or none under the order in force. */
function numericDate(
  a: number,
  la: number,
  b: number,
  y: number,
  ly: number,
  order: number,
  thisYear: number,
): boolean {
  if (la > 2) {
    dateOrders = 0;
    if (la !== 4 || ly > 2 || !validDay(a, b, y)) return false;
    dateMs = dayMs(a, b, y);
    return true;
  }
  const year = fullYear(y, ly);
  let orders = 0;
  if (validDay(year, b, a)) orders = 1;
  if (validDay(year, a, b)) orders |= 2;
  if (ly <= 2 && la === 2 && a <= (thisYear % 100) + 1 && validDay(2000 + a, b, y)) orders |= 4;
  dateOrders = orders;
  if ((orders & order) === 0) return false;
  dateMs = order === 1 ? dayMs(year, b, a) : order === 2 ? dayMs(year, a, b) : dayMs(2000 + a, b, y);
  return true;
}

/** Reads a time of day: `6:12`, `06:12:44.5`, `6.12.44`, `06h12`, `061244`, with am/pm or a zone behind. */
export function readTime(text: string, from: number, to: number): number {
  let p = from;
  while (p < to && text.charCodeAt(p) <= 32) p++;
  timeZoned = false;
  const start = p;
  let hour = 0;
  let c = text.charCodeAt(p);
  while (p < to && c >= 48 && c <= 57 && p - start < 3) {
    hour = hour * 10 + (c - 48);
    p++;
    c = text.charCodeAt(p);
  }
  const digits = p - start;
  if (digits === 0 || digits > 2 || p + 2 >= to + 0 || (c !== 58 && c !== 46))
    return readOtherTime(text.slice(from, to));
  const separator = c;
  const m1 = text.charCodeAt(p + 1) - 48;
  const m2 = text.charCodeAt(p + 2) - 48;
  if (m1 < 0 || m1 > 9 || m2 < 0 || m2 > 9) return readOtherTime(text.slice(from, to));
  const minute = m1 * 10 + m2;
  p += 3;
  let second = 0;
  let fraction = 0;
  let step = 3;
  if (p < to && text.charCodeAt(p) === separator && p + 2 < to) {
    const s1 = text.charCodeAt(p + 1) - 48;
    const s2 = text.charCodeAt(p + 2) - 48;
    if (s1 < 0 || s1 > 9 || s2 < 0 || s2 > 9) return readOtherTime(text.slice(from, to));
    second = s1 * 10 + s2;
    step = 2;
    p += 3;
    if (p < to && (text.charCodeAt(p) === 46 || text.charCodeAt(p) === 44)) {
      let scale = 100;
      const at = p + 1;
      p++;
      c = text.charCodeAt(p);
      while (p < to && c >= 48 && c <= 57) {
        fraction += (c - 48) * scale;
        scale /= 10;
        p++;
        c = text.charCodeAt(p);
      }
      if (p === at) return readNoTime;
      fraction = Math.floor(fraction + 1e-6);
      step = 1;
    }
  }
  if (p < to) {
    const suffix = suffixOf(text.slice(p, to));
    if (suffix === null) return readOtherTime(text.slice(from, to));
    if (suffix === 'am' || suffix === 'pm') {
      if (hour < 1 || hour > 12) return readNoTime;
      hour = (hour % 12) + (suffix === 'pm' ? 12 : 0);
    }
  }
  return setTime(hour, minute, second, fraction, step);
}

function setTime(hour: number, minute: number, second: number, fraction: number, step: number): number {
  if (hour > 23 || minute > 59 || second > 59) return readNoTime;
  timeMs = ((hour * 60 + minute) * 60 + second) * 1000 + fraction;
  timeStep = step;
  return readOk;
}

/** What may stand behind a time: `am`, `pm`, '' for a zone (noted), null for anything else. */
function suffixOf(raw: string): 'am' | 'pm' | '' | null {
  const text = raw.trim();
  if (text === '') return '';
  const half = /^([ap])\.?\s?m?\.?\b\.?/i.exec(text);
  if (half && /^[ap](?:\.?\s?m\.?)?$/i.test(half[0])) {
    const rest = text.slice(half[0].length).trim();
    if (rest !== '' && !isZone(rest)) return null;
    if (rest !== '') timeZoned = true;
    return half[1]?.toLowerCase() === 'a' ? 'am' : 'pm';
  }
  if (isZone(text)) {
    timeZoned = true;
    return '';
  }
  return /^(?:uhr|h|時|s)$/i.test(text) ? '' : null;
}

const isZone = (text: string): boolean =>
  /^(?:z|utc|gmt|[a-z]{2,4}t|\(?(?:utc|gmt)?[+-−]\d{1,2}(?::?\d{2})?\)?|[+-]\d{2}:?\d{2} ?\(?[a-z]{2,5}\)?)$/i.test(
    text,
  );

/** General way for times of day. */
function readOtherTime(raw: string): number {
  const text = asciiDigits(raw).trim();
  timeZoned = false;
  let m = /^(午前|午後|上午|下午|AM|PM)\s*(\d{1,2})[:時时](\d{1,2})(?:[:分](\d{1,2}))?[分秒]?$/i.exec(text);
  if (m) {
    const late = /午後|下午|PM/i.test(m[1] ?? '');
    const hour = Number(m[2]);
    if (hour > 12) return readNoTime;
    return setTime((hour % 12) + (late ? 12 : 0), Number(m[3]), Number(m[4] ?? 0), 0, m[4] === undefined ? 3 : 2);
  }
  m = /^(\d{1,2})\s*[h時时]\s*(\d{1,2})?\s*(?:[m分:]n?\s*(?:(\d{1,2})\s*[s秒]?)?)?$/i.exec(text);
  if (m) return setTime(Number(m[1]), Number(m[2] ?? 0), Number(m[3] ?? 0), 0, m[3] === undefined ? 3 : 2);
  m = /^T?(\d{2})(\d{2})(\d{2})?(?:[.,](\d{1,9}))?(?:Z|[+-]\d{2}:?\d{2})?$/.exec(text);
  if (m) {
    timeZoned = /[Z+-]/.test(text);
    const fraction = m[4] === undefined ? 0 : Math.floor(Number(`0.${m[4]}`) * 1000 + 1e-6);
    return setTime(Number(m[1]), Number(m[2]), Number(m[3] ?? 0), fraction, m[4] ? 1 : m[3] === undefined ? 3 : 2);
  }
  // Full-width digits, once turned plain, go the ordinary way.
  if (text !== raw.trim() && /^\d{1,2}[:.]\d{2}/.test(text)) return readTime(text, 0, text.length);
  // A spreadsheet's time of day is a fraction of the day.
  if (/^0?[.,]\d{3,}$/.test(text)) {
    const second = Math.round(Number(text.replace(',', '.')) * 86_400);
    return second < 86_400
      ? setTime(Math.floor(second / 3600), Math.floor(second / 60) % 60, second % 60, 0, 2)
      : readNoTime;
  }
  // `61244`: a compact time whose leading zero was taken for nothing by a spreadsheet.
  m = /^(\d)(\d{2})(\d{2})$/.exec(text);
  if (m) return setTime(Number(m[1]), Number(m[2]), Number(m[3]), 0, 2);
  return readNoTime;
}

const monthsByPrefix: Readonly<Record<string, number>> = {
  jan: 1,
  ene: 1,
  gen: 1,
  sty: 1,
  feb: 2,
  fev: 2,
  lut: 2,
  mar: 3,
  mrz: 3,
  mrt: 3,
  maa: 3,
  apr: 4,
  avr: 4,
  abr: 4,
  kwi: 4,
  may: 5,
  mai: 5,
  mei: 5,
  maj: 5,
  mag: 5,
  jun: 6,
  giu: 6,
  cze: 6,
  jul: 7,
  lug: 7,
  lip: 7,
  aug: 8,
  aou: 8,
  ago: 8,
  sie: 8,
  sep: 9,
  set: 9,
  wrz: 9,
  oct: 10,
  okt: 10,
  out: 10,
  ott: 10,
  paz: 10,
  nov: 11,
  lis: 11,
  dec: 12,
  dez: 12,
  dic: 12,
  gru: 12,
};

function monthOf(name: string): number | null {
  const plain = name
    .toLowerCase()
    .normalize('NFD')
    .replace(/[\u0300-\u036f]/g, '')
    .replace('ł', 'l');
  if (plain.startsWith('juin')) return 6;
  if (plain.startsWith('juil') || plain === 'jui') return plain === 'jui' ? null : 7;
  if (plain.startsWith('marz') || plain.startsWith('maer')) return 3;
  return monthsByPrefix[plain.slice(0, 3)] ?? null;
}

/** General way for dates: compact digits, month names, CJK, and whatever the fast way did not take. */
function readOtherDate(raw: string, order: number, thisYear: number): number {
  const text = asciiDigits(raw)
    .replace(/^\ufeff/, '')
    .trim();
  dateOrders = 0;
  dateStep = 4;
  let m = /^(\d{8})(?:[T _-]?(\d{4}(?:\d{2})?(?:[.,]\d{1,9})?|\d{1,2}[:.]\d{2}.*))?(Z)?$/.exec(text);
  if (m?.[1]) {
    if (!compactDate(m[1], order, thisYear)) return readNoDate;
    return m[2] === undefined ? readOk : addTime(m[2] + (m[3] ?? ''));
  }
  m = /^(\d{2})(\d{2})(\d{2})(?:[T _-](.+))?$/.exec(text);
  if (m) {
    if (!numericDate(Number(m[1]), 2, Number(m[2]), Number(m[3]), 2, order, thisYear)) return readNoDate;
    return m[4] === undefined ? readOk : addTime(m[4]);
  }
  m = /^(\d{4})\s*[年년]\s*(\d{1,2})\s*[月월]\s*(\d{1,2})\s*[日일]?\s*(.*)$/.exec(text);
  if (m) {
    if (!validDay(Number(m[1]), Number(m[2]), Number(m[3]))) return readNoDate;
    dateMs = dayMs(Number(m[1]), Number(m[2]), Number(m[3]));
    return m[4] ? addTime(m[4]) : readOk;
  }
  const plain = text.replace(/^\p{L}{2,10}\.?,?\s+(?=\d)/u, '');
  m =
    /^(\d{1,4})(?:st|nd|rd|th|er|º|ª)?[-/. ]{1,2}(?:de )?(\p{L}{3,12})\.?[-/., ]{1,2}(?:de )?(\d{1,4})(?:[T ,]+(\S.*))?$/u.exec(
      plain,
    );
  if (m) {
    const month = monthOf(m[2] ?? '');
    const first = m[1] ?? '';
    const last = m[3] ?? '';
    if (month === null) return readNoDate;
    const [year, day] =
      first.length === 4 ? [Number(first), Number(last)] : [fullYear(Number(last), last.length), Number(first)];
    if (last.length === 3 || first.length === 3 || !validDay(year, month, day)) return readNoDate;
    dateMs = dayMs(year, month, day);
    return m[4] ? addTime(m[4]) : readOk;
  }
  m = /^(\p{L}{3,12})\.?[ -]{1,2}(\d{1,2})(?:st|nd|rd|th)?,?[ -]{1,2}(\d{4})(?:[T ,]+(\S.*))?$/u.exec(text);
  if (m) {
    const month = monthOf(m[1] ?? '');
    if (month === null || !validDay(Number(m[3]), month, Number(m[2]))) return readNoDate;
    dateMs = dayMs(Number(m[3]), month, Number(m[2]));
    return m[4] ? addTime(m[4]) : readOk;
  }
  // Blanks around the separators, or a weekday in front of a numeric date.
  const tight = plain.replace(/\s*([-/.])\s*/g, '$1').replace(/^(\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4})\.(?=\s|$)/, '$1');
  if (tight !== raw && /^\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}(?:$|[T ,])/.test(tight)) {
    return readDate(tight, 0, tight.length, order, thisYear);
  }
  return readNoDate;
}

function addTime(text: string): number {
  if (readTime(text, 0, text.length) !== readOk) return readNoTime;
  dateMs += timeMs;
  dateStep = timeStep;
  return readOk;
}

const plausibleYear = (year: number): boolean => year >= 1970 && year <= 2099;

function compactDate(digits: string, order: number, _thisYear: number): boolean {
  const n = (from: number, to: number): number => Number(digits.slice(from, to));
  const leading = n(0, 4);
  const trailing = n(4, 8);
  let orders = 0;
  if (plausibleYear(leading) && validDay(leading, n(4, 6), n(6, 8))) orders |= 4;
  if (plausibleYear(trailing) && validDay(trailing, n(2, 4), n(0, 2))) orders |= 1;
  if (plausibleYear(trailing) && validDay(trailing, n(0, 2), n(2, 4))) orders |= 2;
  dateOrders = orders;
  // Year first is no choice of order when it is the only reading.
  if (orders === 4) {
    dateOrders = 0;
    dateMs = dayMs(leading, n(4, 6), n(6, 8));
    return true;
  }
  if ((orders & order) === 0) return false;
  dateMs =
    order === 4
      ? dayMs(leading, n(4, 6), n(6, 8))
      : order === 1
        ? dayMs(trailing, n(2, 4), n(0, 2))
        : dayMs(trailing, n(0, 2), n(2, 4));
  return true;
}

/** How a column of plain numbers counts time, if at all. */
export type NumericDate = 'excel' | 'epoch-s' | 'epoch-ms';

/** Reads a number as a date under such a count; false when it is out of the count's range. */
export function readNumericDate(value: number, kind: NumericDate): boolean {
  dateOrders = 0;
  if (!Number.isFinite(value)) return false;
  if (kind === 'excel') {
    // Day 0 of the serial numbers after February 1900 is 1899-12-30.
    if (value < 1 || value > 109_574) return false;
    const days = Math.floor(value);
    const ms = Math.round((value - days) * msPerDay);
    // Nine decimals of a day are a tenth of a millisecond: seconds come back exactly, anything else is a fraction.
    const second = Math.round(ms / 1000) * 1000;
    const isSecond = Math.abs(ms - second) <= 5;
    dateMs = (days - 25_569) * msPerDay + (isSecond ? second : ms);
    dateStep = value === days ? 4 : isSecond ? 2 : 1;
    return true;
  }
  if (kind === 'epoch-s') {
    if (value < 0 || value > 4_102_444_800) return false;
    dateMs = Math.round(value * 1000);
    dateStep = Number.isInteger(value) ? 2 : 1;
    return true;
  }
  if (value < 0 || value > 4_102_444_800_000) return false;
  dateMs = Math.round(value);
  dateStep = dateMs % 1000 === 0 ? 2 : 1;
  return true;
}

/**
 * Reads one number from a stretch of text, by hand: this runs once per number of a million rows.
 *
 * The result stands in module variables (`numberValue`, `numberDecimals`, ...) so that no object is made per cell.
 */
import { asciiDigits, isDegree } from './cell-kind.ts';
import type { DecimalMark } from './vocabulary.ts';

/** The last number read. */
export let numberValue = Number.NaN;
/** Decimals as written. */
export let numberDecimals = 0;
/**
 * What the spelling says about the decimal mark: 0 nothing (no mark), 1 point for sure, 2 comma for sure,
 * 3 a point that may part thousands, 4 a comma that may part thousands.
 */
export let numberMark: 0 | 1 | 2 | 3 | 4 = 0;
/** Text glued on behind the number (`Nm`, `°`); '' none. */
export let numberTail = '';

const powers: readonly number[] = Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));

/**
 * Reads digits with at most one mark; true if the whole stretch was such a number.
 *
 * Correct rounding: the digits as an integer below 2^53 divided by an exact power of ten is the nearest double
 * (both are exact, division rounds once). Longer ones go to the general path.
 *
 * @param mark 44 comma or 46 point: the decimal mark in force; the other mark is left to the general path
 */
export function readPlainNumber(text: string, from: number, to: number, mark: number): boolean {
  let p = from;
  let negative = false;
  let c = text.charCodeAt(p);
  if (c === 45) {
    negative = true;
    p++;
  } else if (c === 43) p++;
  const first = p;
  let digits = 0;
  let value = 0;
  let decimals = -1;
  for (; p < to; p++) {
    c = text.charCodeAt(p);
    if (c >= 48 && c <= 57) {
      value = value * 10 + (c - 48);
      digits++;
      if (decimals >= 0) decimals++;
    } else if (c === mark && decimals < 0) decimals = 0;
    else return false;
  }
  if (digits === 0 || digits > 15) return false;
  numberTail = '';
  if (decimals > 0) {
    const whole = digits - decimals;
    numberValue = value / (powers[decimals] ?? 1);
    numberDecimals = decimals;
    if (decimals === 3 && whole >= 1 && whole <= 3 && text.charCodeAt(first) !== 48) numberMark = mark === 46 ? 3 : 4;
    else numberMark = mark === 46 ? 1 : 2;
  } else {
    numberValue = value;
    numberDecimals = 0;
    // `24.` ends in a mark: it can only be a decimal one.
    numberMark = decimals === 0 ? (mark === 46 ? 1 : 2) : 0;
  }
  if (negative) numberValue = -numberValue;
  return true;
}

const shape =
  /^([+-]?)(\d{1,3}(?:([.,' ])\d{3}(?:\3\d{3})*)?|\d+)?(?:([.,])(\d*))?(?:[eE]([+-]?\d{1,3}))?\s*([^\d\s.,+-][^\d]{0,15})?$/;

/**
 * Reads any spelling of a number: grouping by point, comma, blank or apostrophe, full-width digits, a typographic
 * minus, an exponent, a minus sign behind, a unit or degree sign glued on. False when it is no number.
 *
 * @param mark the decimal mark in force, or null when no cell has shown one
 */
export function readAnyNumber(raw: string, mark: DecimalMark | null): boolean {
  let text = asciiDigits(raw)
    .replace(/[\u00a0\u2007\u2009\u202f\u2060]/g, ' ')
    .replace(/[\u2212\u2013\ufe63]/g, '-')
    .replace(/[\u2019\u02bc]/g, "'")
    .trim();
  // Set even when the cell is refused under the mark in force: what it says about the mark is evidence against it.
  numberMark = 0;
  if (text.length === 0 || text.length > 60) return false;
  text = text.replace(/^([+-])\s+/, '$1');
  if (/^[\d.,' ]+-$/.test(text)) text = `-${text.slice(0, -1)}`;
  const m = shape.exec(text);
  if (!m) return false;
  const [, sign = '', body = '', group, point, fraction, exponent, tail = ''] = m;
  if (body === '' && (fraction ?? '') === '') return false;
  const clue = clueOf(body, group, point, fraction);
  numberMark = clue;
  const comma = mark === 'comma';
  let whole = body;
  let decimals = '';
  if (point !== undefined && fraction !== undefined) {
    if (group === point) return false;
    const isDecimal = mark === null || (point === ',') === comma;
    if (isDecimal) decimals = fraction;
    else {
      // The other mark: only as the one grouping mark of a whole number, `1.234` under a decimal comma.
      if (group !== undefined || fraction.length !== 3 || body.length < 1 || body.length > 3 || exponent !== undefined)
        return false;
      if (/^0/.test(body)) return false;
      whole = body + fraction;
    }
  }
  if (group !== undefined) {
    const groupIsDecimalMark = (group === ',' && comma) || (group === '.' && !comma);
    const once = whole.split(group).length === 2;
    if ((group === '.' || group === ',') && groupIsDecimalMark && mark !== null) {
      // `1,234` under a decimal comma was taken for grouping by the pattern: it is a decimal number.
      if (!once || point !== undefined) return false;
      decimals = whole.slice(whole.indexOf(group) + 1);
      whole = whole.slice(0, whole.indexOf(group));
    } else if ((group === '.' || group === ',') && mark === null && once && point === undefined) {
      // Nothing has decided yet: read it as the decimal mark and let the clue raise the question.
      decimals = whole.slice(whole.indexOf(group) + 1);
      whole = whole.slice(0, whole.indexOf(group));
    } else if (/^0/.test(whole)) return false;
    else whole = whole.replaceAll(group, '');
  }
  const value = Number(
    `${sign}${whole === '' ? '0' : whole}${decimals === '' ? '' : `.${decimals}`}${exponent === undefined ? '' : `e${exponent}`}`,
  );
  if (!Number.isFinite(value)) return false;
  numberValue = value;
  numberDecimals = Math.max(0, Math.min(20, decimals.length - Number(exponent ?? 0)));
  numberTail = tail.trim();
  return true;
}

function clueOf(
  body: string,
  group: string | undefined,
  point: string | undefined,
  fraction: string | undefined,
): 0 | 1 | 2 | 3 | 4 {
  if (point !== undefined) {
    const ambiguous =
      group === undefined && fraction?.length === 3 && body.length >= 1 && body.length <= 3 && !body.startsWith('0');
    if (ambiguous) return point === '.' ? 3 : 4;
    return point === '.' ? 1 : 2;
  }
  if (group === '.' || group === ',') {
    const groups = body.split(group).length - 1;
    if (groups === 1) {
      if (body.startsWith('0')) return group === '.' ? 1 : 2;
      return group === '.' ? 3 : 4;
    }
    // Several of one mark: it parts thousands, so the other is the decimal mark.
    return group === '.' ? 2 : 1;
  }
  return 0;
}

/** Whether a glued text is a degree sign or word. */
export function tailIsDegree(tail: string): boolean {
  return isDegree(tail);
}

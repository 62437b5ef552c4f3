/** How numbers, dates and lists are printed. Sentences get one of these, so a language can bring its own. */
import { civilFields } from '../time/civil-time.ts';
import { type TorqueUnit, torqueUnitSymbols } from '../units/torque-unit.ts';
import type { Said } from './said.ts';

export interface Format {
  /** Fixed decimals, half away from zero, true minus, thin space between thousands. */
  number(value: number, decimals?: number): string;
  /** As `number`, with a plus sign when positive. */
  signed(value: number, decimals?: number): string;
  /** A share 0..1 as "98.3 %". */
  percent(share: number, decimals?: number): string;
  /** "24.10 N·m". */
  torque(value: number, unit: TorqueUnit, decimals?: number): string;
  /** "Tue 24 Nov 2026". */
  date(at: number): string;
  /** "24 Nov". */
  dayMonth(at: number): string;
  /** "06:12". */
  time(at: number): string;
  /** "24 Nov 2026, 06:12". */
  dateTime(at: number): string;
  /** "a, b and c". */
  list(items: readonly string[]): string;
  /** A sentence inside a sentence. */
  say(said: Said): string;
}

/**
 * Rounds half away from zero to a number of decimals and returns the digits with a plain minus.
 *
 * Works on the shortest decimal text of the value, so that 1.005 at two decimals is 1.01 and not what its binary
 * neighbour would give: people check printed figures by hand.
 *
 * @example roundedText(1.005, 2) // => '1.01'
 */
export function roundedText(value: number, decimals: number): string {
  const shortest = plainDecimal(Math.abs(value));
  const [whole = '0', fraction = ''] = shortest.split('.');
  if (fraction.length <= decimals) {
    return sign(value, `${whole}${decimals > 0 ? `.${fraction.padEnd(decimals, '0')}` : ''}`);
  }
  const kept = BigInt(whole + fraction.slice(0, decimals)) + ((fraction[decimals] ?? '0') >= '5' ? 1n : 0n);
  const digits = kept.toString().padStart(decimals + 1, '0');
  const text =
    decimals > 0 ? `${digits.slice(0, digits.length - decimals)}.${digits.slice(digits.length - decimals)}` : digits;
  return sign(value, text);
}

const sign = (value: number, text: string): string => (value < 0 && /[1-9]/.test(text) ? `-${text}` : text);

/** The shortest decimal that reads back, never in exponent form. */
export function plainDecimal(value: number): string {
  const text = String(value);
  const m = /^(-?)(\d+)(?:\.(\d+))?e([+-]\d+)$/.exec(text);
  if (!m) return text;
  const [, minus = '', whole = '', fraction = '', power = '0'] = m;
  const digits = whole + fraction;
  const point = whole.length + Number(power);
  if (point <= 0) return `${minus}0.${'0'.repeat(-point)}${digits}`;
  if (point >= digits.length) return `${minus}${digits}${'0'.repeat(point - digits.length)}`;
  return `${minus}${digits.slice(0, point)}.${digits.slice(point)}`;
}

const weekdays = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];
const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
/** Thin space that no line breaks at. */
const thousands = '\u2060\u2009\u2060';
const two = (value: number): string => String(value).padStart(2, '0');

/**
 * English format.
 *
 * @param grouping false in exports and copies, where a thin space would break a number apart
 */
export function englishFormat(say: (said: Said) => string, grouping = true): Format {
  const number = (value: number, decimals = 0): string => {
    const text = roundedText(value, decimals);
    const [whole = '', fraction] = text.replace('-', '').split('.');
    const grouped = grouping ? whole.replace(/\B(?=(\d{3})+$)/g, thousands) : whole;
    return `${text.startsWith('-') ? '−' : ''}${grouped}${fraction === undefined ? '' : `.${fraction}`}`;
  };
  const signed = (value: number, decimals = 1): string => {
    const text = number(value, decimals);
    return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
  };
  const dayMonth = (at: number): string => {
    const f = civilFields(at);
    return `${f.day} ${months[f.month - 1]}`;
  };
  const time = (at: number): string => {
    const f = civilFields(at);
    return `${two(f.hour)}:${two(f.minute)}`;
  };
  return {
    number,
    signed,
    percent: (share, decimals = 1) => `${number(share * 100, decimals)}\u00a0%`,
    torque: (value, unit, decimals = 2) => `${number(value, decimals)}\u00a0${torqueUnitSymbols[unit]}`,
    date: (at) => {
      const f = civilFields(at);
      return `${weekdays[f.weekday - 1]} ${f.day} ${months[f.month - 1]} ${f.year}`;
    },
    dayMonth,
    time,
    dateTime: (at) => `${dayMonth(at)} ${civilFields(at).year}, ${time(at)}`,
    list: (items) =>
      items.length < 2 ? (items[0] ?? '') : `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`,
    say,
  };
}

import type { Format } from '../format.ts';

const day = (from: number, f: Format): string => f.date(from);
const open = (value: number | null, f: Format): string => (value === null ? 'none' : plain(value, f));
/** As many decimals as the number has, at most six: people compare it with what they typed. */
const plain = (value: number, f: Format): string => {
  const digits = /\.(\d+)/.exec(String(Number(value.toFixed(6))))?.[1]?.length ?? 0;
  return f.number(value, digits);
};

/** Phrases of the register area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const register = {
  'register.name': (_: Record<string, never>, _f: Format) => 'Register',

  'register.unknown-keys': (a: { where: string; keys: readonly string[] }, f: Format) =>
    `${a.where === '' ? 'The file' : `In ${a.where}`}: ${a.keys.length === 1 ? 'the key' : 'the keys'} ${f.list(
      a.keys.map((key) => `"${key}"`),
    )} ${a.keys.length === 1 ? 'is' : 'are'} not known. Remove ${a.keys.length === 1 ? 'it' : 'them'} or correct the spelling.`,
  'register.missing-key': (a: { where: string }, _f: Format) => `${a.where || 'The file'} is missing. Add it.`,
  'register.wrong-value': (a: { where: string; detail: string }, _f: Format) =>
    `${a.where || 'The file'}: ${a.detail}.`,
  'register.percent-and-value': (a: { joint: string; number: number; from: number }, f: Format) =>
    `${a.joint}, limits from ${day(a.from, f)}: a limit is given both as a value and as a percentage. Give one of them.`,
  'register.percent-without-target': (a: { joint: string; number: number; from: number }, f: Format) =>
    `${a.joint}, limits from ${day(a.from, f)}: a percentage needs a target. Add the target.`,
  'register.limits-out-of-order': (
    a: {
      joint: string;
      number: number;
      from: number;
      of: string;
      low: number | null;
      target: number | null;
      high: number | null;
    },
    f: Format,
  ) =>
    `${a.joint}, limits from ${day(a.from, f)}: ${a.of} low ${open(a.low, f)}, target ${open(a.target, f)}, high ${open(
      a.high,
      f,
    )} are not in rising order. Low must be below high, the target between them.`,
  'register.negative-limit': (a: { joint: string; number: number; from: number }, f: Format) =>
    `${a.joint}, limits from ${day(a.from, f)}: limits are magnitudes and not negative. Give the direction of a left-hand thread as "ccw".`,
  'register.range-out-of-order': (a: { tool: string; min: number; max: number }, f: Format) =>
    `${a.tool}: the range ${plain(a.min, f)} to ${plain(a.max, f)} is not rising. Exchange min and max.`,
  'register.range-without-unit': (a: { tool: string }, _f: Format) => `${a.tool}: a range needs a unit. Add the unit.`,
  'register.adapter-impossible': (a: { tool: string; number: number }, _f: Format) =>
    `${a.tool}, adapter ${a.number}: length and offset leave no lever. Check length, offset and angle.`,
  'register.adapter-overlap': (a: { tool: string; number: number }, _f: Format) =>
    `${a.tool}, adapter ${a.number}: its period ends before it starts or runs into the next. Correct the dates.`,
};

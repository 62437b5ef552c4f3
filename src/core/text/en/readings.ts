import { type TorqueUnit, torqueUnitSymbols } from '../../units/torque-unit.ts';
import type { Format } from '../format.ts';
import type { Said } from '../said.ts';

const plural = (n: number, one: string, many: string): string => (n === 1 ? one : many);
/** As many decimals as the number has, at most `most`. */
const plain = (value: number, f: Format, most = 6): string => {
  const digits = /\.(\d+)/.exec(String(Number(value.toFixed(most))))?.[1]?.length ?? 0;
  return f.number(value, digits);
};
const verdictWords: Readonly<Record<string, string>> = {
  pass: 'inside',
  fail: 'outside',
  unjudged: 'unjudged',
  'torque-low': 'torque low',
  'torque-high': 'torque high',
  'angle-low': 'angle low',
  'angle-high': 'angle high',
};
const ownWords: Readonly<Record<string, string>> = {
  good: 'tool says good',
  bad: 'tool says bad',
  differs: "tool's verdict differs",
  none: 'no verdict of the tool',
};
const columnWords: Readonly<Record<string, string>> = {
  torquePlace: 'torque place',
  anglePlace: 'angle place',
  torque: 'torque',
  angle: 'angle',
  attempt: 'try',
};
const few = (items: readonly string[], f: Format): string =>
  items.length <= 3 ? f.list(items) : `${items.slice(0, 2).join(', ')} and ${f.number(items.length - 2)} more`;
const unitText = (unit: TorqueUnit | 'deg'): string => (unit === 'deg' ? '°' : `\u00a0${torqueUnitSymbols[unit]}`);
const limitsText = (low: number | null, high: number | null, f: Format): string =>
  low !== null && high !== null
    ? `limits ${plain(low, f)} to ${plain(high, f)}`
    : low !== null
      ? `low limit ${plain(low, f)}`
      : high !== null
        ? `high limit ${plain(high, f)}`
        : 'no limits';

const noticeWords: Readonly<Record<string, string>> = {
  'second-pull': 'perhaps a second pull',
  'other-direction': 'other direction',
  'zero-torque': 'zero torque',
  'on-limit': 'on the limit to the digits shown',
  'beyond-range': 'outside the range of the tool',
  'batches-untold': 'in no batch that can be told',
};

/** Phrases of the readings area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const readings = {
  'readings.name': (_: Record<string, never>, _f: Format) => 'Readings',

  'readings.sentence': (a: { filters: readonly Said[]; total: number; of: number }, f: Format) =>
    a.filters.length === 0
      ? `**${f.number(a.total)}** ${plural(a.total, 'reading', 'readings')}.`
      : `${capital(a.filters.map((filter) => f.say(filter)).join(', '))}: **${f.number(a.total)}** of ${f.number(a.of)} ${plural(a.of, 'reading', 'readings')}.`,
  'readings.filter-names': (a: { column: string; names: readonly string[] }, f: Format) =>
    a.names.length === 0
      ? `no ${a.column === 'source' ? 'file' : a.column}`
      : few(
          a.names.map((name) => (name === '' ? `no ${a.column === 'source' ? 'file' : a.column}` : name)),
          f,
        ),
  'readings.filter-verdict': (a: { names: readonly string[] }, f: Format) =>
    f.list(a.names.map((name) => verdictWords[name] ?? name)),
  'readings.filter-own': (a: { names: readonly string[] }, f: Format) =>
    f.list(a.names.map((name) => ownWords[name] ?? name)),
  'readings.filter-notice': (a: { kinds: readonly string[] }, f: Format) =>
    f.list(a.kinds.map((kind) => noticeWords[kind] ?? kind)),
  'readings.filter-reading': (a: { names: readonly string[] }, f: Format) =>
    a.names.length === 1 ? `reading ${a.names[0]}` : `${f.number(a.names.length)} picked readings`,
  'readings.filter-text': (a: { text: string }, _f: Format) => `with "${a.text}"`,
  'readings.filter-time': (a: { from: number | null; to: number | null; sameDay: boolean }, f: Format) => {
    const text = (at: number): string => (a.sameDay ? f.time(at) : f.dateTime(at));
    return a.from !== null && a.to !== null
      ? `${text(a.from)} to ${text(a.to)}`
      : a.from !== null
        ? `from ${f.dateTime(a.from)}`
        : a.to !== null
          ? `before ${f.dateTime(a.to)}`
          : 'any time';
  },
  'readings.filter-range': (a: { column: string; from: number | null; to: number | null }, f: Format) => {
    const name = columnWords[a.column] ?? a.column;
    const end = (value: number): string => plain(value, f, 3);
    if (a.from !== null && a.to !== null) {
      return a.from === a.to ? `${name} ${end(a.from)}` : `${name} ${end(a.from)} to ${end(a.to)}`;
    }
    return a.from !== null
      ? `${name} from ${end(a.from)}`
      : a.to !== null
        ? `${name} below ${end(a.to)}`
        : `any ${name}`;
  },
  'readings.empty': (a: { filters: number }, f: Format) =>
    a.filters === 0
      ? 'No reading in this scope.'
      : a.filters === 1
        ? 'No reading matches the filter.'
        : `No reading matches all ${f.number(a.filters)} filters.`,
  'readings.without': (a: { filter: Said; count: number }, f: Format) =>
    `Without “${f.say(a.filter)}” there would be ${f.number(a.count)}.`,

  // ---- drawer ----
  'readings.heading': (a: { joint: string | null; number: number | null; fastener: string | null }, _f: Format) =>
    `${a.joint ?? 'No joint name'}${a.number === null ? '' : ` no. ${a.number}`}${a.fastener === null ? '' : `, ${a.fastener}`}`,
  'readings.under': (
    a: { at: number | null; dateOnly: boolean; tool: string | null; operator: string | null },
    f: Format,
  ) =>
    [a.at === null ? 'no time' : a.dateOnly ? f.date(a.at) : f.dateTime(a.at), a.tool, a.operator]
      .filter((part) => part !== null)
      .join(', '),
  'readings.value': (
    a: {
      recorded: number;
      decimals: number;
      unit: TorqueUnit | 'deg';
      judged: number | null;
      judgedUnit: TorqueUnit | 'deg';
      low: number | null;
      high: number | null;
      revision: string | null;
      outcome: string | null;
    },
    f: Format,
  ) => {
    const shown = `**${f.number(a.recorded, a.decimals)}${unitText(a.unit)}**${a.outcome === null ? '' : ` ${verdictWords[a.outcome] ?? a.outcome}`}`;
    const converted =
      a.judged !== null &&
      (a.judgedUnit !== a.unit || Math.abs(a.judged - Math.abs(a.recorded)) > 1e-9 * Math.abs(a.judged))
        ? `, judged as ${plain(a.judged, f, 4)}${unitText(a.judgedUnit)}`
        : '';
    const limits = limitsText(a.low, a.high, f);
    return `${shown}${converted}; ${limits}${a.revision === null ? '' : `, revision ${a.revision}`}`;
  },
  'readings.unjudged': (a: { code: string; joint: string | null }, _f: Format) =>
    ({
      'other-direction':
        'Unjudged: in the other direction. A loosening, or a left-hand thread; the register says which way the joint turns.',
      'no-time': 'Unjudged: no time, and the joint has more than one revision of limits or none.',
      'no-limits':
        a.joint === null
          ? 'Unjudged: no joint name.'
          : `Unjudged: no limits in force for ${a.joint} at that time. Add a revision in the register.`,
      'no-torque': 'Unjudged: the limits need a torque, and there is none.',
      'no-angle': 'Unjudged: the limits need an angle, and there is none.',
    })[a.code] ?? 'Unjudged.',
  'readings.adapter': (
    a: {
      reading: number;
      length: number;
      offset: number;
      angle: number;
      factor: number;
      fastener: number;
      unit: TorqueUnit;
    },
    f: Format,
  ) =>
    `Adapter: ${plain(a.reading, f)} × (${plain(a.length, f)} + ${plain(a.offset, f)} cos ${plain(a.angle, f)}°) / ${plain(a.length, f)} = ${plain(a.reading, f)} × ${plain(a.factor, f)} = ${plain(a.fastener, f, 4)}${unitText(a.unit)} at the fastener. The tool's own verdict was made without it.`,
  'readings.adapter-hand': (a: { percent: number }, f: Format) =>
    `Moving the hand by 10\u00a0mm along the grip changes it by ${f.signed(a.percent, 2)}\u00a0%.`,
  'readings.try': (
    a: {
      attempt: number;
      torque: number | null;
      decimals: number;
      unit: TorqueUnit;
      angle: number | null;
      loosened: boolean;
      verdict: string;
    },
    f: Format,
  ) => {
    const parts: string[] = [];
    if (a.torque !== null) parts.push(f.torque(a.torque, a.unit, a.decimals));
    if (a.angle !== null) parts.push(`${plain(a.angle, f, 1)}°`);
    return `${a.attempt}: ${parts.join(', ') || 'no value'}${a.loosened ? ', after loosening' : ''}, ${verdictWords[a.verdict] ?? a.verdict}`;
  },
  'readings.own-differs': (a: { own: string; ours: string }, _f: Format) =>
    `The tool says ${a.own}, by the limits in force it is ${verdictWords[a.ours] ?? a.ours}.`,
  'readings.on-limit': (_: Record<string, never>, _f: Format) => 'On the limit to the digits shown.',
  'readings.needs-loosening': (_: Record<string, never>, _f: Format) =>
    'Too high cannot be cured by tightening on: the next try needs loosening first.',
  'readings.short-angle': (_: Record<string, never>, _f: Format) =>
    'A second try without loosening turns little: the angle is short for that reason.',
  'readings.second-pull': (_: Record<string, never>, _f: Format) => 'Perhaps a second pull on a tight fastener.',
  'readings.line-masked': (a: { leftOut: boolean }, _f: Format) =>
    `Names are hidden: the operator stands here by number${a.leftOut ? ', and “…” is a cell that the program does not read' : ''}.`,
  'readings.line-hidden': (_: Record<string, never>, _f: Format) =>
    'This line is not shown: names are hidden, and it is not certain which of its cells names a person.',
  'readings.by-time-only': (_: Record<string, never>, _f: Format) =>
    'Tries are known by time only: the next fastener of a batch looks the same.',
};

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

import { type TorqueUnit, torqueUnitSymbols } from '../../units/torque-unit.ts';
import type { Format } from '../format.ts';

const day = (from: number, f: Format): string => f.date(from);
/** A day, with the time of day where it is not midnight. */
const moment = (at: number, f: Format): string => (at % 86_400_000 === 0 ? f.date(at) : f.dateTime(at));
const open = (value: number | null, f: Format): string => (value === null ? 'none' : plain(value, f));
/** As many decimals as the number has, at most six: people compare it with what they typed. */
const plain = (value: number, f: Format): string => {
  const digits = /\.(\d+)/.exec(String(Number(value.toFixed(6))))?.[1]?.length ?? 0;
  return f.number(value, digits);
};

const counted = (count: number, one: string, many: string, f: Format): string =>
  `${f.number(count)} ${count === 1 ? one : many}`;

const window = (low: number | null, high: number | null, f: Format, decimals: number): string => {
  const text = (value: number): string => {
    const own = /\.(\d+)/.exec(String(Number(value.toFixed(6))))?.[1]?.length ?? 0;
    return f.number(value, Math.min(4, Math.max(decimals, own)));
  };
  return low !== null && high !== null
    ? `${text(low)} to ${text(high)}`
    : low !== null
      ? `from ${text(low)}`
      : high !== null
        ? `up to ${text(high)}`
        : 'open';
};
const provedText = (from: number | null, to: number | null, f: Format): string =>
  from !== null && to !== null
    ? `from ${f.number(from, 2)} to ${f.number(to, 2)}`
    : from !== null
      ? `from ${f.number(from, 2)}`
      : `up to ${f.number(to ?? 0, 2)}`;
const verdictNames: Readonly<Record<string, string>> = {
  pass: 'inside',
  'torque-low': '{low|torque low}',
  'torque-high': '{high|torque high}',
  'angle-low': '{low|angle low}',
  'angle-high': '{high|angle high}',
  unjudged: 'unjudged',
};
/** "torque-low+angle-high" or "unjudged:no-limits" in words. */
const verdictText = (key: string, f: Format): string =>
  key.startsWith('unjudged') ? 'unjudged' : f.list(key.split('+').map((part) => verdictNames[part] ?? part));

const weekdayWords = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];
/** "Mon to Fri", or each day named. */
export const weekdaysText = (days: readonly number[], f: Format): string => {
  const word = (day: number): string => weekdayWords[day] ?? '?';
  const inARow = days.length > 2 && days.every((day, k) => k === 0 || day === days[k - 1]! + 1);
  return inARow ? `${word(days[0]!)} to ${word(days[days.length - 1]!)}` : f.list(days.map(word));
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
  'register.break-impossible': (a: { shift: string; number: number }, _f: Format) =>
    `${a.shift} shift, break ${a.number}: it takes no time, lies outside the shift or runs into the next break. Correct its times.`,
  'register.adapter-impossible': (a: { tool: string; from: number }, f: Format) =>
    `${a.tool}, adapter from ${moment(a.from, f)}: length and offset leave no lever. Check length, offset and angle.`,
  'register.adapter-no-length': (a: { tool: string; from: number }, f: Format) =>
    `${a.tool}, adapter from ${moment(a.from, f)}: the effective length of the wrench is not known. Give it with the adapter, or with the wrench.`,
  'register.adapter-ends-early': (a: { tool: string; from: number; to: number }, f: Format) =>
    `${a.tool}, adapter from ${moment(a.from, f)}: it is taken off on ${moment(a.to, f)}, not after it was put on. Correct one of the two.`,
  'register.adapter-overlap': (a: { tool: string; from: number; to: number | null; next: number }, f: Format) =>
    `${a.tool}, adapter from ${moment(a.from, f)}: it ${
      a.to === null ? 'has no end' : `is on until ${moment(a.to, f)}`
    } and runs into the next one, which is put on ${moment(a.next, f)}. A wrench carries one adapter at a time: end the first, or begin the next later.`,

  'register.csv-unknown': (a: { columns: readonly string[] }, f: Format) =>
    `${a.columns.length === 0 ? 'The table is empty' : `The columns ${f.list(a.columns.slice(0, 8).map((column) => `"${column}"`))} make no table of the register`}. Export one to see the columns.`,
  'register.csv-columns': (a: { table: string; columns: readonly string[]; known: readonly string[] }, f: Format) =>
    `The table of ${a.table} has no ${a.columns.length === 1 ? 'column' : 'columns'} ${f.list(
      a.columns.map((column) => `"${column}"`),
    )}. Remove ${a.columns.length === 1 ? 'it' : 'them'} or correct the spelling; known are ${f.list(a.known)}.`,
  'register.csv-number': (a: { row: number; column: string; cell: string }, _f: Format) =>
    `Row ${a.row}, column ${a.column}: "${a.cell}" is not a number. Write numbers with a decimal point and without separators.`,

  // ---- lists ----
  'register.no-limits': (_: Record<string, never>, _f: Format) => 'no limits yet',
  'register.limits': (
    a: {
      low: number | null;
      high: number | null;
      unit: TorqueUnit;
      angleLow: number | null;
      angleHigh: number | null;
    },
    f: Format,
  ) => {
    const parts: string[] = [];
    if (a.low !== null || a.high !== null)
      parts.push(`${window(a.low, a.high, f, 2)}\u00a0${torqueUnitSymbols[a.unit]}`);
    if (a.angleLow !== null || a.angleHigh !== null) parts.push(`${window(a.angleLow, a.angleHigh, f, 0)}°`);
    return parts.length === 0 ? 'no limits' : parts.join(', ');
  },
  'register.shift': (
    a: {
      name: string;
      start: number;
      end: number;
      pastMidnight: boolean;
      weekdays: readonly number[] | null;
      breaks: readonly { readonly from: number; readonly to: number; readonly name: string | null }[];
    },
    f: Format,
  ) =>
    `${f.time(a.start)} to ${f.time(a.end)}${a.weekdays === null ? '' : `, ${weekdaysText(a.weekdays, f)}`}${
      a.pastMidnight ? '; belongs to the day on which it starts' : ''
    }${
      a.breaks.length === 0
        ? ''
        : `; ${a.breaks.length === 1 ? 'break' : 'breaks'} ${f.list(
            a.breaks.map(
              (one) => `${f.time(one.from)} to ${f.time(one.to)}${one.name === null ? '' : ` (${one.name})`}`,
            ),
          )}`
    }`,
  'register.tool-quarantined': (_: Record<string, never>, _f: Format) => 'quarantined',
  'register.tool-retired': (_: Record<string, never>, _f: Format) => 'retired',
  'register.to-settle': (a: { kind: string; name: string; readings: number; candidate: string | null }, f: Format) =>
    `“${a.name}” appears in ${f.number(a.readings)} ${a.readings === 1 ? 'reading' : 'readings'}. ${
      a.candidate === null ? `Is it a ${a.kind} of this plant?` : `Is it ${a.candidate}?`
    }`,

  // ---- joint ----
  'register.joint-line': (
    a: {
      class: string | null;
      stopsBy: string;
      leftHand: boolean;
      tools: readonly string[];
      readings: number;
      since: number | null;
      every: number;
    },
    f: Format,
  ) =>
    `${a.class === null ? 'No class' : `Class ${a.class}`}, stopped by ${a.stopsBy}${a.leftHand ? ', left-hand thread' : ''}${
      a.tools.length === 0
        ? ''
        : `, with ${a.tools.length <= 4 ? f.list(a.tools) : `${f.number(a.tools.length)} tools`}`
    }. ${
      a.readings === 0
        ? 'No readings yet'
        : `${f.number(a.readings)} readings${a.since === null ? '' : ` since ${f.date(a.since)}`}`
    }${a.every > 1 ? `; one in ${f.number(a.every)} is drawn` : ''}.`,
  'register.step': (a: { label: string; low: number | null; high: number | null }, f: Format) =>
    `${a.label} ${window(a.low, a.high, f, 2)}`,
  'register.fasteners-get': (a: { deviation: number }, f: Format) => {
    // Applied = shown / (1 + D/100).
    const more = 100 / (1 + a.deviation / 100) - 100;
    const size = f.number(Math.abs(more), 1);
    return size === '0.0' ? 'as shown' : `${size}\u00a0% ${more > 0 ? 'more' : 'less'} than shown`;
  },
  'register.tools-caption': (
    a: { permitted: number; label: string; ratio: number; from: number | null; to: number | null; unit: TorqueUnit },
    f: Format,
  ) =>
    `permitted ±\u00a0${plain(a.permitted, f)}\u00a0%: revision ${a.label} is ${f.number(a.ratio, 1)} times that, and inside is ${
      a.from === null && a.to === null
        ? 'not proved anywhere: this tool cannot prove this window'
        : `proved only ${provedText(a.from, a.to, f)}\u00a0${torqueUnitSymbols[a.unit]}`
    }`,
  'register.tools-caption-plain': (a: { tools: number }, f: Format) =>
    a.tools === 0 ? 'none has readings here' : `${f.number(a.tools)} ${a.tools === 1 ? 'tool' : 'tools'}`,

  // ---- tool ----
  'register.tool-line': (
    a: {
      unit: TorqueUnit | null;
      min: number | null;
      max: number | null;
      permissible: number | null;
      readings: number;
      joints: number;
      status: string;
    },
    f: Format,
  ) =>
    `${a.status === 'quarantined' ? '**Quarantined.** ' : a.status === 'retired' ? '**Retired.** ' : ''}${
      a.unit === null || (a.min === null && a.max === null)
        ? 'Range not known'
        : `Range ${window(a.min, a.max, f, 0)}\u00a0${torqueUnitSymbols[a.unit]}`
    }, ${a.permissible === null ? 'permitted deviation not known' : `permitted ±\u00a0${plain(a.permissible, f)}\u00a0%`}. ${f.number(
      a.readings,
    )} readings at ${f.number(a.joints)} ${a.joints === 1 ? 'joint' : 'joints'}.`,
  'register.check': (
    a: { deviation: number; pulls: number; passed: boolean | null; permissible: number | null },
    f: Format,
  ) => {
    const more = 100 / (1 + a.deviation / 100) - 100;
    const size = f.number(Math.abs(a.deviation), 1);
    const both =
      size === '0.0'
        ? 'shows what the reference shows'
        : `shows ${size}\u00a0% ${a.deviation > 0 ? 'more' : 'less'} than the reference; fasteners got ${f.number(
            Math.abs(more),
            1,
          )}\u00a0% ${more > 0 ? 'more' : 'less'} than shown`;
    const outcome =
      a.passed === null
        ? '; outside the marked range or no permitted deviation known'
        : a.passed
          ? '; every pull within what is permitted'
          : '; **not every pull within what is permitted**';
    return `${both}${outcome}${a.pulls === 1 ? '. One pull: cannot tell bias from scatter' : ''}`;
  },
  'register.adapter': (a: { length: number; offset: number; angle: number; factor: number }, f: Format) =>
    `(${plain(a.length, f)} + ${plain(a.offset, f)} cos ${plain(a.angle, f)}°) / ${plain(a.length, f)} = ${plain(a.factor, f)} times the reading`,

  // ---- preview ----
  'register.preview-problems': (a: { count: number }, f: Format) =>
    `${a.count === 1 ? 'One thing is' : `${f.number(a.count)} things are`} wrong with the file. Nothing was changed.`,
  'register.preview': (a: { changed: number; added: number; entries: number }, f: Format) =>
    a.changed > 0
      ? `**${f.number(a.changed)}** ${a.changed === 1 ? 'verdict' : 'verdicts'} of readings already held would change.`
      : a.added + a.entries === 0
        ? 'Nothing would change.'
        : 'No verdict of a reading already held would change.',
  'register.preview-torques': (a: { readings: number; lowPercent: number; highPercent: number }, f: Format) => {
    const low = f.signed(a.lowPercent, 1);
    const high = f.signed(a.highPercent, 1);
    return `**${f.number(a.readings)}** ${
      a.readings === 1 ? 'reading already held would count' : 'readings already held would count'
    } with another torque at the fastener: ${low === high ? `${low}` : `${low} to ${high}`}\u00a0%.`;
  },
  'register.verdict-change': (a: { from: string; to: string; count: number; of: number }, f: Format) =>
    `**${f.number(a.count)} of ${f.number(a.of)}** ${a.of === 1 ? 'reading' : 'readings'} would change from ${verdictText(
      a.from,
      f,
    )} to ${verdictText(a.to, f)}`,
  'register.added': (a: { kind: string; name: string }, _f: Format) => `new ${a.kind} ${a.name}`,
  'register.changed': (a: { kind: string; name: string }, _f: Format) => `${a.kind} ${a.name} changed`,
  'register.added-checks': (a: { count: number }, f: Format) =>
    `${f.number(a.count)} ${a.count === 1 ? 'pull' : 'pulls'} of checks`,

  // ---- removal ----
  'register.removal': (a: { revisions: number; events: number; adapters: number }, f: Format) => {
    const parts = [
      ...(a.revisions > 0 ? [counted(a.revisions, 'limit revision', 'limit revisions', f)] : []),
      ...(a.events > 0 ? [counted(a.events, 'calibration or repair', 'calibrations or repairs', f)] : []),
      ...(a.adapters > 0 ? [counted(a.adapters, 'adapter period', 'adapter periods', f)] : []),
    ];
    return `No reading, check, study or saved scope points to it.${
      parts.length === 0 ? '' : ` What is written down of it goes too: ${f.list(parts)}.`
    } The journal keeps all of it.`;
  },
  'register.removal-shift': (
    a: {
      readings: number;
      into: readonly { readonly name: string; readonly readings: number }[];
      outside: number;
      last: boolean;
    },
    f: Format,
  ) => {
    if (a.readings === 0) return 'No reading held falls into it. The journal keeps it.';
    const places = [
      ...a.into.map((one) => ({ readings: one.readings, text: `into ${one.name}` })),
      ...(a.outside > 0 ? [{ readings: a.outside, text: 'outside every shift' }] : []),
    ];
    const fall = a.readings === 1 ? 'falls' : 'fall';
    const then = a.last
      ? 'there is no shift, and the civil day is used'
      : `${a.readings === 1 ? 'it' : 'they'} ${fall} ${
          places.length === 1
            ? places[0]?.text
            : f.list(places.map((place) => `${f.number(place.readings)} ${place.text}`))
        }`;
    return `**${counted(a.readings, 'reading', 'readings', f)}** ${fall} into it. Without it ${then}; Review, Drift and Study group them anew. The journal keeps the shift.`;
  },
  'register.removal-refused': (
    a: {
      name: string;
      readings: number;
      outOfForce: number;
      judged: number;
      checks: number;
      studies: number;
      scopes: number;
    },
    f: Format,
  ) => {
    const ofThem = [
      ...(a.judged > 0 ? [`${f.number(a.judged)} judged by its limits`] : []),
      ...(a.outOfForce > 0 ? [`${f.number(a.outOfForce)} out of force`] : []),
    ];
    const parts = [
      ...(a.readings > 0
        ? [`${counted(a.readings, 'reading', 'readings', f)}${ofThem.length === 0 ? '' : ` (${f.list(ofThem)})`}`]
        : []),
      ...(a.checks > 0 ? [counted(a.checks, 'check', 'checks', f)] : []),
      ...(a.studies > 0 ? [counted(a.studies, 'saved study', 'saved studies', f)] : []),
      ...(a.scopes > 0 ? [counted(a.scopes, 'saved scope', 'saved scopes', f)] : []),
    ];
    const one = a.readings + a.checks + a.studies + a.scopes === 1;
    return `${a.name} cannot be removed: ${f.list(parts)} ${one ? 'points' : 'point'} to it.`;
  },
  'register.removal-instead': (
    a: { kind: string; canMerge: boolean; canRetire: boolean; readings: number; checks: number },
    _f: Format,
  ) => {
    const they = a.readings + a.checks === 1 ? 'it belongs' : 'they belong';
    const ways = [
      ...(a.canMerge
        ? [
            a.kind === 'operator'
              ? `if ${they} to another person, merge the two`
              : `if ${they} to another ${a.kind}, merge the two`,
          ]
        : []),
      ...(a.canRetire ? ['if the tool is no longer used, retire it'] : []),
    ];
    const [first = 'keep it', ...more] = ways;
    return `${first[0]!.toUpperCase()}${[first, ...more].join('; ').slice(1)}${ways.length === 0 || a.canRetire ? '' : '; else keep it'}.`;
  },
  'register.removal-delete-first': (a: { studies: readonly string[]; scopes: readonly string[] }, f: Format) => {
    const named = (names: readonly string[]): string =>
      f.list([
        ...names.slice(0, 3).map((name) => `“${name}”`),
        ...(names.length > 3 ? [`${f.number(names.length - 3)} more`] : []),
      ]);
    const parts = [
      ...(a.studies.length > 0 ? [`${a.studies.length === 1 ? 'the study' : 'the studies'} ${named(a.studies)}`] : []),
      ...(a.scopes.length > 0
        ? [`${a.scopes.length === 1 ? 'the saved scope' : 'the saved scopes'} ${named(a.scopes)}`]
        : []),
    ];
    return `Delete ${f.list(parts)} first.`;
  },

  // ---- settling a name ----
  'register.settling': (
    a: {
      kind: 'joint' | 'tool' | 'operator';
      name: string;
      into: string;
      how: 'confirm' | 'rename' | 'merge';
      readings: number;
      changed: number;
      setAside: number;
      checks: number;
      revisions: number;
      events: number;
      adapters: number;
    },
    f: Format,
  ) => {
    if (a.how === 'confirm') return `${a.name} stands in the register as its own. Nothing else changes.`;
    const moving = [
      ...(a.readings > 0 || a.checks === 0 ? [counted(a.readings, 'reading', 'readings', f)] : []),
      ...(a.checks > 0 ? [counted(a.checks, 'check', 'checks', f)] : []),
    ];
    const one = (a.readings === 1 && a.checks === 0) || (a.readings === 0 && a.checks === 1);
    if (a.how === 'rename') {
      const kept = a.readings + a.checks === 0 ? '' : ` Its ${f.list(moving)} ${one ? 'stays' : 'stay'} with it.`;
      return `${a.name} is called ${a.into} from then on.${kept} No verdict changes.`;
    }
    const lost = [
      ...(a.revisions > 0 ? [counted(a.revisions, 'limit revision', 'limit revisions', f)] : []),
      ...(a.events > 0 ? [counted(a.events, 'calibration or repair', 'calibrations or repairs', f)] : []),
      ...(a.adapters > 0 ? [counted(a.adapters, 'adapter', 'adapters', f)] : []),
    ];
    return [
      `**${f.list(moving)}** ${one ? 'counts' : 'count'} as ${a.into} from then on.`,
      ...(a.kind === 'operator'
        ? []
        : a.readings === 0
          ? []
          : a.changed === 0
            ? ['No verdict changes.']
            : a.changed === a.readings
              ? [a.readings === 1 ? 'It gets another verdict.' : '**All of them** get another verdict.']
              : [`**${f.number(a.changed)}** of them ${a.changed === 1 ? 'gets' : 'get'} another verdict.`]),
      ...(a.setAside > 0
        ? [`${counted(a.setAside, 'reading is', 'readings are', f)} then equal to another and set aside.`]
        : []),
      ...(lost.length > 0
        ? [`What was written of ${a.name} (${f.list(lost)}) holds no more; the journal keeps it.`]
        : []),
    ].join(' ');
  },
  'register.name-taken': (a: { name: string; now: string }, _f: Format) =>
    `${a.name} was renamed or merged and means ${a.now}, with its readings. Write ${a.now} instead, or take that change back in the journal.`,
  'register.settling-follow': (
    a: { studies: readonly string[]; scopes: readonly string[]; into: string },
    f: Format,
  ) => {
    const named = (names: readonly string[]): string =>
      f.list([
        ...names.slice(0, 3).map((name) => `“${name}”`),
        ...(names.length > 3 ? [`${f.number(names.length - 3)} more`] : []),
      ]);
    const parts = [
      ...(a.studies.length > 0
        ? [`${a.studies.length === 1 ? 'the saved study' : 'the saved studies'} ${named(a.studies)}`]
        : []),
      ...(a.scopes.length > 0
        ? [`${a.scopes.length === 1 ? 'the saved scope' : 'the saved scopes'} ${named(a.scopes)}`]
        : []),
    ];
    const words = f.list(parts);
    return `${words[0]!.toUpperCase()}${words.slice(1)} ${
      a.studies.length + a.scopes.length === 1 ? 'follows and names' : 'follow and name'
    } ${a.into}.`;
  },
};

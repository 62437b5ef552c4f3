import { civilFields, msPerDay } from '../../time/civil-time.ts';
import type { TorqueUnit } from '../../units/torque-unit.ts';
import { torqueUnitSymbols } from '../../units/torque-unit.ts';
import type { Format } from '../format.ts';
import type { Said } from '../said.ts';

const plural = (n: number, one: string, many: string): string => (n === 1 ? one : many);
const counted = (n: number, one: string, many: string, f: Format): string => `${f.number(n)} ${plural(n, one, many)}`;
const reasonWords: Readonly<Record<string, string>> = {
  'torque-low': '{low|torque low}',
  'torque-high': '{high|torque high}',
  'angle-low': '{low|angle low}',
  'angle-high': '{high|angle high}',
};
const reasonsText = (reasons: readonly string[], f: Format): string =>
  f.list(reasons.map((reason) => reasonWords[reason] ?? reason));
const unjudgedWords: Readonly<Record<string, string>> = {
  'other-direction': 'other direction',
  'no-time': 'no time',
  'no-limits': 'no limits on that day',
  'clock-unset': 'the clock was not set',
  'no-torque': 'no torque value',
  'no-angle': 'no angle value',
};
const interval = (low: number, high: number, f: Format): string =>
  `95\u00a0% interval ${f.number(low * 100, 1)} to ${f.number(high * 100, 1)}`;
/** "7.32 N·m, 28°". */
const values = (
  a: { torque: number | null; decimals: number; unit: TorqueUnit; angle: number | null },
  f: Format,
): string => {
  const parts: string[] = [];
  if (a.torque !== null) parts.push(f.torque(a.torque, a.unit, a.decimals));
  if (a.angle !== null) parts.push(`${f.number(a.angle, Number.isInteger(a.angle) ? 0 : 1)}°`);
  return parts.length === 0 ? 'no value' : parts.join(', ');
};
const ordinal = (n: number): string => {
  const tens = n % 100;
  const end = tens >= 11 && tens <= 13 ? 'th' : (['th', 'st', 'nd', 'rd'][n % 10] ?? 'th');
  return `${n}${end}`;
};
const duration = (ms: number, f: Format): string => {
  const minutes = Math.round(ms / 60_000);
  if (minutes < 120) return counted(minutes, 'minute', 'minutes', f);
  const hours = ms / 3_600_000;
  return hours < 48 ? `${f.number(hours, 1)} hours` : `${f.number(hours / 24, 1)} days`;
};

/** A stretch of time by its days where it is whole days, else by its first instant. */
const daysText = (a: { from: number; to: number }, f: Format): string =>
  a.from % msPerDay !== 0 || a.to % msPerDay !== 0
    ? `from ${f.dateTime(a.from)}`
    : a.to - a.from <= msPerDay
      ? f.date(a.from)
      : `${f.date(a.from)} to ${f.date(a.to - msPerDay)}`;

/** Phrases of the review area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const review = {
  'review.name': (_: Record<string, never>, _f: Format) => 'Review',

  // ---- period ----
  'review.period-shift': (a: { shift: string; from: number; to: number }, f: Format) =>
    `${f.date(a.from)}, ${a.shift} shift, ${f.time(a.from)} to ${f.time(a.to)}`,
  'review.period-day': (a: { from: number; to: number }, f: Format) =>
    `${f.date(a.from)}, ${f.time(a.from)} to ${f.time(a.to)}`,
  'review.period-span': (a: { from: number; to: number; shift: string | null }, f: Format) =>
    `${f.date(a.from)} to ${f.date(a.to)}${a.shift === null ? '' : `, ${a.shift} shift`}`,
  'review.period-none': (_: Record<string, never>, _f: Format) => 'No period: no reading has a time.',

  // ---- finding ----
  'review.finding-rate': (
    a: { judged: number; fasteners: number; share: number; low95: number; high95: number },
    f: Format,
  ) =>
    `${
      a.judged === a.fasteners
        ? counted(a.judged, 'fastener', 'fasteners', f)
        : `${f.number(a.judged)} of ${counted(a.fasteners, 'fastener', 'fasteners', f)}`
    } judged, **${f.percent(a.share)} inside at the first try** (${interval(a.low95, a.high95, f)}).`,
  'review.finding-none-judged': (a: { fasteners: number }, f: Format) =>
    `${counted(a.fasteners, 'fastener', 'fasteners', f)}, **none judged**.`,
  'review.finding-all-inside': (a: { last: number }, _f: Format) =>
    a.last > 0 ? 'Every judged first try is inside its limits.' : 'Every judged reading is inside its limits.',
  'review.finding-top': (
    a: { failing: number; count: number; joint: string | null; reasons: readonly string[]; tool: string | null },
    f: Format,
  ) => {
    const where = a.joint ?? 'readings without a joint';
    const what = `${where} ${reasonsText(a.reasons, f)}`;
    const all = a.tool === null ? '' : a.count === 1 ? `, from ${a.tool}` : `, all from ${a.tool}`;
    if (a.failing === 1) return `The one outside is ${what}${all}.`;
    if (a.count === a.failing) return `All ${f.number(a.failing)} outside are ${what}${all}.`;
    return `Of ${f.number(a.failing)} outside, ${f.number(a.count)} ${plural(a.count, 'is', 'are')} ${what}${all}.`;
  },
  'review.finding-many': (a: { failing: number; causes: number }, f: Format) =>
    `The ${f.number(a.failing)} outside are spread over ${counted(a.causes, 'cause', 'causes', f)}; no one stands out.`,
  'review.finding-missing': (a: { missing: number; batches: number }, f: Format) =>
    `**${counted(a.missing, 'fastener is', 'fasteners are', f)} missing** in ${counted(a.batches, 'batch', 'batches', f)}.`,
  'review.finding-no-limits': (a: { joint: string; count: number }, f: Format) =>
    `No limits for ${a.joint} on this day: ${counted(a.count, 'reading', 'readings', f)} unjudged. Add a revision.`,
  'review.finding-unknown-joint': (a: { joint: string; count: number }, f: Format) =>
    `“${a.joint}” is a name the register does not know yet: ${counted(a.count, 'reading', 'readings', f)} unjudged. Confirm, rename or merge it.`,
  'review.finding-clock-unset': (a: { count: number; at: number }, f: Format) =>
    `${counted(a.count, 'reading comes', 'readings come', f)} from a clock that was not set (dated ${f.dayMonth(a.at)} ${civilFields(a.at).year}) and ${plural(a.count, 'is', 'are')} unjudged.`,
  'review.finding-no-joint': (a: { count: number }, f: Format) =>
    `${counted(a.count, 'reading names', 'readings name', f)} no joint and ${plural(a.count, 'is', 'are')} unjudged.`,

  // ---- a reading in one line ----
  'review.reading-line': (
    a: {
      at: number | null;
      dateOnly: boolean;
      joint: string | null;
      number: number | null;
      tool: string | null;
      operator: string | null;
      torque: number | null;
      decimals: number;
      unit: TorqueUnit;
      angle: number | null;
      unjudged: string | null;
      next: {
        attempt: number;
        loosened: boolean;
        torque: number | null;
        decimals: number;
        unit: TorqueUnit;
        angle: number | null;
      } | null;
      shared: number;
    },
    f: Format,
  ) => {
    const when = a.at === null ? 'no time' : a.dateOnly ? f.dayMonth(a.at) : f.time(a.at);
    const joint = `${a.joint ?? 'no joint name'}${a.number === null ? '' : ` no. ${a.number}`}`;
    const who = [joint, a.tool, a.operator].filter((part) => part !== null).join(', ');
    const unjudged = a.unjudged === null ? '' : `; unjudged, ${unjudgedWords[a.unjudged] ?? a.unjudged}`;
    const next =
      a.next === null
        ? ''
        : `; ${ordinal(a.next.attempt)} try${a.next.loosened ? ' after loosening' : ''} ${values(a.next, f)}`;
    const more = a.shared > 1 ? ` (first of ${f.number(a.shared)} at this place)` : '';
    return `${when} ${who}: ${values(a, f)}${unjudged}${next}${more}`;
  },

  // ---- ribbon ----
  'review.break': (a: { ms: number; name: string | null }, f: Format) =>
    a.name === null
      ? `no readings for ${duration(a.ms, f)}`
      : `${a.name === '' ? 'break' : a.name}, ${duration(a.ms, f)}`,
  'review.tick-time': (a: { at: number }, f: Format) => f.time(a.at),
  'review.tick-day': (a: { at: number; year: boolean }, f: Format) =>
    a.year ? `${f.dayMonth(a.at)} ${civilFields(a.at).year}` : f.dayMonth(a.at),
  'review.ribbon-band': (a: { passing: number; marks: number; failing: number; threads: boolean }, f: Format) =>
    `${f.number(a.passing)} readings inside are drawn as a band from 5 to 95\u00a0% with their median.${
      a.marks < a.failing
        ? ` ${f.number(a.failing)} readings outside or unjudged share ${f.number(a.marks)} marks; none is left out.`
        : ''
    }${a.threads ? '' : ' Lines to the next try are left out.'}`,
  'review.ribbon-marks': (a: { marks: number; failing: number }, f: Format) =>
    `${f.number(a.failing)} readings outside or unjudged share ${f.number(a.marks)} marks; none is left out.`,
  'review.context-operator': (a: { at: number; tool: string; operator: string; before: string }, f: Format) =>
    `${f.time(a.at)} ${a.tool}: ${a.operator} after ${a.before}`,
  'review.context-operators': (a: { at: number; count: number }, f: Format) =>
    `${f.time(a.at)} operators changed places on ${f.number(a.count)} tools`,
  'review.context-limits': (a: { joint: string; label: string }, _f: Format) =>
    `${a.joint}: limits ${a.label} from here`,
  'review.context-check': (a: { tool: string; kind: string }, _f: Format) =>
    `${a.tool} checked (${a.kind === 'as-left' ? 'as left' : 'as found'})`,
  'review.context-calibration': (a: { tool: string; kind: string }, _f: Format) =>
    a.kind === 'repair' ? `${a.tool} repaired` : `${a.tool} calibrated`,
  'review.context-no-joint': (a: { count: number; tool: string | null; until: number }, f: Format) =>
    `${f.number(a.count)} unjudged: ${a.tool === null ? 'no joint name' : `${a.tool} sent no joint name`} until ${f.time(a.until)}`,
  'review.context-shift': (a: { shift: string }, _f: Format) => a.shift,

  // ---- causes ----
  'review.causes-head': (a: { total: number; unjudged: number }, f: Format) =>
    `${counted(a.total, 'first try', 'first tries', f)} to look at${a.unjudged > 0 ? `, ${f.number(a.unjudged)} of them unjudged` : ''}`,
  'review.cause': (a: { reasons: readonly string[]; unjudged: string | null; joint: string | null }, f: Format) =>
    a.unjudged === null
      ? `**${reasonsText(a.reasons, f)}** ${a.joint ?? 'no joint name'}`
      : `**unjudged** ${a.joint ?? 'no joint name'}${a.joint === null ? '' : `, ${unjudgedWords[a.unjudged] ?? a.unjudged}`}`,
  'review.unjudged-because': (a: { code: string }, _f: Format) => unjudgedWords[a.code] ?? a.code,

  // ---- operator by tool ----
  'review.matrix-caption': (
    a: { cells: number; from: number; overall: number | null; adjustedAt: number },
    f: Format,
  ) =>
    `${f.number(a.from * 100)} to 100\u00a0%; ${
      a.overall === null ? '' : `dotted: all in scope, ${f.percent(a.overall)}. `
    }${
      a.cells === 0
        ? 'No cell has 20 judged fasteners: none is tested.'
        : `Bold: Fisher's exact test of the cell against all others, Benjamini-Hochberg over ${counted(a.cells, 'cell', 'cells', f)}.`
    }`,
  'review.one-after-the-other': (
    a: { tool: string; operators: readonly string[]; since: readonly number[] },
    f: Format,
  ) =>
    `${a.operators
      .slice(1)
      .map((name, k) => `${name} had ${a.tool} only after ${f.time(a.since[k + 1] ?? 0)}`)
      .join('; ')}: operator and time cannot be told apart.`,
  'review.many-after-another': (a: { tools: readonly string[] }, f: Format) =>
    `On ${f.list(a.tools)} one operator followed the other: operator and time cannot be told apart.`,

  // ---- fasteners ----
  'review.fasteners': (
    a: {
      due: number;
      batches: number;
      read: number;
      missing: number;
      surplus: number;
      rest: number;
    },
    f: Format,
  ) =>
    `${f.number(a.due)} due in ${counted(a.batches, 'batch', 'batches', f)}, ${f.number(a.read)} read, ${f.number(a.missing)} missing${
      a.surplus > 0 ? `, ${f.number(a.surplus)} surplus` : ''
    }${a.rest > 0 ? `; ${f.number(a.rest)} more read in no batch` : ''}`,
  'review.fasteners-untold': (a: { read: number }, f: Format) =>
    `${counted(a.read, 'fastener', 'fasteners', f)} read; how many were due is not known: no batch size, or batches cannot be told`,
  'review.batches-untold': (a: { tool: string; count: number }, f: Format) =>
    `${a.tool} does one joint only, without batch or position: batches cannot be told (${counted(a.count, 'fastener', 'fasteners', f)}).`,
  'review.batch': (a: { joint: string; missing: readonly number[]; lacking: number; surplus: number }, f: Format) =>
    a.surplus > 0
      ? `${a.joint}, ${f.number(a.surplus)} more than due`
      : a.missing.length > 0
        ? `${a.joint}, ${plural(a.missing.length, 'no.', 'nos.')} ${f.list(a.missing.map((n) => String(n)))}`
        : `${a.joint}, ${f.number(a.lacking)} missing`,
  'review.chains': (a: { time: number; identity: number }, f: Format) =>
    `${counted(a.identity, 'chain of tries', 'chains of tries', f)} known by identity, ${f.number(a.time)} by time only: the next fastener of a batch looks the same.`,

  // ---- tightened again ----
  'review.again': (a: { total: number; loosened: number; notLoosened: number; inside: number }, f: Format) =>
    a.total === 0
      ? 'none'
      : `${f.number(a.total)}: ${f.number(a.inside)} inside at the last try; loosening shown for ${f.number(a.loosened)}${
          a.notLoosened > 0 ? `, not shown for ${f.number(a.notLoosened)} that needed it` : ''
        }`,
  'review.again-chain': (
    a: { joint: string | null; tries: number; loosened: string; inside: boolean; byTime: boolean },
    f: Format,
  ) =>
    `${a.joint ?? 'no joint name'}: ${counted(a.tries, 'try', 'tries', f)}, ${a.inside ? 'inside' : 'not inside'} at the last${
      a.loosened === 'yes' ? ', loosened between' : a.loosened === 'needed' ? ', needs loosening first' : ''
    }${a.byTime ? ' (by time only)' : ''}`,

  // ---- failing list ----
  'review.failing-head': (a: { total: number; inside: number; not: number; listed: number }, f: Format) =>
    `${f.number(a.total)}${a.total === 0 ? '' : `: ${f.number(a.inside)} inside at the last try, ${f.number(a.not)} not`}${
      a.listed < a.total ? `; the first ${f.number(a.listed)} are listed` : ''
    }`,
  'review.outcome-next': (
    a: {
      loosened: boolean;
      pass: boolean;
      torque: number | null;
      decimals: number;
      unit: TorqueUnit;
      angle: number | null;
      angleShort: boolean;
    },
    f: Format,
  ) => {
    const value =
      a.torque === null
        ? values(a, f)
        : a.angleShort
          ? `${f.number(a.angle ?? 0)}°, {low|angle low}`
          : f.number(a.torque, a.decimals);
    return a.loosened ? `Loosened, then ${value}` : a.angleShort ? `Not loosened: ${value}` : `Then ${value}`;
  },
  'review.outcome-short-angle': (a: { attempt: number }, _f: Format) =>
    `${ordinal(a.attempt)} try without loosening: the angle is short`,
  'review.outcome-needs-loosening': (_: Record<string, never>, _f: Format) => 'Needs loosening first',
  'review.outcome-open': (_: Record<string, never>, _f: Format) => 'Open',
  'review.second-pull': (a: { number: number | null }, _f: Format) =>
    a.number === null ? 'Second pull on a tight fastener?' : `Second pull on no. ${a.number}?`,

  // ---- pace ----
  'review.pace': (a: { perHour: number | null; gaps: number; longest: number }, f: Format) =>
    a.perHour === null
      ? 'Pace not known'
      : `${f.number(a.perHour)} readings an hour while working${
          a.gaps > 0 ? `; longest pause ${duration(a.longest, f)}` : ''
        }`,

  // ---- comparison ----
  'review.compare-previous': (a: { shift: string | null; from: number; to: number }, f: Format) =>
    a.shift === null ? `Before: ${daysText(a, f)}` : `${a.shift} shift of ${f.date(a.from)}`,
  'review.compare-week': (a: { shift: string | null; from: number; to: number }, f: Format) =>
    a.shift === null ? `A week before: ${daysText(a, f)}` : `${a.shift} shift of ${f.date(a.from)}, a week before`,
  'review.compare': (
    a: {
      share: number | null;
      judged: number;
      value: number | null;
      low95: number | null;
      high95: number | null;
    },
    f: Format,
  ) => {
    if (a.share === null) return 'no fastener judged';
    const rate = `${f.percent(a.share)} of ${f.number(a.judged)} inside at the first try`;
    if (a.value === null || a.low95 === null || a.high95 === null) return rate;
    const apart = a.low95 > 0 || a.high95 < 0;
    return `${rate}; now ${f.signed(a.value * 100, 1)} points (95\u00a0% interval ${f.signed(a.low95 * 100, 1)} to ${f.signed(
      a.high95 * 100,
      1,
    )})${apart ? '' : ', not told apart from chance'}`;
  },

  // ---- notices ----
  'review.notice-own-differs': (a: { count: number }, f: Format) =>
    `${counted(a.count, 'reading', 'readings', f)} with a verdict of the tool that differs from ours`,
  'review.notice-second-pull': (a: { count: number }, f: Format) =>
    `${counted(a.count, 'reading is', 'readings are', f)} perhaps a second pull on a tight fastener`,
  'review.notice-other-direction': (a: { count: number }, f: Format) =>
    `${counted(a.count, 'reading', 'readings', f)} in the other direction: loosening, or a left-hand thread not in the register`,
  'review.notice-zero-torque': (a: { count: number }, f: Format) =>
    `${counted(a.count, 'reading', 'readings', f)} of zero torque`,
  'review.notice-on-limit': (a: { count: number }, f: Format) =>
    `${counted(a.count, 'reading is', 'readings are', f)} on the limit to the digits shown, in another unit than the limits`,
  'review.notice-beyond-range': (a: { count: number }, f: Format) =>
    `${counted(a.count, 'reading', 'readings', f)} outside the marked range of the tool`,
  'review.notice-batches-untold': (a: { count: number; tools: readonly string[] }, f: Format) =>
    `${f.list(a.tools)}: batches cannot be told for ${counted(a.count, 'fastener', 'fasteners', f)}`,
  'review.notice-calibration-overdue': (a: { tool: string; on: number }, f: Format) =>
    `${a.tool}: calibration overdue since ${f.date(a.on)}`,

  // ---- empty ----
  'review.empty': (a: { at: number | null; shift: string | null; day: number | null }, f: Format) =>
    a.at === null
      ? 'No readings in this period.'
      : a.shift === null || a.day === null
        ? `No readings in this period. The nearest are on ${f.dateTime(a.at)}.`
        : `No readings in this period. The nearest are in the ${a.shift} shift of ${f.date(a.day)}.`,
  'review.empty-store': (_: Record<string, never>, _f: Format) =>
    'No readings yet. Drop a dump on Intake, or load the sample scenario.',

  // ---- collection list ----
  'review.collection': (a: { now: number; readOut: number; checks: number; calibrations: number }, f: Format) => {
    const parts: string[] = [];
    if (a.readOut > 0) parts.push(`${counted(a.readOut, 'wrench', 'wrenches', f)} to read out`);
    if (a.checks > 0) parts.push(`${counted(a.checks, 'check', 'checks', f)} due`);
    if (a.calibrations > 0) parts.push(`${counted(a.calibrations, 'calibration', 'calibrations', f)} due`);
    return `${f.date(a.now)}: ${parts.length === 0 ? 'nothing is due' : f.list(parts)}.`;
  },
  'review.collect-full-on': (a: { stored: number; capacity: number; fullOn: number; perDay: number }, f: Format) =>
    `about ${f.number(a.stored)} of ${f.number(a.capacity)} stored, ${f.number(a.perDay)} a working day: full on ${f.date(a.fullOn)}`,
  'review.collect-full-now': (a: { stored: number; capacity: number }, f: Format) =>
    `**memory full**: about ${f.number(a.stored)} of ${f.number(a.capacity)}. Later readings may be missing, or the oldest overwritten.`,
  'review.collect-no-capacity': (_: Record<string, never>, _f: Format) => 'storage of the tool not known',
  'review.collect-no-readings': (_: Record<string, never>, _f: Format) => 'no reading with a time held',
  'review.collect-not-cleared': (_: Record<string, never>, _f: Format) =>
    'the last read-out did not clear the memory: it repeated readings already held',
  'review.check-due': (a: { on: number; overdue: boolean }, f: Format) =>
    a.overdue ? `**check overdue** since ${f.date(a.on)}` : `next check ${f.date(a.on)}`,
  'review.calibration-due': (a: { on: number; overdue: boolean; cycles: boolean }, f: Format) =>
    a.overdue
      ? `**calibration overdue** since ${f.date(a.on)}${a.cycles ? ', by the number of readings held' : ''}`
      : `calibration due ${f.date(a.on)}`,
  'review.calibration-unknown': (_: Record<string, never>, _f: Format) => 'date of the last calibration not known',
  'review.unit-note': (a: { unit: TorqueUnit }, _f: Format) => torqueUnitSymbols[a.unit],
  'review.sentences': (a: { parts: readonly Said[] }, f: Format) => a.parts.map((part) => f.say(part)).join(' '),
};

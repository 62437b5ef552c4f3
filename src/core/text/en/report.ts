import type { Format } from '../format.ts';

type None = Record<string, never>;

/** Phrases of the reports. */
export const report = {
  'report.kind.study': (_: None, _f: Format) => 'Capability study',
  'report.kind.working': (_: None, _f: Format) => 'Working and readings',
  'report.study.title': (a: { joint: string; characteristic: 'torque' | 'angle' }, _f: Format) =>
    `${a.joint}, shown ${a.characteristic}`,
  'report.owner.none': (_: None, _f: Format) => 'Tightbook',
  'report.foot.study': (
    a: { version: string; madeMs: number; by: string; fingerprint: string | null; revision: string | null },
    f: Format,
  ) =>
    [
      `Tightbook ${a.version}`,
      `Made ${f.dateTime(a.madeMs)} UTC by ${a.by}`,
      a.fingerprint ? `Readings ${a.fingerprint.slice(0, 16)}` : null,
      a.revision ? `limits ${a.revision}` : null,
    ]
      .filter((part) => part !== null)
      .join(' · '),
  'report.fact.joint': (_: None, _f: Format) => 'Joint',
  'report.fact.tool': (_: None, _f: Format) => 'Tool',
  'report.fact.readings': (_: None, _f: Format) => 'Readings',
  'report.fact.limits': (_: None, _f: Format) => 'Limits',
  'report.fact.period': (_: None, _f: Format) => 'Period',
  'report.fact.requirement': (_: None, _f: Format) => 'Requirement',
  'report.fact.joint-text': (a: { joint: string; class: string | null }, _f: Format) =>
    a.class ? `${a.joint}, class ${a.class}` : `${a.joint}, no class set`,
  'report.fact.tool-text': (a: { serials: readonly string[]; permitted: readonly number[] }, f: Format) =>
    `${a.serials.length === 0 ? 'not named in the dumps' : f.list(a.serials)}, own display${
      a.permitted.length > 0
        ? `, permitted ±\u2009${f.list([...new Set(a.permitted)].map((p) => f.number(p, p % 1 === 0 ? 0 : 1)))}\u00a0%`
        : ''
    }`,
  'report.fact.readings-text': (
    a: { used: number; candidates: number; attempts: 'first' | 'last' | 'all'; size: number },
    f: Format,
  ) =>
    `${f.number(a.used)} ${{ first: 'first tries', last: 'last tries', all: 'tries' }[a.attempts]}${
      a.candidates > a.used ? ` of ${f.number(a.candidates)}` : ''
    }, ${a.size > 1 ? `groups of ${f.number(a.size)}` : 'single readings'}`,
  'report.fact.limits-text': (
    a: { low: number | null; high: number | null; unit: string; decimals: number; revision: string | null },
    f: Format,
  ) => {
    const window =
      a.low !== null && a.high !== null
        ? `${f.number(a.low, a.decimals)} to ${f.number(a.high, a.decimals)}`
        : a.low !== null
          ? `at least ${f.number(a.low, a.decimals)}`
          : a.high !== null
            ? `at most ${f.number(a.high, a.decimals)}`
            : null;
    return window === null ? 'none' : `${window}\u00a0${a.unit}${a.revision ? `, revision ${a.revision}` : ''}`;
  },
  'report.fact.period-text': (a: { from: number | null; to: number | null; shifts: readonly string[] }, f: Format) => {
    const span =
      a.from === null || a.to === null
        ? 'readings without a time'
        : f.date(a.from) === f.date(a.to)
          ? f.date(a.from)
          : `${f.date(a.from)} to ${f.date(a.to)}`;
    return a.shifts.length > 0 ? `${span}, ${f.list(a.shifts)}` : span;
  },
  'report.fact.requirement-text': (
    a: { index: string; value: number; judge: 'low-end' | 'estimate'; from: 'class' | 'chosen' },
    f: Format,
  ) =>
    `${a.judge === 'low-end' ? `lower end of the 95\u00a0% interval of ${a.index}` : a.index} at least ${f.number(a.value, 2)}${
      a.from === 'class' ? ' (from the class; common practice)' : ''
    }`,
  'report.fact.no-requirement': (_: None, _f: Format) => 'none set: the joint has no class and none was chosen',
  'report.heading.indices': (_: None, _f: Format) => 'Indices',
  'report.heading.index-table': (_: None, _f: Format) => 'Indices in figures',
  'report.heading.unmet': (_: None, _f: Format) => 'Conditions that do not hold',
  'report.head.condition': (_: None, _f: Format) => 'Condition',
  'report.head.concerns': (_: None, _f: Format) => 'Concerns',
  'report.heading.working': (_: None, _f: Format) => 'Working',
  'report.heading.left-out': (_: None, _f: Format) => 'Left out',
  'report.heading.sources': (_: None, _f: Format) => 'Sources',
  'report.heading.readings': (a: { unit: string }, _f: Format) => `Readings, ${a.unit}`,
  'report.heading.strata': (_: None, _f: Format) => 'Where the readings come from',
  'report.heading.method': (_: None, _f: Format) => 'Method and usage',
  'report.head.index': (_: None, _f: Format) => 'Index',
  'report.head.value': (_: None, _f: Format) => 'Value',
  'report.head.interval': (_: None, _f: Format) => '95\u00a0% interval',
  'report.head.method': (_: None, _f: Format) => 'Method',
  'report.head.note': (_: None, _f: Format) => 'Note',
  'report.head.when': (_: None, _f: Format) => 'When',
  'report.head.reason': (_: None, _f: Format) => 'Reason',
  'report.head.decided-by': (_: None, _f: Format) => 'Decided by',
  'report.head.file': (_: None, _f: Format) => 'File',
  'report.head.sha': (_: None, _f: Format) => 'SHA-256',
  'report.head.readings': (_: None, _f: Format) => 'Readings',
  'report.head.group': (_: None, _f: Format) => 'Group',
  'report.head.mean': (_: None, _f: Format) => 'Mean',
  'report.head.s': (_: None, _f: Format) => 's',
  'report.head.n': (_: None, _f: Format) => 'n',
  'report.by.tool': (_: None, _f: Format) => 'By tool',
  'report.by.operator': (_: None, _f: Format) => 'By operator',
  'report.by.shift': (_: None, _f: Format) => 'By shift',
  'report.interval': (a: { low: number | null; high: number | null; decimals: number }, f: Format) =>
    a.low === null || a.high === null ? 'none' : `${f.number(a.low, a.decimals)} to ${f.number(a.high, a.decimals)}`,
  'report.required': (a: { value: number }, f: Format) => `required ${f.number(a.value, 2)}`,
  'report.note.control': (_: None, _f: Format) => 'Control.',
  'report.note.distribution': (_: None, _f: Format) => 'Distribution.',
  'report.note.left-out': (_: None, _f: Format) => 'Left out.',
  'report.note.tool': (_: None, _f: Format) => 'Tool.',
  'report.note.caution': (_: None, _f: Format) => 'Caution.',
  'report.left-out.none': (_: None, _f: Format) => 'No reading was left out.',
  'report.left-out.count': (a: { count: number }, f: Format) =>
    a.count === 1 ? 'One reading, listed below.' : `${f.number(a.count)} readings, listed below.`,
  'report.left-out.own': (_: None, _f: Format) => ' (the operator of the reading)',
  'report.control.none': (_: None, _f: Format) => 'Too few groups for a control chart.',
  'report.control.counts': (
    a: {
      kind: 'means' | 'singles';
      points: number;
      beyond: number;
      beyondAllowed: number;
      runs: number;
      runsAllowed: number;
      status: string | null;
    },
    f: Format,
  ) =>
    `${f.number(a.beyond)} of ${f.number(a.points)} ${a.kind === 'means' ? 'group means' : 'readings'} outside the limits (chance allows ${f.number(
      a.beyondAllowed,
    )}); runs of nine: ${f.number(a.runs)} (chance allows ${f.number(a.runsAllowed)}).${
      a.status === 'not-stable' ? ' **Not stable**: Cpk and Cp would hold only if stable.' : ''
    }`,
  'report.readings.attached': (a: { count: number; most: number }, f: Format) =>
    `The ${f.number(a.count)} readings are not printed here (more than ${f.number(
      a.most,
    )}); the CSV of this study holds every one of them, and belongs to this report: the fingerprint in the foot names them.`,
  'report.readings.key': (_: None, _f: Format) =>
    '○ mean outside its limits. × left out, its group shortened. Readings that fill no group are in the overall figures, not on the chart.',
  'report.no-group': (_: None, _f: Format) => 'no group',
  'report.seed': (a: { seed: number; replicates: number }, f: Format) =>
    `Simulated intervals: Mersenne Twister MT19937, seed ${String(a.seed)}, ${f.number(a.replicates)} replicates.`,
  'report.cautions': (_: None, _f: Format) =>
    'This report releases nothing. The responsible engineer decides, under the product’s own standard and local rules.',
  'report.sign.made': (_: None, _f: Format) => 'Made by',
  'report.sign.checked': (_: None, _f: Format) => 'Checked by',
  'report.sign.date': (_: None, _f: Format) => 'Date',
  'report.kind.shift': (_: None, _f: Format) => 'Shift hand-over',
  'report.kind.tool': (_: None, _f: Format) => 'Tool card',
  'report.shift.title': (a: { period: string }, _f: Format) => a.period,
  'report.foot.plain': (a: { version: string; madeMs: number; by: string }, f: Format) =>
    `Tightbook ${a.version} · Made ${f.dateTime(a.madeMs)} UTC by ${a.by}`,
  'report.heading.causes': (_: None, _f: Format) => 'Why readings failed',
  'report.heading.failing': (_: None, _f: Format) => 'Failing readings',
  'report.heading.fasteners': (_: None, _f: Format) => 'Fasteners',
  'report.heading.notices': (_: None, _f: Format) => 'Worth knowing',
  'report.heading.checks': (_: None, _f: Format) => 'Checks on the reference',
  'report.heading.lanes': (_: None, _f: Format) => 'What each lane supports',
  'report.head.cause': (_: None, _f: Format) => 'Cause and joint',
  'report.head.count': (_: None, _f: Format) => 'Count',
  'report.head.running': (_: None, _f: Format) => 'Running',
  'report.head.time': (_: None, _f: Format) => 'Time',
  'report.head.joint': (_: None, _f: Format) => 'Joint, fastener',
  'report.head.tool': (_: None, _f: Format) => 'Tool',
  'report.head.operator': (_: None, _f: Format) => 'Operator',
  'report.head.torque': (_: None, _f: Format) => 'Torque',
  'report.head.angle': (_: None, _f: Format) => 'Angle',
  'report.head.try': (_: None, _f: Format) => 'Try',
  'report.head.outcome': (_: None, _f: Format) => 'What followed, note',
  'report.head.batch': (_: None, _f: Format) => 'Batch',
  'report.head.missing': (_: None, _f: Format) => 'Missing',
  'report.head.shown': (_: None, _f: Format) => 'Shown',
  'report.head.reference': (_: None, _f: Format) => 'Reference',
  'report.head.deviation': (_: None, _f: Format) => 'D, %',
  'report.head.of-pulls': (_: None, _f: Format) => 'of pulls',
  'report.head.passed': (_: None, _f: Format) => 'Within its permitted error',
  'report.check.passed': (a: { passed: boolean | null }, _f: Format) =>
    a.passed === null ? 'cannot be told' : a.passed ? 'yes' : '**no**',
  'report.affected': (a: { count: number; since: number | null }, f: Format) =>
    a.since === null
      ? `${f.number(a.count)} readings, with no good check or calibration on record before them.`
      : `${f.number(a.count)} readings since the last good check or calibration of ${f.dateTime(a.since)}.`,
  'report.day-time': (a: { at: number }, f: Format) => `${f.dayMonth(a.at)} ${f.time(a.at)}`,
  'report.lead.again': (_: None, _f: Format) => 'Tightened again',
  'report.more-failing': (a: { shown: number; total: number }, f: Format) =>
    `${f.number(a.shown)} of ${f.number(a.total)} are printed: those with a note first, then those not inside yet. The others are in Tightbook and in the CSV of this shift.`,
  'report.more-rows': (a: { shown: number; total: number }, f: Format) =>
    `${f.number(a.shown)} of ${f.number(a.total)} are printed; export CSV for all.`,
  'report.nothing-failed': (_: None, _f: Format) => 'No reading failed.',
  'report.no-figure': (a: { name: string; known: readonly string[] }, f: Format) =>
    `There is no figure "${a.name}". Choose ${f.list([...a.known])}.`,
  'report.no-browser': (_: None, _f: Format) =>
    'A PDF needs the desktop application or an installed Chromium; none was found. Export as HTML and print it from a browser, or name one in TIGHTBOOK_CHROMIUM.',
};

import { type TorqueUnit, torqueUnitSymbols } from '../../units/torque-unit.ts';
import type { Format } from '../format.ts';

type None = Record<string, never>;

const intervalWords = (a: { percent: number; low: number; high: number }, f: Format): string =>
  `${f.signed(a.percent, 1)} % (${f.signed(a.low, 1)} to ${f.signed(a.high, 1)})`;
const pWords = (p: number | null, f: Format): string =>
  p === null ? '–' : p < 0.001 ? 'p under 0.001' : `p ${f.number(p, p < 0.1 ? 3 : 2)}`;

type StudyModelName =
  | 'normal'
  | 'lognormal'
  | 'weibull'
  | 'gamma'
  | 'lognormal-threshold'
  | 'lognormal-mirrored'
  | 'empirical';
const tries = { first: 'first tries', last: 'last tries', all: 'every try' } as const;
const modelNames: Readonly<Record<StudyModelName, string>> = {
  normal: 'normal',
  lognormal: 'lognormal',
  weibull: 'Weibull',
  gamma: 'gamma',
  'lognormal-threshold': 'lognormal with threshold',
  'lognormal-mirrored': 'lognormal, mirrored',
  empirical: 'as observed',
};

/** Words of the Drift and Study screens. What is found is said by the core; this names, explains and asks. */
export const uiDriftStudy = {
  // ---- drift: frame and list
  'ui.drift.scope-end': (a: { blocks: number; readings: number; falseAlarms: number }, f: Format) =>
    `${f.number(a.blocks)} shifts, ${f.number(a.readings)} readings; ${f.number(a.falseAlarms, 1)} false alarms a lane`,
  'ui.drift.nothing': (_: None, _f: Format) =>
    'No first try of any tool lies in this period, so nothing can be said about drift.',
  'ui.drift.everything': (_: None, _f: Format) => 'Look at everything held',
  'ui.drift.tools': (_: None, _f: Format) => 'Tools, most urgent first',
  'ui.drift.tools.note': (_: None, _f: Format) => 'to move; shaded: too small to see',
  'ui.drift.quarantined': (_: None, _f: Format) => 'quarantined',
  'ui.drift.lane.own': (_: None, _f: Format) => 'Own readings',
  'ui.drift.lane.response': (_: None, _f: Format) => 'Response',
  'ui.drift.lane.value': (a: { name: string; percent: number; low: number; high: number }, f: Format) =>
    `${a.name}: ${intervalWords(a, f)}`,
  'ui.drift.lane.none': (a: { name: string; why: string }, _f: Format) => `${a.name}: ${a.why}`,

  // ---- drift: due today
  'ui.drift.due': (_: None, _f: Format) => 'To do today',
  'ui.drift.due.day': (a: { now: number }, f: Format) =>
    `${f.date(a.now).replace(/ \d{4}$/, '')}, counted from the last read-out`,
  'ui.drift.due.print': (_: None, _f: Format) => 'Print',
  'ui.drift.due.none': (_: None, _f: Format) => 'Nothing is due today.',
  'ui.drift.due.read-out': (_: None, _f: Format) => 'Read out',
  'ui.drift.due.next': (_: None, _f: Format) => 'Next',
  'ui.drift.due.check': (_: None, _f: Format) => 'Check',
  'ui.drift.due.calibrate': (_: None, _f: Format) => 'Calibrate',
  'ui.drift.due.last-check': (a: { at: number }, f: Format) => `last check ${f.dayMonth(a.at)}`,
  'ui.drift.due.unchecked': (_: None, _f: Format) => 'also never checked',
  'ui.drift.due.never': (_: None, _f: Format) => 'never checked',
  'ui.drift.due.now': (_: None, _f: Format) => 'now',
  'ui.drift.due.full': (a: { at: number; today: boolean; past: boolean }, f: Format) =>
    a.past ? `full since ${f.dayMonth(a.at)}` : a.today ? `full today ${f.time(a.at)}` : `full ${f.dayMonth(a.at)}`,
  'ui.drift.due.on': (a: { at: number; overdue: boolean; today: boolean }, f: Format) =>
    a.overdue ? `overdue since ${f.dayMonth(a.at)}` : a.today ? 'today' : f.dayMonth(a.at),
  'ui.drift.due.memory': (a: { stored: number; capacity: number; perDay: number | null }, f: Format) =>
    `${f.number(a.stored)} of ${f.number(a.capacity)}${a.perDay === null ? '' : `, ${f.number(a.perDay)} a day`}`,
  'ui.drift.due.memory-unknown': (_: None, _f: Format) => 'memory size not entered',
  'ui.drift.due.more': (a: { count: number }, f: Format) => `and ${f.number(a.count)} more in Register`,

  // ---- drift: one tool
  'ui.drift.log-check': (_: None, _f: Format) => 'Log a check',
  'ui.drift.its-readings': (_: None, _f: Format) => 'Its readings',
  'ui.drift.quarantine': (_: None, _f: Format) => 'Quarantine',
  'ui.drift.return': (_: None, _f: Format) => 'Return to use',
  'ui.drift.quarantine.title': (a: { tool: string }, _f: Format) => `Take ${a.tool} off the line`,
  'ui.drift.return.title': (a: { tool: string }, _f: Format) => `Return ${a.tool} to use`,
  'ui.drift.quarantine.note': (_: None, _f: Format) =>
    'It is marked here; lock it away as your own rules say, and have it checked by a competent laboratory.',
  'ui.drift.return.note': (_: None, _f: Format) =>
    'Only after a good check or a calibration. The responsible engineer decides.',
  'ui.drift.why': (_: None, _f: Format) => 'Why',
  'ui.drift.why.needed': (_: None, _f: Format) => 'Say why: the journal keeps it.',
  'ui.drift.files': (_: None, _f: Format) => 'Card and files',
  'ui.drift.card-pdf': (_: None, _f: Format) => 'Tool card, PDF',
  'ui.drift.card-html': (_: None, _f: Format) => 'Tool card, HTML',
  'ui.drift.figure-svg': (_: None, _f: Format) => 'Strips, SVG',
  'ui.drift.figure-png': (_: None, _f: Format) => 'Strips, PNG',
  'ui.drift.numbers': (_: None, _f: Format) => 'All numbers, JSON',
  'ui.drift.writing': (_: None, _f: Format) => 'Writing the file.',
  'ui.drift.written': (a: { name: string }, _f: Format) => `${a.name} was written.`,
  'ui.drift.scatter': (a: { swapped: boolean }, _f: Format) =>
    a.swapped ? 'Torque at equal angle' : 'Angle at equal torque',
  'ui.drift.scatter.caption': (a: { joint: string; everyKth: number; total: number; slopeUsed: boolean }, f: Format) =>
    `${a.joint}; ${
      a.everyKth <= 1
        ? 'every reading'
        : a.everyKth === 2
          ? 'every 2nd reading'
          : `every ${f.number(a.everyKth)}th reading`
    } drawn, lines from all ${f.number(a.total)}.${a.slopeUsed ? '' : ' No clear slope before: the lines are level.'}`,
  'ui.drift.scatter.none': (_: None, _f: Format) =>
    'No joint of this tool has readings with torque and angle, so this lane has nothing to look at.',
  'ui.drift.moved': (_: None, _f: Format) => 'What moved',
  'ui.drift.moved-since': (a: { at: number }, f: Format) => `What moved since ${f.dayMonth(a.at)}`,
  'ui.drift.moved.caption': (_: None, _f: Format) =>
    '%, 95 % intervals; clusters of tool and shift. Bold: the interval excludes zero.',
  'ui.drift.moved.none': (a: { blocks: number }, f: Format) =>
    `Nothing to compare yet: ${f.number(a.blocks)} shifts, and before and after need some of each.`,
  'ui.drift.lanes-say': (_: None, _f: Format) => 'What each lane supports',
  'ui.drift.working': (_: None, _f: Format) => 'Working',
  'ui.drift.working.which': (_: None, _f: Format) => 'Figure whose working is shown',
  'ui.drift.working.open': (_: None, _f: Format) => 'Working of these figures',
  'ui.drift.working.copy': (_: None, _f: Format) => 'Copy as text',
  'ui.drift.working.copied': (_: None, _f: Format) => 'Copied.',
  'ui.drift.working.not-copied': (_: None, _f: Format) => 'The clipboard was refused: select the text below.',
  'ui.drift.zoomed': (a: { from: number; to: number }, f: Format) =>
    `${f.dayMonth(a.from)} to ${f.dayMonth(a.to)} of the time axis is shown; 0 shows all.`,
  'ui.drift.zoom': (_: None, _f: Format) => '+ and − zoom the time axis.',
  'ui.drift.tests': (_: None, _f: Format) => 'Tests',
  'ui.drift.tests.blocks': (_: None, _f: Format) => 'Shifts',
  'ui.drift.tests.slope': (_: None, _f: Format) => '% per 1000 readings',
  'ui.drift.tests.trend': (_: None, _f: Format) => 'Trend, adjusted',
  'ui.drift.tests.change': (_: None, _f: Format) => 'Change, adjusted',
  'ui.drift.tests.cusum': (_: None, _f: Format) => 'CUSUM alarm',
  'ui.drift.tests.slope-value': (a: { percent: number; low: number; high: number }, f: Format) =>
    `${f.signed(a.percent, 2)} (${f.signed(a.low, 2)} to ${f.signed(a.high, 2)})`,
  'ui.drift.tests.p': (a: { p: number | null }, f: Format) => pWords(a.p, f),
  'ui.drift.tests.day': (a: { at: number | null }, f: Format) => (a.at === null ? 'none' : f.dayMonth(a.at)),
  'ui.drift.signed': (a: { value: number }, f: Format) => f.signed(a.value, 1),
  'ui.drift.number': (a: { value: number; decimals: number }, f: Format) => f.number(a.value, a.decimals),
  'ui.drift.count': (a: { count: number }, f: Format) => f.number(a.count),

  // ---- drift: checks
  'ui.drift.checks': (_: None, _f: Format) => 'Check log',
  'ui.drift.checks.none': (_: None, _f: Format) =>
    'No check of this tool on a reference is held, so its own error is not known.',
  'ui.drift.checks.first': (_: None, _f: Format) => 'Log the first one',
  'ui.drift.checks.caption': (
    a: { nominal: number | null; unit: TorqueUnit; pulls: number | null; permitted: number | null },
    f: Format,
  ) =>
    `${
      a.pulls === null ? '' : a.pulls === 1 ? 'One pull each ' : `${f.number(a.pulls)} pulls each `
    }${a.nominal === null ? 'at several nominal values' : `at nominal ${f.number(a.nominal, 2)} ${torqueUnitSymbols[a.unit]}`}; ${
      a.permitted === null
        ? 'the permitted deviation is not entered, so no check is judged'
        : `each pull may be ± ${f.number(a.permitted, a.permitted % 1 === 0 ? 0 : 1)} % off`
    }.`.replace(/^a/, 'A'),
  'ui.drift.checks.date': (_: None, _f: Format) => 'Date',
  'ui.drift.checks.day': (a: { at: number; kind: 'as-found' | 'as-left' }, f: Format) =>
    `${f.dayMonth(a.at)}${a.kind === 'as-left' ? ', as left' : ''}`,
  'ui.drift.checks.shown': (_: None, _f: Format) => 'Shown',
  'ui.drift.checks.reference': (_: None, _f: Format) => 'Reference',
  'ui.drift.checks.deviation': (_: None, _f: Format) => 'D, %',
  'ui.drift.checks.pulls': (_: None, _f: Format) => 'of pulls',
  'ui.drift.checks.one-pull': (_: None, _f: Format) => 'one pull',
  'ui.drift.checks.range': (a: { low: number; high: number; pulls: number | null }, f: Format) =>
    `${f.signed(a.low, 1)} to ${f.signed(a.high, 1)}${a.pulls === null ? '' : ` of ${f.number(a.pulls)}`}`,
  'ui.drift.checks.hidden': (a: { count: number }, f: Format) => `${f.number(a.count)} older checks are in Register.`,
  'ui.drift.checks.forecast': (a: { on: number; low: number; high: number }, f: Format) =>
    `At this rate it crosses the permitted deviation on ${f.date(a.on)} (95 %: ${f.date(a.low)} to ${f.date(a.high)}).`,
  'ui.drift.checks.calibration': (
    a: { at: number; overdue: boolean; because: 'months' | 'cycles' | 'days'; byDefault: boolean },
    f: Format,
  ) =>
    `${a.overdue ? '**Calibration overdue** since' : 'Calibration due'} ${f.date(a.at)}${
      a.because === 'cycles' ? ', by readings held' : ''
    }${a.byDefault ? ' (no interval entered: 12 months or 5 000 cycles stand in)' : ''}.`,
  'ui.drift.checks.calibration-unknown': (_: None, _f: Format) => 'Calibration date not entered.',
  'ui.drift.checks.check-due': (a: { at: number; overdue: boolean }, f: Format) =>
    a.overdue ? `Check overdue since ${f.date(a.at)}.` : `Next check ${f.date(a.at)}.`,

  // ---- drift: affected readings
  'ui.drift.affected': (_: None, _f: Format) => 'Readings in doubt',
  'ui.drift.affected.readings': (a: { count: number }, f: Format) =>
    a.count === 1 ? '1 reading' : `${f.number(a.count)} readings`,
  'ui.drift.affected.since': (a: { since: number | null; until: number | null; passed: number }, f: Format) =>
    `${
      a.since === null
        ? 'in all: no good check or calibration is held'
        : `since the last good check or calibration, ${f.dateTime(a.since)}`
    }${a.until === null ? '' : `, until ${f.dateTime(a.until)}`}; ${f.number(a.passed)} of them passed.`,
  'ui.drift.affected.csv': (_: None, _f: Format) => 'Export them, CSV',
  'ui.drift.affected.no-time': (a: { count: number }, f: Format) =>
    `${f.number(a.count)} more carry no time and cannot be placed.`,
  'ui.drift.affected.joint': (a: { joint: string; count: number; passed: number }, f: Format) =>
    `${a.joint} ${f.number(a.count)}, ${f.number(a.passed)} passed`,
  'ui.drift.question.since': (a: { since: number; wouldLeave: number | null }, f: Format) =>
    `since the move of ${f.dayMonth(a.since)} are in question${
      a.wouldLeave === null
        ? '; no check says by how much.'
        : `: corrected by the latest check, ${f.number(a.wouldLeave)} of those that passed would leave their limits.`
    }`,

  // ---- drift: choices
  'ui.drift.baseline': (_: None, _f: Format) => 'Compare with',
  'ui.drift.baseline.first': (a: { blocks: number }, f: Format) => `first ${f.number(a.blocks)} shifts`,
  'ui.drift.baseline.use': (_: None, _f: Format) => 'Compare with these days',
  'ui.drift.operators.hide': (_: None, _f: Format) => 'hide names, here and everywhere',
  'ui.drift.watch': (_: None, _f: Format) => 'Watch list',
  'ui.drift.watch.note': (_: None, _f: Format) => 'own thresholds of this tool, ± %',
  'ui.drift.watch.lane': (a: { lane: 'ownPercent' | 'responsePercent' | 'checkPercent' }, _f: Format) =>
    ({ ownPercent: 'own readings', responsePercent: 'response', checkPercent: 'check' })[a.lane],
  'ui.drift.watch.bad': (_: None, _f: Format) => 'A threshold must be a number above 0, or empty for none.',
  'ui.drift.watch.hit': (a: { lane: 'own' | 'response' | 'check'; percent: number; threshold: number }, f: Format) =>
    `${{ own: 'Own readings', response: 'Response', check: 'Check' }[a.lane]} at ${f.signed(a.percent, 1)} %, beyond ± ${f.number(a.threshold, 1)} %.`,

  // ---- drift: comparisons
  'ui.drift.tangled': (_: None, _f: Format) => 'Cannot be told apart',
  'ui.drift.tangled.note': (_: None, _f: Format) => 'no statistics can; other work could',
  'ui.drift.compare': (_: None, _f: Format) => 'Tools, operators and joints against each other',
  'ui.drift.compare.note': (_: None, _f: Format) =>
    '% of target, after the other two; simultaneous 95 % intervals; in the order of the register',
  'ui.drift.compare.none': (_: None, _f: Format) => 'There is too little to compare.',
  'ui.drift.compare.not': (a: { factor: 'tool' | 'operator' | 'joint' }, _f: Format) =>
    `${{ tool: 'Tools', operator: 'Operators', joint: 'Joints' }[a.factor]}: fewer than two that can be compared.`,
  'ui.drift.compare.factor': (a: { factor: 'tool' | 'operator' | 'joint' }, _f: Format) =>
    ({ tool: 'Tools', operator: 'Operators', joint: 'Joints' })[a.factor],
  'ui.drift.compare.barely': (a: { a: string; b: string; inflation: number }, f: Format) =>
    `${a.a} and ${a.b} are barely separable: their difference is known ${f.number(Math.sqrt(a.inflation), 1)} times less well than their readings would give.`,
  'ui.drift.operators': (_: None, _f: Format) => 'How operators stop',
  'ui.drift.operators.note': (_: None, _f: Format) => 'a matter for training, not for blame; by name',
  'ui.drift.operators.anonymous': (_: None, _f: Format) => 'a matter for training, not for blame; names are hidden',
  'ui.drift.operators.guess': (_: None, _f: Format) =>
    'Numbers are drawn by lot. In a small team shift, day and tool can still tell who it was.',
  'ui.drift.operators.name': (_: None, _f: Format) => 'Operator',
  'ui.drift.operators.stop': (_: None, _f: Format) => 'Stops, % of target',
  'ui.drift.operators.spread': (_: None, _f: Format) => 'Spread, %',
  'ui.drift.operators.spread-value': (a: { percent: number; low: number; high: number }, f: Format) =>
    `${f.number(a.percent, 2)} (${f.number(a.low, 2)} to ${f.number(a.high, 2)})`,
  'ui.drift.operators.n': (_: None, _f: Format) => 'Readings',
  'ui.drift.left-out': (_: None, _f: Format) => 'Not used here:',

  // ---- drift: the check form
  'ui.drift.form.title': (a: { tool: string }, _f: Format) => `Log a check of ${a.tool}`,
  'ui.drift.form.when': (_: None, _f: Format) => 'When',
  'ui.drift.form.kind': (_: None, _f: Format) => 'Kind',
  'ui.drift.form.as-found': (_: None, _f: Format) => 'as found',
  'ui.drift.form.as-left': (_: None, _f: Format) => 'as left, after adjusting',
  'ui.drift.form.nominal': (_: None, _f: Format) => 'Nominal',
  'ui.drift.form.unit': (_: None, _f: Format) => 'Unit',
  'ui.drift.form.uncertainty': (_: None, _f: Format) => 'Uncertainty of the reference, % (k = 2)',
  'ui.drift.form.pull': (_: None, _f: Format) => 'Pull',
  'ui.drift.form.shown': (_: None, _f: Format) => 'Shown by the tool',
  'ui.drift.form.reference': (_: None, _f: Format) => 'Reference',
  'ui.drift.form.shown-of': (a: { pull: number }, f: Format) => `Pull ${f.number(a.pull)}: shown by the tool`,
  'ui.drift.form.reference-of': (a: { pull: number }, f: Format) => `Pull ${f.number(a.pull)}: reference`,
  'ui.drift.form.inside': (a: { permitted: number }, f: Format) => `within ± ${f.number(a.permitted, 1)} %`,
  'ui.drift.form.outside': (a: { permitted: number }, f: Format) => `outside ± ${f.number(a.permitted, 1)} %`,
  'ui.drift.form.unknown': (_: None, _f: Format) => 'permitted deviation not entered',
  'ui.drift.form.more': (_: None, _f: Format) => 'One more pull',
  'ui.drift.form.one': (_: None, _f: Format) => 'One pull cannot tell bias from scatter.',
  'ui.drift.form.range': (_: None, _f: Format) =>
    'The permitted deviation holds within the marked range of the tool only. Pull, do not push; wear eye protection.',
  'ui.drift.form.save': (_: None, _f: Format) => 'Save the check',
  'ui.drift.form.kept': (_: None, _f: Format) => 'Kept with your name and the time.',
  'ui.drift.form.why': (a: { tool: string }, _f: Format) => `check of ${a.tool} logged`,
  'ui.drift.form.bad-time': (_: None, _f: Format) => 'The time of the check is not a date and time. Enter both.',
  'ui.drift.form.bad-nominal': (_: None, _f: Format) =>
    'The nominal value must be a number above 0: the torque the pulls aimed at.',
  'ui.drift.form.bad-uncertainty': (_: None, _f: Format) =>
    'The uncertainty must be a number above 0, or empty if the certificate gives none.',
  'ui.drift.form.no-pull': (_: None, _f: Format) => 'Enter at least one pull: what the tool showed, and the reference.',
  'ui.drift.form.bad-pull': (a: { pull: number }, f: Format) =>
    `Pull ${f.number(a.pull)}: both values must be numbers, the reference above 0.`,

  // ---- study: choices
  'ui.study.choices': (_: None, _f: Format) => 'What is studied',
  'ui.study.summary': (
    a: {
      joint: string;
      of: 'torque' | 'angle';
      attempts: 'first' | 'last' | 'all';
      tools: readonly string[];
      model: StudyModelName;
    },
    f: Format,
  ) =>
    `${a.joint === '' ? 'No joint chosen' : a.joint}; ${a.of}, ${tries[a.attempts]}; ${
      a.tools.length === 0 ? 'all tools' : f.list(a.tools)
    }; ${modelNames[a.model]}`,
  'ui.study.fold': (_: None, _f: Format) => 'Fold the choices',
  'ui.study.unfold': (_: None, _f: Format) => 'Change the choices',
  'ui.study.joint': (_: None, _f: Format) => 'Joint',
  'ui.study.joint.choose': (_: None, _f: Format) => 'Choose a joint',
  'ui.study.joint.option': (a: { name: string; readings: number }, f: Format) => `${a.name} (${f.number(a.readings)})`,
  'ui.study.of': (_: None, _f: Format) => 'What',
  'ui.study.of.torque': (_: None, _f: Format) => 'Torque',
  'ui.study.of.angle': (_: None, _f: Format) => 'Angle',
  'ui.study.attempts': (_: None, _f: Format) => 'Which tries',
  'ui.study.attempts.option': (a: { attempts: 'first' | 'last' | 'all' }, _f: Format) => tries[a.attempts],
  'ui.study.tools': (_: None, _f: Format) => 'Tools',
  'ui.study.tools.all': (a: { count: number }, f: Format) =>
    a.count === 0 ? 'all' : a.count === 1 ? 'the only one' : `all ${f.number(a.count)}`,
  'ui.study.tool.status': (a: { tool: string; status: 'in-use' | 'quarantined' | 'retired' }, _f: Format) =>
    `${a.tool} is ${a.status === 'in-use' ? 'in use' : a.status}.`,
  'ui.study.tool.overdue': (a: { tool: string }, _f: Format) => `${a.tool}: calibration overdue.`,
  'ui.study.tool.failed': (a: { tool: string }, _f: Format) => `${a.tool} failed its last check.`,
  'ui.study.tool.several': (a: { count: number }, f: Format) =>
    `${f.number(a.count)} tools in one study: see below whether they differ.`,
  'ui.study.period': (_: None, _f: Format) => 'Period',
  'ui.study.period.all': (a: { from: number; to: number }, f: Format) =>
    `All: ${f.dayMonth(a.from)} to ${f.dateTime(a.to).slice(0, -7)}`,
  'ui.study.period.reset': (_: None, _f: Format) => 'Every day, shift and operator',
  'ui.study.shifts': (_: None, _f: Format) => 'Shifts',
  'ui.study.groups': (_: None, _f: Format) => 'Groups',
  'ui.study.groups.option': (a: { size: number }, f: Format) =>
    a.size === 1 ? 'single readings' : `${f.number(a.size)} in a row`,
  'ui.study.within': (_: None, _f: Format) => 'Spread within',
  'ui.study.within.option': (a: { method: 'pooled' | 's-bar' | 'r-bar' | 'mr-bar' | 'mr-median' }, _f: Format) =>
    ({
      pooled: 'pooled s',
      's-bar': 'mean s',
      'r-bar': 'mean range',
      'mr-bar': 'moving range',
      'mr-median': 'median moving range',
    })[a.method],
  'ui.study.model': (_: None, _f: Format) => 'Distribution',
  'ui.study.model.not': (a: { title: string }, _f: Format) => `${a.title}: not here`,
  'ui.study.model.recommended': (_: None, _f: Format) => ' (fits clearly better)',
  'ui.study.requirement': (_: None, _f: Format) => 'Requirement',
  'ui.study.requirement.index': (_: None, _f: Format) => 'Index that is required',
  'ui.study.requirement.at-least': (_: None, _f: Format) => 'at least',
  'ui.study.requirement.value': (_: None, _f: Format) => 'Least value of the index',
  'ui.study.requirement.by-class': (_: None, _f: Format) => 'by class',
  'ui.study.requirement.bad': (_: None, _f: Format) => 'The requirement must be a number above 0.',
  'ui.study.requirement.note': (
    a: { from: 'class' | 'chosen' | null; class: string | null; joint: boolean },
    _f: Format,
  ) =>
    a.from === 'chosen'
      ? 'Chosen here.'
      : !a.joint
        ? 'By the class of the joint, once one is chosen.'
        : a.from === 'class'
          ? `By class ${a.class ?? ''} (common practice).`
          : 'The joint has no class, so nothing is required of it yet.',
  'ui.study.judged': (_: None, _f: Format) => 'What is judged',
  'ui.study.judged.option': (a: { judge: 'estimate' | 'low-end' }, _f: Format) =>
    a.judge === 'estimate' ? 'the estimate' : 'the lower end of its 95 % interval',
  'ui.study.tried': (_: None, _f: Format) => 'What if the limits were',
  'ui.study.tried.low': (_: None, _f: Format) => 'low',
  'ui.study.tried.high': (_: None, _f: Format) => 'high',
  'ui.study.tried.clear': (_: None, _f: Format) => 'Back to the real limits',
  'ui.study.tried.note': (_: None, _f: Format) =>
    'Or drag a limit in the figure. Hypothetical: never stored with the joint, never in the report.',
  'ui.study.tried.not-number': (_: None, _f: Format) => 'A limit must be a number, or empty for the real one.',
  'ui.study.tried.order': (_: None, _f: Format) => 'The low limit must lie under the high one.',

  'ui.study.baseline': (_: None, _f: Format) => 'Control limits from',
  'ui.study.baseline.all': (_: None, _f: Format) => 'all groups',
  'ui.study.baseline.with': (a: { span: string; points: number }, f: Format) =>
    `${a.span}: ${f.number(a.points)} ${a.points === 1 ? 'point' : 'points'}`,
  'ui.study.baseline.note': (_: None, _f: Format) =>
    'Groups of these days set the centre and the limits; all others are held against them. The indices stay those of all readings.',
  'ui.study.fit-p': (_: None, _f: Format) => 'Simulate the p of its fit',
  'ui.study.fit-p.note': (_: None, _f: Format) => '1 999 samples of this distribution, each fitted again.',
  'ui.study.fit-p.is': (a: { p: number }, f: Format) => `p ${f.number(a.p, a.p < 0.01 ? 4 : 3)}`,

  // ---- study: saved
  'ui.study.saved': (_: None, _f: Format) => 'Saved studies',
  'ui.study.saved.save': (_: None, _f: Format) => 'Save this study under a name',
  'ui.study.saved.name': (_: None, _f: Format) => 'Name of the study',
  'ui.study.saved.at': (a: { ms: number; by: string }, f: Format) => `${f.dateTime(a.ms)}, ${a.by}`,
  'ui.study.saved.delete': (_: None, _f: Format) => 'Delete',
  'ui.study.saved.delete-of': (a: { name: string }, _f: Format) => `Delete the saved study ${a.name}`,
  'ui.study.saved.other-choices': (a: { name: string }, _f: Format) =>
    `The choices differ from those of ${a.name}: open it again to compare.`,
  'ui.study.saved.changed': (a: { count: number }, f: Format) =>
    a.count === 1
      ? 'One figure differs since it was saved:'
      : `${f.number(a.count)} figures differ since it was saved:`,
  'ui.study.saved.figure': (_: None, _f: Format) => 'Figure',
  'ui.study.saved.before': (_: None, _f: Format) => 'Saved',
  'ui.study.saved.now': (_: None, _f: Format) => 'Now',

  // ---- study: left out
  'ui.study.left-out': (_: None, _f: Format) => 'Left out',
  'ui.study.left-out.of': (a: { count: number; of: number }, f: Format) => `${f.number(a.count)} of ${f.number(a.of)}`,
  'ui.study.left-out.none': (_: None, _f: Format) =>
    'Nothing. Select a reading in the figure, then X, to leave it out with a reason.',
  'ui.study.left-out.at': (a: { at: number | null }, f: Format) =>
    a.at === null ? 'no time' : `${f.dayMonth(a.at)} ${f.time(a.at)}`,
  'ui.study.left-out.by': (a: { by: string; own: boolean }, _f: Format) =>
    `by ${a.by}${a.own ? ', who made the reading: the report marks it' : ''}`,
  'ui.study.left-out.report': (_: None, _f: Format) => 'The report says so.',
  'ui.study.put-back': (_: None, _f: Format) => 'Put back',
  'ui.study.leave-out': (_: None, _f: Format) => 'Leave out',
  'ui.study.leave-out.title': (a: { value: number | null; at: number | null }, f: Format) =>
    `Leave out ${a.value === null ? 'this reading' : f.number(a.value, 2)}${
      a.at === null ? '' : ` of ${f.dayMonth(a.at)} ${f.time(a.at)}`
    }`,
  'ui.study.leave-out.reason': (_: None, _f: Format) => 'What happened at the joint',
  'ui.study.leave-out.refused': (_: None, _f: Format) =>
    'Say what happened at the joint. That a value is odd is no reason to leave it out.',
  'ui.study.leave-out.kept': (_: None, _f: Format) =>
    'It stays drawn as a cross, in the list at the left and in the report, with your name. It is left out of Drift too.',

  // ---- study: verdict and files
  'ui.study.glyph': (a: { value: number; low: number | null; high: number | null; required: number }, f: Format) =>
    `${f.number(a.value, 2)}${
      a.low === null || a.high === null ? '' : `, interval ${f.number(a.low, 2)} to ${f.number(a.high, 2)}`
    }, against the required ${f.number(a.required, 2)}`,
  'ui.study.figures': (_: None, _f: Format) => 'Figures',
  'ui.study.numbers': (_: None, _f: Format) => 'Numbers',
  'ui.study.report': (_: None, _f: Format) => 'Print report',
  'ui.study.file.axis-svg': (_: None, _f: Format) => 'One axis, SVG',
  'ui.study.file.axis-png': (_: None, _f: Format) => 'One axis, PNG',
  'ui.study.file.indices-svg': (_: None, _f: Format) => 'Indices, SVG',
  'ui.study.file.indices-png': (_: None, _f: Format) => 'Indices, PNG',
  'ui.study.file.csv': (_: None, _f: Format) => 'Figures and readings, CSV',
  'ui.study.file.json': (_: None, _f: Format) => 'Everything, JSON',
  'ui.study.file.pdf': (_: None, _f: Format) => 'PDF, A4',
  'ui.study.file.html': (_: None, _f: Format) => 'One HTML file',
  'ui.study.file.docx': (_: None, _f: Format) => 'Word processor (.docx)',
  'ui.study.file.note': (_: None, _f: Format) => 'The report releases nothing; it is signed by people.',
  'ui.study.file.making': (_: None, _f: Format) => 'Writing the file.',
  'ui.study.file.written': (a: { name: string }, _f: Format) => `${a.name} was written.`,

  // ---- study: figures and working
  'ui.study.axis': (a: { angle: boolean }, _f: Format) => (a.angle ? 'One angle axis' : 'One torque axis'),
  'ui.study.axis.note': (_: None, _f: Format) =>
    'limits run straight through all three figures; drag one to try another',
  'ui.study.handle': (a: { side: 'low' | 'high' }, _f: Format) => `Drag to try out another ${a.side} limit`,
  'ui.study.hypothetical': (_: None, _f: Format) => 'Hypothetical.',
  'ui.study.hypothetical.outside': (a: { count: number }, f: Format) =>
    `${f.number(a.count)} of the readings would lie outside.`,
  'ui.study.indices': (_: None, _f: Format) => 'Indices',
  'ui.study.indices.note': (_: None, _f: Format) => 'select one to see its working; dashed: would hold only if stable',
  'ui.study.indices.copy': (_: None, _f: Format) => 'Copy as a table',
  'ui.study.indices.copied': (a: { done: boolean }, _f: Format) =>
    a.done ? 'Copied.' : 'The window may not copy; T on the figure shows the table.',
  'ui.study.working': (_: None, _f: Format) => 'Working:',
  'ui.study.working.of': (a: { figure: 'controlLimits' | 'histogram' | 'probabilityPlot' }, _f: Format) =>
    ({ controlLimits: 'control limits', histogram: 'histogram and fit', probabilityPlot: 'probability plot' })[
      a.figure
    ],
  'ui.study.working.title': (_: None, _f: Format) => 'Working',
  'ui.study.working.which': (_: None, _f: Format) => 'Figure whose working is shown',
  'ui.study.working.choose': (_: None, _f: Format) => 'Choose a figure',
  'ui.study.working.show': (a: { figure: string }, _f: Format) => `Working of ${a.figure}`,
  'ui.study.working.formula': (_: None, _f: Format) => 'Formula, with the numbers put in',
  'ui.study.working.unmet': (_: None, _f: Format) => 'Does not hold:',
  'ui.study.working.copy': (_: None, _f: Format) => 'Copy as text',
  'ui.study.working.copied': (_: None, _f: Format) => 'Copied.',
  'ui.study.working.not-copied': (_: None, _f: Format) => 'The window may not copy; here is the text.',
  'ui.study.working.readings': (a: { count: number }, f: Format) => `The ${f.number(a.count)} readings`,
  'ui.study.working.none': (_: None, _f: Format) => 'This figure was not computed, so there is no working.',

  // ---- study: states
  'ui.study.choose.note': (_: None, _f: Format) =>
    'Indices need at least 25 readings of one joint under one set of limits.',
  'ui.study.choose.joint': (a: { readings: number; class: string | null }, f: Format) =>
    `${f.number(a.readings)} ${a.readings === 1 ? 'reading' : 'readings'}${a.class === null ? ', no class' : `, class ${a.class}`}`,
  'ui.study.counts': (
    a: {
      inScope: number;
      leftOut: number;
      otherRevisions: number;
      furtherTries: number;
      noValue: number;
      otherDirection: number;
    },
    f: Format,
  ) =>
    `In the period: ${f.number(a.inScope)}; left out ${f.number(a.leftOut)}, under other limits ${f.number(a.otherRevisions)}, further tries ${f.number(a.furtherTries)}, without a value ${f.number(a.noValue)}, in the other direction ${f.number(a.otherDirection)}.`,
  'ui.study.attribute': (a: { count: number; share: number; low: number; high: number }, f: Format) =>
    `${f.number(a.count)} outside: ${f.percent(a.share)} (95 % interval ${f.percent(a.low)} to ${f.percent(a.high)}).`,

  // ---- study: below the figures
  'ui.study.cautions': (_: None, _f: Format) => 'Before this is used',
  'ui.study.cautions.none': (_: None, _f: Format) => 'Nothing stands against it but what the verdict says.',
  'ui.study.signal.group': (a: { group: number; at: number | null }, f: Format) =>
    `Group ${f.number(a.group)}${a.at === null ? '' : `, ${f.dayMonth(a.at)}`}:`,
  'ui.study.signal.more': (a: { count: number }, f: Format) =>
    `and ${f.number(a.count)} more signals; the table of the figure has all.`,
  'ui.study.models': (_: None, _f: Format) => 'Distributions',
  'ui.study.models.note': (_: None, _f: Format) => 'normal first; another only if you choose it',
  'ui.study.models.name': (_: None, _f: Format) => 'Distribution',
  'ui.study.models.recommended': (_: None, _f: Format) => '(clearly better)',
  'ui.study.models.chosen': (_: None, _f: Format) => 'used here',
  'ui.study.models.none': (_: None, _f: Format) => 'None was fitted.',
  'ui.study.normality': (
    a: { ad: number | null; adP: number | null; sw: number | null; swP: number | null },
    f: Format,
  ) =>
    `Normality: ${[
      a.ad === null ? '' : `Anderson-Darling A² ${f.number(a.ad, 2)}, ${pWords(a.adP, f)}`,
      a.sw === null ? '' : `Shapiro-Wilk W ${f.number(a.sw, 3)}, ${pWords(a.swP, f)}`,
    ]
      .filter((text) => text !== '')
      .join('; ')}. Rounding and many readings make both reject.`,
  'ui.study.strata': (_: None, _f: Format) => 'Is it one process?',
  'ui.study.strata.note': (_: None, _f: Format) => 'line: middle 90 % of the readings; dot: mean; ticks: limits',
  'ui.study.strata.by': (a: { by: 'tool' | 'operator' | 'shift' }, _f: Format) =>
    ({ tool: 'By tool', operator: 'By operator', shift: 'By shift' })[a.by],
  'ui.study.strata.name': (_: None, _f: Format) => 'Name',
  'ui.study.strata.range': (_: None, _f: Format) => 'Readings',
  'ui.study.strata.tests': (
    a: {
      welch: number | null;
      kruskal: number | null;
      brown: number | null;
      share: number | null;
      mixture: boolean;
      basis: 'readings' | 'cells';
      count: number;
    },
    f: Format,
  ) =>
    a.welch === null && a.brown === null
      ? `Too few ${a.basis === 'cells' ? 'shifts' : 'readings'} of each to compare them.`
      : `${a.mixture ? 'They differ: study them apart.' : 'No clear difference.'} Compared on ${
          a.basis === 'cells'
            ? `${f.number(a.count)} means of one tool, operator and shift`
            : `${f.number(a.count)} readings`
        }: means ${pWords(a.welch, f)} (Welch), ${pWords(a.kruskal, f)} (Kruskal-Wallis); spread ${pWords(a.brown, f)} (Brown-Forsythe)${
          a.share === null ? '' : `; ${f.percent(a.share, 0)} of the variance lies between them`
        }.`,
  'ui.study.strata.largest': (
    a: {
      first: string;
      second: string;
      difference: number;
      low: number | null;
      high: number | null;
      unit: string;
      decimals: number;
    },
    f: Format,
  ) =>
    `Largest difference: ${a.first} against ${a.second}, ${f.signed(a.difference, a.decimals)} ${a.unit}${
      a.low === null || a.high === null ? '' : ` (${f.signed(a.low, a.decimals)} to ${f.signed(a.high, a.decimals)})`
    }.`,
  'ui.study.slow': (_: None, _f: Format) => 'Charts for small lasting shifts',
  'ui.study.slow.note': (_: None, _f: Format) => 'they point; stability is judged by the chart above',
  'ui.study.sources': (_: None, _f: Format) => 'How it was computed, and from which files',
  'ui.study.sources.note': (a: { version: string }, _f: Format) => `program version ${a.version}`,
  'ui.study.sources.file': (_: None, _f: Format) => 'File',
  'ui.study.sources.readings': (_: None, _f: Format) => 'Readings',
  'ui.study.fingerprint': (_: None, _f: Format) => 'Fingerprint of readings and choices:',
};

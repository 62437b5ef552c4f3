import { civilFields } from '../../time/civil-time.ts';
import type { Format } from '../format.ts';

type None = Record<string, never>;

/** Words of the application's frame and of its parts: bars, keys, waiting, tables, figures. */
export const ui = {
  'ui.screen.intake': (_: None, _f: Format) => 'Intake',
  'ui.screen.review': (_: None, _f: Format) => 'Review',
  'ui.screen.drift': (_: None, _f: Format) => 'Drift',
  'ui.screen.study': (_: None, _f: Format) => 'Study',
  'ui.screen.readings': (_: None, _f: Format) => 'Readings',
  'ui.screen.register': (_: None, _f: Format) => 'Register',
  'ui.screens': (_: None, _f: Format) => 'Screens',
  'ui.skip': (_: None, _f: Format) => 'Skip to the content',

  'ui.held.readings': (a: { count: number }, f: Format) =>
    a.count === 1 ? '1 reading held' : `${f.number(a.count)} readings held`,
  'ui.held.none': (_: None, _f: Format) => 'No readings held',
  'ui.held.loading': (_: None, _f: Format) => 'still loading',
  'ui.held.read-only': (_: None, _f: Format) => 'read only',
  'ui.held.period': (a: { from: number; to: number }, f: Format) =>
    f.dateTime(a.from).slice(0, -7) === f.dateTime(a.to).slice(0, -7)
      ? f.dateTime(a.to).slice(0, -7)
      : `${civilFields(a.from).year === civilFields(a.to).year ? f.dayMonth(a.from) : f.dateTime(a.from).slice(0, -7)} to ${f.dateTime(a.to).slice(0, -7)}`,
  'ui.held.clock-unset': (a: { count: number }, f: Format) => `${f.number(a.count)} from a clock not set`,

  'ui.search': (_: None, _f: Format) => 'Find a reading, tool or joint',
  'ui.search.joint': (a: { name: string }, _f: Format) => `joint ${a.name}`,
  'ui.search.tool': (a: { name: string }, _f: Format) => `tool ${a.name}`,
  'ui.search.operator': (a: { name: string }, _f: Format) => `operator ${a.name}`,
  'ui.search.former': (a: { kind: 'joint' | 'tool'; name: string; was: string }, _f: Format) =>
    `${a.kind} ${a.name}, also written ${a.was}`,
  'ui.search.text': (a: { text: string }, _f: Format) => `readings with "${a.text}"`,

  'ui.scope': (_: None, _f: Format) => 'Scope',
  'ui.scope.period': (_: None, _f: Format) => 'Period',
  'ui.scope.whole-day': (_: None, _f: Format) => 'Whole day',
  'ui.scope.days': (a: { days: number }, f: Format) => (a.days === 1 ? '1 day' : `${f.number(a.days)} days`),
  'ui.scope.weeks': (a: { weeks: number }, f: Format) => `${f.number(a.weeks)} weeks`,
  'ui.scope.all-time': (_: None, _f: Format) => 'Everything',
  'ui.scope.from': (_: None, _f: Format) => 'From',
  'ui.scope.to': (_: None, _f: Format) => 'To',
  'ui.scope.earlier': (_: None, _f: Format) => 'earlier',
  'ui.scope.later': (_: None, _f: Format) => 'later',
  'ui.scope.joint': (_: None, _f: Format) => 'Joint',
  'ui.scope.tool': (_: None, _f: Format) => 'Tool',
  'ui.scope.operator': (_: None, _f: Format) => 'Operator',
  'ui.scope.all': (a: { count: number }, f: Format) => `all ${f.number(a.count)}`,
  'ui.scope.some': (a: { count: number; of: number }, f: Format) => `${f.number(a.count)} of ${f.number(a.of)}`,
  'ui.scope.every': (_: None, _f: Format) => 'All',
  'ui.scope.none-known': (_: None, _f: Format) => 'None is known yet.',
  'ui.scope.shift-of': (a: { day: number; from: number; to: number }, f: Format) =>
    `${f.date(a.day)}, ${f.time(a.from)} to ${f.time(a.to)}`,
  'ui.scope.day': (a: { day: number }, f: Format) => f.date(a.day),
  'ui.scope.range': (a: { from: number; to: number }, f: Format) =>
    `${f.dayMonth(a.from)} to ${f.dateTime(a.to).slice(0, -7)}`,
  'ui.scope.range-of-shift': (a: { from: number; to: number; shift: string }, f: Format) =>
    `${f.dayMonth(a.from)} to ${f.dateTime(a.to).slice(0, -7)}, ${a.shift}`,
  'ui.scope.times': (a: { from: number; to: number }, f: Format) => `${f.time(a.from)} to ${f.time(a.to)}`,
  'ui.scope.remove': (a: { what: string }, _f: Format) => `Remove ${a.what}`,
  'ui.scope.saved': (_: None, _f: Format) => 'Saved',
  'ui.scope.saved.label': (_: None, _f: Format) => 'Saved scopes',
  'ui.scope.saved.none': (_: None, _f: Format) =>
    'None yet. A saved scope brings back period, joints, tools, operators.',
  'ui.scope.saved.name': (_: None, _f: Format) => 'Save this scope as',
  'ui.scope.saved.forget': (a: { name: string }, _f: Format) => `Forget ${a.name}`,
  'ui.scope.judged': (_: None, _f: Format) => 'Judged by the limit revision in force at each reading',

  'ui.settings': (_: None, _f: Format) => 'Settings',
  'ui.settings.theme': (_: None, _f: Format) => 'Theme',
  'ui.settings.system': (_: None, _f: Format) => 'As the system',
  'ui.settings.light': (_: None, _f: Format) => 'Light',
  'ui.settings.dark': (_: None, _f: Format) => 'Dark',
  'ui.settings.density': (_: None, _f: Format) => 'Rows',
  'ui.settings.roomy': (_: None, _f: Format) => 'Roomy',
  'ui.settings.normal': (_: None, _f: Format) => 'Normal',
  'ui.settings.compact': (_: None, _f: Format) => 'Compact',
  'ui.settings.single-keys': (_: None, _f: Format) => 'Single keys (press ? for the list)',
  'ui.settings.plant-name': (_: None, _f: Format) => 'Name of the plant, on reports',
  'ui.settings.who': (_: None, _f: Format) => 'Your name, in the journal and on reports',
  'ui.settings.hide-names': (_: None, _f: Format) => 'Hide names: operators by number',
  'ui.settings.hide-names.help': (_: None, _f: Format) =>
    'On every screen, in reports, files and the journal; numbers are drawn by lot. Names stay in the Register, where they are kept, and in a file until it is taken in. No disguise is perfect: in a small team, shift, day and tool can tell who it was, and nicknames in notes stay.',

  'ui.cancel': (_: None, _f: Format) => 'Cancel',
  'ui.close': (_: None, _f: Format) => 'Close',
  'ui.again': (_: None, _f: Format) => 'Try again',
  'ui.save': (_: None, _f: Format) => 'Save',
  'ui.done': (_: None, _f: Format) => 'Done',
  'ui.undo': (_: None, _f: Format) => 'Undo',
  'ui.undone': (_: None, _f: Format) => 'The last change was taken back. U again takes back the one before it.',
  'ui.undo.nothing': (_: None, _f: Format) => 'There is nothing to take back.',
  'ui.choose-number': (a: { count: number }, f: Format) =>
    a.count === 2 ? 'Choose 1 or 2' : `Choose 1 to ${f.number(a.count)}`,
  'ui.more-questions': (a: { count: number }, f: Format) =>
    a.count === 1 ? '1 more question' : `${f.number(a.count)} more questions`,

  'ui.waiting': (_: None, _f: Format) => 'Working it out',
  'ui.waiting.steps': (a: { phase: string; done: number; total: number; unit: string }, f: Format) =>
    `${a.phase} ${f.number(a.done)} of ${f.number(a.total)} ${a.unit}`,
  'ui.waiting.some': (a: { phase: string; done: number; unit: string }, f: Format) =>
    `${a.phase}, ${f.number(a.done)} ${a.unit} so far`,
  'ui.phase.reading': (_: None, _f: Format) => 'Reading',
  'ui.phase.probing': (_: None, _f: Format) => 'Comparing with what is held:',
  'ui.phase.taking-in': (_: None, _f: Format) => 'Taking in',
  'ui.phase.loading': (_: None, _f: Format) => 'Loading',
  'ui.phase.computing': (_: None, _f: Format) => 'Computing',
  'ui.phase.writing': (_: None, _f: Format) => 'Writing',
  'ui.unit.bytes': (_: None, _f: Format) => 'bytes',
  'ui.unit.lines': (_: None, _f: Format) => 'lines',
  'ui.unit.readings': (_: None, _f: Format) => 'readings',
  'ui.unit.files': (_: None, _f: Format) => 'files',
  'ui.unit.steps': (_: None, _f: Format) => 'steps',

  'ui.problem.no-engine': (_: None, _f: Format) =>
    'The program behind this window does not answer. Nothing is lost; start it again and reload this page.',
  'ui.problem.refused': (a: { status: number }, _f: Format) =>
    a.status === 401 || a.status === 403
      ? 'This page is not let in any more. Open the address that the program printed when it started.'
      : `The program answered in an unexpected way (${a.status}). Nothing was changed; try again.`,
  'ui.problem.screen': (a: { detail: string }, _f: Format) =>
    `This screen could not be drawn: ${a.detail}. Nothing is lost; the other screens still work.`,

  'ui.figure.table': (_: None, _f: Format) => 'As table',
  'ui.figure.figure': (_: None, _f: Format) => 'As figure',
  'ui.figure.keys': (a: { count: number }, f: Format) =>
    a.count === 0
      ? 'T shows it as a table.'
      : `${f.number(a.count)} marks: arrow keys move between them, T shows a table.`,
  'ui.figure.none': (_: None, _f: Format) => 'Nothing to draw.',

  'ui.interval': (a: { value: string; low: string; high: string }, _f: Format) =>
    `${a.value}, 95 % interval ${a.low} to ${a.high}`,
  'ui.place': (a: { place: number }, f: Format) =>
    `at ${f.signed(a.place, 2)} of its limits (−1 low limit, +1 high limit)`,
  'ui.place.none': (_: None, _f: Format) => 'no place in limits',

  'ui.mark.torque-low': (_: None, _f: Format) => 'torque low',
  'ui.mark.torque-high': (_: None, _f: Format) => 'torque high',
  'ui.mark.angle-low': (_: None, _f: Format) => 'angle low',
  'ui.mark.angle-high': (_: None, _f: Format) => 'angle high',
  'ui.mark.unjudged': (_: None, _f: Format) => 'unjudged',
  'ui.mark.inside': (_: None, _f: Format) => 'inside',
  'ui.mark.outside-control': (_: None, _f: Format) => 'outside control limits',
  'ui.mark.left-out': (_: None, _f: Format) => 'left out',
  'ui.mark.square': (_: None, _f: Format) => 'check',

  'ui.keys': (_: None, _f: Format) => 'Keys',
  'ui.keys.off': (_: None, _f: Format) => 'Single keys are switched off in the settings.',
  'ui.key.screens': (_: None, _f: Format) => 'Intake, Review, Drift, Study, Readings, Register',
  'ui.key.search': (_: None, _f: Format) => 'search',
  'ui.key.next': (_: None, _f: Format) => 'next, previous row or failing reading',
  'ui.key.open': (_: None, _f: Format) => 'open what is selected',
  'ui.key.period': (_: None, _f: Format) => 'earlier, later shift or period',
  'ui.key.escape': (_: None, _f: Format) => 'close, clear selection, clear last filter',
  'ui.key.note': (_: None, _f: Format) => 'note on the selected reading',
  'ui.key.undo': (_: None, _f: Format) => 'undo last import or last change',
  'ui.key.leave-out': (_: None, _f: Format) => 'leave reading out, put back',
  'ui.key.working': (_: None, _f: Format) => 'working of the selected figure',
  'ui.key.drift': (_: None, _f: Format) => 'selected tool in Drift',
  'ui.key.study': (_: None, _f: Format) => 'selected joint in Study',
  'ui.key.check': (_: None, _f: Format) => 'log a check',
  'ui.key.readings': (_: None, _f: Format) => 'selected readings in Readings',
  'ui.key.files': (_: None, _f: Format) => 'choose files',
  'ui.key.accept': (_: None, _f: Format) => 'accept the read file',
  'ui.key.print': (_: None, _f: Format) => 'print report or shift',
  'ui.key.export': (_: None, _f: Format) => 'export numbers, figures',
  'ui.key.zoom': (_: None, _f: Format) => 'zoom time axis, reset',
  'ui.key.table': (_: None, _f: Format) => 'figure as table',
  'ui.key.list': (_: None, _f: Format) => 'this list',

  'ui.empty.no-readings': (_: None, _f: Format) =>
    'No readings yet. Drop a file, a folder, or several on Intake. Nothing leaves this computer.',
  'ui.empty.go-intake': (_: None, _f: Format) => 'Go to Intake',
  'ui.empty.demo': (_: None, _f: Format) => 'Try with invented data',

  // ---- review
  'ui.ribbon.title': (_: None, _f: Format) => 'Limit ribbon',
  'ui.ribbon.note': (_: None, _f: Format) =>
    'each reading at its place inside its own limits, so joints of any size share one picture',
  'ui.ribbon.summary': (a: { passing: number; marks: number }, f: Format) =>
    `${f.number(a.passing)} readings inside their limits, ${f.number(a.marks)} outside or unjudged, in time order.`,
  'ui.ribbon.torque': (_: None, _f: Format) => 'Torque',
  'ui.ribbon.angle': (_: None, _f: Format) => 'Angle',
  'ui.ribbon.high': (_: None, _f: Format) => 'high limit',
  'ui.ribbon.middle': (_: None, _f: Format) => 'middle',
  'ui.ribbon.low': (_: None, _f: Format) => 'low limit',
  'ui.ribbon.rail': (_: None, _f: Format) => 'unjudged',
  'ui.ribbon.spread': (_: None, _f: Format) => 'spread',
  'ui.ribbon.others': (_: None, _f: Format) => 'other tools',
  'ui.ribbon.all-tools': (_: None, _f: Format) => 'all tools',
  'ui.ribbon.median-of': (a: { window: number }, f: Format) => `median of ${f.number(a.window)}`,
  'ui.ribbon.dot': (a: { at: number; place: number; tool: string | null }, f: Format) =>
    `${f.time(a.at)}${a.tool === null ? '' : `, ${a.tool}`}: inside, at ${f.signed(a.place, 2)}`,
  'ui.ribbon.and-more': (a: { count: number }, f: Format) => `${f.number(a.count)} readings here; first: `,
  'ui.ribbon.again': (_: None, _f: Format) => 'tightened again',
  'ui.ribbon.key': (_: None, _f: Format) => 'Key',
  'ui.ribbon.head.time': (_: None, _f: Format) => 'Time',
  'ui.ribbon.head.what': (_: None, _f: Format) => 'Verdict',
  'ui.ribbon.head.place': (_: None, _f: Format) => 'Place in limits',
  'ui.ribbon.head.count': (_: None, _f: Format) => 'Readings',
  'ui.ribbon.head.text': (_: None, _f: Format) => 'Reading',
  'ui.ribbon.only': (a: { what: string; count: number; of: number }, f: Format) =>
    `${a.what}: ${f.number(a.count)} of ${f.number(a.of)} in full strength`,

  'ui.review.see-drift': (a: { tool: string }, _f: Format) => `See ${a.tool} in Drift`,
  'ui.review.print': (_: None, _f: Format) => 'Print shift',
  'ui.review.export': (_: None, _f: Format) => 'Export',
  'ui.review.causes': (_: None, _f: Format) => 'Why readings failed',
  'ui.review.causes.head': (_: None, _f: Format) => 'Cause and joint',
  'ui.review.causes.marks': (_: None, _f: Format) => 'One mark per reading',
  'ui.review.causes.count': (_: None, _f: Format) => 'Count',
  'ui.review.causes.running': (_: None, _f: Format) => 'Running',
  'ui.review.causes.none': (_: None, _f: Format) => 'No first try failed and none is unjudged.',
  'ui.review.no-joint': (_: None, _f: Format) => 'no joint name',
  'ui.review.matrix': (_: None, _f: Format) => 'First-pass rate by operator and tool',
  'ui.review.matrix.note': (_: None, _f: Format) => '%, 95 % interval',
  'ui.review.matrix.n': (a: { count: number }, f: Format) => `n ${f.number(a.count)}`,
  'ui.review.matrix.more': (a: { count: number }, f: Format) =>
    a.count === 1 ? '1 more under Worth knowing.' : `${f.number(a.count)} more under Worth knowing.`,
  'ui.review.matrix.none': (_: None, _f: Format) => 'No fastener was judged, so there is no rate.',
  'ui.review.no-operator': (_: None, _f: Format) => 'none named',
  'ui.review.again': (_: None, _f: Format) => 'Tightened again',
  'ui.review.again.none': (_: None, _f: Format) => 'No fastener was tightened more than once.',
  'ui.review.again.summary': (a: { total: number; shown: number }, f: Format) =>
    a.total === a.shown
      ? `${f.number(a.total)} fasteners, each from its first try to its last.`
      : `The first ${f.number(a.shown)} of ${f.number(a.total)} fasteners, each from its first try to its last.`,
  'ui.review.fasteners': (_: None, _f: Format) => 'Fasteners',
  'ui.review.fasteners.slots': (a: { read: number; size: number }, f: Format) =>
    `${f.number(a.read)} of ${f.number(a.size)} read`,
  'ui.review.fasteners.more': (a: { count: number; of: number }, f: Format) =>
    `The first ${f.number(a.count)} of ${f.number(a.of)} incomplete batches.`,
  'ui.review.failing': (_: None, _f: Format) => 'Failing readings',
  'ui.review.failing.time': (_: None, _f: Format) => 'Time',
  'ui.review.failing.joint': (_: None, _f: Format) => 'Joint, fastener',
  'ui.review.failing.tool': (_: None, _f: Format) => 'Tool',
  'ui.review.failing.reading': (_: None, _f: Format) => 'Reading',
  'ui.review.failing.place': (_: None, _f: Format) => 'In limits',
  'ui.review.failing.note': (_: None, _f: Format) => 'Note',
  'ui.review.failing.caption': (a: { unit: string }, _f: Format) => `${a.unit} unless °. `,
  'ui.review.failing.keys': (_: None, _f: Format) =>
    'J K next and previous, N note, Enter show all of it, R in Readings.',
  'ui.review.failing.page': (a: { from: number; to: number; of: number }, f: Format) =>
    `${f.number(a.from)} to ${f.number(a.to)} of ${f.number(a.of)}`,
  'ui.review.failing.only': (a: { count: number; of: number }, f: Format) =>
    `${f.number(a.count)} of ${f.number(a.of)} shown`,
  'ui.review.failing.show-all': (_: None, _f: Format) => 'Show all',
  'ui.review.failing.cut': (a: { count: number; of: number }, f: Format) =>
    `The first ${f.number(a.count)} of ${f.number(a.of)}; all of them are in Readings.`,
  'ui.review.failing.none': (_: None, _f: Format) => 'No judged reading failed.',
  'ui.review.due': (_: None, _f: Format) => 'To do today',
  'ui.review.settle-joint': (a: { joint: string }, _f: Format) => `Settle “${a.joint}”`,
  'ui.review.add-limits': (a: { joint: string }, _f: Format) => `Add limits for ${a.joint}`,
  'ui.review.nearest': (_: None, _f: Format) => 'Nearest to a limit',
  'ui.review.nearest.note': (_: None, _f: Format) => 'nothing failed; these came closest',
  'ui.review.write-note': (_: None, _f: Format) => 'Write a note',
  'ui.review.note.text-several': (a: { count: number }, f: Format) => `Note on ${f.number(a.count)} readings`,
  'ui.review.note.text': (_: None, _f: Format) => 'What was found and done',
  'ui.review.note.disposition': (_: None, _f: Format) => 'What became of it',
  'ui.review.note.why': (_: None, _f: Format) => 'Say why it can be accepted.',
  'ui.review.note.kept': (_: None, _f: Format) => 'Kept with your name and the time; never overwritten, only added to.',
  'ui.review.note.by': (a: { by: string; at: number }, f: Format) => `${a.by}, ${f.dateTime(a.at)}`,
  'ui.disposition.note': (_: None, _f: Format) => 'note only',
  'ui.disposition.open': (_: None, _f: Format) => 'open',
  'ui.disposition.re-checked': (_: None, _f: Format) => 're-checked',
  'ui.disposition.re-tightened': (_: None, _f: Format) => 'loosened and tightened',
  'ui.disposition.replaced': (_: None, _f: Format) => 'part replaced',
  'ui.disposition.cleaned': (_: None, _f: Format) => 'cleaned',
  'ui.disposition.accepted': (_: None, _f: Format) => 'accepted, with reason',
  'ui.review.compared': (_: None, _f: Format) => 'Compared with',
  'ui.review.pace': (_: None, _f: Format) => 'Pace',
  'ui.review.pace.summary': (a: { columns: number }, f: Format) =>
    `Readings in ${f.number(a.columns)} columns of equal time; failing ones dark.`,
  'ui.review.pace.readings': (a: { count: number; fails: number }, f: Format) =>
    `${f.number(a.count)} readings, ${f.number(a.fails)} failing`,
  'ui.review.pace.gap': (
    a: { from: number; to: number; minutes: number; day: boolean; name: string | null },
    f: Format,
  ) =>
    `${a.day ? `${f.dayMonth(a.from)} ` : ''}${f.time(a.from)} to ${f.time(a.to)} (${f.number(a.minutes)} min${
      a.name === null ? '' : `, ${a.name === '' ? 'break' : a.name}`
    })`,
  'ui.review.pace.gaps': (_: None, _f: Format) => 'Longest pauses: ',
  'ui.review.notices': (_: None, _f: Format) => 'Worth knowing',
  'ui.review.notices.none': (_: None, _f: Format) => 'Nothing else stands out.',
  'ui.review.notices.show': (a: { count: number }, f: Format) => `show ${f.number(a.count)}`,
  'ui.review.notices.open': (_: None, _f: Format) => 'open it',
  'ui.review.notices.first': (_: None, _f: Format) => 'open the first',
  'ui.review.go-nearest': (_: None, _f: Format) => 'Go there',
  'ui.review.in-readings': (_: None, _f: Format) => 'Open in Readings',
  'ui.review.saved': (a: { name: string }, _f: Format) => `${a.name} was written.`,

  // ---- readings
  'ui.readings.table': (_: None, _f: Format) => 'Readings',
  'ui.readings.copy': (_: None, _f: Format) => 'Copy rows',
  'ui.readings.copy-some': (a: { count: number }, f: Format) =>
    a.count === 1 ? 'Copy 1 row' : `Copy ${f.number(a.count)} rows`,
  'ui.readings.copied': (a: { count: number }, f: Format) =>
    a.count === 1 ? '1 row copied, with the column heads.' : `${f.number(a.count)} rows copied, with the column heads.`,
  'ui.readings.copy-too-many': (a: { count: number; most: number }, f: Format) =>
    `${f.number(a.count)} rows are too many for the clipboard (at most ${f.number(a.most)}). Filter further, select fewer, or export.`,
  'ui.readings.copy-refused': (_: None, _f: Format) =>
    'The browser did not allow copying. Nothing is lost; use Export instead.',
  'ui.readings.export': (_: None, _f: Format) => 'Export',
  'ui.readings.leave-out': (_: None, _f: Format) => 'Leave out',
  'ui.readings.put-back': (_: None, _f: Format) => 'Put back',
  'ui.readings.leave-out-of': (a: { count: number }, f: Format) =>
    a.count === 1
      ? 'Leave this reading out of studies and drift'
      : `Leave ${f.number(a.count)} readings out of studies and drift`,
  'ui.readings.reason': (_: None, _f: Format) => 'Say what happened at the joint',
  'ui.readings.reason-refused': (_: None, _f: Format) =>
    'The value alone is no reason. Say what happened at the joint.',
  'ui.readings.note-several': (a: { count: number }, f: Format) => `Note on ${f.number(a.count)}`,
  'ui.readings.assign': (_: None, _f: Format) => 'Assign',
  'ui.readings.assign-to': (a: { count: number }, f: Format) =>
    a.count === 1 ? 'Assign this reading to' : `Assign ${f.number(a.count)} readings to`,
  'ui.readings.assign-keep': (_: None, _f: Format) => 'as it is',
  'ui.readings.selected': (a: { count: number }, f: Format) => `${f.number(a.count)} selected`,
  'ui.readings.esc': (_: None, _f: Format) => 'Esc clears the last filter',
  'ui.readings.head.mark': (_: None, _f: Format) => 'Verdict',
  'ui.readings.head.date': (_: None, _f: Format) => 'Date',
  'ui.readings.head.time': (_: None, _f: Format) => 'Time',
  'ui.readings.head.joint': (_: None, _f: Format) => 'Joint',
  'ui.readings.head.fastener': (_: None, _f: Format) => 'Fastener',
  'ui.readings.head.tool': (_: None, _f: Format) => 'Tool',
  'ui.readings.head.operator': (_: None, _f: Format) => 'Operator',
  'ui.readings.head.torque': (a: { unit: string }, _f: Format) => (a.unit === '' ? 'Torque' : `Torque, ${a.unit}`),
  'ui.readings.head.unit': (_: None, _f: Format) => 'Unit',
  'ui.readings.head.torquePlace': (_: None, _f: Format) => 'In torque limits',
  'ui.readings.head.angle': (_: None, _f: Format) => 'Angle, °',
  'ui.readings.head.anglePlace': (_: None, _f: Format) => 'In angle limits',
  'ui.readings.head.ownResult': (_: None, _f: Format) => "Tool's verdict",
  'ui.readings.head.attempt': (_: None, _f: Format) => 'Try',
  'ui.readings.head.note': (_: None, _f: Format) => 'Note',
  'ui.readings.head.source': (_: None, _f: Format) => 'Source, line',
  'ui.readings.sort': (a: { column: string }, _f: Format) => `Sort by ${a.column}`,
  'ui.readings.filter': (a: { column: string }, _f: Format) => `Filter by ${a.column}`,
  'ui.readings.filter.from': (_: None, _f: Format) => 'From',
  'ui.readings.filter.to': (_: None, _f: Format) => 'To',
  'ui.readings.filter.clear': (_: None, _f: Format) => 'Clear',
  'ui.readings.filter.apply': (_: None, _f: Format) => 'Apply',
  'ui.readings.filter.none': (a: { count: number }, f: Format) => `${f.number(a.count)} without a value`,
  'ui.readings.filter.beyond': (a: { below: number; above: number }, f: Format) =>
    `${f.number(a.below)} below and ${f.number(a.above)} above the picture`,
  'ui.readings.filter.others': (a: { names: number }, f: Format) =>
    a.names === 1 ? '1 other' : `${f.number(a.names)} others`,
  'ui.readings.filter.all': (_: None, _f: Format) => 'all',
  'ui.readings.filter.joints': (a: { count: number }, f: Format) => `${f.number(a.count)} joints`,
  'ui.readings.filter.tools': (a: { count: number }, f: Format) => `${f.number(a.count)} tools`,
  'ui.readings.filter.operators': (a: { count: number }, f: Format) => `${f.number(a.count)} operators`,
  'ui.readings.filter.sources': (a: { count: number }, f: Format) => `${f.number(a.count)} files`,
  'ui.readings.filter.kinds': (a: { count: number }, f: Format) => `${f.number(a.count)} kinds`,
  'ui.readings.filter.not-listed': (a: { count: number }, f: Format) => `${f.number(a.count)} under names not listed`,
  'ui.readings.own.good': (_: None, _f: Format) => 'good',
  'ui.readings.own.bad': (_: None, _f: Format) => 'bad',
  'ui.readings.own.differs': (a: { own: string }, _f: Format) => `${a.own}, differs`,
  'ui.readings.without': (a: { words: string }, _f: Format) => `Without ${a.words}`,
  'ui.readings.beyond': (a: { shown: number; of: number }, f: Format) =>
    `The table shows the first ${f.number(a.shown)} of ${f.number(a.of)}; filter or sort to reach the others.`,
  'ui.readings.loading': (_: None, _f: Format) => 'loading',
  'ui.detail.torque': (_: None, _f: Format) => 'Torque',
  'ui.detail.angle': (_: None, _f: Format) => 'Angle',
  'ui.detail.limits': (_: None, _f: Format) => 'Limits',
  'ui.detail.revision': (a: { label: string; from: number; by: string | null; why: string | null }, f: Format) =>
    `revision ${a.label}, in force from ${f.dateTime(a.from)}${a.by === null ? '' : `, by ${a.by}`}${a.why === null || a.why === '' ? '' : `: ${a.why}`}`,
  'ui.detail.within': (a: { low: string | null; high: string | null }, _f: Format) =>
    a.low !== null && a.high !== null
      ? `limits ${a.low} to ${a.high}`
      : a.low !== null
        ? `at least ${a.low}`
        : a.high !== null
          ? `at most ${a.high}`
          : 'no limits',
  'ui.detail.judged-as': (a: { value: string }, _f: Format) => `judged as ${a.value}`,
  'ui.detail.other-direction': (_: None, _f: Format) => 'in the other direction, so not judged',
  'ui.detail.none': (_: None, _f: Format) => 'none in force at this reading',
  'ui.detail.verdict': (_: None, _f: Format) => 'Verdict',
  'ui.detail.tries': (_: None, _f: Format) => 'Tries on this fastener',
  'ui.detail.tries.identity': (_: None, _f: Format) => 'by fastener identity',
  'ui.detail.tries.time': (_: None, _f: Format) => 'by time alone',
  'ui.detail.written': (_: None, _f: Format) => 'As written',
  'ui.detail.unreadable': (_: None, _f: Format) => 'The line cannot be read now.',
  'ui.detail.source': (_: None, _f: Format) => 'Source',
  'ui.detail.source-line': (a: { name: string; line: number }, f: Format) => `${a.name}, line ${f.number(a.line)}`,
  'ui.detail.notes': (_: None, _f: Format) => 'Notes',
  'ui.detail.remarks': (_: None, _f: Format) => 'Remarks',
  'ui.detail.left-out': (_: None, _f: Format) => 'Left out',
  'ui.detail.around': (a: { tool: string }, _f: Format) => `Before and after it, ${a.tool}`,
};

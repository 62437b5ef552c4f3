import { isTorqueUnit, torqueUnitSymbols } from '../../units/torque-unit.ts';
import type { Format } from '../format.ts';
import type { Said } from '../said.ts';

type None = Record<string, never>;

const lines = (count: number, f: Format): string => (count === 1 ? '1 line' : `${f.number(count)} lines`);
const files = (count: number, f: Format): string => (count === 1 ? '1 file' : `${f.number(count)} files`);
const readings = (count: number, f: Format): string => (count === 1 ? '1 reading' : `${f.number(count)} readings`);
/** Kinds of changes as the journal names them. */
const changeWords: Readonly<Record<string, string>> = {
  intake: 'took in',
  withdraw: 'took out of force',
  restore: 'put back in force',
  register: 'changed the register',
  remove: 'removed',
  settle: 'settled the name',
  'leave-out': 'left out',
  'put-back': 'put back',
  note: 'wrote a note on',
  assign: 'assigned',
  recipe: 'changed recipes',
  study: 'changed saved studies',
  scope: 'changed saved scopes',
  settings: 'changed settings',
  'hide-names': 'turned hiding names',
  undo: 'took back',
};

/** As many decimals as the number has, at most `most`. */
const plain = (value: number, f: Format, most = 4): string =>
  f.number(value, /\.(\d+)/.exec(String(Number(value.toFixed(most))))?.[1]?.length ?? 0);
const clock = (minute: number): string =>
  `${String(Math.floor(minute / 60) % 24).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;

/** Words of the Intake and the Register screen and of their figures. */
export const uiIntakeRegister = {
  // ---- Intake: left column ---------------------------------------------------
  'intake-ui.yes': (_: None, _f: Format) => 'yes',
  'intake-ui.no': (_: None, _f: Format) => 'no',
  'intake-ui.names-stay': (_: None, _f: Format) =>
    'Names are hidden, but a file is shown as it is written until it is taken in: only so can its columns be told.',
  'intake-ui.drop.title': (_: None, _f: Format) => 'Drop files or a folder here',
  'intake-ui.drop.now': (_: None, _f: Format) => 'Let go to read them',
  'intake-ui.drop.or': (_: None, _f: Format) => 'or',
  'intake-ui.drop.choose': (_: None, _f: Format) => 'choose files',
  'intake-ui.drop.folder': (_: None, _f: Format) => 'a folder',
  'intake-ui.drop.note': (_: None, _f: Format) => 'Files stay where they are; nothing is changed in them.',
  'intake-ui.drop.sending': (a: { name: string; percent: number; nth: number; of: number }, f: Format) =>
    a.of === 1
      ? `Handing over ${a.name}, ${f.number(a.percent)} %`
      : `Handing over ${f.number(a.nth)} of ${f.number(a.of)} files: ${a.name}, ${f.number(a.percent)} %`,
  'intake-ui.drop.nothing': (_: None, _f: Format) => 'The folder holds no file. Nothing was read.',
  'intake-ui.drop.not-taken': (a: { name: string; why: string }, _f: Format) => `${a.name} was not taken: ${a.why}`,
  'intake-ui.queue': (_: None, _f: Format) => 'Queue',
  'intake-ui.files': (a: { count: number }, f: Format) => files(a.count, f),
  'intake-ui.queue.empty': (_: None, _f: Format) => 'Nothing waits.',
  'intake-ui.state.waiting': (_: None, _f: Format) => 'waiting',
  'intake-ui.state.reading': (_: None, _f: Format) => 'reading',
  'intake-ui.state.reading-lines': (a: { lines: number; percent: number }, f: Format) =>
    `reading, ${lines(a.lines, f)} so far, ${f.number(a.percent)} % of the file`,
  'intake-ui.state.reading-percent': (a: { percent: number }, f: Format) =>
    `reading, ${f.number(a.percent)} % of the file`,
  'intake-ui.state.needs-answer': (a: { count: number }, f: Format) =>
    a.count === 1 ? 'needs one answer' : `needs ${f.number(a.count)} answers`,
  'intake-ui.state.ready': (a: { lines: number; accepted: number }, f: Format) =>
    `${lines(a.lines, f)}, ${f.number(a.accepted)} accepted, no question`,
  'intake-ui.state.taking-in': (_: None, _f: Format) => 'being taken in',
  'intake-ui.state.nothing-new': (_: None, _f: Format) => 'nothing new: every line is held already',
  'intake-ui.state.failed': (_: None, _f: Format) => 'could not be read',
  'intake-ui.state.interrupted': (_: None, _f: Format) => 'was interrupted; nothing of it is kept',
  'intake-ui.cancel-reading': (a: { name: string }, _f: Format) => `Cancel reading ${a.name}`,
  'intake-ui.read-again': (a: { name: string }, _f: Format) => `Try again: read ${a.name}`,
  'intake-ui.cancelled': (a: { name: string }, _f: Format) =>
    `${a.name}: reading was cancelled. Nothing of it was kept.`,
  'intake-ui.accept-ready': (a: { count: number }, f: Format) =>
    a.count === 1 ? 'Accept the one that is ready' : `Accept all ${f.number(a.count)} that are ready`,
  'intake-ui.accepted-many': (a: { files: number; accepted: number; held: number; rejected: number }, f: Format) =>
    `${files(a.files, f)} taken in: ${readings(a.accepted, f)} new, ${f.number(a.held)} held already, ${lines(
      a.rejected,
      f,
    )} rejected.`,
  'intake-ui.imported': (_: None, _f: Format) => 'Imported',
  'intake-ui.imported.none': (_: None, _f: Format) => 'Nothing yet.',
  'intake-ui.imported.line': (a: { at: number; readings: number }, f: Format) =>
    `${f.date(a.at).slice(0, -5)} ${f.time(a.at)}, ${readings(a.readings, f)}`,
  'intake-ui.imported.nothing-new': (a: { at: number }, f: Format) =>
    `${f.date(a.at).slice(0, -5)} ${f.time(a.at)}, nothing new: every line was held already`,
  'intake-ui.imported.withdrawn': (a: { only: number }, f: Format) =>
    a.only === 0 ? 'undone' : `undone; ${readings(a.only, f)} out of force`,
  'intake-ui.imported.note': (_: None, _f: Format) =>
    'Undo takes back what only this file shows. Notes stay with their readings and return with them.',
  'intake-ui.imported.more': (a: { count: number }, f: Format) => `${files(a.count, f)} more`,
  'intake-ui.undo-file': (a: { name: string; only: number }, f: Format) =>
    `Undo ${a.name}: ${readings(a.only, f)} that no other file shows`,
  'intake-ui.restore': (_: None, _f: Format) => 'Bring back',
  'intake-ui.restore-file': (a: { name: string }, _f: Format) => `Bring back ${a.name}`,
  'intake-ui.withdrawn': (a: { name: string; out: number; stay: number }, f: Format) =>
    `${a.name} is undone: ${readings(a.out, f)} out of force${
      a.stay > 0 ? `, ${f.number(a.stay)} stay because another held file shows them` : ''
    }.`,
  'intake-ui.restored': (a: { name: string; back: number }, f: Format) =>
    `${a.name} is back: ${readings(a.back, f)} in force again.`,
  'intake-ui.watched': (a: { folder: string }, _f: Format) => `Watching ${a.folder}: new dumps come in by themselves.`,

  // ---- Intake: recipes --------------------------------------------------------
  'intake-ui.recipes': (_: None, _f: Format) => 'Recipes',
  'intake-ui.recipes.note': (_: None, _f: Format) => 'How files with known columns are read.',
  'intake-ui.recipes.none': (_: None, _f: Format) =>
    'None saved. Answer a question and tick "Use for every file with these columns".',
  'intake-ui.recipes.used': (a: { files: number }, f: Format) => `used for ${files(a.files, f)}`,
  'intake-ui.recipes.export': (_: None, _f: Format) => 'Export',
  'intake-ui.recipes.import': (_: None, _f: Format) => 'Import',
  'intake-ui.recipes.rename': (_: None, _f: Format) => 'Rename',
  'intake-ui.recipes.rename-one': (a: { name: string }, _f: Format) => `Rename recipe ${a.name}`,
  'intake-ui.recipes.delete': (_: None, _f: Format) => 'Delete',
  'intake-ui.recipes.delete-one': (a: { name: string }, _f: Format) => `Delete recipe ${a.name}`,
  'intake-ui.recipes.delete-sure': (a: { name: string }, _f: Format) =>
    `Delete "${a.name}"? Readings taken in with it stay as they are; files with these columns are asked about again.`,
  'intake-ui.recipes.new-name': (_: None, _f: Format) => 'New name',
  'intake-ui.recipes.imported': (a: { count: number }, f: Format) =>
    a.count === 1 ? '1 recipe was taken in.' : `${f.number(a.count)} recipes were taken in.`,
  'intake-ui.recipes.not-json': (a: { name: string }, _f: Format) =>
    `${a.name} is no recipe file: it is not JSON. Choose a file that was exported here.`,
  'intake-ui.recipes.file-name': (_: None, _f: Format) => 'tightbook-recipes.json',

  // ---- Intake: main -------------------------------------------------------------
  'intake-ui.empty': (_: None, _f: Format) =>
    'No readings yet. Drop a file, a folder, or several. Nothing leaves this computer.',
  'intake-ui.demo': (_: None, _f: Format) => 'Try with invented data',
  'intake-ui.demo.loading': (_: None, _f: Format) => 'Taking in the invented plant',
  'intake-ui.demo.about': (_: None, _f: Format) =>
    'Halden Cargo Cycles is invented: three weeks of two shifts, eight wrenches, twenty-one dumps in seven layouts.',
  'intake-ui.all-in': (a: { readings: number; files: number }, f: Format) =>
    `Everything that was dropped has been taken in: **${readings(a.readings, f)}** from ${files(a.files, f)}.`,
  'intake-ui.all-in.next': (_: None, _f: Format) => 'Drop the next file, or go on to what the readings say.',
  'intake-ui.go-review': (_: None, _f: Format) => 'Review the newest shift',
  'intake-ui.table.files': (_: None, _f: Format) => 'Files held',
  'intake-ui.table.file': (_: None, _f: Format) => 'File',
  'intake-ui.table.taken-in': (_: None, _f: Format) => 'Taken in',
  'intake-ui.table.shows': (_: None, _f: Format) => 'New readings',
  'intake-ui.table.held-before': (_: None, _f: Format) => 'Held before',
  'intake-ui.table.rejected': (_: None, _f: Format) => 'Rejected',
  'intake-ui.table.only-here': (_: None, _f: Format) => 'Only in this file',
  'intake-ui.waiting-file': (a: { name: string }, _f: Format) => `${a.name} waits for its turn.`,
  'intake-ui.reading-file': (a: { name: string }, _f: Format) => `${a.name} is being read.`,
  'intake-ui.taking-in-file': (a: { name: string }, _f: Format) => `${a.name} is being taken in.`,
  'intake-ui.interrupted-file': (a: { name: string }, _f: Format) =>
    `Reading of ${a.name} was interrupted. Nothing of it was kept; read it again or leave it aside.`,
  'intake-ui.leave-aside': (_: None, _f: Format) => 'Leave aside',
  'intake-ui.accept': (a: { count: number }, f: Format) => `Accept ${readings(a.count, f)}`,
  'intake-ui.accept-nothing-new': (_: None, _f: Format) => 'Note that this file shows them too',
  'intake-ui.accept-later': (a: { count: number }, f: Format) => `Accept ${f.number(a.count)} once answered`,
  'intake-ui.accept-counting': (_: None, _f: Format) => 'Accept once counted',
  'intake-ui.save-recipe': (_: None, _f: Format) => 'Use for every file with these columns',

  // ---- Intake: accounting ----------------------------------------------------------
  'intake-ui.account.title': (a: { total: number }, f: Format) => `Where each of ${lines(a.total, f)} went`,
  'intake-ui.account.accepted': (a: { count: number }, f: Format) => `${f.number(a.count)} accepted`,
  'intake-ui.account.held': (a: { count: number }, f: Format) => `${f.number(a.count)} already held`,
  'intake-ui.account.rejected': (a: { count: number }, f: Format) => `${f.number(a.count)} rejected`,
  'intake-ui.account.rest': (a: { count: number }, f: Format) => `${f.number(a.count)} blank or header`,
  'intake-ui.account.sum': (
    a: { total: number; accepted: number; held: number; rejected: number; rest: number },
    f: Format,
  ) =>
    `${lines(a.total, f)} = ${f.number(a.accepted)} + ${f.number(a.held)} + ${f.number(a.rejected)} + ${f.number(
      a.rest,
    )}. Every line is in exactly one part.`,
  'intake-ui.account.so-far': (a: { total: number }, f: Format) =>
    a.total === 1 ? 'The first line alone; counting goes on.' : `The first ${lines(a.total, f)}; counting goes on.`,
  'intake-ui.account.not-to-scale': (_: None, _f: Format) => 'Parts under 6 px are drawn 6 px wide: not to scale.',
  'intake-ui.account.show-only': (a: { what: string }, _f: Format) => `Lines shown: ${a.what}`,
  'intake-ui.account.show-all': (_: None, _f: Format) => 'Show all lines',

  // ---- Intake: how it was read ------------------------------------------------------
  'intake-ui.read.title': (_: None, _f: Format) => 'How this file was read',
  'intake-ui.read.more': (a: { count: number }, f: Format) =>
    a.count === 1 ? '1 more line' : `${f.number(a.count)} more lines`,
  'intake-ui.read.none-of-kind': (_: None, _f: Format) => 'None of the first lines is of this part.',
  'intake-ui.read.cut': (_: None, _f: Format) => 'line goes on',
  'intake-ui.read.lines': (_: None, _f: Format) => 'First lines of the file',
  'intake-ui.read.role': (_: None, _f: Format) => 'Role',
  'intake-ui.read.as-written': (_: None, _f: Format) => 'As written',
  'intake-ui.read.read-as': (_: None, _f: Format) => 'Read as',
  'intake-ui.read.evidence': (_: None, _f: Format) => 'Evidence',
  'intake-ui.read.change': (a: { column: number }, f: Format) => `What column ${f.number(a.column)} holds`,
  'intake-ui.read.by-answer': (_: None, _f: Format) => 'your answer',
  'intake-ui.read.by-recipe': (_: None, _f: Format) => 'from the saved recipe',
  'intake-ui.answers': (_: None, _f: Format) => 'Your answers',
  'intake-ui.answered': (a: { id: string; value: string; role: string | null }, _f: Format) => {
    const words: Readonly<Record<string, string>> = {
      dmy: 'day first, then month',
      mdy: 'month first, then day',
      ymd: 'year first',
      comma: 'a comma is the decimal mark',
      point: 'a point is the decimal mark',
      same: 'the same memory again',
      new: 'new readings',
    };
    const column = /^role:(\d+)$/.exec(a.id)?.[1];
    if (column !== undefined) return `column ${column} holds: ${a.role ?? a.value}`;
    if (a.id === 'tool' || a.id === 'joint') return `${a.id}: ${a.value}`;
    if (a.id === 'torque-unit') return `unit: ${isTorqueUnit(a.value) ? torqueUnitSymbols[a.value] : a.value}`;
    return words[a.value] ?? `${a.id}: ${a.value}`;
  },
  'intake-ui.read.show-all-lines': (a: { count: number }, f: Format) => `Show the first ${lines(a.count, f)}`,
  'intake-ui.read.show-few-lines': (_: None, _f: Format) => 'Show fewer lines',
  'intake-ui.role.date': (_: None, _f: Format) => 'date',
  'intake-ui.role.time': (_: None, _f: Format) => 'time',
  'intake-ui.role.date-time': (_: None, _f: Format) => 'date and time',
  'intake-ui.role.torque': (_: None, _f: Format) => 'torque',
  'intake-ui.role.torque-unit': (_: None, _f: Format) => 'unit',
  'intake-ui.role.angle': (_: None, _f: Format) => 'angle',
  'intake-ui.role.tool': (_: None, _f: Format) => 'tool',
  'intake-ui.role.operator': (_: None, _f: Format) => 'operator',
  'intake-ui.role.joint': (_: None, _f: Format) => 'joint',
  'intake-ui.role.own-result': (_: None, _f: Format) => "tool's verdict",
  'intake-ui.role.sequence': (_: None, _f: Format) => 'running number',
  'intake-ui.role.batch-position': (_: None, _f: Format) => 'place in batch',
  'intake-ui.role.batch-size': (_: None, _f: Format) => 'batch size',
  'intake-ui.role.target': (_: None, _f: Format) => 'target',
  'intake-ui.role.low-limit': (_: None, _f: Format) => 'low limit',
  'intake-ui.role.high-limit': (_: None, _f: Format) => 'high limit',
  'intake-ui.role.fastener': (_: None, _f: Format) => 'fastener',
  'intake-ui.role.station': (_: None, _f: Format) => 'station',
  'intake-ui.role.note': (_: None, _f: Format) => 'note',
  'intake-ui.role.ignore': (_: None, _f: Format) => 'not read',

  // ---- Intake: question ----------------------------------------------------------------
  'intake-ui.question.title': (_: None, _f: Format) => 'The file cannot say, so you decide',
  'intake-ui.question.answer': (a: { number: number }, f: Format) => `Read it as choice ${f.number(a.number)}`,
  'intake-ui.question.answer-text': (a: { text: string }, _f: Format) => `Read it as ${a.text}`,
  'intake-ui.question.other': (_: None, _f: Format) => 'Something else',
  'intake-ui.question.other-label': (_: None, _f: Format) => 'Another name',
  'intake-ui.question.leans': (_: None, _f: Format) => 'the rest of the file leans this way',
  'intake-ui.question.also': (a: { count: number }, f: Format) =>
    `Answer the same in ${a.count === 1 ? '1 other file that asks' : `${f.number(a.count)} other files that ask`} it`,
  'intake-ui.strip.title': (_: None, _f: Format) => 'Days of this file',
  'intake-ui.strip.summary': (a: { from: number; to: number; days: number }, f: Format) =>
    a.days === 1 ? `One day, ${f.date(a.from)}.` : `${f.number(a.days)} days, ${f.date(a.from)} to ${f.date(a.to)}.`,
  'intake-ui.strip.no-days': (_: None, _f: Format) => 'No day can be read this way.',
  'intake-ui.strip.held': (_: None, _f: Format) => 'held',
  'intake-ui.strip.this-file': (_: None, _f: Format) => 'this file',
  'intake-ui.strip.day': (_: None, _f: Format) => 'Day',
  'intake-ui.strip.held-too': (_: None, _f: Format) => 'Readings held on it',

  // ---- Intake: would add, rejected, notices -----------------------------------------------
  'intake-ui.add.title': (_: None, _f: Format) => 'What it would add',
  'intake-ui.add.note': (
    a: { readings: number; held: number; fail: number; unjudged: number; noTime: number; moreDays: number },
    f: Format,
  ) =>
    [
      `${readings(a.readings, f)}${a.held === 0 ? '' : a.held >= a.readings ? ', all held already' : `, ${f.number(a.held)} of them held already`}`,
      `${f.number(a.fail)} outside`,
      `${f.number(a.unjudged)} unjudged`,
      ...(a.noTime > 0 && a.noTime < a.readings ? [`${f.number(a.noTime)} without a time`] : []),
      ...(a.moreDays > 0 ? [`and ${a.moreDays === 1 ? '1 more day' : `${f.number(a.moreDays)} more days`}`] : []),
    ].join(', '),
  'intake-ui.add.so-far': (a: { questions: number }, _f: Format) =>
    a.questions === 1 ? 'as read so far; the open question decides' : 'as read so far; the open questions decide',
  'intake-ui.add.thinned': (a: { drawn: number; of: number }, f: Format) =>
    `${f.number(a.drawn)} of ${readings(a.of, f)} drawn: of a day with more than 600, those outside first, the others evenly thinned.`,
  'intake-ui.notices.so-far': (_: None, _f: Format) => 'so far; more may follow the answer',
  'intake-ui.ribbon.title': (_: None, _f: Format) => 'What this file would add, inside its limits',
  'intake-ui.ribbon.title-open': (_: None, _f: Format) => 'What this file would add, as read so far',
  'intake-ui.ribbon.untimed': (_: None, _f: Format) => 'no time, in the order of the file',
  'intake-ui.ribbon.unit-open': (_: None, _f: Format) => 'unit open',
  'intake-ui.ribbon.or': (_: None, _f: Format) => ' or ',
  'intake-ui.ribbon.or-below': (_: None, _f: Format) => '\nor ',
  'intake-ui.ribbon.summary': (
    a: { readings: number; days: number; pass: number; fail: number; unjudged: number },
    f: Format,
  ) =>
    `${readings(a.readings, f)} on ${a.days === 1 ? '1 day' : `${f.number(a.days)} days`}: ${f.number(
      a.pass,
    )} inside, ${f.number(a.fail)} outside, ${f.number(a.unjudged)} unjudged.`,
  'intake-ui.ribbon.high': (_: None, _f: Format) => 'high limit',
  'intake-ui.ribbon.low': (_: None, _f: Format) => 'low limit',
  'intake-ui.ribbon.readings': (_: None, _f: Format) => 'Readings',
  'intake-ui.ribbon.outside-drawn': (_: None, _f: Format) => 'Outside',
  'intake-ui.rejected.title': (_: None, _f: Format) => 'Rejected lines',
  'intake-ui.rejected.note': (a: { count: number }, f: Format) =>
    a.count === 0 ? 'none' : `${f.number(a.count)}, nothing is dropped silently`,
  'intake-ui.rejected.line': (_: None, _f: Format) => 'Line',
  'intake-ui.rejected.reason': (_: None, _f: Format) => 'Reason',
  'intake-ui.rejected.as-written': (_: None, _f: Format) => 'As written',
  'intake-ui.rejected.save': (_: None, _f: Format) => 'Save them as a file',
  'intake-ui.rejected.save-note': (_: None, _f: Format) => 'to correct and drop again',
  'intake-ui.rejected.file-name': (a: { name: string }, _f: Format) => `rejected lines of ${a.name}.csv`,
  'intake-ui.rejected.group': (a: { count: number; reason: string }, f: Format) => `${lines(a.count, f)}: ${a.reason}`,
  'intake-ui.rejected.all': (a: { count: number }, f: Format) => `Show all ${f.number(a.count)}`,
  'intake-ui.rejected.fewer': (_: None, _f: Format) => 'Show fewer',
  'intake-ui.rejected.first': (a: { shown: number; of: number }, f: Format) =>
    `First ${f.number(a.shown)} of ${f.number(a.of)}.`,
  'intake-ui.notices.title': (_: None, _f: Format) => 'Worth knowing',
  'intake-ui.notices.note': (_: None, _f: Format) => 'accepted all the same',
  'intake-ui.notices.all': (_: None, _f: Format) => 'all',
  'intake-ui.notices.more': (a: { first: number; more: number }, f: Format) =>
    `${f.number(a.first)} and ${f.number(a.more)} more`,

  // ---- Register ---------------------------------------------------------------------------
  'register-ui.joints': (_: None, _f: Format) => 'Joints',
  'register-ui.joints.note': (a: { count: number }, f: Format) => `${f.number(a.count)}; class by harm if it fails`,
  'register-ui.tools': (_: None, _f: Format) => 'Tools',
  'register-ui.tools.note': (a: { count: number; overdue: number }, f: Format) =>
    a.overdue === 0
      ? f.number(a.count)
      : `${f.number(a.count)}, ${a.overdue === 1 ? 'one' : f.number(a.overdue)} overdue`,
  'register-ui.operators.people': (a: { count: number }, f: Format) =>
    a.count === 1 ? 'One person, named on the page' : `${f.number(a.count)} people, named on the page`,
  'register-ui.operators': (_: None, _f: Format) => 'Operators',
  'register-ui.shifts': (_: None, _f: Format) => 'Shifts',
  'register-ui.checks': (_: None, _f: Format) => 'Check log',
  'register-ui.count': (a: { count: number }, f: Format) => f.number(a.count),
  'register-ui.none': (_: None, _f: Format) => 'none',
  'register-ui.nothing': (_: None, _f: Format) => 'None known yet.',
  'register-ui.unconfirmed': (_: None, _f: Format) => 'from a file, not confirmed',
  'register-ui.overdue-since': (a: { at: number }, f: Format) => `calibration overdue since ${f.dayMonth(a.at)}`,
  'register-ui.quarantined': (_: None, _f: Format) => 'quarantined',
  'register-ui.retired': (_: None, _f: Format) => 'retired',
  'register-ui.add-joint': (_: None, _f: Format) => 'Add a joint',
  'register-ui.add-tool': (_: None, _f: Format) => 'Add a tool',
  'register-ui.add-operator': (_: None, _f: Format) => 'Add an operator',
  'register-ui.add-shift': (_: None, _f: Format) => 'Add a shift',
  'register-ui.journal': (_: None, _f: Format) => 'Journal',
  'register-ui.journal.note': (_: None, _f: Format) => 'Who changed what, when and why',
  'register-ui.journal.said': (_: None, _f: Format) =>
    'Every change of readings and register, newest first. Nothing is taken out of it; what is taken back stays here and says so.',
  'register-ui.journal.none': (_: None, _f: Format) => 'Nothing has been changed yet.',
  'register-ui.journal.id': (_: None, _f: Format) => 'No.',
  'register-ui.journal.when': (_: None, _f: Format) => 'When',
  'register-ui.journal.at': (a: { at: number }, f: Format) => f.dateTime(a.at),
  'register-ui.journal.who': (_: None, _f: Format) => 'Who',
  'register-ui.journal.what': (_: None, _f: Format) => 'What',
  'register-ui.journal.why': (_: None, _f: Format) => 'Why',
  'register-ui.journal.kind': (a: { kind: string; undoes: number | null }, f: Format) =>
    a.undoes === null ? (changeWords[a.kind] ?? a.kind) : `took back no. ${f.number(a.undoes)}`,
  'register-ui.journal.as': (a: { name: string }, _f: Format) => `as ${a.name}`,
  'register-ui.journal.take-back': (_: None, _f: Format) => 'Take back',
  'register-ui.journal.taken-back': (a: { id: number }, f: Format) => `No. ${f.number(a.id)} is taken back.`,
  'register-ui.journal.undone-by': (a: { id: number }, f: Format) => `taken back by no. ${f.number(a.id)}`,
  'register-ui.journal.newer': (_: None, _f: Format) => 'newer',
  'register-ui.journal.older': (_: None, _f: Format) => 'older',
  'register-ui.exchange': (_: None, _f: Format) => 'Register file',
  'register-ui.export': (_: None, _f: Format) => 'Export as JSON',
  'register-ui.export-csv': (_: None, _f: Format) => 'Or one table as CSV:',
  'register-ui.export-table': (a: { table: string }, _f: Format) => a.table,
  'register-ui.import': (_: None, _f: Format) => 'Take in a JSON or CSV file',
  'register-ui.export-name': (_: None, _f: Format) => 'tightbook-register.json',
  'register-ui.import.not-json': (a: { name: string }, _f: Format) =>
    `${a.name} is not JSON, so nothing was taken in. Choose a register file; "Export as JSON" shows the shape.`,
  'register-ui.import.title': (a: { name: string }, _f: Format) => `${a.name} would change the register`,
  'register-ui.import.cannot': (a: { name: string }, _f: Format) => `${a.name} cannot be taken in`,
  'register-ui.import.put': (_: None, _f: Format) => 'Take it in',
  'register-ui.import.done': (a: { name: string }, _f: Format) => `${a.name} was taken in. U takes it back.`,
  'register-ui.more': (a: { count: number }, f: Format) => `and ${f.number(a.count)} more`,
  'register-ui.empty': (_: None, _f: Format) =>
    'The register is empty. Joints, tools and people that appear in files come here by themselves; limits and shifts are yours to say.',
  'register-ui.settle.title': (a: { count: number }, f: Format) =>
    a.count === 1 ? 'One name to settle' : `${f.number(a.count)} names to settle`,
  'register-ui.settle.yes': (a: { name: string }, _f: Format) => `Yes, ${a.name}`,
  'register-ui.settle.own': (a: { kind: 'tool' | 'joint' | 'operator' }, _f: Format) =>
    a.kind === 'operator' ? 'Another person' : `Another ${a.kind}`,
  'register-ui.settle.other': (_: None, _f: Format) => 'It is',
  'register-ui.settle.merge': (a: { into: string }, _f: Format) => `Count as ${a.into}`,
  'register-ui.settle.rename': (a: { into: string }, _f: Format) => `Rename to ${a.into}`,
  'register-ui.settle.write': (_: None, _f: Format) => 'Write a name',
  'register-ui.settle.set-aside': (
    a: { count: number; rows: readonly { reading: string; equals: string }[] },
    f: Format,
  ) =>
    `${a.count === 1 ? 'One reading is' : `${f.number(a.count)} readings are`} equal to another now and set aside: ${f.list(
      a.rows.map((row) => `${row.reading} equals ${row.equals}`),
    )}${a.count > a.rows.length ? ` and ${f.number(a.count - a.rows.length)} more` : ''}.`,
  'register-ui.settle.later': (_: None, _f: Format) => 'Next name',
  'register-ui.settle.done': (a: { name: string; into: string }, _f: Format) =>
    `${a.name} counts as ${a.into} from now on. U takes it back.`,
  'register-ui.settle.done-own': (a: { name: string }, _f: Format) => `${a.name} stands in the register as its own.`,
  'register-ui.study': (_: None, _f: Format) => 'Study',
  'register-ui.drift': (_: None, _f: Format) => 'Drift',
  'register-ui.readings': (_: None, _f: Format) => 'Readings',
  'register-ui.edit': (_: None, _f: Format) => 'Edit',
  'register-ui.save': (_: None, _f: Format) => 'Save',
  'register-ui.saved': (a: { what: string }, _f: Format) => `${a.what} is saved. U takes it back.`,
  'register-ui.new-revision': (_: None, _f: Format) => 'New revision',
  'register-ui.steps.heading': (_: None, _f: Format) => 'Limits over time',
  'register-ui.steps.note': (_: None, _f: Format) => 'each reading is judged by the revision in force when it was made',
  'register-ui.steps.every': (a: { every: number }, f: Format) =>
    a.every === 2 ? 'every second reading is drawn' : `every ${f.number(a.every)}th reading is drawn`,
  'register-ui.steps.title': (a: { unit: string }, _f: Format) => `Limits over time, torque in ${a.unit}`,
  'register-ui.steps.axis': (a: { unit: string }, _f: Format) => `Torque, ${a.unit}`,
  'register-ui.steps.summary': (
    a: { revisions: number; readings: number; every: number; outside: number },
    f: Format,
  ) =>
    `${a.revisions === 1 ? '1 revision' : `${f.number(a.revisions)} revisions`}, ${readings(a.readings, f)} drawn, ${f.number(
      a.outside,
    )} of them outside their limits.`,
  'register-ui.steps.none': (_: None, _f: Format) =>
    'No reading of this joint is held, so there is nothing to draw yet.',
  'register-ui.no-limits': (a: { joint: string }, _f: Format) =>
    `No limits for ${a.joint}: its readings are unjudged. Add a revision.`,
  'register-ui.revision': (_: None, _f: Format) => 'Revision',
  'register-ui.torque-low': (_: None, _f: Format) => 'Torque low',
  'register-ui.target': (_: None, _f: Format) => 'Target',
  'register-ui.torque-high': (_: None, _f: Format) => 'Torque high',
  'register-ui.angle-low': (_: None, _f: Format) => 'Angle low',
  'register-ui.angle-target': (_: None, _f: Format) => 'Angle target',
  'register-ui.angle-high': (_: None, _f: Format) => 'Angle high',
  'register-ui.from': (_: None, _f: Format) => 'In force from',
  'register-ui.to': (_: None, _f: Format) => 'To',
  'register-ui.by': (_: None, _f: Format) => 'By',
  'register-ui.why': (_: None, _f: Format) => 'Why',
  'register-ui.unit': (_: None, _f: Format) => 'Unit',
  'register-ui.batch-size': (_: None, _f: Format) => 'Batch size',
  'register-ui.retry': (_: None, _f: Format) => 'Further try within, s',
  'register-ui.readings-inside': (_: None, _f: Format) => 'Readings, outside',
  'register-ui.count-of': (a: { readings: number; fail: number }, f: Format) =>
    `${f.number(a.readings)}, ${f.number(a.fail)}`,
  'register-ui.percent': (_: None, _f: Format) => 'Tolerances in percent of the target',
  'register-ui.low-percent': (_: None, _f: Format) => 'Low, %',
  'register-ui.high-percent': (_: None, _f: Format) => 'High, %',
  'register-ui.draft': (a: { label: string }, _f: Format) => `draft ${a.label}`,
  'register-ui.low-to-high': (a: { low: number | null; high: number | null }, f: Format) =>
    a.low !== null && a.high !== null
      ? `${f.number(a.low, 2)} to ${f.number(a.high, 2)}`
      : a.low !== null
        ? `from ${f.number(a.low, 2)}`
        : a.high !== null
          ? `up to ${f.number(a.high, 2)}`
          : 'no limits',
  'register-ui.draft.changes': (a: { label: string }, _f: Format) => `Draft ${a.label} would change past verdicts`,
  'register-ui.draft.none': (a: { label: string }, _f: Format) => `Draft ${a.label} changes no past verdict`,
  'register-ui.draft.wrong': (a: { label: string }, _f: Format) => `Draft ${a.label} cannot be put in force`,
  'register-ui.draft.unfinished': (a: { label: string }, _f: Format) => `Draft ${a.label}`,
  'register-ui.draft.fill': (_: None, _f: Format) =>
    'Fill in limits and a date; what they would change shows here before anything is changed.',
  'register-ui.draft.count': (a: { from: number; changed: number; of: number }, f: Format) =>
    `In force from ${f.date(a.from)}, **${f.number(a.changed)} of ${f.number(a.of)}** readings would change:`,
  'register-ui.draft.by-tool': (a: { parts: readonly { tool: string; count: number }[] }, f: Format) =>
    `${f.list(a.parts.map((part) => `${f.number(part.count)} with ${part.tool}`))}.`,
  'register-ui.draft.caution': (_: None, _f: Format) =>
    'Limits hold for shown torque. The responsible engineer releases limits, not this screen.',
  'register-ui.draft.from-now': (_: None, _f: Format) => 'After the last reading held',
  'register-ui.draft.from-now-note': (a: { at: number }, f: Format) =>
    `From ${f.dateTime(a.at)}: no past verdict changes.`,
  'register-ui.draft.judge-again': (a: { at: number }, f: Format) => `From ${f.date(a.at)}, and judge again`,
  'register-ui.draft.judge-again-note': (_: None, _f: Format) =>
    'The journal keeps the old revision: old verdicts can be worked out again at any time.',
  'register-ui.draft.put': (a: { label: string }, _f: Format) => `Put ${a.label} in force`,
  'register-ui.draft.drop': (_: None, _f: Format) => 'Drop the draft',
  'register-ui.draft.replaces': (a: { label: string }, _f: Format) =>
    `Revision ${a.label} begins on the same date and would be replaced.`,
  'register-ui.joint.name': (_: None, _f: Format) => 'Name',
  'register-ui.joint.class': (_: None, _f: Format) => 'Class',
  'register-ui.joint.class-a': (_: None, _f: Format) => 'A, danger to life',
  'register-ui.joint.class-b': (_: None, _f: Format) => 'B, breakdown',
  'register-ui.joint.class-c': (_: None, _f: Format) => 'C, annoyance',
  'register-ui.joint.class-none': (_: None, _f: Format) => 'not set',
  'register-ui.joint.direction': (_: None, _f: Format) => 'Tightens',
  'register-ui.joint.cw': (_: None, _f: Format) => 'clockwise',
  'register-ui.joint.ccw': (_: None, _f: Format) => 'counter-clockwise (left-hand thread)',
  'register-ui.joint.stops-by': (_: None, _f: Format) => 'Stopped by',
  'register-ui.joint.torque': (_: None, _f: Format) => 'torque',
  'register-ui.joint.angle': (_: None, _f: Format) => 'angle',
  'register-ui.joint.station': (_: None, _f: Format) => 'Station',
  'register-ui.joint.note': (_: None, _f: Format) => 'Note',
  'register-ui.joint.new': (_: None, _f: Format) => 'New joint',
  'register-ui.joint.tools': (_: None, _f: Format) => 'Tools that tighten it',
  'register-ui.joint.no-tools': (_: None, _f: Format) => 'No reading of this joint names a tool yet.',
  'register-ui.tool': (_: None, _f: Format) => 'Tool',
  'register-ui.last-check': (_: None, _f: Format) => 'Last check',
  'register-ui.pulls': (_: None, _f: Format) => 'Pulls',
  'register-ui.d-percent': (_: None, _f: Format) => 'D, %',
  'register-ui.fasteners-get': (_: None, _f: Format) => 'Fasteners get',
  'register-ui.next-check': (_: None, _f: Format) => 'Next check',
  'register-ui.calibration-due': (_: None, _f: Format) => 'Calibration due',
  'register-ui.memory': (_: None, _f: Format) => 'Memory',
  'register-ui.memory-of': (a: { stored: number; capacity: number; perDay: number | null }, f: Format) =>
    `${f.number(a.stored)} of ${f.number(a.capacity)}${a.perDay === null ? '' : `, ${f.number(a.perDay)} a day`}`,
  'register-ui.full-on': (_: None, _f: Format) => 'Full',
  'register-ui.proved': (_: None, _f: Format) => 'Inside is proved from',
  'register-ui.proved-range': (a: { from: number; to: number }, f: Format) =>
    `${f.number(a.from, 2)} to ${f.number(a.to, 2)}`,
  'register-ui.proved-none': (_: None, _f: Format) => 'nowhere',
  'register-ui.not-known': (_: None, _f: Format) => 'not known',
  'register-ui.never': (_: None, _f: Format) => 'never',
  'register-ui.day': (a: { at: number }, f: Format) => f.dateTime(a.at).slice(0, -7),
  'register-ui.day-time': (a: { at: number }, f: Format) => f.dateTime(a.at),
  'register-ui.overdue-day': (a: { at: number }, f: Format) => `**${f.dateTime(a.at).slice(0, -7)}, overdue**`,
  'register-ui.number': (a: { value: number; decimals: number }, f: Format) => f.number(a.value, a.decimals),
  'register-ui.signed': (a: { value: number; decimals: number }, f: Format) => f.signed(a.value, a.decimals),
  'register-ui.plain-number': (a: { value: number }, f: Format) => plain(a.value, f),
  'register-ui.tool.new': (_: None, _f: Format) => 'New tool',
  'register-ui.tool.serial': (_: None, _f: Format) => 'Serial',
  'register-ui.tool.facts': (_: None, _f: Format) => 'The wrench',
  'register-ui.tool.range': (_: None, _f: Format) => 'Range',
  'register-ui.tool.range-of': (a: { min: number | null; max: number | null; unit: string }, f: Format) =>
    `${a.min === null ? '…' : plain(a.min, f)} to ${a.max === null ? '…' : plain(a.max, f)} ${a.unit}`,
  'register-ui.tool.min': (_: None, _f: Format) => 'Smallest torque',
  'register-ui.tool.max': (_: None, _f: Format) => 'Largest torque',
  'register-ui.tool.permitted': (_: None, _f: Format) => 'Permitted deviation, %',
  'register-ui.tool.capacity': (_: None, _f: Format) => 'Memory, readings',
  'register-ui.tool.calibrated-on': (_: None, _f: Format) => 'Calibrated on',
  'register-ui.tool.interval-months': (_: None, _f: Format) => 'Calibrate every, months',
  'register-ui.tool.interval-cycles': (_: None, _f: Format) => 'or every, cycles',
  'register-ui.tool.cycles-since': (_: None, _f: Format) => 'Cycles held since',
  'register-ui.tool.cycles-note': (_: None, _f: Format) => 'a lower bound: not every pull is held',
  'register-ui.tool.check-every': (_: None, _f: Format) => 'Check every, days',
  'register-ui.tool.length': (_: None, _f: Format) => 'Effective length, mm',
  'register-ui.tool.status': (_: None, _f: Format) => 'Status',
  'register-ui.tool.in-use': (_: None, _f: Format) => 'in use',
  'register-ui.tool.used': (_: None, _f: Format) => 'Used',
  'register-ui.tool.used-from-to': (a: { readings: number; from: number; to: number }, f: Format) =>
    `${readings(a.readings, f)}, ${f.dayMonth(a.from)} to ${f.dateTime(a.to).slice(0, -7)}`,
  'register-ui.tool.joints': (_: None, _f: Format) => 'Joints it tightens',
  'register-ui.tool.no-joints': (_: None, _f: Format) => 'No reading of this tool names a joint yet.',
  'register-ui.joint': (_: None, _f: Format) => 'Joint',
  'register-ui.outside': (_: None, _f: Format) => 'Outside',
  'register-ui.tool.events': (_: None, _f: Format) => 'Calibrations and repairs',
  'register-ui.tool.no-events': (_: None, _f: Format) => 'None entered.',
  'register-ui.tool.adapters': (_: None, _f: Format) => 'Adapters',
  'register-ui.moment': (a: { at: number }, f: Format) =>
    a.at % 86_400_000 === 0 ? f.dateTime(a.at).slice(0, -7) : f.dateTime(a.at),
  'register-ui.joint-change': (a: { joint: string; change: Said }, f: Format) => `${a.joint}: ${f.say(a.change)}.`,
  'register-ui.adapter.note': (_: None, _f: Format) => 'torque at the fastener = shown × (L + E cos a) / L',
  'register-ui.adapter.none': (a: { tool: string }, _f: Format) => `None: torque counts as ${a.tool} shows it.`,
  'register-ui.adapter.add': (_: None, _f: Format) => 'Enter an adapter',
  'register-ui.adapter.saved': (a: { tool: string }, _f: Format) =>
    `The adapter of ${a.tool} is saved. U takes it back.`,
  'register-ui.adapter.gone': (a: { tool: string }, _f: Format) =>
    `An adapter of ${a.tool} is removed. U takes it back.`,
  'register-ui.adapter.new': (a: { tool: string }, _f: Format) => `An adapter on ${a.tool}`,
  'register-ui.adapter.change': (a: { tool: string }, _f: Format) => `Correct this adapter of ${a.tool}`,
  'register-ui.adapter.end': (a: { tool: string }, _f: Format) => `This adapter was taken off ${a.tool}`,
  'register-ui.adapter.remove': (a: { tool: string }, _f: Format) => `This adapter was never on ${a.tool}`,
  'register-ui.adapter.remove-put': (_: None, _f: Format) => 'Remove it',
  'register-ui.adapter.fill': (_: None, _f: Format) =>
    'Fill in E, a and when it was put on; what that changes shows here before anything is changed.',
  'register-ui.adapter.measures': (_: None, _f: Format) =>
    'L from the middle of the drive to the middle of the pull on the grip, E from the middle of the drive to that of the fastener.',
  'register-ui.adapter.caution': (_: None, _f: Format) =>
    'Only where the wrench does not work it in itself: its file does not say. a is 0° straight ahead, 90° square to the wrench, 180° folded back.',
  'register-ui.adapter.length': (_: None, _f: Format) => 'L, effective length, mm',
  'register-ui.adapter.offset': (_: None, _f: Format) => 'E, offset, mm',
  'register-ui.adapter.angle': (_: None, _f: Format) => 'a, degrees',
  'register-ui.adapter.on': (_: None, _f: Format) => 'Put on',
  'register-ui.adapter.on-time': (_: None, _f: Format) => 'at',
  'register-ui.adapter.off': (_: None, _f: Format) => 'Taken off',
  'register-ui.adapter.off-time': (_: None, _f: Format) => 'at',
  'register-ui.adapter.still-on': (_: None, _f: Format) => 'still on',
  'register-ui.adapter.factor': (_: None, _f: Format) => 'Times shown',
  'register-ui.adapter.end-word': (_: None, _f: Format) => 'End',
  'register-ui.adapter.end-of': (a: { at: number }, f: Format) => `End the adapter put on ${f.dateTime(a.at)}`,
  'register-ui.adapter.change-of': (a: { at: number }, f: Format) => `Edit the adapter put on ${f.dateTime(a.at)}`,
  'register-ui.adapter.remove-of': (a: { at: number }, f: Format) => `Remove the adapter put on ${f.dateTime(a.at)}`,
  'register-ui.remove': (_: None, _f: Format) => 'Remove',
  'register-ui.remove.of': (a: { name: string }, _f: Format) => `Remove ${a.name}`,
  'register-ui.remove.title': (a: { name: string }, _f: Format) => `Remove ${a.name}?`,
  'register-ui.remove.done': (a: { name: string }, _f: Format) => `${a.name} is removed. U takes it back.`,
  'register-ui.remove.choose': (_: None, _f: Format) => 'choose …',
  'register-ui.remove.merge-into': (_: None, _f: Format) => 'It is really',
  'register-ui.remove.retire': (a: { name: string }, _f: Format) => `Retire ${a.name}`,
  'register-ui.remove.retired': (a: { name: string }, _f: Format) => `${a.name} is retired. U takes it back.`,
  'register-ui.remove.keep': (_: None, _f: Format) => 'Keep it',
  'register-ui.shifts.save-first': (_: None, _f: Format) => 'Save or cancel your changes first.',
  'register-ui.calibrated': (_: None, _f: Format) => 'calibrated',
  'register-ui.repaired': (_: None, _f: Format) => 'repaired',
  'register-ui.tool.quarantine-note': (_: None, _f: Format) =>
    'A suspect tool is quarantined and checked by a competent laboratory; the responsible engineer decides.',
  'register-ui.tool.what-is-due': (_: None, _f: Format) => 'Due',
  'register-ui.tool.log-check': (_: None, _f: Format) => 'Log a check',
  'register-ui.event.note': (_: None, _f: Format) => 'Note',
  'register-ui.event.calibration': (_: None, _f: Format) => 'calibration',
  'register-ui.event.repair': (_: None, _f: Format) => 'repair',
  'register-ui.event.add': (_: None, _f: Format) => 'Enter a calibration or repair',
  'register-ui.checks.heading': (_: None, _f: Format) => 'Checks on a reference',
  'register-ui.checks.note': (_: None, _f: Format) =>
    'D = 100 (shown − reference) / reference; + shows too much and fasteners get less',
  'register-ui.checks.title': (a: { tool: string }, _f: Format) => `Checks of ${a.tool}: deviation in percent`,
  'register-ui.checks.summary': (a: { checks: number; last: number; percent: number }, f: Format) =>
    `${a.checks === 1 ? '1 check' : `${f.number(a.checks)} checks`}; the last on ${f.date(a.last)} stands at ${f.signed(
      a.percent,
      1,
    )} %.`,
  'register-ui.checks.axis': (_: None, _f: Format) => 'Deviation D, %',
  'register-ui.checks.permitted': (a: { percent: number }, f: Format) => `permitted ${plain(a.percent, f)} %`,
  'register-ui.checks.last': (a: { percent: number }, f: Format) => `${f.signed(a.percent, 1)} %`,
  'register-ui.checks.none': (a: { tool: string }, _f: Format) =>
    `${a.tool} was never checked on a reference, so nothing is known of its error.`,
  'register-ui.date': (_: None, _f: Format) => 'Date',
  'register-ui.time': (_: None, _f: Format) => 'Time',
  'register-ui.kind': (_: None, _f: Format) => 'Kind',
  'register-ui.as-found': (_: None, _f: Format) => 'as found',
  'register-ui.as-left': (_: None, _f: Format) => 'as left',
  'register-ui.nominal': (_: None, _f: Format) => 'Nominal',
  'register-ui.shown': (_: None, _f: Format) => 'Shown',
  'register-ui.reference': (_: None, _f: Format) => 'Reference',
  'register-ui.deviation': (_: None, _f: Format) => 'D, %',
  'register-ui.range-of-pulls': (_: None, _f: Format) => 'of its pulls',
  'register-ui.verdict': (_: None, _f: Format) => 'Permitted?',
  'register-ui.check.inside': (_: None, _f: Format) => 'every pull inside',
  'register-ui.check.outside': (_: None, _f: Format) => '**a pull outside**',
  'register-ui.check.unknown': (_: None, _f: Format) => 'not known',
  'register-ui.range': (a: { low: number; high: number }, f: Format) =>
    `${f.signed(a.low, 1)} to ${f.signed(a.high, 1)}`,
  'register-ui.with-unit': (a: { value: number; unit: string; decimals: number }, f: Format) =>
    `${f.number(a.value, a.decimals)} ${a.unit}`,
  'register-ui.check.form': (a: { tool: string }, _f: Format) => `Log a check of ${a.tool}`,
  'register-ui.check.how': (_: None, _f: Format) =>
    'Pull, do not push; wear eye protection. Write what the wrench shows and what the reference says, one row a pull.',
  'register-ui.check.pull': (a: { number: number }, f: Format) => `Pull ${f.number(a.number)}`,
  'register-ui.check.add-pull': (_: None, _f: Format) => 'Another pull',
  'register-ui.check.remove-pull': (a: { number: number }, f: Format) => `Remove pull ${f.number(a.number)}`,
  'register-ui.check.uncertainty': (_: None, _f: Format) => 'Reference uncertainty (k = 2), %',
  'register-ui.check.needs': (_: None, _f: Format) =>
    'A check needs a date, a nominal and at least one pull with both values.',
  'register-ui.check.mean': (a: { percent: number; pulls: number }, f: Format) =>
    `Mean D ${f.signed(a.percent, 2)} % over ${a.pulls === 1 ? '1 pull: one pull cannot tell bias from scatter' : `${f.number(a.pulls)} pulls`}.`,
  'register-ui.operators.heading': (_: None, _f: Format) => 'Operators',
  'register-ui.badge': (_: None, _f: Format) => 'Badge',
  'register-ui.name': (_: None, _f: Format) => 'Name',
  'register-ui.in-shifts': (_: None, _f: Format) => 'Readings fall in',
  'register-ui.operators.note': (_: None, _f: Format) =>
    'People are never ranked. Settings can hide names everywhere else: here they stay, since this is where they are kept.',
  'register-ui.shift': (_: None, _f: Format) => 'Shift',
  'register-ui.shift.start': (_: None, _f: Format) => 'Starts',
  'register-ui.shift.end': (_: None, _f: Format) => 'Ends',
  'register-ui.shift.weekdays': (_: None, _f: Format) => 'Starts on',
  'register-ui.shift.weekdays-of': (a: { name: string }, _f: Format) => `Days on which ${a.name} starts`,
  'register-ui.shift.day': (a: { day: number }, _f: Format) =>
    ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'][a.day] ?? '',
  'register-ui.shift.breaks': (_: None, _f: Format) => 'Breaks',
  'register-ui.shift.break': (a: { shift: string; number: number }, f: Format) =>
    `Break ${f.number(a.number)} of ${a.shift}`,
  'register-ui.shift.break-from': (_: None, _f: Format) => 'From',
  'register-ui.shift.break-to': (_: None, _f: Format) => 'to',
  'register-ui.shift.break-words': (a: { from: number; to: number; name: string | null }, _f: Format) =>
    `${clock(a.from)} to ${clock(a.to)}${a.name === null ? '' : ` ${a.name}`}`,
  'register-ui.shift.no-breaks': (_: None, _f: Format) => 'none',
  'register-ui.shift.add-break': (_: None, _f: Format) => 'Add a break',
  'register-ui.shift.remove-break': (a: { number: number }, f: Format) => `Remove break ${f.number(a.number)}`,
  'register-ui.shifts.note': (_: None, _f: Format) =>
    'A reading at 14:00:00 belongs to the shift that starts at 14:00. A shift past midnight belongs to the day on which it starts.',
  'register-ui.shifts.band': (a: { names: readonly string[] }, f: Format) =>
    a.names.length === 0 ? 'No shifts' : `24 hours with ${f.list(a.names)}`,
  'register-ui.shifts.uncovered': (a: { minutes: number }, f: Format) =>
    `${plain(a.minutes / 60, f, 2)} hours a day lie outside every shift.`,
  'register-ui.shifts.doubled': (a: { minutes: number }, f: Format) =>
    `${plain(a.minutes / 60, f, 2)} hours a day lie in more than one shift; the first in the list holds.`,
  'register-ui.shifts.none': (_: None, _f: Format) => 'No shifts yet. Without them the civil day is used.',
  'register-ui.shifts.handle': (a: { name: string; which: 'start' | 'end' }, _f: Format) =>
    `${a.which === 'start' ? 'Start' : 'End'} of ${a.name}`,
  'register-ui.shifts.clock': (a: { minute: number }, _f: Format) => clock(a.minute),
  'register-ui.shifts.drag': (_: None, _f: Format) => 'Drag the ends, or use the arrow keys: 15 minutes a step.',
  'register-ui.shifts.changed': (_: None, _f: Format) =>
    'Shifts decide which readings belong together in Review, Drift and Study. Figures are worked out again at once.',
  'register-ui.checks.log': (_: None, _f: Format) => 'All checks, newest first',
};

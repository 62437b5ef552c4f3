import type { DateOrder, DecimalMark, NoticeKind, RejectCode, Role } from '../../intake/vocabulary.ts';
import { newtonMetresPer, type TorqueUnit, torqueUnitSymbols } from '../../units/torque-unit.ts';
import type { Format } from '../format.ts';
import type { Said } from '../said.ts';

type Nothing = Record<string, never>;

const roleWords: Readonly<Record<Role, string>> = {
  date: 'date',
  time: 'time of day',
  'date-time': 'date and time',
  torque: 'torque',
  'torque-unit': 'torque unit',
  angle: 'angle',
  tool: 'tool',
  operator: 'operator',
  joint: 'joint',
  'own-result': "tool's own result",
  sequence: 'running number',
  'batch-position': 'position in the batch',
  'batch-size': 'batch size',
  target: 'target',
  'low-limit': 'low limit',
  'high-limit': 'high limit',
  fastener: 'fastener or batch id',
  station: 'station',
  note: 'note',
  ignore: 'not read',
};

const orderWords: Readonly<Record<DateOrder, string>> = {
  dmy: 'day first, then month',
  mdy: 'month first, then day',
  ymd: 'year first, then month',
};

const markWords: Readonly<Record<DecimalMark, string>> = { comma: 'comma', point: 'point' };

const reasonWords: Readonly<Record<RejectCode, string>> = {
  'bad-torque': 'torque is not a number',
  'bad-angle': 'angle is not a number',
  'bad-unit': 'not a unit of torque',
  'bad-date': 'no such date',
  'bad-time': 'no such time of day',
  'no-torque': 'no torque or angle in this line',
  'too-few-fields': 'line ends before the last column',
  'too-many-fields': 'more cells than columns',
  'open-quote': 'a quote opens and never closes',
  undecodable: 'characters that cannot be decoded',
};

const delimiterWords: Readonly<Record<string, string>> = {
  ',': 'commas',
  ';': 'semicolons',
  '\t': 'tabs',
  '|': 'bars',
  ' ': 'single blanks',
  blanks: 'blanks',
};

const byWords: Readonly<Record<string, string>> = {
  answer: 'your answer',
  set: 'your setting',
  recipe: 'the saved recipe',
  column: 'its column',
  header: "the column's name",
  preamble: 'the lines above the table',
  'file-name': 'the file name',
  register: 'the register: target and limits match',
  stated: 'the file itself',
  held: 'what is held already',
};

const s = (count: number, one: string, many = `${one}s`): string => (count === 1 ? one : many);

/** The least decimals that show a number in full, at most four. */
const shortNumber = (value: number, f: Format): string => {
  for (let decimals = 0; decimals < 4; decimals++) {
    if (Math.abs(value - Number(value.toFixed(decimals))) < 1e-9 * Math.max(1, Math.abs(value)))
      return f.number(value, decimals);
  }
  return f.number(value, 4);
};

const noticeWords: Readonly<Record<NoticeKind, (count: number, f: Format) => string>> = {
  'memory-full': (n, f) => `the memory was full (${f.number(n)} readings): later or earlier readings may be missing`,
  'clock-back': (n, f) => `the clock jumps back ${f.number(n)} ${s(n, 'time')}`,
  'clock-unset': (n, f) => `${f.number(n)} ${s(n, 'line')} from a clock that was never set`,
  'date-range': (n, f) => `${f.number(n)} ${s(n, 'date')} out of any likely range`,
  'future-date': (n, f) => `${f.number(n)} ${s(n, 'date lies', 'dates lie')} in the future`,
  'zone-ignored': () => 'a time zone is written; times are kept as the tool showed them',
  'epoch-utc': () => 'times are counted from 1970 and were read as UTC',
  'duplicate-lines': (n, f) =>
    `${f.number(n)} ${s(n, 'reading repeats', 'readings repeat')} an earlier one in every value: all were kept`,
  'unit-changes': () => 'the torque unit changes within the file',
  'own-result-differs': (n, f) => `the tool's own result differs from the limits ${f.number(n)} ${s(n, 'time')}`,
  'other-direction': (n, f) => `${f.number(n)} ${s(n, 'reading')} in the other direction: kept, unjudged`,
  'zero-torque': (n, f) => `${f.number(n)} ${s(n, 'reading')} of zero torque`,
  'second-pull': (n, f) => `${f.number(n)} perhaps a second pull on a tight fastener`,
  'newest-first': () => 'the file lists the newest reading first',
  'beyond-range': (n, f) => `${f.number(n)} ${s(n, 'torque')} beyond the tool's range`,
  'calibration-overdue': (n, f) => `${f.number(n)} ${s(n, 'reading')} after the tool's calibration was due`,
  'unknown-name': (n, f) => `${f.number(n)} ${s(n, 'name')} not in the register: added as unconfirmed`,
  'sequence-gap': (n, f) => `${f.number(n)} ${s(n, 'gap')} in the running numbers: readings may be missing`,
  'on-limit': (n, f) => `${f.number(n)} ${s(n, 'reading')} on a limit to the digits shown`,
};

/** What is held, as evidence for reading a file in one way. */
const heldWords = (readings: number, files: number, f: Format): string =>
  readings > 0
    ? `${f.number(readings)} ${s(readings, 'line is a reading', 'lines are readings')} held already when read so, and none when read otherwise`
    : `${f.number(files)} held ${s(files, 'file')} of this layout and tool ${files === 1 ? 'was' : 'were'} read so`;

/** Phrases of the intake area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const intake = {
  'intake.name': (_: Nothing, _f: Format) => 'Intake',

  'intake.refused-empty': (_: Nothing, _f: Format) =>
    'This file is empty; nothing was stored. Read the wrench out again and choose the new file.',
  'intake.refused-spreadsheet': (_: Nothing, _f: Format) =>
    'This is a spreadsheet file, not a text list; nothing was stored. Open it in the spreadsheet program, save it as CSV, and choose that file.',
  'intake.refused-picture': (_: Nothing, _f: Format) =>
    'This looks like a picture, not a list of readings. Nothing was stored; choose the text file that the wrench exported.',
  'intake.refused-archive': (_: Nothing, _f: Format) =>
    'This is a packed file; nothing was stored. Unpack it and choose the text files inside.',
  'intake.refused-document': (_: Nothing, _f: Format) =>
    'This is a document, not a list of readings; nothing was stored. Choose the text file (CSV) that the wrench exported.',
  'intake.refused-binary': (_: Nothing, _f: Format) =>
    'This file is not text: it holds bytes that no list of readings has. Nothing was stored. Choose the text file (CSV) that the wrench exported.',
  'intake.refused-markup': (_: Nothing, _f: Format) =>
    'This is a web page or a marked-up table, not a delimited list; nothing was stored. Open it in a spreadsheet program, save it as CSV, and choose that file.',
  'intake.refused-large': (_: Nothing, _f: Format) =>
    'This file is larger than 4 GiB; nothing was stored. Split it into smaller files and choose those.',
  'intake.refused-no-torque': (_: Nothing, _f: Format) =>
    'No column of this file can be a torque or an angle, so nothing was stored. Choose the list of readings that the wrench exported.',
  'intake.refused-words': (a: { column: string; example: string }, _f: Format) =>
    `The column "${a.column}" holds words ("${a.example}") where torque should be, so nothing was stored. Export the readings again with their values, and choose that file.`,
  'intake.refused-more-cells': (a: { header: number; row: number }, f: Format) =>
    `Every line has ${f.number(a.row)} cells under ${f.number(a.header)} column names: commas seem to part both cells and decimals, so nothing was stored. Export again with semicolons, or with a decimal point.`,
  'intake.refused-wide': (a: { columns: number }, f: Format) =>
    `A line of this file has ${f.number(a.columns)} cells or more, which no list of readings has; nothing was stored. Check that its lines were not joined, and choose the list that the wrench exported.`,
  'intake.refused-no-rows': (_: Nothing, _f: Format) =>
    'This file has column names but no readings, so nothing was stored. The memory may have been empty; read the wrench out again.',
  'intake.refused-all-rejected': (a: { count: number; reason: Said }, f: Format) =>
    `None of the ${f.number(a.count)} lines is a reading, so nothing was stored: ${f.say(a.reason)}. Check that this is the right file, or correct how its columns are read.`,

  'intake.layout': (
    a: { encoding: string; delimiter: Said; secondTable: { line: number; lines: number } | null },
    f: Format,
  ) =>
    `${a.encoding}, ${f.say(a.delimiter)}${
      a.secondTable === null
        ? ''
        : `; another table of ${f.number(a.secondTable.lines)} ${s(a.secondTable.lines, 'line')} from line ${f.number(a.secondTable.line)} on is kept with the file but not read`
    }`,
  'intake.delimiter': (a: { delimiter: string }, _f: Format) => delimiterWords[a.delimiter] ?? `"${a.delimiter}"`,
  'intake.line-kind': (a: { kind: string }, _f: Format) =>
    a.kind === 'header'
      ? 'column names'
      : a.kind === 'footer'
        ? 'end of the table, kept with the file'
        : a.kind === 'second-table'
          ? 'another table starts'
          : 'note, kept with the file',

  'intake.role': (a: { role: Role }, _f: Format) => roleWords[a.role],
  'intake.reason': (a: { reason: RejectCode }, _f: Format) => reasonWords[a.reason],
  'intake.rejected': (a: { line: number; reason: RejectCode; column: string | null }, f: Format) =>
    `Line ${f.number(a.line)}${a.column === null ? '' : `, column ${a.column}`}: ${reasonWords[a.reason]}.`,
  'intake.notice': (a: { kind: NoticeKind; count: number }, f: Format) => noticeWords[a.kind](a.count, f),
  'intake.notice-names': (a: { role: Role; names: readonly string[] }, f: Format) =>
    `${f.list(a.names.slice(0, 8))}${a.names.length > 8 ? ' and others' : ''} ${a.names.length === 1 ? 'is' : 'are'} new as ${roleWords[a.role]}: added as unconfirmed`,

  'intake.order': (a: { order: DateOrder; day: number | null }, f: Format) =>
    a.day === null ? orderWords[a.order] : `${orderWords[a.order]}: ${f.date(a.day)}`,
  'intake.mark': (a: { mark: DecimalMark; example: string | null }, f: Format) => {
    const base = `the ${markWords[a.mark]} is the decimal mark`;
    if (a.example === null) return base;
    const own = a.mark === 'comma' ? ',' : '.';
    const value = Number(
      a.example
        .replaceAll(own === ',' ? '.' : ',', '')
        .replace(',', '.')
        .replace(/[^\d.eE+-]/g, ''),
    );
    return Number.isFinite(value) ? `${base}: {mono|${a.example}} is ${shortNumber(value, f)}` : base;
  },
  'intake.unit': (a: { unit: TorqueUnit }, _f: Format) => torqueUnitSymbols[a.unit],
  'intake.name-is': (a: { role: Role; name: string }, _f: Format) => a.name,
  'intake.no-joint': (_: Nothing, _f: Format) => 'no joint: the readings are kept, unjudged',
  'intake.read-open': (a: { question: string }, _f: Format) =>
    a.question === 'date-order'
      ? '{you|day or month first?}'
      : a.question === 'torque-unit'
        ? '{you|in which unit?}'
        : a.question === 'decimal-mark'
          ? '{you|which decimal mark?}'
          : '{you|which of these?}',
  'intake.read-number': (a: { value: number; decimals: number; unit: TorqueUnit | 'deg' | null }, f: Format) =>
    a.unit === 'deg'
      ? `${f.number(a.value, Math.min(a.decimals, 10))}°`
      : a.unit === null
        ? f.number(a.value, Math.min(a.decimals, 10))
        : f.torque(a.value, a.unit, Math.min(a.decimals, 10)),
  'intake.read-date': (a: { at: number; hasTime: boolean }, f: Format) => (a.hasTime ? f.dateTime(a.at) : f.date(a.at)),
  'intake.read-time': (a: { at: number; step: number }, f: Format) => {
    const seconds = Math.floor(a.at / 1000) % 60;
    return `${f.time(a.at)}${a.step < 3 ? `:${String(seconds).padStart(2, '0')}` : ''}`;
  },
  'intake.read-own': (a: { good: boolean }, _f: Format) => `${a.good ? 'good' : 'bad'}, kept beside our own`,
  'intake.read-own-unknown': (_: Nothing, _f: Format) => 'kept as written',

  'intake.q-role': (a: { column: number; name: string | null }, f: Format) =>
    a.name === null ? `What does column ${f.number(a.column)} hold?` : `What does the column "${a.name}" hold?`,
  'intake.q-order': (a: { text: string }, _f: Format) => `In {mono|${a.text}}, which part is the day?`,
  'intake.q-order-both': (_: Nothing, _f: Format) =>
    'Some dates of this file can only be read day first, others only month first. Which order holds? The others will be rejected.',
  'intake.q-mark': (a: { text: string }, _f: Format) =>
    `In {mono|${a.text}}, is the mark a decimal mark, or does it part thousands?`,
  'intake.q-mark-both': (_: Nothing, _f: Format) =>
    'Some numbers of this file have a decimal comma, others a decimal point. Which one holds? The others will be rejected.',
  'intake.q-unit': (a: { count: number }, f: Format) =>
    `In which unit are the torques? ${f.number(a.count)} ${s(a.count, 'line names', 'lines name')} none.`,
  'intake.q-tool': (_: Nothing, _f: Format) => 'Which tool made these readings? Nothing in the file names it.',
  'intake.q-joint': (_: Nothing, _f: Format) => 'Which joint are these readings of? Nothing in the file names one.',
  'intake.q-overlap': (a: { ratio: number }, f: Format) =>
    `The same times are held already with torques that differ by the constant factor ${f.number(a.ratio, 4)}. Is this the same memory with the unit changed?`,
  'intake.overlap-same': (_: Nothing, _f: Format) => 'the same readings, shown in another unit: they are held already',
  'intake.overlap-new': (_: Nothing, _f: Format) => 'other readings: take them in as new',
  'intake.q-overlap-order': (_: Nothing, _f: Format) =>
    'These readings have no times, and some could be readings that are held already. Are they?',

  'intake.by-answer': (_: Nothing, _f: Format) => 'you said so',
  'intake.by-recipe': (_: Nothing, _f: Format) => 'as saved for these columns',
  'intake.recipe-used': (a: { name: string }, _f: Format) => `Read as saved for these columns ("${a.name}").`,
  'intake.recipe-refuted': (a: { name: string }, _f: Format) =>
    `The saved recipe "${a.name}" does not fit this file any more, so it was not used.`,
  'intake.recipe-width': (a: { name: string }, _f: Format) =>
    `The saved recipe "${a.name}" has another number of columns, so it was not used.`,
  'intake.recipe-row': (
    a: { roles: readonly Role[]; unit: TorqueUnit | null; order: DateOrder | null; mark: DecimalMark | null },
    f: Format,
  ) =>
    [
      f.list(a.roles.filter((role) => role !== 'ignore').map((role) => roleWords[role])),
      ...(a.unit === null ? [] : [torqueUnitSymbols[a.unit]]),
      ...(a.order === null ? [] : [orderWords[a.order]]),
      ...(a.mark === null ? [] : [`decimal ${markWords[a.mark]}`]),
    ].join('; '),

  'intake.ev-name': (a: { name: string }, _f: Format) => `column named "${a.name}"`,
  'intake.ev-unknown-name': (a: { name: string }, _f: Format) => `the name "${a.name}" says nothing known`,
  'intake.ev-no-name': (_: Nothing, _f: Format) => 'the column has no name',
  'intake.ev-unit': (_: Nothing, _f: Format) => 'a unit of torque is written with it',
  'intake.ev-degree': (_: Nothing, _f: Format) => 'degrees are written with it',
  'intake.ev-empty': (_: Nothing, _f: Format) => 'empty in the first lines',
  'intake.ev-not-numbers': (_: Nothing, _f: Format) => 'its cells are no numbers',
  'intake.ev-counts-rows': (_: Nothing, _f: Format) => 'counts by one from line to line',
  'intake.ev-looks-date-time': (_: Nothing, _f: Format) => 'every cell is a date with a time',
  'intake.ev-looks-date': (_: Nothing, _f: Format) => 'every cell is a date',
  'intake.ev-looks-time': (_: Nothing, _f: Format) => 'every cell is a time of day',
  'intake.ev-looks-unit': (_: Nothing, _f: Format) => 'every cell is a unit of torque',
  'intake.ev-looks-result': (_: Nothing, _f: Format) => 'every cell is a word for good or bad',
  'intake.ev-in-register': (a: { role: Role | 'tool' | 'operator' | 'joint' }, _f: Format) =>
    `known in the register as ${roleWords[a.role]}`,
  'intake.ev-second': (a: { role: Role }, _f: Format) => `another column is the ${roleWords[a.role]}`,
  'intake.ev-serial': (_: Nothing, _f: Format) => 'day numbers of a spreadsheet',
  'intake.ev-epoch': (_: Nothing, _f: Format) => 'counts from 1 January 1970',
  'intake.ev-distinct': (a: { count: number; of: number }, f: Format) =>
    `${f.number(a.count)} different ${s(a.count, 'value')} in ${f.number(a.of)} lines`,
  'intake.ev-range': (a: { min: number; max: number }, f: Format) =>
    `numbers from ${shortNumber(a.min, f)} to ${shortNumber(a.max, f)}`,
  'intake.ev-examples': (a: { examples: readonly string[] }, _f: Format) =>
    a.examples.map((text) => `{mono|${text}}`).join(', '),
  'intake.ev-line': (a: { line: number; text: string }, f: Format) => `line ${f.number(a.line)}: {mono|${a.text}}`,
  'intake.ev-none': (_: Nothing, _f: Format) => 'nothing in the file speaks for or against it',
  'intake.ev-file-name': (a: { file: string }, _f: Format) => `stands in the file name "${a.file}"`,
  'intake.ev-target': (_: Nothing, _f: Format) => 'its limits are the ones written in the file',
  'intake.ev-no-joint': (_: Nothing, _f: Format) =>
    'no column, no line above the table and no part of the file name names a joint',
  'intake.ev-order-allowed': (a: { allowed: number; of: number }, f: Format) =>
    `${f.number(a.allowed)} of ${f.number(a.of)} dates can be read so`,
  'intake.ev-order-against': (a: { count: number; line: number; text: string }, f: Format) =>
    `${f.number(a.count)} cannot: line ${f.number(a.line)}: {mono|${a.text}}`,
  'intake.ev-order-days': (a: { from: number; to: number; days: number }, f: Format) =>
    a.days === 1 ? `all on ${f.date(a.from)}` : `${f.number(a.days)} days from ${f.date(a.from)} to ${f.date(a.to)}`,
  'intake.ev-order-verdicts': (a: { pass: number; fail: number; unjudged: number }, f: Format) =>
    a.pass + a.fail === 0
      ? 'on these days no limits are in force'
      : `by the limits of these days **${f.number(a.fail)} outside**${a.unjudged === 0 ? '' : `, ${f.number(a.unjudged)} unjudged`}`,
  'intake.ev-joint-limits': (a: { low: number | null; high: number | null; unit: TorqueUnit }, f: Format) => {
    const unit = torqueUnitSymbols[a.unit];
    const limits =
      a.low !== null && a.high !== null
        ? `${shortNumber(a.low, f)} to ${shortNumber(a.high, f)} ${unit}`
        : a.low !== null
          ? `at least ${shortNumber(a.low, f)} ${unit}`
          : `at most ${shortNumber(a.high ?? 0, f)} ${unit}`;
    return `in the register, ${limits}`;
  },
  'intake.ev-order-only': (a: { order: DateOrder; line: number; text: string }, f: Format) =>
    `${orderWords[a.order]}: line ${f.number(a.line)}, {mono|${a.text}}, allows nothing else`,
  'intake.ev-order-all': (a: { order: DateOrder }, _f: Format) => `only ${orderWords[a.order]} fits every date`,
  'intake.ev-order-stated': (a: { text: string }, _f: Format) => `the file says so: "${a.text}"`,
  'intake.ev-order-held': (a: { order: DateOrder; readings: number; files: number }, f: Format) =>
    `${orderWords[a.order]}: ${heldWords(a.readings, a.files, f)}`,
  'intake.ev-mark-held': (a: { mark: DecimalMark; readings: number; files: number }, f: Format) =>
    `the ${markWords[a.mark]} is the decimal mark: ${heldWords(a.readings, a.files, f)}`,
  'intake.ev-mark': (a: { mark: DecimalMark; line: number; text: string }, f: Format) =>
    `the ${markWords[a.mark]} is the decimal mark: line ${f.number(a.line)}, {mono|${a.text}}`,
  'intake.ev-mark-sure': (a: { count: number }, f: Format) =>
    `${f.number(a.count)} ${s(a.count, 'number')} can only be read so`,
  'intake.ev-mark-maybe': (a: { count: number }, f: Format) =>
    `${f.number(a.count)} ${s(a.count, 'number')} with exactly three digits behind the mark, none that decides`,
  'intake.ev-unit-from': (a: { unit: TorqueUnit; by: string }, _f: Format) =>
    `${torqueUnitSymbols[a.unit]} from ${byWords[a.by] ?? a.by}`,
  'intake.ev-unit-range': (a: { min: number; max: number; unit: TorqueUnit }, f: Format) => {
    const own = `${shortNumber(a.min, f)} to ${shortNumber(a.max, f)} ${torqueUnitSymbols[a.unit]}`;
    if (a.unit === 'N.m') return own;
    const inNewtonMetres = (value: number): string => {
      const metres = (value * newtonMetresPer[a.unit]) / newtonMetresPer['N.m'];
      // Three digits tell one unit from another.
      const digits = metres === 0 ? 0 : 2 - Math.floor(Math.log10(Math.abs(metres)));
      return f.number(metres, Math.max(0, Math.min(6, digits)));
    };
    return `${own} = ${inNewtonMetres(a.min)} to ${inNewtonMetres(a.max)} ${torqueUnitSymbols['N.m']}`;
  },
  'intake.ev-name-from': (a: { by: string }, _f: Format) => `from ${byWords[a.by] ?? a.by}`,

  'intake.open-unit': (_: Nothing, _f: Format) =>
    'The unit is not known: torques stand as written, and no limit judges them.',
  'intake.open-mark': (a: { mark: DecimalMark }, _f: Format) =>
    `Which decimal mark holds is not known: numbers are read with a decimal ${markWords[a.mark]}, and no limit judges them.`,
  'intake.open-order': (a: { judged: number; otherwise: number }, f: Format) =>
    `Day and month are not told apart: a panel that may be either of two days names both.${
      a.otherwise === 0
        ? a.judged === 0
          ? ''
          : ' Either day gives the same verdicts.'
        : ` ${f.number(a.otherwise)} ${s(a.otherwise, 'reading is', 'readings are')} left unjudged: the other day has other limits.`
    }`,
  'intake.open-torque': (a: { column: number | null; name: string | null }, f: Format) =>
    a.column === null
      ? 'Which column holds the torque is not known, so nothing is judged.'
      : `Which column holds the torque is not known: ${a.name === null ? `column ${f.number(a.column)}` : `"${a.name}"`} is drawn as if it did, and nothing is judged.`,
  'intake.open-angle': (_: Nothing, _f: Format) =>
    'Which column holds the angle is not known: where an angle has limits, readings inside their torque limits stay unjudged.',
  'intake.open-tool': (_: Nothing, _f: Format) =>
    'The tool is not known, nor whether it carries an adapter: readings that name none are unjudged.',
  'intake.open-joint': (_: Nothing, _f: Format) => 'The joint is not known: readings that name none are unjudged.',
  'intake.open-overlap': (_: Nothing, _f: Format) => 'Which of these readings are new is not known.',
  'intake.open-no-bearing': (_: Nothing, _f: Format) => 'No verdict hangs on what is asked.',

  'intake.finding-ready': (a: { accepted: number; alreadyHeld: number; rejected: number }, f: Format) =>
    `${f.number(a.accepted)} new ${s(a.accepted, 'reading is', 'readings are')} ready.${a.alreadyHeld > 0 ? ` ${f.number(a.alreadyHeld)} ${s(a.alreadyHeld, 'is', 'are')} held already.` : ''}${a.rejected > 0 ? ` ${f.number(a.rejected)} ${s(a.rejected, 'line was', 'lines were')} rejected.` : ''}`,
  'intake.finding-question': (a: { accepted: number; questions: number; first: Said }, f: Format) =>
    `${f.number(a.accepted)} ${s(a.accepted, 'reading is', 'readings are')} ready. ${a.questions === 1 ? 'One question first:' : `${f.number(a.questions)} questions first:`} ${f.say(a.first)}`,
  'intake.finding-nothing-new': (a: { alreadyHeld: number }, f: Format) =>
    `Nothing new: all ${f.number(a.alreadyHeld)} readings of this file are held already.`,
  'intake.finding-same-file': (a: { name: string }, _f: Format) =>
    `This very file was taken in before, as "${a.name}".`,
  'intake.finding-none': (a: { rejected: number }, f: Format) =>
    `No line of this file is a reading; ${f.number(a.rejected)} ${s(a.rejected, 'was', 'were')} rejected.`,
  'intake.finding-reading': (a: { lines: number }, f: Format) => `Reading: ${f.number(a.lines)} lines so far.`,
  'intake.queue-ready': (a: { lines: number; accepted: number; questions: number }, f: Format) =>
    `${f.number(a.lines)} ${s(a.lines, 'line')}, ${f.number(a.accepted)} accepted, ${a.questions === 0 ? 'no question' : `${f.number(a.questions)} ${s(a.questions, 'question')}`}`,
  'intake.queue-question': (a: { questions: number }, f: Format) =>
    a.questions === 1 ? 'needs one answer' : `needs ${f.number(a.questions)} answers`,
  'intake.taken-in': (a: { accepted: number; alreadyHeld: number; rejected: number }, f: Format) =>
    `${f.number(a.accepted)} ${s(a.accepted, 'reading')} taken in${a.alreadyHeld > 0 ? `, ${f.number(a.alreadyHeld)} held already` : ''}${a.rejected > 0 ? `, ${f.number(a.rejected)} ${s(a.rejected, 'line')} rejected` : ''}.`,
  'intake.waits': (a: { questions: number }, f: Format) =>
    `Waits for ${f.number(a.questions)} ${s(a.questions, 'answer')}; nothing of it is stored.`,
};

/** Puts together what one pass over a file came to: questions, roles, notices, accounting, the recipe it would make. */
import type {
  IntakeNotice,
  PreviewLine,
  QuestionCard,
  QuestionChoice,
  ReasonCount,
  RoleRow,
} from '../contract/models/intake-model.ts';
import type { Problem } from '../contract/problems.ts';
import { type Said, said, say } from '../text/said.ts';
import { civilFields, civilTime, msPerDay } from '../time/civil-time.ts';
import { type TorqueUnit, torqueUnitCodes } from '../units/torque-unit.ts';
import type { ColumnFinding } from './column-roles.ts';
import {
  dateMs,
  dateStep,
  orderBits,
  readDate,
  readNumericDate,
  readOk,
  readTime,
  timeMs,
  timeStep,
} from './date-cell.ts';
import type { DumpReading, RejectedRow } from './dump-reading.ts';
import { type Encoding, encodingNames } from './encoding.ts';
import type { Example, Interpreter } from './interpreter.ts';
import { numberDecimals, numberTail, numberValue, readAnyNumber } from './number-cell.ts';
import { underOrder } from './other-order.ts';
import { ownResultOf } from './own-result-words.ts';
import { type NamePlan, nameInFileName, type ReadPlan } from './read-plan.ts';
import type { Recipe } from './recipe.ts';
import { blanks, type Tokeniser } from './tokeniser.ts';
import { unitOfText } from './unit-words.ts';
import { type DateOrder, type DecimalMark, type NoticeKind, roles } from './vocabulary.ts';

/** What the pass gathered beside the interpreter. */
export interface PassFacts {
  readonly fileName: string;
  readonly bytes: number;
  readonly encoding: Encoding;
  readonly lineTotal: number;
  readonly firstLines: readonly PreviewLine[];
  readonly firstRejected: readonly RejectedRow[];
  /** False while only the first lines were read. */
  readonly complete: boolean;
}

/** A file that cannot be used. */
export function refusedReading(bytes: number, sentence: Said): DumpReading {
  const problem: Problem = { kind: 'refused-input', said: sentence, message: say(sentence) };
  return {
    problem,
    bytes,
    lineTotal: 0,
    headerLines: 0,
    blankLines: 0,
    rejectedLines: 0,
    acceptedLines: 0,
    accepted: 0,
    rejected: 0,
    rejectedByReason: [],
    firstRejected: [],
    questions: [],
    notices: [],
    layout: null,
    firstLines: [],
    roles: [],
    recipeInfo: null,
    recipe: null,
    facts: {},
    readOrder: 'dmy',
    readMark: 'point',
    secondTable: null,
    newestFirst: false,
    hasTimes: 'none',
    atStep: 0,
    sequence: null,
    from: null,
    to: null,
    units: {},
  };
}

/** Everything known after the pass. */
export function sumUp(plan: ReadPlan, pass: Interpreter, facts: PassFacts): DumpReading {
  const order = settledOrder(plan, pass);
  const mark = settledMark(plan, pass);
  const questions = pass.accepted + pass.rejected === 0 ? [] : questionsOf(plan, pass, order, mark);
  if (facts.complete && pass.accepted === 0 && questions.every((question) => !canRescue(question.id))) {
    const [first] = reasonsOf(pass);
    if (!first) return refusedReading(facts.bytes, said('intake.refused-no-rows', {}));
    // How it was read stays in sight, so that a column that was taken for another can be put right.
    return {
      ...refusedReading(facts.bytes, said('intake.refused-all-rejected', { count: pass.rejected, reason: first.said })),
      lineTotal: facts.lineTotal,
      firstLines: facts.firstLines,
      roles: roleRows(plan, pass, order, mark, questions),
      layout: layoutOf(plan, pass, facts, order, mark),
    };
  }
  return {
    problem: null,
    bytes: facts.bytes,
    lineTotal: facts.lineTotal,
    headerLines: pass.headerLines,
    blankLines: pass.blankLines,
    rejectedLines: pass.rejectedLines,
    acceptedLines: pass.acceptedLines,
    accepted: pass.accepted,
    rejected: pass.rejected,
    rejectedByReason: reasonsOf(pass),
    firstRejected: facts.firstRejected,
    questions,
    notices: noticesOf(pass),
    layout: layoutOf(plan, pass, facts, order, mark),
    firstLines: facts.firstLines,
    roles: roleRows(plan, pass, order, mark, questions),
    recipeInfo: {
      fingerprint: plan.fingerprint,
      name: plan.recipe?.name ?? null,
      used: plan.recipe !== null,
      said: plan.recipe ? said('intake.recipe-used', { name: plan.recipe.name }) : plan.recipeRefused,
    },
    recipe: recipeOf(plan, facts.fileName, order, mark),
    facts: { ...plan.shape.facts, ...pass.laterFacts },
    readOrder: plan.order,
    readMark: plan.mark,
    secondTable: pass.secondTable,
    newestFirst: pass.evidence.newestFirst,
    hasTimes: pass.evidence.withTime === 0 ? 'none' : pass.evidence.withoutTime === 0 ? 'all' : 'some',
    atStep: pass.evidence.coarsestStep,
    sequence: pass.evidence.sequenceKind,
    from: pass.evidence.withTime > 0 ? pass.evidence.from : null,
    to: pass.evidence.withTime > 0 ? pass.evidence.to : null,
    units: pass.evidence.units(),
  };
}

function layoutOf(
  plan: ReadPlan,
  pass: Interpreter,
  facts: PassFacts,
  order: DateOrder | null,
  mark: DecimalMark | null,
): NonNullable<DumpReading['layout']> {
  const encoding = encodingNames[facts.encoding];
  const delimiter = delimiterSaid(plan.dialect.delimiter);
  return {
    encoding,
    delimiter,
    said: said('intake.layout', { encoding, delimiter, secondTable: pass.secondTable }),
    dateOrder: order,
    decimalMark: mark,
    unit: plan.unit,
  };
}

/** Whether an answer to this question may turn rejected lines into readings. */
function canRescue(question: string): boolean {
  return question.startsWith('role:') || question === 'date-order' || question === 'decimal-mark';
}

/** Orders that every date of the file allows; 7 when no date leaves a choice. */
function viableOrders(pass: Interpreter): number {
  let viable = 7;
  for (let mask = 1; mask < 8; mask++) if ((pass.orderCounts[mask] ?? 0) > 0) viable &= mask;
  return viable;
}

const orderOfBits: Readonly<Record<number, DateOrder>> = { 1: 'dmy', 2: 'mdy', 4: 'ymd' };

/** The order in force; null when it is not settled, or no date leaves a choice. */
function settledOrder(plan: ReadPlan, pass: Interpreter): DateOrder | null {
  if (plan.orderBy !== null) return plan.order;
  if (pass.orderCounts.every((count) => count === 0)) return null;
  return orderOfBits[viableOrders(pass)] ?? null;
}

function settledMark(plan: ReadPlan, pass: Interpreter): DecimalMark | null {
  if (plan.markBy !== null) return plan.mark;
  const [, point = 0, comma = 0] = pass.markCounts;
  if (point > 0 && comma === 0) return 'point';
  if (comma > 0 && point === 0) return 'comma';
  return null;
}

function questionsOf(
  plan: ReadPlan,
  pass: Interpreter,
  order: DateOrder | null,
  mark: DecimalMark | null,
): QuestionCard[] {
  const questions: QuestionCard[] = [];
  for (const column of plan.columns) {
    if (!column.question) continue;
    questions.push({
      id: `role:${column.index + 1}`,
      text: said('intake.q-role', { column: column.index + 1, name: column.name }),
      choices: column.question.choices.map((choice) => ({
        value: choice.role,
        meaning: said('intake.role', { role: choice.role }),
        evidence: choice.evidence.length > 0 ? choice.evidence : [said('intake.ev-none', {})],
        leaning: choice.leaning,
        picture: null,
      })),
      free: false,
      alsoIn: [],
    });
  }
  const dated = plan.at.date >= 0 || plan.at['date-time'] >= 0;
  if (dated && order === null && plan.orderBy === null && pass.orderCounts.some((count) => count > 0)) {
    questions.push(orderQuestion(plan, pass));
  }
  const [, point = 0, comma = 0, maybePoint = 0, maybeComma = 0] = pass.markCounts;
  if (mark === null && point + comma + maybePoint + maybeComma > 0) questions.push(markQuestion(pass));
  if (plan.unit === null && plan.unitBy === null && pass.evidence.rowsWithoutUnit > 0)
    questions.push(unitQuestion(pass));
  if (plan.tool.by === null || (plan.tool.by === 'column' && pass.evidence.namelessTool > 0)) {
    if (
      !questions.some(
        (question) => question.id.startsWith('role:') && question.choices.some((choice) => choice.value === 'tool'),
      )
    ) {
      questions.push(nameQuestion('tool', plan.tool));
    }
  }
  if (plan.joint.by === null || (plan.joint.by === 'column' && pass.evidence.namelessJoint === pass.accepted)) {
    if (
      !questions.some(
        (question) => question.id.startsWith('role:') && question.choices.some((choice) => choice.value === 'joint'),
      )
    ) {
      questions.push(nameQuestion('joint', plan.joint));
    }
  }
  return questions;
}

function exampleSaid(example: Example | null | undefined): Said[] {
  return example ? [said('intake.ev-line', { line: example.line, text: example.text })] : [];
}

function orderQuestion(plan: ReadPlan, pass: Interpreter): QuestionCard {
  const viable = viableOrders(pass);
  const contradiction = viable === 0;
  let mentioned = 0;
  for (let mask = 1; mask < 8; mask++) if ((pass.orderCounts[mask] ?? 0) > 0) mentioned |= mask;
  const bits = contradiction ? mentioned : viable;
  const pictures = new Map<DateOrder, number[]>();
  const choices: QuestionChoice[] = [];
  const leaning = leaningOrder(plan, pass, bits);
  for (const bit of [1, 2, 4]) {
    const order = orderOfBits[bit];
    if (!order || (bits & bit) === 0) continue;
    const days = daysUnder(plan.order, order, pass.evidence.days);
    pictures.set(order, days);
    let allowed = 0;
    let refused = 0;
    let example: Example | null = null;
    let against: Example | null = null;
    for (let mask = 1; mask < 8; mask++) {
      const count = pass.orderCounts[mask] ?? 0;
      if (count === 0) continue;
      if (mask & bit) {
        allowed += count;
        example ??= pass.orderExamples[mask] ?? null;
      } else {
        refused += count;
        against ??= pass.orderExamples[mask] ?? null;
      }
    }
    const evidence: Said[] = [
      said('intake.ev-order-allowed', { allowed, of: allowed + refused }),
      ...exampleSaid(example),
    ];
    if (against)
      evidence.push(said('intake.ev-order-against', { count: refused, line: against.line, text: against.text }));
    const [first] = days;
    const last = days.at(-1);
    if (first !== undefined && last !== undefined)
      evidence.push(said('intake.ev-order-days', { from: first, to: last, days: days.length }));
    choices.push({
      value: order,
      meaning: said('intake.order', { order, day: dayOfExample(example, bit, plan.thisYear) }),
      evidence,
      leaning: leaning === order,
      picture: null,
    });
  }
  const all = [...pictures.values()].flat();
  const from = all.length > 0 ? yearStart(Math.min(...all)) : 0;
  const to = all.length > 0 ? yearStart(Math.max(...all) + 366 * msPerDay) : 0;
  const withPictures = choices.map((choice) => ({
    ...choice,
    picture: { days: (pictures.get(choice.value as DateOrder) ?? []).slice(0, 400), held: [], from, to },
  }));
  const shown = pass.orderExamples.find((example) => example !== null) ?? null;
  return {
    id: 'date-order',
    text: contradiction ? said('intake.q-order-both', {}) : said('intake.q-order', { text: shown?.text ?? '' }),
    choices: withPictures,
    free: false,
    alsoIn: [],
  };
}

const yearStart = (at: number): number => civilTime(civilFields(at).year, 1, 1) ?? at;

/** First date of the column under an order, for the meaning of the choice. */
function dayOfExample(example: Example | null, bit: number, thisYear: number): number | null {
  if (!example) return null;
  const m = /^(\d{1,2})[-/. ]?(\d{1,2})[-/. ]?(\d{2,4})/.exec(example.text) ?? null;
  if (!m) return null;
  const [a, b, c] = [Number(m[1]), Number(m[2]), Number(m[3])];
  const year = (m[3] ?? '').length > 2 ? c : c >= 70 ? 1900 + c : 2000 + c;
  void thisYear;
  if (bit === 1) return civilTime(year, b, a);
  if (bit === 2) return civilTime(year, a, b);
  return civilTime(2000 + a, b, c);
}

/** The file's days read under another order than the one they were read under. */
function daysUnder(from: DateOrder, to: DateOrder, days: ReadonlyMap<number, number>): number[] {
  const out = new Set<number>();
  for (const day of days.keys()) {
    const at = underOrder(day, from, to);
    if (at !== null) out.add(at);
  }
  return [...out].sort((x, y) => x - y);
}

/**
 * The order under which the file's days lie closest together; marked only when the other is at least four times wider.
 * A leaning, never an answer: a file may well be a collection of odd days.
 */
function leaningOrder(plan: ReadPlan, pass: Interpreter, bits: number): DateOrder | null {
  const spans: { order: DateOrder; span: number }[] = [];
  for (const bit of [1, 2, 4]) {
    const order = orderOfBits[bit];
    if (!order || (bits & bit) === 0) continue;
    const days = daysUnder(plan.order, order, pass.evidence.days);
    const [first = 0] = days;
    spans.push({ order, span: (days.at(-1) ?? first) - first + msPerDay });
  }
  spans.sort((a, b) => a.span - b.span);
  const [best, second] = spans;
  return best && second && second.span >= 4 * best.span ? best.order : null;
}

function markQuestion(pass: Interpreter): QuestionCard {
  const [, point = 0, comma = 0, maybePoint = 0, maybeComma = 0] = pass.markCounts;
  const examples = pass.markExamples;
  const choice = (value: DecimalMark): QuestionChoice => {
    const sure = value === 'point' ? point : comma;
    const sureExample = examples[value === 'point' ? 1 : 2];
    const maybe = [...exampleSaid(examples[3]), ...exampleSaid(examples[4])];
    const sample = examples[3] ?? examples[4] ?? examples[1] ?? examples[2];
    return {
      value,
      meaning: said('intake.mark', { mark: value, example: sample?.text ?? null }),
      evidence:
        sure > 0
          ? [said('intake.ev-mark-sure', { count: sure }), ...exampleSaid(sureExample)]
          : [said('intake.ev-mark-maybe', { count: maybePoint + maybeComma }), ...maybe],
      // Wrenches write digits, seldom thousands: the mark in the file is more likely its decimal mark.
      leaning: point === 0 && comma === 0 && (value === 'point' ? maybeComma === 0 : maybePoint === 0),
      picture: null,
    };
  };
  return {
    id: 'decimal-mark',
    text:
      point > 0 && comma > 0
        ? said('intake.q-mark-both', {})
        : said('intake.q-mark', { text: (examples[3] ?? examples[4])?.text ?? '' }),
    choices: [choice('comma'), choice('point')],
    free: false,
    alsoIn: [],
  };
}

function unitQuestion(pass: Interpreter): QuestionCard {
  return {
    id: 'torque-unit',
    text: said('intake.q-unit', { count: pass.evidence.rowsWithoutUnit }),
    choices: torqueUnitCodes.map((unit: TorqueUnit) => ({
      value: unit,
      meaning: said('intake.unit', { unit }),
      evidence: [said('intake.ev-unit-range', { min: pass.evidence.torqueMin, max: pass.evidence.torqueMax, unit })],
      leaning: false,
      picture: null,
    })),
    free: false,
    alsoIn: [],
  };
}

function nameQuestion(role: 'tool' | 'joint', plan: NamePlan): QuestionCard {
  const choices: QuestionChoice[] = plan.proposals.map((proposal) => ({
    value: proposal.name,
    meaning: said('intake.name-is', { role, name: proposal.name }),
    evidence: [proposal.evidence],
    leaning: false,
    picture: null,
  }));
  if (role === 'joint') {
    choices.push({
      value: 'none',
      meaning: said('intake.no-joint', {}),
      evidence: [said('intake.ev-no-joint', {})],
      leaning: false,
      picture: null,
    });
  }
  return {
    id: role,
    text: said(role === 'tool' ? 'intake.q-tool' : 'intake.q-joint', {}),
    choices,
    free: true,
    alsoIn: [],
  };
}

function delimiterSaid(delimiter: string): Said {
  return said('intake.delimiter', { delimiter: delimiter === blanks ? 'blanks' : delimiter });
}

function reasonsOf(pass: Interpreter): ReasonCount[] {
  return [...pass.rejectedBy]
    .sort((a, b) => b[1] - a[1])
    .map(([reason, count]) => ({ reason, said: said('intake.reason', { reason }), count }));
}

function noticesOf(pass: Interpreter): IntakeNotice[] {
  const notices: IntakeNotice[] = [];
  for (const [kind, noticed] of pass.evidence.noticed) {
    notices.push({
      kind,
      said: said('intake.notice', { kind: kind as NoticeKind, count: noticed.count }),
      lines: noticed.lines,
      count: noticed.count,
    });
  }
  return notices;
}

function roleRows(
  plan: ReadPlan,
  pass: Interpreter,
  order: DateOrder | null,
  mark: DecimalMark | null,
  questions: readonly QuestionCard[],
): RoleRow[] {
  const rows: RoleRow[] = plan.columns.map((column) => {
    const isDate = column.role === 'date' || column.role === 'date-time';
    const isNumber = column.role === 'torque' || column.role === 'angle';
    const question = column.question
      ? `role:${column.index + 1}`
      : isDate && questions.some((card) => card.id === 'date-order')
        ? 'date-order'
        : column.role === 'torque' && questions.some((card) => card.id === 'decimal-mark')
          ? 'decimal-mark'
          : column.role === 'torque' && questions.some((card) => card.id === 'torque-unit')
            ? 'torque-unit'
            : null;
    const evidence = [...column.evidence];
    if (isDate && order !== null && plan.orderBy === null) evidence.unshift(orderEvidence(pass, order));
    if (isDate && plan.orderBy === 'stated' && plan.orderStated !== null)
      evidence.unshift(said('intake.ev-order-stated', { text: plan.orderStated }));
    if (isDate && plan.orderBy === 'held' && plan.held)
      evidence.unshift(said('intake.ev-order-held', { order: plan.order, ...plan.held }));
    if (isNumber && plan.markBy === 'held' && plan.held)
      evidence.unshift(said('intake.ev-mark-held', { mark: plan.mark, ...plan.held }));
    if (isNumber && mark !== null && plan.markBy === null && !column.question) {
      const example = pass.markExamples[mark === 'point' ? 1 : 2];
      if (example) evidence.unshift(said('intake.ev-mark', { mark, line: example.line, text: example.text }));
    }
    if (column.role === 'torque' && plan.unit !== null)
      evidence.push(said('intake.ev-unit-from', { unit: plan.unit, by: plan.unitBy ?? 'column' }));
    return {
      column: column.index + 1,
      name: column.name,
      role: column.role,
      asWritten: column.firstCell.slice(0, 120),
      readAs: readAs(column, order, mark, plan.unit ?? unitBeside(plan), question, plan.thisYear),
      evidence: evidence.length > 0 ? evidence : [said('intake.ev-none', {})],
      by: column.by,
      question,
      choices: roles,
    };
  });
  for (const [role, name] of [
    ['tool', plan.tool],
    ['operator', plan.operator],
    ['joint', plan.joint],
  ] as const) {
    if (name.value === null) continue;
    rows.push({
      column: 0,
      name: name.source?.from === 'preamble' ? name.source.key : null,
      role,
      asWritten: name.value.slice(0, 120),
      readAs: said('intake.name-is', { role, name: name.value }),
      evidence: [said('intake.ev-name-from', { by: name.by ?? 'column' })],
      by: name.by === 'recipe' ? 'recipe' : name.by === 'answer' || name.by === 'set' ? 'answer' : 'found',
      question: null,
      choices: [],
    });
  }
  return rows;
}

function orderEvidence(pass: Interpreter, order: DateOrder): Said {
  const bit = order === 'dmy' ? 1 : order === 'mdy' ? 2 : 4;
  const example = pass.orderExamples[bit];
  return example
    ? said('intake.ev-order-only', { order, line: example.line, text: example.text })
    : said('intake.ev-order-all', { order });
}

/** The unit in the first cell of the unit's own column. */
function unitBeside(plan: ReadPlan): TorqueUnit | null {
  const column = plan.columns[plan.at['torque-unit']];
  return column ? unitOfText(column.firstCell) : null;
}

/** What the column's first cell was read as: the reader checks one value with the eye. */
function readAs(
  column: ColumnFinding,
  order: DateOrder | null,
  mark: DecimalMark | null,
  unit: TorqueUnit | null,
  question: string | null,
  thisYear: number,
): Said {
  if (question !== null) return said('intake.read-open', { question });
  const { role, firstCell } = column;
  const plain = said('intake.role', { role });
  if (firstCell === '') return plain;
  if (role === 'torque' || role === 'angle' || role === 'target' || role === 'low-limit' || role === 'high-limit') {
    if (!readAnyNumber(firstCell, mark)) return plain;
    const glued = unitOfText(numberTail);
    return said('intake.read-number', {
      value: numberValue,
      decimals: numberDecimals,
      unit: role === 'angle' ? 'deg' : (glued ?? unit),
    });
  }
  if (role === 'date' || role === 'date-time') {
    const bit = orderBits[order ?? 'dmy'];
    if (column.numericDate) {
      const isNumber = readAnyNumber(firstCell, firstCell.includes(',') ? 'comma' : 'point');
      if (!isNumber || !readNumericDate(numberValue, column.numericDate)) return plain;
    } else if (readDate(firstCell, 0, firstCell.length, bit, thisYear) !== readOk) return plain;
    return said('intake.read-date', { at: dateMs, hasTime: dateStep !== 4 });
  }
  if (role === 'time' && readTime(firstCell, 0, firstCell.length) === readOk)
    return said('intake.read-time', { at: timeMs, step: timeStep });
  if (role === 'torque-unit') {
    const named = unitOfText(firstCell);
    return named === null ? plain : said('intake.unit', { unit: named });
  }
  if (role === 'own-result') {
    const own = ownResultOf(firstCell);
    return own === null ? said('intake.read-own-unknown', {}) : said('intake.read-own', { good: own });
  }
  if (role === 'tool' || role === 'operator' || role === 'joint')
    return said('intake.name-is', { role, name: firstCell.slice(0, 120) });
  return plain;
}

/** The recipe that this file would leave behind once its questions are answered. */
function recipeOf(plan: ReadPlan, fileName: string, order: DateOrder | null, mark: DecimalMark | null): Recipe {
  const stem = fileName.replace(/\.[A-Za-z0-9]{1,5}$/, '');
  const fromAnswer = (name: NamePlan): Recipe['tool'] => (name.by === 'column' ? null : name.source);
  return {
    format: 'tightbook-recipe-1',
    fingerprint: plan.fingerprint,
    name: (plan.recipe?.name ?? stem).slice(0, 200),
    layout: {
      delimiter: plan.dialect.delimiter === blanks ? ' ' : plan.dialect.delimiter,
      quote: plan.dialect.quote,
      escape: plan.dialect.escape,
      header: plan.shape.header ? plan.shape.header.map((name) => name.slice(0, 500)).slice(0, 500) : null,
      preambleKeys: plan.preambleKeys.map((key) => key.slice(0, 500)).slice(0, 200),
      columns: Math.min(500, plan.shape.width),
    },
    roles: plan.columns.map((column) => column.role).slice(0, 500),
    // Found once, kept: a later file whose dates decide nothing is read as this one was, and refutes it if it must.
    decimalMark: mark,
    dateOrder: order,
    unit: plan.unitBy === 'answer' || plan.unitBy === 'set' || plan.unitBy === 'recipe' ? plan.unit : null,
    // A tool is one wrench's name: a layout is shared by many, so only where the name comes from is kept, not the name.
    // A name that was given and stands in the file name comes from there in the next file too.
    tool:
      plan.tool.source?.from === 'answer'
        ? nameInFileName(fileName) === plan.tool.value
          ? { from: 'file-name' }
          : null
        : fromAnswer(plan.tool),
    operator: plan.operator.source?.from === 'answer' ? null : fromAnswer(plan.operator),
    joint: fromAnswer(plan.joint),
  };
}

/** One of the first lines as the screen shows it. */
export function previewLine(record: Tokeniser, kind: Interpreter['lastKind'], plan: ReadPlan): PreviewLine {
  const text = record.text.slice(record.from, Math.min(record.to, record.from + 400));
  const spans = [];
  if (kind === 'data' || kind === 'rejected') {
    for (let i = 0; i < record.count && i < plan.columns.length; i++) {
      const role = plan.columns[i]?.role ?? 'ignore';
      const from = (record.starts[i] ?? 0) - record.from;
      const to = Math.min((record.ends[i] ?? 0) - record.from, text.length);
      if (role !== 'ignore' && to > from) spans.push({ from, to, column: i + 1, role });
    }
  }
  return {
    line: record.line,
    text,
    cut: record.to - record.from > 400,
    kind,
    spans,
    said: kind === 'data' || kind === 'rejected' || kind === 'blank' ? null : said('intake.line-kind', { kind }),
  };
}

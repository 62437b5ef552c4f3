/** How one file will be read: everything that the first lines, a recipe and the answers settle before the pass. */
import { type Said, said } from '../text/said.ts';
import { civilFields } from '../time/civil-time.ts';
import type { TorqueUnit } from '../units/torque-unit.ts';
import { isTorqueUnit } from '../units/torque-unit.ts';
import { type ColumnFinding, findRoles } from './column-roles.ts';
import { dateOrders, readDate } from './date-cell.ts';
import { cut, type DialectFinding, findDialect, linesOfRecords } from './dialect.ts';
import { fingerprintOf } from './fingerprint.ts';
import { plainWords, roleOfHeader } from './header-words.ts';
import { numberMark, readAnyNumber } from './number-cell.ts';
import type { NameSource, Recipe } from './recipe.ts';
import { findTable, type TableShape } from './table-shape.ts';
import type { Dialect } from './tokeniser.ts';
import { unitOfText } from './unit-words.ts';
import { type DateOrder, type DecimalMark, isRole, type Role } from './vocabulary.ts';

export interface KnownJoint {
  readonly name: string;
  readonly unit: TorqueUnit | null;
  readonly low: number | null;
  readonly target: number | null;
  readonly high: number | null;
  /** Absent: cw. */
  readonly direction?: 'cw' | 'ccw' | undefined;
  /** Other spellings in files that were merged with this joint. */
  readonly alsoWritten?: readonly string[] | undefined;
}

export interface KnownNames {
  readonly tools: readonly string[];
  readonly operators: readonly string[];
  readonly joints: readonly KnownJoint[];
}

/** What is held settles what the file alone leaves open. */
export interface HeldEvidence {
  readonly dateOrder: DateOrder | null;
  readonly decimalMark: DecimalMark | null;
  /** Readings that are held already when read so; 0: known from `files` held files of the layout and tool. */
  readonly readings: number;
  readonly files: number;
}

export interface PlanOptions {
  readonly fileName: string;
  readonly answers: Readonly<Record<string, string>>;
  readonly set: {
    readonly tool?: string | undefined;
    readonly operator?: string | undefined;
    readonly joint?: string | undefined;
    readonly unit?: TorqueUnit | undefined;
  };
  recipeFor(fingerprint: string): Recipe | null;
  /** What held readings and files of the same layout and tool say of this file's dates and decimals. */
  readonly held?: HeldEvidence | undefined;
  readonly known: KnownNames;
  readonly now: number;
}

/** A wider table is no list of a wrench's readings: nobody can say what each column holds. */
const mostColumns = 500;

/** What earlier passes over the same file refuted. */
export interface Refuted {
  readonly order: DateOrder | null;
  readonly mark: DecimalMark | null;
  /** The saved recipe does not fit this file. */
  readonly recipe: boolean;
}

export const nothingRefuted: Refuted = { order: null, mark: null, recipe: false };

/** Where a setting comes from; null: not settled, the leading guess is used for the preview. */
export type SettledBy =
  | 'answer'
  | 'set'
  | 'recipe'
  | 'column'
  | 'header'
  | 'preamble'
  | 'file-name'
  | 'register'
  | 'stated'
  | 'held'
  | null;

export interface NamePlan {
  /** Name for rows whose column says nothing (or when there is no column). */
  readonly value: string | null;
  readonly by: SettledBy;
  /** Names to propose when it must be asked, with what speaks for each. */
  readonly proposals: readonly { readonly name: string; readonly evidence: Said }[];
  readonly source: NameSource | null;
}

export interface ReadPlan {
  readonly dialectFinding: DialectFinding;
  readonly dialect: Dialect;
  readonly shape: TableShape;
  /** Physical lines of the first header record and of the first data record: what is above is preamble, header. */
  readonly headerLine: number;
  readonly dataLine: number;
  readonly headerRecords: readonly (readonly string[])[];
  readonly preambleKeys: readonly string[];
  /** First cells of the records above the header. */
  readonly preambleTexts: readonly string[];
  readonly columns: readonly ColumnFinding[];
  /** Column of each role, -1: none. */
  readonly at: Readonly<Record<Role | 'batch', number>>;
  readonly order: DateOrder;
  readonly orderBy: SettledBy;
  readonly orderStated: string | null;
  readonly mark: DecimalMark;
  readonly markBy: SettledBy;
  readonly held: { readonly readings: number; readonly files: number } | null;
  readonly unit: TorqueUnit | null;
  readonly unitBy: SettledBy;
  readonly tool: NamePlan;
  readonly operator: NamePlan;
  readonly joint: NamePlan;
  readonly fingerprint: string;
  readonly recipe: Recipe | null;
  /** A saved recipe that was not applied, and why. */
  readonly recipeRefused: Said | null;
  readonly thisYear: number;
}

/**
 * Plans the reading of a file from its first lines.
 *
 * @param head decoded text from the start, without the byte order mark; `whole` when it is the whole file
 */
export function makePlan(
  head: string,
  whole: boolean,
  options: PlanOptions,
  refuted: Refuted,
): { readonly plan: ReadPlan } | { readonly problem: Said } {
  if (head.trim() === '') return { problem: said('intake.refused-empty', {}) };
  if (/^\s*<(?:!doctype|html|\?xml|table|workbook)/i.test(head)) return { problem: said('intake.refused-markup', {}) };
  const dialectFinding = findDialect(head, whole);
  const { dialect } = dialectFinding;
  const records = cut(head, dialect, whole, dialectFinding.width);
  const sepRecords = dialectFinding.sepLine ? 1 : 0;
  const table = records.slice(sepRecords);
  const shape = findTable(table);
  if (shape.width > mostColumns) return { problem: said('intake.refused-wide', { columns: shape.width }) };
  const first = shape.preamble + shape.headerRows;
  const body = table
    .slice(first)
    .filter(
      (record) =>
        record.length >= Math.min(shape.width, shape.shortWidth ?? shape.width) &&
        record.some((cell) => cell.trim() !== ''),
    );
  const preambleKeys = Object.keys(shape.facts);
  const fingerprint = fingerprintOf(dialect, shape, preambleKeys);
  const saved = options.recipeFor(fingerprint);
  let recipe: Recipe | null = null;
  let recipeRefused: Said | null = null;
  if (saved) {
    if (refuted.recipe) recipeRefused = said('intake.recipe-refuted', { name: saved.name });
    else if (saved.roles.length !== shape.width) recipeRefused = said('intake.recipe-width', { name: saved.name });
    else recipe = saved;
  }
  const fixed = Array.from({ length: shape.width }, (_, i) => {
    const answer = options.answers[`role:${i + 1}`];
    if (answer !== undefined && isRole(answer)) return { role: answer, by: 'answer' as const };
    const role = recipe?.roles[i];
    return role ? { role, by: 'recipe' as const } : null;
  });
  const known = {
    tools: options.known.tools,
    operators: options.known.operators,
    joints: options.known.joints.map((joint) => joint.name),
  };
  if (shape.header && everyRowHasOneMore(shape, body)) {
    return {
      problem: said('intake.refused-more-cells', {
        header: shape.header.filter((name) => name !== '').length,
        row: shape.width,
      }),
    };
  }
  const found = findRoles(shape.header, shape.width, body, known, fixed);
  if (found.problem) return { problem: found.problem };
  const columns = found.columns;
  leadByGuess(columns, body);
  const at = columnsByRole(columns);
  const thisYear = civilFields(options.now).year;

  const order = findOrder(columns, body, options, recipe, shape, thisYear);
  const mark = findMark(columns, body, options, recipe);
  const unit = findUnit(columns, at, options, recipe, shape);
  // By line and not by record: where quotes are broken the pass may cut the first lines otherwise than the sample.
  const lines = linesOfRecords(head, dialect, whole, dialectFinding.width, sepRecords + first + 1);
  const names = (role: 'tool' | 'joint' | 'operator'): boolean =>
    at[role] >= 0 && body.some((record) => (record[at[role]] ?? '').trim() !== '');
  return {
    plan: {
      dialectFinding,
      dialect,
      shape,
      headerLine: lines[sepRecords + shape.preamble] ?? 1,
      dataLine: lines[sepRecords + first] ?? 1,
      headerRecords: table.slice(shape.preamble, first),
      preambleKeys,
      preambleTexts: table
        .slice(0, shape.preamble)
        .map((record) => record.find((cell) => cell.trim() !== '') ?? '')
        .filter((cell) => cell !== ''),
      columns,
      at,
      order: order.by === null && refuted.order ? refuted.order : order.value,
      orderBy: order.by,
      orderStated: order.stated,
      mark: mark.by === null && refuted.mark ? refuted.mark : mark.value,
      markBy: mark.by,
      held: options.held ? { readings: options.held.readings, files: options.held.files } : null,
      unit: unit.value,
      unitBy: unit.by,
      tool: findName('tool', at.tool >= 0, names('tool'), options, recipe, shape, body, at),
      operator: findName('operator', at.operator >= 0, names('operator'), options, recipe, shape, body, at),
      joint: findName('joint', at.joint >= 0, names('joint'), options, recipe, shape, body, at),
      fingerprint,
      recipe,
      recipeRefused,
      thisYear,
    },
  };
}

/** Every data line has the same surplus over the header, and it is not empty: commas as decimal marks and as delimiters. */
function everyRowHasOneMore(shape: TableShape, body: readonly (readonly string[])[]): boolean {
  const names = shape.header?.filter((name) => name !== '').length ?? 0;
  if (body.length < 2 || names < 2 || names >= shape.width) return false;
  // An unnamed column in the middle is a column without a name; names that end early are a table that was cut apart.
  const trailing = shape.header?.slice(names).every((name) => name === '') === true;
  if (!trailing) return false;
  return (
    body.every((record) =>
      record.slice(names, shape.width).some((cell) => /^\d{1,4}$/.test(cell.trim()) || cell.trim() !== ''),
    ) && hasCommaPairs(body)
  );
}

function hasCommaPairs(body: readonly (readonly string[])[]): boolean {
  return body.every((record) =>
    record.some((cell, i) => /^[+-]?\d{1,5}$/.test(cell.trim()) && /^\d{1,3}$/.test((record[i + 1] ?? '').trim())),
  );
}

/** While a role is asked, the rows of the preview are read by the likeliest guess; nothing is stored by it. */
function leadByGuess(columns: readonly ColumnFinding[], body: readonly (readonly string[])[]): void {
  if (columns.some((column) => column.role === 'torque')) return;
  for (const wanted of ['torque', 'angle'] as const) {
    if (columns.some((column) => column.role === wanted)) continue;
    const open = columns.filter(
      (column) => column.question?.choices.some((choice) => choice.role === wanted) && column.role === 'ignore',
    );
    const withDecimals = open.find((column) => body.some((record) => /\d[.,]\d/.test(record[column.index] ?? '')));
    const pick = withDecimals ?? open[0];
    if (pick) pick.role = wanted;
  }
}

function columnsByRole(columns: readonly ColumnFinding[]): Record<Role | 'batch', number> {
  const of = (role: Role, batch = false): number =>
    columns.find((column) => column.role === role && column.isBatch === batch)?.index ?? -1;
  return {
    date: of('date'),
    time: of('time'),
    'date-time': of('date-time'),
    torque: of('torque'),
    'torque-unit': of('torque-unit'),
    angle: of('angle'),
    tool: of('tool'),
    operator: of('operator'),
    joint: of('joint'),
    'own-result': of('own-result'),
    sequence: of('sequence'),
    'batch-position': of('batch-position'),
    'batch-size': of('batch-size'),
    target: of('target'),
    'low-limit': of('low-limit'),
    'high-limit': of('high-limit'),
    fastener: of('fastener'),
    station: of('station'),
    note: of('note'),
    ignore: -1,
    batch: of('fastener', true),
  };
}

function findOrder(
  columns: readonly ColumnFinding[],
  body: readonly (readonly string[])[],
  options: PlanOptions,
  recipe: Recipe | null,
  shape: TableShape,
  thisYear: number,
): { value: DateOrder; by: SettledBy; stated: string | null } {
  const answer = options.answers['date-order'];
  if (answer === 'dmy' || answer === 'mdy' || answer === 'ymd') return { value: answer, by: 'answer', stated: null };
  if (recipe?.dateOrder) return { value: recipe.dateOrder, by: 'recipe', stated: null };
  const dates = columns.filter((column) => column.role === 'date' || column.role === 'date-time');
  const texts = [...dates.map((column) => column.name ?? ''), ...Object.entries(shape.facts).flat()];
  for (const text of texts) {
    const stated = statedOrder(text);
    if (stated) return { value: stated, by: 'stated', stated: text };
  }
  if (options.held?.dateOrder) return { value: options.held.dateOrder, by: 'held', stated: null };
  let viable = 7;
  for (const column of dates) {
    for (const record of body) {
      const cell = record[column.index] ?? '';
      readDate(cell, 0, cell.length, 1, thisYear);
      if (dateOrders !== 0 && (viable & dateOrders) !== 0) viable &= dateOrders;
    }
  }
  return { value: viable & 1 ? 'dmy' : viable & 2 ? 'mdy' : 'ymd', by: null, stated: null };
}

/** A format written in a column's name or above the table: `Date (dd/mm/yyyy)`, `TT.MM.JJJJ`. */
export function statedOrder(text: string): DateOrder | null {
  const m =
    /(?:^|[^a-z])([dtjg]{1,2}|m{2,3}|[yja]{2,4})[./ -]([dtjg]{1,2}|m{2,3})[./ -]([dtjg]{1,2}|[yja]{2,4})(?:$|[^a-z])/i.exec(
      text,
    );
  if (!m) return null;
  const kind = (part: string | undefined): string =>
    /^m/i.test(part ?? '')
      ? 'm'
      : (part?.length ?? 0) > 2 || /^[ya]/i.test(part ?? '') || /^jj$/i.test(part ?? '')
        ? 'y'
        : 'd';
  const order = kind(m[1]) + kind(m[2]) + kind(m[3]);
  return order === 'dmy' || order === 'mdy' || order === 'ymd' ? order : null;
}

function findMark(
  columns: readonly ColumnFinding[],
  body: readonly (readonly string[])[],
  options: PlanOptions,
  recipe: Recipe | null,
): { value: DecimalMark; by: SettledBy } {
  const answer = options.answers['decimal-mark'];
  if (answer === 'comma' || answer === 'point') return { value: answer, by: 'answer' };
  if (recipe?.decimalMark) return { value: recipe.decimalMark, by: 'recipe' };
  if (options.held?.decimalMark) return { value: options.held.decimalMark, by: 'held' };
  const counts = [0, 0, 0, 0, 0];
  for (const column of columns) {
    if (!isMeasured(column.role)) continue;
    for (const record of body) {
      if (readAnyNumber(record[column.index] ?? '', null) || numberMark !== 0)
        counts[numberMark] = (counts[numberMark] ?? 0) + 1;
    }
  }
  const [, point = 0, comma = 0, maybePoint = 0, maybeComma = 0] = counts;
  if (point !== comma) return { value: point > comma ? 'point' : 'comma', by: null };
  return { value: maybeComma > maybePoint ? 'comma' : 'point', by: null };
}

export function isMeasured(role: Role): boolean {
  return role === 'torque' || role === 'angle' || role === 'target' || role === 'low-limit' || role === 'high-limit';
}

function findUnit(
  columns: readonly ColumnFinding[],
  at: Readonly<Record<Role | 'batch', number>>,
  options: PlanOptions,
  recipe: Recipe | null,
  shape: TableShape,
): { value: TorqueUnit | null; by: SettledBy } {
  if (options.set.unit) return { value: options.set.unit, by: 'set' };
  const answer = options.answers['torque-unit'];
  if (answer !== undefined && isTorqueUnit(answer)) return { value: answer, by: 'answer' };
  const inName = columns[at.torque]?.unit ?? null;
  const inFacts = unitInFacts(shape.facts);
  // The column's name and the device block name two units: neither is believed.
  if (inName && inFacts && inName !== inFacts && at['torque-unit'] < 0) return { value: null, by: null };
  if (inName) return { value: inName, by: 'header' };
  if (inFacts) return { value: inFacts, by: 'preamble' };
  const other = [at.target, at['low-limit'], at['high-limit']]
    .map((index) => columns[index]?.unit ?? null)
    .find((unit) => unit !== null);
  if (other) return { value: other, by: 'header' };
  const unitColumn = columns[at['torque-unit']]?.unit ?? null;
  if (unitColumn) return { value: unitColumn, by: 'header' };
  if (recipe?.unit) return { value: recipe.unit, by: 'recipe' };
  return { value: null, by: null };
}

/** The unit a device block names; null when it names none or two. */
export function unitInFacts(facts: Readonly<Record<string, string>>): TorqueUnit | null {
  const found = new Set<TorqueUnit>();
  for (const [key, value] of Object.entries(facts)) {
    const role = roleOfHeader(key)?.role;
    const unit = unitOfText(value);
    if (
      unit !== null &&
      (role === 'torque-unit' ||
        role === 'torque' ||
        /unit|einheit|unit[eéà]|unidad|eenheid|enhet|jednostka|单位|単位/i.test(key))
    )
      found.add(unit);
  }
  return found.size === 1 ? ([...found][0] ?? null) : null;
}

/** The name of a role in a device block; a serial number before any other name of the tool. */
export function nameInFacts(
  role: 'tool' | 'operator' | 'joint',
  facts: Readonly<Record<string, string>>,
): { key: string; value: string } | null {
  let best: { key: string; value: string; rank: number } | null = null;
  for (const [key, value] of Object.entries(facts)) {
    const meaning = roleOfHeader(key);
    if (meaning?.role !== role || (meaning.strength < 2 && !/serial|s\/?n/i.test(key))) continue;
    const plain = plainWords(key);
    const rank = (/serial|serie|seri|s n|sn|matricola|id|no|nr|nummer/.test(plain) ? 2 : 1) + meaning.strength / 10;
    if (!best || rank > best.rank) best = { key, value, rank };
  }
  return best;
}

function findName(
  role: 'tool' | 'operator' | 'joint',
  hasColumn: boolean,
  hasNames: boolean,
  options: PlanOptions,
  recipe: Recipe | null,
  shape: TableShape,
  body: readonly (readonly string[])[],
  at: Readonly<Record<Role | 'batch', number>>,
): NamePlan {
  const named = (value: string, by: SettledBy, source: NameSource | null): NamePlan => ({
    value,
    by,
    source,
    proposals: [],
  });
  const set = options.set[role];
  if (set !== undefined) return named(set, 'set', { from: 'answer', value: set });
  const answer = role === 'operator' ? undefined : options.answers[role];
  // An answer fills a column that names nothing; single empty cells of a joint column stay without a joint.
  if (answer !== undefined && !(role === 'joint' && hasNames)) {
    return role === 'joint' && answer === 'none'
      ? { value: null, by: 'answer', source: { from: 'answer', value: 'none' }, proposals: [] }
      : named(answer, 'answer', { from: 'answer', value: answer });
  }
  if (hasColumn) return { value: null, by: 'column', source: null, proposals: [] };
  const fact = nameInFacts(role, shape.facts);
  if (fact) return named(fact.value, 'preamble', { from: 'preamble', key: fact.key });
  const names =
    role === 'tool'
      ? options.known.tools
      : role === 'operator'
        ? options.known.operators
        : options.known.joints.map((joint) => joint.name);
  const inFile = names.filter((name) => nameStandsIn(options.fileName, name));
  const only = inFile.length === 1 ? inFile[0] : undefined;
  const saved = recipe?.[role];
  if (saved?.from === 'answer') {
    return saved.value === 'none' && role === 'joint'
      ? { value: null, by: 'recipe', source: saved, proposals: [] }
      : named(saved.value, 'recipe', saved);
  }
  if (only !== undefined && role !== 'operator') return named(only, 'file-name', { from: 'file-name' });
  if (saved?.from === 'file-name') {
    const token = nameInFileName(options.fileName);
    if (token) return named(token, 'recipe', saved);
  }
  const proposals: { name: string; evidence: Said }[] = [];
  if (role === 'tool') {
    const token = nameInFileName(options.fileName);
    if (token) proposals.push({ name: token, evidence: said('intake.ev-file-name', { file: options.fileName }) });
  }
  if (role === 'joint') {
    const matched = jointByTarget(options.known.joints, body, at);
    if (matched.length === 1 && matched[0]) return named(matched[0], 'register', null);
    for (const name of matched) proposals.push({ name, evidence: said('intake.ev-target', {}) });
  }
  for (const name of names) {
    if (proposals.length >= 8) break;
    if (!proposals.some((proposal) => proposal.name === name))
      proposals.push({
        name,
        evidence: inRegister(
          role,
          options.known.joints.find((joint) => joint.name === name),
        ),
      });
  }
  return { value: null, by: null, source: null, proposals };
}

/** That a name is known, and of a joint the limits that would judge. */
function inRegister(role: 'tool' | 'joint' | 'operator', joint: KnownJoint | undefined): Said {
  if (role !== 'joint' || !joint?.unit || (joint.low === null && joint.high === null))
    return said('intake.ev-in-register', { role });
  return said('intake.ev-joint-limits', { low: joint.low, high: joint.high, unit: joint.unit });
}

/** Joints of the register whose limits are the ones written in the file. */
function jointByTarget(
  joints: readonly KnownJoint[],
  body: readonly (readonly string[])[],
  at: Readonly<Record<Role | 'batch', number>>,
): string[] {
  const wanted = (['low-limit', 'target', 'high-limit'] as const).map((role) => {
    if (at[role] < 0) return null;
    const texts = new Set(body.map((record) => (record[at[role]] ?? '').trim()).filter((text) => text !== ''));
    if (texts.size !== 1) return null;
    const value = Number([...texts][0]?.replace(',', '.'));
    return Number.isFinite(value) ? value : null;
  });
  if (wanted.filter((value) => value !== null).length < 2) return [];
  return joints
    .filter((joint) =>
      [joint.low, joint.target, joint.high].every(
        (value, i) =>
          wanted[i] === null ||
          wanted[i] === undefined ||
          (value !== null && Math.abs(value - wanted[i]) <= 1e-9 * Math.abs(value)),
      ),
    )
    .map((joint) => joint.name);
}

/** Whether a name stands in a file name as a word of its own. */
function nameStandsIn(fileName: string, name: string): boolean {
  if (name.length < 2) return false;
  const plain = ` ${plainWords(fileName.replace(/\.[a-z0-9]{1,5}$/i, ''))} `;
  return plain.includes(` ${plainWords(name)} `);
}

/** A stretch of a file name that looks like the name of a tool: letters and digits together, not a date. */
export function nameInFileName(fileName: string): string | null {
  const stem = fileName.replace(/\.[a-z0-9]{1,5}$/i, '');
  const m = /(?:^|[^A-Za-z0-9])([A-Za-z]{1,6}[-_ ]?\d{2,8}[A-Za-z]?)(?=$|[^A-Za-z0-9])/.exec(stem);
  return m?.[1] && !/^(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec|kw|week|line|shift)/i.test(m[1]) ? m[1] : null;
}

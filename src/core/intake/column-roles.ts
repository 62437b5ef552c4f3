/**
 * Gives each column its role, from its name and from its cells; where they do not settle it, a question.
 *
 * A name that the cells contradict is not believed, and cells without a name are not believed to be a torque.
 */
import { type Said, said } from '../text/said.ts';
import type { TorqueUnit } from '../units/torque-unit.ts';
import { asciiDigits, type CellKind, cellKind, isDegree } from './cell-kind.ts';
import type { NumericDate } from './date-cell.ts';
import { bracketsOf, type HeaderRole, roleOfHeader } from './header-words.ts';
import { unitOfText } from './unit-words.ts';
import { type Role, roles } from './vocabulary.ts';

export interface ColumnFinding {
  /** From 0. */
  readonly index: number;
  readonly name: string | null;
  role: Role;
  /** A `fastener` column that names the batch and not the fastener. */
  isBatch: boolean;
  by: 'answer' | 'recipe' | 'found';
  evidence: Said[];
  /** Open question about the role: choices with their evidence. */
  question: RoleQuestion | null;
  /** Unit written in the column's name. */
  readonly unit: TorqueUnit | null;
  numericDate: NumericDate | null;
  readonly firstCell: string;
}

export interface RoleQuestion {
  readonly choices: readonly { readonly role: Role; readonly evidence: readonly Said[]; readonly leaning: boolean }[];
}

export interface RoleNames {
  readonly tools: readonly string[];
  readonly operators: readonly string[];
  readonly joints: readonly string[];
}

export interface RolesFinding {
  readonly columns: readonly ColumnFinding[];
  /** Nothing in the file can be a torque or an angle: why. */
  readonly problem: Said | null;
}

interface Content {
  readonly filled: number;
  readonly share: (...kinds: CellKind[]) => number;
  readonly values: readonly string[];
  readonly distinct: number;
  readonly gluedUnit: number;
  readonly gluedDegree: number;
  readonly min: number;
  readonly max: number;
  readonly hasDecimals: boolean;
  readonly countsRows: boolean;
}

/** Roles a column can have only once. */
const single = new Set<Role>(roles.filter((role) => role !== 'ignore' && role !== 'note' && role !== 'fastener'));
const numeric = new Set<HeaderRole>([
  'torque',
  'angle',
  'target',
  'low-limit',
  'high-limit',
  'value',
  'batch-size',
  'batch-position',
]);

/**
 * Assigns roles.
 *
 * @param header names, or null when the file has none
 * @param records data records of the sample
 * @param fixed roles given by an answer (`by` answer) or a recipe, by column; null: to be found
 */
export function findRoles(
  header: readonly string[] | null,
  width: number,
  records: readonly (readonly string[])[],
  known: RoleNames,
  fixed: readonly ({ readonly role: Role; readonly by: 'answer' | 'recipe' } | null)[],
): RolesFinding {
  const contents: Content[] = [];
  const columns: ColumnFinding[] = [];
  const strengths: number[] = [];
  const unresolved: ('number' | 'word' | 'value' | null)[] = [];
  let torqueOfWords: ColumnFinding | null = null;
  for (let index = 0; index < width; index++) {
    const content = contentOf(records, index);
    contents.push(content);
    const name = header ? (header[index] ?? '') : null;
    const units = name === null ? [] : bracketsOf(name);
    const unit = units.map(unitOfText).find((found) => found !== null) ?? (name === null ? null : unitOfText(name));
    const column: ColumnFinding = {
      index,
      name: name === '' ? null : name,
      role: 'ignore',
      isBatch: false,
      by: 'found',
      evidence: [],
      question: null,
      unit,
      numericDate: null,
      firstCell: content.values[0] ?? '',
    };
    columns.push(column);
    const given = fixed[index];
    if (given) {
      column.role = given.role;
      column.by = given.by;
      column.evidence.push(given.by === 'answer' ? said('intake.by-answer', {}) : said('intake.by-recipe', {}));
      if (given.role === 'fastener' && roleOfHeader(name ?? '')?.role === 'batch') column.isBatch = true;
      if (given.role === 'date' || given.role === 'date-time') column.numericDate = numericDateOf(content);
      strengths.push(9);
      unresolved.push(null);
      continue;
    }
    const meaning = name ? roleOfHeader(name) : null;
    const degree = units.some((text) => isDegree(text));
    const found = roleOf(meaning?.role ?? null, content, unit, degree, name, known);
    column.role = found.role;
    column.isBatch = found.isBatch;
    column.numericDate = found.numericDate;
    column.evidence.push(...found.evidence);
    if (found.conflict === 'torque') torqueOfWords = column;
    unresolved.push(found.unresolved);
    strengths.push(found.role === 'ignore' ? 0 : found.byContent ? 2.5 : (meaning?.strength ?? 1));
  }

  settleDuplicates(columns, strengths, contents);
  settleDateAndTime(columns);

  // The only column of values, with a unit of torque beside it on every line, holds torques.
  const openValues = columns.filter(
    (column) => unresolved[column.index] === 'value' || unresolved[column.index] === 'number',
  );
  const [onlyValue] = openValues;
  const unitColumn = columns.find((column) => column.role === 'torque-unit');
  if (
    onlyValue &&
    openValues.length === 1 &&
    unresolved[onlyValue.index] === 'value' &&
    unitColumn &&
    (contents[unitColumn.index]?.share('unit') ?? 0) >= 0.9 &&
    !columns.some((column) => column.role === 'torque')
  ) {
    onlyValue.role = 'torque';
    onlyValue.evidence.push(said('intake.ev-unit', {}));
    unresolved[onlyValue.index] = null;
  }

  const has = (role: Role): boolean => columns.some((column) => column.role === role && !column.question);
  // A column called "value" is a torque when nothing else is and its unit says so; else somebody must say.
  for (const column of columns) {
    const open = unresolved[column.index];
    if (!open || column.role !== 'ignore' || column.question) continue;
    const content = contents[column.index];
    if (!content) continue;
    if (open === 'word') {
      column.question = wordQuestion(content, columns);
      continue;
    }
    const torqueKnown = has('torque');
    const angleKnown = has('angle');
    if (torqueKnown && angleKnown && open === 'value') continue;
    column.question = numberQuestion(content, torqueKnown, angleKnown, openValues.length === 1);
  }
  if (torqueOfWords && !has('torque') && columns.some((column) => column.role === 'angle')) {
    // Angles are there, so the file may be of angles alone; the column of that name is somebody's to decide.
    const content = contents[torqueOfWords.index];
    if (content) torqueOfWords.question = wordQuestion(content, columns);
    torqueOfWords = null;
  }
  const measured = columns.some(
    (column) => column.role === 'torque' || column.role === 'angle' || column.question !== null,
  );
  if (measured && !(torqueOfWords && !has('torque') && !has('angle'))) return { columns, problem: null };
  if (torqueOfWords) {
    return {
      columns,
      problem: said('intake.refused-words', {
        column: torqueOfWords.name ?? '',
        example: torqueOfWords.firstCell.slice(0, 40),
      }),
    };
  }
  return { columns, problem: said('intake.refused-no-torque', {}) };
}

interface Found {
  readonly role: Role;
  readonly isBatch: boolean;
  readonly numericDate: NumericDate | null;
  readonly evidence: readonly Said[];
  readonly unresolved: 'number' | 'word' | 'value' | null;
  readonly byContent: boolean;
  readonly conflict: HeaderRole | null;
}

const nothing: Omit<Found, 'role' | 'evidence'> = {
  isBatch: false,
  numericDate: null,
  unresolved: null,
  byContent: false,
  conflict: null,
};

function roleOf(
  meant: HeaderRole | null,
  content: Content,
  unit: TorqueUnit | null,
  degree: boolean,
  name: string | null,
  known: RoleNames,
): Found {
  const named = said('intake.ev-name', { name: name ?? '' });
  const numbers = content.share('integer', 'number', 'quantity');
  const isNumber = content.filled > 0 && numbers >= 0.5;
  const byContent = contentRole(content);
  if (meant !== null) {
    if (meant === 'ignore') return { ...nothing, role: 'ignore', evidence: [named] };
    if (meant === 'value') {
      if (unit !== null || content.gluedUnit > 0.5)
        return { ...nothing, role: 'torque', evidence: [named, said('intake.ev-unit', {})] };
      if (degree || content.gluedDegree > 0.5)
        return { ...nothing, role: 'angle', evidence: [named, said('intake.ev-degree', {})] };
      if (byContent) return { ...nothing, ...byContent, byContent: true };
      return { ...nothing, role: 'ignore', evidence: [named], unresolved: isNumber ? 'value' : null };
    }
    if (numeric.has(meant)) {
      if (content.filled === 0 || isNumber || (numbers > 0 && (meant === 'torque' || meant === 'angle'))) {
        // `Torque` in degrees, or `Angle` in newton metres: the name and the unit contradict each other.
        const contradicts =
          (meant === 'torque' && (degree || content.gluedDegree > 0.5) && unit === null) ||
          (meant === 'angle' && (unit !== null || content.gluedUnit > 0.5));
        if (contradicts) return { ...nothing, role: 'ignore', evidence: [named], unresolved: 'number' };
        return {
          ...nothing,
          role:
            meant === 'torque' ||
            meant === 'angle' ||
            meant === 'target' ||
            meant === 'low-limit' ||
            meant === 'high-limit' ||
            meant === 'batch-size' ||
            meant === 'batch-position'
              ? meant
              : 'ignore',
          evidence: [named, numbersEvidence(content)],
        };
      }
      if (meant === 'batch-position' || meant === 'batch-size') {
        // `3/8` counts position and size at once; anything else under such a name is left alone.
        const counter = content.values.filter((value) => /^\d+\s*(?:\/|of|von|de)\s*\d+$/i.test(value)).length;
        if (counter > content.filled * 0.5) return { ...nothing, role: 'batch-position', evidence: [named] };
        return { ...nothing, role: 'ignore', evidence: [named, said('intake.ev-not-numbers', {})] };
      }
      if (byContent) return { ...nothing, ...byContent, byContent: true };
      return { ...nothing, role: 'ignore', evidence: [named, said('intake.ev-not-numbers', {})], conflict: meant };
    }
    if (meant === 'date' || meant === 'time' || meant === 'date-time') {
      if (byContent && (byContent.role === 'date' || byContent.role === 'time' || byContent.role === 'date-time')) {
        return { ...nothing, ...byContent, evidence: [named, ...byContent.evidence] };
      }
      if (content.filled === 0) return { ...nothing, role: meant, evidence: [named, said('intake.ev-empty', {})] };
      const count = numericDateOf(content);
      if (count && meant !== 'time')
        return {
          ...nothing,
          role: count === 'excel' && meant === 'date' ? 'date' : 'date-time',
          numericDate: count,
          evidence: [named, countEvidence(count)],
        };
      if (count && count !== 'excel')
        return { ...nothing, role: 'date-time', numericDate: count, evidence: [named, countEvidence(count)] };
      if (isNumber || content.share('date', 'time', 'date-time') > 0.2 || mostly(content, /^[\d\s./:T年月日時分秒-]+$/))
        return { ...nothing, role: meant, evidence: [named] };
      return { ...nothing, role: meant === 'time' ? 'ignore' : meant, evidence: [named] };
    }
    if (meant === 'torque-unit') {
      if (content.filled === 0 || content.share('unit') >= 0.3)
        return { ...nothing, role: 'torque-unit', evidence: [named] };
      if (byContent) return { ...nothing, ...byContent, byContent: true };
      return { ...nothing, role: 'torque-unit', evidence: [named] };
    }
    if (meant === 'own-result') {
      if (byContent && (byContent.role === 'date' || byContent.role === 'time' || byContent.role === 'date-time'))
        return { ...nothing, ...byContent, byContent: true };
      if (content.gluedUnit > 0.5 || (isNumber && unit !== null))
        return { ...nothing, role: 'torque', evidence: [named, said('intake.ev-unit', {})] };
      if (isNumber && content.hasDecimals)
        return { ...nothing, role: 'ignore', evidence: [named], unresolved: 'value' };
      return { ...nothing, role: 'own-result', evidence: [named] };
    }
    if (meant === 'sequence') {
      if (content.filled > 0 && !mostly(content, /^[#\s]*\d{1,15}$/)) {
        const names = knownNames(content, known);
        if (names) return { ...nothing, ...names };
        return { ...nothing, role: 'ignore', evidence: [named, said('intake.ev-not-numbers', {})] };
      }
      return { ...nothing, role: 'sequence', evidence: [named] };
    }
    if (meant === 'batch') return { ...nothing, role: 'fastener', isBatch: true, evidence: [named] };
    if (
      (meant === 'tool' || meant === 'operator' || meant === 'joint') &&
      byContent &&
      byContent.role !== 'torque' &&
      byContent.role !== 'angle' &&
      byContent.role !== 'own-result'
    ) {
      return { ...nothing, ...byContent, byContent: true };
    }
    if (
      (meant === 'tool' || meant === 'operator' || meant === 'joint') &&
      content.filled >= 20 &&
      content.distinct > content.filled / 2 &&
      !knownNames(content, known)
    ) {
      // A new name on most lines is a part or a fastener, whatever the column is called ("Serial No.").
      return { ...nothing, role: 'ignore', evidence: [named], unresolved: 'word' };
    }
    const names = meant === 'station' ? knownNames(content, known) : null;
    if (names) return { ...nothing, ...names };
    return { ...nothing, role: meant, evidence: [named] };
  }
  if (byContent) return { ...nothing, ...byContent, byContent: true };
  if (isNumber && unit !== null) return { ...nothing, role: 'torque', evidence: [said('intake.ev-unit', {})] };
  if (isNumber && degree) return { ...nothing, role: 'angle', evidence: [said('intake.ev-degree', {})] };
  const names = knownNames(content, known);
  if (names) return { ...nothing, ...names };
  const lacksName = name === null || name === '';
  if (!lacksName) {
    // A name that says nothing over numbers that vary: another torque or an angle, perhaps.
    const mayBeMeasured = numbers >= 0.9 && content.distinct >= Math.min(3, content.filled) && !content.countsRows;
    return {
      ...nothing,
      role: 'ignore',
      evidence: [said('intake.ev-unknown-name', { name })],
      unresolved: mayBeMeasured && couldBeMeasured(content) ? 'value' : null,
    };
  }
  if (content.filled === 0) return { ...nothing, role: 'ignore', evidence: [said('intake.ev-empty', {})] };
  if (isNumber && content.countsRows)
    return { ...nothing, role: 'sequence', evidence: [said('intake.ev-counts-rows', {})] };
  return {
    ...nothing,
    role: 'ignore',
    evidence: [said('intake.ev-no-name', {})],
    unresolved: isNumber ? 'number' : 'word',
  };
}

function contentRole(content: Content): { role: Role; evidence: Said[] } | null {
  if (content.filled === 0) return null;
  const most = (kind: CellKind): boolean => content.share(kind) >= 0.6;
  if (most('date-time')) return { role: 'date-time', evidence: [said('intake.ev-looks-date-time', {})] };
  if (most('date')) return { role: 'date', evidence: [said('intake.ev-looks-date', {})] };
  if (most('time')) return { role: 'time', evidence: [said('intake.ev-looks-time', {})] };
  if (most('unit')) return { role: 'torque-unit', evidence: [said('intake.ev-looks-unit', {})] };
  if (most('own-result') && content.distinct <= 6)
    return { role: 'own-result', evidence: [said('intake.ev-looks-result', {})] };
  if (content.gluedUnit > 0.5) return { role: 'torque', evidence: [said('intake.ev-unit', {})] };
  if (content.gluedDegree > 0.5) return { role: 'angle', evidence: [said('intake.ev-degree', {})] };
  return null;
}

function knownNames(content: Content, known: RoleNames): { role: Role; evidence: Said[] } | null {
  if (content.filled === 0) return null;
  const lists: readonly (readonly [Role, readonly string[]])[] = [
    ['tool', known.tools],
    ['joint', known.joints],
    ['operator', known.operators],
  ];
  for (const [role, names] of lists) {
    if (names.length === 0) continue;
    const set = new Set(names.map((name) => name.toLowerCase()));
    const hits = content.values.filter((value) => set.has(value.toLowerCase())).length;
    if (hits / content.values.length >= 0.5 && !content.values.every((value) => /^\d{1,2}$/.test(value))) {
      return { role, evidence: [said('intake.ev-in-register', { role })] };
    }
  }
  return null;
}

/** Two columns with one role: the plainer name has it; two torques or two angles are a question. */
function settleDuplicates(columns: readonly ColumnFinding[], strengths: number[], contents: readonly Content[]): void {
  for (const role of [...single, 'fastener' as const]) {
    for (const batch of role === 'fastener' ? [false, true] : [false]) {
      const same = columns.filter((column) => column.role === role && column.isBatch === batch);
      if (same.length < 2) continue;
      const filled = same.filter((column) => (contents[column.index]?.filled ?? 0) > 0);
      const strongest = Math.max(...same.map((column) => strengths[column.index] ?? 0));
      const isMeasure = role === 'torque' || role === 'angle';
      const rivals = (filled.length > 0 ? filled : same).filter((column) =>
        isMeasure
          ? (strengths[column.index] ?? 0) >= Math.min(2, strongest)
          : (strengths[column.index] ?? 0) === strongest,
      );
      const fixed = rivals.filter((column) => column.by !== 'found');
      const winner = fixed[0] ?? rivals[0];
      for (const column of same) {
        if (column === winner || column.by !== 'found') continue;
        column.role = 'ignore';
        column.isBatch = false;
        column.evidence.push(said('intake.ev-second', { role }));
      }
      if (!isMeasure || rivals.length < 2 || fixed.length > 0) continue;
      for (const column of rivals) {
        column.question = {
          choices: ([role, 'target', 'ignore'] as const).map((choice) => ({
            role: choice,
            evidence: choice === role ? examples(contents[column.index]) : [],
            leaning: false,
          })),
        };
      }
    }
  }
}

/** One column with date and time makes columns with either of them superfluous. */
function settleDateAndTime(columns: readonly ColumnFinding[]): void {
  const both = columns.find((column) => column.role === 'date-time');
  if (!both) return;
  for (const column of columns) {
    if ((column.role !== 'date' && column.role !== 'time') || column.by !== 'found') continue;
    if (both.by === 'found' && both.numericDate === null && column.role === 'date' && both.evidence.length === 0)
      continue;
    column.role = 'ignore';
    column.evidence.push(said('intake.ev-second', { role: 'date-time' }));
  }
}

function numberQuestion(content: Content, torqueKnown: boolean, angleKnown: boolean, isOnly: boolean): RoleQuestion {
  const couldBeAngle = content.max <= 3600;
  const choices: Role[] = [];
  if (!torqueKnown) choices.push('torque');
  if (!angleKnown) choices.push('angle');
  if (torqueKnown) choices.push('target');
  if (!content.hasDecimals) choices.push('operator', 'sequence');
  choices.push('ignore');
  return {
    choices: choices.map((role) => ({
      role,
      evidence:
        role === 'torque' || (role === 'angle' && couldBeAngle)
          ? [rangeEvidence(content), ...examples(content)]
          : role === 'operator' || role === 'sequence'
            ? [said('intake.ev-distinct', { count: content.distinct, of: content.filled })]
            : [],
      leaning: isOnly && role === 'torque' && content.hasDecimals && !torqueKnown,
    })),
  };
}

/** Numbers that a wrench could have measured: not the long digits of an id, and not a lone repeated value. */
function couldBeMeasured(content: Content): boolean {
  return (
    Math.max(Math.abs(content.min), Math.abs(content.max)) < 10_000 && (content.distinct > 1 || content.hasDecimals)
  );
}

function wordQuestion(content: Content, columns: readonly ColumnFinding[]): RoleQuestion {
  const taken = new Set(columns.map((column) => column.role));
  const choices = (['tool', 'joint', 'operator', 'station', 'fastener', 'note', 'ignore'] as const).filter(
    (role) => role === 'ignore' || role === 'note' || !taken.has(role),
  );
  return {
    choices: choices.map((role) => ({
      role,
      evidence:
        role === 'ignore'
          ? []
          : [said('intake.ev-distinct', { count: content.distinct, of: content.filled }), ...examples(content)],
      leaning: false,
    })),
  };
}

function examples(content: Content | undefined): Said[] {
  const some = [...new Set(content?.values ?? [])].slice(0, 3);
  return some.length === 0 ? [] : [said('intake.ev-examples', { examples: some.map((value) => value.slice(0, 40)) })];
}

function rangeEvidence(content: Content): Said {
  return said('intake.ev-range', { min: content.min, max: content.max });
}

function numbersEvidence(content: Content): Said {
  if (content.filled === 0) return said('intake.ev-empty', {});
  return rangeEvidence(content);
}

function countEvidence(count: NumericDate): Said {
  return said(count === 'excel' ? 'intake.ev-serial' : 'intake.ev-epoch', {});
}

/** Whether a column of numbers counts days of a spreadsheet, or seconds or milliseconds since 1970. */
export function numericDateOf(content: {
  readonly values: readonly string[];
  readonly filled: number;
}): NumericDate | null {
  if (content.filled === 0) return null;
  const numbers = content.values.map((value) => Number(value.replace(',', '.')));
  const all = (test: (n: number, text: string) => boolean): boolean =>
    numbers.every((n, i) => Number.isFinite(n) && test(n, content.values[i] ?? ''));
  if (all((n, text) => n >= 1e12 && n < 4.2e12 && /^\d{13}$/.test(text))) return 'epoch-ms';
  if (all((n, text) => n >= 3e8 && n < 4.2e9 && /^\d{9,10}(?:[.,]\d+)?$/.test(text))) return 'epoch-s';
  if (all((n, text) => n >= 20_000 && n < 109_574 && /^\d{5,6}(?:[.,]\d+)?$/.test(text) && n < 100_000)) return 'excel';
  return null;
}

function mostly(content: Content, pattern: RegExp): boolean {
  return (
    content.filled > 0 && content.values.filter((value) => pattern.test(value)).length / content.values.length >= 0.6
  );
}

function contentOf(records: readonly (readonly string[])[], index: number): Content {
  const counts = new Map<CellKind, number>();
  const values: string[] = [];
  let filled = 0;
  let gluedUnit = 0;
  let gluedDegree = 0;
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  let hasDecimals = false;
  let countsRows = true;
  let previous = Number.NaN;
  for (const record of records) {
    const value = asciiDigits((record[index] ?? '').trim());
    // A sign for "nothing measured" says no more than an empty cell.
    if (value === '' || /^[-–—*.,?]+$/.test(value)) continue;
    filled++;
    values.push(value);
    const kind = cellKind(value);
    counts.set(kind, (counts.get(kind) ?? 0) + 1);
    if (kind === 'quantity') {
      const tail = value.replace(/^[+-]?[\d.,'\s]+/, '');
      if (unitOfText(tail) !== null) gluedUnit++;
      else gluedDegree++;
    }
    if (kind === 'integer' || kind === 'number' || kind === 'quantity') {
      const n = Number.parseFloat(value.replace(',', '.'));
      if (Number.isFinite(n)) {
        min = Math.min(min, n);
        max = Math.max(max, n);
      }
      if (kind !== 'integer') hasDecimals = true;
      if (!Number.isNaN(previous) && Math.abs(n - previous) !== 1) countsRows = false;
      previous = n;
    } else countsRows = false;
  }
  return {
    filled,
    share: (...kinds) => (filled === 0 ? 0 : kinds.reduce((sum, kind) => sum + (counts.get(kind) ?? 0), 0) / filled),
    values,
    distinct: new Set(values).size,
    gluedUnit: filled === 0 ? 0 : gluedUnit / filled,
    gluedDegree: filled === 0 ? 0 : gluedDegree / filled,
    min,
    max,
    hasDecimals,
    countsRows: countsRows && filled >= 3 && !hasDecimals,
  };
}

/** Records that are no readings: what they are, and how a rejected one is kept. */
import { cellKind, isTyped } from './cell-kind.ts';
import type { RejectedRow } from './dump-reading.ts';
import { isFooterWord, roleOfHeader } from './header-words.ts';
import { ownCopy } from './name-table.ts';
import type { ReadPlan } from './read-plan.ts';
import type { Tokeniser } from './tokeniser.ts';
import type { RejectCode, Role } from './vocabulary.ts';

/** Longest text of a rejected line that is kept. */
const longestText = 1000;

/**
 * A rejected record as it is kept.
 *
 * @param column the cell at fault; -1: the record as a whole
 */
export function rejectedRow(record: Tokeniser, code: RejectCode, column: number, plan: ReadPlan): RejectedRow {
  const { width } = plan.shape;
  // Of a line that ends early the last cell is shown, of one that goes on the first cell too many.
  const shown =
    code === 'too-few-fields'
      ? record.count - 1
      : code === 'too-many-fields'
        ? Math.min(width, record.count - 1)
        : column;
  const has = shown >= 0 && shown < record.count;
  const start = has ? record.starts[shown]! - record.from : 0;
  const end = has ? (code === 'too-many-fields' ? record.to : record.ends[shown]!) - record.from : 0;
  return {
    line: record.line,
    lines: record.lines,
    column: column >= 0 ? (plan.columns[column]?.name ?? null) : null,
    code,
    span: has && end > start && end <= longestText ? [start, end] : null,
    text: ownCopy(record.text, record.from, Math.min(record.to, record.from + longestText)),
  };
}

/**
 * A footer's first word where a value should stand, or with cells missing. A full line whose first word is a name is
 * a reading or a bad line, whatever the word.
 */
export function isFooter(record: Tokeniser, plan: ReadPlan): boolean {
  let first = 0;
  while (first < record.count && record.cell(first).trim() === '') first++;
  if (first >= record.count || !isFooterWord(record.cell(first).trim().slice(0, 80))) return false;
  const { columns, shape } = plan;
  if (shape.width <= 1 || record.count < shape.width) return true;
  const role = columns[first]?.role ?? 'ignore';
  if (!nameRoles.has(role)) return true;
  let filled = 0;
  for (let i = first; i < record.count; i++) if (record.cell(i).trim() !== '') filled++;
  return filled * 2 <= record.count;
}

/** Whether cells are the header of a table: words, two of which name columns of a dump. */
export function isOtherHeader(cells: readonly string[]): boolean {
  const words = cells.filter((cell) => cell.trim() !== '');
  if (words.length < 3 || words.some((cell) => isTyped(cellKind(cell)) && cellKind(cell) !== 'unit')) return false;
  return words.filter((cell) => (roleOfHeader(cell)?.strength ?? 0) >= 2).length >= 2;
}

/** Whether a column's name promises measured values. */
export function isMeasureName(name: string): boolean {
  const role = roleOfHeader(name)?.role;
  return role === 'torque' || role === 'angle' || role === 'value';
}

/** Roles whose cells may hold any word. */
const nameRoles: ReadonlySet<Role> = new Set([
  'tool',
  'operator',
  'joint',
  'fastener',
  'station',
  'note',
  'own-result',
  'ignore',
]);

/** The first cell that holds anything, at most 80 characters of it. */
export function firstCell(record: Tokeniser): string {
  for (let i = 0; i < record.count && i < 50; i++) {
    const cell = record.cell(i).trim();
    if (cell !== '') return cell.slice(0, 80);
  }
  return '';
}

/** Whether a record begins with anything but a number. */
export function startsLikeText(record: Tokeniser): boolean {
  const c = record.text.charCodeAt(record.starts[0] ?? record.from);
  return !(c >= 48 && c <= 57) && c !== 45 && c !== 43;
}

/** Whether no cell holds anything. */
export function isBlankRecord(record: Tokeniser): boolean {
  for (let i = 0; i < record.count; i++) if (record.cell(i).trim() !== '') return false;
  return true;
}

/** A header record as one text, so that its repetition is recognised whatever blanks or case it comes with. */
export function headerText(cells: readonly string[]): string {
  const plain = cells.map((cell) =>
    cell
      .replace(/^\ufeff/, '')
      .trim()
      .toLowerCase(),
  );
  while (plain.length > 0 && plain.at(-1) === '') plain.pop();
  return plain.join('\u001f');
}

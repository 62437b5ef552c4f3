/**
 * The table of a file before any meaning is given to it: which records are its rows, which stand above, below or belong
 * to a second table. For the command line's `rows`; keeps every cell of every row.
 */
import { type CellKind, cellKind, isTyped } from './cell-kind.ts';
import { cut, findDialect, linesOfRecords } from './dialect.ts';
import { isFooterWord } from './header-words.ts';
import { findTable, isBrokenRow } from './table-shape.ts';
import { blanks, type Dialect } from './tokeniser.ts';

export interface TableStart {
  readonly dialect: Dialect;
  /** Physical lines of the first header record and of the first row. */
  readonly headerLine: number;
  readonly rowLine: number;
  /** Cells of the header; null: the file has none. */
  readonly header: readonly string[] | null;
  readonly width: number;
  readonly kinds: readonly CellKind[];
}

/**
 * Finds where the table starts and how it is cut, from a file's first text.
 *
 * @param head decoded text from the start; `whole` when it is the whole file
 */
export function tableAsFound(head: string, whole: boolean): TableStart {
  const finding = findDialect(head, whole);
  const sep = finding.sepLine ? 1 : 0;
  const records = cut(head, finding.dialect, whole, finding.width);
  const shape = findTable(records.slice(sep));
  const first = shape.preamble + shape.headerRows;
  const lines = linesOfRecords(head, finding.dialect, whole, finding.width, sep + first + 1);
  return {
    dialect: finding.dialect,
    headerLine: lines[sep + shape.preamble] ?? 1,
    rowLine: lines[sep + first] ?? 1,
    header: shape.header,
    width: shape.width,
    kinds: shape.kinds,
  };
}

export type RowPart = 'row' | 'preamble' | 'header' | 'blank' | 'footer' | 'second-table';

export interface FoundRecord {
  readonly cells: readonly string[];
  readonly line: number;
  readonly part: RowPart;
}

/** Records held back until what follows tells whether they end the table. */
const mostWaiting = 4;

/** Sorts records one by one into rows and the rest; a few are held back until what follows them is known. */
export class RowSorter {
  readonly #start: TableStart;
  readonly #header: string;
  readonly #typedColumns: readonly number[];
  #afterBlank = false;
  #ended = false;
  /** Short or foreign records whose part is not known yet. */
  #waiting: { cells: readonly string[]; line: number; afterBlank: boolean }[] = [];

  constructor(start: TableStart) {
    this.#start = start;
    this.#header = (start.header ?? []).map((cell) => cell.trim()).join('\u001f');
    this.#typedColumns = start.kinds.map((kind, i) => (isTyped(kind) ? i : -1)).filter((i) => i >= 0);
  }

  /** Takes a record; gives back the records whose part is now known, in order. */
  take(cells: readonly string[], line: number): FoundRecord[] {
    const start = this.#start;
    const isBlank = cells.length === 1 && (cells[0] ?? '').trim() === '';
    if (line < start.rowLine) {
      return [{ cells, line, part: isBlank ? 'blank' : line < start.headerLine ? 'preamble' : 'header' }];
    }
    if (this.#ended) return [{ cells, line, part: isBlank ? 'blank' : 'second-table' }];
    if (isBlank) {
      this.#afterBlank = true;
      return [{ cells, line, part: 'blank' }];
    }
    const afterBlank = this.#afterBlank;
    this.#afterBlank = false;
    if (this.#header !== '' && cells.map((cell) => cell.trim()).join('\u001f') === this.#header) {
      return [...this.#release('row'), { cells, line, part: 'header' }];
    }
    if (!this.#isOdd(cells, afterBlank)) {
      return [...this.#release('row'), { cells, line, part: 'row' }];
    }
    this.#waiting.push({ cells, line, afterBlank });
    if (this.#startsSecondTable(false)) {
      this.#ended = true;
      return this.#release('second-table');
    }
    return this.#waiting.length > mostWaiting ? this.#release('row') : [];
  }

  /** No more records: those held back end the file. */
  end(): FoundRecord[] {
    if (this.#waiting.length === 0) return [];
    if (this.#startsSecondTable(true)) return this.#release('second-table');
    const first = this.#waiting.find(({ cells }) => !isEmpty(cells));
    const short = this.#waiting.every(
      ({ cells }) => isEmpty(cells) || isShort(cells, this.#start.width) || this.#isLoneWord(cells),
    );
    const isFooter = first !== undefined && (short || isFooterWord(first.cells[0] ?? ''));
    return this.#release(isFooter ? 'footer' : 'row');
  }

  #release(part: RowPart): FoundRecord[] {
    const released = this.#waiting.map(({ cells, line }) => ({ cells, line, part }));
    this.#waiting = [];
    return released;
  }

  /** Records that may not belong to the table: far too short, or of another width, or words where values stand. */
  #isOdd(cells: readonly string[], afterBlank: boolean): boolean {
    const { width, kinds } = this.#start;
    if (isEmpty(cells) || this.#isLoneWord(cells)) return true;
    const first = this.#waiting.find((one) => !isEmpty(one.cells));
    if (first && cells.length === first.cells.length && cells.length !== width) return true;
    if (isShort(cells, width)) return !isBrokenRow(cells, kinds);
    if (isFooterWord(cells[0] ?? '') && cells.length !== width) return true;
    if (first && this.#looksLikeHeader(first.cells) && !this.#fits(cells)) return true;
    if (cells.length !== width) return afterBlank || this.#looksLikeHeader(cells);
    return this.#looksLikeHeader(cells) && (afterBlank || !this.#fits(cells));
  }

  /** A word in the first cell, where this table has a value, and nothing in the others: a footnote padded to the width. */
  #isLoneWord(cells: readonly string[]): boolean {
    const { width, kinds } = this.#start;
    return (
      width >= 3 &&
      cells.length >= 2 &&
      isTyped(kinds[0] ?? 'word') &&
      cellKind(cells[0] ?? '') === 'word' &&
      cells.slice(1).every((cell) => cell.trim() === '')
    );
  }

  /** Cells in the typed columns are of the column's kind, at least half of them. */
  #fits(cells: readonly string[]): boolean {
    if (cells.length !== this.#start.width) return false;
    let filled = 0;
    let agree = 0;
    for (const column of this.#typedColumns) {
      const kind = cellKind(cells[column] ?? '');
      if (kind === 'empty') continue;
      filled++;
      if (isTyped(kind)) agree++;
    }
    return filled === 0 || agree / filled >= 0.5;
  }

  /** Words in every cell, where this table has values. */
  #looksLikeHeader(cells: readonly string[]): boolean {
    if (this.#typedColumns.length === 0 || cells.length < 2) return false;
    const names = cells.map((cell) => cell.trim());
    return names.every((cell) => cell !== '' && !isTyped(cellKind(cell))) && new Set(names).size === names.length;
  }

  /** Whether the records held back are another table: a header with rows of its own width, or a block of one width. */
  #startsSecondTable(atEnd: boolean): boolean {
    // Records of empty cells part tables as blank lines do.
    const from = this.#waiting.findIndex(({ cells }) => !isEmpty(cells));
    const first = this.#waiting[from];
    if (!first) return false;
    const waiting = this.#waiting.slice(from);
    const afterBlank = first.afterBlank || from > 0;
    const { width } = this.#start;
    const rest = waiting.slice(1);
    const sameWidth = rest.length > 0 && rest.every(({ cells }) => cells.length === first.cells.length);
    if (!sameWidth || first.cells.length < 2) return false;
    const isHeader = this.#looksLikeHeader(first.cells);
    const otherWidth = first.cells.length !== width;
    if (isHeader && (otherWidth || afterBlank) && (rest.length >= 2 || atEnd)) return true;
    return otherWidth && afterBlank && (rest.length >= 3 || (atEnd && rest.length >= 1));
  }
}

function isEmpty(cells: readonly string[]): boolean {
  return cells.every((cell) => cell.trim() === '');
}

function isShort(cells: readonly string[], width: number): boolean {
  const filled = cells.filter((cell) => cell.trim() !== '').length;
  return width >= 3 && cells.length < Math.max(2, width / 2) && filled < width / 2;
}

/** The delimiter's name for messages. */
export function delimiterName(dialect: Dialect): string {
  return dialect.delimiter === blanks ? 'blanks' : dialect.delimiter === '\t' ? 'tabs' : dialect.delimiter;
}

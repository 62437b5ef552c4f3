/**
 * Finds how a text is cut into cells: delimiter, quote, escape.
 *
 * Every candidate cuts the same first lines; the one whose records agree best in number of cells, and whose cells look
 * most like values, wins. Characters are not counted: a decimal comma must not beat a semicolon.
 * Method after G. J. J. van den Burg, A. Nazabal, C. Sutton, "Wrangling messy CSV files by detecting row and type
 * patterns", Data Mining and Knowledge Discovery 33 (2019) 1799: pattern score times type score (from memory).
 */
import { type CellKind, cellKind } from './cell-kind.ts';
import { blanks, type Dialect, Tokeniser } from './tokeniser.ts';

export interface DialectFinding {
  readonly dialect: Dialect;
  /** Share of records that have the most frequent number of cells. */
  readonly agreement: number;
  /** That number. */
  readonly width: number;
  /** A first line `sep=;`. */
  readonly sepLine: boolean;
  /** Lone cells that are numbers with a comma were kept whole though commas part the text. */
  readonly looseComma: boolean;
}

const delimiters = [',', ';', '\t', '|', blanks, ' ', '^', '~'] as const;
const sampleRecords = 300;

/**
 * Finds the dialect of a text's first lines.
 *
 * @param head text from the start of the file, cut anywhere; `whole` when it is the whole file
 */
export function findDialect(head: string, whole: boolean): DialectFinding {
  const sep = /^\ufeff?"?sep=(.)"?[ \t]*(?:\r\n|\r|\n|$)/i.exec(head);
  const body = sep ? head.slice(sep[0].length) : head;
  const named = sep?.[1];
  let best: { dialect: Dialect; score: number; records: string[][] } | null = null;
  const quotes = quotesIn(body);
  const candidates = named ? [named] : endsInBlanks(body) ? [' ', ...delimiters] : delimiters;
  const otherInMostLines = hasOtherDelimiter(body);
  for (const delimiter of candidates) {
    if (delimiter !== blanks && !body.includes(delimiter)) continue;
    if (delimiter === blanks && !/[ \t]/.test(body)) continue;
    for (const quote of quotes) {
      for (const escaping of escapesIn(body, quote)) {
        const dialect: Dialect = { delimiter, blankAfter: false, quote, escape: escaping };
        const records = cut(body, dialect, whole);
        const score = scoreOf(records, dialect) * (isBlankish(delimiter) && otherInMostLines ? 0.5 : 1);
        if (!best || score > best.score * 1.000001) best = { dialect, score, records };
      }
    }
  }
  const undivided: Dialect = { delimiter: named ?? ',', blankAfter: false, quote: '"', escape: 'doubled' };
  if (!best) {
    const records = cut(body, undivided, whole);
    return {
      dialect: undivided,
      agreement: 1,
      width: widthOf(records).width,
      sepLine: sep !== null,
      looseComma: false,
    };
  }
  if (best.dialect.delimiter === ',' && !named && isOneColumnOfDecimals(best.records)) {
    // A character that is not in the text keeps its lines whole.
    const dialect: Dialect = { ...undivided, delimiter: unusedDelimiter(body) };
    return { dialect, agreement: 1, width: 1, sepLine: false, looseComma: true };
  }
  const { width, share } = widthOf(best.records);
  const dialect = blankFollows(body, best.dialect, best.records, whole)
    ? { ...best.dialect, blankAfter: true }
    : best.dialect;
  return { dialect, agreement: share, width, sepLine: sep !== null, looseComma: false };
}

/**
 * Records of the first lines under a dialect; the last, perhaps cut one is left out unless the text is whole.
 *
 * @param expected cells that a record should have, 0 unknown (`Tokeniser.expected`)
 */
export function cut(head: string, dialect: Dialect, whole: boolean, expected = 0): string[][] {
  const most = sampleRecords;
  const tokeniser = new Tokeniser(dialect);
  tokeniser.expected = expected;
  tokeniser.push(head);
  if (whole) tokeniser.end();
  const records: string[][] = [];
  while (records.length < most && tokeniser.next()) records.push(tokeniser.cells());
  // A first line longer than the sample: better cut than nothing.
  if (records.length === 0 && !whole) {
    tokeniser.end();
    if (tokeniser.next()) records.push(tokeniser.cells());
  }
  return records;
}

/** Most lines end in one blank: each blank then parts two cells, and the one at the end leaves an empty cell. */
function endsInBlanks(text: string): boolean {
  const lines = text.split(/\r\n|\r|\n/, sampleRecords).filter((line) => line.trim() !== '');
  return lines.length > 1 && lines.filter((line) => /\S $/.test(line)).length > lines.length * 0.6;
}

const isBlankish = (delimiter: string): boolean => delimiter === blanks || delimiter === ' ';

/** Semicolons, tabs or bars in most lines: blanks are then parts of cells. (A comma may be a decimal mark.) */
function hasOtherDelimiter(text: string): boolean {
  const lines = text.split(/\r\n|\r|\n/, sampleRecords).filter((line) => line.trim() !== '');
  return [';', '\t', '|'].some(
    (delimiter) => lines.filter((line) => line.includes(delimiter)).length > lines.length / 2,
  );
}

/** Physical line, from 1, of each record that `cut` gives, and of what follows the last. */
export function linesOfRecords(
  head: string,
  dialect: Dialect,
  whole: boolean,
  expected: number,
  most: number,
): number[] {
  const tokeniser = new Tokeniser(dialect);
  tokeniser.expected = expected;
  tokeniser.push(head);
  if (whole) tokeniser.end();
  const lines: number[] = [];
  while (lines.length < most && tokeniser.next()) lines.push(tokeniser.line);
  lines.push(tokeniser.lineTotal + 1);
  return lines;
}

function quotesIn(text: string): readonly ('"' | "'")[] {
  // A single quote only counts where it stands at both ends of a cell.
  const hasSingle = /(?:^|[,;\t| \n\r])'[^'\n]*'(?=[,;\t| \n\r]|$)/.test(text);
  return hasSingle ? ['"', "'"] : ['"'];
}

function escapesIn(text: string, quote: string): readonly ('doubled' | 'backslash')[] {
  return text.includes(`\\${quote}`) ? ['doubled', 'backslash'] : ['doubled'];
}

const typeWorth: Readonly<Record<CellKind, number>> = {
  empty: 0.75,
  integer: 1,
  number: 1,
  quantity: 1,
  date: 1,
  time: 1,
  'date-time': 1,
  unit: 1,
  'own-result': 1,
  word: 0.85,
  other: 0.1,
};

function scoreOf(records: readonly string[][], dialect: Dialect): number {
  const patterns = new Map<number, number>();
  let cells = 0;
  let worth = 0;
  let lines = 0;
  for (const record of records) {
    if (record.every((cell) => cell.trim() === '')) continue;
    lines++;
    patterns.set(record.length, (patterns.get(record.length) ?? 0) + 1);
    for (const cell of record.slice(0, 60)) {
      cells++;
      worth += worthOf(cell, dialect);
    }
  }
  if (lines === 0) return 0;
  let pattern = 0;
  for (const [width, count] of patterns) pattern += (count * Math.max(width - 1, 0.001)) / width;
  // Agreement counts twice over: the share of the commonest width keeps a ragged cut with many cells from winning.
  const share = widthOf(records).share;
  pattern = (pattern / lines) * share * share;
  let score = pattern * (worth / cells) ** 2;
  // Rarer ways of writing must show that they explain more, not as much.
  if (dialect.quote === "'") score *= 0.999;
  if (dialect.delimiter === ' ' || dialect.delimiter === blanks) score *= 0.9;
  if (dialect.delimiter === '^' || dialect.delimiter === '~') score *= 0.98;
  return score;
}

function worthOf(cell: string, dialect: Dialect): number {
  const kind = cellKind(cell);
  if (kind === 'other' || kind === 'word') {
    const text = cell.trim();
    // Quotes left in a cell speak against the quote character or the escape.
    if (/^["']|["']$/.test(text)) return 0.3;
    if (dialect.escape === 'doubled' && text.includes('\\"')) return 0.05;
  }
  return typeWorth[kind];
}

/** The commonest number of cells among lines that hold anything, and its share; wider wins a tie. */
export function widthOf(records: readonly (readonly string[])[]): { width: number; share: number } {
  const counts = new Map<number, number>();
  let lines = 0;
  for (const record of records) {
    if (record.every((cell) => cell.trim() === '')) continue;
    lines++;
    counts.set(record.length, (counts.get(record.length) ?? 0) + 1);
  }
  let width = 1;
  let most = 0;
  for (const [cells, count] of counts) {
    if (count > most || (count === most && cells > width)) {
      width = cells;
      most = count;
    }
  }
  return { width, share: lines === 0 ? 1 : most / lines };
}

/**
 * One column of numbers with a decimal comma, which commas would cut in two: the header has one cell, or there is none
 * and the second half always has the same number of digits.
 */
function isOneColumnOfDecimals(records: readonly string[][]): boolean {
  const body = records.filter((record) => record.length === 2);
  if (body.length < 2 || records.some((record) => record.length > 2)) return false;
  const isPair = (record: readonly string[]): boolean =>
    /^\s*[+-]?\d{1,6}$/.test(record[0] ?? '') && /^\d{1,4}\s*$/.test(record[1] ?? '');
  if (!body.every(isPair)) return false;
  const header = records.find((record) => record.some((cell) => cell.trim() !== ''));
  if (header && header.length === 1) return true;
  const digits = new Set(body.map((record) => (record[1] ?? '').trim().length));
  return digits.size === 1 && body.some((record) => /^0\d/.test(record[1] ?? ''));
}

function unusedDelimiter(text: string): string {
  for (const character of ['\t', ';', '|', '^', '~']) if (!text.includes(character)) return character;
  return '\u0001';
}

/** Whether (nearly) every delimiter is followed by exactly one blank, so that the blank belongs to it. */
function blankFollows(text: string, dialect: Dialect, records: readonly string[][], whole: boolean): boolean {
  if (dialect.delimiter === blanks || dialect.delimiter === ' ') return false;
  let after = 0;
  let cells = 0;
  for (const record of records) {
    for (const cell of record.slice(1)) {
      if (cell === '') continue;
      cells++;
      if (cell.startsWith(' ') && !cell.startsWith('  ')) after++;
    }
  }
  if (cells > 0 && after / cells > 0.95) return true;
  // With quoted cells the blank hides the opening quote: compare how much of the text agrees with and without it.
  if (!text.includes(`${dialect.delimiter} ${dialect.quote}`)) return false;
  const wide = cut(text, { ...dialect, blankAfter: true }, whole);
  return scoreOf(wide, dialect) > scoreOf(records, dialect) * 1.05;
}

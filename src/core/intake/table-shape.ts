/** Finds the table in a file's first records: what stands above it, its header rows, its first data row. */
import { type CellKind, cellKind, isTyped } from './cell-kind.ts';
import { widthOf } from './dialect.ts';
import { roleOfHeader } from './header-words.ts';
import { unitOfText } from './unit-words.ts';

export interface TableShape {
  /** Records before the header (or before the data when there is none). */
  readonly preamble: number;
  /** Records of the header: 0, 1 or more. */
  readonly headerRows: number;
  /** Header cells joined by one blank column by column; null: no header. */
  readonly header: readonly string[] | null;
  /** Cells of a data record. */
  readonly width: number;
  /** Commonest kind of each column's cells. */
  readonly kinds: readonly CellKind[];
  /** Pairs found above the table. */
  readonly facts: Readonly<Record<string, string>>;
  /** Records of data seen in the sample. */
  readonly dataRecords: number;
  /** Data records that are shorter than the table, by width, when that is this file's habit. */
  readonly shortWidth: number | null;
}

/**
 * Finds the table.
 *
 * A data record has the table's width and cells of the kinds its columns mostly have. Header rows are the records of
 * words right above the first of these. In a table of words alone the first full record is the header.
 */
export function findTable(records: readonly (readonly string[])[]): TableShape {
  const filled = records.map((record) => record.some((cell) => cell.trim() !== ''));
  const kinds = records.map((record) => record.slice(0, 300).map(cellKind));
  const width = tableWidth(records, kinds);
  const columnKinds = kindsOfColumns(records, kinds, width);
  const typedColumns = columnKinds.map((kind, i) => (isTyped(kind) ? i : -1)).filter((i) => i >= 0);
  const fits = (index: number): boolean => {
    const record = records[index] ?? [];
    if (!isNearWidth(record, width)) return false;
    const own = kinds[index] ?? [];
    let agree = 0;
    let filledTyped = 0;
    for (const column of typedColumns) {
      const kind = own[column] ?? 'empty';
      if (kind === 'empty') continue;
      filledTyped++;
      if (sameFamily(kind, columnKinds[column] ?? 'word')) agree++;
    }
    return filledTyped > 0 && agree / filledTyped >= 0.5;
  };
  let first = -1;
  if (typedColumns.length > 0) {
    for (let i = 0; i < records.length && first < 0; i++) if (filled[i] && fits(i)) first = i;
  }
  if (first < 0) return tableOfWords(records, filled, width, columnKinds);
  // A header a little higher: what lies between are data records that something is wrong with, not a preamble.
  const above = records[first - 1];
  if (
    kinds[first - 1]?.some((kind) => kind !== 'unit' && isTyped(kind)) ||
    isLongCell(above, width) ||
    isBrokenRow(above, columnKinds)
  ) {
    for (let i = first - 2; i >= 0 && i >= first - 4; i--) {
      if (!isHeaderLike(records[i], width, kinds[i])) continue;
      first = i + 1;
      break;
    }
  }
  // Header rows: full records of words right above the data; blank lines between are passed over.
  let top = first;
  let headerRows = 0;
  for (let i = first - 1; i >= 0 && headerRows < 3; i--) {
    if (!filled[i]) {
      if (headerRows > 0 || first - i > 3) break;
      continue;
    }
    const record = records[i] ?? [];
    const own = kinds[i] ?? [];
    const cells = record.filter((cell) => cell.trim() !== '').length;
    const measured = own.filter((kind) => kind !== 'unit' && kind !== 'own-result' && isTyped(kind)).length;
    const isUnits = headerRows === 0 && isUnitRow(record);
    const wideEnough =
      (isNearWidth(record, width) || isLongHeader(record, width)) &&
      (cells >= Math.max(1, Math.ceil(width * 0.5)) || isUnits || (headerRows > 0 && isGroupRow(record, width)));
    const isPair = isKeyValue(record, width) && !(isUnits && isUnitsOnly(record, columnKinds));
    if (!wideEnough || measured > cells * 0.25 || isPair) break;
    if (headerRows > 0 && !isSecondHeader(record, records[top] ?? [])) break;
    top = i;
    headerRows++;
  }
  let header =
    headerRows > 0
      ? joinHeader(
          records.slice(top, first).filter((_, i) => filled[top + i]),
          width,
        )
      : null;
  // Names parted by another character than the values: a header all the same, when it gives one name a column.
  if (header === null && first > 0) {
    const names = namesParted(records[first - 1] ?? [], width);
    if (names !== null) {
      header = names;
      top = first - 1;
      headerRows = 1;
    }
  }
  let dataRecords = 0;
  const short = new Map<number, number>();
  for (let i = first; i < records.length; i++) {
    if (!filled[i]) continue;
    dataRecords++;
    const cells = records[i]?.length ?? 0;
    if (cells < width) short.set(cells, (short.get(cells) ?? 0) + 1);
  }
  let shortWidth: number | null = null;
  for (const [cells, count] of short)
    if (count >= 3 && count / dataRecords >= 0.1) shortWidth = Math.min(cells, shortWidth ?? cells);
  return {
    preamble: top,
    headerRows: headerRows === 0 ? 0 : first - top,
    header,
    width,
    kinds: columnKinds,
    facts: factsOf(records.slice(0, top)),
    dataRecords,
    shortWidth,
  };
}

/** Width of the table: the commonest among records that hold values, so that a long preamble does not outvote it. */
function tableWidth(records: readonly (readonly string[])[], kinds: readonly (readonly CellKind[])[]): number {
  const valued = records.filter((_, i) =>
    (kinds[i] ?? []).some((kind) => kind !== 'unit' && kind !== 'own-result' && isTyped(kind)),
  );
  const weighted = new Map<number, number>();
  for (const record of valued) {
    weighted.set(record.length, (weighted.get(record.length) ?? 0) + Math.min(record.length, 8));
  }
  let width = 0;
  let most = 0;
  for (const [cells, weight] of weighted) {
    if (weight > most || (weight === most && cells > width)) {
      width = cells;
      most = weight;
    }
  }
  if (width === 0) return widthOf(records).width;
  // One cell more than the header, always empty: a delimiter at the end of each data line.
  const body = valued.filter((record) => record.length === width);
  const trailing = body.length > 0 && width > 1 && body.every((record) => (record[width - 1] ?? '').trim() === '');
  if (!trailing) return width;
  const firstBody = records.findIndex((record) => body.includes(record));
  const isHeaderAbove = records
    .slice(0, firstBody)
    .some(
      (record, i) =>
        record.length === width - 1 &&
        record.every((cell) => cell.trim() !== '') &&
        !(kinds[i] ?? []).some((kind) => kind !== 'unit' && kind !== 'own-result' && isTyped(kind)),
    );
  return isHeaderAbove ? width - 1 : width;
}

function kindsOfColumns(
  records: readonly (readonly string[])[],
  kinds: readonly (readonly CellKind[])[],
  width: number,
): CellKind[] {
  const columns: CellKind[] = [];
  for (let column = 0; column < width; column++) {
    const counts = new Map<CellKind, number>();
    for (let i = 0; i < records.length; i++) {
      if (!isNearWidth(records[i] ?? [], width)) continue;
      const kind = kinds[i]?.[column] ?? 'empty';
      if (kind === 'empty') continue;
      const family = kind === 'integer' ? 'number' : kind;
      counts.set(family, (counts.get(family) ?? 0) + 1);
    }
    let best: CellKind = 'empty';
    let most = 0;
    for (const [kind, count] of counts) {
      // Header words and device blocks of joined short dumps: the values are the column's kind.
      const weight = isTyped(kind) && kind !== 'unit' && kind !== 'own-result' ? 2.5 * count : count;
      if (weight > most) {
        best = kind;
        most = weight;
      }
    }
    columns.push(best);
  }
  return columns;
}

function sameFamily(a: CellKind, b: CellKind): boolean {
  const family = (kind: CellKind): string =>
    kind === 'integer' || kind === 'number' || kind === 'quantity' ? 'number' : kind;
  return family(a) === family(b);
}

function isNearWidth(record: readonly string[], width: number): boolean {
  if (record.length === width) return true;
  if (record.length > width) return record.slice(width).every((cell) => cell.trim() === '');
  return width > 3 && record.length >= width - 1;
}

/** A record of words with a name or two more than the rows have cells: a delimiter too many in the header. */
function isLongHeader(record: readonly string[], width: number): boolean {
  return (
    width > 3 && record.length > width && record.length <= width + 2 && !record.some((cell) => isTyped(cellKind(cell)))
  );
}

/**
 * A row whose delimiters went wrong: too few cells, in which as many values stand as the table's columns promise.
 *
 * @param kinds commonest kind of each column
 */
export function isBrokenRow(record: readonly string[] | undefined, kinds: readonly CellKind[]): boolean {
  if (record === undefined || kinds.length < 3 || record.length >= kinds.length) return false;
  const wanted = kinds.filter(isTyped).length;
  if (wanted < 2) return false;
  const text = record.join(' ').slice(0, 4000);
  let found = 0;
  for (const part of text.split(/[\s;,|"']+/)) if (part !== '' && isTyped(cellKind(part))) found++;
  return found >= Math.max(2, Math.ceil(wanted * 0.6)) && startsAsRow(record[0] ?? '', kinds[0] ?? 'empty');
}

/** Whether a cell begins with a value of the first column's kind (or anything, where that column holds words). */
function startsAsRow(cell: string, kind: CellKind): boolean {
  if (!isTyped(kind)) return true;
  const start = /^[\s"']*([^\s;,|"']+)/.exec(cell)?.[1] ?? '';
  return sameFamily(cellKind(start), kind);
}

/** A lone line cut by another delimiter into exactly one different word a column; null: it is none. */
function namesParted(record: readonly string[], width: number): string[] | null {
  if (width < 3 || record.length > Math.max(2, width / 2)) return null;
  const line = record.join(',').trim();
  for (const delimiter of [';', '\t', '|', ',', ' ']) {
    const names = line.split(delimiter).map((name) => name.trim().replace(/^(["'])(.*)\1$/, '$2'));
    if (names.length !== width || new Set(names).size !== width) continue;
    if (names.every((name) => /\p{L}/u.test(name) && !/[:=]$/.test(name) && !isTyped(cellKind(name)))) return names;
  }
  return null;
}

/** Too few cells, one of which holds several more: a quote or a delimiter went wrong. */
function isLongCell(record: readonly string[] | undefined, width: number): boolean {
  return (
    record !== undefined &&
    width > 3 &&
    record.length < width &&
    record.some((cell) => /([,;\t|]).*\1/.test(cell) && /\d/.test(cell))
  );
}

/** A full record of different words, none of them a value. */
function isHeaderLike(
  record: readonly string[] | undefined,
  width: number,
  kinds: readonly CellKind[] | undefined,
): boolean {
  if (!record || !kinds || record.length !== width || width < 3) return false;
  const names = record.map((cell) => cell.trim());
  return (
    names.every((name) => name !== '') &&
    new Set(names).size === names.length &&
    !kinds.some((kind) => isTyped(kind) && kind !== 'unit')
  );
}

/** A second header row holds units or brackets in some cells and nothing in most others. */
function isUnitRow(record: readonly string[]): boolean {
  const cells = record.map((cell) => cell.trim()).filter((cell) => cell !== '');
  if (cells.length === 0) return false;
  return cells.filter(isUnitCell).length / cells.length >= 0.5;
}

const isUnitCell = (cell: string): boolean =>
  unitOfText(cell.replace(/^[[(]|[\])]$/g, '')) !== null ||
  /^[[(<{-].{0,24}[\])>}-]$|^-$|^[°%#]$|^(?:deg|degrees?|grad)$/i.test(cell);

/** Nothing but units, each over a column of numbers: no pair of key and value, however few they are. */
function isUnitsOnly(record: readonly string[], kinds: readonly CellKind[]): boolean {
  return record.every((cell, column) => {
    const text = cell.trim();
    return text === '' || (isUnitCell(text) && sameFamily(kinds[column] ?? 'empty', 'number'));
  });
}

/** Whether a record above a header row belongs to the header: names for columns, not a line of text. */
function isSecondHeader(upper: readonly string[], lower: readonly string[]): boolean {
  const words = upper.filter((cell) => cell.trim() !== '');
  if (words.length < 2) return false;
  return (
    isUnitRow(lower) ||
    isGroupRow(upper, lower.length) ||
    words.length >= upper.length - 1 ||
    words.some((cell) => roleOfHeader(cell) !== null)
  );
}

/** Names over groups of columns: a full record with gaps between its words (`Final,,Limits,`). */
function isGroupRow(record: readonly string[], width: number): boolean {
  // A digit or a colon speaks of pairs of key and value, padded by a spreadsheet.
  if (record.length !== width || width < 3 || record.some((cell) => /[\d:=]/.test(cell))) return false;
  const filled = record.map((cell) => cell.trim() !== '');
  const first = filled.indexOf(true);
  const gap = filled.indexOf(false, first);
  return first >= 0 && gap >= 0 && filled.indexOf(true, gap) >= 0;
}

function isKeyValue(record: readonly string[], width: number): boolean {
  const cells = record.filter((cell) => cell.trim() !== '');
  return width > 2 && cells.length <= 2 && cells.length < width - 1 && !isGroupRow(record, width);
}

function joinHeader(rows: readonly (readonly string[])[], width: number): string[] {
  const header: string[] = [];
  // Names beyond the rows' width are kept; a delimiter at the header's end is none.
  let names = width;
  for (const row of rows) for (let i = row.length - 1; i >= names; i--) if ((row[i] ?? '').trim() !== '') names = i + 1;
  for (let column = 0; column < names; column++) {
    header.push(
      rows
        .map((row) => (row[column] ?? '').trim())
        .filter((cell) => cell !== '')
        .join(' '),
    );
  }
  return header;
}

function tableOfWords(
  records: readonly (readonly string[])[],
  filled: readonly boolean[],
  width: number,
  kinds: readonly CellKind[],
): TableShape {
  const first = records.findIndex((record, i) => filled[i] === true && record.length === width && width > 1);
  const top = first < 0 ? records.length : first;
  const cells = records[top] ?? [];
  const named =
    first >= 0 &&
    new Set(cells.map((cell) => cell.trim())).size === cells.length &&
    cells.every((cell) => cell.trim() !== '');
  const lonely = width === 1 && filled.some(Boolean);
  const headerAt = lonely ? filled.indexOf(true) : top;
  const isHeader = named || (lonely && records.length > 1);
  return {
    preamble: isHeader ? headerAt : top,
    headerRows: isHeader ? 1 : 0,
    header: isHeader ? (records[headerAt] ?? []).map((cell) => cell.trim()) : null,
    width,
    kinds,
    facts: factsOf(records.slice(0, Math.max(headerAt, 0))),
    dataRecords: records.filter((_, i) => filled[i] === true && i > headerAt).length,
    shortWidth: null,
  };
}

/**
 * Pairs of a device block: `Serial;T-411`, `Serial: T-411`, `Serial = T-411`, two such pairs on one line, a leading `#`.
 */
export function factsOf(records: readonly (readonly string[])[]): Record<string, string> {
  const facts: Record<string, string> = {};
  let count = 0;
  const put = (key: string, value: string): void => {
    const name = key
      .replace(/^[#*/\s]+/, '')
      .replace(/\s*[:=]\s*$/, '')
      .trim();
    if (name === '' || value === '' || name.length > 80 || count >= 100 || Object.hasOwn(facts, name)) return;
    facts[name] = value.slice(0, 500);
    count++;
  };
  for (const record of records) for (const [key, value] of pairsOf(record)) put(key, value);
  return facts;
}

/** Key-value pairs on one line. */
export function pairsOf(record: readonly string[]): [string, string][] {
  const cells = record.map((cell) => cell.trim()).filter((cell) => cell !== '');
  const pairs: [string, string][] = [];
  const inline = (text: string): boolean => {
    const m = /^([^:=]{1,80}?)\s*[:=]\s*(.+)$/.exec(text);
    if (!m?.[1] || !m[2] || /^[\d\s.,-]+$/.test(m[1])) return false;
    pairs.push([m[1], m[2].trim()]);
    return true;
  };
  if (cells.length === 1) inline(cells[0] ?? '');
  else {
    for (let i = 0; i < cells.length; ) {
      const cell = cells[i] ?? '';
      const value = cells[i + 1];
      if (/[:=]\s*$/.test(cell) || value === undefined || !inline(cell)) {
        if (value !== undefined) pairs.push([cell, value]);
        i += 2;
      } else i++;
    }
  }
  return pairs;
}

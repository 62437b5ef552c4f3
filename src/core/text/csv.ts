/** One record of comma-separated text by RFC 4180, with its line ending. Absent values are empty cells. */
export function csvRecord(cells: readonly (string | number | null)[]): string {
  return `${cells.map(csvCell).join(',')}\r\n`;
}

/**
 * One cell: quoted where it holds a comma, a quote, a line break or blanks at an end.
 *
 * A text that a spreadsheet would take for a formula (= + - @ at its start) is quoted and led by an apostrophe; numbers
 * are not texts and stay as they are.
 */
export function csvCell(value: string | number | null): string {
  if (value === null) return '';
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
  const safe = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]|^\s|\s$/.test(safe) ? `"${safe.replace(/"/g, '""')}"` : safe;
}

/** A cell without the apostrophe that `csvCell` puts before what a spreadsheet would take for a formula. */
export function withoutFormulaGuard(cell: string): string {
  return /^'[=+\-@\t\r]/.test(cell) ? cell.slice(1) : cell;
}

/**
 * Records of comma-separated text by RFC 4180, for tables that this program wrote or asks for. Dumps are read by the
 * reader, which knows every other dialect.
 *
 * A semicolon or a tab separates where the first line holds no comma: spreadsheets write those in half of the world. Empty
 * lines are left out; the apostrophe that `csvCell` puts before a formula is taken off again.
 *
 * @example csvRecords('a,b\r\n1,"x,y"') // => [['a', 'b'], ['1', 'x,y']]
 */
export function csvRecords(text: string): string[][] {
  const clean = text.replace(/^\uFEFF/, '');
  const firstLine = /^[^\r\n]*/.exec(clean)?.[0] ?? '';
  const separator = firstLine.includes(',')
    ? ','
    : firstLine.includes(';')
      ? ';'
      : firstLine.includes('\t')
        ? '\t'
        : ',';
  const records: string[][] = [];
  let record: string[] = [];
  let cell = '';
  let quoted = false;
  const endCell = (): void => {
    record.push(withoutFormulaGuard(cell));
    cell = '';
  };
  const endRecord = (): void => {
    endCell();
    if (record.some((one) => one.trim() !== '')) records.push(record);
    record = [];
  };
  for (let i = 0; i < clean.length; i++) {
    const sign = clean[i]!;
    if (quoted) {
      if (sign !== '"') cell += sign;
      else if (clean[i + 1] === '"') {
        cell += '"';
        i++;
      } else quoted = false;
    } else if (sign === '"' && cell === '') quoted = true;
    else if (sign === separator) endCell();
    else if (sign === '\n' || sign === '\r') {
      if (sign === '\r' && clean[i + 1] === '\n') i++;
      endRecord();
    } else cell += sign;
  }
  if (cell !== '' || record.length > 0) endRecord();
  return records;
}

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

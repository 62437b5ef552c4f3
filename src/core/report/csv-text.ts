/**
 * Rows as CSV (RFC 4180, CRLF), safe to open in a spreadsheet.
 *
 * Cells that a spreadsheet would run as a formula (= + - @, tab, carriage return first) get an apostrophe in front,
 * unless they are plain numbers. Source of the list: OWASP, CSV Injection.
 */
export function csvText(rows: readonly (readonly (string | number | null)[])[]): string {
  return rows.map((row) => `${row.map(cell).join(',')}\r\n`).join('');
}

function cell(value: string | number | null): string {
  if (value === null) return '';
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
  const safe = /^[=+\-@\t\r]/.test(value) && !/^[+-]?\d+(?:\.\d+)?$/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(safe) || safe !== safe.trim() ? `"${safe.replace(/"/g, '""')}"` : safe;
}

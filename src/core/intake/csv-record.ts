/** One record of RFC 4180 text, without its line break: cells quoted where they must be, nothing else changed. */
export function csvRecord(cells: readonly string[]): string {
  // A record of one empty cell would read back as no record at all.
  if (cells.length === 1 && cells[0] === '') return '""';
  return cells.map((cell) => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)).join(',');
}

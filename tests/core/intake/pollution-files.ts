/**
 * Files polluted as the public robustness benchmark of data loading pollutes its own: G. Vitagliano, M. Hameed, L. Jiang,
 * L. Reisener, E. Wu, F. Naumann, "Pollock: A Data Loading Benchmark", PVLDB 16(8), 2023.
 *
 * The kinds, their names and the shape of the source (nine columns; words, numbers with a currency sign, cells that are
 * always quoted, a last column that is always empty; CRLF) follow the authors' repository HPI-Information-Systems/Pollock
 * (MIT licence: pollute_main.py, polluters_stdlib.py, polluted_files/, pollock_weights.json). The data are our own.
 */

export const header = [
  'DATE',
  'TIME',
  'Qty',
  'PARTID',
  'Price',
  'PartType',
  'PartDescription',
  'URL',
  'Comments',
] as const;

/** Columns that the source quotes whatever they hold. */
const alwaysQuoted = new Set([6, 7]);

const kinds = [
  "Rider's Stem, Short",
  'Switch Crank Arms',
  'Axle Nut 15" Pair',
  "Kids' Seat Belt",
  'Cargo Box, Tall, 48"',
  'Chain Guard',
  "Dealer's  Bell 8 dB.",
];
const descriptions = [
  'These forged stems are rugged enough for daily loads yet light and quick enough to fit on the line.',
  "The next level of weather protection, it resists the salt and keeps out water. It won't let you down.",
  'Great grip, and extra strength, make these nuts ideal for warm, dry stores.',
  'Amazingly crisp clicks and a remarkably light feel in our 8\\\'9" length cable, impeccably made.',
  'Field tested in a variety of streets.',
];

/** 83 rows, as many as the benchmark's source has. */
export const rows: readonly (readonly string[])[] = Array.from({ length: 83 }, (_, i) => {
  const at = new Date(Date.UTC(2018, 0, 28) + i * 86_400_000 * 2);
  const day = `${String(at.getUTCDate()).padStart(2, '0')}/${String(at.getUTCMonth() + 1).padStart(2, '0')}/${at.getUTCFullYear()}`;
  const time = `${String(Math.floor(i / 4) % 24).padStart(2, '0')}:${String((i % 4) * 15).padStart(2, '0')}`;
  const id = `${'ABCDEFGH'[i % 8]}${'KLMNOPQ'[i % 7]}-${1000 + ((i * 7919) % 9000)}`;
  const price = i % 11 === 5 ? `$${20 + i}` : `$${(10 + ((i * 37) % 80) + i / 100).toFixed(i % 13 === 3 ? 1 : 2)}`;
  return [
    day,
    time,
    String((i * 5) % 34),
    id,
    price,
    kinds[i % kinds.length] ?? '',
    descriptions[i % descriptions.length] ?? '',
    `https://www.example.com/part/${id.replace('-', '_')}.html`,
    '',
  ];
});

export interface Dialect {
  readonly delimiter?: string;
  readonly quote?: string;
  /** What stands before a quote inside a quoted cell; empty: nothing. */
  readonly escape?: string;
  readonly end?: string;
}

/** A cell as the source writes it: what the benchmark leaves unquoted stays so when only a delimiter changes. */
function cellText(text: string, column: number, d: Dialect, inHeader: boolean): string {
  const { quote = '"', escape: before = quote } = d;
  const quoted = alwaysQuoted.has(column) || (!inHeader && /[",\r\n]/.test(text));
  return quoted ? quote + text.replaceAll('"', before === '' ? '"' : `${before}"`) + quote : text;
}

export function recordText(record: readonly string[], d: Dialect = {}, inHeader = false): string {
  return record.map((cell, column) => cellText(cell, column, d, inHeader)).join(d.delimiter ?? ',');
}

export function fileText(d: Dialect = {}, withHeader = true, data: readonly (readonly string[])[] = rows): string {
  const lines = [...(withHeader ? [recordText(header, d, true)] : []), ...data.map((row) => recordText(row, d))];
  return lines.map((line) => line + (d.end ?? '\r\n')).join('');
}

/** One row polluted: 0 is the header, as in the benchmark's file names. */
export function withRow(row: number, change: (cells: string[], line: string) => string): string {
  const records = [header as readonly string[], ...rows];
  return records
    .map((record, i) => {
      const line = recordText(record, {}, i === 0);
      if (i !== row) return `${line}\r\n`;
      return `${change(
        record.map((cell, column) => cellText(cell, column, {}, i === 0)),
        line,
      )}\r\n`;
    })
    .join('');
}

/** The benchmark's nine measures of one file: precision, recall and F1 of header cells, records and cells. */
export function measures(
  expected: { readonly header: readonly string[] | null; readonly rows: readonly (readonly string[])[] },
  loaded: { readonly header: readonly string[] | null; readonly rows: readonly (readonly string[])[] },
): number[] {
  // An empty cell is "null" in the benchmark's records, so that its place counts.
  const records = (table: readonly (readonly string[])[]): string[] =>
    table.map((row) => row.map((cell) => (cell === '' ? 'null' : cell)).join(''));
  return [
    ...overlap(expected.header ?? [], loaded.header ?? []),
    ...overlap(records(expected.rows), records(loaded.rows)),
    ...overlap(expected.rows.flat(), loaded.rows.flat()),
  ];
}

function overlap(expected: readonly string[], loaded: readonly string[]): [number, number, number] {
  if (expected.length === 0) return [1, 1, 1];
  const counts = new Map<string, number>();
  for (const one of expected) counts.set(one, (counts.get(one) ?? 0) + 1);
  let common = 0;
  for (const one of loaded) {
    const left = counts.get(one) ?? 0;
    if (left === 0) continue;
    counts.set(one, left - 1);
    common++;
  }
  if (common === 0) return [0, 0, 0];
  const precision = common / expected.length;
  const recall = common / loaded.length;
  return [precision, recall, (2 * precision * recall) / (precision + recall)];
}

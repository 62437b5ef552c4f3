/**
 * `rows` on every published kind of pollution, one test a kind (sources and names: pollution-files.ts), and the
 * benchmark's score over all of its 2,290 files.
 *
 * What a polluted row should give is the benchmark's own where its repository says so (clean/row_extra_quote*: the stray
 * quote is a character of the cell; clean/file_header_multirow_*: header rows joined by a blank), else the grammar's: a
 * delimiter too few joins two cells, one too many leaves an empty one.
 */
import Papa from 'papaparse';
import { describe, expect, test } from 'vitest';
import { type FoundTable, foundTable } from './found-table.ts';
import { fileText, header, measures, recordText, rows, withRow } from './pollution-files.ts';

const clean = { header: [...header] as readonly string[] | null, rows };
const everyRow = Array.from({ length: 84 }, (_, i) => i);
const everyColumn = Array.from({ length: 9 }, (_, i) => i);
/** Rows of the per-row tests; the score goes over all. */
const someRows = [0, 1, 2, 5, 42, 82, 83];

/** The benchmark's file name, the file, what it should give, and its weight (pollock_weights.json). */
interface Case {
  readonly name: string;
  readonly text: string | Uint8Array;
  readonly expected: FoundTable | null;
  readonly weight: number;
}

const wholeFile: readonly Case[] = [
  { name: 'source.csv', text: fileText(), expected: clean, weight: 1 },
  { name: 'file_no_payload.csv', text: '', expected: null, weight: 15 },
  { name: 'file_no_trailing_newline.csv', text: fileText().slice(0, -2), expected: clean, weight: 184 },
  { name: 'file_double_trailing_newline.csv', text: `${fileText()}\r\n`, expected: clean, weight: 5 },
  { name: 'file_no_header.csv', text: fileText({}, false), expected: { header: null, rows }, weight: 470 },
  { name: 'file_header_multirow_2.csv', text: multirow(2), expected: joined(2), weight: 47 },
  { name: 'file_header_multirow_3.csv', text: multirow(3), expected: joined(3), weight: 47 },
  {
    name: 'file_preamble.csv',
    text: `PREAMBLE,,,,,,,,\r\n,,,,,,,,\r\n${fileText()}`,
    expected: clean,
    weight: 282,
  },
  // Two tables: the second is left out (docs: `rows`), save where it has the first one's header: then it is the same
  // table going on, as when two dumps were joined.
  { name: 'file_multitable_less.csv', text: fileText() + secondTable(8), expected: clean, weight: 188 / 3 },
  { name: 'file_multitable_more.csv', text: fileText() + secondTable(10), expected: clean, weight: 188 / 3 },
  {
    name: 'file_multitable_same.csv',
    text: fileText() + secondTable(9),
    expected: { header: [...header], rows: [...rows, ...rows] },
    weight: 188 / 3,
  },
  {
    name: 'file_header_only.csv',
    text: fileText({}, true, []),
    expected: { header: [...header], rows: [] },
    weight: 3,
  },
  {
    name: 'file_one_data_row.csv',
    text: fileText({}, true, rows.slice(0, 1)),
    expected: { header: [...header], rows: rows.slice(0, 1) },
    weight: 4,
  },
  { name: 'file_record_delimiter_0xD.csv', text: fileText({ end: '\r' }), expected: clean, weight: 7 },
  { name: 'file_record_delimiter_0xA.csv', text: fileText({ end: '\n' }), expected: clean, weight: 1691 },
  { name: 'file_field_delimiter_0x9.csv', text: fileText({ delimiter: '\t' }), expected: clean, weight: 4 },
  { name: 'file_field_delimiter_0x3B.csv', text: fileText({ delimiter: ';' }), expected: clean, weight: 834 },
  // Cells of several words are not quoted there: they come apart, into cells whose words are all kept.
  { name: 'file_field_delimiter_0x20.csv', text: fileText({ delimiter: ' ' }), expected: byBlanks(), weight: 4 },
  { name: 'file_field_delimiter_0x2C_0x20.csv', text: fileText({ delimiter: ', ' }), expected: clean, weight: 101 },
  { name: 'file_quotation_char_0x27.csv', text: fileText({ quote: "'", escape: '' }), expected: clean, weight: 11 },
  { name: 'file_escape_char_0x5C.csv', text: fileText({ escape: '\\' }), expected: clean, weight: 1 },
  { name: 'file_escape_char_0x00.csv', text: fileText({ escape: '' }), expected: clean, weight: 7 },
];

/** Kinds of earlier versions of the benchmark, without a weight in the last. */
const earlier: readonly Case[] = [
  ...['utf-8', 'latin-1', 'utf-16'].map((encoding) => ({
    name: `file_encoding_${encoding}.csv`,
    text: encoded(fileText().replaceAll('Tall', 'Größe'), encoding),
    expected: {
      header: [...header],
      rows: rows.map((row) => row.map((cell) => cell.replaceAll('Tall', 'Größe'))),
    },
    weight: 0,
  })),
  { name: 'file_field_delimiter_0x7C.csv', text: fileText({ delimiter: '|' }), expected: clean, weight: 0 },
  {
    name: 'table_footnote_3_not_delimited.csv',
    text: fileText() + 'FOOTNOTE\r\n'.repeat(3),
    expected: clean,
    weight: 0,
  },
  {
    name: 'table_footnote_3_delimited.csv',
    text: fileText() + 'FOOTNOTE,,,,,,,,\r\n'.repeat(3),
    expected: clean,
    weight: 0,
  },
  {
    name: 'table_footnote_3_delimited_empty_row.csv',
    text: `${fileText()},,,,,,,,\r\n${'FOOTNOTE,,,,,,,,\r\n'.repeat(3)}`,
    expected: clean,
    weight: 0,
  },
  {
    name: 'table_footnote_3_not_delimited_empty_row.csv',
    text: `${fileText()}\r\n${'FOOTNOTE\r\n'.repeat(3)}`,
    expected: clean,
    weight: 0,
  },
  {
    name: 'table_preamble_3_not_delimited.csv',
    text: 'PREAMBLE\r\n'.repeat(3) + fileText(),
    expected: clean,
    weight: 0,
  },
  {
    name: 'table_preamble_3_delimited.csv',
    text: 'PREAMBLE,,,,,,,,\r\n'.repeat(3) + fileText(),
    expected: clean,
    weight: 0,
  },
  { name: 'table_num_columns_1.csv', text: columns(1), expected: columnsFound(1), weight: 0 },
  { name: 'table_num_columns_1024.csv', text: columns(1024), expected: columnsFound(1024), weight: 0 },
  { name: 'table_num_columns_17000.csv', text: columns(17_000), expected: columnsFound(17_000), weight: 0 },
  {
    name: 'column_header_1_empty_nonalnum.csv',
    text: renamed(0, ''),
    expected: { header: ['', ...header.slice(1)], rows },
    weight: 0,
  },
  {
    name: 'column_header_3_regular_nonalnum.csv',
    text: renamed(2, 'HEAD/%R'),
    expected: { header: header.map((name, i) => (i === 2 ? 'HEAD/%R' : name)), rows },
    weight: 0,
  },
  {
    name: 'column_header_[1, 2]_regular_nonunique.csv',
    text: fileText().replace('DATE,TIME', 'HEADER,HEADER'),
    expected: { header: ['HEADER', 'HEADER', ...header.slice(2)], rows },
    weight: 0,
  },
  {
    name: 'column_header_3_large.csv',
    text: renamed(2, 'HEADER'.repeat(1000)),
    expected: { header: header.map((name, i) => (i === 2 ? 'HEADER'.repeat(1000) : name)), rows },
    weight: 0,
  },
];

/** The four kinds of broken rows; every file of a kind has the same weight. */
const rowKinds: readonly {
  readonly name: string;
  readonly weight: number;
  readonly columns: readonly number[];
  readonly make: (row: number, column: number) => Case;
}[] = [
  { name: 'row_less_sep', weight: 0.36775106082036774, columns: everyColumn.slice(1), make: lessSeparators },
  { name: 'row_more_sep', weight: 0.36775106082036774, columns: everyColumn, make: moreSeparators },
  { name: 'row_extra_quote', weight: 0.009259259259259259, columns: everyColumn, make: extraQuote },
  { name: 'row_field_delimiter_0x20', weight: 0.009259259259259259, columns: [0], make: rowOfBlanks },
];

describe('pollutions of a whole file', () => {
  test.each(wholeFile.map((one) => [one.name, one] as const))('%s', (_name, one) => expectFound(one));
});

describe('pollutions of a whole file, earlier versions', () => {
  test.each(earlier.map((one) => [one.name, one] as const))('%s', (_name, one) => expectFound(one));
});

describe.each(rowKinds.map((kind) => [kind.name, kind] as const))('pollutions of one row: %s', (_name, kind) => {
  test.each(someRows)('row %i', async (row) => {
    for (const column of kind.columns) await expectFound(kind.make(row, column));
  });
});

async function expectFound(one: Case): Promise<void> {
  const found = await foundTable(one.text);
  if (one.expected === null) {
    expect(found.reading.problem?.message).toContain('empty');
    return;
  }
  expect(found.header, one.name).toEqual(one.expected.header);
  expect(found.rows, one.name).toEqual(one.expected.rows);
}

test('the score over all files: 10 is the most, 9.99 simple and 9.9 weighted are asked', async () => {
  let simple = 0;
  let weighted = 0;
  let weights = 0;
  let files = 0;
  const worst: { name: string; score: number }[] = [];
  const take = async (one: Case): Promise<void> => {
    const found = await foundTable(one.text);
    const score = one.expected === null ? 10 : 1 + measures(one.expected, found).reduce((sum, value) => sum + value, 0);
    simple += score;
    weighted += score * one.weight;
    weights += one.weight;
    files++;
    if (score < 9.99999) worst.push({ name: one.name, score });
  };
  for (const one of wholeFile) await take(one);
  for (const kind of rowKinds) {
    for (const row of everyRow) for (const column of kind.columns) await take(kind.make(row, column));
  }
  expect(files).toBe(22 + 672 + 756 + 756 + 84);
  worst.sort((a, b) => a.score - b.score);
  const list = worst.slice(0, 20).map((one) => `${one.name} ${one.score.toFixed(3)}`);
  console.log(
    `${files} files: simple ${(simple / files).toFixed(4)}, weighted ${(weighted / weights).toFixed(4)}; ${worst.length} below 10: ${list.join(', ')}`,
  );
  expect(simple / files).toBeGreaterThan(9.99);
  expect(weighted / weights).toBeGreaterThan(9.9);
}, 120_000);

function multirow(count: number): string {
  return `${header.join(',')}\r\n`.repeat(count - 1) + fileText();
}

function joined(count: number): FoundTable {
  return { header: header.map((name) => Array.from({ length: count }, () => name).join(' ')), rows };
}

function secondTable(width: number): string {
  const names = width > 9 ? [...header, 'col1'] : header.slice(0, width);
  const body = rows.map((row) => (width > 9 ? [...row, ''] : row.slice(0, width)));
  return [names, ...body].map((record) => `${recordText(record)}\r\n`).join('');
}

/** The blank-delimited file by its grammar: quoted cells whole, everything else parted at each blank. */
function byBlanks(): FoundTable {
  const cut = (record: readonly string[], inHeader: boolean): string[] =>
    record.flatMap((cell, column) => {
      const quoted = column === 6 || column === 7 || (!inHeader && /[",]/.test(cell));
      return quoted ? [cell] : cell.split(' ');
    });
  return { header: cut(header, true), rows: rows.map((row) => cut(row, false)) };
}

function encoded(text: string, encoding: string): Uint8Array {
  if (encoding === 'utf-8') return new TextEncoder().encode(text);
  if (encoding === 'latin-1') return Buffer.from(text, 'latin1');
  return Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(text, 'utf16le')]);
}

function columnsFound(width: number): FoundTable {
  const wide = (record: readonly string[], extra: (i: number) => string): string[] => [
    ...record.slice(0, width),
    ...Array.from({ length: Math.max(0, width - 9) }, (_, i) => extra(i)),
  ];
  return { header: wide(header, (i) => `col${i + 10}`), rows: rows.slice(0, 12).map((row) => wide(row, () => '7')) };
}

function columns(width: number): string {
  const { header: names, rows: body } = columnsFound(width);
  return [names ?? [], ...body]
    .map((record, i) => {
      const first = recordText(record.slice(0, 9), {}, i === 0);
      return `${[first, ...record.slice(9)].join(',')}\r\n`;
    })
    .join('');
}

function renamed(column: number, name: string): string {
  return withRow(0, (cells) => cells.map((cell, i) => (i === column ? name : cell)).join(','));
}

/** The table with one record in place of row `row` (0: the header). */
function replaced(row: number, record: readonly string[]): FoundTable {
  if (row === 0) return { header: record, rows };
  return { header: [...header], rows: rows.map((one, i) => (i === row - 1 ? record : one)) };
}

const recordOf = (row: number): readonly string[] => (row === 0 ? header : (rows[row - 1] ?? []));

/** A line by the grammar alone, as another reader of it has it. */
function byGrammar(line: string): readonly string[] {
  return Papa.parse<string[]>(line, { delimiter: ',', newline: '\r\n' }).data[0] ?? [];
}

function lessSeparators(row: number, column: number): Case {
  let line = '';
  const text = withRow(row, (cells) => {
    line = `${cells.slice(0, column).join(',')}${cells.slice(column).join(',')}`;
    return line;
  });
  // `"URL"Comments` is no cell of the grammar: its characters are kept as they are.
  const isBroken = row === 0 && column === 8;
  return {
    name: `row_less_sep_row${row}_col${column}.csv`,
    text,
    expected: replaced(row, isBroken ? [...header.slice(0, 7), '"URL"Comments'] : byGrammar(line)),
    weight: 0.36775106082036774,
  };
}

function moreSeparators(row: number, column: number): Case {
  const text = withRow(row, (cells) => [...cells.slice(0, column), '', ...cells.slice(column)].join(','));
  const record = recordOf(row);
  return {
    name: `row_more_sep_row${row}_col${column}.csv`,
    text,
    expected: replaced(row, [...record.slice(0, column), '', ...record.slice(column)]),
    weight: 0.36775106082036774,
  };
}

function extraQuote(row: number, column: number): Case {
  const text = withRow(row, (cells) => cells.map((cell, i) => (i === column ? `"${cell}` : cell)).join(','));
  const record = recordOf(row);
  return {
    name: `row_extra_quote${row}_col${column}.csv`,
    text,
    expected: replaced(
      row,
      record.map((cell, i) => (i === column ? `"${cell}` : cell)),
    ),
    weight: 0.009259259259259259,
  };
}

/** A header parted by blanks still has a word a column; a row with cells of several words cannot be told apart again. */
function rowOfBlanks(row: number): Case {
  let line = '';
  const text = withRow(row, (cells) => {
    line = cells.join(' ');
    return line;
  });
  return {
    name: `row_field_delimiter_${row}_0x20.csv`,
    text,
    expected: replaced(row, row === 0 ? header : byGrammar(line)),
    weight: 0.009259259259259259,
  };
}

/**
 * The table as found keeps every cell of pathological text: the grammar of RFC 4180 section 2, and what is wrong with
 * files beyond the published kinds of pollution, which have tests of their own (pollution.test.ts).
 */
import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, test } from 'vitest';
import { csvRecord } from '../../../src/core/intake/csv-record.ts';
import { Tokeniser } from '../../../src/core/intake/tokeniser.ts';
import { type RowsReading, readRows } from '../../../src/main/reader/read-rows.ts';

const header = ['Date', 'Time', 'Torque', 'Count', 'Joint', 'Text', 'Link'];
const table: readonly (readonly string[])[] = Array.from({ length: 24 }, (_, i) => [
  `2026-03-${String(1 + i).padStart(2, '0')}`,
  `06:${String(i + 10).padStart(2, '0')}:44`,
  `${20 + i}.${10 + i}`,
  String(i + 1),
  i % 3 === 0 ? 'Stem, upper' : 'Crank arm',
  i % 4 === 1 ? 'He said "tight", then left' : 'plain words here',
  `https://example.org/a?b=${i}&c=d;e`,
]);

async function rowsOf(
  content: string | Uint8Array,
): Promise<{ header: readonly string[] | null; rows: string[][]; reading: RowsReading }> {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  const rows: string[][] = [];
  let found: readonly string[] | null = null;
  const reading = await readRows(
    {
      name: 'x.csv',
      bytes: bytes.length,
      async *open() {
        for (let at = 0; at < bytes.length; at += 1000) yield bytes.subarray(at, at + 1000);
      },
    },
    {
      start: (names) => {
        found = names;
        rows.length = 0;
      },
      row: (cells) => {
        rows.push([...cells]);
      },
    },
  );
  return { header: found, rows, reading };
}

interface Writing {
  readonly delimiter?: string;
  readonly quote?: string;
  readonly escape?: string;
  readonly end?: string;
  readonly quoteAll?: boolean;
}

function written(records: readonly (readonly string[])[], w: Writing = {}): string {
  const { delimiter = ',', quote = '"', end = '\r\n', quoteAll = false } = w;
  const escaping = w.escape ?? quote;
  const cell = (text: string): string =>
    quoteAll || text.includes(delimiter.trim() || delimiter) || text.includes(quote) || /[\r\n]/.test(text)
      ? quote + text.replaceAll(quote, escaping + quote) + quote
      : text;
  return records.map((record) => record.map(cell).join(delimiter) + end).join('');
}

const clean = [header, ...table];

async function expectClean(text: string | Uint8Array): Promise<RowsReading> {
  const found = await rowsOf(text);
  expect(found.header).toEqual(header);
  expect(found.rows).toEqual(table);
  return found.reading;
}

describe('RFC 4180', () => {
  test('the standard file', () => expectClean(written(clean)));
  test('no line break at the end', () => expectClean(written(clean).slice(0, -2)));
  test('every cell quoted', () => expectClean(written(clean, { quoteAll: true })));
  test('line breaks, doubled quotes and delimiters inside cells; blanks kept; empty cells kept', async () => {
    const records = [
      header,
      ...table.slice(0, 5),
      ['2026-04-01', '06:00:00', '21.5', '7', '', 'two\r\nlines, and ""more""', ' x '],
      ['2026-04-02', '06:00:00', '21.6', '8', '""', '\n', ''],
    ];
    const { rows } = await rowsOf(written(records));
    expect(rows).toEqual(records.slice(1));
  });
  test('writes back what reads the same', async () => {
    const text = clean.map((record) => `${csvRecord(record)}\r\n`).join('');
    await expectClean(text);
    expect(csvRecord([''])).toBe('""');
    expect(csvRecord(['=1+1', ' a', 'b"c'])).toBe('=1+1, a,"b""c"');
  });

  test('any cells in any ordinary dialect come back', async () => {
    const cell = fc.oneof(
      fc.string({ maxLength: 12 }),
      fc.stringMatching(/^[a-z ,;"'|\n\r\t]{0,12}$/),
      fc.constantFrom('', '"', '""', ',', '\n', 'a"b', '=1+1'),
    );
    const layouts = fc.record({
      delimiter: fc.constantFrom(',', ';', '\t', '|'),
      end: fc.constantFrom('\n', '\r\n', '\r'),
      texts: fc.array(fc.tuple(cell, cell, cell), { minLength: 4, maxLength: 12 }),
      last: fc.boolean(),
    });
    await fc.assert(
      fc.asyncProperty(layouts, async ({ delimiter, end, texts, last }) => {
        const safe = texts.map((three) => three.map((text) => text.replace(/[\0\ud800-\udfff\ufeff]/g, '')));
        const records = [
          ['When', 'Torque', 'A', 'B', 'C'],
          ...safe.map((three, i) => [`2026-03-${10 + i} 06:12:44`, `${20 + i}.25`, ...three]),
        ];
        const text = written(records, { delimiter, end, quoteAll: true });
        const { rows } = await rowsOf(last ? text : text.slice(0, -end.length));
        expect(rows).toEqual(records.slice(1));
      }),
      { numRuns: 400, seed: 4180 },
    );
  });

  test('agrees with papaparse on well-formed text', () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(fc.stringMatching(/^[a-c ,"\n]{0,6}$/), { minLength: 2, maxLength: 5 }), {
          minLength: 1,
          maxLength: 8,
        }),
        fc.integer({ min: 1, max: 9 }),
        (records, piece) => {
          const text = Papa.unparse(records, { newline: '\n' });
          const tokeniser = new Tokeniser({ delimiter: ',', blankAfter: false, quote: '"', escape: 'doubled' });
          const ours: string[][] = [];
          for (let at = 0; at < text.length; at += piece) {
            tokeniser.push(text.slice(at, at + piece));
            while (tokeniser.next()) ours.push(tokeniser.cells());
          }
          tokeniser.end();
          while (tokeniser.next()) ours.push(tokeniser.cells());
          const theirs = Papa.parse<string[]>(text, { delimiter: ',', newline: '\n', quoteChar: '"' }).data;
          expect(ours).toEqual(text.endsWith('\n') ? theirs.slice(0, -1) : theirs);
        },
      ),
      { numRuns: 2000, seed: 4180 },
    );
  });
});

describe('pollutions of a whole file', () => {
  test.each([
    ['delimiter ;', { delimiter: ';' }],
    ['delimiter tab', { delimiter: '\t' }],
    ['delimiter |', { delimiter: '|' }],
    ['delimiter blank', { delimiter: ' ' }],
    ['delimiter comma and blank', { delimiter: ', ' }],
    ['record delimiter LF', { end: '\n' }],
    ['record delimiter CR', { end: '\r' }],
    ["quote character '", { quote: "'", quoteAll: true }],
    ['escape character \\', { escape: '\\' }],
    ['escape character \\ with every cell quoted', { escape: '\\', quoteAll: true }],
  ] satisfies [string, Writing][])('%s', async (_name, writing) => {
    await expectClean(written(clean, writing));
  });

  test('two line breaks at the end', () => expectClean(`${written(clean)}\r\n`));
  test('UTF-16 with a mark', async () => {
    const text = `\ufeff${written(clean)}`;
    const bytes = new Uint8Array(text.length * 2);
    for (let i = 0; i < text.length; i++) bytes[2 * i] = text.charCodeAt(i) & 0xff;
    for (let i = 0; i < text.length; i++) bytes[2 * i + 1] = text.charCodeAt(i) >> 8;
    await expectClean(bytes);
  });
  test('a preamble', async () => {
    const reading = await expectClean(`Torque log of the week\r\n\r\nexported by hand, twice\r\n\r\n${written(clean)}`);
    expect(reading.leftOut.preamble.length).toBeGreaterThan(0);
  });
  test('a preamble of key and value lines', async () => {
    await expectClean(`Serial,T-411\r\nFirmware,1.2\r\nCalibrated,2026-01-09\r\n\r\n${written(clean)}`);
  });
  test('a footer', async () => {
    const reading = await expectClean(`${written(clean)}End of data\r\n`);
    expect(reading.leftOut.footer).toEqual([26]);
  });
  test('no header', async () => {
    const found = await rowsOf(written(table));
    expect(found.header).toBeNull();
    expect(found.rows).toEqual(table);
  });
  test('a header of two rows, joined column by column', async () => {
    const second = ['[yyyy-mm-dd]', '', '[N.m]', '[-]', '', '', ''];
    const found = await rowsOf(written([header, second, ...table]));
    expect(found.header).toEqual(['Date [yyyy-mm-dd]', 'Time', 'Torque [N.m]', 'Count [-]', 'Joint', 'Text', 'Link']);
    expect(found.rows).toEqual(table);
  });
  test('a header row of names over groups of columns', async () => {
    const groups = ['When', '', 'Values', '', 'Where', '', ''];
    const found = await rowsOf(written([groups, header, ...table]));
    expect(found.header).toEqual(['When Date', 'Time', 'Values Torque', 'Count', 'Where Joint', 'Text', 'Link']);
    expect(found.rows).toEqual(table);
  });
  test('a padded line of key and value is no header row', async () => {
    const found = await rowsOf(written([['Serial', 'T-411', '', '', '', '', ''], header, ...table]));
    expect(found.header).toEqual(header);
  });
  test('a header of three rows', async () => {
    const names = (prefix: string): string[] => header.map((name) => `${prefix} ${name}`);
    const found = await rowsOf(written([names('a'), names('b'), names('c'), ...table]));
    expect(found.header).toEqual(header.map((name) => `a ${name} b ${name} c ${name}`));
    expect(found.rows).toEqual(table);
  });
  test('header only', async () => {
    const found = await rowsOf(written([header]));
    expect(found.header).toEqual(header);
    expect(found.rows).toEqual([]);
  });
  test('one data row', async () => {
    const found = await rowsOf(written([header, table[0]!]));
    expect(found.header).toEqual(header);
    expect(found.rows).toEqual([table[0]]);
  });
  test('nothing at all', async () => {
    expect((await rowsOf('')).reading.problem?.kind).toBe('refused-input');
  });
  test('a sep= line', () => expectClean(`sep=;\r\n${written(clean, { delimiter: ';' })}`));
  test.each([
    ['fewer', ['Tool', 'Checked', 'Deviation']],
    ['more', ['Tool', 'Checked', 'Deviation', 'By', 'Nominal', 'Reference', 'Reading', 'Kind', 'Room']],
    ['as many', ['Tool', 'Checked', 'Deviation', 'By', 'Nominal', 'Reference', 'Kind']],
  ])('a second table with %s columns is left out', async (_name, names) => {
    const second = Array.from({ length: 6 }, (_, i) =>
      names.map((name, j) => (j === 0 ? `T-${i}` : `${name[0]}${i}.${j}`)),
    );
    for (const gap of ['\r\n', '\r\n\r\n']) {
      const { rows, reading } = await rowsOf(`${written(clean)}${gap}${written([names, ...second])}`);
      expect(rows).toEqual(table);
      expect(reading.leftOut['second-table']).toHaveLength(7);
    }
  });
});

describe('pollutions of single rows', () => {
  const places = [0, 1, 12, 23];
  test.each(places)('a missing delimiter in row %i keeps every character', async (at) => {
    const lines = written(clean).split('\r\n');
    lines[at + 1] = lines[at + 1]!.replace(',', '');
    const { rows } = await rowsOf(lines.join('\r\n'));
    expect(rows).toHaveLength(table.length);
    expect(rows[at]).toEqual([table[at]![0]! + table[at]![1]!, ...table[at]!.slice(2)]);
    expect(rows.filter((_, i) => i !== at)).toEqual(table.filter((_, i) => i !== at));
  });
  test.each(places)('an extra delimiter in row %i keeps every cell', async (at) => {
    const lines = written(clean).split('\r\n');
    lines[at + 1] = lines[at + 1]!.replace(',', ',,');
    const { rows } = await rowsOf(lines.join('\r\n'));
    expect(rows[at]).toEqual([table[at]![0], '', ...table[at]!.slice(1)]);
    expect(rows.filter((_, i) => i !== at)).toEqual(table.filter((_, i) => i !== at));
  });
  test.each(places)('an extra quote at a cell of row %i costs no other row', async (at) => {
    const lines = written(clean).split('\r\n');
    lines[at + 1] = `"${lines[at + 1]}`;
    const { rows } = await rowsOf(lines.join('\r\n'));
    expect(rows).toHaveLength(table.length);
    expect(rows.filter((_, i) => i !== at)).toEqual(table.filter((_, i) => i !== at));
    expect(rows[at]?.join(',')).toContain(table[at]![1]);
  });
  test('unescaped quotes inside a quoted cell', async () => {
    const lines = written(clean, { quoteAll: true }).split('\r\n');
    lines[3] = lines[3]!.replace('plain words', 'plain "odd" words');
    const { rows } = await rowsOf(lines.join('\r\n'));
    expect(rows[2]?.[5]).toBe('plain "odd" words here');
    expect(rows).toHaveLength(table.length);
  });
  test('a doubled quote at the end of a cell that is no escape', async () => {
    const lines = written(clean, { quoteAll: true }).split('\r\n');
    lines[3] = lines[3]!.replace('here"', 'here""');
    const { rows } = await rowsOf(lines.join('\r\n'));
    expect(rows[2]).toEqual([...table[2]!.slice(0, 5), 'plain words here"', table[2]![6]]);
  });
  test('a row with another delimiter is kept as one cell or more, others untouched', async () => {
    const lines = written(clean).split('\r\n');
    lines[9] = table[8]!.join(';');
    const { rows } = await rowsOf(lines.join('\r\n'));
    expect(rows.filter((row) => row.length === 7)).toHaveLength(table.length - 1);
    expect(rows.flat().join(' ')).toContain(table[8]![1]);
  });
  test('a row with another quote character', async () => {
    const lines = written(clean).split('\r\n');
    lines[3] = table[2]!.map((cell) => `'${cell}'`).join(',');
    const { rows } = await rowsOf(lines.join('\r\n'));
    expect(rows).toHaveLength(table.length);
    expect(rows[2]?.join(',')).toContain(table[2]![2]);
  });
  test('a row with another record delimiter', async () => {
    await expectClean(
      written(clean, { end: '\n' })
        .replace(/\n/, '\r\n')
        .replace(/d=;e\n/, 'd=;e\r'),
    );
  });
  test('an open quote in the last row does not swallow it', async () => {
    const { rows } = await rowsOf(
      `${written(clean)}2026-04-01,06:00:00,21.5,7,"open,x,y\r\n2026-04-02,06:00:00,21.6,8,a,x,y\r\n`,
    );
    expect(rows).toHaveLength(table.length + 2);
    expect(rows.at(-1)).toEqual(['2026-04-02', '06:00:00', '21.6', '8', 'a', 'x', 'y']);
  });
});

test('a file of open quotes takes linear time', async () => {
  const line = '2026-03-14,"1.5,"x,"y\n';
  const began = performance.now();
  const { rows } = await rowsOf(`Date,Torque,A,B\n${line.repeat(50_000)}`);
  expect(rows.length).toBe(50_000);
  // Some seconds at most on a slow machine; quadratic time would be hours.
  expect(performance.now() - began).toBeLessThan(20_000);
});

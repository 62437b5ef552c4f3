/** Spellings of numbers, dates, times, units and results, each checked through the whole reader. */
import { describe, expect, test } from 'vitest';
import { roleOfHeader } from '../../../src/core/intake/header-words.ts';
import { unitOfText } from '../../../src/core/intake/unit-words.ts';
import { torqueUnitCodes } from '../../../src/core/units/torque-unit.ts';
import { addsUp, physicalLines, readText } from './read-text.ts';

const set = { tool: 'T-411', joint: 'Crank arm' };

describe('numbers', () => {
  // The value of each is the nearest double of the decimal written.
  test.each([
    ['35.2', 35.2, 1],
    ['35.20', 35.2, 2],
    ['+35.2', 35.2, 1],
    ['-0.42', -0.42, 2],
    ['−0.42', -0.42, 2],
    ['0035.20', 35.2, 2],
    ['.5', 0.5, 1],
    ['3.52e1', 35.2, 1],
    ['35.2 Nm', 35.2, 1],
    ['35.2Nm', 35.2, 1],
    ['３５．２', 35.2, 1],
    ['1 234.5', 1234.5, 1],
    ["1'234.5", 1234.5, 1],
    ['1,234.5', 1234.5, 1],
    ['35.2-', -35.2, 1],
    ['0.1', 0.1, 1],
    ['123456789.12', 123456789.12, 2],
  ])('reads %s', async (text, value, decimals) => {
    const { rows, reading } = await readText(`Date;Torque [Nm];Angle\n2026-03-05;${text};1.5\n`, { set });
    expect(reading.questions).toEqual([]);
    expect(rows[0]).toMatchObject({ torque: value, decimals });
  });

  test.each(['--.--', '?', '12.3.4', '1.2e999', '12 34', 'twelve', '0x10', 'NaN', 'Infinity'])(
    'rejects %s as a torque',
    async (text) => {
      const { rejected, rows } = await readText(`Date;Torque [Nm]\n2026-03-05;${text}\n2026-03-05;24.81\n`, { set });
      expect(rejected.map((row) => [row.line, row.code])).toEqual([[2, 'bad-torque']]);
      expect(rows).toHaveLength(1);
    },
  );

  test('first lines without a measured value do not hide the torque column', async () => {
    const { rows, rejected } = await readText(
      `Date;Torque [Nm]\n${'2026-03-05;--,--\n'.repeat(500)}2026-03-05;24,81\n`,
      { set },
    );
    expect(rejected).toHaveLength(500);
    expect(rows.map((row) => row.torque)).toEqual([24.81]);
  });

  test('points at the offending stretch of the line', async () => {
    const { rejected } = await readText('Date;Torque [Nm]\n2026-03-05;--,--\n2026-03-05;24,81\n', { set });
    const [row] = rejected;
    expect(row?.text.slice(...(row.span ?? [0, 0]))).toBe('--,--');
  });
});

describe('dates and times', () => {
  test.each([
    ['2026-03-14', '2026-03-14'],
    ['2026/3/14', '2026-03-14'],
    ['14.03.2026', '2026-03-14'],
    // Read year first there is no 31 as a year yet, so two digits leave no choice here.
    ['31.3.26', '2026-03-31'],
    ['3/14/2026', '2026-03-14'],
    ['14/03/2026', '2026-03-14'],
    ['20260314', '2026-03-14'],
    ['14-Mar-2026', '2026-03-14'],
    ['14 März 2026', '2026-03-14'],
    ['14 mars 2026', '2026-03-14'],
    ['14 lipca 2026', '2026-07-14'],
    ['14 luglio 2026', '2026-07-14'],
    ['14 juillet 2026', '2026-07-14'],
    ['Mar 14, 2026', '2026-03-14'],
    ['2026年3月14日', '2026-03-14'],
    ['2026-03-14T06:12:44', '2026-03-14T06:12:44'],
    ['2026-03-14 06:12', '2026-03-14T06:12:00'],
    ['14.03.2026 06:12:44', '2026-03-14T06:12:44'],
    ['14.03.2026, 06:12', '2026-03-14T06:12:00'],
    ['3/14/2026 6:12:44 PM', '2026-03-14T18:12:44'],
    ['3/14/2026 12:05 am', '2026-03-14T00:05:00'],
    ['2026-03-14T06:12:44.250Z', '2026-03-14T06:12:44.250'],
    ['2026-03-14T06:12:44+02:00', '2026-03-14T06:12:44'],
    ['20260314061244', '2026-03-14T06:12:44'],
    ['20260314T061244', '2026-03-14T06:12:44'],
  ])('reads %s', async (text, at) => {
    const { rows, reading } = await readText(`Date/Time;Torque [Nm]\n"${text}";24,81\n`, { set });
    expect(reading.questions).toEqual([]);
    expect(rows[0]?.at).toBe(at);
  });

  test.each([
    ['31.02.2026', 'bad-date'],
    ['2026-02-29', 'bad-date'],
    ['2026-13-01', 'bad-date'],
    ['tomorrow', 'bad-date'],
    ['2026-03-14 24:03:55', 'bad-time'],
    ['2026-03-14 06:61', 'bad-time'],
    ['3/14/2026 13:05 PM', 'bad-time'],
  ])('rejects %s', async (text, code) => {
    const { rejected } = await readText(`Date/Time;Torque [Nm]\n2026-03-14 06:00;24,81\n${text};24,81\n`, { set });
    expect(rejected.map((row) => [row.line, row.code])).toEqual([[3, code]]);
  });

  test('reads day numbers of a spreadsheet: 46095.25 is 14 March 2026, 06:00', async () => {
    // Day 1 is 1900-01-01 and the day after 28 February 1900 is 60 in the 1900 date system (ECMA-376, 18.17.4.1):
    // 2026-03-14 is 46095 there.
    const { rows } = await readText('Date;Torque [Nm]\n46095,25;24,81\n46095,2588425926;24,8\n', { set });
    expect(rows.map((row) => row.at)).toEqual(['2026-03-14T06:00:00', '2026-03-14T06:12:44']);
  });

  test("reads a spreadsheet's times beside its day numbers", async () => {
    const { rows } = await readText('Date;Time;Torque [Nm]\n46095;0,2588425926;24,81\n46095;0,500;24,8\n', { set });
    expect(rows.map((row) => row.at)).toEqual(['2026-03-14T06:12:44', '2026-03-14T12:00:00']);
  });

  test('reads seconds and milliseconds since 1970 as UTC, with a notice', async () => {
    // 1,000,000,000 s is 2001-09-09T01:46:40Z (well known).
    const { rows, reading } = await readText('Timestamp;Torque [Nm]\n1000000000;24,81\n', { set });
    expect(rows[0]?.at).toBe('2001-09-09T01:46:40');
    expect(reading.notices.map((notice) => notice.kind)).toContain('epoch-utc');
    const ms = await readText('Timestamp;Torque [Nm]\n1773468764000;24,81\n', { set });
    expect(ms.rows[0]?.at).toBe('2026-03-14T06:12:44');
  });

  test('keeps an unset clock as no time, and an early date with a notice', async () => {
    const { rows, reading } = await readText('Date;Torque [Nm]\n00.00.0000;24,81\n14.03.2026;24,8\n01.01.2000;24,7\n', {
      set,
    });
    expect(rows.map((row) => row.at)).toEqual([null, '2026-03-14', '2000-01-01']);
    expect(reading.notices.find((notice) => notice.kind === 'clock-unset')?.count).toBe(2);
  });
});

describe('notices', () => {
  const kinds = async (text: string, options = {}): Promise<string[]> =>
    (await readText(text, { set, ...options })).reading.notices.map((notice) => notice.kind);
  const head = 'Date;Time;Torque [Nm]\n';

  test('newest first, and no clock jump for it', async () => {
    expect(await kinds(`${head}2026-03-14;06:03;1,5\n2026-03-14;06:02;1,6\n2026-03-14;06:01;1,7\n`)).toEqual([
      'newest-first',
    ]);
  });
  test('a clock that jumps back; not the repeated hour in autumn', async () => {
    const back = `${head}2026-03-14;06:03;1,5\n2026-03-14;09:02;1,6\n2026-03-14;06:01;1,7\n2026-03-14;07:01;1,7\n`;
    expect(await kinds(back)).toEqual(['clock-back']);
    expect(await kinds(`${head}2026-10-25;02:59:30;1,5\n2026-10-25;02:00:10;1,6\n2026-10-25;02:01:00;1,7\n`)).toEqual(
      [],
    );
  });
  test('dates in the future', async () => {
    expect(await kinds(`${head}2027-03-14;06:03;1,5\n`)).toEqual(['future-date']);
  });
  test('a zone that is ignored', async () => {
    expect(await kinds('When;Torque [Nm]\n2026-03-14T06:03:00+01:00;1,5\n')).toEqual(['zone-ignored']);
  });
  test('repeated lines, all kept', async () => {
    const { rows, reading } = await readText(`${head}${'2026-03-14;06:03:01;1,5\n'.repeat(3)}`, { set });
    expect(rows).toHaveLength(3);
    expect(reading.notices).toMatchObject([{ kind: 'duplicate-lines', count: 2, lines: [3, 4] }]);
  });
  test('zero torque, and the other direction by the joint', async () => {
    expect(await kinds(`${head}2026-03-14;06:03;0,0\n2026-03-14;06:04;1,5\n`)).toEqual(['zero-torque']);
    const text = `${head}2026-03-14;06:03;-1,5\n2026-03-14;06:04;1,5\n2026-03-14;06:05;1,5\n`;
    expect(await kinds(text)).toEqual(['other-direction']);
    const left = { name: 'Crank arm', unit: null, low: null, target: null, high: null, direction: 'ccw' as const };
    const { reading } = await readText(text, { set, known: { tools: [], operators: [], joints: [left] } });
    expect(reading.notices.find((notice) => notice.kind === 'other-direction')).toMatchObject({
      count: 2,
      lines: [3, 4],
    });
  });
  test('gaps in the running number of the device', async () => {
    const rows = Array.from({ length: 40 }, (_, i) => `${i < 20 ? 100 + i : 103 + i};2026-03-14;1,5`);
    const { reading } = await readText(`No;Date;Torque [Nm]\n${rows.join('\n')}\n`, { set });
    expect(reading.sequence).toBe('device');
    expect(reading.notices).toMatchObject([{ kind: 'sequence-gap', count: 1, lines: [22] }]);
  });
  test("a number that counts the rows from 1 is not the device's", async () => {
    const { reading } = await readText('No;Date;Torque [Nm]\n1;2026-03-14;1,5\n2;2026-03-14;1,6\n', { set });
    expect(reading.sequence).toBe('rows');
  });
});

describe('units', () => {
  test.each([
    ['Nm', 'N.m'],
    ['N.m', 'N.m'],
    ['N*m', 'N.m'],
    ['N·m', 'N.m'],
    ['ft-lb', 'lbf.ft'],
    ['ft.lb', 'lbf.ft'],
    ['lbf.ft', 'lbf.ft'],
    ['ftlbs', 'lbf.ft'],
    ['in-lb', 'lbf.in'],
    ['ozf.in', 'ozf.in'],
    ['oz-in', 'ozf.in'],
    ['kgm', 'kgf.m'],
    ['kg-m', 'kgf.m'],
    ['kgf.m', 'kgf.m'],
    ['kgf·cm', 'kgf.cm'],
    ['dNm', 'dN.m'],
    ['daNm', 'daN.m'],
    ['cNm', 'cN.m'],
    ['Ncm', 'N.cm'],
    ['Nmm', 'N.mm'],
    ['mNm', 'N.mm'],
    ['kNm', 'kN.m'],
  ])('%s is %s', (text, unit) => {
    expect(unitOfText(text)).toBe(unit);
  });
  test.each(['MNm', 'MNM', 'kg', 'lb', 'm', 'N', 'Nm/deg', 'deg', '', 'Nmx'])('%s is none', (text) => {
    expect(unitOfText(text)).toBeNull();
  });
  test('every unit code reads back as itself', () => {
    for (const code of torqueUnitCodes) expect(unitOfText(code)).toBe(code);
  });
  test('may change from line to line, with a notice; an unknown one is rejected', async () => {
    const { rows, rejected, reading } = await readText(
      'Date;Torque;Unit\n2026-03-14;1,5;Nm\n2026-03-14;1,6;ft-lb\n2026-03-14;1,7;zz\n2026-03-14;1,8;\n',
      { set },
    );
    expect(rows.map((row) => row.unit)).toEqual(['N.m', 'lbf.ft']);
    expect(rejected.map((row) => row.code)).toEqual(['bad-unit', 'bad-unit']);
    expect(reading.notices.map((notice) => notice.kind)).toEqual(['unit-changes']);
  });
});

test.each([
  ['Drehmoment [Nm]', 'torque'],
  ['Anzugsmoment', 'torque'],
  ['Couple de serrage', 'torque'],
  ['Par de apriete (N.m)', 'torque'],
  ['Coppia', 'torque'],
  ['Aanhaalmoment', 'torque'],
  ['Åtdragningsmoment', 'torque'],
  ['Moment dokręcania', 'torque'],
  ['扭矩(Nm)', 'torque'],
  ['締付トルク', 'torque'],
  ['Target torque', 'target'],
  ['Torque min', 'low-limit'],
  ['Obere Grenze', 'high-limit'],
  ['Bolt No.', 'batch-position'],
  ['VIN', 'fastener'],
  ['Lot', 'batch'],
  ['Serial No.', 'tool'],
  ['Prüfer', 'operator'],
])('the column name %s means %s', (name, role) => {
  expect(roleOfHeader(name)?.role).toBe(role);
});

describe('accounting', () => {
  test.each(['\n', '\r\n', '\r'])('counts physical lines ended by %j', async (end) => {
    const text = [
      'Serial;T-1',
      '',
      'Date;Torque [Nm];Note',
      '2026-03-14;1,5;"two',
      'lines"',
      '2026-03-14;x;',
      '',
      'Total;2;',
    ].join(end);
    for (const last of ['', end]) {
      const { reading, rows } = await readText(text + last, { set: { joint: 'J' } });
      expect(reading.lineTotal).toBe(physicalLines(text + last));
      expect(addsUp(reading)).toBe(true);
      expect(reading).toMatchObject({ headerLines: 3, blankLines: 2, acceptedLines: 2, rejectedLines: 1, accepted: 1 });
      expect(rows[0]?.note).toBe(`two${end}lines`);
    }
  });

  test('mixed record endings in one file', async () => {
    const { reading, rows } = await readText('Date;Torque [Nm]\r\n2026-03-14;1,5\n2026-03-14;1,6\r2026-03-14;1,7', {
      set,
    });
    expect(rows.map((row) => row.torque)).toEqual([1.5, 1.6, 1.7]);
    expect(reading.lineTotal).toBe(4);
  });

  test.each([
    ['too-few-fields', '2026-03-14;1,5'],
    ['too-many-fields', '2026-03-14;1,5;3;x;y'],
    ['no-torque', '2026-03-14;;;x'],
    ['bad-angle', '2026-03-14;1,5;abc;x'],
    ['open-quote', '2026-03-14;1,5;3;"x'],
  ])('rejects a line as %s and goes on', async (code, line) => {
    const good = '2026-03-14;1,5;33;ok';
    const { rejected, rows } = await readText(`Date;Torque [Nm];Angle;Note\n${good}\n${line}\n${good}\n${good}\n`, {
      set,
    });
    expect(rejected.map((row) => [row.line, row.code])).toEqual([[3, code]]);
    expect(rows).toHaveLength(3);
  });

  test('undecodable bytes cost their line, not the file', async () => {
    const bytes = new TextEncoder().encode(
      'Date;Torque [Nm];Joint\n2026-03-14;1,5;Müller\n2026-03-14;1,6;Xx\n2026-03-14;1,7;Größe\n',
    );
    const at = bytes.lastIndexOf(0x58);
    bytes[at] = 0xff;
    const { rejected, rows, reading } = await readText(bytes, { set: { tool: 'T' } });
    expect(reading.layout?.encoding).toBe('UTF-8');
    expect(rejected.map((row) => [row.line, row.code])).toEqual([[3, 'undecodable']]);
    expect(rows.map((row) => row.joint)).toEqual(['Müller', 'Größe']);
  });
});

describe('encodings', () => {
  const text = 'Datum;Drehmoment [Nm];Schraubstelle;Prüfer\n14.03.2026;24,81;Größe 8;Åsa\n';
  const wide = (little: boolean, mark: boolean): Uint8Array => {
    const source = (mark ? '\ufeff' : '') + text;
    const bytes = new Uint8Array(source.length * 2);
    for (let i = 0; i < source.length; i++) {
      bytes[2 * i + (little ? 0 : 1)] = source.charCodeAt(i) & 0xff;
      bytes[2 * i + (little ? 1 : 0)] = source.charCodeAt(i) >> 8;
    }
    return bytes;
  };
  test.each([
    ['UTF-8', new TextEncoder().encode(text)],
    ['UTF-8 with a mark', new TextEncoder().encode(`\ufeff${text}`)],
    ['Windows-1252', Uint8Array.from(text, (c) => c.charCodeAt(0))],
    ['UTF-16 LE with a mark', wide(true, true)],
    ['UTF-16 LE', wide(true, false)],
    ['UTF-16 BE with a mark', wide(false, true)],
    ['UTF-16 BE', wide(false, false)],
  ])('%s', async (_name, bytes) => {
    for (const pieceBytes of [1, 1000]) {
      const { rows, reading } = await readText(bytes, { set: { tool: 'T' }, pieceBytes });
      expect(reading.questions).toEqual([]);
      expect(rows).toMatchObject([{ joint: 'Größe 8', operator: 'Åsa', torque: 24.81, at: '2026-03-14' }]);
    }
  });

  test('Windows-1252 that shows only far down the file', async () => {
    const start = `Date;Torque [Nm];Joint\n${'2026-03-14;24,81;Stem\n'.repeat(30_000)}`;
    const bytes = Uint8Array.from(`${start}2026-03-14;24,82;Größe\n`, (c) => c.charCodeAt(0));
    const { rows, passes } = await readText(bytes, { set: { tool: 'T' }, pieceBytes: 1 << 16 });
    expect(passes).toBe(2);
    expect(rows).toHaveLength(30_001);
    expect(rows.at(-1)?.joint).toBe('Größe');
  });

  test('a character cut by pieces of the stream is still seen to be wrong', async () => {
    const start = `Date;Torque [Nm];Joint\n${'2026-03-14;24,81;Stem\n'.repeat(15_000)}`;
    const bytes = Uint8Array.from(`${start}2026-03-14;24,82;é5\n`, (c) => c.charCodeAt(0));
    const { rows } = await readText(bytes, { set: { tool: 'T' }, pieceBytes: 1 });
    expect(rows.at(-1)?.joint).toBe('é5');
  });

  test('a single letter that only UTF-8 explains keeps the file UTF-8', async () => {
    const bytes = new TextEncoder().encode(
      `Date;Torque [Nm];Joint\n2026-03-14;1,5;Ö\n${'2026-03-14;1,6;Xx\n'.repeat(20_000)}`,
    );
    bytes[bytes.length - 2] = 0xff;
    const { rejected, reading, rows } = await readText(bytes, { set: { tool: 'T' }, pieceBytes: 1 << 16 });
    expect(reading.layout?.encoding).toBe('UTF-8');
    expect(rejected.map((row) => row.code)).toEqual(['undecodable']);
    expect(rows[0]?.joint).toBe('Ö');
  });

  test.each([
    ['an empty file', ''],
    ['blanks alone', ' \n\n \n'],
    ['a spreadsheet', 'PK\u0003\u0004xxxxxxxx'],
    ['a picture', '\u0089PNG\r\n'],
    ['a web page', '<html><table><tr><td>1</td></tr></table></html>'],
    ['bytes', 'Date;Torque\n\0\u0001\u0002\n'],
    ['words', 'Canteen menu\nMonday: soup\nTuesday: stew\n'],
    ['words where torque should be', 'Date;Torque [Nm]\n2026-03-14;good\n2026-03-15;better\n'],
    ['a header alone', 'Date;Torque [Nm]\n'],
  ])('refuses %s with a sentence', async (_name, content) => {
    const { reading, rows } = await readText(
      Uint8Array.from(content, (c) => c.charCodeAt(0)),
      { set },
    );
    expect(reading.problem?.kind).toBe('refused-input');
    expect(reading.problem?.message).toMatch(/^[A-Z].*\.$/);
    expect(rows).toEqual([]);
  });

  test('names the column in which words stand where torque should be', async () => {
    const { reading } = await readText('Date;Torque [Nm]\n2026-03-14;good\n2026-03-15;better\n', { set });
    expect(reading.problem?.message).toContain('"Torque [Nm]" holds words ("good")');
  });
});

/** What a file leaves open is asked, with evidence from the file; what it settles is not. */
import { describe, expect, test } from 'vitest';
import { said, say } from '../../../src/core/text/said.ts';
import { readText } from './read-text.ts';

const set = { tool: 'T-411', joint: 'Crank arm' };

async function questionsOf(
  text: string,
  options = {},
): Promise<Record<string, { values: string[]; evidence: string }>> {
  const { reading } = await readText(text, { set, ...options });
  expect(reading.problem).toBeNull();
  return Object.fromEntries(
    reading.questions.map((card) => [
      card.id,
      {
        values: card.choices.map((choice) => choice.value),
        evidence: card.choices.flatMap((choice) => choice.evidence.map((one) => say(one))).join(' | '),
      },
    ]),
  );
}

describe('order of day and month', () => {
  test.each([
    ['slashes', '05/03/2026', '12/11/2026'],
    ['points', '05.03.2026', '12.11.2026'],
    ['dashes', '05-03-2026', '12-11-2026'],
    ['compact', '05032026', '12112026'],
  ])('asks when every day is 12 or less: %s', async (_name, first, second) => {
    const asked = await questionsOf(`Date;Torque [Nm]\n${first};24,81\n${second};24,7\n`);
    expect(Object.keys(asked)).toEqual(['date-order']);
    expect(asked['date-order']?.values).toEqual(['dmy', 'mdy']);
    expect(asked['date-order']?.evidence).toContain(first);
    expect(asked['date-order']?.evidence).toContain('2 of 2 dates');
  });

  test('asks among three orders when years have two digits', async () => {
    const asked = await questionsOf('Date;Torque [Nm]\n05/03/06;24,81\n');
    expect(asked['date-order']?.values).toEqual(['dmy', 'mdy', 'ymd']);
  });

  test('one day above 12 anywhere settles it, even on the last line', async () => {
    const lines = Array.from({ length: 5000 }, (_, i) => `0${1 + (i % 9)}/03/2026;24,8${i % 10}`);
    const dmy = await readText(`Date;Torque [Nm]\n${lines.join('\n')}\n14/03/2026;24,81\n`, { set });
    expect(dmy.reading.questions).toEqual([]);
    expect(dmy.rows[0]?.at).toBe('2026-03-01');
    // The first lines had been read day first: the pass starts again.
    const mdy = await readText(`Date;Torque [Nm]\n${lines.join('\n')}\n03/14/2026;24,81\n`, { set });
    expect(mdy.reading.questions).toEqual([]);
    expect(mdy.rows[0]?.at).toBe('2026-01-03');
    expect(mdy.rows).toHaveLength(5001);
  });

  test('dates that contradict each other are a question, never a majority vote', async () => {
    const text = `Date;Torque [Nm]\n${'14/03/2026;24,81\n'.repeat(50)}03/14/2026;24,8\n`;
    const { reading } = await readText(text, { set });
    expect(reading.questions.map((card) => card.id)).toEqual(['date-order']);
    const answered = await readText(text, { set, answers: { 'date-order': 'dmy' } });
    expect(answered.reading.questions).toEqual([]);
    expect(answered.rejected.map((row) => [row.line, row.code])).toEqual([[52, 'bad-date']]);
  });

  test('a format written in the column name is the file saying so', async () => {
    const { reading, rows } = await readText('Date (MM/DD/YYYY);Torque [Nm]\n05/03/2026;24,81\n', { set });
    expect(reading.questions).toEqual([]);
    expect(rows[0]?.at).toBe('2026-05-03');
    const german = await readText('Datum (TT.MM.JJJJ);Moment [Nm]\n05.03.2026;24,81\n', { set });
    expect(german.rows[0]?.at).toBe('2026-03-05');
  });

  test('the picture of each choice shows the days it would mean', async () => {
    const { reading } = await readText('Date;Torque [Nm]\n09/11/2026;24,81\n09/11/2026;24,8\n', { set });
    const pictures = reading.questions[0]?.choices.map((choice) => choice.picture?.days);
    expect(pictures).toEqual([[Date.UTC(2026, 10, 9)], [Date.UTC(2026, 8, 11)]]);
  });
});

describe('decimal mark', () => {
  test.each([
    ['1.234', ';'],
    ['1,234', ';'],
    ['1.234', ','],
    ['1.234', '\t'],
  ])('asks for %s between "%s"', async (number, delimiter) => {
    const line = `2026-03-05${delimiter}${number}`;
    const asked = await questionsOf(`Date${delimiter}Torque [Nm]\n${line}\n${line}\n`);
    expect(Object.keys(asked)).toEqual(['decimal-mark']);
    expect(asked['decimal-mark']?.values).toEqual(['comma', 'point']);
    expect(asked['decimal-mark']?.evidence).toContain(number);
  });

  test.each([
    ['two digits behind it', '12,34', 'comma', 12.34],
    ['a zero before it', '0.985', 'point', 0.985],
    ['four digits before it', '1234,567', 'comma', 1234.567],
    ['both marks', '1.234,5', 'comma', 1234.5],
    ['the same mark twice', '1,234,567', 'point', 1_234_567],
  ])('%s settles it', async (_why, decisive, mark, value) => {
    const { reading, rows } = await readText(`Date;Torque [Nm]\n2026-03-05;${decisive}\n`, { set });
    expect(reading.questions).toEqual([]);
    expect(reading.layout?.decimalMark).toBe(mark);
    expect(rows[0]?.torque).toBe(value);
  });

  test('one sure number in any measured column decides for all of them', async () => {
    const { reading, rows } = await readText('Date;Torque [Nm];Angle\n2026-03-05;1,234;58\n2026-03-05;1,250;58,5\n', {
      set,
    });
    expect(reading.questions).toEqual([]);
    expect(rows.map((row) => row.torque)).toEqual([1.234, 1.25]);
  });

  test('a sure sign late in the file reads the whole file again', async () => {
    const many = '2026-03-05;1.234\n'.repeat(9000);
    const { reading, rows, passes } = await readText(`Date;Torque [Nm]\n${many}2026-03-05;12,5\n`, { set });
    expect(passes).toBe(2);
    expect(reading.questions).toEqual([]);
    expect(rows[0]?.torque).toBe(1234);
    expect(rows.at(-1)?.torque).toBe(12.5);
  });

  test('numbers that contradict each other are a question', async () => {
    const asked = await questionsOf('Date;Torque [Nm]\n2026-03-05;12,5\n2026-03-05;12.5\n');
    expect(Object.keys(asked)).toEqual(['decimal-mark']);
  });

  test('whole numbers leave nothing open', async () => {
    expect(await questionsOf('Date;Torque [Nm]\n2026-03-05;608\n2026-03-05;618\n')).toEqual({});
  });
});

describe('unit', () => {
  test('a torque without a unit is a question with every unit and the range it would mean', async () => {
    const asked = await questionsOf('Date;Torque\n2026-03-05;24,81\n2026-03-05;30,2\n');
    expect(Object.keys(asked)).toEqual(['torque-unit']);
    expect(asked['torque-unit']?.values).toHaveLength(12);
    expect(asked['torque-unit']?.evidence).toContain('24.81 to 30.2');
  });

  test('two units that contradict each other are a question', async () => {
    const asked = await questionsOf('Unit;ft-lb\n\nDate;Torque [Nm];Angle\n2026-03-05;24,81;58\n2026-03-05;24,7;60\n');
    expect(Object.keys(asked)).toContain('torque-unit');
  });

  test.each([
    ['column', 'Date;Torque;Unit\n2026-03-05;24,81;ft-lb\n'],
    ['column name', 'Date;Torque (ft.lb)\n2026-03-05;24,81\n'],
    ['second header row', 'Date;Torque;Angle\n;ft-lb;deg\n2026-03-05;24,81;58\n'],
    ['lines above', 'Serial;T-1\nUnit;ft-lb\n\nDate;Torque;Angle\n2026-03-05;24,81;58\n2026-03-05;24,91;58\n'],
    ['glued on', 'Date;Torque\n2026-03-05;24,81 ft-lb\n'],
  ])('is read from the %s', async (_where, text) => {
    const { reading, rows } = await readText(text, { set });
    expect(reading.questions).toEqual([]);
    expect(rows[0]).toMatchObject({ torque: 24.81, unit: 'lbf.ft' });
  });

  test('a setting wins over whatever the file says', async () => {
    const { rows } = await readText('Date;Torque [Nm]\n2026-03-05;24,81\n', { set: { ...set, unit: 'lbf.in' } });
    expect(rows[0]?.unit).toBe('lbf.in');
  });
});

describe('roles', () => {
  test('a column that could be torque or angle is a question with its range', async () => {
    const asked = await questionsOf('2026-03-05;12,3;58,2\n2026-03-05;12,5;44,1\n');
    expect(asked['role:2']?.values).toEqual(expect.arrayContaining(['torque', 'angle', 'ignore']));
    expect(asked['role:3']?.values).toEqual(expect.arrayContaining(['torque', 'angle', 'ignore']));
    expect(asked['role:3']?.evidence).toContain('44.1 to 58.2');
  });

  test('a column named "value" without a unit is a question', async () => {
    const asked = await questionsOf('Date;Value\n2026-03-05;12,3\n2026-03-05;12,5\n');
    expect(asked['role:2']?.values).toContain('torque');
  });

  test('two torque columns are a question about both', async () => {
    const asked = await questionsOf('Date;Torque [Nm];Peak torque [Nm]\n2026-03-05;12,3;12,9\n');
    expect(Object.keys(asked)).toEqual(['role:2', 'role:3']);
  });

  test('a name and a unit that contradict each other are a question', async () => {
    const asked = await questionsOf('Date;Torque [°];Angle [Nm]\n2026-03-05;12,3;12,9\n');
    expect(Object.keys(asked)).toEqual(expect.arrayContaining(['role:2', 'role:3']));
  });

  test('a "serial number" that is new on every line is no tool: a question', async () => {
    const lines = Array.from({ length: 30 }, (_, i) => `2026-03-05;HC${1000 + i}A;12,5`);
    const asked = await questionsOf(`Date;Serial No.;Torque [Nm]\n${lines.join('\n')}\n`);
    expect(asked['role:2']?.values).toEqual(expect.arrayContaining(['tool', 'fastener']));
    expect(asked['role:2']?.evidence).toContain('30 different values in 30 lines');
  });

  test('answers settle them', async () => {
    const { reading, rows } = await readText('2026-03-05;12,3;58,2\n', {
      set: { ...set, unit: 'N.m' },
      answers: { 'role:2': 'torque', 'role:3': 'angle' },
    });
    expect(reading.questions).toEqual([]);
    expect(rows[0]).toMatchObject({ torque: 12.3, angle: 58.2 });
  });
});

describe('columns that nothing names', () => {
  const lines = (cells: (i: number) => string): string =>
    Array.from(
      { length: 12 },
      (_, i) => `2026-03-${10 + i};${(24 + i / 10).toFixed(1).replace('.', ',')};${cells(i)}\n`,
    ).join('');

  test('numbers under a name that says nothing could be the angle: a question, with their range', async () => {
    const asked = await questionsOf(`Date;Torque [Nm];Xq2\n${lines((i) => String(30 + ((i * 7) % 11)))}`);
    expect(Object.keys(asked)).toEqual(['role:3']);
    expect(asked['role:3']?.values).toContain('angle');
    expect(asked['role:3']?.evidence).toContain('30');
  });
  test('... or the torque, where there is none', async () => {
    const asked = await questionsOf(`Date;Angle;Xq2\n${lines((i) => String(30 + ((i * 7) % 11)))}`);
    expect(asked['role:3']?.values).toContain('torque');
  });
  test.each([
    ['where torque and angle are known', 'Date;Torque [Nm];Angle;Xq2\n', (i: number) => `${30 + i};${40 + i}`],
    ['where they count the lines', 'Date;Torque [Nm];Xq2\n', (i: number) => String(i + 7)],
    ['where they are ids', 'Date;Torque [Nm];Xq2\n', (i: number) => String(88_001_234 + i * 17)],
    ['where they never change', 'Date;Torque [Nm];Xq2\n', () => '7'],
    ['where they are words', 'Date;Torque [Nm];Xq2\n', (i: number) => `word ${i}`],
  ])('no question %s: the column is shown as not read', async (_name, header, cells) => {
    const { reading } = await readText(header + lines(cells), { set });
    expect(reading.questions).toEqual([]);
    const row = reading.roles.at(header.includes('Angle') ? 3 : 2);
    expect(row).toMatchObject({ name: 'Xq2', role: 'ignore' });
    expect(row ? say(row.readAs) : '').toBe('not read');
    expect(row?.evidence.map((one) => say(one)).join()).toContain('says nothing known');
  });
});

describe('names', () => {
  test('tool and joint are asked when nothing names them, the operator never', async () => {
    const { reading } = await readText('Date;Torque [Nm]\n2026-03-05;24,81\n', { name: 'readout.csv' });
    expect(reading.questions.map((card) => card.id)).toEqual(['tool', 'joint']);
    expect(reading.questions[1]?.choices.map((choice) => choice.value)).toContain('none');
  });

  test('a tool of the register that stands in the file name is the tool', async () => {
    const { reading, rows } = await readText('Date;Joint;Torque [Nm]\n2026-03-05;Stem;24,81\n', {
      name: 'loan wrench T-411 2026-11-24.csv',
      known: { tools: ['T-411', 'T-4'], operators: [], joints: [] },
    });
    expect(reading.questions).toEqual([]);
    expect(rows[0]?.tool).toBe('T-411');
  });

  test('an unknown name in the file name is proposed, not taken', async () => {
    const { reading } = await readText('Date;Joint;Torque [Nm]\n2026-03-05;Stem;24,81\n', { name: 'T-999.csv' });
    expect(reading.questions.map((card) => [card.id, card.choices[0]?.value])).toEqual([['tool', 'T-999']]);
  });

  test('a joint is recognised by the limits written in the file', async () => {
    const joints = [
      { name: 'Stem', unit: 'N.m' as const, low: 5.4, target: 6, high: 6.6 },
      { name: 'Crank', unit: 'N.m' as const, low: 38, target: 40, high: 42 },
    ];
    const { reading, rows } = await readText(
      'Date;Torque [Nm];Target;Low limit;High limit\n2026-03-05;6,1;6;5,4;6,6\n',
      {
        set: { tool: 'T-1' },
        known: { tools: [], operators: [], joints },
      },
    );
    expect(reading.questions).toEqual([]);
    expect(rows[0]?.joint).toBe('Stem');
  });

  test('a second device block names the tool from there on', async () => {
    const block = (tool: string, day: number): string =>
      `Serial;${tool}\nDate;Torque [Nm];Joint\n2026-03-${day};12,5;Stem\n2026-03-${day};12,6;Stem\n`;
    const { rows, reading } = await readText(block('T-1', 14) + block('T-2', 15));
    expect(rows.map((row) => row.tool)).toEqual(['T-1', 'T-1', 'T-2', 'T-2']);
    expect(reading.headerLines).toBe(4);
  });

  test('a second header with the columns in another order is followed', async () => {
    const { rows } = await readText(
      'Date;Torque [Nm];Angle\n2026-03-14;12,5;33\n2026-03-14;12,6;34\nAngle;Date;Torque [Nm]\n44;2026-03-15;12,7\n',
      { set },
    );
    expect(rows.map((row) => [row.torque, row.angle])).toEqual([
      [12.5, 33],
      [12.6, 34],
      [12.7, 44],
    ]);
  });

  const first = 'Date;Torque [Nm];Angle\n2026-03-14;12,5;33\n2026-03-14;12,6;34\n';

  test('a second table without torques or angles is kept as another table, named, never misread', async () => {
    const { rows, rejected, reading } = await readText(
      `${first}\nDate;Operator;Batch size\n2026-03-15;7;4\n2026-03-15;8;4\n`,
      { set },
    );
    expect(rows).toHaveLength(2);
    expect(rejected).toEqual([]);
    expect(reading.headerLines).toBe(4);
    expect(reading.secondTable).toEqual({ line: 5, lines: 3 });
    expect(say(reading.layout?.said ?? said('intake.name', {}))).toContain('another table of 3 lines from line 5 on');
  });

  test('a second table with torques is rejected line by line: none of its readings is lost without a word', async () => {
    const { rows, rejected, reading } = await readText(
      `${first}${'2026-03-14;12,7;35\n'.repeat(4)}Tool;Date;Torque [Nm];Operator\nT-1;2026-03-15;7;4\nT-1;2026-03-15;8;4\n`,
      { set },
    );
    expect(rows).toHaveLength(6);
    expect(rejected.map((row) => row.line)).toEqual([9, 10]);
    expect(reading.headerLines).toBe(2);
  });

  test('the first table may go on after the other one', async () => {
    const { rows, reading } = await readText(
      `${first}Date;Operator;Batch size\n2026-03-15;7;4\n${first.replaceAll('14', '16')}`,
      { set },
    );
    expect(rows).toHaveLength(4);
    expect(reading.secondTable).toEqual({ line: 4, lines: 2 });
  });
});

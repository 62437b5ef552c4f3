/** Dumps as they come from a shop floor: what is asked, what is read, and what the person is shown of it. */
import { describe, expect, test } from 'vitest';
import { say } from '#core/text/said.ts';
import { addsUp, readText } from './read-text.ts';

const set = { tool: 'T-411', joint: 'Crank arm' };

describe('a header whose second row holds the units', () => {
  const rows = ['2026-11-17 06:00:00\tT-207\tStem\t4.47\t36.3\tOK', '2026-11-17 06:03:20\tT-207\tStem\t4.36\t46.6\tOK'];

  test.each([
    ['ft-lb', 'deg', 'lbf.ft'],
    ['[Nm]', '[°]', 'N.m'],
    ['in-lb', '', 'lbf.in'],
  ])('with few units in it (%s, %s) is read as one header of two rows', async (torque, angle, unit) => {
    const head = ['Date and time\tTool\tJoint\tTorque\tAngle\tResult', `\t\t\t${torque}\t${angle}\t`];
    const { reading, rows: read } = await readText(`${[...head, ...rows].join('\n')}\n`);
    expect(reading.questions).toEqual([]);
    expect(reading).toMatchObject({ headerLines: 2, accepted: 2, units: { [unit]: 2 } });
    expect(read[0]).toMatchObject({ torque: 4.47, angle: 36.3 });
    expect(addsUp(reading)).toBe(true);
  });

  test('a line above the table that names a unit stays a fact, padded by a spreadsheet or not', async () => {
    for (const padding of ['', '\t\t\t\t']) {
      const { reading } = await readText(
        `Unit\tNm${padding}\nDate and time\tTool\tJoint\tTorque\tAngle\tResult\n${rows.join('\n')}\n`,
      );
      expect(reading.facts).toMatchObject({ Unit: 'Nm' });
      expect(reading.headerLines).toBe(2);
      expect(reading.units).toEqual({ 'N.m': 2 });
    }
  });
});

describe('what the table of columns shows', () => {
  const readAs = async (text: string, role: string): Promise<string | undefined> => {
    const { reading } = await readText(text, { set });
    const row = reading.roles.find((one) => one.role === role);
    // A value and its unit are held together by a blank that does not break.
    return row && say(row.readAs).replace(/\s/g, ' ');
  };
  const file = (time: string): string => `Date,Time,Torque,Unit,Emp\n2026-11-17,${time},76.8,in-lb,E12\n`;

  test('a time of day as it was understood, of a 12-hour clock too', async () => {
    expect(await readAs(file('7:02:21 PM'), 'time')).toBe('19:02:21');
    expect(await readAs(file('12:02 AM'), 'time')).toBe('00:02');
  });

  test('torque with the unit that stands in a column of its own, and that unit by its sign', async () => {
    expect(await readAs(file('7:02:21 AM'), 'torque')).toBe('76.8 lbf·in');
    expect(await readAs(file('7:02:21 AM'), 'torque-unit')).toBe('lbf·in');
  });

  test('an employee is an operator', async () => {
    expect(await readAs(file('7:02:21 AM'), 'operator')).toBe('E12');
  });

  test('of a column that is asked for, what is known of it, and not how its numbers were read', async () => {
    const { reading } = await readText('23.33;59.8\n23.19;64.6\n24.69;55.6\n23.99;51.6\n', { set });
    const columns = reading.roles.filter((row) => row.column > 0);
    expect(columns.map((row) => row.evidence[0]?.key)).toEqual(['intake.ev-no-name', 'intake.ev-no-name']);
  });
});

test('of a line that ends early the last cell is shown, of one that goes on all that is too much', async () => {
  const good = '2026-03-14;1,5;33;ok';
  const { rejected } = await readText(
    `Date;Torque [Nm];Angle;Note\n${good}\n2026-03-14;1,\n${good}\n${good};x;y z\n${good}\n`,
    { set },
  );
  expect(rejected.map((row) => [row.code, row.text.slice(...(row.span ?? [0, 0]))])).toEqual([
    ['too-few-fields', '1,'],
    ['too-many-fields', 'x;y z'],
  ]);
  expect(rejected.map((row) => row.column)).toEqual([null, null]);
});

test('a file of which every line is rejected still shows how its columns were read, so that it can be put right', async () => {
  const text = 'Date;Torque [Nm];Angle\n2026-03-14;--;24.1\n2026-03-14;--;24.2\n2026-03-14;?;24.3\n';
  const { reading, rows } = await readText(text, { set });
  expect(rows).toEqual([]);
  expect(reading.problem?.kind).toBe('refused-input');
  expect(reading.roles.map((row) => row.role)).toContain('torque');
  expect(reading.firstLines.map((line) => line.line)).toEqual([1, 2, 3, 4]);
  const corrected = await readText(text, {
    set,
    answers: { 'role:2': 'note', 'role:3': 'torque', 'torque-unit': 'N.m' },
  });
  expect(corrected.rows.map((row) => row.torque)).toEqual([24.1, 24.2, 24.3]);
});

test('the question for the unit gives each choice in newton metres too, by three digits', async () => {
  const { reading } = await readText('Date;Torque\n2026-03-14;22.88\n2026-03-14;24.87\n', { set });
  const card = reading.questions.find((one) => one.id === 'torque-unit');
  const evidence = Object.fromEntries(card?.choices.map((one) => [one.value, say(one.evidence[0]!)]) ?? []);
  expect(evidence['N.m']).toBe('22.88 to 24.87 N·m');
  // 1 lbf·ft = 1.3558179483 N·m (NIST SP 811, table B.8).
  expect(evidence['lbf.ft']).toBe('22.88 to 24.87 lbf·ft = 31.0 to 33.7 N·m');
  expect(evidence['N.cm']).toBe('22.88 to 24.87 N·cm = 0.229 to 0.249 N·m');
});

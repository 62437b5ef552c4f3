import { expect, it } from 'vitest';
import { type RegisterTable, registerCsv, registerFileFromCsv, registerTables } from '#core/register/register-csv.ts';
import { emptyRegister, mergeRegisterFile, registerToFile } from '#core/register/register-file.ts';
import { csvRecords } from '#core/text/csv.ts';
import { say } from '#core/text/said.ts';
import { registerOf } from '../support/plant-of.ts';

const file = {
  joints: [
    {
      name: 'Rack stay M8, left',
      class: 'B',
      limits: [
        { from: '2026-09-01', unit: 'N.m', low: 20.8, high: 25.2, by: 'P. Aune', why: 'first "limits"' },
        { from: '2026-09-23T14:00:00', unit: 'N.m', target: 24, lowPercent: -8, highPercent: 8, batchSize: 4 },
      ],
    },
    { name: 'Left pedal', direction: 'ccw', stopsBy: 'angle', station: 'Line 2', note: 'see drawing 7; grease' },
  ],
  tools: [
    {
      serial: 'T-207',
      unit: 'N.m',
      min: 5,
      max: 60,
      permissibleDeviationPercent: 4,
      status: 'quarantined',
      events: [{ at: '2026-11-10', kind: 'repair', note: 'dropped' }],
      adapters: [{ from: '2026-11-01', to: null, lengthMm: 300, offsetMm: 30, angleDeg: 45 }],
    },
  ],
  operators: [{ badge: '0139', name: 'R. Banerjee' }],
  shifts: [
    {
      name: 'Night',
      start: '22:00',
      end: '06:00',
      weekdays: ['Mon', 'Tue', 'Thu'],
      breaks: [
        { start: '23:50', end: '00:10', name: 'tea' },
        { start: '02:00', end: '02:30' },
      ],
    },
  ],
  checks: [{ tool: 'T-207', at: '2026-11-23T07:00:00', nominal: 24, reference: 24.72, reading: 24, unit: 'N.m' }],
};

it('gives the same register when all its tables are read back', () => {
  const register = registerOf(file);
  const written = registerToFile(register);
  let back = emptyRegister;
  for (const table of Object.keys(registerTables) as RegisterTable[]) {
    const { file: read, problems } = registerFileFromCsv(registerCsv(written, table));
    expect(problems).toEqual([]);
    const merged = mergeRegisterFile(back, read);
    expect(merged.problems).toEqual([]);
    back = merged.register;
  }
  expect(back).toEqual(register);
});

it('reads what a spreadsheet wrote: semicolons, a byte order mark, quotes and line breaks in cells', () => {
  expect(csvRecords('\uFEFFa;b\r\n1;"x;""y""\nz"\r\n\r\n;\r\n')).toEqual([
    ['a', 'b'],
    ['1', 'x;"y"\nz'],
  ]);
  expect(registerFileFromCsv('badge;name\r\n0139;R. Banerjee\r\n').file).toEqual({
    operators: [{ badge: '0139', name: 'R. Banerjee' }],
  });
});

it('says in one sentence what cannot be read', () => {
  const problem = (text: string): string => say(registerFileFromCsv(text).problems[0]!);
  expect(problem('colour,size\r\nred,3')).toContain('make no table of the register');
  expect(problem('')).toContain('The table is empty');
  expect(problem('serial,weight\r\nT-1,3')).toContain('The table of tools has no column "weight"');
  expect(problem('name,from,unit,low\r\nJ,2026-01-01,N.m,"7,5"')).toBe(
    'Row 2, column low: "7,5" is not a number. Write numbers with a decimal point and without separators.',
  );
});

it("reads a table of adapters without a length: the wrench's own is taken", () => {
  const { file: read, problems } = registerFileFromCsv('tool,from,offsetMm,angleDeg\r\nT-1,2026-11-01,30,0\r\n');
  expect(problems).toEqual([]);
  const { register } = mergeRegisterFile(registerOf({ tools: [{ serial: 'T-1', lengthMm: 402 }] }), read);
  expect(register.tools[0]?.adapters).toMatchObject([{ lengthMm: 402, offsetMm: 30, to: null }]);
});

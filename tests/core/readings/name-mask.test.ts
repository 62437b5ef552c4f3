import { describe, expect, it } from 'vitest';
import { nameMask } from '#core/readings/name-mask.ts';
import { emptyRegister, mergeRegisterFile } from '#core/register/register-file.ts';

const { register } = mergeRegisterFile(emptyRegister, {
  operators: [
    { badge: '7', name: 'Ida Moen' },
    { badge: '114', name: 'K. Osei' },
    { badge: '139', name: 'R. Banerjee' },
    { badge: 'W-22', name: 'Nils Long' },
    { badge: '500', name: 'Per Moen' },
    { badge: '501', name: null },
  ],
  tools: [{ serial: 'T-114', unit: 'N.m', min: 10, max: 60 }],
  joints: [{ name: 'Long bolt' }],
});
const mask = nameMask(register, [
  ['Banerjee R', 2],
  ['0139', 2],
  ['left long ago', -1],
]);
// Shorter badges first, then by the alphabet.
const [ida, osei, banerjee, moen, unnamed, long] = [1, 2, 3, 4, 5, 6].map((number) => `Operator ${number}`);

describe('a text that is an operator as a whole', () => {
  it.each([
    ['139', banerjee],
    [' 139 ', banerjee],
    ['0139', banerjee],
    ['r. banerjee', banerjee],
    ['R. Banerjee (139)', banerjee],
    ['Banerjee, R.', banerjee],
    ['Banerjee R', banerjee],
    ['7', ida],
    ['501', unnamed],
    ['w-22', long],
    ['left long ago', 'an operator'],
    // A family name alone may be anything: a joint, a town.
    ['Banerjee', null],
    ['1390', null],
    ['', null],
  ])('%j is %s', (text, label) => {
    expect(mask.whole(text)).toBe(label);
  });
});

describe('a text that people wrote', () => {
  it.each([
    ['R. Banerjee dropped it', `${banerjee} dropped it`],
    ['asked Banerjee.', `asked ${banerjee}.`],
    ["Banerjee's second pull", `${banerjee} second pull`],
    ['K. Osei, R. Banerjee and 501', `${osei}, ${banerjee} and ${unnamed}`],
    ['Osei/Banerjee', `${osei}/${banerjee}`],
    ['operator 139 on T-114', `${banerjee} on T-114`],
    ['badge 7 again', `badge ${ida} again`],
    ['left by W-22', `left by ${long}`],
    // Two people of one family name.
    ['Moen saw it, Per Moen too', `an operator saw it, ${moen} too`],
  ])('%j becomes %j', (text, hidden) => {
    expect(mask.words(text)).toBe(hidden);
  });

  it.each([
    'a long bolt, 7 pulls',
    'the Long bolt again',
    '114 readings left out',
    'torque 139 N.m, then 139.5',
    'at 7:30 on 2026-11-14',
    'tool T-114, line 139',
    '3:139',
    'bananas',
    '',
  ])('%j stays', (text) => {
    expect(mask.words(text)).toBe(text);
  });
});

describe('the name of a file', () => {
  it.each([
    ['139_2026-11-13.csv', `${banerjee}_2026-11-13.csv`],
    ['readout-139.csv', `readout-${banerjee}.csv`],
    ['Banerjee_week 46.csv', `${banerjee}_week 46.csv`],
    ['R. Banerjee late.csv', `${banerjee} late.csv`],
    ['T-114_2026-11-13.csv', 'T-114_2026-11-13.csv'],
    // A wrench that the register does not know.
    ['T-139_2026-11-13.csv', 'T-139_2026-11-13.csv'],
  ])('%j becomes %j', (name, hidden) => {
    expect(mask.fileName(name)).toBe(hidden);
  });
});

it('says who decided by number where that is an operator, and leaves others their names', () => {
  expect(mask.person('R. Banerjee')).toBe(banerjee);
  expect(mask.person('P. Aune')).toBe('P. Aune');
  expect(mask.person('Osei, for P. Aune')).toBe(`${osei}, for P. Aune`);
});

it('names no operator in what a change was about, not even one who is gone', () => {
  expect(mask.subject('operator 139')).toBe(banerjee);
  expect(mask.subject('joint Long bolt, operator 7, operator Someone Else, 2 checks')).toBe(
    `joint Long bolt, ${ida}, an operator, 2 checks`,
  );
  expect(mask.subject('139 readings')).toBe('139 readings');
});

import { describe, expect, test } from 'vitest';
import type { QuestionCard, RoleRow } from '#core/contract/models/intake-model.ts';
import { noticeKinds, type Role, roles } from '#core/intake/vocabulary.ts';
import { openSaid, waitsForAnswer, whatIsOpen } from '#core/intake/what-is-open.ts';
import { said, say } from '#core/text/said.ts';

const card = (id: string, values: readonly string[], leaning: string | null = null): QuestionCard => ({
  id,
  text: id === 'date-order' ? said('intake.q-order', { text: '05/03/2026' }) : said('intake.name', {}),
  choices: values.map((value) => ({
    value,
    meaning: said('intake.name', {}),
    evidence: [],
    leaning: value === leaning,
    picture: null,
  })),
  free: false,
  alsoIn: [],
});

const row = (column: number, role: Role, question: string | null): RoleRow => ({
  column,
  name: null,
  role,
  asWritten: '',
  readAs: said('intake.role', { role }),
  evidence: [said('intake.ev-none', {})],
  by: 'found',
  question,
  choices: roles,
});

const open = (questions: readonly QuestionCard[], rows: readonly RoleRow[] = []) => {
  const found = whatIsOpen({ questions, roles: rows, readOrder: 'dmy', readMark: 'comma' });
  if (!found) throw new Error('nothing is open');
  return found;
};
const waiting = (...args: Parameters<typeof open>): string[] => {
  const found = open(...args);
  return noticeKinds.filter((kind) => waitsForAnswer(kind, found)).sort();
};

describe('what is open', () => {
  test('is nothing when nothing is asked', () => {
    expect(whatIsOpen({ questions: [], roles: [], readOrder: 'dmy', readMark: 'point' })).toBeNull();
  });

  test('the order that leads is the one leant to, else the one read in; a file that contradicts itself stays as read', () => {
    expect(open([card('date-order', ['dmy', 'mdy'], 'mdy')]).order).toEqual({
      from: 'dmy',
      lead: 'mdy',
      others: ['dmy'],
    });
    expect(open([card('date-order', ['dmy', 'mdy', 'ymd'])]).order).toEqual({
      from: 'dmy',
      lead: 'dmy',
      others: ['mdy', 'ymd'],
    });
    const both = { ...card('date-order', ['dmy', 'mdy'], 'mdy'), text: said('intake.q-order-both', {}) };
    expect(open([both]).order?.lead).toBe('dmy');
  });

  test('a column that may hold the torque leaves the torque open, one that may hold the angle only the angle', () => {
    const torque = open([card('role:2', ['torque', 'angle', 'ignore'])], [row(2, 'torque', 'role:2')]);
    expect(torque).toMatchObject({ torque: { column: 2, name: null }, angle: false, questions: ['role:2'] });
    const angle = open(
      [card('role:3', ['angle', 'target', 'ignore'])],
      [row(2, 'torque', null), row(3, 'ignore', 'role:3')],
    );
    expect(angle).toMatchObject({ torque: null, angle: true, questions: ['role:3'] });
    // A column that was only guessed to be the angle may yet be another.
    const guessed = open(
      [card('role:1', ['torque', 'ignore']), card('role:2', ['torque', 'ignore'])],
      [row(1, 'torque', 'role:1'), row(2, 'angle', 'role:2')],
    );
    expect(guessed.roles.has('angle')).toBe(true);
  });

  test('a column of words bears on verdicts only when it may name the tool or the joint', () => {
    const notes = open([card('role:4', ['operator', 'note', 'ignore'])], [row(4, 'ignore', 'role:4')]);
    expect(notes).toMatchObject({ questions: [], tool: false, joint: false });
    expect(openSaid(notes, { judged: 5, otherwise: 0 }).map((one) => say(one))).toEqual([
      'No verdict hangs on what is asked.',
    ]);
    const tools = open([card('role:4', ['tool', 'note', 'ignore'])], [row(4, 'ignore', 'role:4')]);
    expect(tools).toMatchObject({ questions: ['role:4'], tool: true, joint: false });
  });

  test('says that either day gives the same verdicts only where there are verdicts', () => {
    const order = open([card('date-order', ['dmy', 'mdy'])]);
    const text = (judged: number, otherwise: number): string =>
      openSaid(order, { judged, otherwise })
        .map((one) => say(one))
        .join(' ');
    expect(text(5, 0)).toMatch(/names both\. Either day gives the same verdicts\.$/);
    expect(text(0, 0)).toMatch(/names both\.$/);
    expect(text(5, 2)).toMatch(/2 readings are left unjudged: the other day has other limits\.$/);
  });
});

describe('notices that wait for the answer', () => {
  const verdicts = ['on-limit', 'own-result-differs', 'second-pull'];

  test('to day and month', () => {
    expect(waiting([card('date-order', ['dmy', 'mdy'])])).toEqual(
      [
        ...verdicts,
        'calibration-overdue',
        'clock-back',
        'clock-unset',
        'date-range',
        'future-date',
        'newest-first',
      ].sort(),
    );
  });

  test('to the unit, to the decimal mark', () => {
    expect(waiting([card('torque-unit', ['N.m'])])).toEqual([...verdicts, 'beyond-range'].sort());
    expect(waiting([card('decimal-mark', ['comma', 'point'])])).toEqual([...verdicts, 'beyond-range'].sort());
  });

  test('to the tool, to the joint', () => {
    expect(waiting([card('tool', ['T-1'])])).toEqual(
      [...verdicts, 'beyond-range', 'calibration-overdue', 'clock-back', 'memory-full'].sort(),
    );
    expect(waiting([card('joint', ['Stem'])])).toEqual([...verdicts, 'other-direction'].sort());
  });

  test('to what a column holds; a written zone and a count from 1970 wait for nothing', () => {
    const columns = [card('role:1', ['torque', 'angle', 'operator', 'sequence', 'ignore']), card('role:2', ['tool'])];
    const kinds = waiting(columns, [row(1, 'torque', 'role:1'), row(2, 'ignore', 'role:2')]);
    for (const kind of ['duplicate-lines', 'unit-changes', 'zero-torque', 'unknown-name', 'sequence-gap'])
      expect(kinds).toContain(kind);
    expect(kinds).not.toContain('zone-ignored');
    expect(kinds).not.toContain('epoch-utc');
  });
});

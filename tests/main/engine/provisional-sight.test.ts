/** What a file would add is drawn while its questions are open, and says nothing that an answer could take back. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { IntakePreview, WouldAdd } from '#core/contract/models/intake-model.ts';
import { noticeKinds } from '#core/intake/vocabulary.ts';
import { say } from '#core/text/said.ts';
import { TestEngine } from './test-engine.ts';

const day = (month: number, date: number): number => Date.UTC(2026, month - 1, date);
const sentences = (wouldAdd: WouldAdd | null): string[] => (wouldAdd?.provisional?.said ?? []).map((one) => say(one));
const kinds = (wouldAdd: WouldAdd | null): number[] =>
  (wouldAdd?.untimed ? [...wouldAdd.days, wouldAdd.untimed] : (wouldAdd?.days ?? [])).flatMap((one) => [...one.kind]);
const asked = (preview: IntakePreview): string[] => preview.questions.map((card) => card.id);

describe('the picture of a file that asks', () => {
  let plant: TestEngine;
  beforeEach(async () => {
    plant = await new TestEngine().open();
    const limits = { unit: 'N.m', low: 23, target: 24, high: 25 };
    await plant.engine.serve('register:put', {
      file: {
        joints: [
          {
            name: 'Stem',
            limits: [
              { from: '2026-01-01', ...limits },
              { from: '2026-10-01', ...limits, high: 24.5 },
            ],
          },
        ],
        tools: [{ serial: 'T-1', unit: 'N.m', min: 5, max: 60 }],
      },
      why: null,
    });
  });
  afterEach(() => plant.close());

  const read = async (text: string, answers: Record<string, string> = {}, name = 'a.csv'): Promise<IntakePreview> =>
    plant.read(await plant.offer(name, text), { answers });

  test('a file that asks nothing has a picture that is not provisional', async () => {
    const preview = await read('Date and time;Tool;Joint;Torque;Unit\n2026-03-14 06:00:00;T-1;Stem;24.10;Nm\n');
    expect(asked(preview)).toEqual([]);
    expect(preview.wouldAdd).toMatchObject({ provisional: null, pass: 1, measure: 'torque' });
    expect(preview.noticesWait).toBe(false);
  });

  test('a torque without a unit stands as written and is judged by no limit, whatever its number', async () => {
    const text = `Date and time;Tool;Joint;Torque\n${[24.1, 240.1, 2.41]
      .map((torque, i) => `2026-03-14 06:0${i}:00;T-1;Stem;${torque.toFixed(2)}`)
      .join('\n')}\n`;
    const preview = await read(text);
    expect(asked(preview)).toEqual(['torque-unit']);
    const { wouldAdd } = preview;
    expect(wouldAdd).toMatchObject({ pass: 0, fail: 0, unjudged: 3, inLimits: false, measure: 'torque', unit: null });
    expect(wouldAdd?.provisional).toMatchObject({ questions: ['torque-unit'], unitOpen: true, leftUnjudged: 3 });
    expect(Array.from(wouldAdd?.days[0]?.place ?? [])).toEqual([24.1, 240.1, 2.41]);
    expect(kinds(wouldAdd)).toEqual([5, 5, 5]);
    expect(sentences(wouldAdd)).toEqual(['The unit is not known: torques stand as written, and no limit judges them.']);
    // 240.1 is beyond the range of T-1 in newton metres, and inside it in many other units.
    expect(preview.notices.map((notice) => notice.kind)).not.toContain('beyond-range');
    expect(preview.noticesWait).toBe(true);

    const answered = await plant.read(preview.ticket, { answers: { 'torque-unit': 'N.m' } });
    expect(answered.wouldAdd).toMatchObject({ provisional: null, pass: 1, fail: 2, unjudged: 0, unit: 'N.m' });
    expect(answered.notices.map((notice) => notice.kind)).toContain('beyond-range');
  });

  test('an open order of day and month names both days, and judges where both days agree', async () => {
    // 5 March or 3 May: one revision. 9 November or 11 September: the later revision has a lower high limit.
    const rows = ['05/03/2026 06:00:00;T-1;Stem;24.80;Nm', '09/11/2026 06:00:00;T-1;Stem;24.80;Nm'];
    const preview = await read(`Date and time;Tool;Joint;Torque;Unit\n${rows.join('\n')}\n`);
    expect(asked(preview)).toEqual(['date-order']);
    const { wouldAdd } = preview;
    expect(wouldAdd?.days.map((one) => [one.day, ...one.orDays])).toEqual([
      [day(3, 5), day(5, 3)],
      [day(11, 9), day(9, 11)],
    ]);
    expect(wouldAdd).toMatchObject({ pass: 1, fail: 0, unjudged: 1 });
    expect(kinds(wouldAdd)).toEqual([0, 5]);
    expect(sentences(wouldAdd).join()).toMatch(
      /names both\. 1 reading is left unjudged: the other day has other limits/,
    );
    // Both questions of the card say what would follow; the answers below must bear them out.
    expect(wouldAdd?.provisional?.byOrder).toEqual([
      { order: 'dmy', pass: 1, fail: 1, unjudged: 0 },
      { order: 'mdy', pass: 2, fail: 0, unjudged: 0 },
    ]);
    expect(preview.questions[0]?.choices.map((choice) => say(choice.evidence.at(-1)!))).toEqual([
      'by the limits of these days 1 outside',
      'by the limits of these days 0 outside',
    ]);
    for (const [order, first, last] of [
      ['dmy', day(3, 5), 2],
      ['mdy', day(5, 3), 0],
    ] as const) {
      const answered = await plant.read(preview.ticket, { answers: { 'date-order': order } });
      expect(answered.wouldAdd?.provisional).toBeNull();
      expect(answered.wouldAdd?.days.every((one) => one.orDays.length === 0)).toBe(true);
      expect(answered.wouldAdd?.days[0]?.day).toBe(first);
      expect(kinds(answered.wouldAdd)[1]).toBe(last);
      const { pass, fail, unjudged } = wouldAdd!.provisional!.byOrder.find((one) => one.order === order)!;
      expect(answered.wouldAdd).toMatchObject({ pass, fail, unjudged });
    }
  });

  test('says of days without limits that there are none, and nothing where no order has any', async () => {
    const evidence = async (joint: string, date: string): Promise<string[]> => {
      const preview = await read(`Date;Tool;Joint;Torque;Unit\n${date};T-1;${joint};24.10;Nm\n`);
      return preview.questions[0]!.choices.map((choice) => say(choice.evidence.at(-1)!));
    };
    expect(await evidence('Crank', '09/11/2026')).toEqual(['all on Mon 9 Nov 2026', 'all on Fri 11 Sep 2026']);
    await plant.engine.serve('register:put', {
      file: { joints: [{ name: 'Crank', limits: [{ from: '2026-10-01', unit: 'N.m', low: 23, high: 25 }] }] },
      why: null,
    });
    expect(await evidence('Crank', '09/11/2026')).toEqual([
      'by the limits of these days 0 outside',
      'on these days no limits are in force',
    ]);
  });

  test('the order that the file leans to leads, and a day that is the same either way stands alone', async () => {
    const dates = ['11/05/2026', '11/06/2026', '11/11/2026'];
    const preview = await read(
      `Date;Tool;Joint;Torque;Unit\n${dates.map((date) => `${date};T-1;Stem;24.10;Nm`).join('\n')}\n`,
    );
    const [card] = preview.questions;
    expect(card?.choices.find((choice) => choice.leaning)?.value).toBe('mdy');
    expect(preview.wouldAdd?.days.map((one) => [one.day, ...one.orDays])).toEqual([
      [day(11, 5), day(5, 11)],
      [day(11, 6), day(6, 11)],
      [day(11, 11)],
    ]);
    // The clock would run backwards if the days were read the other way: nothing of that is said before the answer.
    expect(preview.notices.map((notice) => notice.kind)).toEqual([]);
  });

  test('an open decimal mark leaves everything unjudged, drawn as the mark that leads has it', async () => {
    const preview = await read(
      `Date and time;Tool;Joint;Torque;Unit\n2026-03-14 06:00:00;T-1;Stem;24,100;Nm\n2026-03-14 06:01:00;T-1;Stem;24,250;Nm\n`,
    );
    expect(asked(preview)).toEqual(['decimal-mark']);
    expect(preview.wouldAdd).toMatchObject({ pass: 0, fail: 0, unjudged: 2, inLimits: false });
    expect(Array.from(preview.wouldAdd?.days[0]?.place ?? [])).toEqual([24.1, 24.25]);
    expect(sentences(preview.wouldAdd).join()).toMatch(/read with a decimal comma, and no limit judges them/);
  });

  test('readings without a tool or a joint are unjudged while it is asked for, and judged by the answer', async () => {
    const rows = Array.from({ length: 6 }, (_, i) => `2026-03-14 06:0${i}:00;${i === 0 ? '-' : ''}24.1${i};Nm`);
    const preview = await read(`Date and time;Torque;Unit\n${rows.join('\n')}\n`);
    expect(asked(preview)).toEqual(['tool', 'joint']);
    expect(preview.wouldAdd).toMatchObject({ pass: 0, fail: 0, unjudged: 6, otherDirection: 0, inLimits: false });
    expect(preview.wouldAdd?.unit).toBe('N.m');
    expect(sentences(preview.wouldAdd)).toHaveLength(2);
    // A joint with a left-hand thread would make the minus the right direction.
    expect(preview.notices.map((notice) => notice.kind)).not.toContain('other-direction');
    const half = await plant.read(preview.ticket, { answers: { joint: 'Stem' } });
    expect(half.wouldAdd).toMatchObject({ unjudged: 6, provisional: { questions: ['tool'] } });
    const answered = await plant.read(preview.ticket, { answers: { joint: 'Stem', tool: 'T-1' } });
    expect(answered.wouldAdd).toMatchObject({ provisional: null, pass: 5, otherDirection: 1 });
    expect(answered.notices.map((notice) => notice.kind)).toContain('other-direction');
  });

  test('columns without names are drawn by the guess that leads, in the order of the file when nothing has a time', async () => {
    const rows = Array.from({ length: 30 }, (_, i) => `${(24 + i / 100).toFixed(2)};${50 + (i % 7)}.5`);
    const preview = await read(`${rows.join('\n')}\n`);
    expect(asked(preview)).toEqual(['role:1', 'role:2', 'torque-unit', 'tool', 'joint']);
    const { wouldAdd } = preview;
    expect(wouldAdd?.days).toEqual([]);
    expect(wouldAdd).toMatchObject({ pass: 0, fail: 0, unjudged: 30, noTime: 30, unit: null });
    expect(Array.from(wouldAdd?.untimed?.at ?? [])).toEqual(rows.map((_, i) => i + 1));
    expect(wouldAdd?.untimed?.place[2]).toBe(24.02);
    expect(sentences(wouldAdd)[0]).toMatch(/column 1 is drawn as if it did, and nothing is judged/);
    expect(wouldAdd?.provisional?.questions).toEqual(asked(preview));
  });

  test('a question that no verdict hangs on leaves the verdicts standing, and says so', async () => {
    const rows = Array.from({ length: 12 }, (_, i) => `2026-03-14 06:${10 + i}:00;T-1;Stem;24.10;Nm;44.0;word ${i}`);
    const preview = await read(`Date and time;Tool;Joint;Torque;Unit;Angle;\n${rows.join('\n')}\n`);
    expect(asked(preview)).toEqual(['role:7']);
    expect(preview.wouldAdd).toMatchObject({ pass: 12, unjudged: 0, provisional: { questions: [], leftUnjudged: 0 } });
    expect(sentences(preview.wouldAdd)).toEqual(['No verdict hangs on what is asked.']);
  });

  test('while it is asked whether the rows are held, the picture shows the file and says what is open', async () => {
    const rows = (from: number, count: number): string =>
      Array.from({ length: count }, (_, i) => `T-1;Stem;${(23.5 + ((from + i) * 37) / 1000).toFixed(3)};Nm`).join('\n');
    const head = 'Tool;Joint;Torque [Nm];Unit\n';
    await plant.take('one.csv', `${head}${rows(0, 20)}\n`, { answers: { 'decimal-mark': 'point' } });
    const preview = await read(`${head}${rows(17, 20)}\n`, { 'decimal-mark': 'point' }, 'two.csv');
    expect(asked(preview)).toEqual(['overlap']);
    expect(preview.wouldAdd?.provisional).toMatchObject({ questions: ['overlap'], leftUnjudged: 0 });
    expect(sentences(preview.wouldAdd)).toEqual(['Which of these readings are new is not known.']);
  });

  test('nothing of it is stored, and the document of the command line is as before', async () => {
    const text = 'Date and time;Tool;Joint;Torque;Unit\n05/03/2026 06:00:00;T-9;Stem;24.80;Nm\n';
    const preview = await read(text);
    // The preview may say already that T-9 is new; the document holds what the file alone says until nothing is asked.
    expect(preview.notices.map((notice) => notice.kind)).toEqual(['unknown-name']);
    const outcome = await plant.accept(preview.ticket);
    expect(outcome).toMatchObject({ source: null, notices: [] });
    expect(await plant.count()).toBe(0);
    expect(Object.keys(outcome).sort()).toEqual(
      [
        'accepted',
        'alreadyHeld',
        'file',
        'lines',
        'notices',
        'problem',
        'questions',
        'recipe',
        'rejected',
        'said',
        'secondTable',
        'sha256',
        'source',
        'ticket',
      ].sort(),
    );
  });

  test('every kind of notice that waits comes back with the answer: the leading order is not a fact', async () => {
    // Day first, the clock jumps back and forth and half the dates lie in the future; month first it does not.
    const dates = ['11/02/2026', '11/03/2026', '11/04/2026', '11/05/2026', '12/01/2027'];
    const preview = await read(
      `Date and time;Tool;Joint;Torque;Unit\n${dates.map((date) => `${date} 06:00:00;T-1;Stem;24.10;Nm`).join('\n')}\n`,
    );
    expect(asked(preview)).toEqual(['date-order']);
    const waiting = ['clock-back', 'future-date', 'date-range', 'clock-unset', 'newest-first'] as const;
    for (const kind of waiting) expect(noticeKinds).toContain(kind);
    expect(preview.notices.filter((notice) => waiting.some((kind) => kind === notice.kind))).toEqual([]);
    expect(preview.noticesWait).toBe(true);
    const answered = await plant.read(preview.ticket, { answers: { 'date-order': 'mdy' } });
    expect(answered.notices.map((notice) => notice.kind)).toContain('future-date');
  });

  test('the picture is there again after a restart, and follows the limits of the register', async () => {
    const ticket = await plant.offer('a.csv', 'Date;Tool;Joint;Torque;Unit\n05/03/2026;T-1;Crank;24.80;Nm\n');
    await plant.read(ticket);
    await plant.reopen();
    const again = await plant.engine.serve('inbox:preview', { ticket });
    expect(again.wouldAdd).toMatchObject({ unjudged: 1, provisional: { questions: ['date-order'] } });
    await plant.engine.serve('register:put', {
      file: { joints: [{ name: 'Crank', limits: [{ from: '2026-01-01', unit: 'N.m', low: 23, high: 25 }] }] },
      why: null,
    });
    const judged = await plant.engine.serve('inbox:preview', { ticket });
    expect(judged.wouldAdd).toMatchObject({ pass: 1, unjudged: 0 });
  });

  test('a ready file follows what is taken in meanwhile: the same readings are counted as held', async () => {
    const head = 'Date and time;Tool;Joint;Torque;Unit\n';
    const rows = ['2026-03-14 06:00:00;T-1;Stem;24.80;Nm', '2026-03-14 06:01:00;T-1;Stem;24.70;Nm'];
    const ticket = await plant.offer('both.csv', `${head}${rows.join('\n')}\n`);
    expect(await plant.read(ticket)).toMatchObject({ accepted: 2, alreadyHeld: 0 });
    await plant.take('first.csv', `${head}${rows[0]}\n`);
    expect(await plant.engine.serve('inbox:preview', { ticket })).toMatchObject({ accepted: 1, alreadyHeld: 1 });
  });

  test('looked at and answered at once, the file shows what the answer made of it', async () => {
    const rows = Array.from(
      { length: 3000 },
      (_, i) => `05/03/2026 06:${String(i % 60).padStart(2, '0')}:00;T-1;Stem;24.${10 + (i % 80)};Nm`,
    );
    const ticket = await plant.offer('a.csv', `Date and time;Tool;Joint;Torque;Unit\n${rows.join('\n')}\n`);
    await plant.read(ticket);
    await plant.reopen();
    const [, answered] = await Promise.all([
      plant.engine.serve('inbox:preview', { ticket }),
      plant.read(ticket, { answers: { 'date-order': 'mdy' } }),
      plant.engine.serve('inbox:preview', { ticket }),
    ]);
    expect(answered.wouldAdd).toMatchObject({ provisional: null, days: [{ day: day(5, 3), count: 3000 }] });
    const after = await plant.engine.serve('inbox:preview', { ticket });
    expect(after.wouldAdd).toMatchObject({ provisional: null, pass: answered.wouldAdd?.pass });
    expect(await plant.accept(ticket)).toMatchObject({ accepted: 3000 });
  });

  test('angles are drawn where the file holds no torque', async () => {
    const preview = await read('Date and time;Tool;Joint;Angle\n2026-03-14 06:00:00;T-1;Crank;44.5\n');
    expect(preview.wouldAdd).toMatchObject({ measure: 'angle', inLimits: false, unjudged: 1 });
    expect(Array.from(preview.wouldAdd?.days[0]?.place ?? [])).toEqual([44.5]);
  });

  test('names of every kind that the register does not know are named, not only the first kind', async () => {
    const preview = await read(
      'Date and time;Tool;Joint;Operator;Torque;Unit\n2026-03-14 06:00:00;T-9;Crank;77;24.80;Nm\n',
    );
    expect(preview.notices.map((notice) => say(notice.said))).toEqual([
      'Not in the register: tool T-9; operator 77; joint Crank. Added as unconfirmed.',
    ]);
    expect(preview.notices[0]?.count).toBe(3);
  });
});

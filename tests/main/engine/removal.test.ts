/** Entries of the register taken out: what points to them, the journal, the undo, and what comes after. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { studyChoicesSchema } from '#core/contract/calls.ts';
import { everything } from '#core/readings/scope.ts';
import { say } from '#core/text/said.ts';
import { dump, series, TestEngine } from './test-engine.ts';

type Kind = 'joint' | 'tool' | 'operator' | 'shift';

let plant: TestEngine;
beforeEach(async () => {
  plant = await new TestEngine().open();
});
afterEach(() => plant.close());

const limits = (from: string) => ({ from, unit: 'N.m', low: 24.1, high: 24.9 });
const put = (file: object, why: string | null = null) =>
  plant.engine.serve('register:put', { file: JSON.parse(JSON.stringify(file)), why });
const remove = (kind: Kind, name: string, why: string | null = null) =>
  plant.engine.serve('register:remove', { kind, name, why });
const removal = (kind: Kind, name: string) => plant.engine.serve('register:removal', { kind, name });
const undo = (change: number | null = null) => plant.engine.serve('change:undo', { change });
const exported = () => plant.engine.serve('register:export', {});
const lists = () => plant.engine.serve('register:read', {});
/** A conflict whose words say how much stands in the way, and what to do instead. */
const refused = (words: string, instead = '') => ({
  problem: {
    kind: 'conflict',
    message: expect.stringMatching(new RegExp(`${literally(words)}.*${literally(instead)}`)),
  },
});
const literally = (words: string): string => words.replace(/[.()]/g, '\\$&');

const mistakes = {
  joints: [
    { name: 'Stem', limits: [limits('2026-01-01')] },
    { name: 'Crnak', class: 'A', note: 'typed wrongly', limits: [limits('2026-01-01'), limits('2026-02-01')] },
  ],
  tools: [
    { serial: 'T-1' },
    {
      serial: 'T-99',
      lengthMm: 300,
      events: [{ at: '2026-01-05', kind: 'repair', note: 'spring' }],
      adapters: [{ from: '2026-01-01', offsetMm: 30, angleDeg: 0 }],
    },
  ],
  operators: [{ badge: '114' }, { badge: '141', name: 'Nobody' }],
  shifts: [
    { name: 'Early', start: '06:00', end: '14:00' },
    { name: 'Erly', start: '05:00', end: '13:00' },
    { name: 'Late', start: '14:00', end: '22:00' },
  ],
};

describe('an entry that was made by mistake', () => {
  test.each([
    ['joint', 'Crnak'],
    ['tool', 'T-99'],
    ['operator', '141'],
    ['shift', 'Erly'],
  ] as const)(
    '%s %s goes with all that is written of it, stands in the journal, and comes back the same',
    async (kind, name) => {
      await put(mistakes);
      await plant.take('a.csv', dump(series(20)));
      const before = await exported();
      expect(await removal(kind, name)).toMatchObject({ kind, name, allowed: true, instead: null });
      const { change } = await remove(kind, name, 'typed wrongly');
      const [entry] = await plant.engine.serve('change:list', { offset: 0, limit: 1 });
      expect(entry).toMatchObject({ id: change, kind: 'remove', subject: `${kind} ${name}`, why: 'typed wrongly' });
      expect(JSON.stringify(await exported())).not.toContain(`"${name}"`);
      await plant.reopen();
      expect(JSON.stringify(await exported())).not.toContain(`"${name}"`);
      await expect(removal(kind, name)).rejects.toMatchObject({ problem: { kind: 'not-found' } });
      await expect(remove(kind, name)).rejects.toMatchObject({ problem: { kind: 'not-found' } });
      await undo(change);
      expect(await exported()).toEqual(before);
    },
  );

  test('is taken back by the undo of the window', async () => {
    await put(mistakes);
    const before = await exported();
    await remove('joint', 'Crnak');
    await undo();
    expect(await exported()).toEqual(before);
  });

  test('changes no verdict and no other entry, wherever it stood in its list', async () => {
    await put({ ...mistakes, joints: [...mistakes.joints].reverse(), tools: [...mistakes.tools].reverse() });
    await plant.take('a.csv', dump(series(97)));
    const before = await plant.readings();
    await remove('joint', 'Crnak');
    await remove('tool', 'T-99');
    expect(await plant.readings()).toEqual(before);
    expect((await lists()).joints).toMatchObject([{ name: 'Stem', readings: 97 }]);
  });

  test('can be entered anew, and a dump may name it afterwards', async () => {
    await put(mistakes);
    await remove('joint', 'Crnak');
    await plant.take('a.csv', dump(series(5).map((row) => ({ ...row, joint: 'Crnak' }))));
    expect((await lists()).joints.find((one) => one.name === 'Crnak')).toMatchObject({ confirmed: false, readings: 5 });
    await put({ joints: [{ name: 'Crnak', class: 'B' }] });
    expect((await lists()).joints.filter((one) => one.name === 'Crnak')).toMatchObject([
      { class: 'B', confirmed: true, readings: 5 },
    ]);
  });
});

describe('an entry that is needed', () => {
  test('by readings is refused with their number; merged, nothing is left to remove, and all of it is undone', async () => {
    await put(mistakes);
    await plant.take(
      'a.csv',
      dump([...series(30), ...series(7, '2026-03-15T06:00:00').map((r) => ({ ...r, joint: 'Crnak' }))]),
    );
    const before = await exported();
    const { lastChange } = await plant.engine.serve('app:status', {});
    await expect(remove('joint', 'Crnak')).rejects.toMatchObject(
      refused(
        'Crnak cannot be removed: 7 readings (7 judged by its limits) point to it.',
        'merge the two; else keep it.',
      ),
    );
    expect((await plant.engine.serve('app:status', {})).lastChange).toBe(lastChange);
    const { mergeInto } = await removal('joint', 'Crnak');
    expect(mergeInto).toEqual(['Stem']);
    await plant.engine.serve('register:settle', { kind: 'joint', name: 'Crnak', into: 'Stem' });
    expect((await lists()).joints).toMatchObject([{ name: 'Stem', readings: 37 }]);
    await undo();
    expect(await exported()).toEqual(before);
  });

  test('by readings of a withdrawn file is refused: they may come back', async () => {
    await put(mistakes);
    await plant.take('a.csv', dump(series(6)));
    await plant.engine.serve('source:withdraw', { source: 1 });
    await expect(remove('joint', 'Stem')).rejects.toMatchObject(
      refused('Stem cannot be removed: 6 readings (6 out of force) point to it.'),
    );
    await plant.engine.serve('source:restore', { source: 1 });
    expect((await plant.readings()).every((reading) => reading.joint === 'Stem')).toBe(true);
  });

  test('by readings that were assigned away from it, or to it, is refused', async () => {
    await put(mistakes);
    await plant.take('a.csv', dump(series(6)));
    const all = (await plant.readings()).map((reading) => String(reading.id));
    await plant.engine.serve('mark:assign', { readings: all, joint: 'Crnak' });
    await expect(remove('joint', 'Crnak')).rejects.toMatchObject(refused('6 readings'));
    // The file names it still: the undo of the assignment needs it.
    await expect(remove('joint', 'Stem')).rejects.toMatchObject(refused('Stem cannot be removed: 6 readings point'));
    await undo();
    expect(await removal('joint', 'Crnak')).toMatchObject({ allowed: true });
  });

  test('by an assignment that is taken back later keeps that from half coming back', async () => {
    await put(mistakes);
    await plant.take('a.csv', dump(series(6)));
    await plant.engine.serve('mark:assign', { readings: ['1:2'], joint: 'Crnak' });
    const { change: away } = await plant.engine.serve('mark:assign', { readings: ['1:2'], joint: 'Stem' });
    const { change: gone } = await remove('joint', 'Crnak');
    await expect(undo(away)).rejects.toMatchObject(refused(`change ${gone} `));
    await undo(gone);
    await undo(away);
    expect((await plant.readings())[0]?.joint).toBe('Crnak');
  });

  test('by checks is refused with their number; retired, it stays with them', async () => {
    const check = { at: '2026-03-01', nominal: 24, reference: 24, reading: 24.2, unit: 'N.m' };
    await put({
      ...mistakes,
      checks: [check, check, { ...check, at: '2026-03-02' }].map((one) => ({ ...one, tool: 'T-99' })),
    });
    await expect(remove('tool', 'T-99')).rejects.toMatchObject(
      refused('T-99 cannot be removed: 2 checks point to it.', 'retire it.'),
    );
    const model = await removal('tool', 'T-99');
    expect(model).toMatchObject({ allowed: false, canRetire: true, mergeInto: ['T-1'] });
    expect(model.instead && say(model.instead)).toContain('retire it');
    await put({ tools: [{ serial: 'T-99', status: 'retired' }] });
    expect(await removal('tool', 'T-99')).toMatchObject({ allowed: false, canRetire: false });
    expect((await lists()).checks).toHaveLength(2);
  });

  test('by a saved study or scope is refused until that is deleted', async () => {
    await put(mistakes);
    await plant.take('a.csv', dump(series(30)));
    const scope = { ...everything, shifts: ['Erly'], operators: ['141'] };
    await plant.engine.serve('scope:save', { name: 'Mornings', scope });
    const choices = studyChoicesSchema.parse({ joint: 'Crnak', scope: { ...everything, tools: ['T-99'] } });
    const { id } = await plant.engine.serve('study:save', { name: 'Crank in March', choices });
    await expect(remove('shift', 'Erly')).rejects.toMatchObject(
      refused('1 saved scope points', 'Delete the saved scope “Mornings” first.'),
    );
    await expect(remove('operator', '141')).rejects.toMatchObject(refused('1 saved scope points'));
    await expect(remove('joint', 'Crnak')).rejects.toMatchObject(refused('1 saved study points'));
    await expect(remove('tool', 'T-99')).rejects.toMatchObject(refused('1 saved study points'));
    await plant.engine.serve('scope:delete', { name: 'Mornings' });
    await plant.engine.serve('study:delete', { id });
    for (const [kind, name] of [
      ['shift', 'Erly'],
      ['operator', '141'],
      ['joint', 'Crnak'],
      ['tool', 'T-99'],
    ] as const) {
      await remove(kind, name);
    }
    expect(JSON.stringify(await exported())).not.toMatch(/Erly|141|Crnak|T-99/);
  });

  test('stays, unconfirmed, when the change that made it is undone while checks are of it', async () => {
    const { change } = await put({ tools: [{ serial: 'T-7' }] });
    await put({ checks: [{ tool: 'T-7', at: '2026-03-01', nominal: 24, reference: 24, reading: 24.2, unit: 'N.m' }] });
    await undo(change);
    expect((await lists()).tools).toMatchObject([{ serial: 'T-7', confirmed: false }]);
    expect((await lists()).checks).toHaveLength(1);
  });
});

describe('a shift', () => {
  test('is removed although readings fall into it; they fall where it was said, and back by the undo', async () => {
    await put(mistakes);
    // 06:00 to 08:59, all inside Early, which stands first; then inside Erly alone.
    await plant.take('a.csv', dump(series(180)));
    const counts = async () => (await lists()).shifts.map((shift) => [shift.name, shift.readings]);
    expect(await counts()).toEqual([
      ['Early', 180],
      ['Erly', 0],
      ['Late', 0],
    ]);
    expect(say((await removal('shift', 'Early')).said)).toContain('they fall into Erly');
    const { change } = await remove('shift', 'Early');
    expect(await counts()).toEqual([
      ['Erly', 180],
      ['Late', 0],
    ]);
    await undo(change);
    expect(await counts()).toEqual([
      ['Early', 180],
      ['Erly', 0],
      ['Late', 0],
    ]);
  });

  test('removed leaves the order of the others, and one entered anew comes last', async () => {
    await put(mistakes);
    await remove('shift', 'Erly');
    const names = async () => (await lists()).shifts.map((shift) => shift.name);
    expect(await names()).toEqual(['Early', 'Late']);
    await put({ shifts: [{ name: 'Erly', start: '05:00', end: '06:00' }] });
    expect(await names()).toEqual(['Early', 'Late', 'Erly']);
    // A file that lists them all sets their order, and reading it twice changes nothing.
    const file = {
      shifts: [
        { name: 'Late', start: '14:00', end: '22:00' },
        { name: 'Erly', start: '05:00', end: '06:00' },
        { name: 'Early', start: '06:00', end: '14:00' },
      ],
    };
    await put(file);
    expect(await names()).toEqual(['Late', 'Erly', 'Early']);
    const { lastChange } = await plant.engine.serve('app:status', {});
    await put(file);
    expect((await plant.engine.serve('app:status', {})).lastChange).toBe(lastChange);
  });

  test('changed after another was removed does not stand in the way of that undo', async () => {
    await put(mistakes);
    const { change } = await remove('shift', 'Erly');
    await put({ shifts: [{ name: 'Late', start: '14:00', end: '21:30' }] });
    await undo(change);
    expect((await lists()).shifts.map((shift) => shift.name)).toEqual(['Early', 'Erly', 'Late']);
  });
});

describe('adapters of a wrench', () => {
  const adapters = (...list: object[]) => ({ tools: [{ serial: 'T-1', adapters: list }] });
  const crowfoot = { from: '2026-03-14T06:30:00', offsetMm: 30, angleDeg: 0 };
  const judged = async () => {
    const counts: Record<string, number> = {};
    for (const { verdict } of await plant.readings()) counts[String(verdict)] = (counts[String(verdict)] ?? 0) + 1;
    return counts;
  };
  const tool = () => plant.engine.serve('register:tool', { tool: 'T-1' });

  test('are added, changed, ended and taken away; each is previewed, journalled and undone', async () => {
    // 06:00 to 06:59, from 24.00 N.m in steps of 0.01: 50 within 24.1 to 24.9.
    await put({
      joints: [{ name: 'Stem', limits: [limits('2026-01-01')] }],
      tools: [{ serial: 'T-1', lengthMm: 300 }],
    });
    await plant.take('a.csv', dump(series(60)));
    expect(await judged()).toEqual({ pass: 50, fail: 10 });

    const steps: readonly [object, object, number][] = [
      // 1.1 times: at the fastener all thirty from 06:30 on are above 24.9.
      [adapters(crowfoot), { pass: 20, fail: 40 }, 30],
      // Square to the wrench nothing is corrected.
      [adapters({ ...crowfoot, angleDeg: 90 }), { pass: 50, fail: 10 }, 30],
      [adapters(crowfoot), { pass: 20, fail: 40 }, 30],
      // Off again at 06:40: ten with it.
      [adapters({ ...crowfoot, to: '2026-03-14T06:40:00' }), { pass: 40, fail: 20 }, 20],
      [adapters(), { pass: 50, fail: 10 }, 10],
    ];
    const was: object[] = [await judged()];
    for (const [file, expected, torques] of steps) {
      const preview = await plant.engine.serve('register:preview', { file: JSON.parse(JSON.stringify(file)) });
      expect(preview.torques?.readings).toBe(torques);
      await put(file, 'as the line was rebuilt');
      expect(await judged()).toEqual(expected);
      const [entry] = await plant.engine.serve('change:list', { offset: 0, limit: 1 });
      expect(entry).toMatchObject({ kind: 'register', subject: 'tool T-1', why: 'as the line was rebuilt' });
      was.push(expected);
    }
    for (let k = was.length - 2; k >= 0; k--) {
      await undo();
      expect(await judged()).toEqual(was[k]);
    }
    expect((await tool()).adapters).toEqual([]);
  });

  test('that overlap, end early or have no length are refused, and nothing changes', async () => {
    await plant.take('a.csv', dump(series(5)));
    const { lastChange } = await plant.engine.serve('app:status', {});
    await expect(put(adapters(crowfoot))).rejects.toMatchObject({
      problem: {
        kind: 'refused-input',
        message: expect.stringContaining('effective length of the wrench is not known'),
      },
    });
    const long = { ...crowfoot, lengthMm: 300 };
    await expect(put(adapters(long, { ...long, from: '2026-03-15' }))).rejects.toMatchObject({
      problem: { kind: 'refused-input', message: expect.stringContaining('has no end and runs into the next one') },
    });
    await expect(put(adapters({ ...long, to: '2026-03-14' }))).rejects.toMatchObject({
      problem: { kind: 'refused-input', message: expect.stringContaining('not after it was put on') },
    });
    expect((await plant.engine.serve('app:status', {})).lastChange).toBe(lastChange);
  });
});

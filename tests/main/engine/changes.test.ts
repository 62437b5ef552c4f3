import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { studyChoicesSchema } from '#core/contract/calls.ts';
import { everything } from '#core/readings/scope.ts';
import { dump, sampleFolder, series, TestEngine } from './test-engine.ts';

let plant: TestEngine;
beforeEach(async () => {
  plant = await new TestEngine().open();
});
afterEach(() => plant.close());

const limits = (from: string, low: number, high: number) => ({ from, unit: 'N.m' as const, low, target: 24.5, high });
const stem = (...revisions: ReturnType<typeof limits>[]) => ({ joints: [{ name: 'Stem', limits: revisions }] });
const put = (file: Parameters<typeof JSON.stringify>[0], why: string | null = null) =>
  plant.engine.serve('register:put', { file: JSON.parse(JSON.stringify(file)), why });
const verdicts = async () => {
  const counts: Record<string, number> = {};
  for (const reading of await plant.readings()) {
    const verdict = String(reading.verdict);
    counts[verdict] = (counts[verdict] ?? 0) + 1;
  }
  return counts;
};
const undo = (change: number | null = null) => plant.engine.serve('change:undo', { change });

describe('the register', () => {
  test('a name met in a dump takes its limits when the register learns them, and readings are judged again', async () => {
    await plant.take('a.csv', dump(series(97)));
    expect(await verdicts()).toEqual({ unjudged: 97 });
    await put(stem(limits('2026-01-01', 24.1, 24.9)), 'first limits');
    // Torques run from 24.00 to 24.96 in steps of 0.01: ten below 24.10, six above 24.90.
    expect(await verdicts()).toEqual({ pass: 81, fail: 16 });
  });

  test('limits changed twice: each reading is judged by its own revision, and the preview equals the result', async () => {
    await plant.take('a.csv', dump(series(90)));
    await put(stem(limits('2026-01-01', 24.1, 25)));
    const next = stem(limits('2026-03-14T06:30:00', 24.4, 25), limits('2026-03-14T07:00:00', 24.0, 24.8));
    const before = await plant.readings();
    const preview = await plant.engine.serve('register:preview', { file: JSON.parse(JSON.stringify(next)) });
    await put(next, 'two steps');
    const after = await plant.readings();
    const changed = after.filter((reading, i) => {
      const was = before[i];
      return reading.verdict !== was?.verdict || String(reading.reasons) !== String(was?.reasons);
    });
    expect(preview.changedVerdicts).toBe(changed.length);
    for (const reading of after) {
      const torque = Number(reading.torque);
      const at = String(reading.at);
      const [low, high] =
        at < '2026-03-14T06:30:00' ? [24.1, 25] : at < '2026-03-14T07:00:00' ? [24.4, 25] : [24.0, 24.8];
      expect(reading.verdict).toBe(torque >= low - 1e-7 && torque <= high + 1e-7 ? 'pass' : 'fail');
    }
  });

  test('what is exported and read into an empty store is the same register', async () => {
    await put(JSON.parse(readFileSync(join(sampleFolder, 'register.json'), 'utf8')));
    const file = await plant.engine.serve('register:export', {});
    const other = await new TestEngine().open();
    try {
      await other.engine.serve('register:put', { file: JSON.parse(JSON.stringify(file)), why: null });
      expect(await other.engine.serve('register:export', {})).toEqual(file);
    } finally {
      await other.close();
    }
  });

  test('a file with an unknown key is refused by name and changes nothing', async () => {
    await expect(put({ joints: [{ name: 'Stem', limit: [] }] })).rejects.toMatchObject({
      problem: { kind: 'refused-input', message: expect.stringContaining('limit') },
    });
    expect((await plant.engine.serve('app:status', {})).lastChange).toBe(0);
  });

  test('reading the same file twice writes nothing the second time', async () => {
    await put(stem(limits('2026-01-01', 24.1, 24.9)));
    const { lastChange } = await plant.engine.serve('app:status', {});
    await put(stem(limits('2026-01-01', 24.1, 24.9)));
    expect((await plant.engine.serve('app:status', {})).lastChange).toBe(lastChange);
  });

  test('an edit keeps who, why, before and after, and can be taken back', async () => {
    await plant.take('a.csv', dump(series(97)));
    await put(stem(limits('2026-01-01', 24.1, 24.9)), 'first limits');
    await put(stem(limits('2026-01-01', 24.2, 24.9)), 'as drawing 4');
    const [last] = await plant.engine.serve('change:list', { offset: 0, limit: 1 });
    expect(last).toMatchObject({ kind: 'register', who: 'tester', why: 'as drawing 4', subject: 'joint Stem' });
    expect(await verdicts()).toEqual({ pass: 71, fail: 26 });
    await undo();
    expect(await verdicts()).toEqual({ pass: 81, fail: 16 });
    await undo();
    // The joint is still named by readings: it stays, unconfirmed and without limits.
    expect(await verdicts()).toEqual({ unjudged: 97 });
    expect((await plant.engine.serve('register:read', {})).joints).toMatchObject([{ name: 'Stem', confirmed: false }]);
  });
});

describe('names from dumps', () => {
  const twoTools = () => [
    ...series(10).map((row) => ({ ...row, tool: 'T-1' })),
    ...series(10, '2026-03-15T06:00:00').map((row) => ({ ...row, tool: 'T1' })),
  ];

  test('are confirmed as their own', async () => {
    await plant.take('a.csv', dump(series(5)));
    await plant.engine.serve('register:settle', { kind: 'tool', name: 'T-1', into: null });
    expect((await plant.engine.serve('register:read', {})).tools).toMatchObject([{ serial: 'T-1', confirmed: true }]);
  });

  test('are renamed, and later dumps with the old spelling follow', async () => {
    await plant.take('a.csv', dump(series(5)));
    await plant.engine.serve('register:settle', { kind: 'joint', name: 'Stem', into: 'Stem clamp M6' });
    await plant.take('b.csv', dump(series(9)));
    const joints = new Set((await plant.readings()).map((reading) => reading.joint));
    expect([...joints]).toEqual(['Stem clamp M6']);
    expect(await plant.count()).toBe(9);
  });

  test('are merged without rewriting a reading, and the merge is undone', async () => {
    await plant.take('a.csv', dump(twoTools()));
    await put({ tools: [{ serial: 'T-1' }] });
    await plant.engine.serve('register:settle', { kind: 'tool', name: 'T1', into: 'T-1' });
    const tools = async () => (await plant.engine.serve('register:read', {})).tools.map((t) => [t.serial, t.readings]);
    expect(await tools()).toEqual([['T-1', 20]]);
    // The merged spelling names the same memory from now on.
    expect(await plant.take('b.csv', dump(twoTools().map((row) => ({ ...row, tool: 'T1' }))))).toMatchObject({
      accepted: 0,
      alreadyHeld: 20,
    });
    await undo(3);
    expect(await tools()).toEqual([
      ['T-1', 10],
      ['T1', 10],
    ]);
  });

  test('a merge that makes two held readings equal sets one aside, and its undo brings it back', async () => {
    await plant.take('a.csv', dump(series(10).map((row) => ({ ...row, tool: 'T-1' }))));
    await plant.take('b.csv', dump(series(14).map((row) => ({ ...row, tool: 'T1' }))));
    expect(await plant.count()).toBe(24);
    const { change, setAside } = await plant.engine.serve('register:settle', { kind: 'tool', name: 'T1', into: 'T-1' });
    expect(await plant.count()).toBe(14);
    // Each is listed with the one it equals: the same lines of the two files.
    expect(setAside).toEqual(Array.from({ length: 10 }, (_, k) => ({ reading: `2:${k + 2}`, equals: `1:${k + 2}` })));
    const journal = await plant.engine.serve('change:list', { offset: 0, limit: 1 });
    expect(journal[0]).toMatchObject({ id: change, kind: 'settle' });
    await undo(change);
    expect(await plant.count()).toBe(24);
  });
});

describe('marks', () => {
  beforeEach(async () => {
    await plant.take('a.csv', dump(series(10)));
  });
  const detail = (id: string) => plant.engine.serve('readings:detail', { id });

  test('readings are left out with a reason and a name, put back, and the way there is kept', async () => {
    await plant.engine.serve('mark:leave-out', { readings: ['1:2', '1:3'], reason: 'setting-up pulls' });
    expect((await detail('1:2')).leftOut).toMatchObject({
      reason: 'setting-up pulls',
      by: 'tester',
      decidedMs: plant.now,
    });
    await plant.engine.serve('mark:put-back', { readings: ['1:2'] });
    expect((await detail('1:2')).leftOut).toBeNull();
    expect((await detail('1:3')).leftOut).not.toBeNull();
    await undo();
    // Set again by the undo, and still said by whom and why at first.
    expect((await detail('1:2')).leftOut).toMatchObject({ reason: 'setting-up pulls', by: 'tester' });
    await undo();
    expect((await detail('1:2')).leftOut).toBeNull();
    expect((await detail('1:3')).leftOut).toBeNull();
  });

  test('a reason is required', async () => {
    await expect(plant.engine.serve('mark:leave-out', { readings: ['1:2'], reason: '  ' })).rejects.toMatchObject({
      problem: { kind: 'wrong-request' },
    });
  });

  test('"outlier" alone is refused as a reason, with what to say instead', async () => {
    await expect(
      plant.engine.serve('mark:leave-out', { readings: ['1:2'], reason: 'clear outlier' }),
    ).rejects.toMatchObject({
      problem: { kind: 'refused-input', message: expect.stringContaining('Say what happened at the joint') },
    });
    expect((await detail('1:2')).leftOut).toBeNull();
  });

  test('a reading that is not there is named', async () => {
    await expect(plant.engine.serve('mark:leave-out', { readings: ['1:2', '7:1'], reason: 'x' })).rejects.toMatchObject(
      { problem: { kind: 'not-found', message: expect.stringContaining('7:1') } },
    );
  });

  test('dispositions stay in order and survive the withdrawal of their file', async () => {
    await plant.engine.serve('mark:note', { reading: '1:2', disposition: 're-checked', text: 'with T-2' });
    await plant.engine.serve('mark:note', { reading: '1:2', disposition: 'accepted', text: 'by the owner' });
    await plant.engine.serve('source:withdraw', { source: 1 });
    await plant.engine.serve('source:restore', { source: 1 });
    expect((await detail('1:2')).notes.map((note) => note.disposition)).toEqual(['re-checked', 'accepted']);
  });

  test('one note for many readings is one change, and one undo takes all of it back', async () => {
    await plant.engine.serve('mark:note', {
      reading: '1:2',
      also: ['1:4', '1:2'],
      disposition: 'replaced',
      text: 'bolt',
    });
    const notes = async (): Promise<number[]> =>
      Promise.all(['1:2', '1:3', '1:4'].map(async (id) => (await detail(id)).notes.length));
    expect(await notes()).toEqual([1, 0, 1]);
    await undo();
    expect(await notes()).toEqual([0, 0, 0]);
  });

  test('joint, operator and tool are assigned after intake, in one change for many readings', async () => {
    const readings = ['1:2', '1:3', '1:4'];
    await plant.engine.serve('mark:assign', { readings, joint: 'Crank', operator: '114' });
    const rows = await plant.readings();
    expect(rows.slice(0, 4).map((row) => [row.joint, row.operator])).toEqual([
      ['Crank', '114'],
      ['Crank', '114'],
      ['Crank', '114'],
      ['Stem', null],
    ]);
    await plant.engine.serve('mark:assign', { readings: ['1:3'], operator: null });
    expect((await plant.readings())[1]?.operator).toBeNull();
    await undo();
    expect((await plant.readings())[1]?.operator).toBe('114');
    await undo();
    expect((await plant.readings())[1]?.joint).toBe('Stem');
  });
});

describe('undo from a window', () => {
  test('takes back the last changes of this window, newest first, and then says there is nothing', async () => {
    await plant.take('a.csv', dump(series(10)));
    await plant.engine.serve('mark:note', { reading: '1:2', disposition: 'note', text: 'x' });
    await plant.engine.serve('app:settings', { set: { theme: 'dark' } });
    await undo();
    expect((await plant.engine.serve('readings:detail', { id: '1:2' })).notes).toEqual([]);
    await undo();
    // The intake: taken out of force, not deleted.
    expect(await plant.count()).toBe(0);
    expect(await plant.engine.serve('app:settings', { set: null })).toEqual({ theme: 'dark' });
    await expect(undo()).rejects.toMatchObject({ problem: { kind: 'conflict' } });
    await plant.reopen();
    await expect(undo()).rejects.toMatchObject({ problem: { kind: 'conflict' } });
  });
});

describe('studies and scopes', () => {
  test('a study is kept by name with its figures, and the same data give the same to the last digit', async () => {
    await plant.take('a.csv', dump(series(90)));
    await put(stem(limits('2026-01-01', 24.0, 25.0)));
    const choices = studyChoicesSchema.parse({ joint: 'Stem', scope: everything });
    const { id } = await plant.engine.serve('study:save', { name: 'Stem in March', choices });
    await plant.reopen();
    const [saved] = await plant.engine.serve('study:list', {});
    expect(saved).toMatchObject({ id, name: 'Stem in March', by: 'tester', programVersion: '0.0.0-test' });
    const again = await plant.engine.serve('study:read', choices);
    expect(again.fingerprint).toBe(saved?.fingerprint);
    expect(JSON.parse(JSON.stringify(again.figures))).toEqual(saved?.figures);
    await plant.engine.serve('study:delete', { id });
    expect(await plant.engine.serve('study:list', {})).toEqual([]);
    await undo();
    expect(await plant.engine.serve('study:list', {})).toHaveLength(1);
  });

  test('a scope is kept by name', async () => {
    const scope = { from: 0, to: null, shifts: [], joints: ['Stem'], tools: [], operators: [] };
    await plant.engine.serve('scope:save', { name: 'Stem only', scope });
    await plant.reopen();
    expect(await plant.engine.serve('scope:list', {})).toEqual([{ name: 'Stem only', scope }]);
    await plant.engine.serve('scope:delete', { name: 'Stem only' });
    expect(await plant.engine.serve('scope:list', {})).toEqual([]);
  });
});

describe('two processes on one store', () => {
  test('each sees what the other commits, and both intakes come in', async () => {
    const other = await new TestEngine().open();
    // The second engine of this process, on the first one's store: a connection and a reader thread of its own.
    const { openEngine } = await import('../../../src/main/engine/engine.ts');
    const second = await openEngine({
      storePath: plant.storePath,
      clock: Date.now,
      programVersion: '0.0.0-test',
      sampleFolder: '',
      who: 'second',
    });
    try {
      await plant.count();
      const take = async (engine: typeof second, name: string, content: string) => {
        const path = `${other.folder}/${name}`;
        const { writeFileSync } = await import('node:fs');
        writeFileSync(path, content);
        const ticket = await engine.offer(path, name, { ours: false });
        await engine.serve('inbox:read', { ticket, answers: {}, set: {}, useRecipe: true });
        return engine.serve('inbox:accept', { tickets: [ticket], saveRecipe: false, dryRun: false });
      };
      const [[one], [two]] = await Promise.all([
        take(plant.engine, 'one.csv', dump(series(4000))),
        take(second, 'two.csv', dump(series(6000))),
      ]);
      expect((one?.accepted ?? 0) + (two?.accepted ?? 0)).toBe(6000);
      const total = async (engine: typeof second) =>
        (await engine.serve('readings:answer', { scope: everything, offset: 0, limit: 1 })).total;
      expect(await total(plant.engine)).toBe(6000);
      expect(await total(second)).toBe(6000);
      // One window's queue is not the other's.
      const path = `${other.folder}/three.csv`;
      const { writeFileSync } = await import('node:fs');
      writeFileSync(path, dump(series(10)));
      await second.offer(path, 'three.csv', { ours: false });
      expect((await plant.engine.serve('inbox:list', {})).queue).toEqual([]);
      await second.serve('mark:leave-out', { readings: ['1:2'], reason: 'by the second' });
      expect((await plant.engine.serve('readings:detail', { id: '1:2' })).leftOut).toMatchObject({ by: 'second' });
    } finally {
      await second.close();
      await other.close();
    }
  });
});

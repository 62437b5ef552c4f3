/** Names that entries had once: what was saved, a recipe and an open window follow a rename or a merge, and the undo. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { type StudyChoices, studyChoicesSchema } from '#core/contract/calls.ts';
import type { RegisterModel } from '#core/contract/models/register-model.ts';
import type { SavedStudy, StudyModel } from '#core/contract/models/study-model.ts';
import { everything } from '#core/readings/scope.ts';
import { changesSince } from '#core/study/saved-study.ts';
import { say } from '#core/text/said.ts';
import { dump, series, TestEngine } from './test-engine.ts';

type Kind = 'joint' | 'tool' | 'operator';

let plant: TestEngine;
beforeEach(async () => {
  plant = await new TestEngine().open();
});
afterEach(() => plant.close());

const limits = (low: number, high: number) => [
  { from: '2026-01-01', unit: 'N.m', low, target: (low + high) / 2, high },
];
const put = (file: object) => plant.engine.serve('register:put', { file: JSON.parse(JSON.stringify(file)), why: null });
const settle = (kind: Kind, name: string, into: string | null) =>
  plant.engine.serve('register:settle', { kind, name, into });
const comesTo = async (kind: Kind, name: string, into: string | null) =>
  (await plant.engine.serve('register:settle', { kind, name, into, dryRun: true })).comesTo!;
const undo = (change: number | null = null) => plant.engine.serve('change:undo', { change });
const lists = (): Promise<RegisterModel> => plant.engine.serve('register:read', {});
const scopes = () => plant.engine.serve('scope:list', {});
const saved = async (): Promise<SavedStudy> => (await plant.engine.serve('study:list', {}))[0]!;
const study = (choices: StudyChoices): Promise<StudyModel> => plant.engine.serve('study:read', choices);
const choices = (more: Record<string, unknown> = {}): StudyChoices =>
  studyChoicesSchema.parse({ joint: 'Stm', scope: everything, ...more });
const keepStudy = (more: Record<string, unknown> = {}) =>
  plant.engine.serve('study:save', { name: 'March', choices: choices(more) });
const keepScope = (scope: object) =>
  plant.engine.serve('scope:save', { name: 'Line', scope: { ...everything, ...scope } });
const since = async (): Promise<string> => {
  const held = await saved();
  return say(changesSince(held, await study(held.choices)).said);
};
const onStm = series(80).map((row) => ({ ...row, joint: 'Stm', tool: 'T-01' }));
const ofJoint = async (joint: string): Promise<number> =>
  (await plant.engine.serve('readings:answer', { scope: { ...everything, joints: [joint] }, offset: 0, limit: 1 }))
    .total;

const onlyRenamed =
  'Same readings, same figures to the last digit. The fingerprint is another one only because the joint’s name is part of it: Stm then, Stem now.';

describe('a saved study of a joint that was renamed', () => {
  beforeEach(async () => {
    await put({ joints: [{ name: 'Stm', class: 'B', limits: limits(22, 26) }] });
    await plant.take('a.csv', dump(onStm));
  });

  test('names it anew, gives the same figures, and says that the name alone differs; so does the undo', async () => {
    await keepStudy();
    const before = await saved();
    const { change } = await settle('joint', 'Stm', 'Stem');
    await plant.reopen();
    const held = await saved();
    expect(held).toEqual({ ...before, savedAs: 'Stm', choices: { ...before.choices, joint: 'Stem' } });
    const again = await study(held.choices);
    expect(again.figures).toEqual(before.figures);
    expect(again.fingerprint).not.toBe(before.fingerprint);
    expect(again.formerFingerprints).toEqual({ Stm: before.fingerprint });
    expect(changesSince(held, again)).toMatchObject({ same: false, changed: [] });
    expect(await since()).toBe(onlyRenamed);
    await undo(change);
    expect(await saved()).toEqual(before);
    expect(await since()).toBe('Same readings, same figures to the last digit.');
  });

  test('draws the random numbers of a fitted model as before', async () => {
    await keepStudy({ model: 'gamma' });
    const before = await saved();
    expect(before.choices.seed).toBeNull();
    expect(before.figures['Ppk.low95']).not.toBeNull();
    await settle('joint', 'Stm', 'Stem');
    const again = await study((await saved()).choices);
    expect(again.figures).toEqual(before.figures);
    expect(again.seed).toBe(Number.parseInt(before.fingerprint.slice(0, 8), 16));
    expect(await since()).toBe(onlyRenamed);
  }, 60_000);

  test('says of everything else that changed as well, and of nothing that did not', async () => {
    await keepStudy();
    await settle('joint', 'Stm', 'Stem');
    await plant.engine.serve('mark:leave-out', { readings: ['1:5'], reason: 'washer was missing' });
    expect(await since()).toMatch(
      /^Changed since it was saved: readings 80 then, 79 now; left out 0 then, 1 now; .*\. The joint was called Stm then and is Stem now\.$/,
    );
    await plant.engine.serve('mark:put-back', { readings: ['1:5'] });
    expect(await since()).toBe(onlyRenamed);
    await put({ operators: [{ badge: '114' }] });
    await plant.engine.serve('mark:assign', { readings: ['1:5'], operator: '114' });
    expect(await since()).toBe(
      'Same readings and limits, but something beside them has changed: who made them, shifts, tools or checks. The joint was called Stm then and is Stem now.',
    );
  });

  test('follows twice, and into a joint with readings of its own: their number is said', async () => {
    await put({ joints: [{ name: 'Stem', class: 'B', limits: limits(22, 26) }] });
    await plant.take('b.csv', dump(series(10, '2026-03-20T06:00:00')));
    await keepStudy();
    await settle('joint', 'Stm', 'Stam');
    await settle('joint', 'Stam', 'Stem');
    expect((await saved()).choices.joint).toBe('Stem');
    expect(await since()).toMatch(
      /^Changed since it was saved: readings 80 then, 90 now; b\.csv \(\w{8}\) has come\. The joint was called Stm then/,
    );
    await undo();
    await undo();
    expect(await since()).toBe('Same readings, same figures to the last digit.');
  });

  test('says of another study of the joint nothing about former names', async () => {
    await keepStudy();
    await settle('joint', 'Stm', 'Stem');
    expect(await study(choices({ joint: 'Stem', of: 'angle' }))).not.toHaveProperty('formerFingerprints');
    expect(await study(choices({ joint: 'Stem', attempts: 'all' }))).not.toHaveProperty('formerFingerprints');
  });

  test('deleted after the merge, lets the merge be taken back all the same', async () => {
    await keepStudy();
    await keepScope({ joints: ['Stm'] });
    const { change } = await settle('joint', 'Stm', 'Stem');
    await plant.engine.serve('study:delete', { id: (await saved()).id });
    await plant.engine.serve('scope:delete', { name: 'Line' });
    await undo(change);
    expect((await lists()).joints).toMatchObject([{ name: 'Stm', readings: 80 }]);
  });

  test('still points to its joint: what it means cannot be removed', async () => {
    await put({ joints: [{ name: 'Bare' }] });
    await keepScope({ joints: ['Bare'] });
    await settle('joint', 'Bare', 'Empty');
    expect(await plant.engine.serve('register:removal', { kind: 'joint', name: 'Empty' })).toMatchObject({
      allowed: false,
      instead: { args: { scopes: ['Line'] } },
    });
  });
});

describe('saved scopes, open windows and addresses', () => {
  beforeEach(async () => {
    await put({ tools: [{ serial: 'T-1' }], joints: [{ name: 'Stem', limits: limits(22, 26) }] });
    await plant.take('a.csv', dump(onStm));
  });

  test('a saved scope names what its names mean now, each once, and the old ones after the undo', async () => {
    await keepScope({ joints: ['Stm', 'Stem'], tools: ['T-01'] });
    const before = await scopes();
    await settle('joint', 'Stm', 'Stem');
    await settle('tool', 'T-01', 'T-1');
    expect(await scopes()).toMatchObject([{ name: 'Line', scope: { joints: ['Stem'], tools: ['T-1'] } }]);
    await undo();
    await undo();
    expect(await scopes()).toEqual(before);
  });

  test('every question that still uses an old name is answered by the new one', async () => {
    await settle('joint', 'Stm', 'Stem');
    await settle('tool', 'T-01', 'T-1');
    const old = { ...everything, joints: ['Stm'], tools: ['T-01'] };
    const now = { ...everything, joints: ['Stem'], tools: ['T-1'] };
    const { engine } = plant;
    const civil = Date.UTC(2026, 10, 26);
    expect(await ofJoint('Stm')).toBe(80);
    expect(await engine.serve('review:read', { scope: old, ink: 'T-01' })).toEqual(
      await engine.serve('review:read', { scope: now, ink: 'T-1' }),
    );
    expect(await engine.serve('drift:answer', { scope: old, now: civil })).toEqual(
      await engine.serve('drift:answer', { scope: now, now: civil }),
    );
    expect((await engine.serve('drift:tool', { scope: old, now: civil, tool: 'T-01' })).row.tool).toBe('T-1');
    const page = (joint: string, tool: string) =>
      engine.serve('readings:page', {
        scope: everything,
        filters: [
          { column: 'joint', anyOf: [joint] },
          { column: 'tool', anyOf: [tool, ''] },
        ],
        sort: [],
        offset: 0,
        limit: 5,
        withPictures: false,
      });
    expect(await page('Stm', 'T-01')).toEqual(await page('Stem', 'T-1'));
    expect((await page('Stm', 'T-01')).total).toBe(80);
    const search = async (contains: string) =>
      (
        await engine.serve('readings:page', {
          scope: everything,
          filters: [{ column: 'text', contains }],
          sort: [],
          offset: 0,
          limit: 1,
          withPictures: false,
        })
      ).total;
    expect([await search('stm'), await search('T-01'), await search('Stmx')]).toEqual([80, 80, 0]);
    expect(await engine.serve('study:answer', choices())).toEqual(
      await engine.serve('study:answer', choices({ joint: 'Stem' })),
    );
    const report = await engine.serve('report:study', {
      choices: choices(),
      format: 'html',
      paper: 'A4',
      madeMs: plant.now,
    });
    expect(new TextDecoder().decode(report.bytes)).toContain('Stem');
    const model = await study(choices());
    expect(model.choices.joint).toBe('Stem');
    expect(model.answer).toMatchObject({ joint: 'Stem', n: 80 });
    expect((await engine.serve('register:joint', { joint: 'Stm' })).name).toBe('Stem');
    expect((await engine.serve('register:tool', { tool: 'T-01' })).serial).toBe('T-1');
    const { formerNames } = await engine.serve('app:status', {});
    expect(formerNames).toEqual({ joints: { Stm: 'Stem' }, tools: { 'T-01': 'T-1' } });
  });

  test('an operator’s old badge as well, named or by number', async () => {
    await put({ operators: [{ badge: '114', name: 'Tester' }] });
    await plant.engine.serve('mark:assign', { readings: ['1:5', '1:6'], operator: '0114' });
    await settle('operator', '0114', '114');
    const of = async (operator: string): Promise<number> =>
      (
        await plant.engine.serve('readings:answer', {
          scope: { ...everything, operators: [operator] },
          offset: 0,
          limit: 1,
        })
      ).total;
    expect(await of('0114')).toBe(2);
    await plant.engine.serve('app:settings', { set: { 'drift.anonymous': true } });
    expect(await of('0114')).toBe(2);
    const [number = ''] = await plant.engine.serve('scope:named', { operators: ['0114'] });
    expect(number).toMatch(/^Operator \d+$/);
    expect(await of(number)).toBe(2);
  });

  test('thresholds kept for a tool stay its own', async () => {
    const own = { ownPercent: 2, responsePercent: null, checkPercent: null };
    await plant.engine.serve('app:settings', { set: { 'drift.thresholds': { 'T-01': own } } });
    await settle('tool', 'T-01', 'T-2');
    const ask = async (tool: string) =>
      (await plant.engine.serve('drift:tool', { scope: everything, now: Date.UTC(2026, 10, 26), tool })).thresholds;
    expect(await ask('T-2')).toEqual(own);
    expect(await plant.engine.serve('app:settings', { set: null })).toMatchObject({
      'drift.thresholds': { 'T-2': own },
    });
    await undo();
    expect(await ask('T-01')).toEqual(own);
  });

  test('what is removed or settled is what was named, never what an old name means now', async () => {
    await settle('joint', 'Stm', 'Stem');
    const gone = { problem: { kind: 'not-found' } };
    await expect(
      plant.engine.serve('register:remove', { kind: 'joint', name: 'Stm', why: null }),
    ).rejects.toMatchObject(gone);
    await expect(settle('joint', 'Stm', 'Other')).rejects.toMatchObject(gone);
    expect((await lists()).joints).toMatchObject([{ name: 'Stem', readings: 80 }]);
  });
});

describe('nothing comes back to life', () => {
  const bare = (from: number): string =>
    `Date and time;Torque [Nm];Angle [deg]\n${series(12, '2026-03-14T06:00:00', from)
      .map((row) => `${row.at};${row.torque};${row.angle}`)
      .join('\n')}\n`;
  const recipe = async () => (await plant.engine.serve('recipe:list', {}))[0] as { [key: string]: unknown };

  test.each(['merged', 'renamed'])('by a recipe that answers with a name %s since', async (how) => {
    await put(how === 'merged' ? { tools: [{ serial: 'T-1' }], joints: [{ name: 'Stem' }] } : {});
    await plant.take('a.csv', dump(onStm));
    const ticket = await plant.offer('b.csv', bare(100));
    await plant.read(ticket, { answers: { tool: 'T-01', joint: 'Stm' } });
    await plant.accept(ticket, { saveRecipe: true });
    // A tool is asked of every file; a recipe may name it all the same.
    const tool = { from: 'answer', value: 'T-01' };
    await plant.engine.serve('recipe:put', { recipes: [JSON.parse(JSON.stringify({ ...(await recipe()), tool }))] });
    await settle('tool', 'T-01', 'T-1');
    await settle('joint', 'Stm', 'Stem');
    expect((await plant.take('c.csv', bare(200))).accepted).toBe(12);
    expect((await lists()).tools).toMatchObject([{ serial: 'T-1', readings: 104, confirmed: true }]);
    expect((await lists()).joints).toMatchObject([{ name: 'Stem', readings: 104, confirmed: true }]);
    expect((await lists()).toSettle).toEqual([]);
    // The same memory read out again shows nothing new, whatever it was called then.
    expect(await plant.take('again.csv', `${bare(200)}\n`)).toMatchObject({ accepted: 0, alreadyHeld: 12 });
    expect((await lists()).tools).toHaveLength(1);
  });

  test('by an assignment in a window that still shows the old name', async () => {
    await put({ tools: [{ serial: 'T-1' }], joints: [{ name: 'Stem' }] });
    await plant.take('a.csv', dump(onStm));
    await settle('tool', 'T-01', 'T-1');
    await settle('joint', 'Stm', 'Stem');
    await plant.engine.serve('mark:assign', { readings: ['1:5'], joint: 'Stm', tool: 'T-01' });
    expect((await lists()).tools).toMatchObject([{ serial: 'T-1', readings: 80 }]);
    expect((await lists()).joints).toMatchObject([{ name: 'Stem', readings: 80 }]);
  });

  test('by a name that means another entry already: it stands for that entry', async () => {
    await put({ joints: [{ name: 'Stem' }, { name: 'Crank' }] });
    await plant.take('a.csv', dump(onStm));
    await settle('joint', 'Stm', 'Stem');
    expect(await comesTo('joint', 'Crank', 'Stm')).toMatchObject({ how: 'merge', into: 'Stem' });
    await settle('joint', 'Crank', 'Stm');
    expect((await lists()).joints.map((joint) => joint.name)).toEqual(['Stem']);
    // Its own former name is free to be taken up again.
    await settle('joint', 'Stem', 'Stm');
    expect((await lists()).joints).toMatchObject([{ name: 'Stm', readings: 80 }]);
  });

  test('by the register: a name that readings bear is refused with what to do; what was saved goes on', async () => {
    await put({ joints: [{ name: 'Stem' }] });
    await plant.take('a.csv', dump(onStm));
    await keepScope({ joints: ['Stm'] });
    await settle('joint', 'Stm', 'Stem');
    await expect(put({ joints: [{ name: 'Stm', limits: limits(22, 26) }] })).rejects.toMatchObject({
      problem: {
        kind: 'refused-input',
        message:
          'Stm was renamed or merged and means Stem, with its readings. Write Stem instead, or take that change back in the journal.',
      },
    });
    expect((await lists()).joints.map((joint) => joint.name)).toEqual(['Stem']);
    expect(await scopes()).toMatchObject([{ scope: { joints: ['Stem'] } }]);
  });

  test('but a name that stood in the register alone is free for a new entry, which files mean then', async () => {
    await put({ tools: [{ serial: 'T-270' }] });
    await keepScope({ tools: ['T-270'] });
    await settle('tool', 'T-270', 'T-207');
    expect(await scopes()).toMatchObject([{ scope: { tools: ['T-207'] } }]);
    const { change } = await put({ tools: [{ serial: 'T-270', lengthMm: 300 }] });
    await plant.take('a.csv', dump(series(5).map((row) => ({ ...row, tool: 'T-270' }))));
    expect((await lists()).tools).toMatchObject([
      { serial: 'T-207', readings: 0 },
      { serial: 'T-270', readings: 5 },
    ]);
    await plant.engine.serve('source:withdraw', { source: 1 });
    await plant.reopen();
    await undo(change);
    expect((await lists()).tools.map((tool) => tool.serial)).toContain('T-207');
  });

  test('a name that was given and taken back is free for another entry, and files mean that one', async () => {
    await put({ joints: [{ name: 'Crank' }] });
    await plant.take('a.csv', dump(onStm));
    await settle('joint', 'Crank', 'Stem');
    await undo();
    expect(await comesTo('joint', 'Stm', 'Stem')).toMatchObject({ how: 'rename', into: 'Stem', readings: 80 });
    await settle('joint', 'Stm', 'Stem');
    await undo();
    expect((await lists()).joints.map((joint) => joint.name)).toEqual(['Crank', 'Stm']);
    await settle('joint', 'Stm', 'Stem');
    await plant.take('b.csv', dump(series(5, '2026-04-14T06:00:00')));
    expect((await lists()).joints).toMatchObject([
      { name: 'Crank', readings: 0 },
      { name: 'Stem', readings: 85 },
    ]);
  });
});

describe('what settling comes to, before it is done', () => {
  beforeEach(async () => {
    await put({
      joints: [
        { name: 'Stem', limits: limits(24.1, 26) },
        { name: 'Stm', limits: limits(22, 26) },
      ],
      tools: [{ serial: 'T-1' }],
      operators: [{ badge: '114' }],
    });
    // 24.00 to 24.96: ten of them are below 24.1.
    await plant.take('a.csv', dump(onStm));
  });

  test('readings that move, verdicts that change and why, and what follows: then done exactly so', async () => {
    await keepStudy();
    await keepScope({ joints: ['Stm'] });
    const { lastChange } = await plant.engine.serve('app:status', {});
    const before = await plant.readings();
    const model = await comesTo('joint', 'Stm', 'Stem');
    expect((await plant.engine.serve('app:status', {})).lastChange).toBe(lastChange);
    expect(model).toMatchObject({
      how: 'merge',
      readings: 80,
      changedVerdicts: 10,
      changes: [{ from: 'pass', to: 'torque-low', count: 10 }],
      setAside: 0,
      studies: ['March'],
      scopes: ['Line'],
    });
    expect(say(model.said)).toBe(
      '80 readings count as Stem from then on. 10 of them get another verdict. What was written of Stm (1 limit revision) holds no more; the journal keeps it.',
    );
    expect(say(model.changes[0]!.said)).toBe('10 of 80 readings would change from inside to torque low');
    expect(say(model.follow!)).toBe('The saved study “March” and the saved scope “Line” follow and name Stem.');
    await settle('joint', 'Stm', 'Stem');
    const after = await plant.readings();
    const changed = after.filter((reading, i) => reading.verdict !== before[i]!.verdict);
    expect(changed).toHaveLength(10);
  });

  test('a renaming changes no verdict, a confirmation nothing', async () => {
    await keepScope({ tools: ['T-01'] });
    const renamed = await comesTo('tool', 'T-01', 'T-2');
    expect(renamed).toMatchObject({ how: 'rename', readings: 80, changedVerdicts: 0, changes: [], scopes: ['Line'] });
    expect(say(renamed.said)).toBe(
      'T-01 is called T-2 from then on. Its 80 readings stay with it. No verdict changes.',
    );
    expect(await comesTo('tool', 'T-01', null)).toMatchObject({ how: 'confirm', follow: null, scopes: [] });
  });

  test('readings that become equal to another are told, and their verdicts do not count', async () => {
    await plant.take('b.csv', dump(onStm.slice(0, 3).map((row) => ({ ...row, joint: 'Stem' }))));
    const model = await comesTo('joint', 'Stm', 'Stem');
    const { setAside } = await settle('joint', 'Stm', 'Stem');
    expect(setAside).toHaveLength(3);
    expect(model.setAside).toBe(3);
    expect(say(model.said)).toContain('3 readings are then equal to another and set aside.');
  });

  test('an adapter of the other tool changes torques, and so verdicts', async () => {
    await put({
      tools: [{ serial: 'T-1', lengthMm: 400, adapters: [{ from: '2026-01-01', offsetMm: 60, angleDeg: 0 }] }],
    });
    const model = await comesTo('tool', 'T-01', 'T-1');
    expect(model).toMatchObject({ how: 'merge', readings: 80, changedVerdicts: 80 });
    expect(say(model.said)).toBe('80 readings count as T-1 from then on. All of them get another verdict.');
    const before = await plant.readings();
    await settle('tool', 'T-01', 'T-1');
    const after = await plant.readings();
    expect(after.filter((reading, i) => reading.verdict !== before[i]!.verdict)).toHaveLength(80);
  });

  test('a name that nobody has is not found', async () => {
    await expect(comesTo('joint', 'Nothing', 'Stem')).rejects.toMatchObject({ problem: { kind: 'not-found' } });
  });
});

/** Studies through the engine: readings left out and put back, kept under a name, run again, in reports; cancelled. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { studyChoicesSchema } from '#core/contract/calls.ts';
import type { StudyAnswer } from '#core/contract/models/study-model.ts';
import { everything } from '#core/readings/scope.ts';
import { changesSince } from '#core/study/saved-study.ts';
import { say } from '#core/text/said.ts';
import { dump, series, TestEngine } from './test-engine.ts';

let plant: TestEngine;
beforeEach(async () => {
  plant = await new TestEngine().open();
  await plant.engine.serve('register:put', {
    file: {
      joints: [
        { name: 'Stem', class: 'B', limits: [{ from: '2026-01-01', unit: 'N.m', low: 22, target: 24, high: 26 }] },
      ],
      operators: [{ badge: '114', name: 'Tester' }],
    },
    why: null,
  });
  await plant.take('week.csv', dump(series(80)));
});
afterEach(() => plant.close());

const choices = (more: Record<string, unknown> = {}) =>
  studyChoicesSchema.parse({ joint: 'Stem', scope: everything, ...more });
const model = (more = {}) => plant.engine.serve('study:read', choices(more));
// The document of the command line contract.
const answer = async () => (await plant.engine.serve('study:answer', choices())) as StudyAnswer;
const report = async (format: 'html' | 'csv') =>
  new TextDecoder().decode(
    (await plant.engine.serve('report:study', { choices: choices(), format, paper: 'A4', madeMs: plant.now })).bytes,
  );

describe('readings left out of a study', () => {
  test('with reason and person: in figures, answer, page and list; undone and put back without a trace in them', async () => {
    const before = await model();
    const { change } = await plant.engine.serve('mark:leave-out', {
      readings: ['1:5', '1:6'],
      reason: 'washer was missing',
    });
    const without = await model();
    expect(without.answer?.n).toBe(78);
    expect(without.answer?.excluded.map((one) => [one.reading, one.reason, one.by])).toEqual([
      ['1:5', 'washer was missing', 'tester'],
      ['1:6', 'washer was missing', 'tester'],
    ]);
    expect(without.fingerprint).not.toBe(before.fingerprint);
    // Groups keep their places: the one they were in is shorter, no other has moved.
    expect(without.groups.map((group) => group.n)).toEqual([3, ...Array.from({ length: 15 }, () => 5)]);
    const html = await report('html');
    expect(html).toContain('washer was missing');
    expect(html).toContain('With both put back');
    expect((await report('csv')).match(/left out,/g)).toHaveLength(2);

    await plant.engine.serve('change:undo', { change });
    expect((await model()).figures).toEqual(before.figures);
    expect((await model()).fingerprint).toBe(before.fingerprint);
    await plant.engine.serve('mark:leave-out', { readings: ['1:5'], reason: 'washer was missing' });
    await plant.engine.serve('mark:put-back', { readings: ['1:5'] });
    expect((await model()).fingerprint).toBe(before.fingerprint);

    const journal = await plant.engine.serve('change:list', { offset: 0, limit: 50 });
    const marks = journal.filter((row) => /leave|left|put/.test(row.kind));
    expect(marks.length).toBeGreaterThanOrEqual(3);
    expect(marks.every((row) => row.who === 'tester')).toBe(true);
    expect(marks.some((row) => row.why === 'washer was missing')).toBe(true);
  });

  test('decided by the operator of the reading: marked in cautions and in the report', async () => {
    await plant.engine.serve('mark:assign', { readings: ['1:7'], operator: '114' });
    await plant.engine.serve('mark:leave-out', { readings: ['1:7'], reason: 'slipped off' });
    const found = await answer();
    expect(found.cautions.join(' ')).toContain('left out by the operator who made it');
    expect(await report('html')).toContain('the operator of the reading');
  });
});

describe('a study kept under a name', () => {
  const saved = async () => (await plant.engine.serve('study:list', {}))[0]!;
  beforeEach(async () => {
    await plant.engine.serve('study:save', { name: 'March', choices: choices() });
  });

  test('run again, after a restart too, gives the same figures to the last digit', async () => {
    await plant.reopen();
    const again = await plant.engine.serve('study:read', (await saved()).choices);
    expect(again.figures).toEqual((await saved()).figures);
    expect(changesSince(await saved(), again)).toMatchObject({ same: true, changed: [] });
    expect(say(changesSince(await saved(), again).said)).toBe('Same readings, same figures to the last digit.');
  });

  const since = async (): Promise<string> => say(changesSince(await saved(), await model()).said);

  test('says which file came, and which is gone', async () => {
    await plant.take('more.csv', dump(series(10, '2026-03-20T06:00:00')));
    expect(await since()).toMatch(
      /^Changed since it was saved: readings 80 then, 90 now; more\.csv \(\w{8}\) has come\.$/,
    );
    await plant.engine.serve('source:withdraw', { source: 1 });
    expect(await since()).toMatch(/readings 80 then, 10 now; .*week\.csv \(\w{8}\) is gone/);
  });

  test('says that a reading was left out, and that limits are others', async () => {
    await plant.engine.serve('mark:leave-out', { readings: ['1:5'], reason: 'washer was missing' });
    expect(await since()).toContain('left out 0 then, 1 now');
    await plant.engine.serve('mark:put-back', { readings: ['1:5'] });
    await plant.engine.serve('register:put', {
      file: {
        joints: [
          { name: 'Stem', class: 'A', limits: [{ from: '2026-01-01', unit: 'N.m', low: 22, target: 24, high: 27 }] },
        ],
      },
      why: 'drawing changed',
    });
    expect(await since()).toBe('Changed since it was saved: other limits; another requirement.');
  });

  test('a file that shows the same readings again changes nothing', async () => {
    await plant.engine.serve('source:withdraw', { source: 1 });
    await plant.take('week-again.csv', `${dump(series(80))}\n`);
    expect(await since()).toBe('Same readings, same figures to the last digit.');
  });

  test('a change beside the readings is said as one: another operator makes it no machine run', async () => {
    await plant.engine.serve('mark:assign', { readings: ['1:5'], operator: '114' });
    expect(await since()).toBe(
      'Same readings and limits, but something beside them has changed: who made them, shifts, tools or checks.',
    );
    expect(changesSince(await saved(), await model()).changed.map((one) => one.figure)).toContain('Cmk');
  });
});

describe('a study that takes long', () => {
  test('lets other questions through, and ends as soon as it is cancelled', async () => {
    const stop = new AbortController();
    const progress: number[] = [];
    const long = plant.engine.serve('study:read', choices({ model: 'gamma', seed: 5 }), {
      signal: stop.signal,
      onProgress: (one) => progress.push(one.done),
    });
    const cancelled = expect(long).rejects.toMatchObject({ problem: { kind: 'cancelled' } });
    await expect.poll(() => progress.length, { timeout: 20_000 }).toBeGreaterThan(1);
    const from = performance.now();
    expect((await plant.engine.serve('app:status', {})).readings).toBe(80);
    expect(performance.now() - from).toBeLessThan(1000);
    stop.abort();
    await cancelled;
    // Dropped half way, it left nothing behind: asked again it is whole.
    const whole = await plant.engine.serve('study:read', choices({ model: 'gamma', seed: 5 }));
    expect(whole.answer?.indices.Ppk?.low95).not.toBeNull();
  });
});

test('every reading of a study of thousands is in its CSV', async () => {
  await plant.take('many.csv', dump(series(4100, '2026-04-01T00:00:00')));
  const csv = await report('csv');
  expect(csv.split('\r\n').filter((line) => /^[12]:\d+,/.test(line))).toHaveLength(4180);
  expect((await model()).marks.length).toBeLessThan(4000);
});

import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { StoreEvent } from '#core/contract/events.ts';
import { dump, sampleFolder, series, TestEngine } from './test-engine.ts';

describe('taking files in', () => {
  let plant: TestEngine;
  beforeEach(async () => {
    plant = await new TestEngine().open();
  });
  afterEach(() => plant.close());

  test('stores the readings with their values as recorded, and the lines add up', async () => {
    const text = `${dump(series(20))}broken;T-1;Stem;12;Nm;3\n\n2026-03-14 08:00:00;T-1;Stem;--,--;Nm;30.0\n`;
    const outcome = await plant.take('a.csv', text);
    expect(outcome.problem).toBeNull();
    expect(outcome.source).toBe(1);
    expect(outcome.lines).toEqual({ total: 24, header: 1, blank: 1, accepted: 20, alreadyHeld: 0, rejected: 2 });
    expect(outcome.accepted).toBe(20);
    const readings = await plant.readings();
    expect(readings).toHaveLength(20);
    expect(readings[0]).toMatchObject({
      id: '1:2',
      at: '2026-03-14T06:00:00',
      tool: 'T-1',
      joint: 'Stem',
      torque: 24,
      torqueAsRecorded: 24,
      unit: 'N.m',
      angle: 30,
    });
  });

  test('keeps the original bytes: the raw line of a reading and rejected lines are read back from them', async () => {
    const rejectedLine = '2026-03-14 08:00:00;T-1;Stem;--,--;Nm;30.0';
    await plant.take('a.csv', `${dump(series(3))}${rejectedLine}\n`);
    const detail = await plant.engine.serve('readings:detail', { id: '1:3' });
    expect(detail.rawLine).toBe('2026-03-14 06:01:00;T-1;Stem;24.01;Nm;30.1');
    const page = await plant.engine.serve('inbox:rejected', { ticket: null, source: 1, offset: 0, limit: 10 });
    expect(page.total).toBe(1);
    expect(page.rejected[0]).toMatchObject({ line: 5, reason: 'bad-torque', text: rejectedLine });
  });

  test('names that the register does not know become unconfirmed entries and a notice', async () => {
    const outcome = await plant.take('a.csv', dump(series(6)));
    expect(outcome.notices.map((notice) => notice.kind)).toContain('unknown-name');
    const register = await plant.engine.serve('register:read', {});
    expect(register.tools).toMatchObject([{ serial: 'T-1', confirmed: false, readings: 6 }]);
    expect(register.joints).toMatchObject([{ name: 'Stem', confirmed: false }]);
  });

  test('the same bytes are recognised before they are read, and change nothing', async () => {
    const text = dump(series(10));
    await plant.take('a.csv', text);
    const before = await plant.engine.serve('app:status', {});
    const again = await plant.take('renamed.csv', text);
    expect(again).toMatchObject({ source: 1, accepted: 0, alreadyHeld: 10, problem: null });
    expect(again.lines).toEqual({ total: 11, header: 1, blank: 0, accepted: 0, alreadyHeld: 10, rejected: 0 });
    const after = await plant.engine.serve('app:status', {});
    expect(after.lastChange).toBe(before.lastChange);
    expect(after.sources).toBe(1);
  });

  test('a withdrawn file that is handed in again comes back into force', async () => {
    const text = dump(series(10));
    await plant.take('a.csv', text);
    expect(await plant.engine.serve('source:withdraw', { source: 1 })).toEqual({
      source: 1,
      outOfForce: 10,
      stillShownElsewhere: 0,
    });
    expect(await plant.count()).toBe(0);
    await plant.take('a.csv', text);
    expect(await plant.count()).toBe(10);
  });

  test('a dry run counts and stores nothing', async () => {
    const ticket = await plant.offer('a.csv', dump(series(10)));
    await plant.read(ticket);
    const outcome = await plant.accept(ticket, { dryRun: true });
    expect(outcome).toMatchObject({ source: null, accepted: 10, problem: null });
    expect((await plant.engine.serve('app:status', {})).lastChange).toBe(0);
  });

  test('a question holds the file back until it is answered, over a restart too', async () => {
    // Both days below 13: day and month cannot be told apart.
    const lines = ['03/04/2026 06:00:00', '04/05/2026 07:00:00', '05/06/2026 08:00:00'].map(
      (at, i) => `${at};T-1;Stem;24.1${i};Nm;30.${i}`,
    );
    const ticket = await plant.offer('a.csv', `Date and time;Tool;Joint;Torque;Unit;Angle\n${lines.join('\n')}\n`);
    const preview = await plant.read(ticket);
    expect(preview.questions.map((card) => card.id)).toEqual(['date-order']);
    expect(await plant.accept(ticket)).toMatchObject({ source: null, problem: null });
    expect(await plant.count()).toBe(0);

    const list = await plant.engine.serve('inbox:list', {});
    expect(list.queue).toMatchObject([{ ticket, state: 'needs-answer', questions: 1 }]);

    await plant.reopen();
    const waiting = await plant.engine.serve('inbox:preview', { ticket });
    expect(waiting.questions.map((card) => card.id)).toEqual(['date-order']);
    const answered = await plant.read(ticket, { answers: { 'date-order': 'dmy' } });
    expect(answered.questions).toEqual([]);
    expect(await plant.accept(ticket)).toMatchObject({ source: 1, accepted: 3 });
    expect((await plant.readings())[0]?.at).toBe('2026-04-03T06:00:00');
  });

  test('a saved recipe answers for the next file of the layout', async () => {
    const head = 'Date and time;Tool;Joint;Torque;Unit;Angle\n';
    const one = `${head}03/04/2026 06:00:00;T-1;Stem;24.10;Nm;30.0\n04/04/2026 06:00:00;T-1;Stem;24.20;Nm;30.0\n`;
    const two = `${head}05/04/2026 06:00:00;T-1;Stem;24.30;Nm;30.0\n06/04/2026 06:00:00;T-1;Stem;24.40;Nm;30.0\n`;
    const first = await plant.offer('one.csv', one);
    await plant.read(first, { answers: { 'date-order': 'dmy' } });
    await plant.accept(first, { saveRecipe: true });
    expect(await plant.engine.serve('recipe:list', {})).toHaveLength(1);
    const second = await plant.offer('two.csv', two);
    const preview = await plant.read(second);
    expect(preview.recipe).toMatchObject({ used: true });
    expect(preview.questions).toEqual([]);
  });

  test.each([
    ['an empty file', new Uint8Array(0)],
    ['a spreadsheet', Uint8Array.from([0x50, 0x4b, 3, 4, 20, 0, 6, 0, 8, 0, 0, 0, 33, 0])],
    ['a menu', 'Monday: soup\nTuesday: stew\nWednesday: pancakes\n'],
  ])('%s is refused in one sentence and the program goes on', async (_, content) => {
    const ticket = await plant.offer('bad.csv', content);
    const preview = await plant.read(ticket).catch((error: unknown) => error);
    const outcome = await plant.accept(ticket);
    expect(outcome.problem?.kind).toBe('refused-input');
    expect(outcome.problem?.message).toMatch(/\.$/);
    expect(outcome).toMatchObject({ source: null, lines: null });
    expect(preview).toBeDefined();
    expect((await plant.take('good.csv', dump(series(5)))).accepted).toBe(5);
  });

  test('a folder and a file that is gone are refused by name', async () => {
    await expect(plant.engine.offer(plant.folder, 'folder', { ours: false })).rejects.toMatchObject({
      problem: { kind: 'refused-input' },
    });
    await expect(plant.engine.offer(join(plant.folder, 'gone.csv'), 'gone.csv', { ours: false })).rejects.toMatchObject(
      { problem: { kind: 'refused-input', message: expect.stringContaining('gone.csv') } },
    );
  });

  test('a ticket leaves nothing behind, an upload included', async () => {
    const path = join(plant.engine.uploadFolder, 'x.upload');
    const { writeFileSync } = await import('node:fs');
    writeFileSync(path, dump(series(5)));
    const ticket = await plant.engine.offer(path, 'dump.csv', { ours: true });
    await plant.read(ticket);
    await plant.accept(ticket);
    expect(existsSync(path)).toBe(false);
    expect(readdirSync(join(plant.engine.uploadFolder, '..'))).toEqual(['uploads']);
  });

  test('of several files each stands alone', async () => {
    const tickets = [
      await plant.offer('one.csv', dump(series(5))),
      await plant.offer('bad.csv', 'Monday: soup\nTuesday: stew\nWednesday: pancakes\n'),
      await plant.offer('two.csv', dump(series(8))),
    ];
    const outcomes = await plant.engine.serve('inbox:accept', { tickets, saveRecipe: false, dryRun: false });
    expect(outcomes.map((one) => [one.file, one.source, one.accepted, one.problem?.kind ?? null])).toEqual([
      ['one.csv', 1, 5, null],
      ['bad.csv', null, 0, 'refused-input'],
      ['two.csv', 2, 3, null],
    ]);
    const { queue } = await plant.engine.serve('inbox:list', {});
    expect(queue.map((item) => [item.name, item.state])).toEqual([['bad.csv', 'failed']]);
  });

  test('every rejected line is listed with its text, however many there are', async () => {
    const bad = Array.from({ length: 300 }, (_, i) => `2026-03-14 09:00:00;T-1;Stem;fail ${i};Nm;30.0`);
    const outcome = await plant.take('a.csv', `${dump(series(400))}${bad.join('\n')}\n`);
    expect(outcome.lines).toMatchObject({ accepted: 400, rejected: 300 });
    expect(outcome.rejected.map((row) => row.text)).toEqual(bad);
    expect(outcome.rejected[7]).toMatchObject({
      line: 409,
      reason: 'bad-torque',
      says: expect.stringMatching(/^Line 409/),
    });
    const page = await plant.engine.serve('inbox:rejected', { ticket: null, source: 1, offset: 290, limit: 100 });
    expect(page.total).toBe(300);
    expect(page.rejected.map((row) => row.text)).toEqual(bad.slice(290));
  });

  test('listeners hear of what a commit touched', async () => {
    const events: StoreEvent[] = [];
    await plant.count();
    plant.engine.onEvent((event) => events.push(event));
    await plant.take('a.csv', dump(series(5)));
    expect(events.some((event) => event.change === 1 && event.touches.includes('readings'))).toBe(true);
  });

  test('100 000 equal lines are 100 000 readings', async () => {
    const line = '2026-03-05 06:12:44;T-1;Stem;24.12;Nm;30.0\n';
    const head = 'Date and time;Tool;Joint;Torque;Unit;Angle\n';
    const outcome = await plant.take('equal.csv', head + line.repeat(100_000), { answers: { 'date-order': 'ymd' } });
    expect(outcome.accepted).toBe(100_000);
    expect(await plant.count()).toBe(100_000);
  });
});

describe('the sample scenario', () => {
  test('comes in through the ordinary intake with exactly the counts of its generator, file by file', async () => {
    // Counts: sample-data/truth.json, made by the scenario's generator, not by the reader.
    const truth: { files: { file: string; lines: object }[]; readings: { distinct: number } } = JSON.parse(
      readFileSync(join(sampleFolder, 'truth.json'), 'utf8'),
    );
    const sum = { sources: truth.files.length, readings: truth.readings.distinct };
    const plant = await new TestEngine().open();
    try {
      expect(await plant.engine.serve('demo:load', {})).toEqual(sum);
      expect(await plant.engine.serve('app:status', {})).toMatchObject({ ...sum, readOnly: false });
      expect(await plant.count()).toBe(truth.readings.distinct);
      const { imported } = await plant.engine.serve('inbox:list', {});
      const byName = new Map(imported.map((source) => [source.name, source]));
      for (const { file, lines } of truth.files) {
        const { accepted, alreadyHeld, rejected } = byName.get(file) ?? {};
        expect({ file, lines }).toMatchObject({ file, lines: { accepted, alreadyHeld, rejected } });
      }
      // Loading it again adds nothing.
      expect(await plant.engine.serve('demo:load', {})).toEqual({ sources: truth.files.length, readings: 0 });
    } finally {
      await plant.close();
    }
  });
});

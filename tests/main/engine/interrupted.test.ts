import { spawn } from 'node:child_process';
import { copyFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { dump, series, TestEngine } from './test-engine.ts';

const script = fileURLToPath(new URL('./intake-process.ts', import.meta.url));
const rows = 80_000;

/** Starts taking a file in, in a process of its own, and kills it hard when it says a line that `when` accepts. */
function killedWhen(storePath: string, file: string, when: (line: string) => boolean, afterMs = 0): Promise<string[]> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [script, storePath, file], { stdio: ['ignore', 'pipe', 'inherit'] });
    const lines: string[] = [];
    createInterface({ input: child.stdout }).on('line', (line) => {
      lines.push(line);
      if (!when(line)) return;
      if (afterMs === 0) child.kill('SIGKILL');
      else setTimeout(() => child.kill('SIGKILL'), afterMs);
    });
    child.once('error', reject);
    child.once('exit', () => resolve(lines));
  });
}

describe('a process killed in the middle of an intake', () => {
  let plant: TestEngine;
  let file: string;
  beforeEach(async () => {
    plant = await new TestEngine().open();
    await plant.take('before.csv', dump(series(50)));
    await plant.engine.close();
    file = join(plant.folder, 'large.csv');
    writeFileSync(file, dump(series(rows, '2026-04-14T06:00:00')));
  });
  afterEach(() => plant.close());

  test.each([
    ['while it reads', (line: string) => line.startsWith('reading ') && Number(line.split(' ')[1]) > 0],
    ['when it has read', (line: string) => line.startsWith('read ')],
    ['while it takes in', (line: string) => line.startsWith('taking-in ') && Number(line.split(' ')[1]) > 0],
    [
      'late while it takes in',
      (line: string) => line.startsWith('taking-in ') && Number(line.split(' ')[1]) > rows / 2,
    ],
  ])('%s: the store is as before the file, and a second try gives exactly the right count', async (_, when) => {
    const lines = await killedWhen(plant.storePath, file, when);
    expect(lines.some(when)).toBe(true);
    expect(lines.some((line) => line.startsWith('accepted'))).toBe(false);

    await plant.open();
    expect(await plant.engine.serve('app:status', {})).toMatchObject({ readings: 50, sources: 1, lastChange: 1 });
    const { queue } = await plant.engine.serve('inbox:list', {});
    expect(queue).toHaveLength(1);
    const left = queue[0];
    expect(['interrupted', 'ready', 'waiting']).toContain(left?.state);

    const ticket = left?.ticket ?? '';
    await plant.read(ticket);
    expect(await plant.accept(ticket)).toMatchObject({ accepted: rows, alreadyHeld: 0, problem: null });
    const status = await plant.engine.serve('app:status', {});
    expect(status).toMatchObject({ readings: rows + 50, sources: 2 });
    expect(await plant.count()).toBe(rows + 50);
    expect((await plant.engine.serve('inbox:list', {})).queue).toEqual([]);
  });

  test('at any moment, the commit included: all of the file or nothing, and a second try gives the right count', async () => {
    const count = 17_000;
    const text = dump(series(count, '2026-04-14T06:00:00'));
    writeFileSync(file, text);
    const whole = { readings: count + 50, sources: 2 };
    const outcomes = new Set<string>();
    // Reading, the last steps of taking in, the commit and what follows it; delays in ms after the line.
    const moments: readonly (readonly [line: string, ms: number])[] = [
      ['open', 60],
      ['read ', 20],
      ['taking-in 16384', 0],
      ['taking-in 16384', 20],
      ['taking-in 16384', 60],
      ['accepted', 0],
    ];
    // Closed, a store is one file: each moment starts from a copy of the one before the large file.
    const before = join(plant.folder, 'before.db');
    copyFileSync(plant.storePath, before);
    for (const [line, ms] of moments) {
      await killedWhen(plant.storePath, file, (said) => said.startsWith(line), ms);
      await plant.open();
      const status = await plant.engine.serve('app:status', {});
      const isWhole = status.readings === whole.readings;
      expect(status, `${line} + ${ms} ms`).toMatchObject(isWhole ? whole : { readings: 50, sources: 1, lastChange: 1 });
      outcomes.add(isWhole ? 'whole' : 'nothing');
      const again = await plant.take('large.csv', text);
      expect(again, `${line} + ${ms} ms`).toMatchObject(
        isWhole ? { accepted: 0, alreadyHeld: count } : { accepted: count, alreadyHeld: 0 },
      );
      // What was left in the queue can be accepted too, and adds nothing.
      const { queue } = await plant.engine.serve('inbox:list', {});
      for (const left of queue) expect(await plant.accept(left.ticket)).toMatchObject({ accepted: 0, problem: null });
      expect(await plant.count()).toBe(whole.readings);
      expect((await plant.engine.serve('inbox:list', {})).queue).toEqual([]);
      await plant.engine.close();
      for (const name of readdirSync(plant.folder)) {
        if (name.startsWith('plant.db')) rmSync(join(plant.folder, name), { recursive: true, force: true });
      }
      copyFileSync(before, plant.storePath);
    }
    expect([...outcomes].sort()).toEqual(['nothing', 'whole']);
    await plant.open();
  }, 240_000);

  test('a file left over can be dropped instead', async () => {
    await killedWhen(plant.storePath, file, (line) => line.startsWith('reading '));
    await plant.open();
    const { queue } = await plant.engine.serve('inbox:list', {});
    await plant.engine.serve('inbox:drop', { tickets: queue.map((item) => item.ticket) });
    expect((await plant.engine.serve('inbox:list', {})).queue).toEqual([]);
    expect(await plant.take('large.csv', dump(series(rows, '2026-04-14T06:00:00')))).toMatchObject({ accepted: rows });
  });
});

describe('cancelling', () => {
  let plant: TestEngine;
  beforeEach(async () => {
    plant = await new TestEngine().open();
  });
  afterEach(() => plant.close());

  test.each([0, 1, 3])('while reading, at report %i: nothing is kept and the file can be read again', async (at) => {
    const text = dump(series(rows));
    const ticket = await plant.offer('large.csv', text);
    const stop = new AbortController();
    let reports = 0;
    if (at === 0) stop.abort();
    const reading = plant.engine.serve(
      'inbox:read',
      { ticket, answers: {}, set: {}, useRecipe: true },
      {
        signal: stop.signal,
        onProgress: () => {
          if (++reports === at) stop.abort();
        },
      },
    );
    if (at === 3) setTimeout(() => stop.abort(), 150);
    await expect(reading).rejects.toMatchObject({ problem: { kind: 'cancelled' } });
    expect((await plant.engine.serve('inbox:list', {})).queue).toMatchObject([{ ticket, state: 'waiting' }]);
    await plant.read(ticket);
    expect(await plant.accept(ticket)).toMatchObject({ accepted: rows });
  });

  test('while taking in: rolled back, and taken in whole by the next try', async () => {
    const ticket = await plant.offer('large.csv', dump(series(rows)));
    await plant.read(ticket);
    const stop = new AbortController();
    const accepting = plant.engine.serve(
      'inbox:accept',
      { tickets: [ticket], saveRecipe: false, dryRun: false },
      {
        signal: stop.signal,
        onProgress: (progress) => {
          if (progress.phase === 'taking-in') stop.abort();
        },
      },
    );
    await expect(accepting).rejects.toMatchObject({ problem: { kind: 'cancelled' } });
    expect(await plant.engine.serve('app:status', {})).toMatchObject({ readings: 0, sources: 0, lastChange: 0 });
    expect(await plant.accept(ticket)).toMatchObject({ accepted: rows, alreadyHeld: 0 });
    expect(await plant.count()).toBe(rows);
  });

  test('closing the engine ends what runs', async () => {
    const ticket = await plant.offer('large.csv', dump(series(rows)));
    const reading = plant.read(ticket);
    const ended = expect(reading).rejects.toMatchObject({ problem: { kind: 'cancelled' } });
    await plant.engine.close();
    await ended;
    await expect(plant.count()).rejects.toMatchObject({ problem: { kind: 'cancelled' } });
  });
});

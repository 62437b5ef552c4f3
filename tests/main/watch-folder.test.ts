/** A watched folder with real files and a real engine; polled every 40 ms instead of every 5 s. */
import { appendFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { everything } from '#core/readings/scope.ts';
import { type EngineClient, startEngine } from '../../src/main/client/engine-client.ts';
import { watchFolder } from '../../src/main/watch-folder.ts';

const head = 'Date and time;Tool;Joint;Torque;Unit\n';
const lines = (day: number, count = 5): string =>
  Array.from({ length: count }, (_, i) => `2026-03-${day} 06:1${i}:00;T-1;Stem;24.1${i};Nm\n`).join('');
const pollMs = 40;
const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

describe('a watched folder', () => {
  let root: string;
  let folder: string;
  let client: EngineClient;
  let stop: () => void = () => undefined;

  beforeEach(async () => {
    root = mkdtempSync(join(tmpdir(), 'tightbook-watch-'));
    folder = join(root, 'dumps');
    mkdirSync(folder);
    client = await startEngine(
      { storePath: join(root, 'plant.db'), programVersion: '0.0.0-test', sampleFolder: '', who: 'tester' },
      'here',
    );
  });
  afterEach(async () => {
    stop();
    await client.close();
    rmSync(root, { recursive: true, force: true });
  });

  const watch = (): void => {
    stop = watchFolder(folder, client, pollMs);
  };
  const put = (name: string, text: string): void => writeFileSync(join(folder, name), text);
  const count = async (): Promise<number> =>
    (await client.call('readings:answer', { scope: everything, offset: 0, limit: 1 })).total;
  const queue = async () => (await client.call('inbox:list', {})).queue;

  /** Takes one file of the layout in by hand and keeps its recipe. */
  const teach = async (): Promise<void> => {
    const file = join(root, 'first.csv');
    writeFileSync(file, head + lines(10));
    const ticket = await client.offer({ path: file, name: 'first.csv', ours: false });
    await client.call('inbox:read', { ticket });
    await client.call('inbox:accept', { tickets: [ticket], saveRecipe: true });
    expect(await count()).toBe(5);
  };

  test('a file of a known layout is taken in by itself, once', async () => {
    await teach();
    watch();
    put('a.csv', head + lines(11));
    await expect.poll(count, { timeout: 5000 }).toBe(10);
    await pause(5 * pollMs);
    expect(await count()).toBe(10);
    expect(await queue()).toEqual([]);
    expect((await client.call('inbox:list', {})).imported).toHaveLength(2);
  });

  test('a file of an unknown layout waits to be looked at, and nothing of it is stored', async () => {
    watch();
    put('a.csv', head + lines(11));
    await expect.poll(async () => (await queue()).map((item) => item.state), { timeout: 5000 }).toEqual(['ready']);
    await pause(5 * pollMs);
    expect(await count()).toBe(0);
  });

  test('a file with an open question waits with it', async () => {
    watch();
    put('a.csv', 'Date;Tool;Joint;Torque;Unit\n05/03/2026;T-1;Stem;24.1;Nm\n06/03/2026;T-1;Stem;24.2;Nm\n');
    await expect
      .poll(async () => (await queue()).map((item) => [item.state, item.questions]), { timeout: 5000 })
      .toEqual([['needs-answer', 1]]);
  });

  test('a file that is still being written is left alone until it stands still', async () => {
    await teach();
    watch();
    put('a.csv', head);
    for (let i = 0; i < 12; i++) {
      appendFileSync(join(folder, 'a.csv'), `2026-03-12 06:${10 + i}:00;T-1;Stem;24.${10 + i};Nm\n`);
      await pause(pollMs / 2);
      expect(await count()).toBe(5);
    }
    await expect.poll(count, { timeout: 5000 }).toBe(17);
    expect((await client.call('inbox:list', {})).imported).toHaveLength(2);
  });

  test('the same file with more in it is taken in again: only the new readings come', async () => {
    await teach();
    watch();
    put('a.csv', head + lines(11, 3));
    await expect.poll(count, { timeout: 5000 }).toBe(8);
    put('a.csv', head + lines(11, 9));
    await expect.poll(count, { timeout: 5000 }).toBe(14);
  });

  test('a bad file ends nothing; hidden, unfinished and empty files and folders are passed over', async () => {
    await teach();
    mkdirSync(join(folder, 'a-folder.csv'));
    put('.hidden.csv', head + lines(13));
    put('b.csv.part', head + lines(14));
    put('c.csv', '');
    put('d.csv', 'Name;Colour\nStem;red\nCrank;blue\n');
    put('e.csv', head + lines(15));
    watch();
    await expect.poll(count, { timeout: 5000 }).toBe(10);
    expect((await queue()).map((item) => [item.name, item.state])).toEqual([['d.csv', 'failed']]);
  });

  test('after a restart files that are held are passed over, a withdrawn one too', async () => {
    await teach();
    put('a.csv', head + lines(11));
    watch();
    await expect.poll(count, { timeout: 5000 }).toBe(10);
    stop();
    await client.call('source:withdraw', { source: 2 });
    watch();
    await pause(8 * pollMs);
    expect(await count()).toBe(5);
    expect(await queue()).toEqual([]);
  });
});

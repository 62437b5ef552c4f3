/** A disk that really fills up, in the middle of reading and in the middle of taking in. Linux, as root: else skipped. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import { everything } from '#core/readings/scope.ts';
import { type Engine, openEngine } from '../../../src/main/engine/engine.ts';
import { sampleFolder } from './test-engine.ts';

const mountPoint = mkdtempSync(join(tmpdir(), 'tightbook-full-'));
const mounted =
  process.platform === 'linux' &&
  spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=16m', 'tmpfs', mountPoint]).status === 0;
const resize = (megabytes: number): void => {
  expect(spawnSync('mount', ['-o', `remount,size=${megabytes}m`, mountPoint]).status).toBe(0);
};
// The dump lies elsewhere: only the store's disk is small.
const elsewhere = mkdtempSync(join(tmpdir(), 'tightbook-dump-'));
afterAll(() => {
  if (mounted) spawnSync('umount', [mountPoint]);
  rmSync(mountPoint, { recursive: true, force: true });
  rmSync(elsewhere, { recursive: true, force: true });
});

function dump(rows: number): string {
  const lines = ['Time;Tool;Joint;Torque [Nm];Angle [deg]'];
  for (let i = 0; i < rows; i++) {
    const at = new Date(Date.UTC(2026, 2, 14, 6) + i * 1000).toISOString().slice(0, 19);
    lines.push(`${at};T-${i % 7};Stem;${(24 + (i % 211) / 100).toFixed(2)};${(40 + (i % 97) / 10).toFixed(1)}`);
  }
  return `${lines.join('\n')}\n`;
}

const readings = async (engine: Engine): Promise<number> =>
  (await engine.serve('readings:answer', { scope: everything, offset: 0, limit: 1 })).total;

function isSound(storePath: string): unknown {
  const db = new DatabaseSync(storePath, { readOnly: true });
  try {
    return db.prepare('PRAGMA integrity_check').get()?.integrity_check;
  } finally {
    db.close();
  }
}

describe.skipIf(!mounted)('a full disk', () => {
  test('stops reading, then taking in, changes nothing, and lets the same file in when there is room', async () => {
    const storePath = join(mountPoint, 'plant.db');
    const small = join(elsewhere, 'small.csv');
    const large = join(elsewhere, 'large.csv');
    writeFileSync(small, dump(500));
    writeFileSync(large, dump(200_000).replaceAll('Stem', 'Axle'));
    const engine = await openEngine({
      storePath,
      clock: () => Date.UTC(2026, 10, 26, 12),
      programVersion: 'test',
      sampleFolder,
      who: 'tester',
    });
    try {
      const read = (ticket: string) => engine.serve('inbox:read', { ticket, answers: {}, set: {}, useRecipe: true });
      const accept = (ticket: string) =>
        engine.serve('inbox:accept', { tickets: [ticket], saveRecipe: false, dryRun: false });
      const first = await engine.offer(small, 'small.csv', { ours: false });
      await read(first);
      await accept(first);
      expect(await readings(engine)).toBe(500);

      // 1. No room for the rows while the file is read: nothing of it stays on the disk.
      resize(6);
      const ticket = await engine.offer(large, 'large.csv', { ours: false });
      await expect(read(ticket)).rejects.toMatchObject({ problem: { kind: 'disk-full' } });
      const left = readdirSync(join(`${storePath}.inbox`, ticket));
      expect(left).not.toContain('rows.bin');
      expect(left).not.toContain('pieces.bin');
      expect(await readings(engine)).toBe(500);

      // 2. Room for what is read, none for the store to grow: rolled back whole.
      resize(18);
      await read(ticket);
      await expect(accept(ticket)).rejects.toMatchObject({ problem: { kind: 'disk-full' } });
      expect(await readings(engine)).toBe(500);
      expect(isSound(storePath)).toBe('ok');

      // 3. Some space is freed: the file that waits goes in, every line of it.
      resize(120);
      const [outcome] = await accept(ticket);
      expect(outcome?.accepted).toBe(200_000);
      expect(await readings(engine)).toBe(200_500);
    } finally {
      await engine.close();
    }
    expect(isSound(storePath)).toBe('ok');
  });

  test('ends the command line with 5 and a plain sentence, and what was read leaves the disk again', () => {
    resize(18);
    const storePath = join(mountPoint, 'other.db');
    rmSync(join(mountPoint, 'plant.db'), { force: true });
    const large = join(elsewhere, 'large.csv');
    const entry = fileURLToPath(new URL('../../../src/main/cli/entry.ts', import.meta.url));
    const ran = spawnSync(process.execPath, [entry, 'intake', large, '--store', storePath], { encoding: 'utf8' });
    expect(ran.stderr).toContain('The disk is full. Nothing was changed');
    expect(ran.status).toBe(5);
    const tickets = readdirSync(`${storePath}.inbox`).filter((name) => name !== 'uploads');
    expect(tickets).toEqual([]);
    expect(isSound(storePath)).toBe('ok');
  });
});

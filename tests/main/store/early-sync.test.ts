/** Syncing the log on the way is a courtesy: it must do no harm, least of all to the store's lock. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { EarlySync } from '../../../src/main/store/sqlite/early-sync.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'tightbook-sync-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** Whether another process can begin to write. */
function othersCanWrite(path: string): boolean {
  const script = `
    const { DatabaseSync } = require('node:sqlite');
    const db = new DatabaseSync(${JSON.stringify(path)});
    try { db.exec('BEGIN IMMEDIATE'); console.log('free'); } catch { console.log('busy'); }
  `;
  const done = spawnSync(process.execPath, ['-e', script], { encoding: 'utf8' });
  expect(done.status).toBe(0);
  return done.stdout.trim() === 'free';
}

test('the lock of a writer stays when its log is synced and the handle is closed again', async () => {
  const path = join(folder, 'plant.db');
  const db = new DatabaseSync(path);
  db.exec('PRAGMA journal_mode = WAL; CREATE TABLE t (x)');
  expect(othersCanWrite(path)).toBe(true);
  db.exec('BEGIN IMMEDIATE; INSERT INTO t VALUES (1)');
  expect(othersCanWrite(path)).toBe(false);
  const early = new EarlySync(path);
  early.wrote(200_000);
  early.wrote(400_000);
  await early.close();
  // Closing a handle gives up a process's locks on that very file; the store's lock must lie elsewhere.
  expect(othersCanWrite(path)).toBe(false);
  db.exec('COMMIT');
  expect(othersCanWrite(path)).toBe(true);
  db.close();
});

test('without a log it does nothing, and says nothing', async () => {
  const early = new EarlySync(join(folder, 'none.db'));
  early.wrote(200_000);
  await expect(early.close()).resolves.toBeUndefined();
});

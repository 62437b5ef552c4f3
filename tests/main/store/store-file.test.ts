import { copyFileSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { migrations } from '../../../src/main/store/migrations/migrations.ts';
import { openDatabase } from '../../../src/main/store/sqlite/open-database.ts';
import { storeProblem } from '../../../src/main/store/sqlite/sqlite-problem.ts';
import { openSqliteStore } from '../../../src/main/store/sqlite/sqlite-store.ts';
import type { Command } from '../../../src/main/store/store.ts';
import { dump, series, TestEngine, until } from '../engine/test-engine.ts';

let folder: string;
let path: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'tightbook-store-'));
  path = join(folder, 'plant.db');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const open = (waitMs = 1000) => openSqliteStore({ path, programVersion: '0.0.0-test', clock: () => 1000, waitMs });
const setting = (value: string): Command => ({
  kind: 'settings',
  subject: 'a',
  why: null,
  who: 'tester',
  nowMs: 5,
  ops: [{ t: 'setting', key: 'a', value }],
});

describe('the file', () => {
  test('is made with WAL, full synchronisation and STRICT tables', async () => {
    const store = open();
    await store.close();
    const db = new DatabaseSync(path);
    expect(db.prepare('PRAGMA journal_mode').get()).toEqual({ journal_mode: 'wal' });
    expect(() => db.exec("INSERT INTO more (id, batch_size) VALUES (1, 'many')")).toThrow(/cannot store TEXT/);
    const loose = db
      .prepare("SELECT name FROM pragma_table_list WHERE schema = 'main' AND strict = 0 AND name NOT LIKE 'sqlite_%'")
      .all();
    expect(loose).toEqual([]);
    db.close();
  });

  test('refuses to alter or delete what the journal recorded', async () => {
    const store = open();
    await store.commit(setting('one'));
    await store.close();
    const db = new DatabaseSync(path);
    expect(() => db.exec("UPDATE change SET who = 'nobody'")).toThrow(/append-only/);
    expect(() => db.exec('DELETE FROM change')).toThrow(/append-only/);
    db.close();
  });

  test('is copied before it is migrated, and a failing step leaves it as it was', () => {
    const first = openDatabase({ path, programVersion: 'a', waitMs: 100, nowMs: 0 });
    first.db.exec("INSERT INTO setting (key, value, change) SELECT 'a', '1', 1 WHERE 0");
    first.db.close();
    const broken = [...migrations, 'CREATE TABLE extra (id INTEGER) STRICT; CREATE TABLE change (id INTEGER)'];
    expect(() => openDatabase({ path, programVersion: 'b', waitMs: 100, nowMs: 0, steps: broken })).toThrow();
    const again = openDatabase({ path, programVersion: 'a', waitMs: 100, nowMs: 0 });
    expect(again.db.prepare('PRAGMA user_version').get()).toEqual({ user_version: migrations.length });
    expect(again.db.prepare("SELECT count(*) AS n FROM sqlite_master WHERE name = 'extra'").get()).toEqual({ n: 0 });
    again.db.close();

    const sound = [...migrations, 'CREATE TABLE extra (id INTEGER) STRICT'];
    const migrated = openDatabase({ path, programVersion: 'b', waitMs: 100, nowMs: 0, steps: sound });
    expect(migrated.db.prepare('PRAGMA user_version').get()).toEqual({ user_version: sound.length });
    migrated.db.close();
    const copy = new DatabaseSync(`${path}.backup-${migrations.length}`);
    expect(copy.prepare('PRAGMA user_version').get()).toEqual({ user_version: migrations.length });
    copy.close();
  });

  test('of a newer program is read and not written', async () => {
    const plant = await new TestEngine().open();
    try {
      await plant.take('a.csv', dump(series(10)));
      await plant.engine.close();
      const db = new DatabaseSync(plant.storePath);
      db.exec(`PRAGMA user_version = ${migrations.length + 1}`);
      db.close();
      const before = readFileSync(plant.storePath);
      await plant.open();
      expect(await plant.engine.serve('app:status', {})).toMatchObject({ readOnly: true, readings: 10 });
      expect(await plant.count()).toBe(10);
      await expect(
        plant.engine.serve('mark:leave-out', { readings: ['1:2'], reason: 'test piece' }),
      ).rejects.toMatchObject({ problem: { kind: 'store-newer' } });
      await plant.engine.close();
      expect(readFileSync(plant.storePath).equals(before)).toBe(true);
    } finally {
      await plant.close();
    }
  });

  test('that becomes newer while it is open turns read-only', async () => {
    const store = open();
    const other = new DatabaseSync(path);
    other.exec(`PRAGMA user_version = ${migrations.length + 1}`);
    other.close();
    await store.dataVersion();
    expect(store.newer).toBe(true);
    await expect(store.commit(setting('one'))).rejects.toMatchObject({ problem: { kind: 'store-newer' } });
    await store.close();
  });

  test.each([
    ['that is no database', () => writeFileSync(path, 'This is a letter, not a store. '.repeat(400))],
    [
      'with a spoilt page',
      () => {
        const db = openDatabase({ path, programVersion: 'a', waitMs: 100, nowMs: 0 }).db;
        db.exec('PRAGMA wal_checkpoint(TRUNCATE)');
        db.close();
        const bytes = readFileSync(path);
        bytes.fill(0xa5, 4096 + 8, 8192);
        bytes.fill(0xa5, 100, 200);
        writeFileSync(path, bytes);
      },
    ],
  ])('%s is called damaged, names a way out and is left alone', async (_, spoil) => {
    spoil();
    const before = readFileSync(path);
    const problem = await (async () => open())().then(
      async (store) => {
        const sound = await store.quickCheck();
        await store.close();
        return sound ? null : 'store-damaged';
      },
      (error: { problem: { kind: string; message: string } }) => {
        expect(error.problem.message).toMatch(/backup/i);
        return error.problem.kind;
      },
    );
    expect(problem).toBe('store-damaged');
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  test('whose data are spoilt is found by the check after an unclean end, and is not written any more', async () => {
    const plant = await new TestEngine().open();
    try {
      await plant.take('a.csv', dump(series(3000)));
      await plant.engine.close();
      // Spoil pages in the middle, where readings lie; the first pages stay sound, so that the file opens.
      const bytes = readFileSync(plant.storePath);
      const from = Math.floor(bytes.length / 2 / 4096) * 4096;
      bytes.fill(0x5a, from, from + 16_384);
      writeFileSync(plant.storePath, bytes);
      // An unclean end leaves a log beside the store.
      writeFileSync(`${plant.storePath}-wal`, '');
      await plant.open();
      const end = performance.now() + 5000;
      let known = false;
      while (!known && performance.now() < end) {
        // Whoever meets the spoilt pages first says so: the check, or the question itself.
        known = await plant.engine.serve('app:status', {}).then(
          (status) => status.readOnly,
          (error: { problem: { kind: string } }) => error.problem.kind === 'store-damaged',
        );
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
      expect(known).toBe(true);
      await expect(plant.engine.serve('app:settings', { set: { a: 1 } })).rejects.toMatchObject({
        problem: { kind: 'store-damaged' },
      });
    } finally {
      await plant.close();
    }
  });

  test('on a full disk: one sentence, nothing changed', async () => {
    const store = open();
    await store.commit(setting('one'));
    await store.close();
    const db = new DatabaseSync(path);
    const pages = Number(db.prepare('PRAGMA page_count').get()?.page_count);
    db.exec(`PRAGMA max_page_count = ${pages}`);
    db.exec('BEGIN IMMEDIATE');
    let thrown: unknown = null;
    try {
      db.prepare('INSERT INTO more (note) VALUES (?)').run('n'.repeat(1 << 20));
    } catch (error) {
      thrown = error;
    }
    expect(storeProblem(thrown, path).problem).toMatchObject({
      kind: 'disk-full',
      message: 'The disk is full. Nothing was changed; free some space and try again.',
    });
    if (db.isTransaction) db.exec('ROLLBACK');
    db.close();
    const again = open();
    expect(await again.settings()).toEqual({ a: 'one' });
    await again.close();
  });

  test('that another process is writing: waits, then says it is busy', async () => {
    const store = open(200);
    const other = new DatabaseSync(path);
    other.exec('BEGIN IMMEDIATE');
    const start = performance.now();
    await expect(store.commit(setting('one'))).rejects.toMatchObject({ problem: { kind: 'busy' } });
    expect(performance.now() - start).toBeGreaterThan(150);
    const waiting = store.commit(setting('two'));
    setTimeout(() => other.exec('COMMIT'), 60);
    await waiting;
    expect(await store.settings()).toEqual({ a: 'two' });
    other.close();
    await store.close();
  });

  test('is checked and copied after an unclean end, and two daily copies are kept', async () => {
    const plant = await new TestEngine().open();
    try {
      await plant.take('a.csv', dump(series(50)));
      for (const day of [26, 27, 28]) {
        await plant.engine.close();
        plant.now = Date.UTC(2026, 10, day, 12);
        writeFileSync(`${plant.storePath}-wal`, '');
        await plant.open();
        const copy = `${plant.storePath}.backup-2026-11-${day}`;
        await until(() => existsSync(copy));
      }
      await plant.engine.close();
      const copies = readdirSync(plant.folder).filter((name) => name.includes('.backup-'));
      expect(copies.sort()).toEqual(['plant.db.backup-2026-11-27', 'plant.db.backup-2026-11-28']);
      copyFileSync(`${plant.storePath}.backup-2026-11-28`, plant.storePath);
      rmSync(`${plant.storePath}-wal`, { force: true });
      rmSync(`${plant.storePath}-shm`, { force: true });
      await plant.open();
      expect(await plant.count()).toBe(50);
    } finally {
      await plant.close();
    }
  });

  test('can be copied whole while it is in use', async () => {
    const store = open();
    await store.commit(setting('one'));
    const copy = join(folder, 'copy.db');
    await store.backUp(copy);
    await store.close();
    rmSync(path);
    expect(existsSync(path)).toBe(false);
    copyFileSync(copy, path);
    const restored = open();
    expect(await restored.settings()).toEqual({ a: 'one' });
    await restored.close();
  });
});

describe('undo', () => {
  test('is a new change with the state before; undone twice it is a conflict that says so', async () => {
    const store = open();
    await store.commit(setting('one'));
    await store.commit(setting('two'));
    const undone = await store.undo(2, 'tester', 9);
    expect(await store.settings()).toEqual({ a: 'one' });
    expect(await store.change(undone.change)).toMatchObject({ kind: 'undo', undoes: 2 });
    await expect(store.undo(2, 'tester', 9)).rejects.toMatchObject({
      problem: { kind: 'conflict', message: expect.stringContaining('change 3') },
    });
    // Taking the undo back does the change again.
    await store.undo(undone.change, 'tester', 10);
    expect(await store.settings()).toEqual({ a: 'two' });
    await store.close();
  });

  test('of a change that a later one touches is a conflict naming the later one', async () => {
    const store = open();
    await store.commit(setting('one'));
    await store.commit(setting('two'));
    await expect(store.undo(1, 'tester', 9)).rejects.toMatchObject({
      problem: { kind: 'conflict', message: expect.stringContaining('change 2') },
    });
    await store.close();
  });
});

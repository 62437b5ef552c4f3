/** Opens the SQLite file of a store: settings, backup before a migration, migration in one transaction. */
import { randomUUID } from 'node:crypto';
import { mkdirSync, renameSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { migrations } from '../migrations/migrations.ts';
import { isBusy, storeProblem } from './sqlite-problem.ts';

export interface OpenedDatabase {
  readonly db: DatabaseSync;
  /** True when the store is newer than the program, or its file cannot be written. */
  readonly readOnly: boolean;
  readonly newer: boolean;
}

export interface DatabaseOptions {
  readonly path: string;
  readonly programVersion: string;
  /** How long opening waits for another process that migrates or holds the file. */
  readonly waitMs: number;
  readonly nowMs: number;
  /** The steps of the schema; others than the program's own in tests of migrating. */
  readonly steps?: readonly string[];
}

/**
 * Opens or makes the store's file.
 *
 * A store of an older schema is copied with `VACUUM INTO` first; all steps and the new `user_version` are one
 * transaction, so a crash leaves either the old store or the new one. The copy stays beside the store.
 *
 * @throws ProblemError store-damaged, no-permission, disk-full, busy
 */
export function openDatabase(options: DatabaseOptions): OpenedDatabase {
  const { path } = options;
  let db: DatabaseSync | null = null;
  try {
    mkdirSync(dirname(path), { recursive: true });
    // Node's default is 0 ms: any second process would fail at once.
    db = new DatabaseSync(path, { timeout: options.waitMs, enableForeignKeyConstraints: true });
    const version = userVersion(db);
    const steps = options.steps ?? migrations;
    if (version > steps.length) {
      db.close();
      db = new DatabaseSync(path, { timeout: options.waitMs, readOnly: true });
      return { db, readOnly: true, newer: true };
    }
    const writable = canWrite(db);
    if (!writable && version < steps.length) throw storeProblem({ errcode: 8 }, path);
    if (writable) {
      db.exec('PRAGMA journal_mode = WAL');
      if (version < steps.length) migrate(db, options, version, steps);
      // FULL: a commit that was reported is on the disk, also after a power cut.
      db.exec('PRAGMA synchronous = FULL');
    }
    db.exec('PRAGMA temp_store = MEMORY; PRAGMA cache_size = -16000');
    return { db, readOnly: !writable, newer: false };
  } catch (error) {
    db?.close();
    throw storeProblem(error, path);
  }
}

/** The schema step a store is at. */
export function userVersion(db: DatabaseSync): number {
  return Number(db.prepare('PRAGMA user_version').get()?.user_version ?? 0);
}

function canWrite(db: DatabaseSync): boolean {
  try {
    db.exec('BEGIN IMMEDIATE; ROLLBACK');
    return true;
  } catch (error) {
    // Another process holding the lock is no reason to call the store read-only.
    if (isBusy(error)) return true;
    if (db.isTransaction) db.exec('ROLLBACK');
    return storeProblem(error, '').problem.kind === 'read-only' ? false : fail(error);
  }
}

function fail(error: unknown): never {
  throw error;
}

function migrate(db: DatabaseSync, options: DatabaseOptions, from: number, steps: readonly string[]): void {
  if (from > 0) backUp(db, `${options.path}.backup-${from}`);
  db.exec('BEGIN IMMEDIATE');
  try {
    // Another process may have migrated while this one waited for the lock.
    for (let step = userVersion(db); step < steps.length; step++) db.exec(steps[step]!);
    db.exec(`PRAGMA user_version = ${steps.length}`);
    const put = db.prepare('INSERT INTO meta (key, value) VALUES (?, ?) ON CONFLICT (key) DO NOTHING');
    put.run('uuid', randomUUID());
    put.run('made-by', options.programVersion);
    put.run('made-ms', String(options.nowMs));
    db.exec('COMMIT');
  } catch (error) {
    if (db.isTransaction) db.exec('ROLLBACK');
    throw error;
  }
}

/** A whole, compact copy of the store beside it. */
export function backUp(db: DatabaseSync, path: string): void {
  // VACUUM INTO refuses an existing file; one left by a crash in mid-write is worth nothing.
  const part = `${path}.part`;
  rmSync(part, { force: true });
  db.prepare('VACUUM INTO ?').run(part);
  // Rename, not write: a copy under its own name is whole.
  renameSync(part, path);
}

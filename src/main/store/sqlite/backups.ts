/** Copies of a store beside it: one before each migration, and one a day while it is in use; the newest two are kept. */
import { readdirSync, rmSync, statSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';

/** Daily copies that are kept. */
const kept = 2;

/** Path of a day's copy. `nowMs` since 1970 UTC. */
export function dailyBackup(storePath: string, nowMs: number): string {
  return `${storePath}.backup-${new Date(nowMs).toISOString().slice(0, 10)}`;
}

/** The newest copy of a store, of whatever kind; null: none. */
export function newestBackup(storePath: string): string | null {
  return backups(storePath)[0] ?? null;
}

/** Removes all but the newest daily copies; those made before a migration stay. */
export function dropOldBackups(storePath: string): void {
  const daily = backups(storePath).filter((path) => /\.backup-\d{4}-\d{2}-\d{2}$/.test(path));
  for (const path of daily.slice(kept)) rmSync(path, { force: true });
}

/** Copies beside a store, newest first. */
function backups(storePath: string): string[] {
  const prefix = `${basename(storePath)}.backup-`;
  try {
    return readdirSync(dirname(storePath))
      .filter((name) => name.startsWith(prefix) && !name.endsWith('.part'))
      .map((name) => join(dirname(storePath), name))
      .map((path) => ({ path, at: statSync(path).mtimeMs }))
      .sort((a, b) => b.at - a.at)
      .map((one) => one.path);
  } catch {
    return [];
  }
}

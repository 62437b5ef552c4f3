/** SQLite's errors as problems of the contract: a sentence that says what happened and what to do. */
import { type Problem, ProblemError } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';
import { newestBackup } from './backups.ts';

/** SQLite primary result codes (sqlite3.h); the low byte of an extended code. */
const busyCode = 5;
const lockedCode = 6;
const readOnlyCode = 8;
const ioErrorCode = 10;
const corruptCode = 11;
const fullCode = 13;
const cantOpenCode = 14;
const notADatabaseCode = 26;
/** Extended code: a UNIQUE constraint refused the row. */
const uniqueCode = 2067;

/** SQLite's primary result code of an error, or null when it is none of SQLite's. */
export function sqliteCode(error: unknown): number | null {
  if (typeof error === 'object' && error !== null && 'errcode' in error && typeof error.errcode === 'number') {
    return error.errcode & 0xff;
  }
  return null;
}

/** Whether an error only says that another connection holds the lock. */
export function isBusy(error: unknown): boolean {
  const code = sqliteCode(error);
  return code === busyCode || code === lockedCode;
}

/** Whether a statement was refused because a unique key is taken. */
export function isUniqueFault(error: unknown): boolean {
  return typeof error === 'object' && error !== null && 'errcode' in error && error.errcode === uniqueCode;
}

/**
 * The problem an error amounts to; errors that are problems already pass through, all others are a `fault`.
 *
 * @param path the store, named in the sentence
 */
export function storeProblem(error: unknown, path: string): ProblemError {
  if (error instanceof ProblemError) return error;
  const code = sqliteCode(error) ?? nodeCode(error);
  switch (code) {
    case busyCode:
    case lockedCode:
      return new ProblemError('busy', said('problem.busy', { holder: 'another process' }));
    case readOnlyCode:
      return new ProblemError('read-only', said('problem.read-only', { path }));
    case corruptCode:
    case notADatabaseCode:
      return new ProblemError(
        'store-damaged',
        said('problem.store-damaged', { store: path, backup: newestBackup(path) }),
      );
    case fullCode:
      return new ProblemError('disk-full', said('problem.disk-full', {}));
    case cantOpenCode:
      return new ProblemError('no-permission', said('problem.no-permission', { path }));
    default:
      return new ProblemError('fault', said('problem.fault', { detail: errorText(error) }));
  }
}

/** A problem's plain text for logs and worker messages. */
export function errorText(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

/** Whether a thrown thing carries a problem, for code that got it across a thread. */
export function problemOf(error: unknown): Problem | null {
  return error instanceof ProblemError ? error.problem : null;
}

/** Node's file errors as the SQLite code that means the same. */
function nodeCode(error: unknown): number | null {
  if (typeof error !== 'object' || error === null || !('code' in error)) return null;
  switch (error.code) {
    case 'ENOSPC':
    case 'EDQUOT':
      return fullCode;
    case 'EACCES':
    case 'EPERM':
    case 'ENOENT':
    case 'ENOTDIR':
    case 'EISDIR':
      return cantOpenCode;
    case 'EROFS':
      return readOnlyCode;
    default:
      return error.code === 'EIO' ? ioErrorCode : null;
  }
}

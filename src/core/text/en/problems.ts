import type { Format } from '../format.ts';

/** Problems: what happened, and what to do next. */
export const problems = {
  'problem.wrong-request': (a: { detail: string }, _f: Format) => `The request could not be understood: ${a.detail}`,
  'problem.not-found': (a: { what: string; name: string }, _f: Format) => `There is no ${a.what} "${a.name}".`,
  'problem.fault': (a: { detail: string }, _f: Format) =>
    `Something went wrong inside the program: ${a.detail}. Nothing was changed; please report it.`,
  'problem.cancelled': (_: Record<string, never>, _f: Format) => 'Cancelled. Nothing was changed.',
  'problem.superseded': (_: Record<string, never>, _f: Format) => 'A newer question took the place of this one.',
  'problem.busy': (a: { holder: string }, _f: Format) =>
    `The store is in use by ${a.holder}. Wait until it is done, then try again.`,
  'problem.store-newer': (_: Record<string, never>, _f: Format) =>
    'This store was written by a newer version of the program. Update the program; the store was not touched.',
  'problem.store-damaged': (a: { store: string; backup: string | null }, _f: Format) =>
    a.backup === null
      ? `The store ${a.store} is damaged and was not changed. No backup lies beside it: choose another store and take the dumps in again; or close the program everywhere, remove ${a.store}-wal and ${a.store}-shm, and put a backup of your own in its place.`
      : `The store ${a.store} is damaged and was not changed. To go back to its newest backup: close the program everywhere, put ${a.store} aside, remove ${a.store}-wal and ${a.store}-shm, copy ${a.backup} to ${a.store}, and take in again what came later.`,
  'problem.read-only': (a: { path: string }, _f: Format) =>
    `The store ${a.path} cannot be written: the file or its folder is read-only. Nothing was changed.`,
  'problem.disk-full': (_: Record<string, never>, _f: Format) =>
    'The disk is full. Nothing was changed; free some space and try again.',
  'problem.no-permission': (a: { path: string }, _f: Format) =>
    `No permission to open ${a.path}. Choose another file, or ask for access.`,
  'problem.conflict': (a: { detail: string }, _f: Format) => `This cannot be done any more: ${a.detail}`,
};

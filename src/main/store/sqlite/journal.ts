/** Writing and reading the journal: one command, one transaction, one entry. */
import type { DatabaseSync } from 'node:sqlite';
import { ProblemError } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';
import type { ChangeRecord, Command, Committed, StoreOp } from '../store.ts';
import { applyOps, currentState, laterConflict, touchedThing } from './apply-ops.ts';
import { allRows, type Cell, firstRow, jsonIn, numberIn, numberOrNull, question, textIn, textOrNull } from './query.ts';

/** The id the next entry gets. Only inside BEGIN IMMEDIATE: nobody else can take it meanwhile. */
export function nextChange(db: DatabaseSync): number {
  const row = firstRow(question(db, "SELECT seq FROM sqlite_sequence WHERE name = 'change'"));
  return (numberOrNull(row?.[0]) ?? 0) + 1;
}

export interface EntryOfJournal {
  readonly id: number;
  readonly kind: string;
  readonly subject: string;
  readonly why: string | null;
  readonly who: string;
  readonly nowMs: number;
  readonly before: readonly StoreOp[];
  readonly after: readonly StoreOp[];
  readonly undoes: number | null;
}

/** Writes an entry under an id from `nextChange`. */
export function writeChange(db: DatabaseSync, entry: EntryOfJournal): void {
  db.prepare(
    'INSERT INTO change (id, made_ms, who, kind, subject, before, after, why, undoes) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)',
  ).run(
    entry.id,
    entry.nowMs,
    entry.who,
    entry.kind,
    entry.subject,
    JSON.stringify(entry.before),
    JSON.stringify(entry.after),
    entry.why,
    entry.undoes,
  );
  const touch = db.prepare('INSERT INTO touched (what, change) VALUES (?, ?) ON CONFLICT DO NOTHING');
  for (const op of entry.after) {
    const thing = touchedThing(op);
    if (thing !== null) touch.run(thing, entry.id);
  }
}

/** Applies a command inside an open transaction. */
export function commitCommand(db: DatabaseSync, command: Command): Committed {
  // Rows name their change before its entry, which needs their state, can be written.
  db.exec('PRAGMA defer_foreign_keys = ON');
  const id = nextChange(db);
  const done = applyOps(db, id, command.ops);
  writeChange(db, { ...command, id, before: done.before, after: done.after, undoes: command.undoes ?? null });
  return { change: id, ops: done.after };
}

/**
 * Takes a change back inside an open transaction.
 *
 * @throws ProblemError not-found; conflict when it was taken back already or a later change touches the same
 */
export function undoChange(db: DatabaseSync, change: number, who: string, nowMs: number): Committed {
  const record = readChange(db, change);
  if (!record) throw new ProblemError('not-found', said('problem.not-found', { what: 'change', name: String(change) }));
  if (record.undoneBy !== null) {
    throw new ProblemError(
      'conflict',
      said('problem.conflict', { detail: `change ${change} was taken back already by change ${record.undoneBy}.` }),
    );
  }
  if (!record.before || record.before.length === 0) {
    throw new ProblemError(
      'conflict',
      said('problem.conflict', { detail: `change ${change} has nothing to take back.` }),
    );
  }
  for (const op of record.after ?? []) {
    if (op.t === 'marks' || op.t === 'end-marks' || op.t === 'undo-marks') continue;
    if (JSON.stringify(currentState(db, op)) === JSON.stringify(op)) continue;
    throw laterConflict(db, laterTouch(db, op, change) ?? change);
  }
  return commitCommand(db, {
    kind: 'undo',
    subject: record.subject,
    why: null,
    who,
    nowMs,
    ops: record.before,
    undoes: change,
  });
}

function laterTouch(db: DatabaseSync, op: StoreOp, change: number): number | null {
  const row = firstRow(
    question(db, 'SELECT max(change) FROM touched WHERE what = ? AND change > ?'),
    touchedThing(op) ?? '',
    change,
  );
  return numberOrNull(row?.[0]);
}

const changeColumns = `c.id, c.made_ms, c.who, c.kind, c.subject, c.before, c.after, c.why, c.undoes,
  (SELECT u.id FROM change u WHERE u.undoes = c.id)`;

function changeFrom(row: readonly Cell[]): ChangeRecord {
  return {
    id: numberIn(row[0]),
    madeMs: numberIn(row[1]),
    who: textIn(row[2]),
    kind: textIn(row[3]),
    subject: textIn(row[4]),
    before: row[5] === null ? null : jsonIn<StoreOp[]>(row[5]),
    after: row[6] === null ? null : jsonIn<StoreOp[]>(row[6]),
    why: textOrNull(row[7]),
    undoes: numberOrNull(row[8]),
    undoneBy: numberOrNull(row[9]),
  };
}

export function readChange(db: DatabaseSync, id: number): ChangeRecord | null {
  const row = firstRow(question(db, `SELECT ${changeColumns} FROM change c WHERE c.id = ?`), id);
  return row && changeFrom(row);
}

/** Newest first. */
export function readChanges(db: DatabaseSync, offset: number, limit: number): ChangeRecord[] {
  return allRows(db, `SELECT ${changeColumns} FROM change c ORDER BY c.id DESC LIMIT ? OFFSET ?`, limit, offset).map(
    changeFrom,
  );
}

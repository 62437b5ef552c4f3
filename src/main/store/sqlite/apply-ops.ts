/** Applies the operations of a command inside an open transaction and says how to take them back. */
import type { DatabaseSync } from 'node:sqlite';
import { ProblemError } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';
import type { TorqueUnit } from '#core/units/torque-unit.ts';
import type { CheckRow, EntryKind, EntryRow, Json, RevisionRow, StoreOp } from '../store.ts';
import { allRows, type Cell, firstRow, jsonIn, numberIn, numberOrNull, question, textIn, textOrNull } from './query.ts';

export interface Applied {
  /** As done, with ids. */
  readonly after: StoreOp[];
  /** What takes it back, in the order in which it must be done. */
  readonly before: StoreOp[];
}

/** Applies operations in order; `change` is the journal entry they belong to, which exists already. */
export function applyOps(db: DatabaseSync, change: number, ops: readonly StoreOp[]): Applied {
  const after: StoreOp[] = [];
  const before: StoreOp[] = [];
  let marks = false;
  for (const op of ops) {
    if (op.t === 'marks' || op.t === 'end-marks' || op.t === 'undo-marks') {
      marks = true;
      after.push(applyMarks(db, change, op));
      continue;
    }
    const id = identified(db, op);
    const was = currentState(db, id);
    put(db, change, id);
    after.push(currentState(db, id));
    before.unshift(was);
  }
  // After all operations: taking back an undo brings the entry and its marks back together.
  const removed = ops.some((op) => op.t === 'undo-marks') ? removedSince(db, change) : null;
  if (removed !== null) throw laterConflict(db, removed);
  if (marks) before.unshift({ t: 'undo-marks', change });
  return { after, before };
}

/** Name of the thing an operation is about, for `touched`; null for marks, which carry their change themselves. */
export function touchedThing(op: StoreOp): string | null {
  switch (op.t) {
    case 'entry':
    case 'check':
    case 'name':
    case 'source':
    case 'study':
      return `${op.t}:${op.id}`;
    case 'recipe':
      return `recipe:${op.fingerprint}`;
    case 'scope':
      return `scope:${op.name}`;
    case 'setting':
      return `setting:${op.key}`;
    default:
      return null;
  }
}

type StateOp = Exclude<StoreOp, { readonly t: 'marks' | 'end-marks' | 'undo-marks' }>;

/** The operation that would make a thing what it is now. */
export function currentState(db: DatabaseSync, op: StateOp): StateOp {
  switch (op.t) {
    case 'entry':
      return { t: 'entry', id: op.id, row: op.id === null ? null : readEntry(db, op.id) };
    case 'check':
      return { t: 'check', id: op.id, row: op.id === null ? null : readCheck(db, op.id) };
    case 'name': {
      const row = firstRow(question(db, 'SELECT entry FROM name WHERE id = ?'), op.id);
      return { t: 'name', id: op.id, entry: numberOrNull(row?.[0]) };
    }
    case 'source': {
      const row = firstRow(question(db, 'SELECT withdrawn FROM source WHERE id = ?'), op.id);
      if (!row) throw new ProblemError('not-found', said('problem.not-found', { what: 'file', name: String(op.id) }));
      return { t: 'source', id: op.id, withdrawn: row[0] !== 0 };
    }
    case 'recipe': {
      const row = firstRow(question(db, 'SELECT name, body FROM recipe WHERE fingerprint = ?'), op.fingerprint);
      return {
        t: 'recipe',
        fingerprint: op.fingerprint,
        row: row && { name: textIn(row[0]), body: jsonIn<Json>(row[1]) },
      };
    }
    case 'study': {
      const row =
        op.id === null ? null : firstRow(question(db, 'SELECT name, body FROM study WHERE id = ? AND gone = 0'), op.id);
      return { t: 'study', id: op.id, row: row && { name: textIn(row[0]), body: jsonIn<Json>(row[1]) } };
    }
    case 'scope': {
      const row = firstRow(question(db, 'SELECT body FROM scope WHERE name = ?'), op.name);
      return { t: 'scope', name: op.name, row: row && jsonIn<Json>(row[0]) };
    }
    case 'setting': {
      const row = firstRow(question(db, 'SELECT value FROM setting WHERE key = ?'), op.key);
      return { t: 'setting', key: op.key, value: row && jsonIn<Json>(row[0]) };
    }
  }
}

/** Gives a new thing its row first, empty and gone, so that "before" and "after" speak of the same id. */
function identified(db: DatabaseSync, op: StateOp): StateOp {
  if (op.t === 'entry' && op.id === null && op.row !== null) {
    const held = firstRow(
      question(db, 'SELECT id FROM entry WHERE kind = ? AND name = ? ORDER BY gone, id LIMIT 1'),
      op.row.kind,
      op.row.name,
    );
    if (held) return { ...op, id: numberIn(held[0]) };
    const made = db
      .prepare("INSERT INTO entry (kind, name, confirmed, gone, body, change) VALUES (?, ?, 0, 1, '{}', 1)")
      .run(op.row.kind, op.row.name);
    return { ...op, id: Number(made.lastInsertRowid) };
  }
  if (op.t === 'check' && op.id === null && op.row !== null) {
    const made = db
      .prepare(
        `INSERT INTO check_log (tool, at, nominal, reference, shown, unit, kind, uncertainty_percent, gone, change)
         VALUES (?, ?, 0, 0, 0, ?, ?, NULL, 1, 1)`,
      )
      .run(toolEntry(db, op.row.tool), op.row.at, op.row.unit, op.row.kind);
    return { ...op, id: Number(made.lastInsertRowid) };
  }
  if (op.t === 'study' && op.id === null && op.row !== null) {
    const made = db.prepare("INSERT INTO study (name, body, gone, change) VALUES (?, '{}', 1, 1)").run(op.row.name);
    return { ...op, id: Number(made.lastInsertRowid) };
  }
  return op;
}

function put(db: DatabaseSync, change: number, op: StateOp): void {
  switch (op.t) {
    case 'entry':
      if (op.id !== null) putEntry(db, change, op.id, op.row);
      return;
    case 'check':
      if (op.row === null) {
        db.prepare('UPDATE check_log SET gone = 1, change = ? WHERE id = ?').run(change, op.id);
      } else {
        const r = op.row;
        db.prepare(
          `UPDATE check_log SET tool = ?, at = ?, nominal = ?, reference = ?, shown = ?, unit = ?, kind = ?,
             uncertainty_percent = ?, gone = 0, change = ? WHERE id = ?`,
        ).run(
          toolEntry(db, r.tool),
          r.at,
          r.nominal,
          r.reference,
          r.shown,
          r.unit,
          r.kind,
          r.uncertaintyPercent,
          change,
          op.id,
        );
      }
      return;
    case 'name':
      if (typeof op.entry === 'string') {
        db.prepare(
          `UPDATE name SET entry = (SELECT e.id FROM entry e WHERE e.kind = name.kind AND e.name = ? AND e.gone = 0)
           WHERE id = ?`,
        ).run(op.entry, op.id);
      } else {
        db.prepare('UPDATE name SET entry = ? WHERE id = ?').run(op.entry, op.id);
      }
      return;
    case 'source':
      db.prepare('UPDATE source SET withdrawn = ? WHERE id = ?').run(op.withdrawn ? 1 : 0, op.id);
      return;
    case 'recipe':
      if (op.row === null) db.prepare('DELETE FROM recipe WHERE fingerprint = ?').run(op.fingerprint);
      else {
        db.prepare(
          `INSERT INTO recipe (fingerprint, name, body, change) VALUES (?, ?, ?, ?)
           ON CONFLICT (fingerprint) DO UPDATE SET name = excluded.name, body = excluded.body, change = excluded.change`,
        ).run(op.fingerprint, op.row.name, JSON.stringify(op.row.body), change);
      }
      return;
    case 'study':
      if (op.row === null) db.prepare('UPDATE study SET gone = 1, change = ? WHERE id = ?').run(change, op.id);
      else {
        db.prepare('UPDATE study SET name = ?, body = ?, gone = 0, change = ? WHERE id = ?').run(
          op.row.name,
          JSON.stringify(op.row.body),
          change,
          op.id,
        );
      }
      return;
    case 'scope':
      if (op.row === null) db.prepare('DELETE FROM scope WHERE name = ?').run(op.name);
      else {
        db.prepare(
          `INSERT INTO scope (name, body, change) VALUES (?, ?, ?)
           ON CONFLICT (name) DO UPDATE SET body = excluded.body, change = excluded.change`,
        ).run(op.name, JSON.stringify(op.row), change);
      }
      return;
    case 'setting':
      if (op.value === null) db.prepare('DELETE FROM setting WHERE key = ?').run(op.key);
      else {
        db.prepare(
          `INSERT INTO setting (key, value, change) VALUES (?, ?, ?)
           ON CONFLICT (key) DO UPDATE SET value = excluded.value, change = excluded.change`,
        ).run(op.key, JSON.stringify(op.value), change);
      }
      return;
  }
}

function putEntry(db: DatabaseSync, change: number, id: number, row: EntryRow | null): void {
  if (row === null) {
    const used = isNamed(db, id);
    // Readings still name it: it falls back to what a dump alone would have made of it.
    db.prepare("UPDATE entry SET gone = ?, confirmed = 0, body = '{}', change = ? WHERE id = ?").run(
      used ? 0 : 1,
      change,
      id,
    );
    db.prepare('DELETE FROM limit_revision WHERE joint = ?').run(id);
    return;
  }
  db.prepare('UPDATE entry SET kind = ?, name = ?, confirmed = ?, gone = 0, body = ?, change = ? WHERE id = ?').run(
    row.kind,
    row.name,
    row.confirmed ? 1 : 0,
    JSON.stringify(row.body),
    change,
    id,
  );
  db.prepare('DELETE FROM limit_revision WHERE joint = ?').run(id);
  const add = db.prepare(
    `INSERT INTO limit_revision (joint, from_ms, unit, low, target, high, low_percent, high_percent, angle_low,
       angle_target, angle_high, batch_size, retry_within_seconds, by_whom, why)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
  );
  for (const r of row.revisions) {
    add.run(
      id,
      r.fromMs,
      r.unit,
      r.low,
      r.target,
      r.high,
      r.lowPercent,
      r.highPercent,
      r.angleLow,
      r.angleTarget,
      r.angleHigh,
      r.batchSize,
      r.retryWithinSeconds,
      r.by,
      r.why,
    );
  }
  if (row.kind !== 'shift') {
    db.prepare(
      `INSERT INTO name (kind, written, entry) VALUES (?, ?, ?)
       ON CONFLICT (kind, written) DO UPDATE SET entry = excluded.entry
       WHERE NOT EXISTS (SELECT 1 FROM entry e WHERE e.id = name.entry AND e.gone = 0)`,
    ).run(row.kind, row.name, id);
  }
}

/** Whether any reading names the entry, as written in its file or as assigned since, or any check is of it. */
function isNamed(db: DatabaseSync, entry: number): boolean {
  if (firstRow(question(db, 'SELECT 1 FROM check_log WHERE tool = ? AND gone = 0 LIMIT 1'), entry) !== null)
    return true;
  const names = allRows(db, 'SELECT id, kind, written FROM name WHERE entry = ?', entry);
  return names.some((row) => {
    const column = textIn(row[1]);
    if (column !== 'tool' && column !== 'operator' && column !== 'joint') return false;
    const assigned = question(db, 'SELECT 1 FROM mark WHERE kind = ? AND ended_by IS NULL AND value = ? LIMIT 1');
    if (firstRow(assigned, column, JSON.stringify(textIn(row[2]))) !== null) return true;
    return firstRow(question(db, `SELECT 1 FROM reading WHERE ${column} = ? LIMIT 1`), numberIn(row[0])) !== null;
  });
}

function toolEntry(db: DatabaseSync, tool: number | string): number {
  if (typeof tool === 'number') return tool;
  const row = firstRow(question(db, "SELECT id FROM entry WHERE kind = 'tool' AND name = ? AND gone = 0"), tool);
  if (!row) throw new ProblemError('not-found', said('problem.not-found', { what: 'tool', name: tool }));
  return numberIn(row[0]);
}

function readEntry(db: DatabaseSync, id: number): EntryRow | null {
  const row = firstRow(question(db, 'SELECT kind, name, confirmed, gone, body FROM entry WHERE id = ?'), id);
  if (row?.[3] !== 0) return null;
  return {
    // The column holds what `putEntry` wrote.
    kind: textIn(row[0]) as EntryKind,
    name: textIn(row[1]),
    confirmed: row[2] !== 0,
    body: jsonIn<{ readonly [key: string]: Json }>(row[4]),
    revisions: revisionsOf(db, id),
  };
}

/** Columns of `limit_revision` in the order `revisionFrom` reads them. */
export const revisionColumns =
  'from_ms, unit, low, target, high, low_percent, high_percent, angle_low, angle_target, angle_high, batch_size, retry_within_seconds, by_whom, why';

/** A revision from a row that starts with `revisionColumns`. */
export function revisionFrom(row: readonly Cell[]): RevisionRow {
  return {
    fromMs: numberIn(row[0]),
    // The column holds a code that the register's schema accepted.
    unit: textIn(row[1]) as TorqueUnit,
    low: numberOrNull(row[2]),
    target: numberOrNull(row[3]),
    high: numberOrNull(row[4]),
    lowPercent: numberOrNull(row[5]),
    highPercent: numberOrNull(row[6]),
    angleLow: numberOrNull(row[7]),
    angleTarget: numberOrNull(row[8]),
    angleHigh: numberOrNull(row[9]),
    batchSize: numberOrNull(row[10]),
    retryWithinSeconds: numberOrNull(row[11]),
    by: textOrNull(row[12]),
    why: textOrNull(row[13]),
  };
}

function revisionsOf(db: DatabaseSync, joint: number): RevisionRow[] {
  return allRows(db, `SELECT ${revisionColumns} FROM limit_revision WHERE joint = ? ORDER BY from_ms`, joint).map(
    revisionFrom,
  );
}

/** Columns of `check_log` in the order `checkFrom` reads them. */
export const checkColumns = 'tool, at, nominal, reference, shown, unit, kind, uncertainty_percent';

/** A check pull from a row that starts with `checkColumns`. */
export function checkFrom(row: readonly Cell[]): CheckRow & { readonly tool: number } {
  return {
    tool: numberIn(row[0]),
    at: numberIn(row[1]),
    nominal: numberIn(row[2]),
    reference: numberIn(row[3]),
    shown: numberIn(row[4]),
    // Both columns hold what the register's schema accepted.
    unit: textIn(row[5]) as TorqueUnit,
    kind: textIn(row[6]) as 'as-found' | 'as-left',
    uncertaintyPercent: numberOrNull(row[7]),
  };
}

function readCheck(db: DatabaseSync, id: number): CheckRow | null {
  const row = firstRow(question(db, `SELECT ${checkColumns} FROM check_log WHERE id = ? AND gone = 0`), id);
  return row && checkFrom(row);
}

function applyMarks(
  db: DatabaseSync,
  change: number,
  op: Extract<StoreOp, { readonly t: 'marks' | 'end-marks' | 'undo-marks' }>,
): StoreOp {
  if (op.t === 'undo-marks') {
    // A mark that was ended, and set again by taking that back, lives on as a copy that names its origin.
    const ended = firstRow(
      question(
        db,
        `SELECT max(m.ended_by) FROM mark m WHERE m.change = ?1 AND m.ended_by IS NOT NULL AND NOT EXISTS (
           SELECT 1 FROM mark c WHERE c.reading = m.reading AND c.kind = m.kind AND c.origin = ?1 AND c.ended_by IS NULL)`,
      ),
      op.change,
    );
    const later = numberOrNull(ended?.[0]);
    if (later !== null) throw laterConflict(db, later);
    db.prepare('UPDATE mark SET ended_by = ?1 WHERE (change = ?2 OR origin = ?2) AND ended_by IS NULL').run(
      change,
      op.change,
    );
    // What that change had ended is set again; `origin` keeps who said it first.
    db.prepare(
      `INSERT INTO mark (change, reading, kind, value, origin)
       SELECT ?, reading, kind, value, coalesce(origin, change) FROM mark WHERE ended_by = ? AND change <> ? ORDER BY id`,
    ).run(change, op.change, op.change);
    return op;
  }
  if (op.t === 'end-marks' || op.replaces) {
    const end = db.prepare('UPDATE mark SET ended_by = ? WHERE reading = ? AND kind = ? AND ended_by IS NULL');
    for (const reading of op.readings) end.run(change, reading, op.kind);
  }
  if (op.t === 'marks') {
    const add = db.prepare('INSERT INTO mark (change, reading, kind, value) VALUES (?, ?, ?, ?)');
    for (const reading of op.readings) add.run(change, reading, op.kind, op.value);
  }
  // The readings stand in `mark` under the change's id: not twice.
  return { ...op, readings: [] };
}

/** The change that removed an entry which marks of `change` assign readings to; null: all of them are there. */
function removedSince(db: DatabaseSync, change: number): number | null {
  const assigned = allRows(
    db,
    "SELECT DISTINCT kind, value FROM mark WHERE change = ? AND kind IN ('tool', 'operator', 'joint')",
    change,
  );
  for (const [kind, value] of assigned) {
    // Written by the engine: a name, or null for none.
    const written = jsonIn<string | null>(value);
    if (written === null) continue;
    const entry = firstRow(
      question(
        db,
        'SELECT e.change FROM name n JOIN entry e ON e.id = n.entry WHERE n.kind = ? AND n.written = ? AND e.gone = 1',
      ),
      textIn(kind),
      written,
    );
    if (entry) return numberIn(entry[0]);
  }
  return null;
}

/** The conflict that names the change standing in the way. */
export function laterConflict(db: DatabaseSync, later: number): ProblemError {
  const row = firstRow(question(db, 'SELECT who, kind, subject FROM change WHERE id = ?'), later);
  const detail = row
    ? `change ${later} (${textIn(row[1])}, ${textIn(row[2])}, by ${textIn(row[0])}) came after it and touches the same. Undo that one first.`
    : `change ${later} came after it.`;
  return new ProblemError('conflict', said('problem.conflict', { detail }));
}

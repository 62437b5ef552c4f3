/** Takes a read file into the store, whole or not at all; and counts beforehand what that would do. */
import type { DatabaseSync } from 'node:sqlite';
import { ProblemError } from '#core/contract/problems.ts';
import { noUnit } from '#core/intake/row-batch.ts';
import { said } from '#core/text/said.ts';
import type { BatchNames, HeldCount, NameKind, TakeInFile, TakenIn } from '../store.ts';
import { nextChange, writeChange } from './journal.ts';
import { overlapOf } from './overlap.ts';
import { type NameIds, type Placement, RowPlacer } from './place-rows.ts';
import { firstRow, numberIn, numberOrNull, question } from './query.ts';
import { stepMs } from './readings-page.ts';

/** Rows between two looks at cancel and two reports of progress. */
const rowsPerStep = 16_384;

/** Counts what `takeIn` would do; only reads. */
export async function probe(db: DatabaseSync, file: TakeInFile, cancelled: () => boolean): Promise<HeldCount> {
  // One read transaction: looking rows up one by one outside of it costs three times as much.
  db.exec('BEGIN');
  try {
    const ids = await knownNames(db, file);
    const overlap = await overlapOf(db, file, ids);
    const placer = new RowPlacer(db, ids, { jointFromFile: file.facts.jointFromFile, ...overlap.placing });
    const place: Placement = { held: 0, key: null, k: 0 };
    let accepted = 0;
    let alreadyHeld = 0;
    let acceptedLines = 0;
    let alreadyHeldLines = 0;
    for await (const { batch } of file.rows()) {
      if (cancelled()) throw new ProblemError('cancelled', said('problem.cancelled', {}));
      for (let i = 0; i < batch.length; i++) {
        placer.place(batch, i, place);
        if (place.held === 0) {
          accepted++;
          acceptedLines += batch.lines[i]!;
        } else {
          alreadyHeld++;
          alreadyHeldLines += batch.lines[i]!;
        }
      }
    }
    return { accepted, alreadyHeld, acceptedLines, alreadyHeldLines, overlap: overlap.doubt };
  } finally {
    if (db.isTransaction) db.exec('COMMIT');
  }
}

/** Inside BEGIN IMMEDIATE; the caller commits, or rolls back when this throws. */
export async function takeIn(
  db: DatabaseSync,
  file: TakeInFile,
  onRows: (rows: number) => void,
  cancelled: () => boolean,
): Promise<TakenIn> {
  // Rows name a change and a source that are written last, when their counts are known.
  db.exec('PRAGMA defer_foreign_keys = ON');
  const change = nextChange(db);
  const source =
    numberOrNull(firstRow(question(db, "SELECT seq FROM sqlite_sequence WHERE name = 'source'"))?.[0]) ?? 0;
  const sourceId = source + 1;
  const overlap = await overlapOf(db, file, await knownNames(db, file));
  if (overlap.doubt) {
    throw new ProblemError('needs-answer', said('problem.conflict', { detail: 'the question "overlap" is open.' }));
  }
  const names = storedNames(db, file, change);
  const placer = new RowPlacer(db, names, { jointFromFile: file.facts.jointFromFile, ...overlap.placing });

  const addPiece = db.prepare(
    'INSERT INTO source_chunk (source, seq, first_line, first_byte, deflated) VALUES (?, ?, ?, ?, ?)',
  );
  for await (const piece of file.pieces()) {
    stopIf(cancelled);
    addPiece.run(sourceId, piece.seq, piece.firstLine, piece.firstByte, piece.deflated);
  }

  const add = db.prepare(
    `INSERT INTO reading (key, source, line, at, at_step, tool, operator, joint, torque, torque_decimals, unit, angle,
       own, sequence, k, more) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
  );
  const sight = db.prepare('INSERT INTO sighting (source, reading, line) VALUES (?, ?, ?) ON CONFLICT DO NOTHING');
  const rare = new RareFacts(db);
  const place: Placement = { held: 0, key: null, k: 0 };
  let accepted = 0;
  let alreadyHeld = 0;
  let acceptedLines = 0;
  let alreadyHeldLines = 0;
  let sinceStep = 0;
  for await (const { batch, names: batchNames } of file.rows()) {
    rare.begin(batchNames);
    for (let i = 0; i < batch.length; i++) {
      placer.place(batch, i, place);
      const line = batch.line[i]!;
      if (place.held !== 0) {
        sight.run(sourceId, place.held, line);
        alreadyHeld++;
        alreadyHeldLines += batch.lines[i]!;
        continue;
      }
      accepted++;
      acceptedLines += batch.lines[i]!;
      const tool = batch.tool[i]!;
      const torque = batch.torque[i]!;
      const unit = batch.unit[i]!;
      const own = batch.own[i]!;
      const operator = batch.operator[i]!;
      const joint = batch.joint[i]!;
      const hasTorque = !Number.isNaN(torque);
      // NaN would be bound as NULL silently; said here so that it is meant.
      add.run(
        place.key,
        sourceId,
        line,
        numberOrNothing(batch.at[i]!),
        stepMs(batch.atStep[i]!),
        tool < 0 ? names.unnamedTool() : names.tool[tool]!,
        operator < 0 ? null : names.operator[operator]!,
        joint < 0 ? null : names.joint[joint]!,
        hasTorque ? torque : null,
        hasTorque ? batch.decimals[i]! : null,
        hasTorque && unit !== noUnit ? unit : null,
        numberOrNothing(batch.angle[i]!),
        own === 0 ? null : own,
        numberOrNothing(batch.sequence[i]!),
        place.k,
        rare.id(batch, i),
      );
    }
    sinceStep += batch.length;
    if (sinceStep >= rowsPerStep) {
      sinceStep = 0;
      stopIf(cancelled);
      onRows(accepted + alreadyHeld);
    }
  }

  const reject = db.prepare('INSERT INTO rejected (source, line, lines, code, column_name) VALUES (?, ?, ?, ?, ?)');
  let rejected = 0;
  for await (const rows of file.rejected()) {
    stopIf(cancelled);
    for (const row of rows) reject.run(sourceId, row.line, row.lines, row.code, row.column);
    rejected += rows.length;
  }
  const notice = db.prepare('INSERT INTO notice (source, key, args, lines) VALUES (?, ?, ?, ?)');
  for (const row of file.notices) notice.run(sourceId, row.key, row.args, row.lines);

  const lines = { ...file.lines, accepted: acceptedLines, alreadyHeld: alreadyHeldLines };
  db.prepare(
    `INSERT INTO source (id, change, name, sha256, bytes, taken_ms, recipe, facts, accounting)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
  ).run(
    sourceId,
    change,
    file.name,
    Buffer.from(file.sha256, 'hex'),
    file.bytes,
    file.nowMs,
    JSON.stringify(file.recipe),
    JSON.stringify(file.facts),
    JSON.stringify({ lines, accepted, alreadyHeld, rejected }),
  );
  writeChange(db, {
    id: change,
    kind: 'intake',
    subject: file.name,
    why: null,
    who: file.who,
    nowMs: file.nowMs,
    before: [{ t: 'source', id: sourceId, withdrawn: true }],
    after: [{ t: 'source', id: sourceId, withdrawn: false }],
    undoes: null,
  });
  stopIf(cancelled);
  return { source: sourceId, change, accepted, alreadyHeld, acceptedLines, alreadyHeldLines, overlap: null };
}

function stopIf(cancelled: () => boolean): void {
  if (cancelled()) throw new ProblemError('cancelled', said('problem.cancelled', {}));
}

function numberOrNothing(value: number): number | null {
  return Number.isNaN(value) ? null : value;
}

/** Ids of the file's names that are known; -1 for the others. */
async function knownNames(db: DatabaseSync, file: TakeInFile): Promise<NameIds> {
  const find = question(db, 'SELECT id FROM name WHERE kind = ? AND written = ?');
  const ids = (kind: NameKind, written: readonly string[]): Int32Array =>
    Int32Array.from(written, (name) => numberOrNull(firstRow(find, kind, name)?.[0]) ?? -1);
  return { tool: ids('tool', file.names.tool), joint: ids('joint', file.names.joint) };
}

interface StoredNameIds extends NameIds {
  readonly operator: Int32Array;
  /** Id for rows whose tool nothing names (the question `tool` answered with an empty name). */
  unnamedTool(): number;
}

/** Ids of the file's names; a name met for the first time becomes an unconfirmed entry of the register. */
function storedNames(db: DatabaseSync, file: TakeInFile, change: number): StoredNameIds {
  const findName = question(db, 'SELECT id, entry FROM name WHERE kind = ? AND written = ?');
  const findEntry = question(db, 'SELECT id, gone FROM entry WHERE kind = ? AND name = ? ORDER BY gone, id LIMIT 1');
  const entryFor = (kind: NameKind, written: string): number => {
    const held = firstRow(findEntry, kind, written);
    if (!held) {
      const made = db
        .prepare("INSERT INTO entry (kind, name, confirmed, gone, body, change) VALUES (?, ?, 0, 0, '{}', ?)")
        .run(kind, written, change);
      return Number(made.lastInsertRowid);
    }
    const id = numberIn(held[0]);
    if (held[1] !== 0) {
      db.prepare("UPDATE entry SET gone = 0, confirmed = 0, body = '{}', change = ? WHERE id = ?").run(change, id);
    }
    return id;
  };
  const idFor = (kind: NameKind, written: string): number => {
    const held = firstRow(findName, kind, written);
    if (held) {
      const id = numberIn(held[0]);
      const entry = numberOrNull(held[1]);
      const gone =
        entry === null || firstRow(question(db, 'SELECT 1 FROM entry WHERE id = ? AND gone = 0'), entry) === null;
      if (gone) db.prepare('UPDATE name SET entry = ? WHERE id = ?').run(entryFor(kind, written), id);
      return id;
    }
    const made = db
      .prepare('INSERT INTO name (kind, written, entry) VALUES (?, ?, ?)')
      .run(kind, written, entryFor(kind, written));
    return Number(made.lastInsertRowid);
  };
  let unnamed = 0;
  return {
    tool: Int32Array.from(file.names.tool, (name) => idFor('tool', name)),
    operator: Int32Array.from(file.names.operator, (name) => idFor('operator', name)),
    joint: Int32Array.from(file.names.joint, (name) => idFor('joint', name)),
    unnamedTool: () => {
      if (unnamed === 0) unnamed = idFor('tool', '?');
      return unnamed;
    },
  };
}

/** Writes the facts that few readings have, each combination once while it repeats. */
class RareFacts {
  readonly #add;
  #names: BatchNames = { fastener: [], batch: [], station: [], note: [] };
  #recent = new Map<string, number>();

  constructor(db: DatabaseSync) {
    this.#add = db.prepare(
      `INSERT INTO more (fastener, batch, batch_position, batch_size, target, low, high, station, note)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    );
  }

  /** Says what the name positions of the next rows mean. */
  begin(names: BatchNames): void {
    this.#names = names;
  }

  id(b: Parameters<RowPlacer['place']>[0], i: number): number | null {
    const fastener = b.fastener[i]!;
    const batch = b.batch[i]!;
    const position = b.batchPosition[i]!;
    const size = b.batchSize[i]!;
    const target = b.target[i]!;
    const low = b.low[i]!;
    const high = b.high[i]!;
    const station = b.station[i]!;
    const note = b.note[i]!;
    const nothing =
      fastener < 0 &&
      batch < 0 &&
      position < 0 &&
      size < 0 &&
      station < 0 &&
      note < 0 &&
      Number.isNaN(target) &&
      Number.isNaN(low) &&
      Number.isNaN(high);
    if (nothing) return null;
    const names = this.#names;
    const facts = [
      fastener < 0 ? null : names.fastener[fastener]!,
      batch < 0 ? null : names.batch[batch]!,
      position < 0 ? null : position,
      size < 0 ? null : size,
      numberOrNothing(target),
      numberOrNothing(low),
      numberOrNothing(high),
      station < 0 ? null : names.station[station]!,
      note < 0 ? null : names.note[note]!,
    ];
    const key = JSON.stringify(facts);
    const held = this.#recent.get(key);
    if (held !== undefined) return held;
    const made = this.#add.run(...facts);
    const id = Number(made.lastInsertRowid);
    if (this.#recent.size >= 4096) this.#recent = new Map();
    this.#recent.set(key, id);
    return id;
  }
}

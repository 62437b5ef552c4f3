/** Takes a read file into the store, whole or not at all; and counts beforehand what that would do. */
import type { DatabaseSync, StatementSync } from 'node:sqlite';
import { ProblemError } from '#core/contract/problems.ts';
import { noUnit, type RowBatch } from '#core/intake/row-batch.ts';
import { said } from '#core/text/said.ts';
import type { BatchNames, HeldCount, NameKind, TakeInFile, TakenIn } from '../store.ts';
import { FreshRows, readingColumns } from './fresh-rows.ts';
import { keysPerSecond } from './identity.ts';
import { nextChange, writeChange } from './journal.ts';
import { holdsNothingOf, overlapOf } from './overlap.ts';
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
    if (holdsNothingOf(db, file)) {
      // Every row is new, repeated ones too.
      return {
        accepted: file.rowCount,
        alreadyHeld: 0,
        acceptedLines: file.lines.accepted,
        alreadyHeldLines: 0,
        overlap: null,
      };
    }
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
  const same = firstRow(question(db, 'SELECT id FROM source WHERE sha256 = ?'), Buffer.from(file.sha256, 'hex'));
  if (same) {
    const detail = `another process has taken these very bytes in meanwhile, as file ${numberIn(same[0])}.`;
    throw new ProblemError('conflict', said('problem.conflict', { detail }));
  }
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

  const add = new ManyRows(db, `reading (${readingColumns})`, 16);
  const fresh = new FreshRows(db, sourceId, names);
  const sight = db.prepare('INSERT INTO sighting (source, reading, line) VALUES (?, ?, ?) ON CONFLICT DO NOTHING');
  const rare = new RareFacts(db);
  // Rows wait in `add` for their statement to be full; whatever looks keys up must see them.
  placer.beforeLookUp = (second) => {
    if (add.isWaiting(second)) add.flush();
  };
  const place: Placement = { held: 0, key: null, k: 0 };
  let accepted = 0;
  let alreadyHeld = 0;
  let acceptedLines = 0;
  let alreadyHeldLines = 0;
  let sinceStep = 0;
  const placeRow = (batch: RowBatch, i: number, more: number | null): void => {
    placer.place(batch, i, place);
    const line = batch.line[i]!;
    if (place.held !== 0) {
      sight.run(sourceId, place.held, line);
      alreadyHeld++;
      alreadyHeldLines += batch.lines[i]!;
      return;
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
    const row = add.next();
    const values = add.values;
    values[row] = place.key;
    add.note(row, place.key === null ? Number.NaN : Math.floor(place.key / keysPerSecond));
    values[row + 1] = sourceId;
    values[row + 2] = line;
    values[row + 3] = numberOrNothing(batch.at[i]!);
    values[row + 4] = stepMs(batch.atStep[i]!);
    values[row + 5] = tool < 0 ? names.unnamedTool() : names.tool[tool]!;
    values[row + 6] = operator < 0 ? null : names.operator[operator]!;
    values[row + 7] = joint < 0 ? null : names.joint[joint]!;
    values[row + 8] = hasTorque ? torque : null;
    values[row + 9] = hasTorque ? batch.decimals[i]! : null;
    values[row + 10] = hasTorque && unit !== noUnit ? unit : null;
    values[row + 11] = numberOrNothing(batch.angle[i]!);
    values[row + 12] = own === 0 ? null : own;
    values[row + 13] = numberOrNothing(batch.sequence[i]!);
    values[row + 14] = place.k;
    values[row + 15] = more;
  };
  for await (const { batch, names: batchNames } of file.rows()) {
    rare.begin(batchNames);
    const hasFacts = rare.isNeeded(batch);
    // Rows have ids in the order of their lines: what waits goes first.
    add.flush();
    if (placer.beginsAfresh(batch)) {
      const before = accepted + alreadyHeld;
      const linesBefore = acceptedLines + alreadyHeldLines;
      let placed = 0;
      fresh.write(batch, hasFacts ? (i) => rare.id(batch, i) : null, (i, more) => {
        placeRow(batch, i, more);
        add.flush();
        placed++;
      });
      accepted += batch.length - placed;
      let lines = 0;
      for (let i = 0; i < batch.length; i++) lines += batch.lines[i]!;
      acceptedLines += lines - (acceptedLines + alreadyHeldLines - linesBefore);
      if (accepted + alreadyHeld - before !== batch.length) throw new Error('rows of a batch were lost');
    } else {
      for (let i = 0; i < batch.length; i++) placeRow(batch, i, hasFacts ? rare.id(batch, i) : null);
    }
    sinceStep += batch.length;
    if (sinceStep >= rowsPerStep) {
      sinceStep = 0;
      stopIf(cancelled);
      onRows(accepted + alreadyHeld);
    }
  }

  add.flush();
  rare.flush();

  // Behind the rows: a page written to the log early and changed again late makes the commit sum up the log once more
  // from there on, and the pages that list the pieces would be such.
  const addPiece = db.prepare(
    'INSERT INTO source_chunk (source, seq, first_line, first_byte, deflated) VALUES (?, ?, ?, ?, ?)',
  );
  for await (const piece of file.pieces()) {
    stopIf(cancelled);
    addPiece.run(sourceId, piece.seq, piece.firstLine, piece.firstByte, piece.deflated);
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
export async function knownNames(db: DatabaseSync, file: TakeInFile): Promise<NameIds> {
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

/**
 * Inserts rows many at a time: one statement for 16 rows costs two thirds of 16 statements.
 *
 * `next` gives the place in `values` at which the next row's values are to be written.
 */
class ManyRows {
  readonly values: (number | string | null)[];
  readonly #full: StatementSync;
  readonly #single: StatementSync;
  readonly #width: number;
  readonly #seconds = new Float64Array(rowsPerStatement);
  #used = 0;

  constructor(db: DatabaseSync, into: string, width: number) {
    const row = `(${Array.from({ length: width }, () => '?').join(', ')})`;
    this.#width = width;
    this.values = new Array(rowsPerStatement * width).fill(null);
    this.#full = db.prepare(`INSERT INTO ${into} VALUES ${new Array(rowsPerStatement).fill(row).join(', ')}`);
    this.#single = db.prepare(`INSERT INTO ${into} VALUES ${row}`);
  }

  next(): number {
    if (this.#used === this.values.length) {
      this.#full.run(...this.values);
      this.#used = 0;
    }
    this.#used += this.#width;
    return this.#used - this.#width;
  }

  /** Notes the second of the row written at `row`, for `isWaiting`. */
  note(row: number, second: number): void {
    this.#seconds[row / this.#width] = second;
  }

  /** Whether a row of this second waits for its statement. */
  isWaiting(second: number): boolean {
    const rows = this.#used / this.#width;
    for (let i = 0; i < rows; i++) if (this.#seconds[i] === second) return true;
    return false;
  }

  flush(): void {
    if (this.#used === this.values.length) this.#full.run(...this.values);
    else {
      for (let at = 0; at < this.#used; at += this.#width) {
        this.#single.run(...this.values.slice(at, at + this.#width));
      }
    }
    this.#used = 0;
  }
}

const rowsPerStatement = 16;
/** Combinations of rare facts that are remembered, to be written once while they repeat. */
const rememberedFacts = 1024;

/** Writes the facts that few readings have, each combination once while it repeats. */
class RareFacts {
  readonly #add: ManyRows;
  #names: BatchNames = { fastener: [], batch: [], station: [], note: [] };
  #recent = new Map<string, number>();
  #nextId: number;

  constructor(db: DatabaseSync) {
    this.#nextId = numberIn(firstRow(question(db, 'SELECT coalesce(max(id), 0) FROM more'))?.[0]) + 1;
    this.#add = new ManyRows(
      db,
      'more (id, fastener, batch, batch_position, batch_size, target, low, high, station, note)',
      10,
    );
  }

  /** Says what the name positions of the next rows mean. */
  begin(names: BatchNames): void {
    this.#names = names;
    // The remembered combinations speak of positions in the names of their batch.
    this.#recent.clear();
  }

  flush(): void {
    this.#add.flush();
  }

  /** Whether any row of the batch has a rare fact. */
  isNeeded(b: RowBatch): boolean {
    const n = b.length;
    return (
      someIndex(b.fastener, n) ||
      someIndex(b.batch, n) ||
      someIndex(b.batchPosition, n) ||
      someIndex(b.batchSize, n) ||
      someIndex(b.station, n) ||
      someIndex(b.note, n) ||
      someNumber(b.target, n) ||
      someNumber(b.low, n) ||
      someNumber(b.high, n)
    );
  }

  id(b: RowBatch, i: number): number | null {
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
    // An id of one fastener or a place in one batch is not met again: looking for it would only cost.
    const repeats = fastener < 0 && (batch < 0 || position < 0);
    const key = repeats ? `${batch} ${position} ${size} ${target} ${low} ${high} ${station} ${note}` : '';
    if (repeats) {
      const held = this.#recent.get(key);
      if (held !== undefined) return held;
    }
    const names = this.#names;
    const id = this.#nextId++;
    const row = this.#add.next();
    const values = this.#add.values;
    values[row] = id;
    values[row + 1] = fastener < 0 ? null : names.fastener[fastener]!;
    values[row + 2] = batch < 0 ? null : names.batch[batch]!;
    values[row + 3] = position < 0 ? null : position;
    values[row + 4] = size < 0 ? null : size;
    values[row + 5] = numberOrNothing(target);
    values[row + 6] = numberOrNothing(low);
    values[row + 7] = numberOrNothing(high);
    values[row + 8] = station < 0 ? null : names.station[station]!;
    values[row + 9] = note < 0 ? null : names.note[note]!;
    if (repeats) {
      if (this.#recent.size >= rememberedFacts) this.#recent.clear();
      this.#recent.set(key, id);
    }
    return id;
  }
}

function someIndex(column: Int32Array, n: number): boolean {
  for (let i = 0; i < n; i++) if (column[i]! >= 0) return true;
  return false;
}

function someNumber(column: Float64Array, n: number): boolean {
  for (let i = 0; i < n; i++) if (!Number.isNaN(column[i]!)) return true;
  return false;
}

/** The store on one SQLite file. One instance is one connection; each thread opens its own. */
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import type { DatabaseSync } from 'node:sqlite';
import { inflateRawSync } from 'node:zlib';
import { ProblemError } from '#core/contract/problems.ts';
import type { HeldEvidence } from '#core/intake/read-plan.ts';
import { said } from '#core/text/said.ts';
import { schemaVersion } from '../migrations/migrations.ts';
import type {
  ChangeRecord,
  Command,
  Committed,
  EntryKind,
  HeldCount,
  Json,
  MarkKind,
  NameKind,
  RecipeRow,
  RevisionRow,
  SourceAccounting,
  SourceFacts,
  Store,
  StoredCheck,
  StoredEntry,
  StoredMark,
  StoredName,
  StoredReadings,
  StoredRejected,
  StoredSource,
  StoreSummary,
  StudyRow,
  TakeInFile,
  TakenIn,
} from '../store.ts';
import { checkColumns, checkFrom, revisionColumns, revisionFrom } from './apply-ops.ts';
import { EarlySync } from './early-sync.ts';
import { heldEvidence, type OpenHypotheses } from './held-evidence.ts';
import { commitCommand, readChange, readChanges, undoChange } from './journal.ts';
import { backUp, openDatabase, userVersion } from './open-database.ts';
import {
  allRows,
  bytesIn,
  type Cell,
  eachRow,
  firstRow,
  jsonIn,
  numberIn,
  numberOrNull,
  question,
  textIn,
  textOrNull,
} from './query.ts';
import { readingsPage } from './readings-page.ts';
import { isBusy, storeProblem } from './sqlite-problem.ts';
import { probe, takeIn } from './take-in.ts';

export interface SqliteStoreOptions {
  readonly path: string;
  readonly programVersion: string;
  readonly clock: () => number;
  /** How long a write waits for another process's before it is `busy`. */
  readonly waitMs: number;
}

/** How long SQLite itself waits: it blocks the thread meanwhile, so the rest of the wait is ours, in turns. */
const blockMs = 50;

/**
 * Opens a store.
 *
 * @throws ProblemError store-damaged, no-permission, disk-full, busy
 */
export function openSqliteStore(options: SqliteStoreOptions): SqliteStore {
  const opened = openDatabase({
    path: options.path,
    programVersion: options.programVersion,
    waitMs: options.waitMs,
    nowMs: options.clock(),
  });
  opened.db.exec(`PRAGMA busy_timeout = ${blockMs}`);
  return new SqliteStore(opened.db, options, opened.readOnly, opened.newer);
}

export class SqliteStore implements Store {
  readonly path: string;
  readonly #db: DatabaseSync;
  readonly #options: SqliteStoreOptions;
  #readOnly: boolean;
  #newer: boolean;
  #open = true;
  #writing: Promise<unknown> = Promise.resolve();

  constructor(db: DatabaseSync, options: SqliteStoreOptions, readOnly: boolean, newer: boolean) {
    this.#db = db;
    this.#options = options;
    this.path = options.path;
    this.#readOnly = readOnly;
    this.#newer = newer;
  }

  get readOnly(): boolean {
    return this.#readOnly;
  }

  get newer(): boolean {
    return this.#newer;
  }

  async dataVersion(): Promise<number> {
    return this.#read((db) => {
      const version = Number(db.prepare('PRAGMA data_version').get()?.data_version ?? 0);
      if (version !== this.#lastDataVersion) {
        this.#lastDataVersion = version;
        // Another process may have brought the store to a newer schema under our feet.
        if (userVersion(db) > schemaVersion) {
          this.#readOnly = true;
          this.#newer = true;
        }
      }
      return version;
    });
  }
  #lastDataVersion = -1;

  async summary(): Promise<StoreSummary> {
    return this.#read((db) => {
      const change = firstRow(question(db, 'SELECT coalesce(max(id), 0) FROM change'));
      const bounds = firstRow(question(db, 'SELECT (SELECT min(key) FROM reading), (SELECT max(key) FROM reading)'));
      const sources = firstRow(question(db, 'SELECT count(*) FROM source'));
      // Nothing is ever deleted and a rollback gives its ids back: the last id is the count, without counting a million.
      const readings = firstRow(question(db, 'SELECT coalesce(max(id), 0) FROM reading'));
      const second = (cell: Cell | undefined): number | null =>
        typeof cell === 'number' ? Math.floor(cell / 2_097_152) * 1000 : null;
      return {
        readings: numberIn(readings?.[0]),
        sources: numberIn(sources?.[0]),
        from: second(bounds?.[0]),
        to: second(bounds?.[1]),
        lastChange: numberIn(change?.[0]),
      };
    });
  }

  commit(command: Command): Promise<Committed> {
    return this.#write((db) => commitCommand(db, command));
  }

  undo(change: number, who: string, nowMs: number): Promise<Committed> {
    return this.#write((db) => undoChange(db, change, who, nowMs));
  }

  async readingsAfter(id: number, limit: number): Promise<StoredReadings> {
    return this.#read((db) => readingsPage(db, id, limit));
  }

  async sources(): Promise<StoredSource[]> {
    return this.#read((db) => allRows(db, `SELECT ${sourceColumns} FROM source ORDER BY id`).map(sourceFrom));
  }

  async sourceBySha256(sha256: string): Promise<StoredSource | null> {
    return this.#read((db) => {
      const row = firstRow(
        question(db, `SELECT ${sourceColumns} FROM source WHERE sha256 = ?`),
        Buffer.from(sha256, 'hex'),
      );
      return row && sourceFrom(row);
    });
  }

  async sourceRecipe(source: number): Promise<Json> {
    return this.#read((db) => {
      const row = firstRow(question(db, 'SELECT recipe FROM source WHERE id = ?'), source);
      return row ? jsonIn<Json>(row[0]) : null;
    });
  }

  async sightings(): Promise<Int32Array> {
    return this.#read((db) => {
      const count = numberIn(firstRow(question(db, 'SELECT count(*) FROM sighting'))?.[0]);
      const flat = new Int32Array(count * 3);
      let n = 0;
      const sql = 'SELECT s.source, s.reading, r.source FROM sighting s JOIN reading r ON r.id = s.reading';
      for (const row of eachRow(question(db, sql))) {
        flat[n++] = numberIn(row[0]);
        flat[n++] = numberIn(row[1]);
        flat[n++] = numberIn(row[2]);
      }
      return flat.subarray(0, n);
    });
  }

  async entries(): Promise<StoredEntry[]> {
    return this.#read((db) => {
      const revisions = new Map<number, RevisionRow[]>();
      for (const row of allRows(db, `SELECT ${revisionColumns}, joint FROM limit_revision ORDER BY joint, from_ms`)) {
        const joint = numberIn(row[14]);
        const list = revisions.get(joint);
        if (list) list.push(revisionFrom(row));
        else revisions.set(joint, [revisionFrom(row)]);
      }
      return allRows(db, 'SELECT id, kind, name, confirmed, body, change FROM entry WHERE gone = 0 ORDER BY id').map(
        (row) => ({
          id: numberIn(row[0]),
          // The column holds what the program wrote.
          kind: textIn(row[1]) as EntryKind,
          name: textIn(row[2]),
          confirmed: row[3] !== 0,
          body: jsonIn<{ readonly [key: string]: Json }>(row[4]),
          revisions: revisions.get(numberIn(row[0])) ?? [],
          change: numberIn(row[5]),
        }),
      );
    });
  }

  async checks(): Promise<StoredCheck[]> {
    return this.#read((db) =>
      allRows(db, `SELECT ${checkColumns}, id FROM check_log WHERE gone = 0 ORDER BY at, id`).map((row) => ({
        id: numberIn(row[8]),
        row: checkFrom(row),
      })),
    );
  }

  async names(): Promise<StoredName[]> {
    return this.#read((db) =>
      allRows(db, 'SELECT id, kind, written, entry FROM name ORDER BY id').map((row) => ({
        id: numberIn(row[0]),
        // The column holds what the program wrote.
        kind: textIn(row[1]) as NameKind,
        written: textIn(row[2]),
        entry: numberOrNull(row[3]),
      })),
    );
  }

  async activeMarks(): Promise<StoredMark[]> {
    return this.#read((db) =>
      allRows(
        db,
        `SELECT m.id, m.change, m.reading, m.kind, m.value, c.who, c.made_ms FROM mark m
         JOIN change c ON c.id = coalesce(m.origin, m.change) WHERE m.ended_by IS NULL ORDER BY m.id`,
      ).map((row) => ({
        id: numberIn(row[0]),
        change: numberIn(row[1]),
        reading: numberIn(row[2]),
        // The column holds what the program wrote.
        kind: textIn(row[3]) as MarkKind,
        value: textIn(row[4]),
        who: textIn(row[5]),
        madeMs: numberIn(row[6]),
      })),
    );
  }

  async recipes(): Promise<(RecipeRow & { readonly fingerprint: string; readonly savedMs: number })[]> {
    return this.#read((db) =>
      allRows(
        db,
        'SELECT r.fingerprint, r.name, r.body, c.made_ms FROM recipe r JOIN change c ON c.id = r.change ORDER BY c.id DESC',
      ).map((row) => ({
        fingerprint: textIn(row[0]),
        name: textIn(row[1]),
        body: jsonIn<Json>(row[2]),
        savedMs: numberIn(row[3]),
      })),
    );
  }

  async studies(): Promise<(StudyRow & { readonly id: number; readonly savedMs: number; readonly who: string })[]> {
    return this.#read((db) =>
      allRows(
        db,
        `SELECT s.id, s.name, s.body, c.made_ms, c.who FROM study s JOIN change c ON c.id = s.change WHERE s.gone = 0
         ORDER BY s.id DESC`,
      ).map((row) => ({
        id: numberIn(row[0]),
        name: textIn(row[1]),
        body: jsonIn<Json>(row[2]),
        savedMs: numberIn(row[3]),
        who: textIn(row[4]),
      })),
    );
  }

  async scopes(): Promise<{ readonly name: string; readonly body: Json }[]> {
    return this.#read((db) =>
      allRows(db, 'SELECT name, body FROM scope ORDER BY name').map((row) => ({
        name: textIn(row[0]),
        body: jsonIn<Json>(row[1]),
      })),
    );
  }

  async settings(): Promise<{ readonly [key: string]: Json }> {
    return this.#read((db) =>
      Object.fromEntries(
        allRows(db, 'SELECT key, value FROM setting ORDER BY key').map((row) => [textIn(row[0]), jsonIn<Json>(row[1])]),
      ),
    );
  }

  async changesAfter(id: number): Promise<Pick<ChangeRecord, 'id' | 'kind'>[]> {
    return this.#read((db) =>
      allRows(db, 'SELECT id, kind FROM change WHERE id > ? ORDER BY id', id).map((row) => ({
        id: numberIn(row[0]),
        kind: textIn(row[1]),
      })),
    );
  }

  async changes(offset: number, limit: number): Promise<ChangeRecord[]> {
    return this.#read((db) => readChanges(db, offset, limit));
  }

  async change(id: number): Promise<ChangeRecord | null> {
    return this.#read((db) => readChange(db, id));
  }

  async rejected(source: number, offset: number, limit: number): Promise<{ rows: StoredRejected[]; total: number }> {
    return this.#read((db) => ({
      rows: allRows(
        db,
        'SELECT line, lines, code, column_name FROM rejected WHERE source = ? ORDER BY line LIMIT ? OFFSET ?',
        source,
        limit,
        offset,
      ).map((row) => ({
        line: numberIn(row[0]),
        lines: numberIn(row[1]),
        code: textIn(row[2]),
        column: textOrNull(row[3]),
      })),
      total: numberIn(firstRow(question(db, 'SELECT count(*) FROM rejected WHERE source = ?'), source)?.[0]),
    }));
  }

  async rejectedCounts(source: number): Promise<{ readonly code: string; readonly count: number }[]> {
    return this.#read((db) =>
      allRows(db, 'SELECT code, count(*) FROM rejected WHERE source = ? GROUP BY code ORDER BY 2 DESC, 1', source).map(
        (row) => ({ code: textIn(row[0]), count: numberIn(row[1]) }),
      ),
    );
  }

  async rawLines(source: number, line: number, lines: number): Promise<Uint8Array | null> {
    return this.#read((db) => {
      const first = firstRow(
        question(
          db,
          'SELECT seq, first_line FROM source_chunk WHERE source = ? AND first_line <= ? ORDER BY seq DESC LIMIT 1',
        ),
        source,
        line,
      );
      if (!first) return null;
      let seq = numberIn(first[0]);
      let toSkip = line - numberIn(first[1]);
      let toTake = lines;
      const parts: Uint8Array[] = [];
      const piece = question(db, 'SELECT deflated FROM source_chunk WHERE source = ? AND seq = ?');
      for (; toTake > 0; seq++) {
        const row = firstRow(piece, source, seq);
        if (!row) break;
        const bytes = inflateRawSync(bytesIn(row[0]));
        let at = 0;
        while (toSkip > 0 && at < bytes.length) {
          const end = lineEnd(bytes, at);
          if (end === null) {
            at = bytes.length;
            break;
          }
          at = end;
          toSkip--;
        }
        let to = at;
        while (toTake > 0 && to < bytes.length) {
          const end = lineEnd(bytes, to);
          if (end === null) {
            to = bytes.length;
            break;
          }
          to = end;
          toTake--;
        }
        parts.push(bytes.subarray(at, to));
        // A line without an end may run on for many pieces; a shown line need not.
        if (parts.length > 4) break;
      }
      return Buffer.concat(parts);
    });
  }

  async probe(file: TakeInFile, cancelled: () => boolean): Promise<HeldCount> {
    return this.#mapped(() => probe(this.#db, file, cancelled));
  }

  /** What is held says of a file whose dates or decimals are open; only reads. */
  async heldEvidence(file: TakeInFile, open: OpenHypotheses): Promise<HeldEvidence | null> {
    return this.#mapped(() => heldEvidence(this.#db, file, open));
  }

  takeIn(file: TakeInFile, onRows: (rows: number) => void, cancelled: () => boolean): Promise<TakenIn> {
    return this.#write(async (db) => {
      // So that whoever waits can be told for what.
      const note = writerNote(this.path);
      try {
        writeFileSync(note, JSON.stringify({ pid: process.pid, name: file.name }));
      } catch {
        // Only a courtesy.
      }
      const early = new EarlySync(this.path);
      try {
        return await takeIn(
          db,
          file,
          (rows) => {
            early.wrote(rows);
            onRows(rows);
          },
          cancelled,
        );
      } finally {
        await early.close();
        rmSync(note, { force: true });
        // Folding a large log back into the store is not part of the commit: it follows when the answer is out.
        db.exec('PRAGMA wal_autocheckpoint = 0');
        setImmediate(() => this.#foldLog());
      }
    }, cancelled);
  }

  #foldLog(): void {
    if (!this.#open || this.#db.isTransaction) return;
    try {
      this.#db.exec('PRAGMA wal_autocheckpoint = 1000; PRAGMA wal_checkpoint(PASSIVE)');
    } catch {
      // Somebody reads or writes, or the disk is full: nothing is lost, the log is folded in by a later commit.
    }
  }

  async checkedMs(): Promise<number | null> {
    return this.#read((db) => {
      const row = firstRow(question(db, "SELECT value FROM meta WHERE key = 'checked-ms'"));
      return row ? Number(textIn(row[0])) : null;
    });
  }

  setCheckedMs(ms: number): Promise<void> {
    return this.#write((db) => {
      db.prepare(
        "INSERT INTO meta (key, value) VALUES ('checked-ms', ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
      ).run(String(ms));
    });
  }

  async quickCheck(): Promise<boolean> {
    try {
      const rows = allRows(this.#db, 'PRAGMA quick_check(1)');
      return rows.length === 1 && rows[0]?.[0] === 'ok';
    } catch (error) {
      if (storeProblem(error, this.path).problem.kind === 'store-damaged') return false;
      throw storeProblem(error, this.path);
    }
  }

  async backUp(path: string): Promise<void> {
    await this.#mapped(async () => backUp(this.#db, path));
  }

  async close(): Promise<void> {
    if (!this.#open) return;
    await this.#writing.catch(() => undefined);
    this.#open = false;
    this.#db.close();
  }

  async #read<T>(ask: (db: DatabaseSync) => T): Promise<T> {
    return this.#mapped(async () => ask(this.#db));
  }

  async #mapped<T>(work: () => Promise<T>): Promise<T> {
    if (!this.#open) throw new ProblemError('cancelled', said('problem.cancelled', {}));
    try {
      return await work();
    } catch (error) {
      throw storeProblem(error, this.path);
    }
  }

  /** One write after another on this connection; each in its own BEGIN IMMEDIATE, tried until the wait is over. */
  #write<T>(work: (db: DatabaseSync) => T | Promise<T>, cancelled: () => boolean = () => false): Promise<T> {
    const turn = this.#writing.then(
      () => this.#inTransaction(work, cancelled),
      () => this.#inTransaction(work, cancelled),
    );
    this.#writing = turn;
    // The caller hears of a failure; the queue itself must not be an unhandled rejection.
    turn.catch(() => undefined);
    return turn;
  }

  async #inTransaction<T>(work: (db: DatabaseSync) => T | Promise<T>, cancelled: () => boolean): Promise<T> {
    return this.#mapped(async () => {
      if (this.#newer) throw new ProblemError('store-newer', said('problem.store-newer', {}));
      if (this.#readOnly) throw new ProblemError('read-only', said('problem.read-only', { path: this.path }));
      await this.#begin(cancelled);
      try {
        const value = await work(this.#db);
        this.#db.exec('COMMIT');
        return value;
      } catch (error) {
        if (this.#db.isTransaction) this.#db.exec('ROLLBACK');
        throw error;
      }
    });
  }

  async #begin(cancelled: () => boolean): Promise<void> {
    const until = performance.now() + this.#options.waitMs;
    for (;;) {
      if (cancelled()) throw new ProblemError('cancelled', said('problem.cancelled', {}));
      try {
        this.#db.exec('BEGIN IMMEDIATE');
        return;
      } catch (error) {
        if (!isBusy(error)) throw error;
        if (performance.now() >= until) {
          throw new ProblemError('busy', said('problem.busy', { holder: writerOf(this.path) }));
        }
      }
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
  }
}

/** Names, while a file is taken in, the process that does it; the lock itself is SQLite's. */
function writerNote(path: string): string {
  return `${path}.writer`;
}

function writerOf(path: string): string {
  try {
    const note: unknown = JSON.parse(readFileSync(writerNote(path), 'utf8'));
    if (typeof note === 'object' && note !== null && 'name' in note && 'pid' in note) {
      return `process ${String(note.pid)}, which takes ${String(note.name)} in`;
    }
  } catch {
    // Nobody left a note.
  }
  return 'another process';
}

const sourceColumns = 'id, change, name, sha256, bytes, taken_ms, withdrawn, facts, accounting';

function sourceFrom(row: readonly Cell[]): StoredSource {
  return {
    id: numberIn(row[0]),
    change: numberIn(row[1]),
    name: textIn(row[2]),
    sha256: Buffer.from(bytesIn(row[3])).toString('hex'),
    bytes: numberIn(row[4]),
    takenMs: numberIn(row[5]),
    withdrawn: row[6] !== 0,
    facts: jsonIn<SourceFacts>(row[7]),
    accounting: jsonIn<SourceAccounting>(row[8]),
  };
}

/**
 * Position after the line that starts at `from`; null when its end is not in these bytes. LF, CRLF or CR ends a line;
 * in UTF-16 each of them is two bytes, and a piece starts at a whole character.
 */
function lineEnd(bytes: Uint8Array, from: number): number | null {
  for (let i = from; i < bytes.length; i++) {
    const byte = bytes[i];
    if (byte !== 10 && byte !== 13) continue;
    const lowFirst = bytes[i + 1] === 0 && (i & 1) === 0;
    const end = lowFirst ? i + 2 : i + 1;
    if (byte === 10) return end;
    if (bytes[end] === 10) return lowFirst ? end + 2 : end + 1;
    if (bytes[end] === 0 && bytes[end + 1] === 10) return end + 2;
    return end;
  }
  return null;
}

/**
 * The store as everything above it sees it: asynchronous and batch-shaped, so that a shared server database could stand
 * behind the same interface. The adapter for one SQLite file is sqlite/sqlite-store.ts.
 *
 * A write is one `Command`: a list of operations, applied in one transaction, one entry of the journal, which keeps the
 * state before and after. Undoing a change is applying its `before` as a new change.
 */
import type { RowBatch } from '#core/intake/row-batch.ts';
import type { TorqueUnit } from '#core/units/torque-unit.ts';

export type NameKind = 'tool' | 'operator' | 'joint';
export type EntryKind = NameKind | 'shift';
/** Plain JSON. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

/** One limit revision as it is stored; null is absent. */
export interface RevisionRow {
  readonly fromMs: number;
  readonly unit: TorqueUnit;
  readonly low: number | null;
  readonly target: number | null;
  readonly high: number | null;
  readonly lowPercent: number | null;
  readonly highPercent: number | null;
  readonly angleLow: number | null;
  readonly angleTarget: number | null;
  readonly angleHigh: number | null;
  readonly batchSize: number | null;
  readonly retryWithinSeconds: number | null;
  readonly by: string | null;
  readonly why: string | null;
}

/** A register entry: what is not in tables of its own lies in `body`. */
export interface EntryRow {
  readonly kind: EntryKind;
  readonly name: string;
  readonly confirmed: boolean;
  readonly body: { readonly [key: string]: Json };
  /** Joints only; in order of time. */
  readonly revisions: readonly RevisionRow[];
}

export interface CheckRow {
  /** Entry id, or the serial of a tool that the same command adds before. */
  readonly tool: number | string;
  readonly at: number;
  readonly nominal: number;
  readonly reference: number;
  readonly shown: number;
  readonly unit: TorqueUnit;
  readonly kind: 'as-found' | 'as-left';
  readonly uncertaintyPercent: number | null;
}

export interface RecipeRow {
  readonly name: string;
  readonly body: Json;
}

export interface StudyRow {
  readonly name: string;
  readonly body: Json;
}

export type MarkKind = 'note' | 'left-out' | 'tool' | 'operator' | 'joint' | 'set-aside';

/**
 * One operation of a command. `row: null` takes the thing away. `id: null` makes a new one; the journal holds the id
 * it got.
 */
export type StoreOp =
  | { readonly t: 'entry'; readonly id: number | null; readonly row: EntryRow | null }
  | { readonly t: 'check'; readonly id: number | null; readonly row: CheckRow | null }
  /** `entry`: its id, or the name of one that the same command adds before. */
  | { readonly t: 'name'; readonly id: number; readonly entry: number | string | null }
  | { readonly t: 'source'; readonly id: number; readonly withdrawn: boolean }
  | { readonly t: 'recipe'; readonly fingerprint: string; readonly row: RecipeRow | null }
  | { readonly t: 'study'; readonly id: number | null; readonly row: StudyRow | null }
  | { readonly t: 'scope'; readonly name: string; readonly row: Json }
  | { readonly t: 'setting'; readonly key: string; readonly value: Json }
  /** Adds a mark to each reading; `replaces` ends the active marks of the kind first. */
  | {
      readonly t: 'marks';
      readonly kind: MarkKind;
      readonly value: string;
      readonly readings: readonly number[];
      readonly replaces: boolean;
    }
  /** Ends the active marks of a kind on readings. */
  | { readonly t: 'end-marks'; readonly kind: MarkKind; readonly readings: readonly number[] }
  /** Ends the marks a change added and sets again those it ended. Stands in `before` of changes with marks. */
  | { readonly t: 'undo-marks'; readonly change: number };

export interface Command {
  readonly kind: string;
  readonly subject: string;
  readonly why: string | null;
  readonly who: string;
  readonly nowMs: number;
  readonly ops: readonly StoreOp[];
  readonly undoes?: number;
}

export interface ChangeRecord {
  readonly id: number;
  readonly madeMs: number;
  readonly who: string;
  readonly kind: string;
  readonly subject: string;
  readonly before: readonly StoreOp[] | null;
  readonly after: readonly StoreOp[] | null;
  readonly why: string | null;
  readonly undoes: number | null;
  readonly undoneBy: number | null;
}

export interface Committed {
  readonly change: number;
  /** The operations with the ids that new things got. */
  readonly ops: readonly StoreOp[];
}

export interface StoredEntry extends EntryRow {
  readonly id: number;
  readonly change: number;
}

export interface StoredCheck {
  readonly id: number;
  readonly row: CheckRow & { readonly tool: number };
}

export interface StoredName {
  readonly id: number;
  readonly kind: NameKind;
  readonly written: string;
  /** Register entry; null: none (an operator of an old store). */
  readonly entry: number | null;
}

export interface StoredMark {
  readonly id: number;
  readonly change: number;
  readonly reading: number;
  readonly kind: MarkKind;
  readonly value: string;
  readonly who: string;
  readonly madeMs: number;
}

export interface StoredSource {
  readonly id: number;
  readonly change: number;
  readonly name: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly takenMs: number;
  readonly withdrawn: boolean;
  readonly facts: SourceFacts;
  readonly accounting: SourceAccounting;
}

/** What the store keeps beside the original bytes of a file. */
export interface SourceFacts {
  readonly newestFirst: boolean;
  readonly recipe: string | null;
  readonly preamble: Readonly<Record<string, string>>;
  readonly answers: Readonly<Record<string, string>>;
  readonly from: number | null;
  readonly to: number | null;
  /** False when one answer or the file's name says the joint: it is then no part of a reading's identity. */
  readonly jointFromFile: boolean;
  /** Whether the sequence column is the device's own running number. */
  readonly sequenceIsDevice: boolean;
}

export interface SourceAccounting {
  readonly lines: {
    readonly total: number;
    readonly header: number;
    readonly blank: number;
    readonly accepted: number;
    readonly alreadyHeld: number;
    readonly rejected: number;
  };
  readonly accepted: number;
  readonly alreadyHeld: number;
  readonly rejected: number;
}

/** A page of readings as they are stored: names by id of `name`, absent numbers NaN, absent ids -1. */
export interface StoredReadings {
  readonly length: number;
  readonly id: Int32Array;
  readonly at: Float64Array;
  readonly atStep: Uint8Array;
  readonly torque: Float64Array;
  readonly unit: Uint8Array;
  readonly decimals: Uint8Array;
  readonly angle: Float64Array;
  readonly tool: Int32Array;
  readonly operator: Int32Array;
  readonly joint: Int32Array;
  readonly own: Uint8Array;
  readonly sequence: Float64Array;
  readonly source: Int32Array;
  readonly line: Int32Array;
  readonly batchPosition: Int32Array;
  readonly batchSize: Int32Array;
  /** Texts by position of the page; only readings that have one. */
  readonly fasteners: readonly (readonly [number, string])[];
  readonly batches: readonly (readonly [number, string])[];
}

export interface StoredRejected {
  readonly line: number;
  readonly lines: number;
  readonly code: string;
  readonly column: string | null;
}

/** Counts and bounds that SQL gives at once, for the status before the columns are loaded. */
export interface StoreSummary {
  readonly readings: number;
  readonly sources: number;
  readonly from: number | null;
  readonly to: number | null;
  readonly lastChange: number;
}

/** Names that may differ on every line: they hold for one batch of rows only. */
export interface BatchNames {
  readonly fastener: readonly string[];
  readonly batch: readonly string[];
  readonly station: readonly string[];
  readonly note: readonly string[];
}

/** A file on its way in: everything but the rows, which come batch by batch. */
export interface TakeInFile {
  readonly name: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly recipe: Json;
  readonly facts: SourceFacts;
  /** Lines as the reader counted them: every accepted row under `accepted`. */
  readonly lines: SourceAccounting['lines'];
  readonly who: string;
  readonly nowMs: number;
  readonly names: {
    readonly tool: readonly string[];
    readonly operator: readonly string[];
    readonly joint: readonly string[];
  };
  /** Rows that `rows` gives in all. */
  readonly rowCount: number;
  /** First and last civil time of the rows when every row has one; null: some or all have none. */
  readonly span: readonly [number, number] | null;
  /** Answer to the question `overlap`; null: not asked or not answered. */
  readonly overlap: 'same' | 'new' | null;
  rows(): AsyncIterable<{ readonly batch: RowBatch; readonly names: BatchNames }>;
  pieces(): AsyncIterable<{
    readonly seq: number;
    readonly firstLine: number;
    readonly firstByte: number;
    readonly deflated: Uint8Array;
  }>;
  rejected(): AsyncIterable<readonly StoredRejected[]>;
  readonly notices: readonly { readonly key: string; readonly args: string; readonly lines: string }[];
}

/** How the rows of a file stand to what is held. */
export interface HeldCount {
  readonly accepted: number;
  readonly alreadyHeld: number;
  readonly acceptedLines: number;
  readonly alreadyHeldLines: number;
  /** Set when it cannot be decided whether the file repeats a memory already held: the question `overlap`. */
  readonly overlap: OverlapDoubt | null;
}

/** Why overlap is a question: counts for its evidence. */
export interface OverlapDoubt {
  readonly kind: 'no-time' | 'unit-changed' | 'minute-edge';
  readonly tool: string;
  /** Readings of the tool that are held, rows of it in the file, and rows that would be the same. */
  readonly held: number;
  readonly rows: number;
  readonly same: number;
}

export interface TakenIn extends HeldCount {
  readonly source: number;
  readonly change: number;
}

export interface Store {
  readonly path: string;
  readonly readOnly: boolean;
  /** Why writing is refused; null when it is not. */
  readonly newer: boolean;

  /** A number that changes when another connection commits. */
  dataVersion(): Promise<number>;
  summary(): Promise<StoreSummary>;
  commit(command: Command): Promise<Committed>;
  /**
   * Takes a change back by a new one.
   *
   * @throws ProblemError not-found; conflict when it was taken back already or a later change touches the same
   */
  undo(change: number, who: string, nowMs: number): Promise<Committed>;

  readingsAfter(id: number, limit: number): Promise<StoredReadings>;
  sources(): Promise<StoredSource[]>;
  sourceBySha256(sha256: string): Promise<StoredSource | null>;
  /** How the file was read when it was taken in; null: no such file, or not known. */
  sourceRecipe(source: number): Promise<Json>;
  /** Readings seen in other files than the first: triples of that file, the reading, and the first file, flat. */
  sightings(): Promise<Int32Array>;
  entries(): Promise<StoredEntry[]>;
  checks(): Promise<StoredCheck[]>;
  names(): Promise<StoredName[]>;
  activeMarks(): Promise<StoredMark[]>;
  recipes(): Promise<(RecipeRow & { readonly fingerprint: string; readonly savedMs: number })[]>;
  studies(): Promise<(StudyRow & { readonly id: number; readonly savedMs: number; readonly who: string })[]>;
  scopes(): Promise<{ readonly name: string; readonly body: Json }[]>;
  settings(): Promise<{ readonly [key: string]: Json }>;
  changesAfter(id: number): Promise<Pick<ChangeRecord, 'id' | 'kind'>[]>;
  changes(offset: number, limit: number): Promise<ChangeRecord[]>;
  change(id: number): Promise<ChangeRecord | null>;
  rejected(source: number, offset: number, limit: number): Promise<{ rows: StoredRejected[]; total: number }>;
  rejectedCounts(source: number): Promise<{ readonly code: string; readonly count: number }[]>;
  /** Raw text of a physical line and the ones after it, from the stored bytes; null when there is none. */
  rawLines(source: number, line: number, lines: number): Promise<Uint8Array | null>;

  /** Counts what `takeIn` would do, without writing. */
  probe(file: TakeInFile, cancelled: () => boolean): Promise<HeldCount>;
  /**
   * Takes a file in, whole or not at all.
   *
   * @throws ProblemError cancelled, busy, disk-full, needs-answer
   */
  takeIn(file: TakeInFile, onRows: (rows: number) => void, cancelled: () => boolean): Promise<TakenIn>;
  /** When SQLite's own check last found the file sound, ms; null: never. */
  checkedMs(): Promise<number | null>;
  setCheckedMs(ms: number): Promise<void>;
  /** SQLite's own check of the file; false: damaged. */
  quickCheck(): Promise<boolean>;
  backUp(path: string): Promise<void>;
  close(): Promise<void>;
}

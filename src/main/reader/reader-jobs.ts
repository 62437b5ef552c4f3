/** What the reader thread is asked and answers: plain data over a message port. */
import type { Problem } from '#core/contract/problems.ts';
import type { DumpReading } from '#core/intake/dump-reading.ts';
import type { HeldEvidence } from '#core/intake/read-plan.ts';
import type { Recipe } from '#core/intake/recipe.ts';
import type { OpenHypotheses } from '../store/sqlite/held-evidence.ts';
import type { HeldCount, TakenIn } from '../store/store.ts';
import type { KnownNames } from './read-dump.ts';
import type { FixedNames, StagedReading } from './staging.ts';

export interface ReaderSettings {
  readonly storePath: string;
  readonly programVersion: string;
  readonly waitMs: number;
}

export interface ReadJob {
  readonly kind: 'read';
  readonly ticket: string;
  readonly path: string;
  readonly name: string;
  readonly answers: Readonly<Record<string, string>>;
  readonly set: FixedNames;
  /** Saved recipes that may be used. */
  readonly recipes: readonly Recipe[];
  readonly held: HeldEvidence | null;
  readonly known: KnownNames;
  /** Today as civil ms. */
  readonly now: number;
  /** Files held that have this file's size: their bytes are compared before anything is read. */
  readonly heldSha256: readonly string[];
}

export interface ProbeJob {
  readonly kind: 'probe';
  readonly ticket: string;
  readonly overlap: 'same' | 'new' | null;
}

/** Looks among what is held for what settles a read file's dates or decimals. */
export interface EvidenceJob {
  readonly kind: 'evidence';
  readonly ticket: string;
  readonly open: OpenHypotheses;
}

export interface TakeInJob {
  readonly kind: 'take-in';
  readonly ticket: string;
  readonly name: string;
  readonly who: string;
  readonly nowMs: number;
  readonly overlap: 'same' | 'new' | null;
  readonly answers: Readonly<Record<string, string>>;
  /** What the register says about the file, beside the reader's own notices; JSON inside. */
  readonly notices: readonly { readonly key: string; readonly args: string; readonly lines: string }[];
}

export interface CheckJob {
  readonly kind: 'check';
}

/** Copies the store whole, beside it. */
export interface BackUpJob {
  readonly kind: 'back-up';
  readonly path: string;
}

export type ReaderJob = ReadJob | ProbeJob | EvidenceJob | TakeInJob | CheckJob | BackUpJob;

export interface ReaderValues {
  /** `same`: the bytes of a file held already; nothing else was read. */
  read: { readonly staged: StagedReading; readonly same: null } | { readonly staged: null; readonly same: string };
  probe: HeldCount;
  evidence: HeldEvidence | null;
  'take-in': TakenIn;
  check: boolean;
  'back-up': null;
}

export type ToReader =
  | { readonly id: number; readonly job: ReaderJob; readonly cancel: SharedArrayBuffer }
  | { readonly cancel: number }
  | { readonly close: true };

export type FromReader =
  | { readonly id: number; readonly progress: ReaderProgress }
  | { readonly id: number; readonly firstLines: DumpReading }
  | { readonly id: number; readonly block: StagedBlock }
  | { readonly id: number; readonly ok: true; readonly value: ReaderValues[keyof ReaderValues] }
  | { readonly id: number; readonly ok: false; readonly problem: Problem };

export interface ReaderProgress {
  readonly phase: 'reading' | 'probing' | 'taking-in';
  readonly done: number;
  readonly total: number | null;
  readonly unit: 'bytes' | 'readings';
  /** Lines seen so far, while reading. */
  readonly lines: number;
}

/** A block of interpreted rows that has come to lie in the ticket's row file while the reading goes on. */
export interface StagedBlock {
  /** Which pass over the file it belongs to; with a higher number everything before is void. */
  readonly pass: number;
  /** Where it begins and ends in the row file. */
  readonly from: number;
  readonly to: number;
  /** Rows of this pass up to its end. */
  readonly rows: number;
  /** Names met for the first time up to here, to be put behind those of earlier blocks. */
  readonly names: FileNamesMet;
}

/** Names of a whole file, in order of appearance. */
export interface FileNamesMet {
  readonly tool: readonly string[];
  readonly operator: readonly string[];
  readonly joint: readonly string[];
}

/**
 * Reads one file from a byte stream to interpreted rows.
 *
 * Memory does not grow with the file. A hypothesis that the file refutes restarts the pass once: `sink.start` is called
 * again and everything handed over before is void.
 */
import type { DumpReading, RejectedRow } from '#core/intake/dump-reading.ts';
import type { Recipe } from '#core/intake/recipe.ts';
import type { FileNames, RowBatch } from '#core/intake/row-batch.ts';
import type { TorqueUnit } from '#core/units/torque-unit.ts';

export interface DumpInput {
  /** File name without folders: may name the tool. */
  readonly name: string;
  readonly bytes: number;
  /** Opens the file from its start; called once more when a hypothesis is refuted. */
  open(): AsyncIterable<Uint8Array>;
}

export interface DumpSink {
  /** Before the first row, and again when the pass restarts. */
  start(): void | Promise<void>;
  /** Batch and batch-local names (row-batch.ts) are used again when the promise is done. */
  rows(batch: RowBatch, names: FileNames): void | Promise<void>;
  rejected(rows: readonly RejectedRow[]): void | Promise<void>;
}

export interface DumpOptions {
  /** By question id, as `--answer`. */
  readonly answers: Readonly<Record<string, string>>;
  /** As `--set`: wins over whatever the file says. */
  readonly set: {
    readonly tool?: string | undefined;
    readonly operator?: string | undefined;
    readonly joint?: string | undefined;
    readonly unit?: TorqueUnit | undefined;
  };
  /** The saved recipe of a layout, or null. */
  recipeFor(fingerprint: string): Recipe | null;
  /** Names the register knows: evidence for roles and proposals for answers. */
  readonly known: KnownNames;
  /** Today as civil ms: for dates in the future. */
  readonly now: number;
  /** About ten times a second. */
  readonly onProgress?: ((done: number, lines: number) => void) | undefined;
  /** As soon as the first lines are interpreted, long before counting ends. */
  readonly onFirstLines?: ((reading: DumpReading) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
}

export interface KnownNames {
  readonly tools: readonly string[];
  readonly operators: readonly string[];
  readonly joints: readonly KnownJoint[];
}

/** A joint with the limits in force now, for matching targets written in a file. */
export interface KnownJoint {
  readonly name: string;
  readonly unit: TorqueUnit | null;
  readonly low: number | null;
  readonly target: number | null;
  readonly high: number | null;
  /** Absent: cw. */
  readonly direction?: 'cw' | 'ccw' | undefined;
}

/**
 * Reads a dump.
 *
 * @throws ProblemError `cancelled` when the signal is aborted; errors of the stream or the sink pass through
 */
export async function readDump(input: DumpInput, sink: DumpSink, options: DumpOptions): Promise<DumpReading> {
  void sink;
  void options;
  throw new Error(`not yet: ${input.name}`);
}

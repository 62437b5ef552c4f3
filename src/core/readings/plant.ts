/** Everything an analysis may look at, held in memory by the engine. */
import type { Judged } from '../judging/judged.ts';
import type { Register } from '../register/register.ts';
import type { ReadingColumns } from './columns.ts';

export interface Plant {
  readonly readings: ReadingColumns;
  readonly register: Register;
  readonly names: {
    readonly fasteners: readonly string[];
    readonly batches: readonly string[];
  };
  /** Positions of readings in time order across tools (definitions 2); readings without a time come last. */
  readonly order: Uint32Array;
  readonly judged: Judged;
  /** Readings left out of studies and drift by a person, by position. */
  readonly leftOut: ReadonlyMap<number, LeftOut>;
  /** Notes and dispositions by position, oldest first. */
  readonly notes: ReadonlyMap<number, readonly ReadingNote[]>;
  readonly sources: readonly SourceFile[];
}

export interface LeftOut {
  readonly reason: string;
  readonly by: string;
  /** When it was decided, ms since 1970 UTC (a real clock, not a device's). */
  readonly decidedMs: number;
  /** Journal entry, for taking it back. */
  readonly change: number;
}

/** What became of a failing reading (issue D); `note` is text alone. */
export type Disposition = 'note' | 'open' | 're-checked' | 're-tightened' | 'replaced' | 'cleaned' | 'accepted';

export interface ReadingNote {
  readonly disposition: Disposition;
  readonly text: string;
  readonly by: string;
  readonly decidedMs: number;
  readonly change: number;
}

export interface SourceFile {
  readonly id: number;
  readonly name: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly withdrawn: boolean;
  readonly takenInMs: number;
  /** True when the file lists the newest reading first. */
  readonly newestFirst: boolean;
  /** Readings in the file that were held already when it was taken in; left out: not known, taken for none. */
  readonly alreadyHeld?: number;
}

/** The name by which a reading is known outside: `<source>:<line>` of the first file that showed it. */
export function readingName(readings: ReadingColumns, position: number): string {
  return `${readings.source[position]}:${readings.line[position]}`;
}

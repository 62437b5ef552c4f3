/** Messages between a shell and the engine, whatever carries them (worker port, message channel). */
import type { CallName } from './calls.ts';
import type { Progress, StoreEvent } from './events.ts';
import type { Problem } from './problems.ts';

/** What a shell sends. `shell:…` calls are the shells' own and never come from a page. */
export type ToEngine =
  | { readonly v: 1; readonly id: number; readonly call: CallName; readonly lane?: string; readonly body: unknown }
  | { readonly v: 1; readonly id: number; readonly call: 'shell:offer'; readonly body: OfferedFile }
  | { readonly v: 1; readonly id: number; readonly call: 'shell:close' }
  | { readonly cancel: number };

/** A file that a shell hands in: dropped, uploaded, chosen in a dialog or named on the command line. */
export interface OfferedFile {
  readonly path: string;
  readonly name: string;
  /** True when the file is a copy of ours (an upload) and may be removed once it has been read. */
  readonly ours: boolean;
}

/** What the engine sends: any number of progress messages and exactly one reply a call; events at any time. */
export type FromEngine =
  | { readonly id: number; readonly progress: Progress }
  | { readonly id: number; readonly ok: true; readonly value: unknown }
  | { readonly id: number; readonly ok: false; readonly problem: Problem }
  | { readonly event: StoreEvent }
  /** First message: the engine stands, or why it does not. */
  | { readonly ready: true; readonly uploadFolder: string }
  | { readonly ready: false; readonly problem: Problem };

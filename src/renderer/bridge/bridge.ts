/** What a screen knows of the world outside the page; one shape for the desktop window and the browser shell. */
import type { CallName, MadeFile, Replies, RequestInput } from '#core/contract/calls.ts';
import type { Progress, StoreEvent } from '#core/contract/events.ts';
import type { Problem } from '#core/contract/problems.ts';

export interface CallOptions {
  /** A newer call in the same lane replaces the waiting older one, which rejects with `superseded`. */
  readonly lane?: string;
  readonly onProgress?: (progress: Progress) => void;
  /** Aborting asks the engine to stop; the call then rejects with `cancelled`, or resolves if it was too late. */
  readonly signal?: AbortSignal;
}

/** What became of one file that was offered: a ticket of the inbox, or why it was not taken. */
export type OfferedFile =
  | { readonly name: string; readonly ticket: string }
  | { readonly name: string; readonly problem: Problem };

export interface OfferOptions {
  readonly onProgress?: (name: string, sentBytes: number, totalBytes: number) => void;
  readonly signal?: AbortSignal;
}

export interface Bridge {
  readonly kind: 'browser' | 'desktop';
  /** Resolves with the reply; rejects with `CallProblem` and nothing else. */
  call<C extends CallName>(name: C, body: RequestInput<C>, options?: CallOptions): Promise<Replies[C]>;
  /** Told after every commit, own or another process's. Returns how to stop listening. */
  onEvent(listener: (event: StoreEvent) => void): () => void;
  /** Hands files to the inbox, one after the other. */
  offerFiles(files: readonly File[], options?: OfferOptions): Promise<readonly OfferedFile[]>;
  /** Gives a made file to the user: a save dialog, or the browser's download. False: the user cancelled. */
  saveFile(file: MadeFile): Promise<boolean>;
}

/** A problem that a call ended with; `problem.said` is the sentence to show. */
export class CallProblem extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(problem.message);
    this.name = 'CallProblem';
    this.problem = problem;
  }
}

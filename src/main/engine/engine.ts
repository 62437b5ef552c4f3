/**
 * The engine: the one thing that answers every call of the contract, on one store.
 *
 * It runs in a thread of its own behind the worker protocol, or in the caller's thread (command line, tests). It holds
 * the readings as columns, does all small writes, and owns the reader thread that reads files.
 */
import type { CallName, Replies, Request } from '#core/contract/calls.ts';
import type { Progress, StoreEvent } from '#core/contract/events.ts';
import { ProblemError } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';

export interface OpenOptions {
  /** Path of the store file; it and its folder are made when missing. */
  readonly storePath: string;
  /** Ms since 1970 UTC. */
  readonly clock: () => number;
  readonly programVersion: string;
  /** Folder that holds the sample scenario (`register.json`, `dumps/`). */
  readonly sampleFolder: string;
  /** Who the journal names when the settings do not say. */
  readonly who: string;
  /** How long a write waits for another process before it is `busy`; 30,000 by default. */
  readonly busyWaitMs?: number;
}

export interface ServeContext {
  readonly onProgress?: (progress: Progress) => void;
  /** Aborted: the call ends with the problem `cancelled` (or its value, if it was too late). */
  readonly signal?: AbortSignal;
}

export interface OfferOptions {
  /** True when the file lies in our own inbox (an upload): it may be moved and is deleted with its ticket. */
  readonly ours: boolean;
}

export interface Engine {
  /**
   * Answers a call whose request was parsed already.
   *
   * @throws ProblemError for everything that can go wrong, nothing else
   */
  serve<C extends CallName>(call: C, request: Request<C>, context?: ServeContext): Promise<Replies[C]>;
  /** Told after every commit, own or another process's, and when loading ends; returns the way to stop listening. */
  onEvent(listener: (event: StoreEvent) => void): () => void;
  /** Hands in a file; returns the ticket by which the `inbox:` calls name it. Nothing is read yet. */
  offer(path: string, name: string, options: OfferOptions): Promise<string>;
  /** Folder into which a shell may write uploads before it offers them. */
  readonly uploadFolder: string;
  /** Ends the reader thread, lets the store go. Running calls end with `cancelled`. */
  close(): Promise<void>;
}

/**
 * Opens a store and starts answering; the columns load in the background.
 *
 * @throws ProblemError when the store cannot be opened (damaged, no permission, disk full)
 */
export async function openEngine(_options: OpenOptions): Promise<Engine> {
  throw new ProblemError('fault', said('problem.fault', { detail: 'the engine is being built' }));
}

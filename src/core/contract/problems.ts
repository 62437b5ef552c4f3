/** Problems as they cross borders: a closed list of kinds, a sentence, and its English text. */
import type { Said } from '../text/said.ts';
import { say } from '../text/said.ts';

export const problemKinds = [
  'wrong-request',
  'not-found',
  'busy',
  'refused-input',
  'needs-answer',
  'conflict',
  'read-only',
  'store-newer',
  'store-damaged',
  'disk-full',
  'no-permission',
  'cancelled',
  'superseded',
  'fault',
] as const;
export type ProblemKind = (typeof problemKinds)[number];

export interface Problem {
  readonly kind: ProblemKind;
  readonly said: Said;
  readonly hint?: Said;
  /** English text of `said`. */
  readonly message: string;
}

/** A problem on its way to the edge that answers the caller; the only error class that crosses layers. */
export class ProblemError extends Error {
  readonly problem: Problem;
  constructor(kind: ProblemKind, sentence: Said, hint?: Said) {
    const message = say(sentence);
    super(message);
    this.name = 'ProblemError';
    this.problem = hint ? { kind, said: sentence, hint, message } : { kind, said: sentence, message };
  }
}

/** One reply to one call. */
export type Envelope<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: Problem };

/**
 * The result of a computation that may be unable to say anything.
 *
 * Too little data or no spread is an expected answer, not a fault: it is returned, never thrown, and never NaN.
 */
export type Computed<T> = { readonly ok: true; readonly value: T } | CannotSay;

/** Why a figure is not there. Every reason can be put into a sentence. */
export type CannotSay =
  | { readonly ok: false; readonly reason: 'too-few-values'; readonly needed: number; readonly got: number }
  | { readonly ok: false; readonly reason: 'no-spread' }
  /** Anything else; `key` names a sentence of the text catalogue. */
  | { readonly ok: false; readonly reason: 'not-defined'; readonly key: string };

/** Wraps a value that could be computed. */
export function computed<T>(value: T): { readonly ok: true; readonly value: T } {
  return { ok: true, value };
}

/** Says that `needed` values are required and only `got` are there. */
export function tooFewValues(needed: number, got: number): CannotSay {
  return { ok: false, reason: 'too-few-values', needed, got };
}

/** Says that all values are equal, so nothing that divides by the spread exists. */
export function noSpread(): CannotSay {
  return { ok: false, reason: 'no-spread' };
}

/** Says that the figure does not exist here, with the catalogue key of the sentence that explains it. */
export function notDefined(key: string): CannotSay {
  return { ok: false, reason: 'not-defined', key };
}

/** The value, or null where there is none: the form in which figures cross borders and enter JSON. */
export function valueOrNull<T>(outcome: Computed<T>): T | null {
  return outcome.ok ? outcome.value : null;
}

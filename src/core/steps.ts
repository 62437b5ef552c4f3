/**
 * Long work cut into steps, so that whoever runs it can answer others in between, tell how far it is, or drop it.
 *
 * Core knows no clock and no event loop: it only says where it may be interrupted. The same work run through at once
 * (`finished`) gives the same result.
 */

/** How far the longest part of the work is; most steps say nothing. */
export interface StepsDone {
  readonly done: number;
  readonly total: number;
}

export type Steps<T> = Generator<StepsDone | undefined, T, undefined>;

/** Runs the work to its end without a pause. */
export function finished<T>(steps: Steps<T>): T {
  for (;;) {
    const next = steps.next();
    if (next.done) return next.value;
  }
}

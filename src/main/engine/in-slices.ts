/** Runs long work of the core on the engine thread without holding it: in slices, with progress and cancel. */
import { setImmediate as turn } from 'node:timers/promises';
import type { Progress } from '#core/contract/events.ts';
import { ProblemError } from '#core/contract/problems.ts';
import type { Steps } from '#core/steps.ts';
import { said } from '#core/text/said.ts';

/** Longest stretch of steps, ms. A single step may take longer; it is not cut. */
const sliceMs = 30;

export interface SliceContext {
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: Progress) => void;
}

/**
 * Runs steps to their end, giving way to other messages between slices.
 *
 * @throws ProblemError `cancelled`, or what the signal was aborted with, as soon as a slice ends after the signal
 */
export async function inSlices<T>(steps: Steps<T>, context: SliceContext): Promise<T> {
  let from = performance.now();
  for (;;) {
    const next = steps.next();
    if (next.done) return next.value;
    if (performance.now() - from < sliceMs) continue;
    if (next.value) context.onProgress?.({ phase: 'computing', ...next.value, unit: 'steps' });
    await turn();
    if (context.signal?.aborted) {
      const { reason } = context.signal;
      throw reason instanceof ProblemError ? reason : new ProblemError('cancelled', said('problem.cancelled', {}));
    }
    from = performance.now();
  }
}

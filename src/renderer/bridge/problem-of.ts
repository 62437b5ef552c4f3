import type { Problem, ProblemKind } from '#core/contract/problems.ts';
import { type Said, said, say } from '#core/text/said.ts';
import { CallProblem } from './bridge.ts';

/** A problem made on this side of the border. */
export function makeProblem(kind: ProblemKind, sentence: Said): Problem {
  return { kind, said: sentence, message: say(sentence) };
}

/** Whatever was thrown, as a problem that can be shown. */
export function problemOf(thrown: unknown): Problem {
  if (thrown instanceof CallProblem) return thrown.problem;
  if (thrown instanceof DOMException && thrown.name === 'AbortError') {
    return makeProblem('cancelled', said('problem.cancelled', {}));
  }
  return makeProblem(
    'fault',
    said('problem.fault', { detail: thrown instanceof Error ? thrown.message : String(thrown) }),
  );
}

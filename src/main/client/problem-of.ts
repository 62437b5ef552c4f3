/** A thrown value of a call as a problem, for the shell that has to answer somebody with it. */
import { type Problem, ProblemError } from '#core/contract/problems.ts';
import { said, say } from '#core/text/said.ts';
import { CallError } from './engine-client.ts';

/** The problem inside an error of ours, or a fault with its message. */
export function problemOf(thrown: unknown): Problem {
  if (thrown instanceof CallError || thrown instanceof ProblemError) return thrown.problem;
  const sentence = said('problem.fault', { detail: thrown instanceof Error ? thrown.message : String(thrown) });
  return { kind: 'fault', said: sentence, message: say(sentence) };
}

/** The one parser of requests, at the border where they enter. */
import { said } from '../text/said.ts';
import { type CallName, type Request, requestSchemas } from './calls.ts';
import { ProblemError } from './problems.ts';

/** Whether a text names a call. Own names only: `constructor` is none. */
export function isCallName(name: string): name is CallName {
  return Object.hasOwn(requestSchemas, name);
}

/**
 * Parses a request.
 *
 * @throws ProblemError `wrong-request` naming the field and what is wrong with it
 */
export function parseRequest<C extends CallName>(call: C, body: unknown): Request<C> {
  const parsed = requestSchemas[call].safeParse(body);
  if (!parsed.success) {
    const first = parsed.error.issues[0];
    const where = first && first.path.length > 0 ? `${call}, ${first.path.join('.')}: ` : `${call}: `;
    throw new ProblemError(
      'wrong-request',
      said('problem.wrong-request', { detail: where + (first?.message ?? 'not valid') }),
    );
  }
  // The schema table is indexed by the same name that types the result; TypeScript cannot see that they belong together.
  return parsed.data as Request<C>;
}

/** The questions of the contract answered from the plant in memory, each by its function of the core. */
import type { CallName, MadeFile, Replies, Request, StudyChoices } from '#core/contract/calls.ts';
import { ProblemError } from '#core/contract/problems.ts';
import type { Plant } from '#core/readings/plant.ts';
import { said } from '#core/text/said.ts';
import type { RegisterState } from './register-state.ts';

/** What a question may look at. */
export interface Asked {
  readonly plant: Plant;
  readonly state: RegisterState;
  readonly programVersion: string;
  readonly sha256Hex: (utf8Text: string) => string;
  readonly plantName: string | null;
  /** Raw text of a reading's line from the stored bytes. */
  readonly rawLine: (source: number, line: number) => Promise<string | null>;
}

type Answer<C extends CallName> = (asked: Asked, request: Request<C>) => Promise<Replies[C]>;

// Modules are loaded when they are first asked for: start-up is not paid by questions nobody asks.
export const analysisCalls = {
  'readings:page': async ({ plant }, request) =>
    (await import('#core/readings/readings-page.ts')).readingsPage(plant, request),
  'readings:detail': async ({ plant, rawLine }, request) => {
    const { positionOf, readingDetail } = await import('#core/readings/reading-detail.ts');
    const position = positionOf(plant, request.id);
    const raw = position < 0 ? null : await rawLine(plant.readings.source[position]!, plant.readings.line[position]!);
    const detail = readingDetail(plant, request.id, raw);
    if (!detail) throw notFound('reading', request.id);
    return detail;
  },
  'readings:answer': async ({ plant }, request) =>
    (await import('#core/readings/readings-answer.ts')).readingsAnswer(plant, request),
  'readings:csv': async ({ plant }, request) =>
    (await import('#core/readings/readings-page.ts')).readingsCsv(plant, request),
  'review:answer': async ({ plant }, request) =>
    (await import('#core/review/review-answer.ts')).reviewAnswer(plant, request.scope, request.unit),
} satisfies { [C in CallName]?: Answer<C> };

export type AnalysisCall = keyof typeof analysisCalls;

export function isAnalysisCall(call: CallName): call is AnalysisCall {
  return call in analysisCalls;
}

export function notFound(what: string, name: string): ProblemError {
  return new ProblemError('not-found', said('problem.not-found', { what, name }));
}

export type { MadeFile, StudyChoices };

/** The questions of the contract answered from the plant in memory, each by its function of the core. */
import type { CallName, Replies, Request, StudyChoices } from '#core/contract/calls.ts';
import type { DriftToolModel } from '#core/contract/models/drift-model.ts';
import type { StudyModel } from '#core/contract/models/study-model.ts';
import { ProblemError } from '#core/contract/problems.ts';
import type { DriftOptions } from '#core/drift/analysis.ts';
import type { Plant } from '#core/readings/plant.ts';
import type { Scope } from '#core/readings/scope.ts';
import type { StudyTools } from '#core/study/compute-study.ts';
import { said } from '#core/text/said.ts';
import type { Json } from '../store/store.ts';
import { type HiddenNames, hiddenLine } from './hidden-names.ts';
import { inSlices, type SliceContext } from './in-slices.ts';
import type { RegisterState } from './register-state.ts';

/** What a question may look at. */
export interface Asked {
  readonly plant: Plant;
  readonly state: RegisterState;
  readonly programVersion: string;
  readonly sha256Hex: (utf8Text: string) => string;
  readonly startSha256: () => { update(part: Uint8Array | string): void; hex(): string };
  readonly plantName: string | null;
  /** Who asks, for reports. */
  readonly who: string;
  readonly drift: DriftOptions;
  /** The lots by which operators are numbered, as the setting keeps them. */
  readonly lots: Json | undefined;
  /** Not null: nobody shall be named, and `plant` names nobody. */
  readonly hidden: HiddenNames | null;
  /** Today, as civil ms. */
  readonly now: number;
  /** Raw text of a reading's line from the stored bytes. */
  readonly rawLine: (source: number, line: number) => Promise<string | null>;
  /** Cancel and progress of this very question. */
  readonly slices: SliceContext;
}

type Answer<C extends CallName> = (asked: Asked, request: Request<C>) => Promise<Replies[C]>;

// Modules are loaded when they are first asked for: start-up is not paid by questions nobody asks.
export const analysisCalls = {
  'readings:page': async ({ plant }, request) =>
    (await import('#core/readings/readings-page.ts')).readingsPage(plant, request),
  'readings:detail': async ({ plant, rawLine, hidden }, request) => {
    const { positionOf, readingDetail } = await import('#core/readings/reading-detail.ts');
    const position = positionOf(plant, request.id);
    const source = plant.readings.source[position];
    const raw = source === undefined ? null : await rawLine(source, plant.readings.line[position]!);
    const operator = plant.register.operators[plant.readings.operator[position] ?? -1]?.badge ?? null;
    const shown =
      hidden === null || raw === null || source === undefined
        ? { text: raw, note: null }
        : await hiddenLine(hidden, source, raw, operator);
    const detail = readingDetail(plant, request.id, shown.text, shown.note);
    if (!detail) throw notFound('reading', request.id);
    return detail;
  },
  'readings:answer': async ({ plant }, request) =>
    (await import('#core/readings/readings-answer.ts')).readingsAnswer(plant, request),
  'readings:csv': async ({ plant }, request) =>
    (await import('#core/readings/readings-page.ts')).readingsCsv(plant, request),
  'review:answer': async ({ plant }, request) =>
    (await import('#core/review/review-answer.ts')).reviewAnswer(plant, request.scope, request.unit),
  'review:read': async ({ plant }, request) =>
    (await import('#core/review/review-model.ts')).reviewModel(plant, request.scope, request.ink),
  'collection:read': async ({ plant }, request) =>
    (await import('#core/review/collection.ts')).collectionModel(plant, request.now),
  'drift:read': async ({ plant, drift, slices }, request) => {
    const { driftModelSteps } = await import('#core/drift/drift-model.ts');
    return inSlices(driftModelSteps(plant, request.scope, request.now, drift), slices);
  },
  'drift:tool': async (asked, request) => toolOf(asked, request.scope, request.now, request.tool),
  'drift:answer': async ({ plant, drift, slices }, request) => {
    const { driftAnswerSteps } = await import('#core/drift/drift-answer.ts');
    const { collectionModel } = await import('#core/review/collection.ts');
    const collection = new Map(
      collectionModel(plant, request.now).rows.map((row) => [
        row.tool,
        { storedEstimate: row.stored, fullOn: row.fullOn },
      ]),
    );
    return inSlices(driftAnswerSteps(plant, request.scope, request.now, drift, collection), slices);
  },
  'study:read': async (asked, request) => studyOf(asked, request),
  'study:answer': async (asked, request) => {
    const { studyAnswerSteps } = await import('#core/study/study-answer.ts');
    return inSlices(studyAnswerSteps(asked.plant, request, studyTools(asked)), asked.slices);
  },
  'report:study': async (asked, request) => {
    const { studyFile } = await import('../report/study-file.ts');
    const model = await studyOf(asked, request.choices);
    const { listedReadings } = await import('#core/study/listed-readings.ts');
    return studyFile(model, request.format, factsOf(asked, request.madeMs), {
      paper: request.paper,
      ...(request.format === 'csv'
        ? { readings: listedReadings(asked.plant, request.choices, studyTools(asked)) }
        : {}),
    });
  },
  'report:shift': async (asked, request) => {
    const { reviewModel } = await import('#core/review/review-model.ts');
    const { shiftFile } = await import('../report/shift-file.ts');
    const most = request.format === 'csv' ? Number.POSITIVE_INFINITY : undefined;
    return shiftFile(
      reviewModel(asked.plant, request.scope, null, most),
      request.format,
      factsOf(asked, request.madeMs),
    );
  },
  'report:tool': async (asked, request) => {
    const { toolFile } = await import('../report/tool-file.ts');
    const model = await toolOf(asked, request.scope, request.now, request.tool);
    return toolFile(model, request.format, factsOf(asked, request.madeMs));
  },
  'figure:make': async (asked, request) => {
    const { figureFile } = await import('../report/figure-file.ts');
    return figureFile(request.name, request.format, {
      review: async () => (await import('#core/review/review-model.ts')).reviewModel(asked.plant, request.scope, null),
      tool: async () => {
        if (request.tool === null) throw missing('a tool');
        return toolOf(asked, request.scope, request.now, request.tool);
      },
      study: async () => {
        if (request.choices === null) throw missing('a joint');
        return studyOf(asked, request.choices);
      },
    });
  },
  'register:read': async ({ plant, now }) =>
    (await import('#core/register/register-model.ts')).registerModel(plant, null, now),
  'register:joint': async ({ plant, now }, request) => {
    const { jointModel } = await import('#core/register/register-model.ts');
    const model = jointModel(plant, request.joint, now);
    if (!model) throw notFound('joint', request.joint);
    return model;
  },
  'register:tool': async ({ plant, now }, request) => {
    const { toolModel } = await import('#core/register/register-model.ts');
    const model = toolModel(plant, request.tool, now);
    if (!model) throw notFound('tool', request.tool);
    return model;
  },
  'register:preview': async ({ plant }, request) =>
    (await import('#core/register/edit-preview.ts')).editPreview(plant, request.file),
} satisfies { [C in CallName]?: Answer<C> };

export type AnalysisCall = keyof typeof analysisCalls;

export function isAnalysisCall(call: CallName): call is AnalysisCall {
  return call in analysisCalls;
}

export function notFound(what: string, name: string): ProblemError {
  return new ProblemError('not-found', said('problem.not-found', { what, name }));
}

/** A study as the screen and the reports show it. */
export async function studyOf(asked: Asked, choices: StudyChoices): Promise<StudyModel> {
  const { studyModelSteps } = await import('#core/study/study-model.ts');
  return inSlices(studyModelSteps(asked.plant, choices, studyTools(asked)), asked.slices);
}

/** A tool as the drift screen, its card and its figures show it. */
async function toolOf(asked: Asked, scope: Scope, now: number, tool: string): Promise<DriftToolModel> {
  const { driftToolSteps } = await import('#core/drift/drift-tool-model.ts');
  return inSlices(driftToolSteps(asked.plant, scope, now, tool, asked.drift), asked.slices);
}

function studyTools(asked: Asked): StudyTools {
  return {
    sha256Hex: asked.sha256Hex,
    startSha256: asked.startSha256,
    programVersion: asked.programVersion,
    anonymousOperators: asked.drift.anonymousOperators,
  };
}

function factsOf(asked: Asked, madeMs: number) {
  return { madeMs, by: asked.who, plantName: asked.plantName, programVersion: asked.programVersion };
}

function missing(what: string): ProblemError {
  const detail = `this figure needs ${what} to be named`;
  return new ProblemError('wrong-request', said('problem.wrong-request', { detail }));
}

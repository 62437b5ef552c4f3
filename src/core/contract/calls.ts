/**
 * Every call between a shell and the engine: its name, the schema of its request and the type of its reply.
 *
 * The one place where processes meet. Requests are parsed here once, where they enter; replies are trusted.
 */
import { z } from 'zod';
import { torqueUnitCodes } from '../units/torque-unit.ts';
import type { DriftModel, DriftToolModel } from './models/drift-model.ts';
import type { InboxModel, IntakeOutcome, IntakePreview, RejectedPage } from './models/intake-model.ts';
import type { ReadingDetail, ReadingsPage } from './models/readings-model.ts';
import type {
  EditPreview,
  JointModel,
  RegisterModel,
  RemovalModel,
  SettleModel,
  ToolModel,
} from './models/register-model.ts';
import type { CollectionModel, ReviewModel } from './models/review-model.ts';
import type { SavedStudy, StudyModel } from './models/study-model.ts';

const finite = z.number().refine(Number.isFinite, 'must be a finite number');
const text = z.string().max(2000);
const names = z.array(z.string().max(500)).max(5000).readonly();

export const scopeSchema = z.strictObject({
  from: finite.nullable(),
  to: finite.nullable(),
  shifts: names,
  joints: names,
  tools: names,
  operators: names,
});

export const studyChoicesSchema = z.strictObject({
  joint: z.string().max(500),
  scope: scopeSchema,
  of: z.enum(['torque', 'angle']).default('torque'),
  attempts: z.enum(['first', 'last', 'all']).default('first'),
  /** Null: pooled, or mr-bar with subgroups of 1. */
  within: z.enum(['pooled', 's-bar', 'r-bar', 'mr-bar', 'mr-median']).nullable().default(null),
  /** Null: 5, or 1 with a moving range. */
  subgroup: z.int().min(1).max(25).nullable().default(null),
  model: z
    .enum(['normal', 'lognormal', 'weibull', 'gamma', 'lognormal-threshold', 'lognormal-mirrored', 'empirical'])
    .default('normal'),
  /** Null: by the joint's class; none at all when it has no class. */
  requirement: z
    .strictObject({ index: z.enum(['Cp', 'Cpk', 'Pp', 'Ppk', 'Cpm', 'Cm', 'Cmk']), value: finite })
    .nullable()
    .default(null),
  judge: z.enum(['low-end', 'estimate']).default('low-end'),
  seed: z.int().min(0).max(4_294_967_295).nullable().default(null),
  /** Whether the p of a fitted model that is not the normal is wanted: a bootstrap with refitting. */
  fitP: z.boolean().default(false),
  /** Span whose groups set centre and limits of the control chart, from <= time < to; null: all groups. */
  baseline: z.strictObject({ from: finite.nullable(), to: finite.nullable() }).nullable().default(null),
  /** Unit of display; null: that of the limits. */
  unit: z.enum(torqueUnitCodes).nullable().default(null),
  /** Limits tried out: hypothetical, never stored with the joint. */
  whatIf: z.strictObject({ low: finite.nullable(), high: finite.nullable() }).nullable().default(null),
});
export type StudyChoices = z.infer<typeof studyChoicesSchema>;

/** Notices of Review that are about single readings: each can be had as a filter. */
export const readingNotices = [
  'second-pull',
  'other-direction',
  'zero-torque',
  'on-limit',
  'beyond-range',
  'batches-untold',
] as const;
export type ReadingNotice = (typeof readingNotices)[number];

/** One column's filter on the Readings screen. */
export const readingsFilterSchema = z.discriminatedUnion('column', [
  z.strictObject({ column: z.enum(['joint', 'tool', 'operator', 'source', 'fastener']), anyOf: names }),
  z.strictObject({
    column: z.enum(['torquePlace', 'anglePlace', 'torque', 'angle', 'at', 'attempt']),
    from: finite.nullable(),
    to: finite.nullable(),
  }),
  z.strictObject({
    column: z.literal('verdict'),
    anyOf: z.array(z.enum(['pass', 'fail', 'unjudged', 'torque-low', 'torque-high', 'angle-low', 'angle-high'])),
  }),
  z.strictObject({ column: z.literal('ownResult'), anyOf: z.array(z.enum(['good', 'bad', 'differs', 'none'])) }),
  z.strictObject({ column: z.literal('text'), contains: text }),
  /** What a notice of Review counts. */
  z.strictObject({ column: z.literal('notice'), anyOf: z.array(z.enum(readingNotices)).max(20).readonly() }),
  /** Single readings by their names. */
  z.strictObject({ column: z.literal('reading'), anyOf: names }),
]);
export type ReadingsFilter = z.infer<typeof readingsFilterSchema>;

export const readingColumns = [
  'at',
  'joint',
  'tool',
  'operator',
  'torque',
  'torquePlace',
  'angle',
  'anglePlace',
  'ownResult',
  'attempt',
  'fastener',
  'source',
  'verdict',
] as const;

/** Answers to questions about a file, by question id. */
const answers = z.record(z.string().max(200), z.string().max(500));
const fixedNames = z.strictObject({
  tool: z.string().max(500).optional(),
  operator: z.string().max(500).optional(),
  joint: z.string().max(500).optional(),
  unit: z.enum(torqueUnitCodes).optional(),
});

const nothing = z.strictObject({});

/** Requests by call name. */
export const requestSchemas = {
  'app:status': nothing,
  'app:settings': z.strictObject({ set: z.record(z.string().max(100), z.json()).nullable().default(null) }),
  'demo:load': nothing,

  'inbox:list': nothing,
  /** Reads a ticket's file, or reads it again with answers. */
  'inbox:read': z.strictObject({
    ticket: z.string().max(100),
    answers: answers.default({}),
    set: fixedNames.default({}),
    useRecipe: z.boolean().default(true),
  }),
  'inbox:preview': z.strictObject({ ticket: z.string().max(100) }),
  'inbox:accept': z.strictObject({
    tickets: z.array(z.string().max(100)).max(1000),
    saveRecipe: z.boolean().default(false),
    /** Counts as they would be; nothing is stored. */
    dryRun: z.boolean().default(false),
  }),
  'inbox:drop': z.strictObject({ tickets: z.array(z.string().max(100)).max(1000) }),
  'inbox:rejected': z.strictObject({
    ticket: z.string().max(100).nullable(),
    source: z.int().nullable(),
    offset: z.int().min(0),
    limit: z.int().min(1).max(1000),
  }),
  'source:withdraw': z.strictObject({ source: z.int() }),
  'source:restore': z.strictObject({ source: z.int() }),
  'recipe:list': nothing,
  'recipe:put': z.strictObject({ recipes: z.array(z.json()).max(1000) }),
  'recipe:rename': z.strictObject({ fingerprint: text, name: text }),
  'recipe:delete': z.strictObject({ fingerprint: text }),

  'review:read': z.strictObject({ scope: scopeSchema, ink: z.string().max(500).nullable().default(null) }),
  'review:answer': z.strictObject({ scope: scopeSchema, unit: z.enum(torqueUnitCodes).default('N.m') }),
  /** Read-outs, checks and calibrations due; `now` as civil ms. */
  'collection:read': z.strictObject({ now: finite }),
  'drift:read': z.strictObject({ scope: scopeSchema, now: finite }),
  'drift:tool': z.strictObject({ scope: scopeSchema, now: finite, tool: z.string().max(500) }),
  'drift:answer': z.strictObject({ scope: scopeSchema, now: finite }),
  'study:read': studyChoicesSchema,
  'study:answer': studyChoicesSchema,
  'study:list': nothing,
  'study:save': z.strictObject({ name: text, choices: studyChoicesSchema }),
  'study:delete': z.strictObject({ id: z.int() }),
  /** Scopes kept by name. */
  'scope:list': nothing,
  'scope:save': z.strictObject({ name: z.string().min(1).max(200), scope: scopeSchema }),
  'scope:delete': z.strictObject({ name: z.string().max(200) }),
  /** Operators chosen earlier, by the names under which they are shown now: badges, or numbers where names are hidden. */
  'scope:named': z.strictObject({ operators: names }),

  'readings:page': z.strictObject({
    scope: scopeSchema,
    filters: z.array(readingsFilterSchema).max(30),
    sort: z.array(z.strictObject({ column: z.enum(readingColumns), descending: z.boolean() })).max(2),
    offset: z.int().min(0),
    limit: z.int().min(0).max(1000),
    /** Whether the pictures over the columns are wanted too. */
    withPictures: z.boolean().default(false),
  }),
  'readings:detail': z.strictObject({ id: z.string().max(100) }),
  'readings:answer': z.strictObject({ scope: scopeSchema, offset: z.int().min(0), limit: z.int().min(1).max(100_000) }),
  'readings:csv': z.strictObject({ scope: scopeSchema, filters: z.array(readingsFilterSchema).max(30) }),

  /** Leaves readings out of studies and drift, or puts them back. A reason is required. */
  'mark:leave-out': z.strictObject({ readings: z.array(z.string().max(100)).min(1).max(100_000), reason: text }),
  'mark:put-back': z.strictObject({ readings: z.array(z.string().max(100)).min(1).max(100_000) }),
  'mark:note': z.strictObject({
    reading: z.string().max(100),
    /** Further readings that get the same note, in the same change. */
    also: z.array(z.string().max(100)).max(100_000).optional(),
    disposition: z.enum(['note', 'open', 're-checked', 're-tightened', 'replaced', 'cleaned', 'accepted']),
    text,
  }),
  'mark:assign': z.strictObject({
    readings: z.array(z.string().max(100)).min(1).max(100_000),
    joint: text.nullable().optional(),
    operator: text.nullable().optional(),
    tool: text.optional(),
  }),

  'register:read': nothing,
  'register:joint': z.strictObject({ joint: text }),
  'register:tool': z.strictObject({ tool: text }),
  /** The JSON of the command line, merged into the register; parsed by core/register/register-file.ts. */
  'register:put': z.strictObject({ file: z.json(), why: text.nullable().default(null) }),
  /** What `register:put` would change, without changing it. */
  'register:preview': z.strictObject({ file: z.json() }),
  'register:export': nothing,
  /** What removing an entry would come to, without removing it. */
  'register:removal': z.strictObject({ kind: z.enum(['joint', 'tool', 'operator', 'shift']), name: text }),
  /** Takes an entry out that nothing points to; refused, with what stands in the way, where something does. */
  'register:remove': z.strictObject({
    kind: z.enum(['joint', 'tool', 'operator', 'shift']),
    name: text,
    why: text.nullable().default(null),
  }),
  /** Takes a name known from dumps for an entry of the register (`into`), or confirms it as its own (`into` null). */
  'register:settle': z.strictObject({
    kind: z.enum(['tool', 'joint', 'operator']),
    name: text,
    into: text.nullable(),
    /** What it would come to; nothing is stored. */
    dryRun: z.boolean().optional(),
  }),

  'change:list': z.strictObject({ offset: z.int().min(0), limit: z.int().min(1).max(500) }),
  'change:undo': z.strictObject({ change: z.int().nullable().default(null) }),

  'report:study': z.strictObject({
    choices: studyChoicesSchema,
    format: z.enum(['html', 'pdf', 'docx', 'csv', 'json', 'svg', 'png']),
    /** Sheet of a PDF or word-processor file. */
    paper: z.enum(['A4', 'letter']).default('A4'),
    madeMs: finite,
  }),
  'report:shift': z.strictObject({ scope: scopeSchema, format: z.enum(['html', 'pdf', 'csv']), madeMs: finite }),
  'report:tool': z.strictObject({
    scope: scopeSchema,
    tool: text,
    now: finite,
    format: z.enum(['html', 'pdf']),
    madeMs: finite,
  }),
  'figure:make': z.strictObject({
    name: z.string().max(100),
    scope: scopeSchema,
    choices: studyChoicesSchema.nullable().default(null),
    tool: text.nullable().default(null),
    now: finite,
    format: z.enum(['svg', 'png']),
  }),
} as const;

export type CallName = keyof typeof requestSchemas;
/** A request after parsing. */
export type Request<C extends CallName> = z.output<(typeof requestSchemas)[C]>;
/** A request as the caller may write it (defaults left out). */
export type RequestInput<C extends CallName> = z.input<(typeof requestSchemas)[C]>;

export interface AppStatus {
  readonly version: string;
  readonly store: string;
  readonly plantName: string | null;
  /** In force; while the readings load, all that the store holds. */
  readonly readings: number;
  readonly sources: number;
  /** First and last civil time held from a clock that was set; null when none, or not known before all are loaded. */
  readonly from: number | null;
  readonly to: number | null;
  /** Readings in force dated by a clock that was not set; 0 until all are loaded. */
  readonly clockUnset: number;
  readonly joints: readonly string[];
  readonly tools: readonly string[];
  /** Names of joints and tools that mean another entry now, renamed or merged since, with the name of that entry. */
  readonly formerNames?: {
    readonly joints: Readonly<Record<string, string>>;
    readonly tools: Readonly<Record<string, string>>;
  };
  readonly operators: readonly { readonly badge: string; readonly name: string | null }[];
  readonly shifts: readonly {
    readonly name: string;
    readonly startMinute: number;
    readonly endMinute: number;
    /** 0 Monday to 6 Sunday; null or left out: every day. */
    readonly weekdays?: readonly number[] | null;
  }[];
  /** The newest shift occurrence that holds readings: where Review opens. */
  readonly newestShift: {
    readonly name: string;
    readonly day: number;
    readonly from: number;
    readonly to: number;
  } | null;
  readonly loading: boolean;
  readonly readOnly: boolean;
  readonly lastChange: number;
}

/** A file to hand to the user. */
export interface MadeFile {
  readonly name: string;
  readonly mime: string;
  readonly bytes: Uint8Array;
}

export interface ChangeRow {
  readonly id: number;
  readonly madeMs: number;
  readonly who: string;
  readonly kind: string;
  readonly subject: string;
  readonly why: string | null;
  readonly undoes: number | null;
  readonly undoneBy: number | null;
}

/** A scope kept by name. */
export interface SavedScope {
  readonly name: string;
  readonly scope: Request<'scope:save'>['scope'];
}

export interface Done {
  readonly change: number;
}

/** A name settled. Readings that became equal to another by it are out of force from now on; the undo brings them back. */
export interface Settled extends Done {
  readonly setAside: readonly { readonly reading: string; readonly equals: string }[];
  /** What it would come to; only where that was asked. */
  readonly comesTo?: SettleModel;
}

/** Replies by call name. The `…:answer` calls give the JSON documents of the command line. */
export interface Replies {
  'app:status': AppStatus;
  'app:settings': Readonly<Record<string, unknown>>;
  'demo:load': { readonly sources: number; readonly readings: number };
  'inbox:list': InboxModel;
  'inbox:read': IntakePreview;
  'inbox:preview': IntakePreview;
  'inbox:accept': readonly IntakeOutcome[];
  'inbox:drop': null;
  'inbox:rejected': RejectedPage;
  'source:withdraw': { readonly source: number; readonly outOfForce: number; readonly stillShownElsewhere: number };
  'source:restore': { readonly source: number; readonly backInForce: number };
  'recipe:list': readonly unknown[];
  'recipe:put': Done;
  'recipe:rename': Done;
  'recipe:delete': Done;
  'review:read': ReviewModel;
  'review:answer': unknown;
  'collection:read': CollectionModel;
  'drift:read': DriftModel;
  'drift:tool': DriftToolModel;
  'drift:answer': unknown;
  'study:read': StudyModel;
  'study:answer': unknown;
  'study:list': readonly SavedStudy[];
  'study:save': Done & { readonly id: number };
  'study:delete': Done;
  'scope:list': readonly SavedScope[];
  'scope:save': Done;
  'scope:delete': Done;
  'scope:named': readonly string[];
  'readings:page': ReadingsPage;
  'readings:detail': ReadingDetail;
  'readings:answer': { readonly readings: readonly unknown[]; readonly total: number };
  'readings:csv': MadeFile;
  'mark:leave-out': Done;
  'mark:put-back': Done;
  'mark:note': Done;
  'mark:assign': Done;
  'register:read': RegisterModel;
  'register:joint': JointModel;
  'register:tool': ToolModel;
  'register:put': Done;
  'register:preview': EditPreview;
  'register:export': unknown;
  'register:removal': RemovalModel;
  'register:remove': Done;
  'register:settle': Settled;
  'change:list': readonly ChangeRow[];
  'change:undo': Done;
  'report:study': MadeFile;
  'report:shift': MadeFile;
  'report:tool': MadeFile;
  'figure:make': MadeFile;
}

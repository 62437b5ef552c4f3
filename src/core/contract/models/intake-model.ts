/**
 * Shapes the intake screen is sent, and the outcome of taking files in.
 *
 * Built by core/intake/intake-preview.ts and intake-outcome.ts from what the reader found; the engine adds what only the
 * store knows (held readings, register, queue). Civil times are ms as in time/civil-time.ts.
 */
import type { DateOrder, DecimalMark, LineCounts, NoticeKind, RejectCode, Role } from '../../intake/vocabulary.ts';
import type { Said } from '../../text/said.ts';
import type { TorqueUnit } from '../../units/torque-unit.ts';
import type { Problem } from '../problems.ts';

export type QueueState =
  | 'waiting'
  | 'reading'
  | 'needs-answer'
  | 'ready'
  | 'taking-in'
  /** Every line was held already; accepting it notes that this file shows them too. */
  | 'nothing-new'
  | 'failed'
  /** Left over from a process that ended while reading; may be read again or dropped. */
  | 'interrupted';

export interface QueueItem {
  readonly ticket: string;
  readonly name: string;
  readonly bytes: number;
  readonly state: QueueState;
  /** One line under the name: "848 lines, 845 accepted, no question", or why it failed. Null while waiting. */
  readonly said: Said | null;
  /** Questions still open. */
  readonly questions: number;
  /** Bytes read of `bytes`, and lines so far, while reading. */
  readonly progress: { readonly done: number; readonly total: number; readonly lines: number } | null;
  readonly lines: LineCounts | null;
}

export interface ImportedSource {
  readonly source: number;
  readonly name: string;
  readonly sha256: string;
  readonly bytes: number;
  /** Real clock, ms since 1970 UTC. */
  readonly takenInMs: number;
  /** Readings this file shows: new ones and ones held before. */
  readonly accepted: number;
  readonly alreadyHeld: number;
  readonly rejected: number;
  /** Taken out of force by a person; may be restored. */
  readonly withdrawn: boolean;
  /** Readings that only this file shows: what an undo takes out of force. */
  readonly onlyHere: number;
  readonly stillShownElsewhere: number;
}

export interface RecipeRow {
  readonly fingerprint: string;
  readonly name: string;
  readonly savedMs: number;
  readonly usedFiles: number;
  /** What it says, in one line: roles, unit, date order, decimal mark. */
  readonly said: Said;
}

/** Left column of the screen: queue, imported files, recipes. Newest first. */
export interface InboxModel {
  readonly queue: readonly QueueItem[];
  readonly imported: readonly ImportedSource[];
  readonly recipes: readonly RecipeRow[];
  /** Folder whose new files come in by themselves; null: none. */
  readonly watched: string | null;
}

/** A stretch of a shown line that belongs to one column; `from`, `to` are positions in `text`. */
export interface LineSpan {
  readonly from: number;
  readonly to: number;
  /** Column number from 1. */
  readonly column: number;
  readonly role: Role;
}

export type LineKind = 'preamble' | 'header' | 'data' | 'blank' | 'footer' | 'rejected' | 'second-table';

export interface PreviewLine {
  /** Physical line, from 1. */
  readonly line: number;
  /** As in the file, cut at 400 characters; `cut` when something was left off. */
  readonly text: string;
  readonly cut: boolean;
  readonly kind: LineKind;
  readonly spans: readonly LineSpan[];
  /** "note, kept with the file", "column names"; null on data lines. */
  readonly said: Said | null;
}

/** One column of the file: how it is read and why. */
export interface RoleRow {
  /** Column number from 1; 0: a fact from the preamble or the file name, not a column. */
  readonly column: number;
  readonly name: string | null;
  readonly role: Role;
  /** First cell that is not empty, as written. */
  readonly asWritten: string;
  readonly readAs: Said;
  /** What speaks for it, strongest first; never empty. */
  readonly evidence: readonly Said[];
  /** Set by a person, by a saved recipe, or found. */
  readonly by: 'answer' | 'recipe' | 'found';
  /** An open question about it, by id; null: none. */
  readonly question: string | null;
  /** Roles a person may choose instead. */
  readonly choices: readonly Role[];
}

/** Small picture of what a choice would mean. */
export interface ChoicePicture {
  /** Days (civil ms of midnight) of this file under the choice, at most 400; rising. */
  readonly days: readonly number[];
  /** Runs of days with held readings: [first day, last day]; filled by the engine. */
  readonly held: readonly (readonly [number, number])[];
  /** Span to draw: the year or years of both choices together. */
  readonly from: number;
  readonly to: number;
}

export interface QuestionChoice {
  /** What `--answer id=value` takes. */
  readonly value: string;
  readonly meaning: Said;
  readonly evidence: readonly Said[];
  /** What the rest of the evidence leans to; marked, never applied without a press. */
  readonly leaning: boolean;
  readonly picture: ChoicePicture | null;
}

export interface QuestionCard {
  /** Fixed ids of cli.md: `date-order`, `decimal-mark`, `torque-unit`, `tool`, `joint`, `overlap`, `role:<column>`. */
  readonly id: string;
  readonly text: Said;
  readonly choices: readonly QuestionChoice[];
  /** True when any text is an answer (tool, joint): the choices are only proposals. */
  readonly free: boolean;
  /** Other tickets in the queue that ask the same. */
  readonly alsoIn: readonly string[];
}

/** A file's readings, one panel a day, inside their limits where there are any. */
export interface WouldAdd {
  readonly days: readonly WouldAddDay[];
  /** Days after the ones drawn. */
  readonly moreDays: number;
  /** Readings without a time. */
  readonly noTime: number;
  /** Those without a time, in the order of the file: `at` counts them from 1 and `day` says nothing. Null: none. */
  readonly untimed: WouldAddDay | null;
  readonly pass: number;
  readonly fail: number;
  readonly unjudged: number;
  readonly otherDirection: number;
  /** True: `place` holds places inside limits; false: no limits known, `place` holds what `measure` says. */
  readonly inLimits: boolean;
  /** Torque in `unit`; the angle in degrees where the file holds no torque. */
  readonly measure: 'torque' | 'angle';
  /** Null: no torque, or its unit is asked. */
  readonly unit: TorqueUnit | null;
  /** Set while a question is open: the picture is what was read so far. Null: nothing is asked. */
  readonly provisional: ProvisionalPicture | null;
}

/** What an open question leaves undecided in the picture of a file. */
export interface ProvisionalPicture {
  /** Open questions that bear on it, by id. */
  readonly questions: readonly string[];
  /** What that means for the picture, sentence by sentence; never empty. */
  readonly said: readonly Said[];
  /** Torques stand as written: their unit is asked. */
  readonly unitOpen: boolean;
  /** Readings left unjudged because something is asked. */
  readonly leftUnjudged: number;
  /** How each order of day and month would judge the readings; empty where it is not asked, or does not fit every date. */
  readonly byOrder: readonly OrderVerdicts[];
}

/** The readings of a file under one order of day and month. */
export interface OrderVerdicts {
  readonly order: DateOrder;
  readonly pass: number;
  readonly fail: number;
  readonly unjudged: number;
}

export interface WouldAddDay {
  /** Civil ms of midnight. */
  readonly day: number;
  /** Other days that the same written date may be while day and month are asked for; empty: the day is certain. */
  readonly orDays: readonly number[];
  readonly count: number;
  /** At most 600 readings of the day, failing ones first kept. */
  readonly at: Float64Array;
  readonly place: Float64Array;
  /** 0 inside, 1 torque low, 2 torque high, 3 angle low, 4 angle high, 5 unjudged, 6 other direction. */
  readonly kind: Uint8Array;
}

export interface RejectedLine {
  readonly line: number;
  /** Physical lines it covers. */
  readonly lines: number;
  readonly column: string | null;
  readonly reason: RejectCode;
  readonly said: Said;
  /** As in the file, cut at 1,000 characters. */
  readonly text: string;
  /** Offending stretch of `text`; null: the whole line. */
  readonly span: readonly [number, number] | null;
}

export interface RejectedPage {
  readonly rejected: readonly RejectedLine[];
  readonly total: number;
  readonly byReason: readonly ReasonCount[];
}

export interface ReasonCount {
  readonly reason: RejectCode;
  readonly said: Said;
  readonly count: number;
}

export interface IntakeNotice {
  readonly kind: NoticeKind;
  readonly said: Said;
  /** First lines it is about, at most 20; empty: the whole file. */
  readonly lines: readonly number[];
  /** How many lines in all. */
  readonly count: number;
}

export interface RecipeInfo {
  readonly fingerprint: string;
  /** Name of a saved recipe for this layout; null: none saved. */
  readonly name: string | null;
  /** Whether the saved recipe was applied. */
  readonly used: boolean;
  /** "Read as saved for these columns", or why the saved recipe does not fit this file. */
  readonly said: Said | null;
}

/** How the file was decoded and cut into cells, in words: "UTF-8, semicolons". */
export interface LayoutWords {
  readonly encoding: string;
  readonly delimiter: Said;
  readonly said: Said;
  readonly dateOrder: DateOrder | null;
  readonly decimalMark: DecimalMark | null;
  readonly unit: TorqueUnit | null;
}

export interface IntakePreview {
  readonly ticket: string;
  readonly name: string;
  readonly bytes: number;
  readonly sha256: string | null;
  /** False while only the first lines are known: counts are then those so far. */
  readonly complete: boolean;
  /** Why the file cannot be used; everything below is then empty. */
  readonly problem: Problem | null;
  readonly finding: Said;
  /** Parts of the accounting bar; they add up to `total`. */
  readonly lines: LineCounts;
  /** Readings new to the store, and readings it holds already. */
  readonly accepted: number;
  readonly alreadyHeld: number;
  readonly layout: LayoutWords | null;
  /** First lines, at most 200. */
  readonly firstLines: readonly PreviewLine[];
  readonly moreLines: number;
  readonly roles: readonly RoleRow[];
  readonly questions: readonly QuestionCard[];
  /** Answers in force for this file, by question id. */
  readonly answers: Readonly<Record<string, string>>;
  readonly wouldAdd: WouldAdd | null;
  /** First 50. */
  readonly rejected: readonly RejectedLine[];
  readonly rejectedByReason: readonly ReasonCount[];
  readonly notices: readonly IntakeNotice[];
  /** Some kinds of notices are not said before the open question is answered. */
  readonly noticesWait: boolean;
  readonly recipe: RecipeInfo | null;
}

/** One file of the `intake` JSON of the command line, with the sentence for the screen. */
export interface IntakeOutcome {
  readonly file: string;
  readonly sha256: string | null;
  readonly problem: { readonly kind: string; readonly message: string } | null;
  /** Store id; null: refused, waiting or a dry run. */
  readonly source: number | null;
  /** Null for a refused file. */
  readonly lines: LineCounts | null;
  readonly accepted: number;
  readonly alreadyHeld: number;
  readonly rejected: readonly {
    readonly line: number;
    readonly lines: number;
    readonly column: string | null;
    readonly reason: RejectCode;
    readonly says: string;
    readonly text: string;
  }[];
  readonly questions: readonly {
    readonly id: string;
    readonly text: string;
    readonly choices: readonly {
      readonly value: string;
      readonly meaning: string;
      readonly evidence: readonly string[];
    }[];
  }[];
  readonly notices: readonly { readonly kind: NoticeKind; readonly text: string; readonly lines: readonly number[] }[];
  readonly recipe: unknown;
  /** Another table in the file, kept with it but not read; its lines count under header. */
  readonly secondTable: { readonly line: number; readonly lines: number } | null;
  /** "845 readings taken in." */
  readonly said: Said;
  readonly ticket: string | null;
}

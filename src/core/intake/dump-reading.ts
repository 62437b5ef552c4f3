/**
 * What reading one file came to: plain data (JSON keeps it), so that a file may wait for an answer across a restart.
 *
 * The store adds what only it knows: which accepted rows are held already, names it does not know, overlap.
 */
import type {
  IntakeNotice,
  LayoutWords,
  PreviewLine,
  QuestionCard,
  ReasonCount,
  RecipeInfo,
  RoleRow,
} from '../contract/models/intake-model.ts';
import type { Problem } from '../contract/problems.ts';
import type { TorqueUnit } from '../units/torque-unit.ts';
import type { Recipe } from './recipe.ts';
import type { DateOrder, DecimalMark, RejectCode } from './vocabulary.ts';

/** A line that became no reading; its text is read back from the stored bytes. */
export interface RejectedRow {
  readonly line: number;
  readonly lines: number;
  /** Name of the column at fault; null: the whole line. */
  readonly column: string | null;
  readonly code: RejectCode;
  /** Offending stretch of the line's text, for underlining; null: all of it. */
  readonly span: readonly [number, number] | null;
  /** The line as in the file, cut at 1,000 characters. */
  readonly text: string;
}

export interface DumpReading {
  /** Why the file cannot be used; nothing was handed to the sink then. */
  readonly problem: Problem | null;
  /** Bytes and physical lines of the whole file. */
  readonly bytes: number;
  readonly lineTotal: number;
  /** Physical lines of preamble, headers, footers and second tables; of blank lines; of rejected and of accepted records. */
  readonly headerLines: number;
  readonly blankLines: number;
  readonly rejectedLines: number;
  readonly acceptedLines: number;
  /** Readings handed to the sink, and rejected records. */
  readonly accepted: number;
  readonly rejected: number;
  readonly rejectedByReason: readonly ReasonCount[];
  /** First 50 rejected lines. */
  readonly firstRejected: readonly RejectedRow[];
  readonly questions: readonly QuestionCard[];
  readonly notices: readonly IntakeNotice[];
  readonly layout: LayoutWords | null;
  readonly firstLines: readonly PreviewLine[];
  readonly roles: readonly RoleRow[];
  readonly recipeInfo: RecipeInfo | null;
  /** What was found or answered, ready to be saved for this layout. Null when the file is refused. */
  readonly recipe: Recipe | null;
  /** Key-value pairs of the preamble, as written, at most 100. */
  readonly facts: Readonly<Record<string, string>>;
  /** A second table that is no list of readings: its lines count under header. Null: none. */
  readonly secondTable: { readonly line: number; readonly lines: number } | null;
  /** The order its dates were read in: settled, or the leading guess while the question is open. */
  readonly readOrder: DateOrder;
  /** The decimal mark its numbers were read with: settled, or the leading guess while the question is open. */
  readonly readMark: DecimalMark;
  /** Times fall and never rise: the file lists the newest reading first. */
  readonly newestFirst: boolean;
  /** Whether any accepted row has a time; whether all have. */
  readonly hasTimes: 'all' | 'some' | 'none';
  /** Coarsest precision of a time in the file (code of `atStep`); 0: no times. */
  readonly atStep: number;
  /** How the sequence column runs: null: none; `rows` when it simply counts the file's rows from 1. */
  readonly sequence: 'rows' | 'device' | null;
  /** First and last civil time; null: none. */
  readonly from: number | null;
  readonly to: number | null;
  /** Readings by unit. */
  readonly units: Readonly<Partial<Record<TorqueUnit, number>>>;
}

/**
 * The register: what the plant says about its joints, tools, operators, shifts and checks.
 *
 * These are the in-memory types every analysis works on. The JSON file of the command line is read and written by
 * `register-file.ts`; positions in the arrays are what the reading columns point to.
 */
import type { TorqueUnit } from '../units/torque-unit.ts';

export interface Register {
  readonly joints: readonly Joint[];
  readonly tools: readonly Tool[];
  readonly operators: readonly Operator[];
  /** In the plant's order: where shifts overlap the first in the list holds. */
  readonly shifts: readonly Shift[];
  /** One row a pull, in time order. */
  readonly checks: readonly CheckPull[];
}

export type JointClass = 'A' | 'B' | 'C';
export type Direction = 'cw' | 'ccw';
/** What ends a tightening; decides which drift lane shows the tool and which the people (definitions 16). */
export type StopsBy = 'torque' | 'angle';

export interface Joint {
  readonly name: string;
  /** Class of characteristic by harm (A danger to life, B breakdown, C annoyance), or the plant's own word; null: not set. */
  readonly class: string | null;
  readonly direction: Direction;
  readonly stopsBy: StopsBy;
  /** Where in the plant it is tightened; null: not set. */
  readonly station: string | null;
  /** Anything a person should know who looks at it: a drawing number, the order of tightening. */
  readonly note: string | null;
  /** Sorted by `from`, rising. */
  readonly revisions: readonly LimitRevision[];
  /** False while the name is known from dumps alone. */
  readonly confirmed: boolean;
}

export interface LimitRevision {
  /** A, B, C ... in order of time. */
  readonly label: string;
  /** Civil ms, inclusive; in force until the next revision's. */
  readonly from: number;
  readonly unit: TorqueUnit;
  /** Torque window in `unit`; null is an open side. Percent tolerances are resolved already, unrounded. */
  readonly low: number | null;
  readonly target: number | null;
  readonly high: number | null;
  /** Signed percent as entered, where the limits were given that way. */
  readonly lowPercent: number | null;
  readonly highPercent: number | null;
  readonly angleLowDeg: number | null;
  readonly angleTargetDeg: number | null;
  readonly angleHighDeg: number | null;
  readonly batchSize: number | null;
  readonly retryWithinSeconds: number | null;
  readonly by: string | null;
  readonly why: string | null;
}

export type ToolStatus = 'in-use' | 'quarantined' | 'retired';

export interface Tool {
  readonly serial: string;
  /** Unit of `min`, `max`; null when the tool is known from dumps alone. */
  readonly unit: TorqueUnit | null;
  readonly min: number | null;
  readonly max: number | null;
  readonly permissibleDeviationPercent: number | null;
  readonly storageCapacity: number | null;
  /** Civil ms of the last calibration entered by hand; `events` may hold later ones. */
  readonly calibratedOn: number | null;
  readonly intervalMonths: number | null;
  readonly intervalCycles: number | null;
  readonly checkEveryDays: number | null;
  readonly lengthMm: number | null;
  readonly status: ToolStatus;
  readonly events: readonly ToolEvent[];
  /** Adapter in use, by period; empty: none. */
  readonly adapters: readonly AdapterPeriod[];
  readonly confirmed: boolean;
}

export interface ToolEvent {
  readonly at: number;
  readonly kind: 'calibration' | 'repair';
  readonly note: string | null;
}

/** An offset adapter on a tool from a time on (definitions 3): the tool's own torque is not the fastener's. */
export interface AdapterPeriod {
  readonly from: number;
  readonly to: number | null;
  /** Effective length of the wrench, drive centre to the middle of the pull on the grip. */
  readonly lengthMm: number;
  /** Drive centre to fastener centre. */
  readonly offsetMm: number;
  /** Between drive -> fastener and the wrench's axis pointing away from the hand; 0 straight ahead. */
  readonly angleDeg: number;
}

export interface Operator {
  readonly badge: string;
  readonly name: string | null;
  readonly confirmed: boolean;
}

export interface Shift {
  readonly name: string;
  /** Minutes after midnight. `endMinute <= startMinute`: past midnight; the occurrence is named by the day it starts on. */
  readonly startMinute: number;
  readonly endMinute: number;
  /** Days of the week on which it starts, 0 Monday to 6 Sunday, rising; null: every day. */
  readonly weekdays: readonly number[] | null;
  /** In order of the shift. */
  readonly breaks: readonly ShiftBreak[];
}

/** A break of a shift. Minutes after midnight; a night shift's break may lie after midnight. */
export interface ShiftBreak {
  readonly startMinute: number;
  readonly endMinute: number;
  readonly name: string | null;
}

export interface CheckPull {
  /** Position in `tools`. */
  readonly tool: number;
  readonly at: number;
  readonly nominal: number;
  readonly reference: number;
  /** What the tool showed. */
  readonly shown: number;
  readonly unit: TorqueUnit;
  readonly kind: 'as-found' | 'as-left';
  readonly uncertaintyPercent: number | null;
}

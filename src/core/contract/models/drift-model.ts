/**
 * Shapes the drift screen is sent.
 *
 * Every percentage is signed and in %, never a share. `low95` and `high95` are the ends of a two-sided 95 % interval.
 * Null is "not computed"; the sentence that says why stands beside it. Times are civil ms.
 */

import type { Said } from '../../text/said.ts';
import type { TorqueUnit } from '../../units/torque-unit.ts';
import type { Working } from './study-model.ts';

/** An estimate with its interval. */
export interface Estimate {
  readonly percent: number;
  readonly low95: number;
  readonly high95: number;
}

/** A move from a date on, after joint and operator (definitions 15). */
export interface Move extends Estimate {
  /** Start of the first shift after the change. */
  readonly at: number;
}

export interface ChangePoint {
  /** Start of the first shift after the change, and the span its date may lie in. */
  readonly at: number;
  readonly low95: number;
  readonly high95: number;
  readonly shape: 'step' | 'ramp';
  readonly shiftPercent: number;
  readonly shiftLow95: number;
  readonly shiftHigh95: number;
}

/** One value a shift (block) of one tool or operator, with its EWMA; all arrays have one entry a block. */
export interface BlockSeries {
  /** Start of the shift occurrence, or of the civil day where no shift is registered. */
  readonly at: readonly number[];
  /** Mean over the cells of the block after joint and operator, %. */
  readonly percent: readonly number[];
  readonly readings: readonly number[];
  /** Null inside the baseline. */
  readonly ewma: readonly (number | null)[];
  /** Limits with the doubt of the baseline; null inside the baseline. */
  readonly ewmaLow: readonly (number | null)[];
  readonly ewmaHigh: readonly (number | null)[];
  /** Mean of the baseline; null when there is none. */
  readonly baseline: number | null;
  /** The first and the last block of the baseline, as positions in the arrays; null: too few blocks. */
  readonly baselineFrom: number | null;
  readonly baselineTo: number | null;
  /** Standard deviation of block values used for the limits, %. */
  readonly sigma: number | null;
}

/** What an evidence lane measures on this tool's joints: roles swap where a joint is stopped by angle. */
export type LaneQuantity = 'torque' | 'angle-at-equal-torque' | 'angle' | 'torque-at-equal-angle' | 'mixed';

/** One of the two lanes that come from the tool's own readings. */
export interface Lane {
  readonly quantity: LaneQuantity;
  /** Null: cannot be told (`why` says so). */
  readonly moved: boolean | null;
  /** Why the lane says nothing or not all; null when there is nothing to add. */
  readonly why: Said | null;
  readonly blocks: number;
  readonly series: BlockSeries;
  /** Only when `moved` is true. */
  readonly changePoint: ChangePoint | null;
  /**
   * Size since the date the tool's row counts from (its own change, else the other lane's, else the middle block). In the
   * list of more than 40 tools null for own readings that are still; the detail of the tool has it.
   */
  readonly since: Move | null;
  /** Smallest shift the lane could have shown, % (1.96 standard errors); null as `since` is. */
  readonly smallestVisible: number | null;
  /** What the permitted error of the tool would cause here, %; null: permitted error not known. Response lane only. */
  readonly expectedAtPermitted: number | null;
  /** True: the permitted error would stay under the smallest visible shift ("this lane cannot see it"). */
  readonly blind: boolean;
  /** What the latest check's deviation alone would give in this lane, %. Response lane only. */
  readonly fromCheck: number | null;
  /** Slope and its p: null with fewer than 10 blocks, and in a list of more than 40 tools, where the detail has them. */
  readonly slopePercentPer1000: Estimate | null;
  readonly mannKendallP: number | null;
  readonly adjustedP: number | null;
  readonly changeAdjustedP: number | null;
  /** First block outside its EWMA limits. In the response lane null unless `moved`: there it counts only together. */
  readonly alarmAt: number | null;
  /** First CUSUM alarm (k 0.5, h 5), same baseline and sigma. */
  readonly cusumAlarmAt: number | null;
}

/** One check: pulls of the same tool, time, kind and nominal. */
export interface CheckRow {
  readonly at: number;
  readonly kind: 'as-found' | 'as-left';
  readonly nominal: number;
  readonly unit: TorqueUnit;
  readonly pulls: number;
  /** Means over the pulls. */
  readonly shown: number;
  readonly reference: number;
  /** Mean deviation, %; positive: the tool shows too much and fasteners get less. */
  readonly deviationPercent: number;
  readonly pullPercent: readonly number[];
  readonly lowestPercent: number;
  readonly highestPercent: number;
  /** Null: outside the tool's marked range, or no permissible deviation known. */
  readonly passed: boolean | null;
  readonly uncertaintyPercent: number | null;
}

export interface CheckForecast {
  readonly nominal: number;
  readonly unit: TorqueUnit;
  readonly checks: number;
  readonly percentPerDay: number;
  readonly crossesOn: number;
  readonly low95: number;
  readonly high95: number;
}

export interface ChecksLane {
  readonly permissiblePercent: number | null;
  /** The newest check; of several at once the failing one, else the one farthest from 0. */
  readonly latest: CheckRow | null;
  readonly failing: boolean;
  /** Newest 12, oldest first: for the small multiple. */
  readonly recent: readonly CheckRow[];
  readonly forecast: CheckForecast | null;
  readonly why: Said | null;
}

/** When something is due. `overdue` compares with the `now` of the request. */
export interface DueDate {
  /** Civil day (its start); due until the end of that day. */
  readonly on: number;
  readonly overdue: boolean;
  readonly because: 'months' | 'cycles' | 'days';
  /** True: the plant gave no interval, the default of ISO 6789 stands in (12 months or 5,000 cycles). */
  readonly byDefault: boolean;
}

export interface AffectedReadings {
  /** Last good check or calibration; null: none, all its readings count. */
  readonly since: number | null;
  /** End of the span; null: until now. */
  readonly until: number | null;
  readonly count: number;
  readonly noTime: number;
  readonly passed: number;
  readonly byJoint: readonly { readonly joint: string; readonly count: number; readonly passed: number }[];
}

export interface InQuestion {
  readonly since: number;
  readonly count: number;
  /** Passing ones that leave their limits when corrected by the latest check's deviation; null: no check. */
  readonly wouldLeaveLimits: number | null;
}

export type Urgency = 'failing-check' | 'response-moved' | 'overdue' | 'own-moved' | 'still' | 'too-little';

/** What the table of findings lets be said (definitions 16). */
export type FindingKind =
  | 'out-of-tolerance'
  | 'reads-wrong'
  | 'may-read-wrong'
  | 'check-disagrees'
  | 'joint-not-tool'
  | 'people-or-stop'
  | 'own-moved-blind'
  | 'more-than-one'
  | 'still'
  | 'too-little';

/** A row of the ranked list. */
export interface DriftToolRow {
  readonly tool: string;
  /** First tries in cells. */
  readonly readings: number;
  readonly blocks: number;
  readonly rank: number;
  readonly urgency: Urgency;
  readonly kind: FindingKind;
  readonly status: 'in-use' | 'quarantined' | 'retired';
  readonly joints: readonly string[];
  /** Operators that cannot be told from this tool; empty: it stands alone. */
  readonly togetherWith: readonly string[];
  readonly own: Lane;
  readonly response: Lane;
  readonly checks: ChecksLane;
  readonly calibrationDue: DueDate | null;
  readonly checkDue: DueDate | null;
  /** One line under the lanes. */
  readonly line: Said;
  /** Screen-wide finding when this tool is chosen. */
  readonly finding: Said;
  readonly affected: AffectedReadings;
  readonly inQuestion: InQuestion | null;
  /** Thresholds of the watch list that the tool is beyond; empty: none set or none crossed. */
  readonly watch: readonly WatchHit[];
}

export interface WatchHit {
  readonly lane: 'own' | 'response' | 'check';
  readonly thresholdPercent: number;
  readonly percent: number;
}

export interface EffectRow {
  readonly name: string;
  readonly label: string;
  readonly effectPercent: number;
  /** Simultaneous over the levels shown of this factor. */
  readonly low95: number;
  readonly high95: number;
  /** Readings in its cells, and blocks. */
  readonly n: number;
  readonly blocks: number;
  /** Set of levels that can be compared with each other; effects of different sets cannot. */
  readonly comparableSet: number;
}

/** Spread of one operator's readings around the means of their cells, against all others. A matter for training. */
export interface OperatorRow {
  readonly operator: string;
  readonly label: string;
  readonly readings: number;
  /** How far above or below the others this operator stops; null: cannot be told apart. */
  readonly stop: Estimate | null;
  readonly spreadPercent: number | null;
  readonly spreadLow95: number | null;
  readonly spreadHigh95: number | null;
  readonly moved: boolean | null;
  readonly changePoint: ChangePoint | null;
  readonly line: Said;
}

/** Names that cannot be told apart, and the least work that would. */
export interface TangledGroup {
  readonly tools: readonly string[];
  readonly operators: readonly string[];
  readonly joints: readonly string[];
  /** The same levels in the sets within which they can be compared; only factors with more than one set. */
  readonly sets: {
    readonly tools: readonly (readonly string[])[];
    readonly operators: readonly (readonly string[])[];
    readonly joints: readonly (readonly string[])[];
  };
  readonly says: Said;
  readonly untangleBy: readonly UntangleStep[];
  readonly untangleSays: Said;
}

export interface UntangleStep {
  readonly operator: string;
  readonly tool: string;
  readonly joint: string;
}

export interface BarelySeparable {
  readonly factor: 'tool' | 'operator' | 'joint';
  readonly a: string;
  readonly b: string;
  readonly inflation: number;
}

export interface DriftModel {
  /** Span of the readings used; null: none. */
  readonly from: number | null;
  readonly to: number | null;
  readonly readings: number;
  readonly blocks: number;
  /** Most urgent first. */
  readonly tools: readonly DriftToolRow[];
  /** For one lane: tool-blocks over the in-control run length. */
  readonly expectedFalseAlarms: number;
  readonly ewma: { readonly lambda: number; readonly limitFactor: number; readonly baselineBlocks: number };
  readonly effects: {
    readonly tool: readonly EffectRow[];
    readonly operator: readonly EffectRow[];
    readonly joint: readonly EffectRow[];
  };
  /** Why there are no effects; null when there are. */
  readonly effectsWhy: Said | null;
  readonly tangled: readonly TangledGroup[];
  readonly barely: readonly BarelySeparable[];
  readonly operators: readonly OperatorRow[];
  /** The finding for the whole list: the most urgent tool, or that none moved. */
  readonly finding: Said;
  readonly caution: readonly Said[];
  /** Readings of the scope that are in no cell, with why. */
  readonly leftOut: readonly { readonly why: Said; readonly count: number }[];
  /** True: operators are shown by labels that do not name them. */
  readonly anonymous: boolean;
}

/** A named instant on the strips. */
export interface StripMark {
  readonly at: number;
  readonly kind: 'calibration' | 'repair' | 'limit-revision' | 'as-left';
  readonly says: Said;
}

/** A row of "what moved since". */
export interface MovedRow {
  readonly lane: 'own' | 'response';
  readonly who: 'tool' | 'operator' | 'other-tool';
  readonly name: string;
  readonly label: string;
  /** Null: cannot be told (`why`). */
  readonly move: Estimate | null;
  readonly excludesZero: boolean;
  readonly why: Said | null;
  readonly cells: number;
}

/** Response against stop quantity at one joint: angle up, shown torque across (swapped where the angle stops). */
export interface ResponseScatter {
  readonly joint: string;
  readonly across: 'torque' | 'angle';
  readonly unit: TorqueUnit;
  readonly x: readonly number[];
  readonly y: readonly number[];
  /** 1: after the date. */
  readonly after: readonly number[];
  /** Every k-th reading is drawn. */
  readonly everyKth: number;
  readonly total: number;
  /** Parallel lines y = intercept + slope x; null: too few. */
  readonly slope: number;
  readonly interceptBefore: number | null;
  readonly interceptAfter: number | null;
  /** Vertical step between the lines in the unit of `y`. */
  readonly step: number | null;
  /** False: fewer than 30 baseline readings or no clear slope: the lines are level. */
  readonly slopeUsed: boolean;
}

export interface DriftToolModel {
  readonly row: DriftToolRow;
  /** Time axis shared by the three strips. */
  readonly from: number;
  readonly to: number;
  /** The change that the strips show; null: none. */
  readonly change: (ChangePoint & { readonly lane: 'own' | 'response' }) | null;
  /** Date that "since" counts from, also when nothing moved (the middle block); null: too few blocks. */
  readonly sinceAt: number | null;
  readonly ewma: { readonly lambda: number; readonly limitFactor: number; readonly baselineBlocks: number };
  readonly marks: readonly StripMark[];
  /** All checks of the tool in the span, oldest first. */
  readonly checks: readonly CheckRow[];
  /** At the joint with most readings of this lane; null: no pairs of torque and angle. */
  readonly scatter: ResponseScatter | null;
  readonly whatMoved: readonly MovedRow[];
  /** Newest first, at most 50; `checksHidden` more exist. */
  readonly checkLog: readonly CheckRow[];
  readonly checksHidden: number;
  readonly finding: Said;
  /** At least one other explanation, the next cheap test, quarantine, who decides. */
  readonly caution: readonly Said[];
  /** Both sides of the latest deviation in words; null: no check. */
  readonly bothSides: Said | null;
  /** The finding speaks of that check and has said both sides: once is enough. */
  readonly findingSaysBothSides: boolean;
  /** What each lane supports, one sentence each. */
  readonly laneSays: { readonly own: Said; readonly response: Said; readonly checks: Said };
  /** Ids (`<source>:<line>`) of the newest affected and in-question readings, at most 250; the counts are complete. */
  readonly affectedIds: readonly string[];
  readonly inQuestionIds: readonly string[];
  /** Thresholds kept for this tool; null: none. */
  readonly thresholds: WatchThresholds | null;
  readonly tangled: readonly TangledGroup[];
  /** How each figure came about, in the order of the screen. */
  readonly workings: readonly Working[];
}

/** Own thresholds of a tool on the watch list, in % either way; null: not watched in that lane. */
export interface WatchThresholds {
  readonly ownPercent: number | null;
  readonly responsePercent: number | null;
  readonly checkPercent: number | null;
}

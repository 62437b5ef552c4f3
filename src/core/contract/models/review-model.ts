/**
 * Shapes the Review screen is sent. Bounded by what a screen can show, whatever the number of readings behind it.
 *
 * Times are civil ms. Inside typed arrays absent numbers are NaN; elsewhere they are null.
 */
import type { FailReason } from '../../judging/judged.ts';
import type { Said } from '../../text/said.ts';
import type { TorqueUnit } from '../../units/torque-unit.ts';
import type { Rate, ReadingRow } from './shared.ts';

export interface ReviewModel {
  readonly period: ReviewPeriod;
  /** The finding: one to four sentences, to be set one after the other. */
  readonly finding: readonly Said[];
  readonly counts: ReviewCounts;
  readonly firstPass: FastenerRate;
  readonly finalRate: FastenerRate;
  readonly ribbon: RibbonModel;
  readonly causes: CauseTable;
  readonly matrix: OperatorToolMatrix;
  readonly fasteners: FastenerAccount;
  readonly again: AgainModel;
  readonly failing: FailingList;
  readonly pace: PaceModel;
  /** Previous occurrence of the shift pattern and the same shift a week before; periods without readings are left out. */
  readonly comparison: readonly PeriodComparison[];
  readonly notices: readonly ReviewNotice[];
  /** Readings nearest to a limit, at most three; filled when nothing failed. */
  readonly nearest: readonly ReadingRow[];
  /** Set when the scope holds no reading. */
  readonly empty: EmptyReview | null;
}

export interface ReviewPeriod {
  /** Ends of the scope, or of the readings in it where the scope is open; null without readings. */
  readonly from: number | null;
  readonly to: number | null;
  /** The shift, when the scope names exactly one. */
  readonly shift: string | null;
  readonly said: Said;
}

export interface ReviewCounts {
  readonly readings: number;
  readonly pass: number;
  readonly fail: number;
  readonly unjudged: number;
  /** Readings without a time. With a period chosen they are outside it and counted here only. */
  readonly noTime: number;
  readonly otherDirection: number;
  /** Readings that a person left out of studies and drift; Review still counts them. */
  readonly leftOut: number;
  readonly ownResultDiffers: number;
}

/** A rate over fasteners; `of` of the rate is `judged`. */
export interface FastenerRate extends Rate {
  readonly fasteners: number;
  readonly judged: number;
  readonly passed: number;
}

// ---- ribbon ----

export type RibbonStrip = 'torque' | 'angle';
export type RibbonMarkKind = FailReason | 'unjudged';

export interface RibbonModel {
  readonly axis: ClockAxis;
  /** Strips that hold any value; torque first. Empty: only the rail of unjudged readings. */
  readonly strips: readonly RibbonStripModel[];
  /** Failing and unjudged readings, in time order. Never dropped: several may share one mark, `count` adds up. */
  readonly marks: readonly RibbonMark[];
  readonly threads: readonly RibbonThread[];
  readonly context: readonly RibbonContext[];
  /** The tool drawn in ink: asked for, else the one of the finding; null: none stands out. */
  readonly ink: string | null;
  /** How many passing readings are in view, and how they are drawn. */
  readonly passing: number;
  readonly drawnAs: 'dots' | 'band';
  /** Under the figure: what is pooled or thinned, and how many; null when every reading is drawn. */
  readonly caption: Said | null;
}

/** A time axis from which idle stretches are cut. Axis position of time t in a span: `offset + (t - from)`. */
export interface ClockAxis {
  readonly spans: readonly { readonly from: number; readonly to: number; readonly offset: number }[];
  /** Length of the whole axis in axis ms. */
  readonly length: number;
  /** Stretches without readings: drawn white. `cut`: shortened to `width` axis ms between two spans; else inside a span at full width. */
  readonly breaks: readonly {
    readonly from: number;
    readonly to: number;
    readonly offset: number;
    readonly width: number;
    readonly cut: boolean;
    readonly said: Said;
  }[];
  /** Ticks, with the text wanted there. */
  readonly ticks: readonly { readonly at: number; readonly offset: number; readonly said: Said }[];
}

export interface RibbonStripModel {
  readonly strip: RibbonStrip;
  /** Passing values as dots (at most 4,000 over both strips), else null. Same length in every array. */
  readonly dots: RibbonDots | null;
  /** 5 % to 95 % and median a column, when there are too many for dots. */
  readonly band: RibbonBand | null;
  /** Running median (of 21 values) of all tools but the ink one; at most 600 points. */
  readonly othersMedian: RibbonLine;
  readonly inkMedian: RibbonLine | null;
  readonly spread: SpreadHistogram;
}

export interface RibbonDots {
  readonly at: Float64Array;
  readonly place: Float32Array;
  /** 1: of the ink tool. */
  readonly ink: Uint8Array;
  /** Name of the reading is `<source>:<line>`. */
  readonly source: Int32Array;
  readonly line: Int32Array;
}

export interface RibbonBand {
  /** Middle of the column. */
  readonly at: Float64Array;
  readonly low: Float32Array;
  readonly median: Float32Array;
  readonly high: Float32Array;
  readonly count: Uint32Array;
}

export interface RibbonLine {
  readonly at: Float64Array;
  readonly place: Float32Array;
  /** Points of the running window. */
  readonly window: number;
}

/** Places of all first tries in scope on the axis of the strip: bins of equal width from `from` to `to`. */
export interface SpreadHistogram {
  readonly from: number;
  readonly to: number;
  readonly counts: Uint32Array;
  readonly below: number;
  readonly above: number;
}

export interface RibbonMark {
  /** `<source>:<line>`; of the first reading where several share a mark. */
  readonly id: string;
  readonly at: number;
  readonly strip: RibbonStrip;
  readonly kind: RibbonMarkKind;
  /** Place in the limits, not clamped; null: none (drawn on the rail under the strips). */
  readonly place: number | null;
  readonly count: number;
  readonly tool: string | null;
  /** The line of text between the strips. */
  readonly said: Said;
  /** Row of the failing list this mark belongs to, -1: none (unjudged). */
  readonly row: number;
}

/** A line from a failing try to the next try at the same fastener. */
export interface RibbonThread {
  readonly strip: RibbonStrip;
  readonly fromAt: number;
  readonly fromPlace: number;
  readonly toAt: number;
  readonly toPlace: number;
  readonly fromId: string;
  readonly toId: string;
}

export interface RibbonContext {
  readonly at: number;
  readonly kind: 'operators-changed' | 'limits-changed' | 'check' | 'calibration' | 'unjudged' | 'shift';
  readonly said: Said;
}

// ---- causes ----

/** First tries that failed or are unjudged, by (reasons, joint). `causes` of the JSON answer counts every try instead. */
export interface CauseTable {
  readonly total: number;
  readonly rows: readonly CauseRow[];
  readonly said: Said;
}

export interface CauseRow {
  /** Stable name for selecting: reasons and joint. */
  readonly key: string;
  readonly reasons: readonly FailReason[];
  /** Set for unjudged rows. */
  readonly unjudgedBecause: Said | null;
  /** The times of these readings come from a clock that was not set: limits would not help. */
  readonly clockUnset: boolean;
  readonly joint: string | null;
  readonly said: Said;
  readonly count: number;
  /** Running share of the total, 0..1. */
  readonly running: number;
  /** Names of the readings in time order, at most 200. */
  readonly readings: readonly string[];
}

// ---- operator by tool ----

export interface OperatorToolMatrix {
  readonly operators: readonly { readonly badge: string | null; readonly name: string | null }[];
  readonly tools: readonly { readonly serial: string; readonly fasteners: number }[];
  /** Cells with at least one fastener. Positions point into `operators` and `tools`. */
  readonly cells: readonly MatrixCell[];
  /** Lower end of the shared scale, a share; upper end is 1. */
  readonly scaleFrom: number;
  readonly overall: number | null;
  /** Which test made a cell bold, over how many cells. */
  readonly caption: Said;
  /** Who followed whom on a tool: operator and time cannot be told apart. */
  readonly remarks: readonly Said[];
}

export interface MatrixCell extends FastenerRate {
  readonly operator: number;
  readonly tool: number;
  /** Benjamini-Hochberg adjusted; null under 20 judged. */
  readonly adjustedP: number | null;
  readonly bold: boolean;
  /** Under 20 judged: grey number, hollow dot. */
  readonly few: boolean;
}

// ---- fasteners and batches ----

export interface FastenerAccount {
  /** One line that adds up; null due and missing when batches cannot be told. */
  readonly said: Said;
  readonly due: number | null;
  readonly read: number;
  readonly missing: number | null;
  readonly surplus: number | null;
  readonly batches: number | null;
  /** Batches that are not complete, in time order, at most 100. */
  readonly incomplete: readonly BatchRow[];
  readonly incompleteTotal: number;
  /** Batches that lack a fastener, of all. */
  readonly batchesMissing: number;
  /** Chains of tries known by time only, and by identity. */
  readonly chainsByTime: number;
  readonly chainsByIdentity: number;
  /** Why batches cannot be told for some tools. */
  readonly remarks: readonly Said[];
}

export interface BatchRow {
  readonly joint: string;
  readonly tool: string | null;
  readonly batch: string | null;
  readonly from: number | null;
  readonly size: number;
  readonly distinct: number;
  readonly missing: number;
  readonly surplus: number;
  /** One slot a fastener due, in order: true read, false missing; where positions are unknown the last ones are missing. */
  readonly slots: readonly boolean[];
  readonly said: Said;
  readonly firstReading: string;
}

// ---- tightened again ----

export interface AgainModel {
  readonly said: Said;
  readonly total: number;
  readonly loosened: number;
  readonly notLoosened: number;
  readonly endsInside: number;
  /** In time order of the first try, at most 200. */
  readonly chains: readonly AgainChain[];
}

export interface AgainChain {
  readonly joint: string | null;
  readonly tool: string | null;
  readonly fastener: string | null;
  readonly chainBy: 'identity' | 'time';
  /** Proven by a reading in the other direction between the tries; `unknown`: nothing in the data says. */
  readonly loosened: 'yes' | 'needed' | 'unknown';
  readonly endsInPass: boolean;
  readonly tries: readonly {
    readonly id: string;
    readonly at: number | null;
    readonly place: number | null;
    readonly anglePlace: number | null;
    readonly reasons: readonly FailReason[];
    readonly verdict: 'pass' | 'fail' | 'unjudged';
    readonly torque: number | null;
    readonly unit: TorqueUnit;
    readonly angleDeg: number | null;
  }[];
  readonly said: Said;
}

// ---- failing list ----

export interface FailingList {
  /** First tries that failed; rows of every failing try are listed. */
  readonly said: Said;
  readonly total: number;
  /** In time order, at most 500 for the screen. */
  readonly rows: readonly FailingRow[];
}

export interface FailingRow extends ReadingRow {
  /** Short outcome: what followed, or what is known; null: nothing. */
  readonly outcome: Said | null;
  /** "Perhaps a second pull on a tight fastener." */
  readonly question: Said | null;
  readonly disposition: string | null;
  readonly noteBy: string | null;
  readonly noteMs: number | null;
  /** Key of its row in the cause table (first tries), null for further tries. */
  readonly cause: string | null;
  /** The line of text for this reading, as in the ribbon. */
  readonly said: Said;
  /** Names of up to three readings before and after it, same tool. */
  readonly before: readonly string[];
  readonly after: readonly string[];
}

// ---- pace, comparison, notices, empty ----

export interface PaceModel {
  /** Counts by hour (or by day beyond a week), at most 200 columns. */
  readonly stepMs: number;
  readonly from: number | null;
  readonly counts: Uint32Array;
  readonly fails: Uint32Array;
  readonly perHour: number | null;
  /** Longest stretches without a reading, at most five, longest first. */
  /** `name`: the break of the shift that it is, empty where the break has none; null: no break. */
  readonly gaps: readonly { readonly from: number; readonly to: number; readonly name: string | null }[];
  readonly said: Said;
}

export interface PeriodComparison {
  readonly kind: 'previous' | 'week-before';
  readonly label: Said;
  readonly from: number;
  readonly to: number;
  readonly firstPass: FastenerRate;
  readonly failing: number;
  /** Difference of first-pass rates (this less that), share; Newcombe's interval; null when either has none. */
  readonly difference: { readonly value: number; readonly low95: number; readonly high95: number } | null;
  readonly said: Said;
}

export interface ReviewNotice {
  readonly kind: string;
  readonly count: number;
  readonly said: Said;
  /** Names of readings concerned, at most 200. */
  readonly readings: readonly string[];
}

export interface EmptyReview {
  readonly said: Said;
  /** The nearest time at which there are readings, for a button. */
  readonly nearestAt: number | null;
  readonly nearestShift: string | null;
}

// ---- collection list ----

/** Read-outs, checks and calibrations due: the first question of the morning. */
export interface CollectionModel {
  readonly now: number;
  readonly said: Said;
  /** Most urgent first. */
  readonly rows: readonly CollectionRow[];
}

export type Due = 'overdue' | 'today' | 'soon' | 'later' | 'unknown';

export interface CollectionRow {
  readonly tool: string;
  readonly status: 'in-use' | 'quarantined' | 'retired';
  /** Estimate of readings in the tool's memory at `now`; null: unknown. */
  readonly stored: number | null;
  readonly capacity: number | null;
  readonly perDay: number | null;
  readonly fullOn: number | null;
  readonly lastReadOut: number | null;
  /** The last dump repeated readings already held: the memory was not cleared. */
  readonly notCleared: boolean;
  readonly readOut: Due;
  readonly checkDue: number | null;
  readonly check: Due;
  readonly lastCheck: number | null;
  readonly calibrationDue: number | null;
  readonly calibration: Due;
  readonly cyclesSince: number | null;
  readonly intervalCycles: number | null;
  readonly said: readonly Said[];
}

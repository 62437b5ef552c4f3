/** Small shapes that several models share. */
import type { FailReason, UnjudgedCode } from '../../judging/judged.ts';
import type { TorqueUnit } from '../../units/torque-unit.ts';

/** A share 0..1 with its 95 % interval (two-sided, equal tails) and what it was made from. */
export interface Rate {
  readonly count: number;
  readonly of: number;
  /** Null when `of` is 0. */
  readonly share: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
}

/** A reading as a row of a list: everything a line of text about it needs. */
export interface ReadingRow {
  /** `<source>:<line>`. */
  readonly id: string;
  /** Position in the engine's columns at the time of the answer; for asking about it again. */
  readonly position: number;
  readonly at: number | null;
  readonly atStepMs: number;
  readonly joint: string | null;
  readonly tool: string | null;
  readonly operator: string | null;
  readonly operatorName: string | null;
  /** As recorded, signed. */
  readonly torque: number | null;
  readonly torqueDecimals: number;
  readonly unit: TorqueUnit;
  readonly angleDeg: number | null;
  /** Places inside the limits: -1 low, +1 high; null: none. */
  readonly torquePlace: number | null;
  readonly anglePlace: number | null;
  readonly verdict: 'pass' | 'fail' | 'unjudged';
  readonly reasons: readonly FailReason[];
  readonly unjudgedBecause: UnjudgedCode | null;
  readonly ownResult: 'good' | 'bad' | null;
  readonly attempt: number | null;
  readonly fastener: string | null;
  readonly sourceName: string;
  readonly line: number;
  readonly leftOut: string | null;
  /** Newest note or disposition, as text. */
  readonly note: string | null;
}

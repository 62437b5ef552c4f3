/**
 * Verdicts as columns, one entry a reading. Derived from readings and register; never stored (engine: 1 M in 50 ms).
 */
export interface Judged {
  /** 0 unjudged, 1 pass, 2 fail. */
  readonly verdict: Uint8Array;
  /** Bits of `failBits`. */
  readonly reasons: Uint8Array;
  /** Position in `unjudgedCodes`; 0 when judged. */
  readonly unjudgedBecause: Uint8Array;
  /** Position of the revision in force in the joint's list; -1: none. */
  readonly revision: Int16Array;
  /**
   * Torque at the fastener in the unit of the limits (of the recorded unit where there are none): direction folded
   * into the magnitude, adapter applied. NaN: none, or other direction. This is the value every statistic uses.
   */
  readonly torque: Float64Array;
  /** Angle as magnitude in the joint's direction, degrees; NaN: none, or other direction. */
  readonly angle: Float64Array;
  /** Place inside the limits, -1 at the low, 0 in the middle, +1 at the high limit; NaN: no such place. */
  readonly torquePlace: Float32Array;
  readonly anglePlace: Float32Array;
  /** 1: units differ and the value is on the limit to the digits shown (notice `on-limit`). */
  readonly onLimit: Uint8Array;
}

export const verdictUnjudged = 0;
export const verdictPass = 1;
export const verdictFail = 2;

/** One bit a reason; the names are those of the JSON contract. */
export const failBits = { 'torque-low': 1, 'torque-high': 2, 'angle-low': 4, 'angle-high': 8 } as const;
export type FailReason = keyof typeof failBits;

/** Why a reading has no verdict, in the order in which they apply (cli contract). Position 0: it has one. */
export const unjudgedCodes = [null, 'other-direction', 'no-time', 'no-limits', 'no-torque', 'no-angle'] as const;
export type UnjudgedCode = Exclude<(typeof unjudgedCodes)[number], null>;

/** The reasons named by a set of bits, in the fixed order torque low, torque high, angle low, angle high. */
export function failReasons(bits: number): FailReason[] {
  return (Object.keys(failBits) as FailReason[]).filter((reason) => (bits & failBits[reason]) !== 0);
}

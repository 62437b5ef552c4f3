/**
 * What a tool's permitted error leaves of a window (definitions 13).
 *
 * Sources: JCGM 106:2012; ISO 14253-1:2017 (written for geometrical inspection; same rule stated from memory).
 */
import { type Limits, nearerLimitIndex } from './capability-indices.ts';
import { type SampleMoments, sampleMoments } from './sample-moments.ts';

/** One-sided 95 % factor. */
const guardFactor = 1.645;

export interface GuardBand {
  readonly uncertainty: number;
  readonly width: number;
}

/**
 * Standard uncertainty at a limit, u^2 = (a X / sqrt 3)^2 + (h / sqrt 12)^2, and the guard band 1.645 u.
 *
 * @param permissible relative permissible deviation a, 0.04 for 4 %
 * @param step display step h
 * @param certificate standard uncertainty of a certificate, which stands instead of a X / sqrt 3; null: none
 */
export function guardBand(
  limit: number,
  permissible: number,
  step: number,
  certificate: number | null = null,
): GuardBand {
  const own = certificate ?? (permissible * limit) / Math.sqrt(3);
  const uncertainty = Math.sqrt(own * own + (step * step) / 12);
  return { uncertainty, width: guardFactor * uncertainty };
}

/** What a calibration certificate says of a tool near a joint's torque; all relative, 0.01 for 1 %. */
export interface Certificate {
  /** Expanded uncertainty, k = 2. */
  readonly expanded: number;
  /** (shown - reference) / reference: positive where the tool shows too much. */
  readonly deviation: number;
}

/**
 * The values shown between which a reading is proved inside, and beyond which it is proved outside.
 *
 * With a certificate its standard uncertainty (half the expanded one) stands instead of the permissible deviation, and its
 * deviation is taken out: applied = shown / (1 + D), so that a bound on the applied torque is (1 + D) times it as shown.
 */
export interface ProofBounds {
  readonly insideLow: number | null;
  readonly insideHigh: number | null;
  readonly outsideLow: number | null;
  readonly outsideHigh: number | null;
}

/** @param permissible relative permissible deviation; may be null where there is a certificate. Null: neither is known. */
export function proofBounds(
  limits: Limits,
  permissible: number | null,
  step: number,
  certificate: Certificate | null = null,
): ProofBounds | null {
  if (permissible === null && certificate === null) return null;
  const factor = 1 + (certificate?.deviation ?? 0);
  const bound = (limit: number | null, sign: 1 | -1): number | null => {
    if (limit === null) return null;
    const own = certificate ? (certificate.expanded / 2) * Math.abs(limit) : null;
    return (limit + sign * guardBand(limit, permissible ?? 0, step, own).width) * factor;
  };
  return {
    insideLow: bound(limits.low, 1),
    insideHigh: bound(limits.high, -1),
    outsideLow: bound(limits.low, -1),
    outsideHigh: bound(limits.high, 1),
  };
}

/** The window in which a reading proves that it is inside; a null side is open. `possible` false: the tool cannot prove it. */
export function provedWindow(
  limits: Limits,
  permissible: number | null,
  step: number,
  certificate: Certificate | null = null,
): { low: number | null; high: number | null; possible: boolean } {
  const bounds = proofBounds(limits, permissible, step, certificate);
  const low = bounds?.insideLow ?? null;
  const high = bounds?.insideHigh ?? null;
  return { low, high, possible: low === null || high === null || low < high };
}

export type Proof = 'inside' | 'outside' | 'neither';

/** What one shown value proves. It changes no verdict. */
export function proofOf(
  value: number,
  limits: Limits,
  permissible: number | null,
  step: number,
  certificate: Certificate | null = null,
): Proof {
  const bounds = proofBounds(limits, permissible, step, certificate);
  return bounds ? proofWithin(value, bounds) : 'neither';
}

/** The same where the bounds are known already. */
export function proofWithin(value: number, bounds: ProofBounds): Proof {
  if (
    value < (bounds.outsideLow ?? Number.NEGATIVE_INFINITY) ||
    value > (bounds.outsideHigh ?? Number.POSITIVE_INFINITY)
  )
    return 'outside';
  return value >= (bounds.insideLow ?? Number.NEGATIVE_INFINITY) &&
    value <= (bounds.insideHigh ?? Number.POSITIVE_INFINITY)
    ? 'inside'
    : 'neither';
}

/** (U - L) / (2 a), a = permissible deviation x target (or middle); null for one-sided limits. */
export function accuracyRatio(limits: Limits, permissible: number): number | null {
  if (limits.low === null || limits.high === null || !(permissible > 0)) return null;
  const at = limits.target ?? (limits.low + limits.high) / 2;
  return at > 0 ? (limits.high - limits.low) / (2 * permissible * at) : null;
}

/** (U - L) / (2 U95) of a certificate's expanded uncertainty; never called accuracy ratio. */
export function uncertaintyRatio(limits: Limits, expanded: number): number | null {
  return limits.low === null || limits.high === null || !(expanded > 0)
    ? null
    : (limits.high - limits.low) / (2 * expanded);
}

/**
 * Ppk of the applied torque if the tool stood at either edge of its permitted error: of x/(1 + a) and of x/(1 - a).
 *
 * @param permissible relative permissible deviation of each reading's tool; one number for all, or one a reading
 * @param moments of the values, where they are known already
 */
export function indexAtPermittedError(
  values: ArrayLike<number>,
  permissible: number | ArrayLike<number>,
  limits: Limits,
  moments: SampleMoments | null = sampleMoments(values),
): { high: number; low: number; smaller: number } | null {
  const edge = (sign: 1 | -1): number | null => {
    if (!moments) return null;
    let { mean, standardDeviation: s } = moments;
    if (typeof permissible === 'number') {
      // One factor for all: mean and standard deviation scale with it.
      mean /= 1 + sign * permissible;
      s = s === null ? null : s / (1 + sign * permissible);
    } else {
      const applied = new Float64Array(values.length);
      for (let i = 0; i < applied.length; i++) applied[i] = values[i]! / (1 + sign * permissible[i]!);
      const own = sampleMoments(applied);
      if (!own) return null;
      ({ mean, standardDeviation: s } = own);
    }
    return s !== null && s > 0 ? nearerLimitIndex(limits, mean, s) : null;
  };
  const high = edge(1);
  const low = edge(-1);
  return high === null || low === null ? null : { high, low, smaller: Math.min(high, low) };
}

/** Indices by the percentile method of ISO 22514-2 (public excerpts), from any fitted model. */
import type { Limits } from './capability-indices.ts';
import type { FittedModel } from './fitted-model.ts';

/** The three quantiles of the method. */
export const percentilePoints = [0.00135, 0.5, 0.99865] as const;

export interface PercentileIndices {
  readonly quantiles: readonly [number, number, number];
  readonly Pp: number | null;
  readonly Ppk: number | null;
}

/**
 * Pp = (U - L)/(X99.865 - X0.135); Ppk = the smaller of (U - X50)/(X99.865 - X50) and (X50 - L)/(X50 - X0.135).
 * Null for the model when its quantiles do not differ.
 */
export function percentileIndices(model: FittedModel, limits: Limits): PercentileIndices | null {
  const a = model.quantile(percentilePoints[0]);
  const b = model.quantile(percentilePoints[1]);
  const c = model.quantile(percentilePoints[2]);
  if (!Number.isFinite(a) || !Number.isFinite(c) || !(a < b) || !(b < c)) return null;
  const up = limits.high === null ? null : (limits.high - b) / (c - b);
  const down = limits.low === null ? null : (b - limits.low) / (b - a);
  return {
    quantiles: [a, b, c],
    Pp: limits.low === null || limits.high === null ? null : (limits.high - limits.low) / (c - a),
    Ppk: up === null || down === null ? (up ?? down) : Math.min(up, down),
  };
}

/** Share a model expects outside the limits, both tails. */
export function modelShareOutside(model: FittedModel, limits: Limits): number {
  return (limits.low === null ? 0 : model.cdf(limits.low)) + (limits.high === null ? 0 : model.survival(limits.high));
}

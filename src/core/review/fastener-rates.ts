import type { FastenerRate } from '../contract/models/review-model.ts';
import type { Rate } from '../contract/models/shared.ts';
import { wilsonInterval } from '../stats/proportion-interval.ts';

/** A share with its 95 % Wilson interval (two-sided, no continuity correction); nulls where there is nothing to divide by. */
export function rateOf(count: number, of: number): Rate {
  if (of === 0) return { count, of, share: null, low95: null, high95: null };
  const { low, high } = wilsonInterval(count, of);
  return { count, of, share: count / of, low95: low, high95: high };
}

/** A rate over fasteners: the denominator is those judged. */
export function fastenerRate(fasteners: number, judged: number, passed: number): FastenerRate {
  return { ...rateOf(passed, judged), fasteners, judged, passed };
}

/**
 * Difference of two independent shares with its 95 % interval, by the hybrid score method.
 *
 * Source: R. G. Newcombe, Stat. Med. 17 (1998) 873, method 10 (from memory).
 */
export function rateDifference(one: Rate, other: Rate): { value: number; low95: number; high95: number } | null {
  if (one.share === null || other.share === null) return null;
  const value = one.share - other.share;
  const below = Math.hypot(one.share - (one.low95 ?? 0), (other.high95 ?? 1) - other.share);
  const above = Math.hypot((one.high95 ?? 1) - one.share, other.share - (other.low95 ?? 0));
  return { value, low95: Math.max(-1, value - below), high95: Math.min(1, value + above) };
}

import { midRanks } from './mid-ranks.ts';

export interface Pettitt {
  /** Largest |U|. */
  readonly k: number;
  /** Values before the change: the first position at which |U| is largest, counted from 1. */
  readonly after: number;
  /** Two-sided, approximate, at most 1. */
  readonly p: number;
}

/**
 * Pettitt's test for one change of level at an unknown date.
 *
 * Method: U_k = 2 sum of the first k mid-ranks - k (n + 1), O(n log n); p = min(1, 2 exp(-6 K^2 / (n^3 + n^2))).
 * Source: A. N. Pettitt, Appl. Statist. 28 (1979) 126.
 *
 * @param values finite, in order of time, at least 2
 */
export function pettitt(values: ArrayLike<number>): Pettitt {
  const n = values.length;
  if (n < 2) throw new RangeError(`Pettitt's test needs 2 values, got ${n}`);
  const ranks = midRanks(values);
  let sum = 0;
  let k = -1;
  let after = 0;
  for (let i = 1; i < n; i++) {
    sum += ranks[i - 1]!;
    const u = Math.abs(2 * sum - i * (n + 1));
    if (u > k) {
      k = u;
      after = i;
    }
  }
  return { k, after, p: Math.min(1, 2 * Math.exp((-6 * k * k) / (n ** 3 + n ** 2))) };
}

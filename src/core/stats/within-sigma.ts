/** Sigma within subgroups by five methods, each with the degrees of freedom its interval needs (definitions 7). */
import { type Computed, computed, noSpread, tooFewValues } from '../outcome.ts';
import { c4, meanMovingRangeFactor, medianMovingRangeFactor, rangeConstants } from './control-constants.ts';
import { medianOfSorted } from './quantiles.ts';
import type { GroupFigures } from './subgroups.ts';

export type WithinMethod = 'pooled' | 's-bar' | 'r-bar' | 'mr-bar' | 'mr-median';

export interface WithinSigma {
  readonly sigma: number;
  /** nu = 1 / (2 V), V the squared coefficient of variation of the estimator; exact for `pooled` only. */
  readonly degreesOfFreedom: number;
  /** Groups of 2 or more, or moving ranges, that it rests on. */
  readonly parts: number;
  /** Runs of moving ranges; 0 for the group methods. */
  readonly runs: number;
  /** What was averaged: mean standard deviation, mean range, mean or median moving range; sum of squares when pooled. */
  readonly statistic: number;
}

/**
 * Sigma from groups: `pooled` sqrt(sum of squares / sum of (n - 1)), `s-bar` mean of s/c4, `r-bar` mean of R/d2.
 *
 * Groups of 1 (after exclusions) leave it.
 */
export function withinSigmaOfGroups(groups: GroupFigures, method: 'pooled' | 's-bar' | 'r-bar'): Computed<WithinSigma> {
  let k = 0;
  let squares = 0;
  let freedom = 0;
  let sum = 0;
  let raw = 0;
  let variation = 0;
  for (let g = 0; g < groups.n.length; g++) {
    const n = groups.n[g]!;
    if (n < 2) continue;
    k++;
    freedom += n - 1;
    squares += groups.sumOfSquares[g]!;
    if (method === 's-bar') {
      const c = c4(n);
      const s = Math.sqrt(groups.sumOfSquares[g]! / (n - 1));
      raw += s;
      sum += s / c;
      variation += (1 - c * c) / (c * c);
    } else if (method === 'r-bar') {
      const { d2, d3 } = rangeConstants(n);
      raw += groups.range[g]!;
      sum += groups.range[g]! / d2;
      variation += (d3 / d2) ** 2;
    }
  }
  if (k === 0) return tooFewValues(1, 0);
  const sigma = method === 'pooled' ? Math.sqrt(squares / freedom) : sum / k;
  if (!(sigma > 0)) return noSpread();
  return computed({
    sigma,
    degreesOfFreedom: method === 'pooled' ? freedom : (k * k) / (2 * variation),
    parts: k,
    runs: 0,
    statistic: method === 'pooled' ? squares : raw / k,
  });
}

export interface MovingRanges {
  /** In order; one shorter than its run. */
  readonly ranges: Float64Array;
  /** Place of the later reading of each range. */
  readonly at: Int32Array;
  /** Runs that hold at least one range. */
  readonly runs: number;
}

/**
 * Moving ranges over consecutive readings of the same run (one tool within one phase). Runs may interleave.
 *
 * @param runOf run of each reading, numbered from 0; -1: not used
 */
export function movingRanges(values: ArrayLike<number>, runOf: ArrayLike<number>): MovingRanges {
  const n = values.length;
  let runCount = 0;
  for (let i = 0; i < n; i++) if (runOf[i]! >= runCount) runCount = runOf[i]! + 1;
  const before = new Float64Array(runCount).fill(Number.NaN);
  const ranged = new Uint8Array(runCount);
  const ranges = new Float64Array(n);
  const at = new Int32Array(n);
  let m = 0;
  let runs = 0;
  for (let i = 0; i < n; i++) {
    const run = runOf[i]!;
    if (run < 0) continue;
    const last = before[run]!;
    const value = values[i]!;
    // NaN marks a run without a reading yet.
    if (!Number.isNaN(last)) {
      ranges[m] = Math.abs(value - last);
      at[m++] = i;
      if (ranged[run] === 0) {
        ranged[run] = 1;
        runs++;
      }
    }
    before[run] = value;
  }
  return { ranges: ranges.subarray(0, m), at: at.subarray(0, m), runs };
}

/** Sigma from moving ranges: mean / 1.128 or median / 0.954. O(n), the median O(n log n). */
export function withinSigmaOfRanges(moving: MovingRanges, method: 'mr-bar' | 'mr-median'): Computed<WithinSigma> {
  const m = moving.ranges.length;
  if (m === 0) return tooFewValues(2, 0);
  const r = moving.runs;
  if (method === 'mr-median') {
    const median = medianOfSorted(Float64Array.from(moving.ranges).sort());
    if (!(median > 0)) return noSpread();
    // 0.314 m: settled by simulation (definitions 7), approximate.
    return computed({
      sigma: median / medianMovingRangeFactor,
      degreesOfFreedom: 0.314 * m,
      parts: m,
      runs: r,
      statistic: median,
    });
  }
  let sum = 0;
  for (let i = 0; i < m; i++) sum += moving.ranges[i]!;
  const mean = sum / m;
  if (!(mean > 0)) return noSpread();
  // Neighbouring ranges share a reading and are correlated: the second term.
  const variation =
    ((m * (2 - 4 / Math.PI) + 2 * (m - r) * (4 / Math.PI) * (Math.sqrt(3) / 2 + Math.PI / 12 - 1)) * Math.PI) /
    (4 * m * m);
  return computed({
    sigma: mean / meanMovingRangeFactor,
    degreesOfFreedom: 1 / (2 * variation),
    parts: m,
    runs: r,
    statistic: mean,
  });
}

/** Subgroup size and within method from what was asked for; null when they contradict each other. */
export function withinDefaults(
  within: WithinMethod | null,
  subgroup: number | null,
): { within: WithinMethod; subgroup: number } | null {
  const moving = within === 'mr-bar' || within === 'mr-median';
  if (moving) return subgroup === null || subgroup === 1 ? { within, subgroup: 1 } : null;
  const size = subgroup ?? 5;
  if (within !== null) return size === 1 ? null : { within, subgroup: size };
  return { within: size === 1 ? 'mr-bar' : 'pooled', subgroup: size };
}

/** Tests of equal means and equal spread over groups (definitions 17). */
import { type Computed, computed, noSpread, tooFewValues } from '../outcome.ts';
import { chiSquareSurvival } from './chi-square-distribution.ts';
import { fSurvival } from './f-distribution.ts';
import { medianOfSorted, sortedCopy } from './quantiles.ts';
import { sampleMoments } from './sample-moments.ts';
import { studentUpperQuantile } from './student-distribution.ts';

export interface AnovaResult {
  readonly betweenDf: number;
  readonly withinDf: number;
  readonly betweenSum: number;
  readonly withinSum: number;
  readonly betweenMean: number;
  readonly withinMean: number;
  readonly F: number;
  readonly p: number;
}

type Groups = readonly ArrayLike<number>[];

/** A plain loop: `Float64Array.from` with a function takes ten times as long. */
function mapped(values: ArrayLike<number>, map: (value: number) => number): Float64Array {
  const made = new Float64Array(values.length);
  for (let i = 0; i < made.length; i++) made[i] = map(values[i]!);
  return made;
}

/**
 * One-way analysis of variance.
 *
 * Sums of squares are taken about the grand mean after subtracting the first value, which keeps three more digits on
 * stiff data (NIST StRD SmLs sets).
 */
export function oneWayAnova(groups: Groups): Computed<AnovaResult> {
  const used = groups.filter((group) => group.length > 0);
  const k = used.length;
  let n = 0;
  for (const group of used) n += group.length;
  if (k < 2) return tooFewValues(2, k);
  if (n - k < 1) return tooFewValues(k + 1, n);
  const origin = used[0]![0]!;
  const moments = used.map((group) => {
    const shifted = mapped(group, (value) => value - origin);
    const found = sampleMoments(shifted);
    if (!found) throw new RangeError('an empty group');
    return found;
  });
  let grand = 0;
  for (const group of moments) grand += group.n * group.mean;
  grand /= n;
  let betweenSum = 0;
  let withinSum = 0;
  for (const group of moments) {
    betweenSum += group.n * (group.mean - grand) ** 2;
    withinSum += group.sumOfSquares;
  }
  if (!(withinSum > 0)) return noSpread();
  return computed(anova(k - 1, n - k, betweenSum, withinSum));
}

function anova(betweenDf: number, withinDf: number, betweenSum: number, withinSum: number): AnovaResult {
  const betweenMean = betweenSum / betweenDf;
  const withinMean = withinSum / withinDf;
  const F = betweenMean / withinMean;
  return {
    betweenDf,
    withinDf,
    betweenSum,
    withinSum,
    betweenMean,
    withinMean,
    F,
    p: fSurvival(F, betweenDf, withinDf),
  };
}

export interface TestResult {
  readonly statistic: number;
  readonly df1: number;
  readonly df2: number | null;
  readonly p: number;
}

/** Welch's test of equal means without equal spread. Source: B. L. Welch, Biometrika 38 (1951) 330; as R's `oneway.test`. */
export function welchAnova(groups: Groups): Computed<TestResult> {
  const k = groups.length;
  if (k < 2) return tooFewValues(2, k);
  const moments = groups.map((group) => sampleMoments(group));
  const w: number[] = [];
  const means: number[] = [];
  const sizes: number[] = [];
  for (const group of moments) {
    if (!group || group.standardDeviation === null) return tooFewValues(2, group?.n ?? 0);
    if (!(group.standardDeviation > 0)) return noSpread();
    w.push(group.n / group.standardDeviation ** 2);
    means.push(group.mean);
    sizes.push(group.n);
  }
  const total = w.reduce((a, b) => a + b, 0);
  const center = w.reduce((sum, wi, i) => sum + wi * means[i]!, 0) / total;
  const lambda = w.reduce((sum, wi, i) => sum + (1 - wi / total) ** 2 / (sizes[i]! - 1), 0);
  const between = w.reduce((sum, wi, i) => sum + wi * (means[i]! - center) ** 2, 0) / (k - 1);
  const statistic = between / (1 + (2 * (k - 2) * lambda) / (k * k - 1));
  const df2 = (k * k - 1) / (3 * lambda);
  return computed({ statistic, df1: k - 1, df2, p: fSurvival(statistic, k - 1, df2) });
}

/** Kruskal-Wallis rank test with ties. Source: Kruskal & Wallis, JASA 47 (1952) 583; as R's `kruskal.test`. O(n log n). */
export function kruskalWallis(groups: Groups): Computed<TestResult> {
  const k = groups.length;
  let n = 0;
  for (const group of groups) n += group.length;
  if (k < 2 || groups.some((group) => group.length === 0)) return tooFewValues(2, k);
  const value = new Float64Array(n);
  const owner = new Int32Array(n);
  let at = 0;
  groups.forEach((group, g) => {
    for (let i = 0; i < group.length; i++) {
      value[at] = group[i]!;
      owner[at++] = g;
    }
  });
  const order = Array.from({ length: n }, (_, i) => i).sort((a, b) => value[a]! - value[b]!);
  const rankSum = new Float64Array(k);
  let ties = 0;
  for (let i = 0; i < n; ) {
    let j = i;
    while (j < n && value[order[j]!] === value[order[i]!]) j++;
    const rank = (i + j + 1) / 2;
    const t = j - i;
    ties += t * t * t - t;
    for (let m = i; m < j; m++) rankSum[owner[order[m]!]!]! += rank;
    i = j;
  }
  const correction = 1 - ties / (n * n * n - n);
  if (!(correction > 0)) return noSpread();
  let sum = 0;
  for (let g = 0; g < k; g++) sum += rankSum[g]! ** 2 / groups[g]!.length;
  const statistic = ((12 * sum) / (n * (n + 1)) - 3 * (n + 1)) / correction;
  return computed({ statistic, df1: k - 1, df2: null, p: chiSquareSurvival(statistic, k - 1) });
}

/** Brown-Forsythe test of equal spread: analysis of variance of distances from group medians (JASA 69 (1974) 364). */
export function brownForsythe(groups: Groups, medians: readonly number[] | null = null): Computed<AnovaResult> {
  return oneWayAnova(
    groups.map((group, g) => {
      // Who has the medians already saves a sort a group.
      const median = medians?.[g] ?? medianOfSorted(sortedCopy(group));
      return mapped(group, (value) => Math.abs(value - median));
    }),
  );
}

export interface VarianceComponents {
  readonly betweenMean: number;
  readonly withinMean: number;
  readonly n0: number;
  /** Variance between groups, never negative. */
  readonly between: number;
  readonly within: number;
}

/** Variance components of one factor by analysis of variance: (MSA - MSE) / n0, n0 = (N - sum n^2 / N) / (a - 1). */
export function varianceComponents(groups: Groups): Computed<VarianceComponents> {
  const result = oneWayAnova(groups);
  if (!result.ok) return result;
  let n = 0;
  let squares = 0;
  let a = 0;
  for (const group of groups) {
    if (group.length === 0) continue;
    a++;
    n += group.length;
    squares += group.length ** 2;
  }
  const n0 = (n - squares / n) / (a - 1);
  const { betweenMean, withinMean } = result.value;
  return computed({
    betweenMean,
    withinMean,
    n0,
    between: Math.max(0, (betweenMean - withinMean) / n0),
    within: withinMean,
  });
}

export interface MeanDifference {
  readonly difference: number;
  readonly df: number;
  readonly low: number;
  readonly high: number;
}

/** Difference of two means with Welch's interval (unequal spreads); null where a group has under 2 values or no spread. */
export function meanDifference(
  first: ArrayLike<number>,
  second: ArrayLike<number>,
  confidence = 0.95,
): MeanDifference | null {
  const a = sampleMoments(first);
  const b = sampleMoments(second);
  if (!a || !b || a.standardDeviation === null || b.standardDeviation === null) return null;
  const va = a.standardDeviation ** 2 / a.n;
  const vb = b.standardDeviation ** 2 / b.n;
  if (!(va + vb > 0)) return null;
  const df = (va + vb) ** 2 / (va ** 2 / (a.n - 1) + vb ** 2 / (b.n - 1));
  const half = studentUpperQuantile((1 - confidence) / 2, df) * Math.sqrt(va + vb);
  const difference = a.mean - b.mean;
  return { difference, df, low: difference - half, high: difference + half };
}

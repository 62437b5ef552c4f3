/**
 * Grubbs' two-sided test and the generalised ESD test.
 *
 * Sources: NIST/SEMATECH e-Handbook 1.3.5.17.1 and 1.3.5.17.3; B. Rosner, Technometrics 25 (1983) 165. In a study they
 * run on the normal scores of the chosen model; they point, they never remove.
 */
import { type Computed, computed, noSpread, tooFewValues } from '../outcome.ts';
import { sampleMoments } from './sample-moments.ts';
import { studentUpperQuantile } from './student-distribution.ts';

export interface GrubbsResult {
  readonly statistic: number;
  readonly critical: number;
  /** 0-based place of the value furthest from the mean. */
  readonly position: number;
}

/** Critical value of Grubbs' statistic. */
export function grubbsCritical(n: number, alpha: number, sides: 1 | 2): number {
  const t = studentUpperQuantile(alpha / (sides * n), n - 2);
  return ((n - 1) / Math.sqrt(n)) * Math.sqrt((t * t) / (n - 2 + t * t));
}

/** Grubbs' test, two-sided: the furthest value from the mean, in standard deviations. */
export function grubbsTest(values: ArrayLike<number>, alpha = 0.05): Computed<GrubbsResult> {
  const n = values.length;
  if (n < 3) return tooFewValues(3, n);
  const moments = sampleMoments(values);
  const s = moments?.standardDeviation ?? 0;
  if (!moments || s === 0) return noSpread();
  let position = 0;
  for (let i = 1; i < n; i++) {
    if (Math.abs(values[i]! - moments.mean) > Math.abs(values[position]! - moments.mean)) position = i;
  }
  return computed({
    statistic: Math.abs(values[position]! - moments.mean) / s,
    critical: grubbsCritical(n, alpha, 2),
    position,
  });
}

export interface EsdResult {
  readonly statistics: readonly number[];
  readonly critical: readonly number[];
  /** 0-based places, in the order in which values were taken out. */
  readonly positions: readonly number[];
  /** The first so many of `positions` are outliers. */
  readonly outliers: number;
}

/** Generalised ESD for at most `most` outliers (definitions 11: min(10, n/10) rounded down, from 25 values). */
export function generalisedEsd(values: ArrayLike<number>, most: number, alpha = 0.05): Computed<EsdResult> {
  const n = values.length;
  if (n < 3 || most < 1) return tooFewValues(3, n);
  const kept = Array.from({ length: n }, (_, i) => i);
  const statistics: number[] = [];
  const critical: number[] = [];
  const positions: number[] = [];
  let outliers = 0;
  for (let i = 1; i <= Math.min(most, n - 2); i++) {
    const moments = sampleMoments(kept.map((k) => values[k]!));
    const s = moments?.standardDeviation ?? 0;
    if (!moments || s === 0) break;
    let furthest = 0;
    for (let j = 1; j < kept.length; j++) {
      if (Math.abs(values[kept[j]!]! - moments.mean) > Math.abs(values[kept[furthest]!]! - moments.mean)) furthest = j;
    }
    const place = kept[furthest]!;
    const statistic = Math.abs(values[place]! - moments.mean) / s;
    kept.splice(furthest, 1);
    const t = studentUpperQuantile(alpha / (2 * (n - i + 1)), n - i - 1);
    const bound = ((n - i) * t) / Math.sqrt((n - i - 1 + t * t) * (n - i + 1));
    statistics.push(statistic);
    critical.push(bound);
    positions.push(place);
    if (statistic > bound) outliers = i;
  }
  if (statistics.length === 0) return noSpread();
  return computed({ statistics, critical, positions, outliers });
}

/** At most so many outliers are looked for in n values; 0 below 25. */
export function mostOutliers(n: number): number {
  return n < 25 ? 0 : Math.min(10, Math.floor(n / 10));
}

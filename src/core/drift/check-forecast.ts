/** When the deviation of a tool will leave what is permitted, if it goes on as its checks say (definitions 13). */
import t from '@stdlib/stats-base-dists-t';
import type { CheckForecast, CheckRow } from '../contract/models/drift-model.ts';
import { msPerDay } from '../time/civil-time.ts';
import { nominalKey } from './check-results.ts';
import { addMonths } from './due-dates.ts';

export interface CrossingLine {
  readonly slope: number;
  readonly slopeLow95: number;
  readonly slopeHigh95: number;
  /** Day on which the line reaches the permissible deviation it runs towards; null: the slope's interval holds 0. */
  readonly crosses: number | null;
  readonly low95: number | null;
  readonly high95: number | null;
}

/**
 * Least-squares line of deviation on days, and where it and the 95 % band of its mean cross the permissible deviation.
 *
 * Method: ordinary least squares, Student interval with n - 2 degrees of freedom; the band is met in closed form (a
 * quadratic), O(n).
 *
 * @param days days from any origin, at least 3, not all equal
 * @param deviations percent
 * @param permissible percent, positive
 */
export function crossingLine(
  days: readonly number[],
  deviations: readonly number[],
  permissible: number,
): CrossingLine | null {
  const n = days.length;
  if (n < 3) return null;
  const meanDay = days.reduce((sum, v) => sum + v, 0) / n;
  const mean = deviations.reduce((sum, v) => sum + v, 0) / n;
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < n; i++) {
    const dx = days[i]! - meanDay;
    sxx += dx * dx;
    sxy += dx * (deviations[i]! - mean);
  }
  if (!(sxx > 0)) return null;
  const slope = sxy / sxx;
  let rss = 0;
  for (let i = 0; i < n; i++) rss += (deviations[i]! - mean - slope * (days[i]! - meanDay)) ** 2;
  const quantile = t.quantile(0.975, n - 2);
  const half = quantile * Math.sqrt(rss / (n - 2) / sxx);
  const slopeLow95 = slope - half;
  const slopeHigh95 = slope + half;
  if (slopeLow95 <= 0 && slopeHigh95 >= 0) {
    return { slope, slopeLow95, slopeHigh95, crosses: null, low95: null, high95: null };
  }
  const aim = Math.sign(slope) * permissible;
  // (mean - aim + slope u)^2 = c (1/n + u^2/sxx), u = day - meanDay; the slope excludes 0, so a > 0 and roots are real.
  const c = quantile ** 2 * (rss / (n - 2));
  const a = slope ** 2 - c / sxx;
  const b = (mean - aim) * slope;
  const d = (mean - aim) ** 2 - c / n;
  const root = Math.sqrt(Math.max(0, b * b - a * d));
  const low = (-b - root) / a;
  const high = (-b + root) / a;
  return {
    slope,
    slopeLow95,
    slopeHigh95,
    crosses: meanDay + (aim - mean) / slope,
    low95: meanDay + low,
    high95: meanDay + high,
  };
}

/**
 * The earliest crossing over the nominals of a tool; null where no nominal has 4 checks since its last as-left, a slope
 * that excludes 0, and a crossing within two years of its last check.
 *
 * @param rows checks of one tool, oldest first
 * @param permissible percent; null gives null
 */
export function checkForecast(rows: readonly CheckRow[], permissible: number | null): CheckForecast | null {
  if (permissible === null) return null;
  const lines = new Map<string, CheckRow[]>();
  for (const row of rows) {
    const key = nominalKey(row.nominal, row.unit);
    // An as-left starts a new line and is its first point.
    if (row.kind === 'as-left' || !lines.has(key)) lines.set(key, [row]);
    else lines.get(key)?.push(row);
  }
  let earliest: CheckForecast | null = null;
  for (const line of lines.values()) {
    const last = line[line.length - 1];
    const first = line[0];
    if (!first || !last || line.length < 4) continue;
    const found = crossingLine(
      line.map((row) => (row.at - first.at) / msPerDay),
      line.map((row) => row.deviationPercent),
      permissible,
    );
    if (!found || found.crosses === null || found.low95 === null || found.high95 === null) continue;
    const crossesOn = first.at + found.crosses * msPerDay;
    if (crossesOn > addMonths(last.at, 24)) continue;
    if (earliest && earliest.crossesOn <= crossesOn) continue;
    earliest = {
      nominal: last.nominal,
      unit: last.unit,
      checks: line.length,
      percentPerDay: found.slope,
      crossesOn,
      low95: first.at + found.low95 * msPerDay,
      high95: first.at + found.high95 * msPerDay,
    };
  }
  return earliest;
}

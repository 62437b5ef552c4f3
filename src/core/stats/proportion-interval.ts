/** Intervals of a share: Wilson (without continuity correction) and Clopper-Pearson. */
import { betaQuantile } from './beta-distribution.ts';
import { normalQuantile, z975 } from './normal-distribution.ts';

/** Wilson's score interval. Source: E. B. Wilson, JASA 22 (1927) 209. `of` must be at least 1. */
export function wilsonInterval(count: number, of: number, confidence = 0.95): { low: number; high: number } {
  checkCounts(count, of);
  const z = confidence === 0.95 ? z975 : -normalQuantile((1 - confidence) / 2);
  const share = count / of;
  const scale = 1 + (z * z) / of;
  const middle = (share + (z * z) / (2 * of)) / scale;
  const half = (z / scale) * Math.sqrt((share * (1 - share)) / of + (z * z) / (4 * of * of));
  // Exactly 0 and 1 at the ends: rounding would leave 1e-18.
  return { low: count === 0 ? 0 : Math.max(0, middle - half), high: count === of ? 1 : Math.min(1, middle + half) };
}

/** The exact interval of Clopper & Pearson, Biometrika 26 (1934) 404, by beta quantiles. */
export function clopperPearsonInterval(count: number, of: number, confidence = 0.95): { low: number; high: number } {
  checkCounts(count, of);
  const tail = (1 - confidence) / 2;
  return {
    low: count === 0 ? 0 : betaQuantile(tail, count, of - count + 1),
    high: count === of ? 1 : betaQuantile(1 - tail, count + 1, of - count),
  };
}

function checkCounts(count: number, of: number): void {
  if (!(of >= 1) || !(count >= 0) || count > of) throw new RangeError(`a share of ${count} in ${of}`);
}

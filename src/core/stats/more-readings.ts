/** How many more readings would give even odds, and nine in ten, of showing a requirement (definitions 10). */
import { z975 } from './normal-distribution.ts';

/** z of nine in ten. */
const z90 = 1.2815515655446004;

export interface MoreReadings {
  readonly evenOdds: number;
  readonly ninetyPercent: number;
}

/** Beyond this nobody plans readings: null. */
const mostReadings = 100_000_000;

/**
 * For a nearer-limit index of the normal model (Ppk, Cpk, Cmk): the least whole numbers of readings to add.
 *
 * @param nu degrees of freedom of the within sigma for Cpk; null for Ppk (then 2 (n - 1) is taken as 2 n, as defined)
 * @returns null when the estimate does not exceed the requirement (none would) or it is shown already
 */
export function moreReadings(value: number, required: number, n: number, nu: number | null): MoreReadings | null {
  if (!(value > required)) return null;
  const c = 1 / 9 + (value * value * (nu === null ? 1 : n / nu)) / 2;
  const gap = value - required;
  const even = (add: number): boolean => z975 * Math.sqrt(c / (n + add)) <= gap;
  if (even(0)) return null;
  const ninety = (add: number): boolean =>
    z975 * Math.sqrt(c / (n + add)) + (z90 * Math.sqrt(c * add)) / (n + add) <= gap;
  const evenOdds = leastWhere(even);
  // The second term first grows with the number added: from the even odds on the sum falls.
  const ninetyPercent = evenOdds === null ? null : leastWhere(ninety, evenOdds);
  return evenOdds === null || ninetyPercent === null ? null : { evenOdds, ninetyPercent };
}

/** Least whole number from `from` on at which a condition holds that, once true, stays true. */
function leastWhere(holds: (add: number) => boolean, from = 0): number | null {
  let low = from;
  if (holds(low)) return low;
  let high = Math.max(1, low * 2);
  while (!holds(high)) {
    low = high;
    high *= 2;
    if (high > mostReadings) return null;
  }
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (holds(middle)) high = middle;
    else low = middle;
  }
  return high;
}

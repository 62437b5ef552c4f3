/**
 * Capability and performance indices of the normal model with their intervals (definitions 8).
 *
 * Formulas: NIST/SEMATECH e-Handbook 6.1.6; ISO 22514-4 (public excerpts). Intervals: chi-square for the ratio indices,
 * Bissell, Appl. Statist. 39 (1990) 331 for the nearer-limit indices, Boyles, J. Qual. Technol. 23 (1991) 17 for Cpm.
 */
import { chiSquareQuantile } from './chi-square-distribution.ts';
import { normalQuantile, z975 } from './normal-distribution.ts';

/** Limits of one characteristic; null is an open side. */
export interface Limits {
  readonly low: number | null;
  readonly target: number | null;
  readonly high: number | null;
}

export interface Interval95 {
  readonly value: number;
  readonly low95: number;
  readonly high95: number;
}

/** (U - L) / (6 sigma); null for one-sided limits. */
export function potentialIndex(limits: Limits, sigma: number): number | null {
  return limits.low === null || limits.high === null ? null : (limits.high - limits.low) / (6 * sigma);
}

/** The smaller distance from the mean to a limit over 3 sigma; negative when the mean is outside; null without limits. */
export function nearerLimitIndex(limits: Limits, mean: number, sigma: number): number | null {
  const up = limits.high === null ? null : (limits.high - mean) / (3 * sigma);
  const down = limits.low === null ? null : (mean - limits.low) / (3 * sigma);
  if (up === null || down === null) return up ?? down;
  return Math.min(up, down);
}

/** Chi-square interval of a ratio index whose sigma has nu degrees of freedom. */
export function chiSquareInterval(value: number, nu: number, confidence = 0.95): Interval95 {
  const tail = (1 - confidence) / 2;
  return {
    value,
    low95: value * Math.sqrt(chiSquareQuantile(tail, nu) / nu),
    high95: value * Math.sqrt(chiSquareQuantile(1 - tail, nu) / nu),
  };
}

/** Bissell's interval of a nearer-limit index: v +- z sqrt(1/(9n) + v^2/(2 nu)). */
export function bissellInterval(value: number, n: number, nu: number, confidence = 0.95): Interval95 {
  const z = confidence === 0.95 ? z975 : -normalQuantile((1 - confidence) / 2);
  const half = z * Math.sqrt(1 / (9 * n) + (value * value) / (2 * nu));
  return { value, low95: value - half, high95: value + half };
}

/** Whether the target is the middle of a two-sided window, to 1e-9 of its half width. */
export function targetIsMiddle(limits: Limits): boolean {
  if (limits.low === null || limits.high === null || limits.target === null) return false;
  return Math.abs(limits.target - (limits.low + limits.high) / 2) <= (1e-9 * (limits.high - limits.low)) / 2;
}

/** Cpm with Boyles' interval; null unless two-sided with the target in the middle. */
export function cpmIndex(limits: Limits, mean: number, s: number, n: number): Interval95 | null {
  if (!targetIsMiddle(limits) || limits.low === null || limits.high === null || limits.target === null) return null;
  const off = mean - limits.target;
  const value = (limits.high - limits.low) / (6 * Math.sqrt(s * s + off * off));
  const xi2 = (off / s) ** 2;
  return chiSquareInterval(value, (n * (1 + xi2) ** 2) / (1 + 2 * xi2));
}

/** Pp and Ppk, or Cp and Cpk: the two indices of one sigma. */
export function indexPair(
  limits: Limits,
  mean: number,
  n: number,
  sigma: number,
  nu: number,
): { potential: Interval95 | null; nearer: Interval95 | null } {
  const potential = potentialIndex(limits, sigma);
  const nearer = nearerLimitIndex(limits, mean, sigma);
  return {
    potential: potential === null ? null : chiSquareInterval(potential, nu),
    nearer: nearer === null ? null : bissellInterval(nearer, n, nu),
  };
}

/** Least number of readings for indices and models. */
export const leastForIndices = 25;
/** Least number of consecutive readings for Cm and Cmk. */
export const leastForMachine = 50;

/** Whether Cm and Cmk may be given: one tool, one operator, one block, and enough readings (definitions 8). */
export function machineIndicesApply(n: number, tools: number, operators: number, blocks: number): boolean {
  return n >= leastForMachine && tools === 1 && operators === 1 && blocks === 1;
}

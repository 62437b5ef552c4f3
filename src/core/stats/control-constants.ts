/**
 * Constants of control charts, computed for any group size.
 *
 * d2 and d3: mean and standard deviation of the range of n standard normal values; c4: mean of their standard deviation.
 * Method: d2 by the trapezoid rule on 1 - F^n - (1 - F)^n (exponentially accurate for such an integrand); d3 from the
 * distribution of the range, panels of Gauss-Legendre over the trapezoid rule. Agrees with R 4.2.2 to 1e-11.
 */
import gammaln from '@stdlib/math-base-special-gammaln';
import { gaussLegendre } from './gauss-legendre.ts';
import { normalCdf, normalDensity } from './normal-distribution.ts';

export interface RangeConstants {
  readonly d2: number;
  readonly d3: number;
}

const known = new Map<number, RangeConstants>();

/** d2 and d3 of groups of n >= 2. Computed once a size (about 10 ms), then kept. */
export function rangeConstants(n: number): RangeConstants {
  checkSize(n);
  const kept = known.get(n);
  if (kept) return kept;
  const constants = { d2: rangeMean(n), d3: rangeDeviation(n) };
  known.set(n, constants);
  return constants;
}

/** c4 of groups of n >= 2. */
export function c4(n: number): number {
  checkSize(n);
  return Math.sqrt(2 / (n - 1)) * Math.exp(gammaln(n / 2) - gammaln((n - 1) / 2));
}

function checkSize(n: number): void {
  if (!Number.isInteger(n) || n < 2) throw new RangeError(`a group of ${n} has no spread`);
}

function rangeMean(n: number): number {
  const step = 1 / 32;
  let sum = 0;
  for (let x = -12; x <= 12; x += step) sum += 1 - normalCdf(x) ** n - normalCdf(-x) ** n;
  return sum * step;
}

function rangeDeviation(n: number): number {
  const { nodes, weights } = gaussLegendre(20);
  let first = 0;
  let second = 0;
  const panel = 2;
  for (let start = 0; start < 18; start += panel) {
    for (let k = 0; k < nodes.length; k++) {
      const r = start + (panel / 2) * (nodes[k]! + 1);
      const w = (weights[k]! * panel) / 2;
      const beyond = 1 - rangeCdf(r, n);
      first += w * beyond;
      second += w * 2 * r * beyond;
    }
  }
  return Math.sqrt(second - first * first);
}

/** P(range of n <= r): n times the integral of the density at the smallest value and the others within r above it. */
function rangeCdf(r: number, n: number): number {
  const step = 1 / 12;
  let sum = 0;
  for (let a = -9; a <= 9; a += step) {
    sum += n * normalDensity(a) * (normalCdf(a + r) - normalCdf(a)) ** (n - 1);
  }
  return sum * step;
}

/** All constants of one group size, by the names of the handbooks. */
export interface ChartConstants extends RangeConstants {
  readonly c4: number;
  readonly A: number;
  readonly A2: number;
  readonly A3: number;
  readonly B3: number;
  readonly B4: number;
  readonly B5: number;
  readonly B6: number;
  readonly D1: number;
  readonly D2: number;
  readonly D3: number;
  readonly D4: number;
  readonly E2: number;
  readonly E3: number;
}

/** Every Shewhart constant of groups of n. */
export function chartConstants(n: number): ChartConstants {
  const { d2, d3 } = rangeConstants(n);
  const c = c4(n);
  const spread = Math.sqrt(1 - c * c);
  const root = Math.sqrt(n);
  return {
    d2,
    d3,
    c4: c,
    A: 3 / root,
    A2: 3 / (d2 * root),
    A3: 3 / (c * root),
    B3: Math.max(0, 1 - (3 * spread) / c),
    B4: 1 + (3 * spread) / c,
    B5: Math.max(0, c - 3 * spread),
    B6: c + 3 * spread,
    D1: Math.max(0, d2 - 3 * d3),
    D2: d2 + 3 * d3,
    D3: Math.max(0, 1 - (3 * d3) / d2),
    D4: 1 + (3 * d3) / d2,
    E2: 3 / d2,
    E3: 3 / c,
  };
}

/** Median of the distance of two standard normal values: sqrt(2) times the 75 % point of the normal distribution. */
export const medianMovingRangeFactor = 0.9538725524089398;
/** Mean of the distance of two standard normal values: 2 / sqrt(pi), d2 of groups of 2. */
export const meanMovingRangeFactor = 1.1283791670955126;

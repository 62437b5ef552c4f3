/**
 * Limits of Shewhart charts (definitions 12). Formulas: ISO 7870-2:2023 (public excerpts), NIST/SEMATECH e-Handbook 6.3.2.
 */
import { c4, rangeConstants } from './control-constants.ts';

export interface ChartLimits {
  readonly lower: number;
  readonly center: number;
  readonly upper: number;
}

/** Location: center +- 3 sigma / sqrt(n). For n = 1 the individuals chart. */
export function locationLimits(center: number, sigma: number, n: number): ChartLimits {
  const half = (3 * sigma) / Math.sqrt(n);
  return { lower: center - half, center, upper: center + half };
}

/** Chart of s: B3 and B4 on the mean standard deviation. */
export function deviationLimits(meanDeviation: number, n: number): ChartLimits {
  const c = c4(n);
  const spread = (3 * Math.sqrt(1 - c * c)) / c;
  return { lower: Math.max(0, 1 - spread) * meanDeviation, center: meanDeviation, upper: (1 + spread) * meanDeviation };
}

/** Chart of ranges: D3 and D4 on the mean range. For n = 2 the chart of moving ranges, whose lower limit is 0. */
export function rangeLimits(meanRange: number, n: number): ChartLimits {
  const { d2, d3 } = rangeConstants(n);
  const spread = (3 * d3) / d2;
  return { lower: Math.max(0, 1 - spread) * meanRange, center: meanRange, upper: (1 + spread) * meanRange };
}

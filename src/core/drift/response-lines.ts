/** The line of the response on the stopping quantity at each joint (definitions 16: angle on torque, never torque on angle). */
import type { CellTable } from './cells.ts';

/** Fewest baseline readings, and least t of the slope, for the slope to be used. */
const leastReadings = 30;
const leastT = 3;

export interface ResponseLine {
  readonly intercept: number;
  /** Response units per unit of the stopping quantity; 0 where it is not used. */
  readonly slope: number;
  /** Of the fitted slope, also where it is not used. */
  readonly standardError: number;
  readonly meanResponse: number;
  readonly used: boolean;
  readonly readings: number;
}

/** Sums of a set of pairs about a centre. */
export interface PairSums {
  readonly n: number;
  readonly x: number;
  readonly r: number;
  readonly xx: number;
  readonly xr: number;
  readonly rr: number;
}

/**
 * Least squares of response on stopping quantity; the slope is used only from 30 readings, when positive, and t > 3.
 * Otherwise the line is level at the mean, and the slope's standard error stays as doubt.
 *
 * @param sums about the centre
 * @param centreX, centreR what was taken off before summing
 * @returns null under 3 pairs, or where the stopping quantity or the mean response does not allow a line
 */
export function responseLine(sums: PairSums, centreX: number, centreR: number): ResponseLine | null {
  const { n } = sums;
  if (n < 3) return null;
  const meanX = sums.x / n;
  const meanR = sums.r / n;
  const sxx = sums.xx - n * meanX * meanX;
  const sxr = sums.xr - n * meanX * meanR;
  const srr = sums.rr - n * meanR * meanR;
  const meanResponse = centreR + meanR;
  if (!(meanResponse > 0)) return null;
  if (!(sxx > 1e-12 * Math.max(sums.xx, 1e-300))) {
    return { intercept: meanResponse, slope: 0, standardError: 0, meanResponse, used: false, readings: n };
  }
  const slope = sxr / sxx;
  const variance = Math.max(0, srr - slope * sxr) / (n - 2);
  const standardError = Math.sqrt(variance / sxx);
  const used = n >= leastReadings && slope > 0 && slope > leastT * standardError;
  return {
    intercept: used ? centreR + meanR - slope * (centreX + meanX) : meanResponse,
    slope: used ? slope : 0,
    standardError,
    meanResponse,
    used,
    readings: n,
  };
}

/** Sums of the pairs of some cells, by joint. */
export function pairSumsByJoint(table: CellTable, joints: number, take: (cell: number) => boolean): PairSums[] {
  const sums = Array.from({ length: joints }, () => ({ n: 0, x: 0, r: 0, xx: 0, xr: 0, rr: 0 }));
  for (let c = 0; c < table.length; c++) {
    if (table.pairs[c] === 0 || !take(c)) continue;
    const one = sums[table.joint[c]!]!;
    one.n += table.pairs[c]!;
    one.x += table.sumStop[c]!;
    one.r += table.sumResponse[c]!;
    one.xx += table.stopStop[c]!;
    one.xr += table.stopResponse[c]!;
    one.rr += table.responseResponse[c]!;
  }
  return sums;
}

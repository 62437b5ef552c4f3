/** Rational subgroups (definitions 7). */

/**
 * Group number of each reading: groups of `size` from the start of each stratum, -1 for the remainder.
 *
 * Formed before exclusions, so that leaving a reading out shortens its group and never shifts the others. Strata may
 * interleave (two tools in one shift); groups are numbered stratum by stratum, in order of the strata's first reading.
 *
 * @param strata stratum of each reading, numbered from 0 in order of first appearance
 * @param size readings a group, at least 1
 */
export function formSubgroups(strata: ArrayLike<number>, size: number): { groupOf: Int32Array; count: number } {
  if (!Number.isInteger(size) || size < 1) throw new RangeError(`subgroup size is ${size}`);
  const n = strata.length;
  let strataCount = 0;
  for (let i = 0; i < n; i++) if (strata[i]! >= strataCount) strataCount = strata[i]! + 1;
  const held = new Int32Array(strataCount);
  for (let i = 0; i < n; i++) held[strata[i]!]!++;
  const firstGroup = new Int32Array(strataCount);
  const full = new Int32Array(strataCount);
  let count = 0;
  for (let s = 0; s < strataCount; s++) {
    firstGroup[s] = count;
    full[s] = Math.floor(held[s]! / size) * size;
    count += Math.floor(held[s]! / size);
  }
  const seen = new Int32Array(strataCount);
  const groupOf = new Int32Array(n).fill(-1);
  for (let i = 0; i < n; i++) {
    const s = strata[i]!;
    const place = seen[s]!++;
    if (place < full[s]!) groupOf[i] = firstGroup[s]! + Math.floor(place / size);
  }
  return { groupOf, count };
}

export interface GroupFigures {
  readonly n: Int32Array;
  /** NaN where n is 0. */
  readonly mean: Float64Array;
  /** Sum of squared distances from the group's mean. */
  readonly sumOfSquares: Float64Array;
  /** NaN where n is 0. */
  readonly range: Float64Array;
}

/** Size, mean, sum of squares and range of every group, over the readings used. O(n). */
export function groupFigures(values: ArrayLike<number>, groupOf: ArrayLike<number>, count: number): GroupFigures {
  const n = new Int32Array(count);
  const mean = new Float64Array(count);
  const least = new Float64Array(count).fill(Number.POSITIVE_INFINITY);
  const greatest = new Float64Array(count).fill(Number.NEGATIVE_INFINITY);
  for (let i = 0; i < values.length; i++) {
    const g = groupOf[i]!;
    if (g < 0) continue;
    const value = values[i]!;
    n[g]!++;
    mean[g]! += value;
    if (value < least[g]!) least[g] = value;
    if (value > greatest[g]!) greatest[g] = value;
  }
  const range = new Float64Array(count);
  for (let g = 0; g < count; g++) {
    mean[g] = n[g] === 0 ? Number.NaN : mean[g]! / n[g]!;
    range[g] = n[g] === 0 ? Number.NaN : greatest[g]! - least[g]!;
  }
  const sumOfSquares = new Float64Array(count);
  for (let i = 0; i < values.length; i++) {
    const g = groupOf[i]!;
    if (g >= 0) sumOfSquares[g]! += (values[i]! - mean[g]!) ** 2;
  }
  for (let g = 0; g < count; g++) if (range[g] === 0) sumOfSquares[g] = 0;
  return { n, mean, sumOfSquares, range };
}

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

/**
 * Size, mean, sum of squares and range of every group, over the readings used. One pass, O(n).
 *
 * Distances are taken from the first value of each group, which lies within the group's own spread: nothing cancels.
 */
export function groupFigures(values: ArrayLike<number>, groupOf: ArrayLike<number>, count: number): GroupFigures {
  const n = new Int32Array(count);
  const first = new Float64Array(count);
  const sum = new Float64Array(count);
  const sumOfSquares = new Float64Array(count);
  const least = new Float64Array(count);
  const greatest = new Float64Array(count);
  const length = values.length;
  for (let i = 0; i < length; i++) {
    const g = groupOf[i]!;
    if (g < 0) continue;
    const value = values[i]!;
    if (n[g]!++ === 0) {
      first[g] = value;
      continue;
    }
    const distance = value - first[g]!;
    sum[g]! += distance;
    sumOfSquares[g]! += distance * distance;
    if (distance < least[g]!) least[g] = distance;
    else if (distance > greatest[g]!) greatest[g] = distance;
  }
  const mean = new Float64Array(count);
  const range = new Float64Array(count);
  for (let g = 0; g < count; g++) {
    const size = n[g]!;
    if (size === 0) {
      mean[g] = Number.NaN;
      range[g] = Number.NaN;
      continue;
    }
    mean[g] = first[g]! + sum[g]! / size;
    range[g] = greatest[g]! - least[g]!;
    sumOfSquares[g] = range[g] === 0 ? 0 : Math.max(0, sumOfSquares[g]! - (sum[g]! * sum[g]!) / size);
  }
  return { n, mean, sumOfSquares, range };
}

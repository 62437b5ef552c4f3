import { GrowingPositions } from '../readings/growing-positions.ts';
import { onceAPlant } from '../readings/once-a-plant.ts';
import type { Plant } from '../readings/plant.ts';
import { fastenerChains } from './chains.ts';

/** Longest pause inside a batch known by time alone, ms (common practice, no source). */
export const longestPauseMs = 600_000;

/**
 * Batches of the whole plant as columns, in order of their first reading (definitions 4). Tries are folded into
 * fasteners first. Only joints with a batch size in force, or a size in the file, have any.
 */
export interface Batches {
  readonly count: number;
  readonly firstReading: Uint32Array;
  readonly joint: Int32Array;
  readonly tool: Int32Array;
  /** Position in the dictionary of batches; -1: no id. */
  readonly batch: Int32Array;
  readonly size: Uint32Array;
  readonly distinct: Uint32Array;
  /** Bit p - 1 set: position p is there (1 to 32); 0: positions are not known. */
  readonly seen: Uint32Array;
  /** First tries that belong to a joint with a batch size but to no batch that could be told. */
  readonly untold: Uint32Array;
}

/**
 * Batches: by id where there is one, else by position (one that does not rise starts a new batch), else the fasteners one
 * tool does at one joint with no other joint and no pause above 10 min between. A tool that does only one joint, with
 * neither id nor position, cannot tell.
 *
 * O(n), once a plant.
 */
export const batchesOf: (plant: Plant) => Batches = onceAPlant(buildBatches);

function buildBatches(plant: Plant): Batches {
  const { readings, register, judged } = plant;
  const { firstOf, lastOf } = fastenerChains(plant);
  const { at, tool, joint, batch, batchPosition, batchSize } = readings;
  const joints = register.joints.length + 1;
  const tools = register.tools.length + 1;
  // At most one batch a fastener.
  const firstReading = new Uint32Array(firstOf.length);
  const sizes = new Uint32Array(firstOf.length);
  const distinct = new Uint32Array(firstOf.length);
  const seen = new Uint32Array(firstOf.length);
  let count = 0;
  const untold = new GrowingPositions();
  const byId = new Map<number, number>();
  const manyJoints = toolsWithManyJoints(plant);
  /** Open batch by position, by tool x joint, and its last position. */
  const byPosition = new Int32Array(joints * tools).fill(-1);
  const lastPosition = new Int32Array(joints * tools);
  /** Open batch by time, by tool; its joint; the last reading of its last fastener. */
  const byTime = new Int32Array(tools).fill(-1);
  const jointNow = new Int32Array(tools).fill(-2);
  const lastAt = new Float64Array(tools).fill(Number.NaN);
  const revisionSize = register.joints.map((one) => one.revisions.map((revision) => revision.batchSize ?? 0));
  // A tool's joint changes count even where the other joint has no batch size.
  for (let f = 0; f < firstOf.length; f++) {
    const i = firstOf[f]!;
    const t = tool[i]! + 1;
    const j = joint[i]!;
    const end = at[lastOf[f]!]!;
    const pause = at[i]! - lastAt[t]!;
    const follows = jointNow[t] === j && !(pause > longestPauseMs);
    jointNow[t] = j;
    lastAt[t] = end;
    if (!follows) byTime[t] = -1;
    if (j < 0) continue;
    const size = batchSize[i]! > 0 ? batchSize[i]! : (revisionSize[j]?.[judged.revision[i]!] ?? 0);
    if (size <= 0) continue;
    const position = batchPosition[i]!;
    let b = -1;
    if (batch[i]! >= 0) {
      const key = batch[i]! * joints + j + 1;
      b = byId.get(key) ?? -1;
      if (b < 0) byId.set(key, count);
    } else if (position >= 0) {
      const slot = t * joints + j + 1;
      b = position <= lastPosition[slot]! ? -1 : byPosition[slot]!;
      lastPosition[slot] = position;
      byPosition[slot] = b < 0 ? count : b;
    } else if (Number.isNaN(at[i]!) || manyJoints[t] !== 1) {
      untold.push(i);
      continue;
    } else {
      b = byTime[t]!;
      if (b < 0) byTime[t] = count;
    }
    if (b < 0) {
      b = count++;
      firstReading[b] = i;
      sizes[b] = size;
    }
    distinct[b]!++;
    if (position >= 1 && position <= 32) seen[b] = seen[b]! | (1 << (position - 1));
  }
  const starts = firstReading.slice(0, count);
  return {
    count,
    firstReading: starts,
    joint: gathered(joint, starts),
    tool: gathered(tool, starts),
    batch: gathered(batch, starts),
    size: sizes.slice(0, count),
    distinct: distinct.slice(0, count),
    seen: seen.slice(0, count),
    untold: untold.done(),
  };
}

/** Values of a column at positions; `Int32Array.from` with a function is twenty times slower. */
function gathered(column: Int32Array, positions: Uint32Array): Int32Array {
  const result = new Int32Array(positions.length);
  for (let k = 0; k < positions.length; k++) result[k] = column[positions[k]!]!;
  return result;
}

/** 1 for every tool (moved up by one) that does two joints or more. */
function toolsWithManyJoints(plant: Plant): Uint8Array {
  const { readings, register } = plant;
  const { firstOf } = fastenerChains(plant);
  const one = new Int32Array(register.tools.length + 1).fill(-2);
  const many = new Uint8Array(register.tools.length + 1);
  for (let f = 0; f < firstOf.length; f++) {
    const i = firstOf[f]!;
    const t = readings.tool[i]! + 1;
    if (one[t] === -2) one[t] = readings.joint[i]!;
    else if (one[t] !== readings.joint[i]) many[t] = 1;
  }
  return many;
}

/** Batches and fasteners in no batch whose first reading is in a selection: a batch belongs to the shift of its first reading. */
export function batchesInScope(plant: Plant, selection: Uint32Array): { batches: Uint32Array; untold: Uint32Array } {
  // Selections are shared and never modified: the same array is the same scope.
  const found = inScopeKnown.get(selection);
  if (found && found.plant === plant) return found;
  const result = { plant, ...searchScope(plant, selection) };
  inScopeKnown.set(selection, result);
  return result;
}

const inScopeKnown = new WeakMap<Uint32Array, { plant: Plant; batches: Uint32Array; untold: Uint32Array }>();

function searchScope(plant: Plant, selection: Uint32Array): { batches: Uint32Array; untold: Uint32Array } {
  const all = batchesOf(plant);
  if (selection.length === plant.order.length) {
    const everyBatch = new Uint32Array(all.count);
    for (let b = 0; b < all.count; b++) everyBatch[b] = b;
    return { batches: everyBatch, untold: all.untold };
  }
  const inside = new Uint8Array(plant.readings.length);
  for (let k = 0; k < selection.length; k++) inside[selection[k]!] = 1;
  const batches = new GrowingPositions();
  for (let b = 0; b < all.count; b++) if (inside[all.firstReading[b]!] === 1) batches.push(b);
  const untold = new GrowingPositions();
  for (let k = 0; k < all.untold.length; k++) if (inside[all.untold[k]!] === 1) untold.push(all.untold[k]!);
  return { batches: batches.done(), untold: untold.done() };
}

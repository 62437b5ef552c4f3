/** Readings gathered into cells: joint x tool x operator x block (definitions 14). One loop over the selection. */
import type { Plant } from '../readings/plant.ts';
import { type DriftReadings, type DriftUse, driftReadings, driftUse } from './drift-readings.ts';

/** Fewest readings of a cell. */
export const leastInCell = 3;
/** Blocks of a baseline, unless a person chose a span. */
export const baselineBlocks = 10;

/** Columns, one entry a cell; sums of products are about the joint's centres, so that no digits are lost. */
export interface CellTable {
  readonly length: number;
  readonly block: Int32Array;
  readonly tool: Int32Array;
  readonly joint: Int32Array;
  /** Position in the register; the register's length stands for "not named". */
  readonly operator: Int32Array;
  /** Readings with a stopping value, sum and sum of squares of their deviation from target, %. */
  readonly n: Float64Array;
  readonly sumPercent: Float64Array;
  readonly sumPercentSquared: Float64Array;
  /** Readings with both values. */
  readonly pairs: Float64Array;
  readonly sumStop: Float64Array;
  readonly sumResponse: Float64Array;
  readonly stopStop: Float64Array;
  readonly stopResponse: Float64Array;
  readonly responseResponse: Float64Array;
  readonly centreStop: Float64Array;
  readonly centreResponse: Float64Array;
  /** Readings of a tool in a block, further tries and all: `[tool * blocks + block]`. */
  readonly toolBlockReadings: Float64Array;
  readonly blocks: number;
  readonly blockAt: Float64Array;
  /** Baseline median of joints that have no target, N·m or degrees; NaN: not needed. */
  readonly medianTarget: Float64Array;
  /** Readings of the selection that are in no cell, by reason. */
  readonly leftOut: Readonly<Record<DriftUse, number>>;
}

class Growing {
  array: Float64Array = new Float64Array(4096);
  reach(length: number): void {
    if (length <= this.array.length) return;
    const larger = new Float64Array(Math.max(length, this.array.length * 2));
    larger.set(this.array);
    this.array = larger;
  }
}

/**
 * Gathers a selection of readings into cells.
 *
 * Method: one loop, O(n); a tool mostly stays in the cell it was in, so a look-up is needed only at a change.
 *
 * @param selected positions in time order
 */
export function gatherCells(plant: Plant, selected: Uint32Array): CellTable {
  const { readings, register } = plant;
  const drift = driftReadings(plant);
  const { use, block, percent, stop, response, blockAt } = drift;
  const tools = register.tools.length;
  const joints = register.joints.length;
  const operators = register.operators.length + 1;
  const blocks = blockAt.length;
  const medianTarget = medianTargets(plant, drift, selected);

  const cellOf = new Map<number, number>();
  const lastCell = new Int32Array(tools).fill(-1);
  const lastBlock = new Int32Array(tools).fill(-1);
  const lastJoint = new Int32Array(tools).fill(-1);
  const lastOperator = new Int32Array(tools).fill(-1);
  const cellBlock: number[] = [];
  const cellTool: number[] = [];
  const cellJoint: number[] = [];
  const cellOperator: number[] = [];
  const sums = new Growing();
  const width = 9;
  const centreStop = new Float64Array(joints).fill(Number.NaN);
  const centreResponse = new Float64Array(joints).fill(Number.NaN);
  const toolBlockReadings = new Float64Array(tools * blocks);
  const counts = new Float64Array(driftUse.length);

  for (let k = 0; k < selected.length; k++) {
    const i = selected[k]!;
    const u = use[i]!;
    const b = block[i]!;
    const tool = readings.tool[i]!;
    if (b >= 0 && tool >= 0) toolBlockReadings[tool * blocks + b] = toolBlockReadings[tool * blocks + b]! + 1;
    counts[u] = counts[u]! + 1;
    if (u !== 0) continue;
    const joint = readings.joint[i]!;
    const named = readings.operator[i]!;
    const operator = named < 0 ? operators - 1 : named;
    let cell: number;
    if (lastBlock[tool] === b && lastJoint[tool] === joint && lastOperator[tool] === operator) cell = lastCell[tool]!;
    else {
      const key = ((b * tools + tool) * joints + joint) * operators + operator;
      const known = cellOf.get(key);
      if (known === undefined) {
        cell = cellBlock.length;
        cellOf.set(key, cell);
        cellBlock.push(b);
        cellTool.push(tool);
        cellJoint.push(joint);
        cellOperator.push(operator);
        sums.reach((cell + 1) * width);
      } else cell = known;
      lastCell[tool] = cell;
      lastBlock[tool] = b;
      lastJoint[tool] = joint;
      lastOperator[tool] = operator;
    }
    const s = sums.array;
    const at = cell * width;
    const x = stop[i]!;
    let y = percent[i]!;
    if (Number.isNaN(y)) {
      const target = medianTarget[joint]!;
      y = (100 * (x - target)) / target;
    }
    if (y - y === 0) {
      s[at] = s[at]! + 1;
      s[at + 1] = s[at + 1]! + y;
      s[at + 2] = s[at + 2]! + y * y;
    }
    const r = response[i]!;
    if (r - r === 0) {
      if (Number.isNaN(centreStop[joint]!)) {
        centreStop[joint] = x;
        centreResponse[joint] = r;
      }
      const dx = x - centreStop[joint]!;
      const dr = r - centreResponse[joint]!;
      s[at + 3] = s[at + 3]! + 1;
      s[at + 4] = s[at + 4]! + dx;
      s[at + 5] = s[at + 5]! + dr;
      s[at + 6] = s[at + 6]! + dx * dx;
      s[at + 7] = s[at + 7]! + dx * dr;
      s[at + 8] = s[at + 8]! + dr * dr;
    }
  }
  const length = cellBlock.length;
  const column = (offset: number): Float64Array => {
    const out = new Float64Array(length);
    for (let c = 0; c < length; c++) out[c] = sums.array[c * width + offset]!;
    return out;
  };
  return {
    length,
    block: Int32Array.from(cellBlock),
    tool: Int32Array.from(cellTool),
    joint: Int32Array.from(cellJoint),
    operator: Int32Array.from(cellOperator),
    n: column(0),
    sumPercent: column(1),
    sumPercentSquared: column(2),
    pairs: column(3),
    sumStop: column(4),
    sumResponse: column(5),
    stopStop: column(6),
    stopResponse: column(7),
    responseResponse: column(8),
    centreStop,
    centreResponse,
    toolBlockReadings,
    blocks,
    blockAt,
    medianTarget,
    leftOut: Object.fromEntries(driftUse.map((name, code) => [name, counts[code]!])) as Record<DriftUse, number>, // one entry a code
  };
}

/** Median of the stopping value over the first blocks of each joint that has readings without a target. */
function medianTargets(plant: Plant, drift: DriftReadings, selected: Uint32Array): Float64Array {
  const joints = plant.register.joints.length;
  const targets = new Float64Array(joints).fill(Number.NaN);
  const needed = new Uint8Array(joints);
  let any = false;
  plant.register.joints.forEach((joint, position) => {
    if (joint.revisions.length === 0 || joint.revisions.some((revision) => openTarget(joint.stopsBy, revision))) {
      needed[position] = 1;
      any = true;
    }
  });
  if (!any) return targets;
  const values = new Map<number, { blocks: Set<number>; values: number[] }>();
  for (let k = 0; k < selected.length; k++) {
    const i = selected[k]!;
    if (drift.use[i] !== 0) continue;
    const joint = plant.readings.joint[i]!;
    if (needed[joint] !== 1 || !Number.isNaN(drift.percent[i]!)) continue;
    let of = values.get(joint);
    if (!of) {
      of = { blocks: new Set(), values: [] };
      values.set(joint, of);
    }
    const block = drift.block[i]!;
    if (!of.blocks.has(block)) {
      if (of.blocks.size >= baselineBlocks) continue;
      of.blocks.add(block);
    }
    of.values.push(drift.stop[i]!);
  }
  for (const [joint, of] of values) {
    const sorted = Float64Array.from(of.values).sort();
    const middle = sorted.length >> 1;
    const median = sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
    if (median !== 0) targets[joint] = median;
  }
  return targets;
}

function openTarget(
  stopsBy: 'torque' | 'angle',
  revision: {
    readonly low: number | null;
    readonly target: number | null;
    readonly high: number | null;
    readonly angleLowDeg: number | null;
    readonly angleTargetDeg: number | null;
    readonly angleHighDeg: number | null;
  },
): boolean {
  return stopsBy === 'torque'
    ? revision.target === null && (revision.low === null || revision.high === null)
    : revision.angleTargetDeg === null && (revision.angleLowDeg === null || revision.angleHighDeg === null);
}

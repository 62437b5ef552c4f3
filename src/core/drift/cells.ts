/** Readings gathered into cells: joint x tool x operator x block (definitions 14). One loop over the selection. */
import type { Plant } from '../readings/plant.ts';
import { everything, type Scope } from '../readings/scope.ts';
import { selectReadings } from '../readings/select-readings.ts';
import { fastenerChains } from '../review/chains.ts';
import type { Steps } from '../steps.ts';
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
  /** Readings with a torque and its deviation from target, and the sum of these, %; as `n`, `sumPercent` where torque stops. */
  readonly torques: Float64Array;
  readonly sumTorquePercent: Float64Array;
  /** Readings with both values. */
  readonly pairs: Float64Array;
  readonly sumStop: Float64Array;
  readonly sumResponse: Float64Array;
  readonly stopStop: Float64Array;
  readonly stopResponse: Float64Array;
  readonly responseResponse: Float64Array;
  /** Time of the first and of the last reading, civil ms. */
  readonly firstAt: Float64Array;
  readonly lastAt: Float64Array;
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
  const { use, block, percent, torquePercent, stop, response, blockAt } = drift;
  const byAngle = register.joints.map((joint) => joint.stopsBy === 'angle');
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
  const width = 13;
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
        sums.array[cell * width + 9] = readings.at[i]!;
        sums.array[cell * width + 10] = readings.at[i]!;
      } else cell = known;
      lastCell[tool] = cell;
      lastBlock[tool] = b;
      lastJoint[tool] = joint;
      lastOperator[tool] = operator;
    }
    const s = sums.array;
    const at = cell * width;
    // In time order within a tool, but a day without times of day holds equal ones and files may hold slips.
    const time = readings.at[i]!;
    if (time < s[at + 9]!) s[at + 9] = time;
    if (time > s[at + 10]!) s[at + 10] = time;
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
    const torque = byAngle[joint] ? torquePercent[i]! : y;
    if (torque - torque === 0) {
      s[at + 11] = s[at + 11]! + 1;
      s[at + 12] = s[at + 12]! + torque;
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
    torques: column(11),
    sumTorquePercent: column(12),
    pairs: column(3),
    sumStop: column(4),
    sumResponse: column(5),
    stopStop: column(6),
    stopResponse: column(7),
    responseResponse: column(8),
    firstAt: column(9),
    lastAt: column(10),
    centreStop,
    centreResponse,
    toolBlockReadings,
    blocks,
    blockAt,
    medianTarget,
    leftOut: byReason(counts),
  };
}

const keptWhole = new WeakMap<Plant, CellTable>();

/** What every gathering of cells needs, made once a plant: tries at fasteners, columns of the analysis, whole cells. */
export function* readyToGather(plant: Plant): Steps<void> {
  if (keptWhole.has(plant)) return;
  fastenerChains(plant);
  yield;
  driftReadings(plant);
  yield;
  wholeCells(plant);
  yield;
}

function wholeCells(plant: Plant): CellTable {
  let whole = keptWhole.get(plant);
  if (!whole) {
    whole = gatherCells(plant, selectReadings(plant, everything));
    keptWhole.set(plant, whole);
  }
  return whole;
}

/**
 * Cells of a scope. Where the scope cuts no cell in two they are picked from the cells of the whole plant, gathered once;
 * else, and where a joint's target is the median of its baseline, the readings are gone through again.
 *
 * @param selected the scope's readings, in time order
 */
export function cellsOfScope(plant: Plant, scope: Scope, selected: Uint32Array): CellTable {
  const whole = wholeCells(plant);
  const picked = pickCells(plant, whole, scope);
  if (!picked) return gatherCells(plant, selected);
  return { ...pickColumns(whole, picked), ...countSelected(plant, selected, whole.blocks) };
}

/** Positions of the cells that lie wholly in a scope; null when the scope cuts one, or hangs on a baseline median. */
function pickCells(plant: Plant, whole: CellTable, scope: Scope): Int32Array | null {
  const { register } = plant;
  if (whole.medianTarget.some((target) => !Number.isNaN(target))) return null;
  const period = scope.from !== null || scope.to !== null;
  // With shifts, bare dates name the days on which they start: left to the selection itself.
  if (period && scope.shifts.length > 0) return null;
  const mask = (wanted: readonly string[], names: readonly string[]): Uint8Array | null =>
    wanted.length === 0 ? null : Uint8Array.from([...names.map((name) => (wanted.includes(name) ? 1 : 0)), 0]);
  const joints = mask(
    scope.joints,
    register.joints.map((one) => one.name),
  );
  const tools = mask(
    scope.tools,
    register.tools.map((one) => one.serial),
  );
  const operators = mask(
    scope.operators,
    register.operators.map((one) => one.badge),
  );
  const shifts = mask(
    scope.shifts,
    register.shifts.map((one) => one.name),
  );
  const { blockShift } = driftReadings(plant);
  const from = scope.from ?? Number.NEGATIVE_INFINITY;
  const to = scope.to ?? Number.POSITIVE_INFINITY;
  const picked = new Int32Array(whole.length);
  let n = 0;
  for (let c = 0; c < whole.length; c++) {
    if (joints && joints[whole.joint[c]!] !== 1) continue;
    if (tools && tools[whole.tool[c]!] !== 1) continue;
    if (operators && operators[whole.operator[c]!] !== 1) continue;
    if (shifts) {
      const shift = blockShift[whole.block[c]!]!;
      if (shift < 0 || shifts[shift] !== 1) continue;
    }
    const first = whole.firstAt[c]!;
    const last = whole.lastAt[c]!;
    if (last < from || first >= to) continue;
    if (first < from || last >= to) return null;
    picked[n++] = c;
  }
  return picked.subarray(0, n);
}

function pickColumns(whole: CellTable, picked: Int32Array): CellTable {
  const int = (of: Int32Array): Int32Array => {
    const out = new Int32Array(picked.length);
    for (let k = 0; k < picked.length; k++) out[k] = of[picked[k]!]!;
    return out;
  };
  const float = (of: Float64Array): Float64Array => {
    const out = new Float64Array(picked.length);
    for (let k = 0; k < picked.length; k++) out[k] = of[picked[k]!]!;
    return out;
  };
  return {
    ...whole,
    length: picked.length,
    block: int(whole.block),
    tool: int(whole.tool),
    joint: int(whole.joint),
    operator: int(whole.operator),
    n: float(whole.n),
    sumPercent: float(whole.sumPercent),
    sumPercentSquared: float(whole.sumPercentSquared),
    torques: float(whole.torques),
    sumTorquePercent: float(whole.sumTorquePercent),
    pairs: float(whole.pairs),
    sumStop: float(whole.sumStop),
    sumResponse: float(whole.sumResponse),
    stopStop: float(whole.stopStop),
    stopResponse: float(whole.stopResponse),
    responseResponse: float(whole.responseResponse),
    firstAt: float(whole.firstAt),
    lastAt: float(whole.lastAt),
  };
}

/** What is counted by reading: readings of a tool in a block, and those left out by reason. */
function countSelected(
  plant: Plant,
  selected: Uint32Array,
  blocks: number,
): Pick<CellTable, 'toolBlockReadings' | 'leftOut'> {
  const { use, block } = driftReadings(plant);
  const { tool } = plant.readings;
  const toolBlockReadings = new Float64Array(plant.register.tools.length * blocks);
  const counts = new Float64Array(driftUse.length);
  for (let k = 0; k < selected.length; k++) {
    const i = selected[k]!;
    const at = tool[i]! * blocks + block[i]!;
    if (tool[i]! >= 0 && block[i]! >= 0) toolBlockReadings[at] = toolBlockReadings[at]! + 1;
    counts[use[i]!] = counts[use[i]!]! + 1;
  }
  return { toolBlockReadings, leftOut: byReason(counts) };
}

const byReason = (counts: Float64Array): Readonly<Record<DriftUse, number>> =>
  // One entry a code of driftUse, so every key is there.
  Object.fromEntries(driftUse.map((name, code) => [name, counts[code]!])) as Record<DriftUse, number>;

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

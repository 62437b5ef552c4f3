/** The whole drift analysis of a scope: cells, lanes of tools and of operators, effects. No words, no dates of checks. */

import type { LaneQuantity, WatchThresholds } from '../contract/models/drift-model.ts';
import type { Plant } from '../readings/plant.ts';
import type { Scope } from '../readings/scope.ts';
import { selectReadings } from '../readings/select-readings.ts';
import { finished, type Steps } from '../steps.ts';
import { convertTorque } from '../units/torque-unit.ts';
import { type CellRows, type FactorEffects, factorEffects } from './cell-model.ts';
import { baselineBlocks, type CellTable, cellsOfScope, leastInCell, readyToGather } from './cells.ts';
import { stopTarget } from './drift-readings.ts';
import { ewmaDesign, isoWeek, type LaneInput, type LaneResult, laneSteps, numberedKeys } from './lane.ts';
import { currentPhases } from './phases.ts';
import { pairSumsByJoint, type ResponseLine, responseLine } from './response-lines.ts';

/** Choices of a person for the drift screen. */
export interface DriftOptions {
  /** Operators appear as numbered labels, reports included. */
  readonly anonymousOperators: boolean;
  /** Span used as baseline instead of the first 10 shifts of the phase; civil ms, from <= time < to. */
  readonly baseline: { readonly from: number; readonly to: number } | null;
  /** Watch list: own thresholds by tool serial. */
  readonly thresholds: Readonly<Record<string, WatchThresholds>>;
}

export const defaultDriftOptions: DriftOptions = { anonymousOperators: false, baseline: null, thresholds: {} };

/** Positions by key, each list rising. */
export interface ByKey {
  of(key: number): Int32Array;
}

/** Sorts positions by a key from 0; O(n). */
export function byKey(key: Int32Array, keys: number): ByKey {
  const start = new Int32Array(keys + 1);
  for (let i = 0; i < key.length; i++) start[key[i]! + 1] = start[key[i]! + 1]! + 1;
  for (let k = 0; k < keys; k++) start[k + 1] = start[k + 1]! + start[k]!;
  const next = start.slice();
  const position = new Int32Array(key.length);
  for (let i = 0; i < key.length; i++) {
    position[next[key[i]!]!] = i;
    next[key[i]!] = next[key[i]!]! + 1;
  }
  return { of: (k) => position.subarray(start[k] ?? 0, start[k + 1] ?? 0) };
}

/** Rows of a lane with their cells. `toolOf[level]` is the register position of a level of `rows.tool`. */
export interface LaneRows {
  readonly rows: CellRows;
  readonly cell: Int32Array;
  readonly toolOf: Int32Array;
  readonly levelOfTool: ReadonlyMap<number, number>;
  readonly operatorOf: Int32Array;
  readonly jointOf: Int32Array;
  /** Rows by level of `rows.tool`. */
  readonly rowsOf: ByKey;
  /** Levels of joints of each level of `rows.tool`, and of tools at each joint. */
  readonly jointsOf: readonly ReadonlySet<number>[];
  readonly toolsAt: readonly ReadonlySet<number>[];
}

export interface DriftAnalysis {
  readonly selected: Uint32Array;
  readonly table: CellTable;
  readonly firstBlock: Int32Array;
  /** Cells of the table by tool. */
  readonly cellsOf: ByKey;
  readonly ewma: { readonly lambda: number; readonly limitFactor: number; readonly runLength: number };
  readonly ownRows: LaneRows;
  readonly own: LaneResult;
  readonly responseRows: LaneRows;
  readonly response: LaneResult;
  /** By joint; null: no line. */
  readonly lines: readonly (ResponseLine | null)[];
  /** Target of the stopping quantity by joint, N·m or degrees; null: none known. */
  readonly targets: readonly (number | null)[];
  readonly operatorLane: LaneResult;
  /** Cells by their torque whatever ends the tightening: what effects are about (definitions 14). */
  readonly effectRows: LaneRows;
  readonly effects: FactorEffects | null;
  /** Tools (register positions) that have readings in the selection. */
  readonly tools: readonly number[];
  readonly quantityOf: (tool: number) => { own: LaneQuantity; response: LaneQuantity };
  /** Joints of the tool that its lanes leave out: stopped by the other quantity. */
  readonly otherKind: (tool: number) => ReadonlySet<number>;
  /** What 1 % of deviation of a tool would do to its response, % (negative where the angle falls); null: not known. */
  readonly responsePerPercent: (tool: number) => number | null;
  /** Readings in cells, and in cells too small. */
  readonly inCells: number;
  readonly smallCells: number;
}

const kept = new WeakMap<Plant, Map<string, DriftAnalysis>>();
const keepAtMost = 6;

/** Analyses a scope at once. */
export const analyseDrift = (plant: Plant, scope: Scope, options: DriftOptions): DriftAnalysis =>
  finished(analysisSteps(plant, scope, options));

/** Analyses a scope, in steps; kept per plant and scope, since list, detail and command line ask for the same. */
export function* analysisSteps(plant: Plant, scope: Scope, options: DriftOptions): Steps<DriftAnalysis> {
  let ofPlant = kept.get(plant);
  if (!ofPlant) {
    ofPlant = new Map();
    kept.set(plant, ofPlant);
  }
  const key = JSON.stringify([scope, options.baseline]);
  const known = ofPlant.get(key);
  if (known) return known;
  const made = yield* analyse(plant, scope, options);
  const oldest = ofPlant.keys().next();
  if (ofPlant.size >= keepAtMost && !oldest.done) ofPlant.delete(oldest.value);
  ofPlant.set(key, made);
  return made;
}

function* analyse(plant: Plant, scope: Scope, options: DriftOptions): Steps<DriftAnalysis> {
  const { register } = plant;
  const selected = selectReadings(plant, scope);
  yield;
  yield* readyToGather(plant);
  const table = cellsOfScope(plant, scope, selected);
  yield;
  const firstBlock = currentPhases(register, table);
  const inPhase = (cell: number): boolean => table.block[cell]! >= firstBlock[table.tool[cell]!]!;
  const readingsOfTool = (tool: number, block: number): number => table.toolBlockReadings[tool * table.blocks + block]!;

  const tools: number[] = [];
  for (let tool = 0; tool < register.tools.length; tool++) {
    let any = false;
    for (let b = 0; b < table.blocks && !any; b++) any = readingsOfTool(tool, b) > 0;
    if (any) tools.push(tool);
  }
  const ewma = ewmaDesign(tools.length);
  const cellsOf = byKey(table.tool, register.tools.length);

  // Joints stopped by angle swap the roles of the lanes: a tool is followed at the kind of joint it mostly does, and the
  // habits of an operator at one kind say nothing of the other.
  const byAngle = register.joints.map((joint) => joint.stopsBy === 'angle');
  const majority = majorityKind(register.tools.length, table, byAngle);
  const ofKind = (cell: number): boolean => byAngle[table.joint[cell]!]! === majority[table.tool[cell]!]!;

  // Own lane: where people stop.
  const ownRows = laneRows(
    plant,
    table,
    (cell) => ofKind(cell) && table.n[cell]! >= leastInCell,
    (cell) => table.sumPercent[cell]! / table.n[cell]!,
    byAngle,
  );
  const ownInput = inputOf(ownRows, table, inPhase, readingsOfTool, options, ewma);
  yield;
  const own = yield* laneSteps(ownInput);
  yield;

  // Response lane: what the fastener answers at an equal stop.
  const answers = (cell: number): boolean => table.pairs[cell]! > 0 && ofKind(cell);
  const baseline = baselineCells(table, inPhase, answers, options);
  const sums = pairSumsByJoint(table, register.joints.length, (cell) => baseline[cell] === 1);
  const lines = sums.map((one, joint) => responseLine(one, table.centreStop[joint]!, table.centreResponse[joint]!));
  const responseRows = laneRows(
    plant,
    table,
    (cell) => answers(cell) && table.pairs[cell]! >= leastInCell && lines[table.joint[cell]!] !== null,
    (cell) => {
      const joint = table.joint[cell]!;
      const line = lines[joint]!;
      const n = table.pairs[cell]!;
      const stop = table.centreStop[joint]! + table.sumStop[cell]! / n;
      const response = table.centreResponse[joint]! + table.sumResponse[cell]! / n;
      return (100 * (response - line.intercept - line.slope * stop)) / line.meanResponse;
    },
    byAngle,
  );
  const responseInput: LaneInput = {
    ...inputOf(responseRows, table, inPhase, readingsOfTool, options, ewma),
    doubt: (level, from, others) =>
      slopeDoubt(table, lines, responseRows, inPhase, others ?? [level], from, register.joints.length),
  };
  yield;
  const response = yield* laneSteps(responseInput);
  yield;

  // The same from the operators' side, with the tools free to move from week to week and at their own changes.
  const operatorCells: CellRows = {
    ...ownRows.rows,
    tool: ownRows.rows.operator,
    operator: ownRows.rows.tool,
    names: {
      joint: ownRows.rows.names.joint,
      tool: ownRows.rows.names.operator,
      operator: ownRows.rows.names.tool,
    },
  };
  const changed = own.levels.map((lane) =>
    lane.moved === true && lane.change ? lane.blocks[lane.change.at]! : Number.POSITIVE_INFINITY,
  );
  const firstWeek = table.blocks > 0 ? isoWeek(table.blockAt[0]!) : 0;
  const weekOf = Int32Array.from(table.blockAt, (at) => isoWeek(at) - firstWeek);
  const weeks = (weekOf[table.blocks - 1] ?? 0) + 1;
  const absorb = numberedKeys(ownRows.rows.length, ownRows.toolOf.length * weeks * 4, (i) => {
    const tool = ownRows.rows.tool[i]!;
    const block = ownInput.block[i]!;
    return (
      ((tool * weeks + weekOf[block]!) * 2 + ownInput.current[i]!) * 2 +
      (block >= (changed[tool] ?? Number.POSITIVE_INFINITY) ? 1 : 0)
    );
  });
  const operatorReadings = new Float64Array(ownRows.operatorOf.length * table.blocks);
  for (let k = 0; k < ownRows.cell.length; k++) {
    const cell = ownRows.cell[k]!;
    const at = ownRows.rows.operator[k]! * table.blocks + table.block[cell]!;
    operatorReadings[at] = operatorReadings[at]! + table.n[cell]!;
  }
  const operatorLane = yield* laneSteps({
    rows: operatorCells,
    block: ownInput.block,
    blockAt: table.blockAt,
    current: new Uint8Array(ownRows.rows.length).fill(1),
    readingsOf: (level, block) => operatorReadings[level * table.blocks + block]!,
    baseline: options.baseline,
    ewma,
    absorb,
  });

  const torqueOnly = !byAngle.includes(true);
  const effectRows = torqueOnly
    ? ownRows
    : laneRows(
        plant,
        table,
        (cell) => table.torques[cell]! >= leastInCell,
        (cell) => table.sumTorquePercent[cell]! / table.torques[cell]!,
        null,
      );
  const sameFit = torqueOnly && own.byTool && own.moveFit ? own.moveFit : undefined;
  yield;
  const effects = effectRows.rows.length > 0 ? factorEffects(effectRows.rows, sameFit) : null;
  const targets = register.joints.map((joint, position) => {
    const revision = joint.revisions[joint.revisions.length - 1];
    const target = stopTarget(joint, revision);
    if (target !== null && revision) {
      return joint.stopsBy === 'torque' ? convertTorque(target, revision.unit, 'N.m') : target;
    }
    const median = table.medianTarget[position]!;
    return Number.isNaN(median) ? null : median;
  });

  let inCells = 0;
  let smallCells = 0;
  for (let c = 0; c < table.length; c++) {
    if (table.n[c]! >= leastInCell) inCells += table.n[c]!;
    else smallCells += table.n[c]!;
  }
  return {
    selected,
    table,
    firstBlock,
    cellsOf,
    ewma,
    ownRows,
    own,
    responseRows,
    response,
    lines,
    targets,
    operatorLane,
    effectRows,
    effects,
    tools,
    quantityOf: (tool) =>
      majority[tool]
        ? { own: 'angle', response: 'torque-at-equal-angle' }
        : { own: 'torque', response: 'angle-at-equal-torque' },
    otherKind: (tool) =>
      torqueOnly ? new Set() : new Set([...cellsOf.of(tool)].filter((c) => !ofKind(c)).map((c) => table.joint[c]!)),
    responsePerPercent: (tool) => responsePerPercent(tool, table, responseRows, inPhase, lines, targets, byAngle),
    inCells,
    smallCells,
  };
}

function inputOf(
  rows: LaneRows,
  table: CellTable,
  inPhase: (cell: number) => boolean,
  readingsOfTool: (tool: number, block: number) => number,
  options: DriftOptions,
  ewma: LaneInput['ewma'],
): LaneInput {
  const n = rows.cell.length;
  const block = new Int32Array(n);
  const current = new Uint8Array(n);
  for (let k = 0; k < n; k++) {
    block[k] = table.block[rows.cell[k]!]!;
    if (inPhase(rows.cell[k]!)) current[k] = 1;
  }
  return {
    rows: rows.rows,
    block,
    blockAt: table.blockAt,
    current,
    readingsOf: (level, block) => readingsOfTool(rows.toolOf[level]!, block),
    baseline: options.baseline,
    ewma,
  };
}

/** @param byAngle by joint: operators get a level of their own at joints stopped by angle; null: one level each */
function laneRows(
  plant: Plant,
  table: CellTable,
  take: (cell: number) => boolean,
  valueIn: (cell: number) => number,
  byAngle: readonly boolean[] | null,
): LaneRows {
  const { register } = plant;
  const taken = new Int32Array(table.length);
  let n = 0;
  for (let c = 0; c < table.length; c++) if (take(c)) taken[n++] = c;
  const cell = taken.slice(0, n);
  const value = new Float64Array(n);
  for (let k = 0; k < n; k++) value[k] = valueIn(cell[k]!);
  const compress = (of: Int32Array, keys: number): { levels: Int32Array; row: Int32Array } => {
    const position = new Int32Array(keys).fill(-1);
    for (let k = 0; k < cell.length; k++) position[of[cell[k]!]!] = 0;
    const levels: number[] = [];
    for (let key = 0; key < keys; key++) {
      if (position[key] === -1) continue;
      position[key] = levels.length;
      levels.push(key);
    }
    const row = new Int32Array(cell.length);
    for (let k = 0; k < cell.length; k++) row[k] = position[of[cell[k]!]!]!;
    return { levels: Int32Array.from(levels), row };
  };
  const tool = compress(table.tool, register.tools.length);
  const joint = compress(table.joint, register.joints.length);
  const people = register.operators.length + 1;
  const operator = compress(
    byAngle ? table.operator.map((one, c) => (byAngle[table.joint[c]!] ? one + people : one)) : table.operator,
    byAngle ? 2 * people : people,
  );
  const clusterOf = new Int32Array(register.tools.length * table.blocks).fill(-1);
  const cluster = new Int32Array(cell.length);
  let clusters = 0;
  for (let k = 0; k < cell.length; k++) {
    const key = table.tool[cell[k]!]! * table.blocks + table.block[cell[k]!]!;
    if (clusterOf[key] === -1) clusterOf[key] = clusters++;
    cluster[k] = clusterOf[key]!;
  }
  const jointsOf = Array.from(tool.levels, () => new Set<number>());
  const toolsAt = Array.from(joint.levels, () => new Set<number>());
  const met = new Uint8Array(tool.levels.length * joint.levels.length);
  for (let k = 0; k < cell.length; k++) {
    const key = tool.row[k]! * joint.levels.length + joint.row[k]!;
    if (met[key] === 1) continue;
    met[key] = 1;
    jointsOf[tool.row[k]!]!.add(joint.row[k]!);
    toolsAt[joint.row[k]!]!.add(tool.row[k]!);
  }
  return {
    rowsOf: byKey(tool.row, tool.levels.length),
    jointsOf,
    toolsAt,
    rows: {
      length: cell.length,
      joint: joint.row,
      operator: operator.row,
      tool: tool.row,
      value,
      cluster,
      clusters,
      names: {
        joint: [...joint.levels].map((k) => register.joints[k]!.name),
        operator: [...operator.levels].map((k) => register.operators[k % people]?.badge ?? ''),
        tool: [...tool.levels].map((k) => register.tools[k]!.serial),
      },
    },
    cell,
    toolOf: tool.levels,
    levelOfTool: new Map([...tool.levels].map((k, level) => [k, level])),
    operatorOf: operator.levels.map((k) => k % people),
    jointOf: joint.levels,
  };
}

/** Cells in the baseline of the response: of each tool its first 10 blocks of the phase, or the chosen span. */
function baselineCells(
  table: CellTable,
  inPhase: (cell: number) => boolean,
  answers: (cell: number) => boolean,
  options: DriftOptions,
): Uint8Array {
  const out = new Uint8Array(table.length);
  const { blocks } = table;
  const tools = table.toolBlockReadings.length / Math.max(1, blocks);
  const full = new Uint8Array(tools * blocks);
  for (let c = 0; c < table.length; c++) {
    // The blocks counted are those of the lane's series: blocks with at least one full cell.
    if (!answers(c) || !inPhase(c) || table.pairs[c]! < leastInCell) continue;
    full[table.tool[c]! * blocks + table.block[c]!] = 1;
  }
  const last = new Int32Array(tools).fill(-1);
  for (let tool = 0; tool < tools; tool++) {
    for (let b = 0, found = 0; b < blocks && found < baselineBlocks; b++) {
      if (full[tool * blocks + b] !== 1) continue;
      found++;
      last[tool] = b;
    }
  }
  for (let c = 0; c < table.length; c++) {
    if (!answers(c) || !inPhase(c)) continue;
    const block = table.block[c]!;
    if (options.baseline) {
      const at = table.blockAt[block]!;
      if (at >= options.baseline.from && at < options.baseline.to) out[c] = 1;
    } else if (block <= last[table.tool[c]!]!) out[c] = 1;
  }
  return out;
}

/** For each tool whether most of its readings are at joints stopped by angle: its lanes keep to those. */
function majorityKind(tools: number, table: CellTable, byAngle: readonly boolean[]): boolean[] {
  const balance = new Float64Array(tools);
  for (let c = 0; c < table.length; c++) {
    const tool = table.tool[c]!;
    balance[tool] = balance[tool]! + (byAngle[table.joint[c]!] ? 1 : -1) * table.n[c]!;
  }
  return Array.from(balance, (value) => value > 0);
}

/** Variance that the doubt of the response lines adds to a move: sum over joints of (w 100 dStop se / mean)^2. */
function slopeDoubt(
  table: CellTable,
  lines: readonly (ResponseLine | null)[],
  lane: LaneRows,
  inPhase: (cell: number) => boolean,
  levels: readonly number[],
  firstBlock: number,
  joints: number,
): number {
  const before = new Float64Array(joints);
  const after = new Float64Array(joints);
  const stopBefore = new Float64Array(joints);
  const stopAfter = new Float64Array(joints);
  const cells = new Float64Array(joints);
  let all = 0;
  for (const level of levels) {
    for (const k of lane.rowsOf.of(level)) {
      const c = lane.cell[k]!;
      if (!inPhase(c)) continue;
      const joint = table.joint[c]!;
      cells[joint] = cells[joint]! + 1;
      all++;
      if (table.block[c]! >= firstBlock) {
        after[joint] = after[joint]! + table.pairs[c]!;
        stopAfter[joint] = stopAfter[joint]! + table.sumStop[c]!;
      } else {
        before[joint] = before[joint]! + table.pairs[c]!;
        stopBefore[joint] = stopBefore[joint]! + table.sumStop[c]!;
      }
    }
  }
  let variance = 0;
  for (let j = 0; j < joints; j++) {
    const line = lines[j];
    if (!line || before[j] === 0 || after[j] === 0) continue;
    const change = stopAfter[j]! / after[j]! - stopBefore[j]! / before[j]!;
    const part = ((cells[j]! / all) * 100 * change * line.standardError) / line.meanResponse;
    variance += part * part;
  }
  return variance;
}

function responsePerPercent(
  tool: number,
  table: CellTable,
  lane: LaneRows,
  inPhase: (cell: number) => boolean,
  lines: readonly (ResponseLine | null)[],
  targets: readonly (number | null)[],
  byAngle: readonly boolean[],
): number | null {
  const level = lane.levelOfTool.get(tool);
  if (level === undefined) return null;
  let sum = 0;
  let cells = 0;
  let any = false;
  for (const k of lane.rowsOf.of(level)) {
    const c = lane.cell[k]!;
    if (!inPhase(c)) continue;
    const joint = table.joint[c]!;
    const line = lines[joint];
    const target = targets[joint];
    if (!line) continue;
    cells++;
    // Stopped by angle: torque shown at an equal angle follows the deviation itself.
    if (byAngle[joint]) sum += 1;
    else if (line.used && target !== null && target !== undefined) sum -= (target * line.slope) / line.meanResponse;
    else continue;
    any = true;
  }
  return any ? sum / cells : null;
}

/** What each reading of a plant brings to the drift analysis; made once a plant, one loop. */
import { verdictPass } from '../judging/judged.ts';
import type { Plant } from '../readings/plant.ts';
import { blockKey, blockOfKey, occurrenceSpan } from '../readings/shift-occurrence.ts';
import type { Joint, LimitRevision } from '../register/register.ts';
import { fastenerChains } from '../review/chains.ts';
import { newtonMetresPer, torqueUnitCodes } from '../units/torque-unit.ts';

/** Why a reading is in no cell; position 0: it may be in one. */
export const driftUse = [
  'used',
  'no-time',
  'no-tool',
  'no-joint',
  'other-direction',
  'further-try',
  'excluded',
  'no-value',
] as const;
export type DriftUse = (typeof driftUse)[number];

export interface DriftReadings {
  /** Position in `driftUse`. */
  readonly use: Uint8Array;
  /** Position in `blockAt`; -1: no date. */
  readonly block: Int32Array;
  /** Start of each block, rising: a shift occurrence, or the civil day outside shifts. */
  readonly blockAt: Float64Array;
  /** Position of each block's shift in the register; -1: a day outside shifts. */
  readonly blockShift: Int32Array;
  /** Deviation of the stopping quantity from its target, %; NaN: no target (then the joint's baseline median stands in). */
  readonly percent: Float64Array;
  /**
   * Deviation of the torque from its target, %, whatever ends the tightening: what effects are about. The same array as
   * `percent` where no joint is stopped by angle.
   */
  readonly torquePercent: Float64Array;
  /** The quantity that ends the tightening: torque in N·m, or degrees where the joint is stopped by angle. NaN: none. */
  readonly stop: Float64Array;
  /** The other one, which responds. NaN: none. */
  readonly response: Float64Array;
}

/** A joint without any limits is compared with its own baseline median, which needs this many blocks. */
const leastBlocksWithoutLimits = 10;

const kept = new WeakMap<Plant, DriftReadings>();

/** The target of the stopping quantity: target, else middle of the window, else null (one-sided, or no limits). */
export function stopTarget(joint: Joint, revision: LimitRevision | undefined): number | null {
  if (!revision) return null;
  const [low, target, high] =
    joint.stopsBy === 'torque'
      ? [revision.low, revision.target, revision.high]
      : [revision.angleLowDeg, revision.angleTargetDeg, revision.angleHighDeg];
  const centre = target ?? (low !== null && high !== null ? (low + high) / 2 : null);
  return centre !== null && centre !== 0 ? centre : null;
}

/** Columns of the drift analysis for a plant. */
export function driftReadings(plant: Plant): DriftReadings {
  let made = kept.get(plant);
  if (!made) {
    made = make(plant);
    kept.set(plant, made);
  }
  return made;
}

function make(plant: Plant): DriftReadings {
  const { readings, register, judged, leftOut } = plant;
  const n = readings.length;
  const chains = fastenerChains(plant);
  const use = new Uint8Array(n);
  const block = new Int32Array(n).fill(-1);
  const percent = new Float64Array(n).fill(Number.NaN);
  const stop = new Float64Array(n).fill(Number.NaN);
  const response = new Float64Array(n).fill(Number.NaN);
  const code = (name: DriftUse): number => driftUse.indexOf(name);
  const codes = {
    noTime: code('no-time'),
    noTool: code('no-tool'),
    noJoint: code('no-joint'),
    other: code('other-direction'),
    further: code('further-try'),
    excluded: code('excluded'),
    noValue: code('no-value'),
  };
  // By joint and revision: target of the stopping quantity, and N·m in one unit of the limits.
  const targets = register.joints.map((joint) => joint.revisions.map((revision) => stopTarget(joint, revision)));
  const factors = register.joints.map((joint) => joint.revisions.map((revision) => newtonMetresPer[revision.unit]));
  const byAngle = register.joints.map((joint) => joint.stopsBy === 'angle');
  const torquePercent = byAngle.includes(true) ? new Float64Array(n).fill(Number.NaN) : percent;
  const torqueTargets = register.joints.map((joint) =>
    joint.revisions.map((revision) => stopTarget({ ...joint, stopsBy: 'torque' }, revision)),
  );
  const recordedFactor = torqueUnitCodes.map((unit) => newtonMetresPer[unit]);

  const blocksOf = register.joints.map((joint) => (joint.revisions.length === 0 ? new Set<number>() : null));
  const numberOf = new Map<number, number>();
  const keys: number[] = [];
  let lastKey = Number.NaN;
  let lastNumber = -1;
  for (let i = 0; i < n; i++) {
    const key = blockKey(register.shifts, readings.at[i]!, readings.atStep[i]!);
    if (Number.isNaN(key)) {
      use[i] = codes.noTime;
    } else {
      if (key !== lastKey) {
        let number = numberOf.get(key);
        if (number === undefined) {
          number = keys.length;
          numberOf.set(key, number);
          keys.push(key);
        }
        lastKey = key;
        lastNumber = number;
      }
      block[i] = lastNumber;
    }
    const joint = readings.joint[i]!;
    const revision = judged.revision[i]!;
    if (joint >= 0) {
      const factor = revision >= 0 ? factors[joint]![revision]! : recordedFactor[readings.unit[i]!]!;
      const torque = judged.torque[i]!;
      const angle = judged.angle[i]!;
      const target = revision >= 0 ? targets[joint]![revision]! : null;
      if (byAngle[joint]) {
        stop[i] = angle;
        response[i] = torque * factor;
        if (target !== null) percent[i] = (100 * (angle - target)) / target;
        const torqueTarget = revision >= 0 ? torqueTargets[joint]![revision]! : null;
        if (torqueTarget !== null) torquePercent[i] = (100 * (torque - torqueTarget)) / torqueTarget;
      } else {
        stop[i] = torque * factor;
        response[i] = angle;
        if (target !== null) {
          percent[i] = (100 * (torque - target)) / target;
          torquePercent[i] = percent[i]!;
        }
      }
    }
    if (use[i] !== 0) continue;
    if (joint >= 0) blocksOf[joint]?.add(block[i]!);
    if (readings.tool[i]! < 0) use[i] = codes.noTool;
    else if (joint < 0) use[i] = codes.noJoint;
    else if (judged.unjudgedBecause[i] === 1) use[i] = codes.other;
    else if (chains.attempt[i] !== 1) use[i] = codes.further;
    else if (Number.isNaN(stop[i]!) || (revision < 0 && targets[joint]!.length > 0)) use[i] = codes.noValue;
  }
  // A name typed wrongly once is no joint with a level of its own.
  const tooFew = blocksOf.map((blocks) => blocks !== null && blocks.size < leastBlocksWithoutLimits);
  if (tooFew.includes(true)) {
    for (let i = 0; i < n; i++) if (use[i] === 0 && tooFew[readings.joint[i]!]) use[i] = codes.noValue;
  }
  for (const position of leftOut.keys()) if (use[position] === 0) use[position] = codes.excluded;

  // Blocks in order of their start.
  const starts = keys.map((key) => occurrenceSpan(register.shifts, blockOfKey(key)).from);
  const order = starts.map((_, k) => k).sort((a, b) => starts[a]! - starts[b]! || keys[a]! - keys[b]!);
  const rank = new Int32Array(order.length);
  order.forEach((k, position) => {
    rank[k] = position;
  });
  for (let i = 0; i < n; i++) if (block[i]! >= 0) block[i] = rank[block[i]!]!;
  return {
    use,
    block,
    blockAt: Float64Array.from(order, (k) => starts[k]!),
    blockShift: Int32Array.from(order, (k) => blockOfKey(keys[k]!).shift),
    percent,
    torquePercent,
    stop,
    response,
  };
}

/** Positions of the readings in force by tool, each in time order (readings without a time last). */
export interface ToolReadings {
  readonly start: Uint32Array;
  readonly position: Uint32Array;
}

const keptByTool = new WeakMap<Plant, ToolReadings>();

/** Readings in force by tool; O(n), once a plant. */
export function readingsByTool(plant: Plant): ToolReadings {
  let made = keptByTool.get(plant);
  if (made) return made;
  const { readings, register, order } = plant;
  const start = new Uint32Array(register.tools.length + 1);
  for (let i = 0; i < readings.length; i++) {
    const tool = readings.tool[i]!;
    if (tool >= 0 && readings.inForce[i] === 1) start[tool + 1] = start[tool + 1]! + 1;
  }
  for (let k = 0; k < register.tools.length; k++) start[k + 1] = start[k + 1]! + start[k]!;
  const next = start.slice();
  const position = new Uint32Array(start[register.tools.length] ?? 0);
  for (let k = 0; k < order.length; k++) {
    const i = order[k]!;
    const tool = readings.tool[i]!;
    if (tool < 0 || readings.inForce[i] !== 1) continue;
    position[next[tool]!] = i;
    next[tool] = next[tool]! + 1;
  }
  made = { start, position };
  keptByTool.set(plant, made);
  return made;
}

/** Whether a reading passed. */
export function hasPassed(plant: Plant, position: number): boolean {
  return plant.judged.verdict[position] === verdictPass;
}

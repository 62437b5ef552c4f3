/** Which readings a study uses, and in what groups (definitions 5 and 7). */
import type { StudyChoices } from '../contract/calls.ts';
import type { StudyUnit } from '../contract/models/study-model.ts';
import { unjudgedCodes } from '../judging/judged.ts';
import type { Plant } from '../readings/plant.ts';
import type { Scope } from '../readings/scope.ts';
import { selectReadings } from '../readings/select-readings.ts';
import { blockKey, dateOnly, minutesPerDay, shiftTable, tablePlace } from '../readings/shift-occurrence.ts';
import type { Joint, LimitRevision, Shift, Tool } from '../register/register.ts';
import { fastenerChains } from '../review/chains.ts';
import type { Limits } from '../stats/capability-indices.ts';
import { convertTorque, type TorqueUnit, torqueUnitCodes } from '../units/torque-unit.ts';

/** The readings of a study in time order; those left out by a person keep their place. */
export interface StudyReadings {
  readonly joint: Joint;
  readonly jointPosition: number;
  readonly unit: StudyUnit;
  /** Unit of the limits: the fingerprint is in it. */
  readonly limitsUnit: StudyUnit;
  readonly limits: Limits;
  /** Limits in the unit of the limits. */
  readonly ownLimits: Limits;
  readonly revision: { readonly position: number; readonly label: string; readonly from: number } | null;
  /** Positions in the columns, left-out readings included. */
  readonly positions: Uint32Array;
  /** In `unit`. */
  readonly values: Float64Array;
  /** In `limitsUnit`. */
  readonly ownValues: Float64Array;
  /** 1: used; 0: left out by a person. */
  readonly used: Uint8Array;
  readonly usedCount: number;
  /** Tool x limit revision x shift occurrence (or day), numbered in order of first appearance. */
  readonly strata: Int32Array;
  readonly strataCount: number;
  /** Block (shift occurrence or day, as a key) of each stratum; -1: without a time. */
  readonly blockOfStratum: readonly number[];
  /** One tool within one phase, for moving ranges. */
  readonly runOf: Int32Array;
  /** Changes of limits, calibrations and repairs before the reading, over all tools of the study. */
  readonly phase: Int32Array;
  /** Most decimals written, in the recorded unit. */
  readonly decimals: number;
  readonly counts: {
    readonly inScope: number;
    readonly otherRevisions: number;
    readonly furtherTries: number;
    readonly noValue: number;
    readonly otherDirection: number;
  };
}

const otherDirection = unjudgedCodes.indexOf('other-direction');

/** Limits of the characteristic in one revision. */
export function revisionLimits(revision: LimitRevision | undefined, of: StudyChoices['of']): Limits {
  if (!revision) return { low: null, target: null, high: null };
  return of === 'torque'
    ? { low: revision.low, target: revision.target, high: revision.high }
    : { low: revision.angleLowDeg, target: revision.angleTargetDeg, high: revision.angleHighDeg };
}

function sameLimits(a: LimitRevision, b: LimitRevision, of: StudyChoices['of']): boolean {
  const x = revisionLimits(a, of);
  const y = revisionLimits(b, of);
  return x.low === y.low && x.target === y.target && x.high === y.high && (of === 'angle' || a.unit === b.unit);
}

/** Times at which a tool was calibrated or repaired, rising. */
export function toolPhaseStarts(tool: Tool): number[] {
  const times = tool.events.map((event) => event.at);
  if (tool.calibratedOn !== null) times.push(tool.calibratedOn);
  return [...new Set(times)].sort((a, b) => a - b);
}

/** How many of the times are at or before `at`. */
function passed(times: ArrayLike<number>, at: number): number {
  let count = 0;
  while (count < times.length && times[count]! <= at) count++;
  return count;
}

/** The scope of a study: its own joint alone. */
export function studyScope(choices: StudyChoices): Scope {
  return { ...choices.scope, joints: [choices.joint] };
}

/** Readings of one joint in scope; the choice of joints in the scope itself is not used. Null: no such joint. */
export function studyReadings(plant: Plant, choices: StudyChoices): StudyReadings | null {
  const { register, readings, judged } = plant;
  const jointPosition = register.joints.findIndex((joint) => joint.name === choices.joint);
  const joint = register.joints[jointPosition];
  if (!joint) return null;
  const inScope = selectReadings(plant, studyScope(choices));
  const chains = fastenerChains(plant);
  const source = choices.of === 'torque' ? judged.torque : judged.angle;

  // The newest set of limits met in the scope; equal sets count as one.
  let newest = -1;
  for (let k = inScope.length - 1; k >= 0; k--) {
    const revision = judged.revision[inScope[k]!]!;
    if (revision > newest) newest = revision;
  }
  // Without a reading the newest limits stand in, so that the screen can still show them.
  if (inScope.length === 0) newest = joint.revisions.length - 1;
  const chosen = newest < 0 ? undefined : joint.revisions[newest];
  const revisionFits = joint.revisions.map((one) => chosen !== undefined && sameLimits(one, chosen, choices.of));

  const recordedUnit = (position: number): TorqueUnit => torqueUnitCodes[readings.unit[position]!] ?? 'N.m';
  const limitsUnit: StudyUnit = choices.of === 'angle' ? 'deg' : (chosen?.unit ?? 'N.m');
  const unit: StudyUnit = choices.of === 'angle' ? 'deg' : (choices.unit ?? limitsUnit);

  // One loop over the readings: what is asked of each, its value, and what the loop over strata must know beforehand.
  const most = inScope.length;
  let positions = new Uint32Array(most);
  let ownValues = new Float64Array(most);
  let n = 0;
  let otherRevisions = 0;
  let furtherTries = 0;
  let noValue = 0;
  let wrongDirection = 0;
  let decimals = 0;
  const { unjudgedBecause, revision: revisionOf } = judged;
  const { decimals: decimalsOf, tool: toolOf } = readings;
  const allTries = choices.attempts === 'all';
  const wanted = choices.attempts === 'last' ? chains.last : chains.first;
  const seenTool = new Uint8Array(register.tools.length + 1);
  let revisions = 2;
  for (let k = 0; k < most; k++) {
    const i = inScope[k]!;
    if (unjudgedBecause[i] === otherDirection) {
      wrongDirection++;
      continue;
    }
    if (!allTries && wanted[i] !== 1) {
      furtherTries++;
      continue;
    }
    const value = source[i]!;
    // NaN: the reading has none of it.
    if (Number.isNaN(value)) {
      noValue++;
      continue;
    }
    const revision = revisionOf[i]!;
    if (chosen !== undefined && revisionFits[revision] !== true) {
      otherRevisions++;
      continue;
    }
    positions[n] = i;
    ownValues[n++] = value;
    if (decimalsOf[i]! > decimals) decimals = decimalsOf[i]!;
    seenTool[toolOf[i]! + 1] = 1;
    if (revision + 2 > revisions) revisions = revision + 2;
  }
  if (n < most) {
    positions = positions.slice(0, n);
    ownValues = ownValues.slice(0, n);
  }
  if (chosen === undefined && limitsUnit !== 'deg') {
    // Without limits the judged value is in the recorded unit.
    for (let k = 0; k < n; k++) {
      ownValues[k] = convertTorque(ownValues[k]!, recordedUnit(positions[k]!), limitsUnit);
    }
  }
  let values = ownValues;
  if (unit !== limitsUnit && unit !== 'deg' && limitsUnit !== 'deg') {
    values = new Float64Array(n);
    for (let k = 0; k < n; k++) values[k] = convertTorque(ownValues[k]!, limitsUnit, unit);
  }
  const used = new Uint8Array(n).fill(1);
  let usedCount = n;
  if (plant.leftOut.size > 0) {
    for (let k = 0; k < n; k++) {
      if (!plant.leftOut.has(positions[k]!)) continue;
      used[k] = 0;
      usedCount--;
    }
    // Decimals are those of the readings used.
    decimals = 0;
    for (let k = 0; k < n; k++) if (used[k] === 1) decimals = Math.max(decimals, decimalsOf[positions[k]!]!);
  }
  if (choices.of === 'angle') decimals = angleDecimals(ownValues);
  const ownLimits = revisionLimits(chosen, choices.of);
  const inUnit = (value: number | null): number | null =>
    value === null || unit === 'deg' || limitsUnit === 'deg' ? value : convertTorque(value, limitsUnit, unit);
  return {
    joint,
    jointPosition,
    unit,
    limitsUnit,
    limits: { low: inUnit(ownLimits.low), target: inUnit(ownLimits.target), high: inUnit(ownLimits.high) },
    ownLimits,
    revision: chosen ? { position: newest, label: chosen.label, from: chosen.from } : null,
    positions,
    values,
    ownValues,
    used,
    usedCount,
    ...orderings(plant, positions, seenTool, revisions),
    decimals,
    counts: { inScope: inScope.length, otherRevisions, furtherTries, noValue, otherDirection: wrongDirection },
  };
}

/**
 * Strata, runs of one tool within a phase, and phases of the whole study.
 *
 * @param seenTool 1 for a tool with readings among them, by position + 1
 * @param revisions greatest position of a revision among them, + 2
 */
function orderings(
  plant: Plant,
  positions: Uint32Array,
  seenTool: Uint8Array,
  revisions: number,
): Pick<StudyReadings, 'strata' | 'strataCount' | 'blockOfStratum' | 'runOf' | 'phase'> {
  const { register } = plant;
  const { shifts } = register;
  const { tool: toolColumn, at: atColumn, atStep } = plant.readings;
  const revisionOf = plant.judged.revision;
  const n = positions.length;
  const strata = new Int32Array(n);
  const runOf = new Int32Array(n);
  const phase = new Int32Array(n);
  const toolStarts = register.tools.map(toolPhaseStarts);
  const toolCount = register.tools.length + 1;
  const starts = Float64Array.from(
    new Set(toolStarts.flatMap((times, tool) => (seenTool[tool + 1] === 1 ? times : []))),
  ).sort();
  const someStarts = starts.length > 0;
  // What each tool and revision had last: neighbours mostly share it, and the map is asked only when it changes.
  const slots = toolCount * revisions;
  const lastBlock = new Float64Array(slots).fill(Number.NEGATIVE_INFINITY);
  const lastStratum = new Int32Array(slots);
  const lastEvents = new Int32Array(slots).fill(-1);
  const lastRun = new Int32Array(slots);
  const stratumOf = new Map<number, number>();
  const runNumber = new Map<number, number>();
  const blockOfStratum: number[] = [];
  const holds = minutesHeld(shifts);
  // Times mostly rise: a block is looked up once, and holds from one time to another.
  let heldBlock = -1;
  let heldFrom = Number.POSITIVE_INFINITY;
  let heldTo = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < n; k++) {
    const i = positions[k]!;
    const at = atColumn[i]!;
    const step = atStep[i]!;
    let block = heldBlock;
    if (!(at >= heldFrom && at < heldTo) || step === dateOnly || step === 0) {
      const key = blockKey(shifts, at, step);
      block = Number.isNaN(key) ? -1 : key;
      if (!Number.isNaN(key) && step !== dateOnly) {
        heldBlock = key;
        heldFrom = Math.floor(at / msPerMinute) * msPerMinute;
        heldTo = heldFrom + holds[tablePlace(at, Math.floor(at / msPerDay) * msPerDay)]! * msPerMinute;
      }
    }
    const tool = toolColumn[i]! + 1;
    const revision = revisionOf[i]! + 1;
    const slot = tool * revisions + revision;
    // A phase of the study begins with an event of any of its tools, a run with one of the tool's own.
    const events = someStarts ? passed(toolStarts[tool - 1] ?? none, at) : 0;
    if (lastBlock[slot] !== block) {
      const place = block * slots + slot;
      let stratum = stratumOf.get(place);
      if (stratum === undefined) {
        stratum = stratumOf.size;
        stratumOf.set(place, stratum);
        blockOfStratum.push(block);
      }
      lastBlock[slot] = block;
      lastStratum[slot] = stratum;
    }
    if (lastEvents[slot] !== events) {
      const place = events * slots + slot;
      let run = runNumber.get(place);
      if (run === undefined) {
        run = runNumber.size;
        runNumber.set(place, run);
      }
      lastEvents[slot] = events;
      lastRun[slot] = run;
    }
    strata[k] = lastStratum[slot]!;
    runOf[k] = lastRun[slot]!;
    phase[k] = someStarts ? revision * (starts.length + 1) + passed(starts, at) : revision;
  }
  return { strata, strataCount: stratumOf.size, blockOfStratum, runOf, phase };
}

const none: readonly number[] = [];

const msPerMinute = 60_000;
const msPerDay = 86_400_000;

/** For each minute of the week: for how many minutes, itself included, its block goes on before the day ends. */
function minutesHeld(shifts: readonly Shift[]): Int16Array {
  const { shift, dayBefore } = shiftTable(shifts);
  const held = new Int16Array(shift.length);
  for (let place = shift.length - 1; place >= 0; place--) {
    const lastOfDay = (place + 1) % minutesPerDay === 0;
    const goesOn = !lastOfDay && shift[place + 1] === shift[place] && dayBefore[place + 1] === dayBefore[place];
    held[place] = goesOn ? held[place + 1]! + 1 : 1;
  }
  return held;
}

/** Most decimals of angles, which carry no count of their own: up to 3, by trying. */
function angleDecimals(values: Float64Array): number {
  let decimals = 0;
  for (let k = 0; k < values.length && decimals < 3; k++) {
    let scale = 10 ** decimals;
    while (decimals < 3 && Math.abs(values[k]! * scale - Math.round(values[k]! * scale)) > 1e-6) {
      decimals++;
      scale = 10 ** decimals;
    }
  }
  return decimals;
}

/** Which readings a study uses, and in what groups (definitions 5 and 7). */
import type { StudyChoices } from '../contract/calls.ts';
import type { StudyUnit } from '../contract/models/study-model.ts';
import { unjudgedCodes } from '../judging/judged.ts';
import type { Plant } from '../readings/plant.ts';
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
function passed(times: readonly number[], at: number): number {
  let count = 0;
  while (count < times.length && times[count]! <= at) count++;
  return count;
}

/** Readings of one joint in scope; the choice of joints in the scope itself is not used. Null: no such joint. */
export function studyReadings(plant: Plant, choices: StudyChoices): StudyReadings | null {
  const { register, readings, judged } = plant;
  const jointPosition = register.joints.findIndex((joint) => joint.name === choices.joint);
  const joint = register.joints[jointPosition];
  if (!joint) return null;
  const inScope = selectReadings(plant, { ...choices.scope, joints: [joint.name] });
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

  const positions = new Uint32Array(inScope.length);
  let n = 0;
  let otherRevisions = 0;
  let furtherTries = 0;
  let noValue = 0;
  let wrongDirection = 0;
  const wanted = choices.attempts === 'last' ? chains.last : chains.first;
  for (let k = 0; k < inScope.length; k++) {
    const i = inScope[k]!;
    if (judged.unjudgedBecause[i] === otherDirection) {
      wrongDirection++;
    } else if (choices.attempts !== 'all' && wanted[i] !== 1) {
      furtherTries++;
    } else if (Number.isNaN(source[i]!)) {
      noValue++;
    } else if (chosen !== undefined && revisionFits[judged.revision[i]!] !== true) {
      otherRevisions++;
    } else {
      positions[n++] = i;
    }
  }
  const kept = positions.slice(0, n);
  const ownValues = new Float64Array(n);
  const values = unit === limitsUnit ? ownValues : new Float64Array(n);
  const used = new Uint8Array(n);
  let usedCount = 0;
  const noneLeftOut = plant.leftOut.size === 0;
  let decimals = 0;
  for (let k = 0; k < n; k++) {
    const i = kept[k]!;
    const raw = source[i]!;
    // Without limits the judged value is in the recorded unit.
    ownValues[k] = chosen === undefined && limitsUnit !== 'deg' ? convertTorque(raw, recordedUnit(i), limitsUnit) : raw;
    if (unit !== limitsUnit && unit !== 'deg' && limitsUnit !== 'deg') {
      values[k] = convertTorque(ownValues[k]!, limitsUnit, unit);
    }
    const isUsed = noneLeftOut || !plant.leftOut.has(i);
    used[k] = isUsed ? 1 : 0;
    if (isUsed) usedCount++;
    if (choices.of === 'torque' && readings.decimals[i]! > decimals) decimals = readings.decimals[i]!;
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
    positions: kept,
    values,
    ownValues,
    used,
    usedCount,
    ...orderings(plant, kept),
    decimals,
    counts: { inScope: inScope.length, otherRevisions, furtherTries, noValue, otherDirection: wrongDirection },
  };
}

/** Strata, runs of one tool within a phase, and phases of the whole study. */
function orderings(
  plant: Plant,
  positions: Uint32Array,
): Pick<StudyReadings, 'strata' | 'strataCount' | 'blockOfStratum' | 'runOf' | 'phase'> {
  const { register } = plant;
  const { tool: toolColumn, at: atColumn, atStep } = plant.readings;
  const revisionOf = plant.judged.revision;
  const n = positions.length;
  const strata = new Int32Array(n);
  const runOf = new Int32Array(n);
  const phase = new Int32Array(n);
  const toolStarts = register.tools.map(toolPhaseStarts);
  const toolCount = register.tools.length + 1;
  let revisions = 2;
  const seen = new Uint8Array(toolCount);
  for (let k = 0; k < n; k++) {
    seen[toolColumn[positions[k]!]! + 1] = 1;
    const revision = revisionOf[positions[k]!]! + 2;
    if (revision > revisions) revisions = revision;
  }
  const starts = [...new Set(toolStarts.flatMap((times, tool) => (seen[tool + 1] === 1 ? times : [])))].sort(
    (a, b) => a - b,
  );
  // What each tool and revision had last: neighbours mostly share it, and the map is asked only when it changes.
  const slots = toolCount * revisions;
  const lastBlock = new Float64Array(slots).fill(Number.NEGATIVE_INFINITY);
  const lastStratum = new Int32Array(slots);
  const lastEvents = new Int32Array(slots).fill(-1);
  const lastRun = new Int32Array(slots);
  const stratumOf = new Map<number, number>();
  const runNumber = new Map<number, number>();
  const blockOfStratum: number[] = [];
  const blockAt = blockWalker(register.shifts);
  for (let k = 0; k < n; k++) {
    const i = positions[k]!;
    const tool = toolColumn[i]! + 1;
    const revision = revisionOf[i]! + 1;
    const at = atColumn[i]!;
    const block = blockAt(at, atStep[i]!);
    const slot = tool * revisions + revision;
    const ownStarts = toolStarts[tool - 1];
    const events = ownStarts === undefined || ownStarts.length === 0 ? 0 : passed(ownStarts, at);
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
    phase[k] = revision * (starts.length + 1) + (starts.length === 0 ? 0 : passed(starts, at));
  }
  return { strata, strataCount: stratumOf.size, blockOfStratum, runOf, phase };
}

const msPerMinute = 60_000;
const msPerDay = 86_400_000;

/**
 * Block keys for times that mostly rise: a block is looked up once, and holds until its last minute of the day. -1:
 * without a time.
 */
function blockWalker(shifts: readonly Shift[]): (at: number, atStep: number) => number {
  const holds = minutesHeld(shifts);
  let from = Number.POSITIVE_INFINITY;
  let to = Number.NEGATIVE_INFINITY;
  let held = -1;
  return (at, atStep) => {
    if (at >= from && at < to && atStep !== dateOnly && atStep !== 0) return held;
    const key = blockKey(shifts, at, atStep);
    if (Number.isNaN(key)) return -1;
    if (atStep === dateOnly) return key;
    held = key;
    from = Math.floor(at / msPerMinute) * msPerMinute;
    to = from + holds[tablePlace(at, Math.floor(at / msPerDay) * msPerDay)]! * msPerMinute;
    return key;
  };
}

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

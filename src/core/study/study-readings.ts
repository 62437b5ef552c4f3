/** Which readings a study uses, and in what groups (definitions 5 and 7). */
import type { StudyChoices } from '../contract/calls.ts';
import type { StudyUnit } from '../contract/models/study-model.ts';
import type { Plant } from '../readings/plant.ts';
import type { Scope } from '../readings/scope.ts';
import { selectReadings } from '../readings/select-readings.ts';
import type { Joint, LimitRevision } from '../register/register.ts';
import { fastenerChains } from '../review/chains.ts';
import type { Limits } from '../stats/capability-indices.ts';
import { convertTorque, type TorqueUnit, torqueUnitCodes } from '../units/torque-unit.ts';
import { chooseReadings } from './choose-readings.ts';

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

  // The newest set of limits met in the scope; equal sets count as one.
  let newest = -1;
  for (let k = inScope.length - 1; k >= 0 && newest < joint.revisions.length - 1; k--) {
    const revision = judged.revision[inScope[k]!]!;
    if (revision > newest) newest = revision;
  }
  // Without a reading the newest limits stand in, so that the screen can still show them.
  if (inScope.length === 0) newest = joint.revisions.length - 1;
  const chosen = newest < 0 ? undefined : joint.revisions[newest];

  const recordedUnit = (position: number): TorqueUnit => torqueUnitCodes[readings.unit[position]!] ?? 'N.m';
  const limitsUnit: StudyUnit = choices.of === 'angle' ? 'deg' : (chosen?.unit ?? 'N.m');
  const unit: StudyUnit = choices.of === 'angle' ? 'deg' : (choices.unit ?? limitsUnit);

  const {
    positions,
    values: judgedValues,
    counts,
    ...placed
  } = chooseReadings(plant, {
    inScope,
    source: choices.of === 'torque' ? judged.torque : judged.angle,
    tries: choices.attempts === 'all' ? null : choices.attempts === 'last' ? chains.last : chains.first,
    revisionFits: chosen === undefined ? null : joint.revisions.map((one) => sameLimits(one, chosen, choices.of)),
    revisions: joint.revisions.length,
  });
  const n = positions.length;
  const ownValues = judgedValues;
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
  let { decimals } = placed;
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
    for (let k = 0; k < n; k++) if (used[k] === 1) decimals = Math.max(decimals, readings.decimals[positions[k]!]!);
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
    ...placed,
    decimals,
    counts: { inScope: inScope.length, ...counts },
  };
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

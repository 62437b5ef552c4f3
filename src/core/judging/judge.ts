import { type ReadingColumns, timeStepsMs } from '../readings/columns.ts';
import type { LimitRevision, Register } from '../register/register.ts';
import { adapterFactor } from '../units/adapter-factor.ts';
import { newtonMetresPer, torqueUnitCodes } from '../units/torque-unit.ts';
import { type Judged, verdictFail, verdictPass } from './judged.ts';
import { openSideScales } from './open-side-scale.ts';

/** Only absorbs floating point: a value is inside when it passes its limit by at most this part of the limit. */
const tolerance = 1e-9;
const otherDirection = 1;
const noTime = 2;
const noLimits = 3;
const noTorque = 4;
const noAngle = 5;

/**
 * Verdicts of all readings by the limit revision in force when each was made (definitions 3).
 *
 * One loop over the columns, O(n). Compared in the unit of the limits; the recorded values stay as they are. A reading
 * that has any value outside its limit fails, whatever else is missing; one that lacks a needed value is unjudged.
 *
 * A reading without a time has the revision of its joint only where the joint has exactly one, and likewise the adapter
 * of its tool.
 *
 * @returns columns of the same length; readings out of force are judged too, so that restoring a file costs nothing
 */
export function judgeAll(readings: ReadingColumns, register: Register): Judged {
  const n = readings.length;
  const judged: Judged = {
    verdict: new Uint8Array(n),
    reasons: new Uint8Array(n),
    unjudgedBecause: new Uint8Array(n),
    revision: new Int16Array(n).fill(-1),
    torque: new Float64Array(n),
    angle: new Float64Array(n),
    torquePlace: new Float32Array(n),
    anglePlace: new Float32Array(n),
    onLimit: new Uint8Array(n),
  };
  const limits = flatLimits(register);
  const adapters = register.tools.map((tool) => {
    const periods = tool.adapters.map((period) => ({
      from: period.from,
      to: period.to ?? Number.POSITIVE_INFINITY,
      factor: adapterFactor(period.lengthMm, period.offsetMm, period.angleDeg) ?? 1,
    }));
    // All or none: which adapter a reading without a time was made with depends on how many there are.
    return periods.some((period) => period.factor !== 1) ? periods : [];
  });
  const anyAdapter = adapters.some((list) => list.length > 0);
  const units = torqueUnitCodes.length;
  const newtonMetres = torqueUnitCodes.map((unit) => newtonMetresPer[unit]);
  const steps = Array.from({ length: 256 }, (_, decimals) => 0.5 * 10 ** -decimals);
  const { at, torque: recorded, angle: recordedAngle, unit, joint, tool, decimals } = readings;
  const { verdict, reasons, unjudgedBecause, revision, torque, angle, torquePlace, anglePlace, onLimit } = judged;

  const {
    start: firstLimit,
    counterClockwise,
    from: limitFrom,
    unit: limitUnit,
    low: limitLow,
    high: limitHigh,
    lowEdge,
    highEdge,
    angleLowEdge,
    angleHighEdge,
    middle,
    half: halfWidth,
    angleMiddle,
    angleHalf,
    needsTorque,
    needsAngle,
    empty: noLimit,
  } = limits;
  for (let i = 0; i < n; i++) {
    const j = joint[i]!;
    const value = recorded[i]!;
    const turn = recordedAngle[i]!;
    // The sign of the torque is the direction; without a torque the sign of the angle is.
    const sign = value > 0 || value < 0 ? value : turn;
    if (j >= 0 && counterClockwise[j] === 1 ? sign > 0 : sign < 0) {
      unjudgedBecause[i] = otherDirection;
      torque[i] = Number.NaN;
      angle[i] = Number.NaN;
      torquePlace[i] = Number.NaN;
      anglePlace[i] = Number.NaN;
      continue;
    }
    let t = value < 0 ? -value : value;
    const a = turn < 0 ? -turn : turn;
    const time = at[i]!;
    let factor = 1;
    if (anyAdapter && tool[i]! >= 0) {
      const periods = adapters[tool[i]!]!;
      if (periods.length > 0) {
        factor = factorAt(periods, time);
        if (factor !== 1) t *= factor;
      }
    }
    // Revision in force: the last whose start is not after the reading.
    let r = -1;
    let missing = 0;
    if (!Number.isNaN(time)) {
      if (j >= 0) {
        const first = firstLimit[j]!;
        let k = firstLimit[j + 1]! - 1;
        while (k >= first && limitFrom[k]! > time) k--;
        if (k >= first) r = k;
      }
      if (r < 0 || noLimit[r] === 1) missing = noLimits;
    } else if (j >= 0 && firstLimit[j + 1]! - firstLimit[j]! === 1) {
      r = firstLimit[j]!;
      if (noLimit[r] === 1) missing = noLimits;
    } else {
      missing = noTime;
    }
    if (r >= 0) revision[i] = r - firstLimit[j]!;
    angle[i] = a;
    if (missing !== 0) {
      // No place without limits; the torque is still put into the revision's unit where there is one.
      if (r >= 0 && limitUnit[r] !== unit[i]) t = (t * newtonMetres[unit[i]!]!) / newtonMetres[limitUnit[r]!]!;
      torque[i] = t;
      unjudgedBecause[i] = missing;
      torquePlace[i] = Number.NaN;
      anglePlace[i] = Number.NaN;
      continue;
    }
    const u = unit[i]!;
    const v = limitUnit[r]!;
    if (u !== v && u < units) {
      const from = newtonMetres[u]!;
      const to = newtonMetres[v]!;
      t = (t * from) / to;
      const halfStep = (steps[decimals[i]!]! * from * factor) / to;
      if (Math.abs(t - limitLow[r]!) <= halfStep || Math.abs(t - limitHigh[r]!) <= halfStep) onLimit[i] = 1;
    }
    torque[i] = t;
    // Comparisons with an absent value or limit (NaN) are false, which is what is meant.
    let bits = 0;
    if (t < lowEdge[r]!) bits |= 1;
    if (t > highEdge[r]!) bits |= 2;
    if (a < angleLowEdge[r]!) bits |= 4;
    if (a > angleHighEdge[r]!) bits |= 8;
    if (bits !== 0) {
      verdict[i] = verdictFail;
      reasons[i] = bits;
    } else if (needsTorque[r] === 1 && Number.isNaN(t)) {
      unjudgedBecause[i] = noTorque;
    } else if (needsAngle[r] === 1 && Number.isNaN(a)) {
      unjudgedBecause[i] = noAngle;
    } else {
      verdict[i] = verdictPass;
    }
    torquePlace[i] = (t - middle[r]!) / halfWidth[r]!;
    anglePlace[i] = (a - angleMiddle[r]!) / angleHalf[r]!;
  }
  if (limits.anyOpenSide) placeOpenSides(readings, register, judged);
  return judged;
}

function factorAt(periods: readonly { from: number; to: number; factor: number }[], time: number): number {
  if (Number.isNaN(time)) return periods.length === 1 ? periods[0]!.factor : 1;
  for (let k = periods.length - 1; k >= 0; k--) {
    const period = periods[k]!;
    if (time >= period.from && time < period.to) return period.factor;
  }
  return 1;
}

/** Limits of all joints one after the other; those of joint j stand at `start[j]` to `start[j + 1]`. NaN: none. */
interface FlatLimits {
  readonly start: Int32Array;
  readonly counterClockwise: Uint8Array;
  readonly from: Float64Array;
  readonly unit: Uint8Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
  readonly lowEdge: Float64Array;
  readonly highEdge: Float64Array;
  readonly angleLowEdge: Float64Array;
  readonly angleHighEdge: Float64Array;
  readonly middle: Float64Array;
  readonly half: Float64Array;
  readonly angleMiddle: Float64Array;
  readonly angleHalf: Float64Array;
  readonly needsTorque: Uint8Array;
  readonly needsAngle: Uint8Array;
  readonly empty: Uint8Array;
  readonly anyOpenSide: boolean;
}

function flatLimits(register: Register): FlatLimits {
  const all: LimitRevision[] = [];
  const start = new Int32Array(register.joints.length + 1);
  register.joints.forEach((joint, j) => {
    all.push(...joint.revisions);
    start[j + 1] = all.length;
  });
  const column = (pick: (revision: LimitRevision) => number | null): Float64Array =>
    Float64Array.from(all, (revision) => pick(revision) ?? Number.NaN);
  const edge = (limit: number | null, side: -1 | 1): number | null =>
    limit === null ? null : limit + side * tolerance * Math.abs(limit);
  const openSided = (low: number | null, high: number | null): boolean => (low === null) !== (high === null);
  return {
    start,
    counterClockwise: Uint8Array.from(register.joints, (joint) => (joint.direction === 'ccw' ? 1 : 0)),
    from: Float64Array.from(all, (revision) => revision.from),
    unit: Uint8Array.from(all, (revision) => torqueUnitCodes.indexOf(revision.unit)),
    low: column((revision) => revision.low),
    high: column((revision) => revision.high),
    lowEdge: column((revision) => edge(revision.low, -1)),
    highEdge: column((revision) => edge(revision.high, 1)),
    angleLowEdge: column((revision) => edge(revision.angleLowDeg, -1)),
    angleHighEdge: column((revision) => edge(revision.angleHighDeg, 1)),
    middle: column((r) => (r.low === null || r.high === null ? null : (r.low + r.high) / 2)),
    half: column((r) => (r.low === null || r.high === null ? null : (r.high - r.low) / 2)),
    angleMiddle: column((r) =>
      r.angleLowDeg === null || r.angleHighDeg === null ? null : (r.angleLowDeg + r.angleHighDeg) / 2,
    ),
    angleHalf: column((r) =>
      r.angleLowDeg === null || r.angleHighDeg === null ? null : (r.angleHighDeg - r.angleLowDeg) / 2,
    ),
    needsTorque: Uint8Array.from(all, (r) => (r.low !== null || r.high !== null ? 1 : 0)),
    needsAngle: Uint8Array.from(all, (r) => (r.angleLowDeg !== null || r.angleHighDeg !== null ? 1 : 0)),
    empty: Uint8Array.from(all, (r) =>
      r.low === null && r.high === null && r.angleLowDeg === null && r.angleHighDeg === null ? 1 : 0,
    ),
    anyOpenSide: all.some((r) => openSided(r.low, r.high) || openSided(r.angleLowDeg, r.angleHighDeg)),
  };
}

/** Second pass, for one-sided limits alone: their scale is the spread of the readings themselves. */
function placeOpenSides(readings: ReadingColumns, register: Register, judged: Judged): void {
  for (const scale of openSideScales(readings, register, judged)) {
    const values = scale.of === 'torque' ? judged.torque : judged.angle;
    const places = scale.of === 'torque' ? judged.torquePlace : judged.anglePlace;
    for (let i = 0; i < readings.length; i++) {
      if (readings.joint[i] !== scale.joint || judged.revision[i] !== scale.revision) continue;
      places[i] = scale.side + (values[i]! - scale.limit) / scale.unit;
    }
  }
}

/** Step of the last digit of a reading's torque as written, in its recorded unit. */
export function displayStep(readings: ReadingColumns, position: number): number {
  return 10 ** -readings.decimals[position]!;
}

/** Precision of a reading's time, ms; 0: no time. */
export function timeStepMs(readings: ReadingColumns, position: number): number {
  return timeStepsMs[readings.atStep[position] as 0 | 1 | 2 | 3 | 4] ?? 0;
}

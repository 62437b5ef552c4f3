import type { ReadingColumns } from '../readings/columns.ts';
import type { Register } from '../register/register.ts';
import type { Judged } from './judged.ts';

/** What one half width is worth where a side of the limits is open. */
export interface OpenSideScale {
  readonly of: 'torque' | 'angle';
  readonly joint: number;
  readonly revision: number;
  /** Place of the limit that is there: -1 for a low, +1 for a high limit. */
  readonly side: -1 | 1;
  readonly limit: number;
  /** In the unit of the limit. */
  readonly unit: number;
}

/** 1 / Φ⁻¹(3/4): makes a median absolute deviation estimate the standard deviation of a normal distribution. */
const madFactor = 1.482602218505602;

/**
 * Scales for one-sided limits: the place of a value is `side + (x - limit) / q` with q = 3 x 1.4826 MAD of the joint's
 * readings under that revision (in force, in the joint's direction).
 *
 * All readings of the revision are used, not a first stretch: the places of readings already held may shift a little
 * when more come in, but never depend on the order of the files.
 */
export function openSideScales(readings: ReadingColumns, register: Register, judged: Judged): OpenSideScale[] {
  const scales: OpenSideScale[] = [];
  register.joints.forEach((joint, j) => {
    joint.revisions.forEach((revision, r) => {
      for (const kind of ['torque', 'angle'] as const) {
        const low = kind === 'torque' ? revision.low : revision.angleLowDeg;
        const high = kind === 'torque' ? revision.high : revision.angleHighDeg;
        if ((low === null) === (high === null)) continue;
        const limit = low ?? high ?? 0;
        scales.push({
          of: kind,
          joint: j,
          revision: r,
          side: low === null ? 1 : -1,
          limit,
          unit: spreadUnit(kind === 'torque' ? judged.torque : judged.angle, readings, judged, j, r, limit),
        });
      }
    });
  });
  return scales;
}

function spreadUnit(
  values: Float64Array,
  readings: ReadingColumns,
  judged: Judged,
  joint: number,
  revision: number,
  limit: number,
): number {
  const found: number[] = [];
  for (let i = 0; i < readings.length; i++) {
    if (readings.joint[i] !== joint || judged.revision[i] !== revision || readings.inForce[i] !== 1) continue;
    const value = values[i]!;
    if (!Number.isNaN(value)) found.push(value);
  }
  const middle = median(Float64Array.from(found));
  const mad = median(Float64Array.from(found, (value) => Math.abs(value - middle)));
  const unit = 3 * madFactor * mad;
  // No spread to scale by: a tenth of the limit, so that a failing mark still has a place to stand.
  return unit > 0 ? unit : Math.abs(limit) / 10 || 1;
}

function median(values: Float64Array): number {
  if (values.length === 0) return Number.NaN;
  values.sort();
  const half = values.length >> 1;
  return values.length % 2 === 1 ? values[half]! : (values[half - 1]! + values[half]!) / 2;
}

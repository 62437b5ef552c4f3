import { verdictPass } from '../judging/judged.ts';
import { onceAPlant } from '../readings/once-a-plant.ts';
import type { Plant } from '../readings/plant.ts';
import { dateOnly } from '../readings/shift-occurrence.ts';
import { defaultRetrySeconds } from './chains.ts';

/**
 * Readings that are perhaps a second pull on a tight fastener: after a pass of the same tool at the same joint, within the
 * retry window, torque inside but the angle under half the low limit (definitions 4). O(n), once a plant.
 */
export const secondPulls: (plant: Plant) => ReadonlySet<number> = onceAPlant(search);

function search(plant: Plant): ReadonlySet<number> {
  const { readings, register, judged, order } = plant;
  const { at, atStep, tool, joint, inForce } = readings;
  const { verdict, reasons, unjudgedBecause, revision, angle } = judged;
  const half = register.joints.map((one) =>
    one.revisions.map((each) => (each.angleLowDeg === null ? Number.NaN : each.angleLowDeg / 2)),
  );
  if (half.every((list) => list.every((value) => Number.isNaN(value)))) return new Set();
  const before = new Int32Array(register.tools.length + 1).fill(-1);
  const pulls = new Set<number>();
  for (let k = 0; k < order.length; k++) {
    const i = order[k]!;
    if (inForce[i] !== 1) continue;
    const t = tool[i]! + 1;
    const b = before[t]!;
    // A loosening between is a pull in the other direction: the next pull is no second one.
    before[t] = unjudgedBecause[i] === 1 ? -1 : i;
    const j = joint[i]!;
    if (b < 0 || j < 0 || joint[b] !== j || verdict[b] !== verdictPass) continue;
    const r = revision[i]!;
    // Torque inside, and there: bits 1 and 2 are torque low and high.
    if (r < 0 || (reasons[i]! & 3) !== 0 || Number.isNaN(judged.torque[i]!)) continue;
    if (!(angle[i]! < half[j]![r]!)) continue;
    const window = (register.joints[j]!.revisions[r]!.retryWithinSeconds ?? defaultRetrySeconds) * 1000;
    const slack = atStep[i] === 3 || atStep[b] === 3 ? 60_000 : 0;
    const gap = at[i]! - at[b]!;
    if (gap >= 0 && gap <= window + slack && atStep[i] !== dateOnly) pulls.add(i);
  }
  return pulls;
}

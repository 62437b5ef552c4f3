/** Where the series of a tool starts anew: a calibration or repair, or new limits at the joint it mostly does. */
import type { Register } from '../register/register.ts';
import { convertTorque } from '../units/torque-unit.ts';
import type { CellTable } from './cells.ts';
import { stopTarget } from './drift-readings.ts';

/** A revision of limits starts a phase only where its joint holds at least this share of the tool's cells. */
const leastShare = 0.5;

/**
 * First block of the current phase of each tool: the newest calibration, repair or change of target inside the span of
 * its cells; 0 where there is none. A block belongs to the phase in which it starts.
 */
export function currentPhases(register: Register, table: CellTable): Int32Array {
  const first = new Int32Array(register.tools.length);
  const lowest = new Int32Array(register.tools.length).fill(-1);
  const highest = new Int32Array(register.tools.length).fill(-1);
  const cells = new Float64Array(register.tools.length);
  const atJoint = new Map<number, number>();
  const joints = register.joints.length;
  for (let c = 0; c < table.length; c++) {
    const tool = table.tool[c]!;
    const block = table.block[c]!;
    if (lowest[tool]! < 0 || block < lowest[tool]!) lowest[tool] = block;
    if (block > highest[tool]!) highest[tool] = block;
    cells[tool] = cells[tool]! + 1;
    const key = tool * joints + table.joint[c]!;
    atJoint.set(key, (atJoint.get(key) ?? 0) + 1);
  }
  const revisionTimes = register.joints.map((joint) => {
    const times: number[] = [];
    joint.revisions.forEach((revision, k) => {
      const before = joint.revisions[k - 1];
      if (!before) return;
      const was = stopTarget(joint, before);
      const is = stopTarget(joint, revision);
      const same =
        was !== null &&
        is !== null &&
        Math.abs((joint.stopsBy === 'torque' ? convertTorque(is, revision.unit, before.unit) : is) - was) <=
          1e-9 * Math.abs(was);
      if (!same && !(was === null && is === null)) times.push(revision.from);
    });
    return times;
  });
  register.tools.forEach((tool, position) => {
    if (lowest[position]! < 0) return;
    const from = table.blockAt[lowest[position]!]!;
    const to = table.blockAt[highest[position]!]!;
    let start = Number.NEGATIVE_INFINITY;
    const consider = (at: number): void => {
      if (at > from && at <= to && at > start) start = at;
    };
    if (tool.calibratedOn !== null) consider(tool.calibratedOn);
    for (const event of tool.events) consider(event.at);
    register.joints.forEach((_, joint) => {
      const share = (atJoint.get(position * joints + joint) ?? 0) / cells[position]!;
      if (share >= leastShare) for (const at of revisionTimes[joint]!) consider(at);
    });
    if (start > from) first[position] = firstBlockFrom(table.blockAt, start);
  });
  return first;
}

/** First block that starts at or after a time. */
export function firstBlockFrom(blockAt: Float64Array, at: number): number {
  let low = 0;
  let high = blockAt.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (blockAt[middle]! < at) low = middle + 1;
    else high = middle;
  }
  return low;
}

import { type FailReason, failReasons, type UnjudgedCode, unjudgedCodes } from '../judging/judged.ts';
import { GrowingPositions } from '../readings/growing-positions.ts';
import type { Plant } from '../readings/plant.ts';
import { clockSetFrom } from '../time/unset-clock.ts';
import { fastenerChains } from './chains.ts';
import type { ReviewTally } from './review-tally.ts';

const noLimits = unjudgedCodes.indexOf('no-limits');
/** Above the codes of judged.ts. */
const unsetGroup = 31;

/** Readings that failed for the same reasons at the same joint, or have no verdict for the same reason. */
export interface Cause {
  /** Bits of judged.ts; 0 for unjudged ones. */
  readonly bits: number;
  readonly reasons: readonly FailReason[];
  readonly unjudgedBecause: UnjudgedCode | null;
  /** Without limits because the time comes from a clock that was not set. */
  readonly clockUnset: boolean;
  /** Position in the register; -1: none named. */
  readonly joint: number;
  /** In time order. */
  readonly readings: Uint32Array;
}

/**
 * Causes, most frequent first, then by joint and reasons. A reading counts once, under the set of its reasons.
 *
 * @param which every failing try (adds up to the failing readings), or first tries with the unjudged ones in rows of their own
 */
export function causesOf(plant: Plant, tally: ReviewTally, which: 'every-try' | 'first-tries'): Cause[] {
  const { judged, readings } = plant;
  const { first } = fastenerChains(plant);
  const groups = new Map<number, GrowingPositions>();
  const joints = plant.register.joints.length + 1;
  const add = (group: number, i: number): void => {
    const key = group * joints + readings.joint[i]! + 1;
    let list = groups.get(key);
    if (!list) {
      list = new GrowingPositions();
      groups.set(key, list);
    }
    list.push(i);
  };
  for (let k = 0; k < tally.failing.length; k++) {
    const i = tally.failing[k]!;
    if (which === 'every-try' || first[i] === 1) add(judged.reasons[i]!, i);
  }
  if (which === 'first-tries') {
    for (let k = 0; k < tally.unjudgedReadings.length; k++) {
      const i = tally.unjudgedReadings[k]!;
      if (first[i] !== 1) continue;
      const code = judged.unjudgedBecause[i]!;
      // Above the 16 sets of reasons.
      add(code === noLimits && readings.at[i]! < clockSetFrom ? unsetGroup : 16 + code, i);
    }
  }
  return [...groups]
    .map(([key, list]) => {
      const group = Math.floor(key / joints);
      const bits = group < 16 ? group : 0;
      const clockUnset = group === unsetGroup;
      return {
        bits,
        reasons: failReasons(bits),
        unjudgedBecause: group < 16 ? null : (unjudgedCodes[clockUnset ? noLimits : group - 16] ?? null),
        clockUnset,
        joint: (key % joints) - 1,
        readings: list.done(),
      };
    })
    .sort((a, b) => b.readings.length - a.readings.length || a.joint - b.joint || a.bits - b.bits);
}

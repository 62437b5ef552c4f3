import { type FailReason, failReasons, type UnjudgedCode, unjudgedCodes } from '../judging/judged.ts';
import { GrowingPositions } from '../readings/growing-positions.ts';
import type { Plant } from '../readings/plant.ts';
import { fastenerChains } from './chains.ts';
import type { ReviewTally } from './review-tally.ts';

/** Readings that failed for the same reasons at the same joint, or have no verdict for the same reason. */
export interface Cause {
  /** Bits of judged.ts; 0 for unjudged ones. */
  readonly bits: number;
  readonly reasons: readonly FailReason[];
  readonly unjudgedBecause: UnjudgedCode | null;
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
      // Above the 16 sets of reasons.
      if (first[i] === 1) add(16 + judged.unjudgedBecause[i]!, i);
    }
  }
  return [...groups]
    .map(([key, list]) => {
      const group = Math.floor(key / joints);
      const bits = group < 16 ? group : 0;
      return {
        bits,
        reasons: failReasons(bits),
        unjudgedBecause: group < 16 ? null : (unjudgedCodes[group - 16] ?? null),
        joint: (key % joints) - 1,
        readings: list.done(),
      };
    })
    .sort((a, b) => b.readings.length - a.readings.length || a.joint - b.joint || a.bits - b.bits);
}

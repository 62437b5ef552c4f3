import { verdictFail } from '../judging/judged.ts';
import { onceAPlant } from '../readings/once-a-plant.ts';
import type { Plant } from '../readings/plant.ts';
import { dateOnly } from '../readings/shift-occurrence.ts';

/** Without a setting of the joint, a further try follows a failed one within this time (common practice, no source). */
export const defaultRetrySeconds = 120;
const minuteCode = 3;
const otherDirection = 1;

/**
 * Which readings are tries at the same fastener (definitions 4). One entry a reading; readings out of force and those in
 * the other direction are in no chain.
 */
export interface Chains {
  /** 1 for a first try, 2 for the next ...; 0: none (other direction, out of force). */
  readonly attempt: Uint16Array;
  /** 1: first, last try of its fastener; a lone reading is both. */
  readonly first: Uint8Array;
  readonly last: Uint8Array;
  /** How the fastener is known: 0 a lone reading without identity, 1 by identity, 2 by time only. */
  readonly chainBy: Uint8Array;
  /** Number of the fastener, 0, 1, ... in order of its first try; -1: none. */
  readonly fastener: Int32Array;
  /** Position of the previous and the next try; -1: none. */
  readonly previous: Int32Array;
  readonly next: Int32Array;
  /** 1: a reading in the other direction between the previous try and this one proves that it was loosened. */
  readonly loosened: Uint8Array;
  /** Positions of first and last tries by number of the fastener. */
  readonly firstOf: Uint32Array;
  readonly lastOf: Uint32Array;
}

export const chainByNames = [null, 'identity', 'time'] as const;

/**
 * Chains of tries of the whole plant; O(n), once a plant.
 *
 * With an identity (fastener id, or batch id and position) all readings of it at that joint belong together, whatever
 * the tool and the gap. Without one, a reading is a further try of the reading before it of the same tool if that failed,
 * at the same joint, and at most the joint's retry window ago (60 s more where times are to the minute).
 */
export const fastenerChains: (plant: Plant) => Chains = onceAPlant(buildChains);

function buildChains(plant: Plant): Chains {
  const { readings, register, judged, order } = plant;
  const n = readings.length;
  const { at, atStep, tool, joint, inForce, fastener: identity, batch, batchPosition } = readings;
  const { verdict, unjudgedBecause, revision } = judged;
  const attempt = new Uint16Array(n);
  const first = new Uint8Array(n);
  const last = new Uint8Array(n);
  const chainBy = new Uint8Array(n);
  const fastener = new Int32Array(n).fill(-1);
  const previous = new Int32Array(n).fill(-1);
  const next = new Int32Array(n).fill(-1);
  const loosened = new Uint8Array(n);
  const firstOf = new Uint32Array(n);
  const lastOf = new Uint32Array(n);
  let count = 0;

  const joints = register.joints.length + 1;
  const window = register.joints.map((one) =>
    one.revisions.map((each) => (each.retryWithinSeconds ?? defaultRetrySeconds) * 1000),
  );
  const tools = register.tools.length + 1;
  /** Last reading of each tool in a joint's direction; -1: none. */
  const lastOfTool = new Int32Array(tools).fill(-1);
  /** Joint + 1 of a loosening since then; 0: none. */
  const loosenedAt = new Int32Array(tools);
  const byIdentity = new IdentityIndex(plant.names.fasteners.length, joints, positionsOf(batchPosition));
  /** By fastener number: loosened since its last try. */
  const looseNow = new Uint8Array(n);

  for (let k = 0; k < order.length; k++) {
    const i = order[k]!;
    if (inForce[i] !== 1) continue;
    const t = tool[i]! + 1;
    const j = joint[i]!;
    const named = identity[i]! >= 0 || (batch[i]! >= 0 && batchPosition[i]! >= 0);
    if (unjudgedBecause[i] === otherDirection) {
      loosenedAt[t] = j + 2;
      if (named) {
        const chain = byIdentity.find(identity[i]!, batch[i]!, batchPosition[i]!, j);
        if (chain >= 0) looseNow[chain] = 1;
      }
      continue;
    }
    const before = lastOfTool[t]!;
    let chain = -1;
    if (named) {
      chain = byIdentity.findOrSet(identity[i]!, batch[i]!, batchPosition[i]!, j, count);
      if (chain === count) chain = -1;
    } else if (before >= 0 && verdict[before] === verdictFail && joint[before] === j && chainBy[before] !== 1) {
      const gap = at[i]! - at[before]!;
      const seen = window[j]?.[revision[before]!] ?? defaultRetrySeconds * 1000;
      const toMinute = atStep[i] === minuteCode || atStep[before] === minuteCode;
      if (gap >= 0 && gap <= seen + (toMinute ? 60_000 : 0) && atStep[i] !== dateOnly && atStep[before] !== dateOnly) {
        chain = fastener[before]!;
      }
    }
    if (chain < 0) {
      chain = count++;
      attempt[i] = 1;
      first[i] = 1;
      firstOf[chain] = i;
      if (named) chainBy[i] = 1;
    } else {
      const p = lastOf[chain]!;
      attempt[i] = Math.min(attempt[p]! + 1, 65_535);
      previous[i] = p;
      next[p] = i;
      last[p] = 0;
      chainBy[i] = named ? 1 : 2;
      chainBy[p] = named ? 1 : 2;
      if (looseNow[chain] === 1 || (p === before && loosenedAt[t] === j + 2)) loosened[i] = 1;
    }
    looseNow[chain] = 0;
    loosenedAt[t] = 0;
    fastener[i] = chain;
    last[i] = 1;
    lastOf[chain] = i;
    lastOfTool[t] = i;
  }
  return {
    attempt,
    first,
    last,
    chainBy,
    fastener,
    previous,
    next,
    loosened,
    firstOf: firstOf.slice(0, count),
    lastOf: lastOf.slice(0, count),
  };
}

function positionsOf(batchPosition: Int32Array): number {
  let most = 0;
  for (let i = 0; i < batchPosition.length; i++) if (batchPosition[i]! > most) most = batchPosition[i]!;
  return most + 1;
}

/** From an identity at a joint to the number of its fastener. A fastener id mostly belongs to one joint: an array first. */
class IdentityIndex {
  private readonly chainOf: Int32Array;
  private readonly jointOf: Int32Array;
  private readonly more = new Map<number, number>();
  private readonly batches = new Map<number, number>();
  private readonly joints: number;
  private readonly positions: number;

  constructor(fasteners: number, joints: number, positions: number) {
    this.chainOf = new Int32Array(fasteners).fill(-1);
    this.jointOf = new Int32Array(fasteners);
    this.joints = joints;
    this.positions = positions;
  }

  find(fastener: number, batch: number, position: number, joint: number): number {
    if (fastener < 0) return this.batches.get(this.batchKey(batch, position, joint)) ?? -1;
    if (this.chainOf[fastener] === -1) return -1;
    if (this.jointOf[fastener] === joint) return this.chainOf[fastener]!;
    return this.more.get(fastener * this.joints + joint + 1) ?? -1;
  }

  /** As `find`, but where it is new `chain` is taken down and given back. */
  findOrSet(fastener: number, batch: number, position: number, joint: number, chain: number): number {
    const found = this.find(fastener, batch, position, joint);
    if (found >= 0) return found;
    if (fastener < 0) this.batches.set(this.batchKey(batch, position, joint), chain);
    else if (this.chainOf[fastener] === -1) {
      this.chainOf[fastener] = chain;
      this.jointOf[fastener] = joint;
    } else this.more.set(fastener * this.joints + joint + 1, chain);
    return chain;
  }

  private batchKey(batch: number, position: number, joint: number): number {
    return (batch * this.positions + position) * this.joints + joint + 1;
  }
}

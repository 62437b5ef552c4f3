import { verdictFail, verdictPass } from '../judging/judged.ts';
import { GrowingPositions } from '../readings/growing-positions.ts';
import type { Plant } from '../readings/plant.ts';
import type { Scope } from '../readings/scope.ts';
import { selectReadings } from '../readings/select-readings.ts';
import { msPerMinute } from '../time/civil-time.ts';
import { fastenerChains } from './chains.ts';
import { flagBits, readingFlags } from './reading-flags.ts';

/** From this time on without a reading it is a pause (common practice, no source). */
export const pauseFromMs = 10 * msPerMinute;

/** Counts of one scope: everything that one loop over its readings can tell. */
export interface ReviewTally {
  readonly selection: Uint32Array;
  readonly pass: number;
  readonly fail: number;
  readonly unjudged: number;
  readonly noTime: number;
  readonly otherDirection: number;
  readonly leftOut: number;
  readonly ownResultDiffers: number;
  readonly fasteners: number;
  readonly firstJudged: number;
  readonly firstPassed: number;
  readonly lastJudged: number;
  readonly lastPassed: number;
  /** Fasteners, judged and passed at the first try, by (operator + 1) x tools + (tool + 1). */
  readonly cells: CellCounts;
  /** Failing readings of every try, in order. */
  readonly failing: Uint32Array;
  /** Unjudged readings in the joint's direction, in order. */
  readonly unjudgedReadings: Uint32Array;
  /** First tries with a further try, in order. */
  readonly again: Uint32Array;
  /** Readings with any of the flags of reading-flags.ts, in order. */
  readonly flagged: Uint32Array;
  /** First and last time; infinite the wrong way round where no reading has one. */
  readonly earliest: number;
  readonly latest: number;
  /** Stretches of 10 min or more without a reading, in order. */
  readonly gaps: readonly { readonly from: number; readonly to: number }[];
  /** Time between readings that are less than 10 min apart, summed. */
  readonly workingMs: number;
}

export interface CellCounts {
  /** Number of tools + 1: the width of a row. */
  readonly width: number;
  readonly fasteners: Uint32Array;
  readonly judged: Uint32Array;
  readonly passed: Uint32Array;
  /** First and last time of a first try in the cell; NaN: none with a time. */
  readonly firstAt: Float64Array;
  readonly lastAt: Float64Array;
}

const known = new WeakMap<Plant, { key: string; tally: ReviewTally }[]>();

/** The tally of a scope, kept for the parts of a screen that ask one after the other. O(n). */
export function reviewTally(plant: Plant, scope: Scope): ReviewTally {
  const key = JSON.stringify(scope);
  const held = known.get(plant) ?? [];
  known.set(plant, held);
  const found = held.find((entry) => entry.key === key);
  if (found) return found.tally;
  const tally = buildTally(plant, scope);
  held.unshift({ key, tally });
  if (held.length > 6) held.pop();
  return tally;
}

function buildTally(plant: Plant, scope: Scope): ReviewTally {
  const { readings, register, judged } = plant;
  const selection = selectReadings(plant, scope);
  const chains = fastenerChains(plant);
  const { verdict, unjudgedBecause } = judged;
  const { first, next, fastener, lastOf } = chains;
  const { tool, operator, at } = readings;
  const flags = readingFlags(plant);
  const width = register.tools.length + 1;
  const size = width * (register.operators.length + 1);
  const cells: CellCounts = {
    width,
    fasteners: new Uint32Array(size),
    judged: new Uint32Array(size),
    passed: new Uint32Array(size),
    firstAt: new Float64Array(size).fill(Number.NaN),
    lastAt: new Float64Array(size).fill(Number.NaN),
  };
  const failing = new GrowingPositions();
  const unjudgedReadings = new GrowingPositions();
  const again = new GrowingPositions();
  const flagged = new GrowingPositions();
  let otherDirection = 0;
  let earliest = Number.POSITIVE_INFINITY;
  let latest = Number.NEGATIVE_INFINITY;
  let lastFailed = 0;
  let lastUnjudged = 0;
  const { fasteners: cellFasteners, lastAt: cellLastAt } = cells;
  const cellFailed = new Uint32Array(size);
  const cellUnjudged = new Uint32Array(size);
  const gapFrom: number[] = [];
  const gapTo: number[] = [];
  let working = 0;
  for (let k = 0; k < selection.length; k++) {
    const i = selection[k]!;
    const v = verdict[i]!;
    if (v !== verdictPass) {
      if (v === verdictFail) failing.push(i);
      else if (unjudgedBecause[i] === 1) otherDirection++;
      else unjudgedReadings.push(i);
    }
    if (flags[i] !== 0) flagged.push(i);
    const time = at[i]!;
    if (time < earliest) earliest = time;
    if (time > latest) {
      const gap = time - latest;
      if (gap < pauseFromMs) working += gap;
      else if (latest > Number.NEGATIVE_INFINITY) {
        gapFrom.push(latest);
        gapTo.push(time);
      }
      latest = time;
    }
    if (first[i] !== 1) continue;
    const cell = (operator[i]! + 1) * width + tool[i]! + 1;
    if (cellFasteners[cell]!++ === 0) cells.firstAt[cell] = time;
    // The readings stand in order of time, those without one at the end.
    if (time >= earliest) cellLastAt[cell] = time;
    let w = v;
    if (next[i]! >= 0) {
      again.push(i);
      w = verdict[lastOf[fastener[i]!]!]!;
    }
    if (v !== verdictPass) {
      if (v === verdictFail) cellFailed[cell]!++;
      else cellUnjudged[cell]!++;
    }
    if (w !== verdictPass) {
      if (w === verdictFail) lastFailed++;
      else lastUnjudged++;
    }
  }
  let leftOut = 0;
  if (plant.leftOut.size > 0) for (const i of selection) if (plant.leftOut.has(i)) leftOut++;
  let fasteners = 0;
  let firstJudged = 0;
  let firstPassed = 0;
  for (let cell = 0; cell < size; cell++) {
    const count = cellFasteners[cell]!;
    if (count === 0) continue;
    cells.judged[cell] = count - cellUnjudged[cell]!;
    cells.passed[cell] = count - cellUnjudged[cell]! - cellFailed[cell]!;
    fasteners += count;
    firstJudged += cells.judged[cell]!;
    firstPassed += cells.passed[cell]!;
  }
  const lastJudged = fasteners - lastUnjudged;
  const failingReadings = failing.done();
  const fail = failingReadings.length;
  const unjudgedList = unjudgedReadings.done();
  const pass = selection.length - fail - otherDirection - unjudgedList.length;
  const flaggedReadings = flagged.done();
  let differs = 0;
  for (const i of flaggedReadings) if ((flags[i]! & flagBits.ownDiffers) !== 0) differs++;
  return {
    selection,
    pass,
    fail,
    unjudged: selection.length - pass - fail,
    noTime: countWithoutTime(plant, scope),
    otherDirection,
    leftOut,
    ownResultDiffers: differs,
    fasteners,
    firstJudged,
    firstPassed,
    lastJudged,
    lastPassed: lastJudged - lastFailed,
    cells,
    failing: failingReadings,
    unjudgedReadings: unjudgedList,
    again: again.done(),
    flagged: flaggedReadings,
    earliest,
    latest,
    gaps: gapFrom.map((from, k) => ({ from, to: gapTo[k]! })),
    workingMs: working,
  };
}

/** Readings in force without a time that the rest of the scope lets through; they stand at the end of the order. */
function countWithoutTime(plant: Plant, scope: Scope): number {
  const { readings, order } = plant;
  if (order.length === 0 || !Number.isNaN(readings.at[order[order.length - 1]!]!)) return 0;
  const all = selectReadings(plant, { ...scope, from: null, to: null, shifts: [] });
  let count = 0;
  for (let k = all.length - 1; k >= 0 && Number.isNaN(readings.at[all[k]!]!); k--) count++;
  return count;
}

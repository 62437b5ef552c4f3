/**
 * The loop over the readings of a study: which are used, their values, and where each stands (definitions 5 and 7).
 *
 * One loop, since a million readings pass through it at every change of a choice: every further one would read the same
 * columns again.
 */

import { unjudgedCodes } from '../judging/judged.ts';
import type { Plant } from '../readings/plant.ts';
import { blockKey, dateOnly, minutesPerDay, shiftTable, tablePlace } from '../readings/shift-occurrence.ts';
import type { Shift, Tool } from '../register/register.ts';
import { msPerDay, msPerMinute } from '../time/civil-time.ts';

export interface Asked {
  /** Positions in scope, in time order. */
  readonly inScope: Uint32Array;
  /** Judged torque or angle, NaN for none. */
  readonly source: Float64Array;
  /** 1 for a try that is wanted; null: all are. */
  readonly tries: Uint8Array | null;
  /** Whether the limits of a revision, by position, are those of the study; null: the study has no limits. */
  readonly revisionFits: readonly boolean[] | null;
  /** Revisions of the joint. */
  readonly revisions: number;
}

export interface Chosen {
  /** May be `inScope` itself: not to be changed. */
  readonly positions: Uint32Array;
  /** From `source`. */
  readonly values: Float64Array;
  /** Most decimals written of any of them. */
  readonly decimals: number;
  /** Tool x limit revision x block, numbered in order of first appearance. */
  readonly strata: Int32Array;
  readonly strataCount: number;
  /** Block of each stratum; -1: without a time. */
  readonly blockOfStratum: readonly number[];
  /** One tool between two of its calibrations or repairs, under one revision. */
  readonly runOf: Int32Array;
  /** Changes of limits, calibrations and repairs before the reading, over all tools among them; no two phases share one. */
  readonly phase: Int32Array;
  readonly counts: {
    readonly otherRevisions: number;
    readonly furtherTries: number;
    readonly noValue: number;
    readonly otherDirection: number;
  };
}

const otherDirection = unjudgedCodes.indexOf('other-direction');

/** Chooses and places the readings. O(n). */
export function chooseReadings(plant: Plant, { inScope, source, tries, revisionFits, revisions }: Asked): Chosen {
  const { register, judged, readings } = plant;
  const { unjudgedBecause, revision: revisionOf } = judged;
  const { tool: toolOf, at: atOf, atStep: stepOf, decimals: decimalsOf } = readings;
  const { shifts } = register;
  const most = inScope.length;
  let positions = inScope;
  const values = new Float64Array(most);
  const strata = new Int32Array(most);
  const runOf = new Int32Array(most);
  let n = 0;
  let otherRevisions = 0;
  let furtherTries = 0;
  let noValue = 0;
  let wrongDirection = 0;
  let decimals = 0;

  const fits = Uint8Array.from({ length: revisions + 1 }, (_, at) => (revisionFits?.[at - 1] === false ? 0 : 1));
  if (revisionFits !== null) fits[0] = 0;
  // Places by tool and revision, good for the block at hand: times mostly rise, so a block is looked up once and holds
  // from one time to another.
  const perTool = revisions + 1;
  const slots = (register.tools.length + 1) * perTool;
  const stratumNow = new Int32Array(slots).fill(-1);
  const runOfSlot = new Int32Array(slots).fill(-1);
  const stratumOf = new Map<number, number>();
  const blockOfStratum: number[] = [];
  let runs = 0;
  const holds = minutesHeld(shifts);
  // One comparison for either question: a try that is wanted, or, where all are, no reading in the other direction (which
  // is no try).
  const gate = tries ?? unjudgedBecause;
  const mark = tries === null ? otherDirection : 1;
  const passes = tries !== null;
  let block = -1;
  let heldFrom = Number.POSITIVE_INFINITY;
  let heldTo = Number.NEGATIVE_INFINITY;

  // Two loops in one: the inner one calls nothing, so that what is known of the columns holds from one reading to the
  // next, and stops at what happens seldom; the outer one sees to that and sends it on from the same reading.
  let settled = -1;
  for (let k = 0; k < most; ) {
    let stop: 'end' | 'own-list' | 'block' | 'stratum' = 'end';
    for (; k < most; k++) {
      const i = inScope[k]!;
      const revision = revisionOf[i]! + 1;
      const value = source[i]!;
      if ((gate[i] === mark) !== passes || Number.isNaN(value) || fits[revision] !== 1) {
        if (positions === inScope) {
          stop = 'own-list';
          break;
        }
        if (unjudgedBecause[i] === otherDirection) wrongDirection++;
        else if (tries !== null && tries[i] !== 1) furtherTries++;
        else if (Number.isNaN(value)) noValue++;
        else otherRevisions++;
        continue;
      }
      const at = atOf[i]!;
      const slot = (toolOf[i]! + 1) * perTool + revision;
      // Steps 0 and 4, no date and a date alone, are in no span of time.
      if ((!(at >= heldFrom && at < heldTo) || (stepOf[i]! & 3) === 0) && settled !== k) {
        stop = 'block';
        break;
      }
      const stratum = stratumNow[slot]!;
      if (stratum < 0) {
        stop = 'stratum';
        break;
      }
      if (positions !== inScope) positions[n] = i;
      values[n] = value;
      if (decimalsOf[i]! > decimals) decimals = decimalsOf[i]!;
      strata[n] = stratum;
      runOf[n++] = runOfSlot[slot]!;
    }
    if (stop === 'end') break;
    const i = inScope[k]!;
    if (stop === 'own-list') {
      // From the first that is left away the list is one of its own.
      positions = inScope.slice();
    } else if (stop === 'block') {
      const at = atOf[i]!;
      const step = stepOf[i]!;
      const key = blockKey(shifts, at, step);
      const next = Number.isNaN(key) ? -1 : key;
      if (next !== block) {
        block = next;
        stratumNow.fill(-1);
      }
      const isSpan = next !== -1 && step !== dateOnly;
      heldFrom = isSpan ? Math.floor(at / msPerMinute) * msPerMinute : Number.POSITIVE_INFINITY;
      heldTo = isSpan
        ? heldFrom + holds[tablePlace(at, Math.floor(at / msPerDay) * msPerDay)]! * msPerMinute
        : heldFrom;
      settled = k;
    } else {
      const slot = (toolOf[i]! + 1) * perTool + revisionOf[i]! + 1;
      const place = block * slots + slot;
      let stratum = stratumOf.get(place);
      if (stratum === undefined) {
        stratum = stratumOf.size;
        stratumOf.set(place, stratum);
        blockOfStratum.push(block);
      }
      stratumNow[slot] = stratum;
      if (runOfSlot[slot]! < 0) runOfSlot[slot] = runs++;
    }
  }
  const used = fitted(positions, n);
  const events = toolEvents(register.tools, runOfSlot, perTool);
  return {
    positions: used,
    values: fitted(values, n),
    decimals,
    strata: fitted(strata, n),
    strataCount: stratumOf.size,
    blockOfStratum,
    runOf: events.some ? runsBetween(plant, used, events.ofTool) : fitted(runOf, n),
    phase: phasesOf(plant, used, runOfSlot, perTool, events),
    counts: { otherRevisions, furtherTries, noValue, otherDirection: wrongDirection },
  };
}

/** The first `n` of a column; what was cut off is not kept in memory by what is left. */
function fitted<T extends Float64Array | Int32Array | Uint32Array>(column: T, n: number): T {
  // A slice of a column is a column of its kind.
  return n === column.length ? column : (column.slice(0, n) as T);
}

interface ToolEvents {
  /** Times of calibrations and repairs of each tool among the readings, by position; none for the others. */
  readonly ofTool: readonly (readonly number[])[];
  /** All of them, rising. */
  readonly all: Float64Array;
  readonly some: boolean;
}

/** @param runOfSlot -1 for a tool and revision without a reading */
function toolEvents(tools: readonly Tool[], runOfSlot: Int32Array, perTool: number): ToolEvents {
  const ofTool = tools.map((tool, position) =>
    runOfSlot.subarray((position + 1) * perTool, (position + 2) * perTool).some((run) => run >= 0)
      ? toolPhaseStarts(tool)
      : none,
  );
  const all = Float64Array.from(new Set(ofTool.flat())).sort();
  return { ofTool, all, some: all.length > 0 };
}

/** Runs where tools were calibrated or repaired: a tool's own events cut its run, and so does a revision. */
function runsBetween(plant: Plant, positions: Uint32Array, eventsOfTool: ToolEvents['ofTool']): Int32Array {
  const { tool: toolOf, at } = plant.readings;
  const { revision } = plant.judged;
  const runOf = new Int32Array(positions.length);
  const numberOf = new Map<string, number>();
  // What each tool had last: the map is asked only when it changes.
  const lastEvents = new Int32Array(eventsOfTool.length + 1).fill(-1);
  const lastRevision = new Int32Array(eventsOfTool.length + 1).fill(-2);
  const lastRun = new Int32Array(eventsOfTool.length + 1);
  for (let k = 0; k < positions.length; k++) {
    const i = positions[k]!;
    const tool = toolOf[i]! + 1;
    const events = passed(eventsOfTool[tool - 1] ?? none, at[i]!);
    if (lastEvents[tool] !== events || lastRevision[tool] !== revision[i]) {
      const name = `${tool} ${events} ${revision[i]}`;
      const run = numberOf.get(name) ?? numberOf.size;
      numberOf.set(name, run);
      lastEvents[tool] = events;
      lastRevision[tool] = revision[i]!;
      lastRun[tool] = run;
    }
    runOf[k] = lastRun[tool]!;
  }
  return runOf;
}

/** Phases of the whole study: a new one begins with an event of any of its tools, and with a revision. */
function phasesOf(
  plant: Plant,
  positions: Uint32Array,
  runOfSlot: Int32Array,
  perTool: number,
  events: ToolEvents,
): Int32Array {
  const phase = new Int32Array(positions.length);
  const revisions = new Set<number>();
  for (let slot = 0; slot < runOfSlot.length; slot++) if (runOfSlot[slot]! >= 0) revisions.add(slot % perTool);
  const [only = 0] = revisions;
  if (!events.some && revisions.size <= 1) return phase.fill(only);
  const { at } = plant.readings;
  const { revision } = plant.judged;
  for (let k = 0; k < positions.length; k++) {
    const i = positions[k]!;
    phase[k] = (revision[i]! + 1) * (events.all.length + 1) + passed(events.all, at[i]!);
  }
  return phase;
}

const none: readonly number[] = [];

/** Times at which a tool was calibrated or repaired, rising. */
export function toolPhaseStarts(tool: Tool): number[] {
  const times = tool.events.map((event) => event.at);
  if (tool.calibratedOn !== null) times.push(tool.calibratedOn);
  return [...new Set(times)].sort((a, b) => a - b);
}

/** How many of the times are at or before `at`. */
function passed(times: ArrayLike<number>, at: number): number {
  let count = 0;
  while (count < times.length && times[count]! <= at) count++;
  return count;
}

const heldMinutes = new WeakMap<readonly Shift[], Int16Array>();

/** For each minute of the week: for how many minutes, itself included, its block goes on before the day ends. */
function minutesHeld(shifts: readonly Shift[]): Int16Array {
  const known = heldMinutes.get(shifts);
  if (known) return known;
  const { shift, dayBefore } = shiftTable(shifts);
  const held = new Int16Array(shift.length);
  for (let place = shift.length - 1; place >= 0; place--) {
    const lastOfDay = (place + 1) % minutesPerDay === 0;
    const goesOn = !lastOfDay && shift[place + 1] === shift[place] && dayBefore[place + 1] === dayBefore[place];
    held[place] = goesOn ? held[place + 1]! + 1 : 1;
  }
  heldMinutes.set(shifts, held);
  return held;
}

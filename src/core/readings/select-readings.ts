import { msPerDay, msPerHour } from '../time/civil-time.ts';
import type { Plant } from './plant.ts';
import type { Scope } from './scope.ts';
import { dateOnly, shiftTable, tablePlace } from './shift-occurrence.ts';

/** Selections of a plant, so that the parts of a screen asking for the same scope pay for it once. */
const kept = new WeakMap<Plant, Map<string, Uint32Array>>();
const keepAtMost = 12;
let scratch = new Uint32Array(0);

/**
 * Positions of the readings in force and in scope, in time order (definitions 2). One loop, O(n).
 *
 * A period is from <= time < to. With shifts, an end that is a bare date names occurrences by the day on which they
 * start, so the hours after midnight belong to the day before; an end with a time of day is a time. Readings without a
 * time, and dates without a time of day where a shift is asked for, are outside any period.
 *
 * @returns a shared array: do not modify
 */
export function selectReadings(plant: Plant, scope: Scope): Uint32Array {
  let ofPlant = kept.get(plant);
  if (!ofPlant) {
    ofPlant = new Map();
    kept.set(plant, ofPlant);
  }
  const key = JSON.stringify([scope.from, scope.to, scope.shifts, scope.joints, scope.tools, scope.operators]);
  const known = ofPlant.get(key);
  if (known) return known;
  const found = select(plant, scope);
  const oldest = ofPlant.keys().next();
  if (ofPlant.size >= keepAtMost && !oldest.done) ofPlant.delete(oldest.value);
  ofPlant.set(key, found);
  return found;
}

function select(plant: Plant, scope: Scope): Uint32Array {
  const { readings, register, order } = plant;
  const { at, atStep, inForce } = readings;
  const joints = allowed(scope.joints, register.joints, (joint) => joint.name);
  const tools = allowed(scope.tools, register.tools, (tool) => tool.serial);
  const operators = allowed(scope.operators, register.operators, (operator) => operator.badge);
  const from = scope.from ?? Number.NEGATIVE_INFINITY;
  const to = scope.to ?? Number.POSITIVE_INFINITY;
  const period = scope.from !== null || scope.to !== null;
  const shifts =
    scope.shifts.length > 0 ? Uint8Array.from(register.shifts, (s) => (scope.shifts.includes(s.name) ? 1 : 0)) : null;
  const table = shifts ? shiftTable(register.shifts) : null;
  const fromIsDay = shifts !== null && scope.from !== null && scope.from % msPerDay === 0;
  const toIsDay = shifts !== null && scope.to !== null && scope.to % msPerDay === 0;

  // Only this stretch of the order can hold readings of the period.
  const lastStart = toIsDay ? to + msPerDay : to;
  const start = period ? firstNotBefore(plant, from) : 0;
  const end = period ? firstAfter(plant, lastStart) : order.length;
  // Room that every question uses again; what is given back is a copy of its own.
  if (scratch.length < end - start) scratch = new Uint32Array(end - start);
  const found = scratch;
  let n = 0;
  for (let k = start; k < end; k++) {
    const i = order[k]!;
    if (inForce[i] !== 1) continue;
    const time = at[i]!;
    if (shifts && table) {
      if (Number.isNaN(time) || atStep[i] === dateOnly) continue;
      const day = Math.floor(time / msPerDay) * msPerDay;
      const place = tablePlace(time, day);
      const shift = table.shift[place]!;
      if (shift < 0 || shifts[shift] !== 1) continue;
      const startDay = table.dayBefore[place] === 1 ? day - msPerDay : day;
      if ((fromIsDay ? startDay : time) < from || (toIsDay ? startDay : time) >= to) continue;
    } else if (period && !(time >= from && time < to)) continue;
    if (joints && joints[readings.joint[i]! + 1] !== 1) continue;
    if (tools && tools[readings.tool[i]! + 1] !== 1) continue;
    if (operators && operators[readings.operator[i]! + 1] !== 1) continue;
    found[n++] = i;
  }
  return found.slice(0, n);
}

/**
 * Bounds in the order by halving. Times in the order may stand up to an hour late (a single step back keeps the order of
 * the file), so each bound leaves that much room: it may keep too many, never too few.
 */
function firstNotBefore(plant: Plant, from: number): number {
  const { order, readings } = plant;
  let low = 0;
  let high = order.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (readings.at[order[middle]!]! < from - msPerHour) low = middle + 1;
    else high = middle;
  }
  return low;
}

function firstAfter(plant: Plant, to: number): number {
  const { order, readings } = plant;
  let low = 0;
  let high = order.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    const time = readings.at[order[middle]!]!;
    // Without a time: these stand last.
    if (time >= to + msPerHour || Number.isNaN(time)) high = middle;
    else low = middle + 1;
  }
  return high;
}

/** Which positions are asked for, moved up by one so that -1 (none named) has a place; null: all. */
function allowed<T>(names: readonly string[], entries: readonly T[], nameOf: (entry: T) => string): Uint8Array | null {
  if (names.length === 0) return null;
  const wanted = new Set(names);
  const mask = new Uint8Array(entries.length + 1);
  entries.forEach((entry, position) => {
    if (wanted.has(nameOf(entry))) mask[position + 1] = 1;
  });
  return mask;
}

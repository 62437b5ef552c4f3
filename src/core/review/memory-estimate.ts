import type { Plant } from '../readings/plant.ts';
import { msPerDay, startOfDay } from '../time/civil-time.ts';

/** Working days looked back on for the readings of a day. */
const daysLookedBack = 20;

/** What is likely to be in a tool's memory (definitions 13). */
export interface MemoryEstimate {
  /** Readings at `now`; null: no reading with a time held. */
  readonly stored: number | null;
  /** Readings a working day: mean over the tool's last 20 days with readings. */
  readonly perDay: number | null;
  /** Civil day on which the memory is full at that pace; null: not known, or not used any more. */
  readonly fullOn: number | null;
  /** Civil time of the last reading of the last read-out. */
  readonly lastReadOut: number | null;
  /** The last read-out repeated readings already held: the memory was not cleared. */
  readonly notCleared: boolean;
  /** Readings in force of this tool. */
  readonly readings: number;
}

interface ToolDays {
  /** Civil days with readings, rising, and readings on each. */
  readonly days: number[];
  readonly counts: number[];
  lastSource: number;
  lastAt: number;
  inLastSource: number;
  readings: number;
}

const known = new WeakMap<Plant, { tools: ToolDays[]; weekdays: Uint8Array }>();

/**
 * Estimate of the memory of every tool: readings a working day times working days since the last read-out, plus, where
 * that read-out repeated readings already held, all readings in it.
 *
 * Working days are the weekdays on which the plant made readings in its last four weeks: a plant that rests on Sundays
 * is not counted on Sundays. The read-out is taken to end with its last reading.
 *
 * @param now civil ms
 */
export function memoryEstimates(plant: Plant, now: number): MemoryEstimate[] {
  const { tools, weekdays } = toolDays(plant);
  return tools.map((tool, t) => estimate(plant, tool, plant.register.tools[t]?.storageCapacity ?? null, weekdays, now));
}

function estimate(
  plant: Plant,
  tool: ToolDays,
  capacity: number | null,
  weekdays: Uint8Array,
  now: number,
): MemoryEstimate {
  if (tool.days.length === 0) {
    return { stored: null, perDay: null, fullOn: null, lastReadOut: null, notCleared: false, readings: tool.readings };
  }
  const last = tool.counts.slice(-daysLookedBack);
  const perDay = last.reduce((sum, count) => sum + count, 0) / last.length;
  const source = plant.sources.find((one) => one.id === tool.lastSource);
  const alreadyHeld = source?.alreadyHeld ?? 0;
  const notCleared = alreadyHeld > 0;
  const atReadOut = notCleared ? tool.inLastSource + alreadyHeld : 0;
  const since = workingDays(tool.lastAt, now, weekdays);
  const stored = storedEstimate(perDay, since, { readings: atReadOut, notCleared });
  let fullOn: number | null = null;
  if (capacity !== null && perDay > 0) {
    fullOn = startOfDay(now);
    for (let left = capacity - stored, guard = 0; left > 0 && guard < 3660; guard++) {
      fullOn += msPerDay;
      if (weekdays[weekdayOf(fullOn)] === 1) left -= perDay;
    }
  }
  return { stored, perDay, fullOn, lastReadOut: tool.lastAt, notCleared, readings: tool.readings };
}

/**
 * Readings in the memory: readings a working day x working days since the last dump, plus all readings in that dump when
 * it showed that the memory was not cleared.
 *
 * @example storedEstimate(120, 5, { readings: 900, notCleared: true }) // => 1500
 */
export function storedEstimate(
  perDay: number,
  workingDaysSince: number,
  lastDump: { readonly readings: number; readonly notCleared: boolean },
): number {
  return Math.round(perDay * workingDaysSince) + (lastDump.notCleared ? lastDump.readings : 0);
}

/** Whole working days after the day of `from`, up to and including the day of `to`. */
export function workingDays(from: number, to: number, weekdays: Uint8Array): number {
  const first = startOfDay(from) / msPerDay;
  const last = startOfDay(to) / msPerDay;
  if (last <= first) return 0;
  let perWeek = 0;
  for (let day = 0; day < 7; day++) perWeek += weekdays[day]!;
  const weeks = Math.floor((last - first) / 7);
  let count = weeks * perWeek;
  for (let day = first + weeks * 7 + 1; day <= last; day++) count += weekdays[weekdayOf(day * msPerDay)]!;
  return count;
}

/** 0 for Monday to 6 for Sunday. */
function weekdayOf(day: number): number {
  return (((Math.floor(day / msPerDay) + 3) % 7) + 7) % 7;
}

function toolDays(plant: Plant): { tools: ToolDays[]; weekdays: Uint8Array } {
  const found = known.get(plant);
  if (found) return found;
  const { readings, register, order } = plant;
  const tools: ToolDays[] = register.tools.map(() => ({
    days: [],
    counts: [],
    lastSource: -1,
    lastAt: Number.NEGATIVE_INFINITY,
    inLastSource: 0,
    readings: 0,
  }));
  let newest = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < order.length; k++) {
    const i = order[k]!;
    const tool = tools[readings.tool[i]!];
    if (readings.inForce[i] !== 1 || !tool) continue;
    tool.readings++;
    const source = readings.source[i]!;
    // Sources count up in order of intake.
    if (source > tool.lastSource) {
      tool.lastSource = source;
      tool.inLastSource = 0;
    }
    if (source === tool.lastSource) tool.inLastSource++;
    const at = readings.at[i]!;
    if (Number.isNaN(at)) continue;
    if (at > tool.lastAt) tool.lastAt = at;
    if (at > newest) newest = at;
    const day = startOfDay(at);
    if (tool.days.at(-1) === day) tool.counts[tool.counts.length - 1]!++;
    else {
      tool.days.push(day);
      tool.counts.push(1);
    }
  }
  const weekdays = new Uint8Array(7);
  for (const tool of tools) {
    for (const day of tool.days) if (day > newest - 28 * msPerDay) weekdays[weekdayOf(day)] = 1;
  }
  const result = { tools, weekdays };
  known.set(plant, result);
  return result;
}

const timesKnown = new WeakMap<Plant, { start: Uint32Array; times: Float64Array }>();

/**
 * Times of a tool's readings in force after a time, rising: their number is a lower bound of its cycles since then.
 *
 * O(n) once a plant for all tools, then a search.
 */
export function readingsSince(plant: Plant, tool: number, after: number): Float64Array {
  let byTool = timesKnown.get(plant);
  if (!byTool) {
    byTool = timesByTool(plant);
    timesKnown.set(plant, byTool);
  }
  const end = byTool.start[tool + 1]!;
  let low = byTool.start[tool]!;
  let high = end;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (byTool.times[middle]! <= after) low = middle + 1;
    else high = middle;
  }
  return byTool.times.subarray(low, end);
}

function timesByTool(plant: Plant): { start: Uint32Array; times: Float64Array } {
  const { readings, order, register } = plant;
  const counts = (i: number): boolean =>
    readings.inForce[i] === 1 && readings.tool[i]! >= 0 && !Number.isNaN(readings.at[i]!);
  const start = new Uint32Array(register.tools.length + 1);
  for (let k = 0; k < order.length; k++) if (counts(order[k]!)) start[readings.tool[order[k]!]! + 1]!++;
  for (let t = 0; t < register.tools.length; t++) start[t + 1]! += start[t]!;
  const next = start.slice();
  const times = new Float64Array(start[register.tools.length]!);
  for (let k = 0; k < order.length; k++) {
    const i = order[k]!;
    if (counts(i)) times[next[readings.tool[i]!]!++] = readings.at[i]!;
  }
  return { start, times };
}

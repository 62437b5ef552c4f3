import type { Register } from '../register/register.ts';
import { msPerHour } from '../time/civil-time.ts';
import type { ReadingColumns } from './columns.ts';
import type { SourceFile } from './plant.ts';

/**
 * Positions of all readings in time order across tools (definitions 2); those without a time come last.
 *
 * Time, then serial, then within a tool: sequence number, source in order of intake, and the order of the file (lines;
 * turned round where the newest stands first; by the device's own number where every reading has one). Where the times
 * of a tool in one source step back just once and by at most 60 min (the repeated hour in autumn), the order of the
 * file holds: readings after the step count with the latest time before it.
 *
 * Method: one pass for the steps back, radix sort on the time, then ties alone by comparison; O(n).
 *
 * @param sources by which `newestFirst` is known; sources are in order of intake
 */
export function timeOrder(
  readings: ReadingColumns,
  register: Register,
  sources: readonly SourceFile[],
): Uint32Array<ArrayBuffer> {
  const n = readings.length;
  const newestFirst = new Set(sources.filter((source) => source.newestFirst).map((source) => source.id));
  const intake = new Map(sources.map((source, rank) => [source.id, rank]));
  const time = effectiveTimes(readings, newestFirst);
  const order = sortedByTime(time);
  const serialRank = ranks(register.tools.map((tool) => tool.serial));
  const { tool, sequence, source, line } = readings;
  const compare = (a: number, b: number): number => {
    const toolA = tool[a]!;
    const toolB = tool[b]!;
    if (toolA !== toolB) return (serialRank[toolA] ?? -1) - (serialRank[toolB] ?? -1);
    const numberA = sequence[a]!;
    const numberB = sequence[b]!;
    if (numberA !== numberB) {
      // A reading without a number comes after those with one; two without go on to the file.
      if (!Number.isNaN(numberA) && !Number.isNaN(numberB)) return numberA - numberB;
      if (!Number.isNaN(numberA)) return -1;
      if (!Number.isNaN(numberB)) return 1;
    }
    const sourceA = source[a]!;
    const sourceB = source[b]!;
    if (sourceA !== sourceB) return (intake.get(sourceA) ?? sourceA) - (intake.get(sourceB) ?? sourceB);
    return newestFirst.has(sourceA) ? line[b]! - line[a]! : line[a]! - line[b]!;
  };
  for (let from = 0; from < n; ) {
    const first = time[order[from]!]!;
    let to = from + 1;
    // NaN, at the end, is one run as well.
    while (to < n && (time[order[to]!] === first || (Number.isNaN(first) && Number.isNaN(time[order[to]!])))) to++;
    if (to - from === 2) {
      if (compare(order[from]!, order[from + 1]!) > 0) {
        const swap = order[from]!;
        order[from] = order[from + 1]!;
        order[from + 1] = swap;
      }
    } else if (to - from > 2) order.subarray(from, to).sort(compare);
    from = to;
  }
  return order;
}

/** Whether times fall somewhere and rise nowhere: the newest reading stands first. Absent times are passed over. */
export function fallsAndNeverRises(times: ArrayLike<number>): boolean {
  let falls = false;
  let last = Number.NaN;
  for (let i = 0; i < times.length; i++) {
    const time = times[i]!;
    if (Number.isNaN(time)) continue;
    if (time > last) return false;
    if (time < last) falls = true;
    last = time;
  }
  return falls;
}

/** The times to order by: as recorded, but for the hour after a single short step back. */
function effectiveTimes(readings: ReadingColumns, newestFirst: ReadonlySet<number>): Float64Array {
  const { length: n, at, tool, sequence, source } = readings;
  let time = at;
  let widest = 0;
  for (let i = 0; i < n; i++) if (tool[i]! > widest) widest = tool[i]!;
  const lastAt = new Float64Array(widest + 2);
  const lastNumber = new Float64Array(widest + 2);
  for (let from = 0; from < n; ) {
    const file = source[from]!;
    let to = from + 1;
    while (to < n && source[to] === file) to++;
    const turned = newestFirst.has(file);
    lastAt.fill(Number.NaN);
    lastNumber.fill(Number.NaN);
    const suspects = new Set<number>();
    for (let k = 0; k < to - from; k++) {
      const i = turned ? to - 1 - k : from + k;
      const t = tool[i]! + 1;
      if (at[i]! < lastAt[t]! || sequence[i]! < lastNumber[t]!) suspects.add(t - 1);
      if (!Number.isNaN(at[i])) lastAt[t] = at[i]!;
      if (!Number.isNaN(sequence[i])) lastNumber[t] = sequence[i]!;
    }
    for (const suspect of suspects) {
      const kept = keptInFileOrder(readings, from, to, suspect, turned);
      if (kept.length === 0) continue;
      if (time === at) time = at.slice();
      let latest = Number.NEGATIVE_INFINITY;
      for (const i of kept) {
        latest = Math.max(latest, at[i]!);
        time[i] = latest;
      }
    }
    from = to;
  }
  return time;
}

/** The readings of a tool in a source in the order of the file, if that order holds over the times; else none. */
function keptInFileOrder(readings: ReadingColumns, from: number, to: number, tool: number, turned: boolean): number[] {
  const { at, sequence } = readings;
  const all: number[] = [];
  let complete = true;
  for (let k = 0; k < to - from; k++) {
    const i = turned ? to - 1 - k : from + k;
    if (readings.tool[i] !== tool || Number.isNaN(at[i])) continue;
    if (Number.isNaN(sequence[i])) complete = false;
    all.push(i);
  }
  if (complete) all.sort((a, b) => sequence[a]! - sequence[b]!);
  let back = 0;
  for (let k = 1; k < all.length; k++) {
    const step = at[all[k]!]! - at[all[k - 1]!]!;
    if (step >= 0) continue;
    back++;
    if (back > 1 || step < -msPerHour) return [];
  }
  return back === 1 ? all : [];
}

/** Positions sorted by time, stable; NaN last. */
function sortedByTime(time: Float64Array): Uint32Array<ArrayBuffer> {
  const n = time.length;
  let order = new Uint32Array(n);
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  let known = 0;
  let sorted = true;
  let last = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < n; i++) {
    const t = time[i]!;
    if (Number.isNaN(t)) continue;
    order[known++] = i;
    if (t < low) low = t;
    if (t > high) high = t;
    if (t < last) sorted = false;
    last = t;
  }
  let rest = known;
  for (let i = 0; i < n; i++) if (Number.isNaN(time[i])) order[rest++] = i;
  if (sorted) return order;
  let from = order;
  let into = new Uint32Array(n);
  for (let i = known; i < n; i++) into[i] = order[i]!;
  const bits = 16;
  const buckets = 1 << bits;
  const counts = new Uint32Array(buckets + 1);
  const digits = new Uint16Array(n);
  for (let scale = 1; scale <= high - low; scale *= buckets) {
    counts.fill(0);
    for (let k = 0; k < known; k++) {
      const i = from[k]!;
      const digit = Math.floor((time[i]! - low) / scale) % buckets;
      digits[k] = digit;
      counts[digit + 1]!++;
    }
    for (let d = 0; d < buckets; d++) counts[d + 1]! += counts[d]!;
    for (let k = 0; k < known; k++) into[counts[digits[k]!]!++] = from[k]!;
    const swap = from;
    from = into;
    into = swap;
  }
  order = from;
  return order;
}

/** Rank of each text in plain code-point order, equal texts alike. */
function ranks(texts: readonly string[]): Int32Array {
  const sorted = [...new Set(texts)].sort((a, b) => (a < b ? -1 : 1));
  const rank = new Map(sorted.map((text, position) => [text, position]));
  return Int32Array.from(texts, (text) => rank.get(text) ?? 0);
}

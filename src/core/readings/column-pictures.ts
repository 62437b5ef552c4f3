import type { ReadingsFilter } from '../contract/calls.ts';
import type { NamePicture, NumberPicture, ReadingsPictures } from '../contract/models/readings-model.ts';
import { failBits, verdictFail } from '../judging/judged.ts';
import { fastenerChains } from '../review/chains.ts';
import { flagBits, readingFlags } from '../review/reading-flags.ts';
import { newtonMetresPer, torqueUnitCodes } from '../units/torque-unit.ts';
import type { FailedFilters } from './filter-readings.ts';
import { namesOf } from './filter-readings.ts';
import { onceAPlant } from './once-a-plant.ts';
import type { Plant } from './plant.ts';
import { operatorLabel } from './reading-row.ts';

/** Bins of a picture over a column of numbers. */
const bins = 48;
/** Names listed at most. */
const listedNames = 200;
/** The axis of places, as on the limit ribbon. */
export const placeEnd = 1.55;
const mostTries = 9;

/** Readings looked at together: their values stay in the processor's nearest memory from gathering to counting. */
const block = 4096;
const blockValues = new Float64Array(block);

/** Puts the values of the readings `from` to `to` (exclusive) of a selection into the block. */
type FillValues = (from: number, to: number, into: Float64Array) => void;

/**
 * The pictures over the columns of the table. Each counts readings that pass all filters but those on its own column, so
 * that it shows what else could be chosen; beside it what passes all. O(columns x readings).
 */
export function columnPictures(
  plant: Plant,
  selection: Uint32Array,
  failed: FailedFilters | null,
  filters: readonly ReadingsFilter[],
): ReadingsPictures {
  const { readings, judged } = plant;
  const n = selection.length;
  const others = (column: string): FailedFilters | null => maskedBy(failed, filters, column);
  const place = { from: -placeEnd, to: placeEnd, bins: 62 };
  const counted = countNames(plant, selection, failed, (column) => ownBits(filters, column));
  const plain = (column: 'joint' | 'tool'): { name: string; label: string }[] =>
    namesOf(plant, column).map((name) => ({ name, label: name }));
  return {
    at:
      failed === null && inOrderOfTime(plant)
        ? timePicture(readings.at, selection)
        : numberPicture(n, fillFloat64(readings.at, selection), failed, others('at'), null),
    torque: numberPicture(n, fillTorque(plant, selection), failed, others('torque'), null),
    torquePlace: numberPicture(n, fillFloat32(judged.torquePlace, selection), failed, others('torquePlace'), place),
    angle: numberPicture(n, fillFloat64(readings.angle, selection), failed, others('angle'), null),
    anglePlace: numberPicture(n, fillFloat32(judged.anglePlace, selection), failed, others('anglePlace'), place),
    attempt: triesPicture(counted.attempt, failed),
    joint: namePicture(counted.joint, failed, plain('joint')),
    tool: namePicture(counted.tool, failed, plain('tool')),
    operator: namePicture(
      counted.operator,
      failed,
      namesOf(plant, 'operator').map((name, o) => ({ name, label: operatorLabel(plant, o) ?? name })),
    ),
    source: namePicture(
      counted.source,
      failed,
      plant.sources.map((source) => ({ name: source.name, label: source.name })),
    ),
    verdict: verdictPicture(counted.verdict, failed),
    ownResult: namePicture(counted.ownResult, failed, [
      { name: 'good', label: 'good' },
      { name: 'bad', label: 'bad' },
      { name: 'differs', label: 'differs' },
    ]),
  };
}

/** What a reading fails apart from the filters on one column; null: there are no such filters. */
function maskedBy(
  failed: FailedFilters | null,
  filters: readonly ReadingsFilter[],
  column: string,
): FailedFilters | null {
  if (failed === null) return null;
  const own = ownBits(filters, column);
  if (own === 0) return failed;
  const masked = new Uint32Array(failed.length);
  for (let k = 0; k < failed.length; k++) masked[k] = failed[k]! & ~own;
  return masked;
}

/** The bits of the filters on one column. */
function ownBits(filters: readonly ReadingsFilter[], column: string): number {
  return filters.reduce((bits, filter, f) => (filter.column === column ? bits | (1 << f) : bits), 0);
}

/** How many readings have each value: those that pass all filters but the column's own, and those that pass all. */
interface Counts {
  readonly all: Uint32Array;
  readonly kept: Uint32Array;
}
const countsOf = (length: number): Counts => ({ all: new Uint32Array(length), kept: new Uint32Array(length) });

interface NameCounts {
  /** Place 0: none named. */
  readonly joint: Counts;
  readonly tool: Counts;
  readonly operator: Counts;
  readonly source: Counts;
  /** None, good, bad, differs. */
  readonly ownResult: Counts;
  /** Unjudged, pass, fail, then the reasons. */
  readonly verdict: Counts;
  /** Place 0: in no chain; the last place: more tries than there are places. */
  readonly attempt: Counts;
}

/** The counts of all columns of names in one loop: each position is looked up once for seven columns. */
function countNames(
  plant: Plant,
  selection: Uint32Array,
  failed: FailedFilters | null,
  own: (column: string) => number,
): NameCounts {
  const { readings, judged, register, sources } = plant;
  const { joint, tool, operator, source, own: result } = readings;
  const { verdict, reasons } = judged;
  const { attempt } = fastenerChains(plant);
  const flags = readingFlags(plant);
  const widest = sources.reduce((most, one) => Math.max(most, one.id), 0);
  const rank = new Int32Array(widest + 1);
  sources.forEach((one, k) => {
    rank[one.id] = k + 1;
  });
  const counts: NameCounts = {
    joint: countsOf(register.joints.length + 1),
    tool: countsOf(register.tools.length + 1),
    operator: countsOf(register.operators.length + 1),
    source: countsOf(sources.length + 1),
    ownResult: countsOf(4),
    verdict: countsOf(3 + Object.keys(failBits).length),
    attempt: countsOf(mostTries + 2),
  };
  // Without filters the counts of all are those kept: only one of the two is counted then.
  const j = counts.joint.all;
  const t = counts.tool.all;
  const o = counts.operator.all;
  const s = counts.source.all;
  const r = counts.ownResult.all;
  const v = counts.verdict.all;
  const a = counts.attempt.all;
  if (failed === null) {
    for (let k = 0; k < selection.length; k++) {
      const i = selection[k]!;
      j[joint[i]! + 1]!++;
      t[tool[i]! + 1]!++;
      o[operator[i]! + 1]!++;
      const id = source[i]!;
      s[id >= 0 && id <= widest ? rank[id]! : 0]!++;
      r[(flags[i]! & flagBits.ownDiffers) !== 0 ? 3 : result[i]!]!++;
      const verdictOf = verdict[i]!;
      v[verdictOf]!++;
      if (verdictOf === verdictFail) for (let b = 0; b < 4; b++) v[3 + b]! += (reasons[i]! >> b) & 1;
      a[Math.min(attempt[i]!, mostTries + 1)]!++;
    }
    return counts;
  }
  const bits = {
    joint: ~own('joint'),
    tool: ~own('tool'),
    operator: ~own('operator'),
    source: ~own('source'),
    ownResult: ~own('ownResult'),
    verdict: ~own('verdict'),
    attempt: ~own('attempt'),
  };
  for (let k = 0; k < selection.length; k++) {
    const i = selection[k]!;
    const f = failed[k]!;
    const keeps = f === 0 ? 1 : 0;
    const count = (column: Counts, place: number): void => {
      column.all[place]!++;
      column.kept[place]! += keeps;
    };
    if ((f & bits.joint) === 0) count(counts.joint, joint[i]! + 1);
    if ((f & bits.tool) === 0) count(counts.tool, tool[i]! + 1);
    if ((f & bits.operator) === 0) count(counts.operator, operator[i]! + 1);
    if ((f & bits.source) === 0) {
      const id = source[i]!;
      count(counts.source, id >= 0 && id <= widest ? rank[id]! : 0);
    }
    if ((f & bits.ownResult) === 0) {
      count(counts.ownResult, (flags[i]! & flagBits.ownDiffers) !== 0 ? 3 : result[i]!);
    }
    if ((f & bits.verdict) === 0) {
      const verdictOf = verdict[i]!;
      count(counts.verdict, verdictOf);
      if (verdictOf === verdictFail) {
        for (let b = 0; b < 4; b++) if (((reasons[i]! >> b) & 1) !== 0) count(counts.verdict, 3 + b);
      }
    }
    if ((f & bits.attempt) === 0) count(counts.attempt, Math.min(attempt[i]!, mostTries + 1));
  }
  return counts;
}

// One function a kind of column: a loop that sees one kind of array runs five times as fast as one that sees four.

function fillFloat64(column: Float64Array, selection: Uint32Array): FillValues {
  return (from, to, into) => {
    for (let k = from; k < to; k++) into[k - from] = column[selection[k]!]!;
  };
}

function fillFloat32(column: Float32Array, selection: Uint32Array): FillValues {
  return (from, to, into) => {
    for (let k = from; k < to; k++) into[k - from] = column[selection[k]!]!;
  };
}

function fillTorque(plant: Plant, selection: Uint32Array): FillValues {
  const { torque, unit } = plant.readings;
  const factors = Float64Array.from(torqueUnitCodes, (code) => newtonMetresPer[code]);
  return (from, to, into) => {
    for (let k = from; k < to; k++) {
      const i = selection[k]!;
      into[k - from] = torque[i]! * factors[unit[i]!]!;
    }
  };
}

/**
 * @param failed what each reading fails at all, null: nothing
 * @param others what it fails apart from the filters on this column
 */
function numberPicture(
  n: number,
  fill: FillValues,
  failed: FailedFilters | null,
  others: FailedFilters | null,
  ends: { from: number; to: number; bins: number } | null,
): NumberPicture | null {
  const range = ends ?? rangeOf(n, fill, others);
  if (range === null) return null;
  const { from, to } = range;
  const width = ends?.bins ?? bins;
  const counts = new Uint32Array(width);
  const kept = new Uint32Array(width);
  const outside = new Uint32Array(3);
  const scale = width / (to - from);
  for (let start = 0; start < n; start += block) {
    const end = Math.min(n, start + block);
    fill(start, end, blockValues);
    if (failed === null || others === null) countAll(end - start, from, to, scale, counts, outside);
    else {
      const last = width - 1;
      for (let k = start; k < end; k++) {
        if (others[k] !== 0) continue;
        const v = blockValues[k - start]!;
        if (v >= from && v <= to) {
          const bin = Math.min(((v - from) * scale) | 0, last);
          counts[bin]!++;
          if (failed[k] === 0) kept[bin]!++;
        } else if (v < from) outside[0]!++;
        else if (v > to) outside[1]!++;
        else outside[2]!++;
      }
    }
  }
  return {
    from,
    to,
    counts,
    kept: failed === null ? counts.slice() : kept,
    below: outside[0]!,
    above: outside[1]!,
    none: outside[2]!,
  };
}

/** Smallest and largest value, moved apart where they are one; null: no value. */
function rangeOf(n: number, fill: FillValues, others: FailedFilters | null): { from: number; to: number } | null {
  let from = Number.POSITIVE_INFINITY;
  let to = Number.NEGATIVE_INFINITY;
  for (let start = 0; start < n; start += block) {
    const end = Math.min(n, start + block);
    fill(start, end, blockValues);
    for (let k = start; k < end; k++) {
      const v = blockValues[k - start]!;
      if ((v >= from && v <= to) || (others !== null && others[k] !== 0)) continue;
      if (v < from) from = v;
      if (v > to) to = v;
    }
  }
  if (!(from <= to)) return null;
  return from === to ? { from: from - 0.5, to: to + 0.5 } : { from, to };
}

/** The loop without filters: nothing to look up but the value. */
function countAll(n: number, from: number, to: number, scale: number, counts: Uint32Array, outside: Uint32Array): void {
  const last = counts.length - 1;
  for (let k = 0; k < n; k++) {
    const v = blockValues[k]!;
    if (v >= from && v <= to) counts[Math.min(((v - from) * scale) | 0, last)]!++;
    else if (v < from) outside[0]!++;
    else if (v > to) outside[1]!++;
    else outside[2]!++;
  }
}

/** Whether times only rise along the order; a clock set back keeps its file's order, and then they do not. Once a plant. */
const inOrderOfTime: (plant: Plant) => boolean = onceAPlant(({ order, readings }) => {
  let last = Number.NEGATIVE_INFINITY;
  for (let k = 0; k < order.length; k++) {
    const time = readings.at[order[k]!]!;
    if (time < last) return false;
    if (!Number.isNaN(time)) last = time;
  }
  return true;
});

/** As `numberPicture` without filters, but the ends of its bins are found by halving: the times rise. */
function timePicture(at: Float64Array, selection: Uint32Array): NumberPicture | null {
  /** Number of readings, from the first on, of which a condition holds that holds for no later one. */
  const holdsFor = (condition: (time: number) => boolean): number => {
    let low = 0;
    let high = selection.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (condition(at[selection[middle]!]!)) low = middle + 1;
      else high = middle;
    }
    return low;
  };
  // Those without a time stand last.
  const timed = holdsFor((time) => !Number.isNaN(time));
  if (timed === 0) return null;
  const first = at[selection[0]!]!;
  const last = at[selection[timed - 1]!]!;
  const { from, to } = first === last ? { from: first - 0.5, to: last + 0.5 } : { from: first, to: last };
  const scale = bins / (to - from);
  const counts = new Uint32Array(bins);
  let before = 0;
  for (let bin = 0; bin < bins; bin++) {
    const end = bin === bins - 1 ? timed : holdsFor((time) => (((time - from) * scale) | 0) <= bin);
    counts[bin] = end - before;
    before = end;
  }
  return { from, to, counts, kept: counts.slice(), below: 0, above: 0, none: selection.length - timed };
}

/** How many tries: 1 to 9, with those beyond counted above. */
function triesPicture({ all, kept }: Counts, failed: FailedFilters | null): NumberPicture {
  return {
    from: 0.5,
    to: mostTries + 0.5,
    counts: all.slice(1, mostTries + 1),
    kept: (failed === null ? all : kept).slice(1, mostTries + 1),
    below: 0,
    above: all[mostTries + 1]!,
    none: all[0]!,
  };
}

/** @param names the k-th of them is counted at place k + 1 */
function namePicture(
  counts: Counts,
  failed: FailedFilters | null,
  names: readonly { name: string; label: string }[],
): NamePicture {
  const passing = failed === null ? counts.all : counts.kept;
  const all = names
    .map((one, k) => ({ ...one, count: counts.all[k + 1]!, kept: passing[k + 1]! }))
    .filter((one) => one.count > 0)
    .sort((a, b) => b.count - a.count || (a.name < b.name ? -1 : 1));
  const listed = all.slice(0, listedNames);
  return {
    names: listed,
    distinct: all.length,
    others: all.slice(listedNames).reduce((sum, one) => sum + one.count, 0),
    none: counts.all[0]!,
  };
}

/** Verdicts, and under them the reasons: a reading that fails for two reasons counts under each. */
function verdictPicture(counts: Counts, failed: FailedFilters | null): NamePicture {
  const passing = failed === null ? counts.all : counts.kept;
  const listed = ['unjudged', 'pass', 'fail', ...Object.keys(failBits)]
    .map((name, k) => ({ name, label: name, count: counts.all[k]!, kept: passing[k]! }))
    .filter((one) => one.count > 0);
  return { names: listed, distinct: listed.length, others: 0, none: 0 };
}

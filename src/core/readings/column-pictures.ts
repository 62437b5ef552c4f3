import type { ReadingsFilter } from '../contract/calls.ts';
import type { NamePicture, NumberPicture, ReadingsPictures } from '../contract/models/readings-model.ts';
import { failBits, verdictFail } from '../judging/judged.ts';
import { fastenerChains } from '../review/chains.ts';
import { flagBits, readingFlags } from '../review/reading-flags.ts';
import { newtonMetresPer, torqueUnitCodes } from '../units/torque-unit.ts';
import type { FailedFilters } from './filter-readings.ts';
import { namesOf } from './filter-readings.ts';
import type { Plant } from './plant.ts';
import { operatorLabel } from './reading-row.ts';

/** Bins of a picture over a column of numbers. */
const bins = 48;
/** Names listed at most. */
const listedNames = 200;
/** The axis of places, as on the limit ribbon. */
export const placeEnd = 1.55;
const mostTries = 9;

let scratch = { values: new Float64Array(0), indices: new Int32Array(0) };

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
  // Room that every question uses again: fresh megabytes cost more than what is written to them.
  if (scratch.values.length < selection.length) {
    scratch = { values: new Float64Array(selection.length), indices: new Int32Array(selection.length) };
  }
  const values = scratch.values.subarray(0, selection.length);
  const indices = scratch.indices.subarray(0, selection.length);
  const others = (column: string): FailedFilters | null => maskedBy(failed, filters, column);
  const place = { from: -placeEnd, to: placeEnd, bins: 62 };
  const names = (
    column: 'joint' | 'tool' | 'operator',
    listed: readonly { name: string; label: string }[],
  ): NamePicture => namePicture(gatherInt32(readings[column], selection, indices), failed, others(column), listed);
  const plain = (column: 'joint' | 'tool'): { name: string; label: string }[] =>
    namesOf(plant, column).map((name) => ({ name, label: name }));
  return {
    at: numberPicture(gatherFloat64(readings.at, selection, values), failed, others('at'), null),
    torque: numberPicture(gatherTorque(plant, selection, values), failed, others('torque'), null),
    torquePlace: numberPicture(
      gatherFloat32(judged.torquePlace, selection, values),
      failed,
      others('torquePlace'),
      place,
    ),
    angle: numberPicture(gatherFloat64(readings.angle, selection, values), failed, others('angle'), null),
    anglePlace: numberPicture(gatherFloat32(judged.anglePlace, selection, values), failed, others('anglePlace'), place),
    attempt: numberPicture(gatherAttempt(plant, selection, values), failed, others('attempt'), {
      from: 0.5,
      to: mostTries + 0.5,
      bins: mostTries,
    }),
    joint: names('joint', plain('joint')),
    tool: names('tool', plain('tool')),
    operator: names(
      'operator',
      namesOf(plant, 'operator').map((name, o) => ({ name, label: operatorLabel(plant, o) ?? name })),
    ),
    source: namePicture(
      gatherSource(plant, selection, indices),
      failed,
      others('source'),
      plant.sources.map((source) => ({ name: source.name, label: source.name })),
    ),
    verdict: verdictPicture(plant, selection, failed, others('verdict')),
    ownResult: namePicture(gatherOwn(plant, selection, indices), failed, others('ownResult'), [
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
  const own = filters.reduce((bits, filter, f) => (filter.column === column ? bits | (1 << f) : bits), 0);
  if (own === 0) return failed;
  const masked = new Uint32Array(failed.length);
  for (let k = 0; k < failed.length; k++) masked[k] = failed[k]! & ~own;
  return masked;
}

// One function a kind of column: a loop that sees one kind of array runs five times as fast as one that sees four.

function gatherFloat64(column: Float64Array, selection: Uint32Array, into: Float64Array): Float64Array {
  for (let k = 0; k < selection.length; k++) into[k] = column[selection[k]!]!;
  return into;
}

function gatherFloat32(column: Float32Array, selection: Uint32Array, into: Float64Array): Float64Array {
  for (let k = 0; k < selection.length; k++) into[k] = column[selection[k]!]!;
  return into;
}

/** Positions moved up by one: 0 stands for none named. */
function gatherInt32(column: Int32Array, selection: Uint32Array, into: Int32Array): Int32Array {
  for (let k = 0; k < selection.length; k++) into[k] = column[selection[k]!]! + 1;
  return into;
}

function gatherTorque(plant: Plant, selection: Uint32Array, into: Float64Array): Float64Array {
  const { torque, unit } = plant.readings;
  const factors = Float64Array.from(torqueUnitCodes, (code) => newtonMetresPer[code]);
  for (let k = 0; k < selection.length; k++) {
    const i = selection[k]!;
    into[k] = torque[i]! * factors[unit[i]!]!;
  }
  return into;
}

function gatherAttempt(plant: Plant, selection: Uint32Array, into: Float64Array): Float64Array {
  const { attempt } = fastenerChains(plant);
  for (let k = 0; k < selection.length; k++) {
    const tries = attempt[selection[k]!]!;
    into[k] = tries === 0 ? Number.NaN : tries;
  }
  return into;
}

function gatherSource(plant: Plant, selection: Uint32Array, into: Int32Array): Int32Array {
  const { source } = plant.readings;
  const widest = plant.sources.reduce((most, one) => Math.max(most, one.id), 0);
  const rank = new Int32Array(widest + 1);
  plant.sources.forEach((one, k) => {
    rank[one.id] = k + 1;
  });
  for (let k = 0; k < selection.length; k++) {
    const id = source[selection[k]!]!;
    into[k] = id >= 0 && id <= widest ? rank[id]! : 0;
  }
  return into;
}

function gatherOwn(plant: Plant, selection: Uint32Array, into: Int32Array): Int32Array {
  const { own } = plant.readings;
  const flags = readingFlags(plant);
  for (let k = 0; k < selection.length; k++) {
    const i = selection[k]!;
    into[k] = (flags[i]! & flagBits.ownDiffers) !== 0 ? 3 : own[i]!;
  }
  return into;
}

/**
 * @param failed what each reading fails at all, null: nothing
 * @param others what it fails apart from the filters on this column
 */
function numberPicture(
  values: Float64Array,
  failed: FailedFilters | null,
  others: FailedFilters | null,
  ends: { from: number; to: number; bins: number } | null,
): NumberPicture | null {
  const n = values.length;
  let from = ends?.from ?? Number.POSITIVE_INFINITY;
  let to = ends?.to ?? Number.NEGATIVE_INFINITY;
  if (ends === null) {
    for (let k = 0; k < n; k++) {
      const v = values[k]!;
      if (v >= from && v <= to) continue;
      if (others !== null && others[k] !== 0) continue;
      if (v < from) from = v;
      if (v > to) to = v;
    }
    if (!(from <= to)) return null;
    if (from === to) {
      from -= 0.5;
      to += 0.5;
    }
  }
  const width = ends?.bins ?? bins;
  const counts = new Uint32Array(width);
  const kept = new Uint32Array(width);
  const scale = width / (to - from);
  const outside = new Uint32Array(3);
  if (failed === null || others === null) {
    countAll(values, from, to, scale, counts, outside);
    return { from, to, counts, kept: counts.slice(), below: outside[0]!, above: outside[1]!, none: outside[2]! };
  }
  for (let k = 0; k < n; k++) {
    if (others[k] !== 0) continue;
    const v = values[k]!;
    if (v >= from && v <= to) {
      let bin = ((v - from) * scale) | 0;
      if (bin === width) bin = width - 1;
      counts[bin]!++;
      if (failed[k] === 0) kept[bin]!++;
    } else if (v < from) outside[0]!++;
    else if (v > to) outside[1]!++;
    else outside[2]!++;
  }
  return { from, to, counts, kept, below: outside[0]!, above: outside[1]!, none: outside[2]! };
}

/** The loop without filters: nothing to look up but the value. */
function countAll(
  values: Float64Array,
  from: number,
  to: number,
  scale: number,
  counts: Uint32Array,
  outside: Uint32Array,
): void {
  const last = counts.length - 1;
  for (let k = 0; k < values.length; k++) {
    const v = values[k]!;
    if (v >= from && v <= to) {
      const bin = ((v - from) * scale) | 0;
      counts[Math.min(bin, last)]!++;
    } else if (v < from) outside[0]!++;
    else if (v > to) outside[1]!++;
    else outside[2]!++;
  }
}

/** @param index 0: names none; k + 1: the k-th of `names` */
function namePicture(
  index: Int32Array,
  failed: FailedFilters | null,
  others: FailedFilters | null,
  names: readonly { name: string; label: string }[],
): NamePicture {
  const counts = new Uint32Array(names.length + 1);
  const kept = new Uint32Array(names.length + 1);
  for (let k = 0; k < index.length; k++) {
    if (others !== null && others[k] !== 0) continue;
    const at = index[k]!;
    counts[at]!++;
    if (failed !== null && failed[k] === 0) kept[at]!++;
  }
  const passing = failed === null ? counts : kept;
  const all = names
    .map((one, k) => ({ ...one, count: counts[k + 1]!, kept: passing[k + 1]! }))
    .filter((one) => one.count > 0)
    .sort((a, b) => b.count - a.count || (a.name < b.name ? -1 : 1));
  const listed = all.slice(0, listedNames);
  return {
    names: listed,
    distinct: all.length,
    others: all.slice(listedNames).reduce((sum, one) => sum + one.count, 0),
    none: counts[0]!,
  };
}

/** Verdicts, and under them the reasons: a reading that fails for two reasons counts under each. */
function verdictPicture(
  plant: Plant,
  selection: Uint32Array,
  failed: FailedFilters | null,
  others: FailedFilters | null,
): NamePicture {
  const { verdict, reasons } = plant.judged;
  const names = ['unjudged', 'pass', 'fail', ...Object.keys(failBits)];
  const counts = new Uint32Array(names.length);
  const kept = new Uint32Array(names.length);
  for (let k = 0; k < selection.length; k++) {
    if (others !== null && others[k] !== 0) continue;
    const i = selection[k]!;
    const v = verdict[i]!;
    const keeps = failed === null || failed[k] === 0 ? 1 : 0;
    counts[v]!++;
    kept[v]! += keeps;
    if (v !== verdictFail) continue;
    for (let r = 0; r < 4; r++) {
      if ((reasons[i]! & (1 << r)) === 0) continue;
      counts[3 + r]!++;
      kept[3 + r]! += keeps;
    }
  }
  const listed = names
    .map((name, k) => ({ name, label: name, count: counts[k]!, kept: kept[k]! }))
    .filter((one) => one.count > 0);
  return { names: listed, distinct: listed.length, others: 0, none: 0 };
}

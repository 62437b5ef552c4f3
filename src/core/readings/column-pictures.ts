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

/** Readings looked at together: their values stay in the processor's nearest memory from gathering to counting. */
const block = 4096;
const blockValues = new Float64Array(block);
const blockIndices = new Int32Array(block);

/** Puts the values of the readings `from` to `to` (exclusive) of a selection into the block. */
type FillValues = (from: number, to: number, into: Float64Array) => void;
type FillIndices = (from: number, to: number, into: Int32Array) => void;

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
  const names = (
    column: 'joint' | 'tool' | 'operator',
    listed: readonly { name: string; label: string }[],
  ): NamePicture => namePicture(n, fillInt32(readings[column], selection), failed, others(column), listed);
  const plain = (column: 'joint' | 'tool'): { name: string; label: string }[] =>
    namesOf(plant, column).map((name) => ({ name, label: name }));
  return {
    at: numberPicture(n, fillFloat64(readings.at, selection), failed, others('at'), null),
    torque: numberPicture(n, fillTorque(plant, selection), failed, others('torque'), null),
    torquePlace: numberPicture(n, fillFloat32(judged.torquePlace, selection), failed, others('torquePlace'), place),
    angle: numberPicture(n, fillFloat64(readings.angle, selection), failed, others('angle'), null),
    anglePlace: numberPicture(n, fillFloat32(judged.anglePlace, selection), failed, others('anglePlace'), place),
    attempt: numberPicture(n, fillAttempt(plant, selection), failed, others('attempt'), {
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
      n,
      fillSource(plant, selection),
      failed,
      others('source'),
      plant.sources.map((source) => ({ name: source.name, label: source.name })),
    ),
    verdict: verdictPicture(plant, selection, failed, others('verdict')),
    ownResult: namePicture(n, fillOwn(plant, selection), failed, others('ownResult'), [
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

/** Positions moved up by one: 0 stands for none named. */
function fillInt32(column: Int32Array, selection: Uint32Array): FillIndices {
  return (from, to, into) => {
    for (let k = from; k < to; k++) into[k - from] = column[selection[k]!]! + 1;
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

function fillAttempt(plant: Plant, selection: Uint32Array): FillValues {
  const { attempt } = fastenerChains(plant);
  return (from, to, into) => {
    for (let k = from; k < to; k++) {
      const tries = attempt[selection[k]!]!;
      into[k - from] = tries === 0 ? Number.NaN : tries;
    }
  };
}

function fillSource(plant: Plant, selection: Uint32Array): FillIndices {
  const { source } = plant.readings;
  const widest = plant.sources.reduce((most, one) => Math.max(most, one.id), 0);
  const rank = new Int32Array(widest + 1);
  plant.sources.forEach((one, k) => {
    rank[one.id] = k + 1;
  });
  return (from, to, into) => {
    for (let k = from; k < to; k++) {
      const id = source[selection[k]!]!;
      into[k - from] = id >= 0 && id <= widest ? rank[id]! : 0;
    }
  };
}

function fillOwn(plant: Plant, selection: Uint32Array): FillIndices {
  const { own } = plant.readings;
  const flags = readingFlags(plant);
  return (from, to, into) => {
    for (let k = from; k < to; k++) {
      const i = selection[k]!;
      into[k - from] = (flags[i]! & flagBits.ownDiffers) !== 0 ? 3 : own[i]!;
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

/** @param fill gives 0 for none named, k + 1 for the k-th of `names` */
function namePicture(
  n: number,
  fill: FillIndices,
  failed: FailedFilters | null,
  others: FailedFilters | null,
  names: readonly { name: string; label: string }[],
): NamePicture {
  const counts = new Uint32Array(names.length + 1);
  const kept = new Uint32Array(names.length + 1);
  for (let start = 0; start < n; start += block) {
    const end = Math.min(n, start + block);
    fill(start, end, blockIndices);
    for (let k = start; k < end; k++) {
      if (others !== null && others[k] !== 0) continue;
      const at = blockIndices[k - start]!;
      counts[at]!++;
      if (failed !== null && failed[k] === 0) kept[at]!++;
    }
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

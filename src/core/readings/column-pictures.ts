import type { ReadingsFilter } from '../contract/calls.ts';
import type { NamePicture, NumberPicture, ReadingsPictures } from '../contract/models/readings-model.ts';
import { failBits, verdictFail } from '../judging/judged.ts';
import type { FailedFilters } from './filter-readings.ts';
import { namesOf, numberColumn } from './filter-readings.ts';
import type { Plant } from './plant.ts';
import { operatorLabel, ownDiffers } from './reading-row.ts';

/** Bins of a picture over a column of numbers. */
const bins = 48;
/** Names listed at most. */
const listedNames = 200;
/** The axis of places, as on the limit ribbon. */
export const placeEnd = 1.55;
const mostTries = 9;

/**
 * The pictures over the columns of the table. Each counts readings that pass all filters but those on its own column, so
 * that it shows what else could be chosen; beside it what passes all. O(columns x readings).
 */
export function columnPictures(
  plant: Plant,
  selection: Uint32Array,
  failed: FailedFilters,
  filters: readonly ReadingsFilter[],
): ReadingsPictures {
  const own = (column: string): number =>
    filters.reduce((bits, filter, f) => (filter.column === column ? bits | (1 << f) : bits), 0);
  const numbers = (
    column: 'torquePlace' | 'anglePlace' | 'torque' | 'angle' | 'at' | 'attempt',
    ends: { from: number; to: number; bins: number } | null,
  ): NumberPicture | null => numberPicture(selection, failed, ~own(column), numberColumn(plant, column), ends);
  const place = { from: -placeEnd, to: placeEnd, bins: 62 };
  const { readings, judged } = plant;
  return {
    at: numbers('at', null),
    torque: numbers('torque', null),
    torquePlace: numbers('torquePlace', place),
    angle: numbers('angle', null),
    anglePlace: numbers('anglePlace', place),
    attempt: numbers('attempt', { from: 0.5, to: mostTries + 0.5, bins: mostTries }),
    joint: namePicture(
      selection,
      failed,
      ~own('joint'),
      (i) => readings.joint[i]! + 1,
      namesOf(plant, 'joint').map((name) => ({ name, label: name })),
    ),
    tool: namePicture(
      selection,
      failed,
      ~own('tool'),
      (i) => readings.tool[i]! + 1,
      namesOf(plant, 'tool').map((name) => ({ name, label: name })),
    ),
    operator: namePicture(
      selection,
      failed,
      ~own('operator'),
      (i) => readings.operator[i]! + 1,
      namesOf(plant, 'operator').map((name, o) => ({ name, label: operatorLabel(plant, o) ?? name })),
    ),
    source: sourcePicture(plant, selection, failed, ~own('source')),
    verdict: verdictPicture(plant, selection, failed, ~own('verdict')),
    ownResult: namePicture(
      selection,
      failed,
      ~own('ownResult'),
      (i) => (judged.verdict[i] !== 0 && readings.own[i] !== 0 && ownDiffers(plant, i) ? 3 : readings.own[i]!),
      [
        { name: 'good', label: 'good' },
        { name: 'bad', label: 'bad' },
        { name: 'differs', label: 'differs' },
      ],
    ),
  };
}

function numberPicture(
  selection: Uint32Array,
  failed: FailedFilters,
  mask: number,
  value: (i: number) => number,
  ends: { from: number; to: number; bins: number } | null,
): NumberPicture | null {
  let from = ends?.from ?? Number.POSITIVE_INFINITY;
  let to = ends?.to ?? Number.NEGATIVE_INFINITY;
  if (ends === null) {
    for (let k = 0; k < selection.length; k++) {
      if ((failed[k]! & mask) !== 0) continue;
      const v = value(selection[k]!);
      if (v < from) from = v;
      if (v > to) to = v;
    }
    if (!(from <= to)) return null;
    if (from === to) {
      from -= 0.5;
      to += 0.5;
    }
  }
  const n = ends?.bins ?? bins;
  const counts = new Uint32Array(n);
  const kept = new Uint32Array(n);
  const scale = n / (to - from);
  let below = 0;
  let above = 0;
  let none = 0;
  for (let k = 0; k < selection.length; k++) {
    const bits = failed[k]!;
    if ((bits & mask) !== 0) continue;
    const v = value(selection[k]!);
    if (v >= from && v <= to) {
      let bin = ((v - from) * scale) | 0;
      if (bin === n) bin = n - 1;
      counts[bin]!++;
      if (bits === 0) kept[bin]!++;
    } else if (v < from) below++;
    else if (v > to) above++;
    else none++;
  }
  return { from, to, counts, kept, below, above, none };
}

/** @param index 0: names none; k + 1: the k-th of `names` */
function namePicture(
  selection: Uint32Array,
  failed: FailedFilters,
  mask: number,
  index: (i: number) => number,
  names: readonly { name: string; label: string }[],
): NamePicture {
  const counts = new Uint32Array(names.length + 1);
  const kept = new Uint32Array(names.length + 1);
  for (let k = 0; k < selection.length; k++) {
    const bits = failed[k]!;
    if ((bits & mask) !== 0) continue;
    const at = index(selection[k]!);
    counts[at]!++;
    if (bits === 0) kept[at]!++;
  }
  const all = names
    .map((one, k) => ({ ...one, count: counts[k + 1]!, kept: kept[k + 1]! }))
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

function sourcePicture(plant: Plant, selection: Uint32Array, failed: FailedFilters, mask: number): NamePicture {
  const widest = plant.sources.reduce((most, source) => Math.max(most, source.id), 0);
  const rank = new Uint32Array(widest + 1);
  plant.sources.forEach((source, k) => {
    rank[source.id] = k + 1;
  });
  return namePicture(
    selection,
    failed,
    mask,
    (i) => rank[plant.readings.source[i]!] ?? 0,
    plant.sources.map((source) => ({ name: source.name, label: source.name })),
  );
}

/** Verdicts, and under them the reasons: a reading that fails for two reasons counts under each. */
function verdictPicture(plant: Plant, selection: Uint32Array, failed: FailedFilters, mask: number): NamePicture {
  const { verdict, reasons } = plant.judged;
  const names = ['unjudged', 'pass', 'fail', ...Object.keys(failBits)];
  const counts = new Uint32Array(names.length);
  const kept = new Uint32Array(names.length);
  for (let k = 0; k < selection.length; k++) {
    const bits = failed[k]!;
    if ((bits & mask) !== 0) continue;
    const i = selection[k]!;
    const v = verdict[i]!;
    counts[v]!++;
    if (bits === 0) kept[v]!++;
    if (v !== verdictFail) continue;
    for (let r = 0; r < 4; r++) {
      if ((reasons[i]! & (1 << r)) === 0) continue;
      counts[3 + r]!++;
      if (bits === 0) kept[3 + r]!++;
    }
  }
  const listed = names
    .map((name, k) => ({ name, label: name, count: counts[k]!, kept: kept[k]! }))
    .filter((one) => one.count > 0);
  return { names: listed, distinct: listed.length, others: 0, none: 0 };
}

import type { ReadingNotice, ReadingsFilter } from '../contract/calls.ts';
import { failBits, verdictFail, verdictPass } from '../judging/judged.ts';
import { batchesOf } from '../review/batches.ts';
import { fastenerChains } from '../review/chains.ts';
import { flagBits, readingFlags } from '../review/reading-flags.ts';
import { newtonMetresPer, torqueUnitCodes } from '../units/torque-unit.ts';
import type { Plant } from './plant.ts';
import { ownDiffers } from './reading-row.ts';

/** Which filters each reading of a selection fails: bit f set, it fails filter f. All zero: it passes. */
export type FailedFilters = Uint32Array;

/**
 * Tries every filter on every reading of a selection, null without filters; O(filters x readings), one tight loop a filter.
 *
 * Names: '' stands for none named. Ranges include both ends, those of time from <= at < to. Torque is compared in N·m,
 * signed as recorded. Text is looked for, case aside, in joint, tool, operator, fastener, batch, file and notes, and as
 * the whole name `<source>:<line>`.
 */
export function failedFilters(plant: Plant, selection: Uint32Array, filters: readonly ReadingsFilter[]): FailedFilters {
  const failed = new Uint32Array(selection.length);
  filters.forEach((filter, f) => {
    const bit = (1 << f) >>> 0;
    const passes = compile(plant, filter);
    for (let k = 0; k < selection.length; k++) if (!passes(selection[k]!)) failed[k] = failed[k]! | bit;
  });
  return failed;
}

type Test = (position: number) => boolean;

function compile(plant: Plant, filter: ReadingsFilter): Test {
  switch (filter.column) {
    case 'joint':
    case 'tool':
    case 'operator':
    case 'source':
      return byMask(plant, filter.column, new Set(filter.anyOf));
    case 'fastener':
      return byFastener(plant, new Set(filter.anyOf));
    case 'verdict':
      return byVerdict(plant, filter.anyOf);
    case 'ownResult':
      return byOwnResult(plant, filter.anyOf);
    case 'text':
      return byText(plant, filter.contains);
    case 'notice':
      return byNotice(plant, filter.anyOf);
    case 'reading':
      return byName(plant, new Set(filter.anyOf));
    default:
      return byRange(numberColumn(plant, filter.column), filter.column === 'at', filter.from, filter.to);
  }
}

/** Value of a numeric column by position; NaN: none. */
export function numberColumn(
  plant: Plant,
  column: 'torquePlace' | 'anglePlace' | 'torque' | 'angle' | 'at' | 'attempt',
): (position: number) => number {
  const { readings, judged } = plant;
  switch (column) {
    case 'at':
      return (i) => readings.at[i]!;
    case 'angle':
      return (i) => readings.angle[i]!;
    case 'torquePlace':
      return (i) => judged.torquePlace[i]!;
    case 'anglePlace':
      return (i) => judged.anglePlace[i]!;
    case 'attempt': {
      const { attempt } = fastenerChains(plant);
      return (i) => (attempt[i] === 0 ? Number.NaN : attempt[i]!);
    }
    case 'torque': {
      const factors = Float64Array.from(torqueUnitCodes, (unit) => newtonMetresPer[unit]);
      return (i) => readings.torque[i]! * factors[readings.unit[i]!]!;
    }
  }
}

function byRange(value: (i: number) => number, halfOpen: boolean, from: number | null, to: number | null): Test {
  const low = from ?? Number.NEGATIVE_INFINITY;
  const high = to ?? Number.POSITIVE_INFINITY;
  if (from === null && to === null) return () => true;
  // A whisker of room: an end taken from the screen has fewer digits than a computed place.
  return halfOpen
    ? (i) => value(i) >= low && value(i) < high
    : (i) => value(i) >= low - 1e-9 && value(i) <= high + 1e-9;
}

function byMask(plant: Plant, column: 'joint' | 'tool' | 'operator' | 'source', wanted: ReadonlySet<string>): Test {
  const positions = plant.readings[column];
  if (column === 'source') {
    const ids = new Set(plant.sources.filter((source) => wanted.has(source.name)).map((source) => source.id));
    return (i) => ids.has(positions[i]!);
  }
  const names = namesOf(plant, column);
  const mask = new Uint8Array(names.length + 1);
  mask[0] = wanted.has('') ? 1 : 0;
  names.forEach((name, position) => {
    if (wanted.has(name)) mask[position + 1] = 1;
  });
  return (i) => mask[positions[i]! + 1] === 1;
}

/** Names by position as a filter writes them. */
export function namesOf(plant: Plant, column: 'joint' | 'tool' | 'operator'): readonly string[] {
  const { register } = plant;
  return column === 'joint'
    ? register.joints.map((joint) => joint.name)
    : column === 'tool'
      ? register.tools.map((tool) => tool.serial)
      : register.operators.map((operator) => operator.badge);
}

function byFastener(plant: Plant, wanted: ReadonlySet<string>): Test {
  const { fastener, batch, batchPosition } = plant.readings;
  const fasteners = maskOf(plant.names.fasteners, (name) => wanted.has(name));
  const batches = maskOf(plant.names.batches, (name) => wanted.has(name));
  const withPosition = [...wanted].some((name) => /\/\d+$/.test(name));
  const none = wanted.has('');
  return (i) => {
    const f = fastener[i]!;
    const b = batch[i]!;
    if (f < 0 && b < 0) return none;
    if (f >= 0 && fasteners[f] === 1) return true;
    if (b < 0) return false;
    return batches[b] === 1 || (withPosition && wanted.has(`${plant.names.batches[b]}/${batchPosition[i]}`));
  };
}

function maskOf(names: readonly string[], test: (name: string) => boolean): Uint8Array {
  const mask = new Uint8Array(names.length);
  for (let k = 0; k < names.length; k++) if (test(names[k]!)) mask[k] = 1;
  return mask;
}

function byVerdict(plant: Plant, anyOf: readonly string[]): Test {
  const { verdict, reasons } = plant.judged;
  const codes = new Uint8Array(3);
  let bits = 0;
  for (const name of anyOf) {
    if (name === 'pass') codes[verdictPass] = 1;
    else if (name === 'fail') codes[verdictFail] = 1;
    else if (name === 'unjudged') codes[0] = 1;
    else if (name in failBits) bits |= failBits[name as keyof typeof failBits]; // checked by `in`
  }
  return (i) => codes[verdict[i]!] === 1 || (reasons[i]! & bits) !== 0;
}

function byOwnResult(plant: Plant, anyOf: readonly string[]): Test {
  const { own } = plant.readings;
  const codes = new Uint8Array(3);
  codes[0] = anyOf.includes('none') ? 1 : 0;
  codes[1] = anyOf.includes('good') ? 1 : 0;
  codes[2] = anyOf.includes('bad') ? 1 : 0;
  const differs = anyOf.includes('differs');
  return (i) => codes[own[i]!] === 1 || (differs && ownDiffers(plant, i));
}

const noticeBits = {
  'second-pull': flagBits.secondPull,
  'other-direction': flagBits.otherDirection,
  'zero-torque': flagBits.zeroTorque,
  'on-limit': flagBits.onLimit,
  'beyond-range': flagBits.beyondRange,
} as const;

function byNotice(plant: Plant, anyOf: readonly ReadingNotice[]): Test {
  const flags = readingFlags(plant);
  let bits = 0;
  for (const kind of anyOf) if (kind !== 'batches-untold') bits |= noticeBits[kind];
  if (!anyOf.includes('batches-untold')) return (i) => (flags[i]! & bits) !== 0;
  const untold = new Set(batchesOf(plant).untold);
  return (i) => (flags[i]! & bits) !== 0 || untold.has(i);
}

function byName(plant: Plant, wanted: ReadonlySet<string>): Test {
  const { source, line } = plant.readings;
  const lines = new Map<number, Set<number>>();
  for (const name of wanted) {
    const [file, row] = name.split(':').map(Number);
    if (file === undefined || row === undefined) continue;
    const known = lines.get(file);
    if (known) known.add(row);
    else lines.set(file, new Set([row]));
  }
  return (i) => lines.get(source[i]!)?.has(line[i]!) === true;
}

function byText(plant: Plant, contains: string): Test {
  const wanted = contains.trim().toLowerCase();
  if (wanted === '') return () => true;
  const { readings, register, names } = plant;
  const has = (text: string | null): boolean => text?.toLowerCase().includes(wanted) ?? false;
  const joints = maskOf(
    register.joints.map((joint) => joint.name),
    has,
  );
  const tools = maskOf(
    register.tools.map((tool) => tool.serial),
    has,
  );
  const operators = Uint8Array.from(register.operators, (one) => (has(one.badge) || has(one.name) ? 1 : 0));
  const fasteners = maskOf(names.fasteners, has);
  const batches = maskOf(names.batches, has);
  const sources = new Set(plant.sources.filter((source) => has(source.name)).map((source) => source.id));
  const noted = new Set<number>();
  for (const [position, notes] of plant.notes) if (notes.some((note) => has(note.text))) noted.add(position);
  const whole = /^(\d+):(\d+)$/.exec(wanted);
  const source = whole ? Number(whole[1]) : -1;
  const line = whole ? Number(whole[2]) : -1;
  return (i) =>
    joints[readings.joint[i]!] === 1 ||
    tools[readings.tool[i]!] === 1 ||
    operators[readings.operator[i]!] === 1 ||
    fasteners[readings.fastener[i]!] === 1 ||
    batches[readings.batch[i]!] === 1 ||
    (sources.size > 0 && sources.has(readings.source[i]!)) ||
    (noted.size > 0 && noted.has(i)) ||
    (readings.source[i] === source && readings.line[i] === line);
}

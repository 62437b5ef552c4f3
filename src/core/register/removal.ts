/** Whether an entry of the register can be taken out, what stands in the way, and what to do instead. */
import type { RemovalModel } from '../contract/models/register-model.ts';
import type { Plant } from '../readings/plant.ts';
import { shiftTable, tablePlace } from '../readings/shift-occurrence.ts';
import { said } from '../text/said.ts';
import { startOfDay } from '../time/civil-time.ts';
import { checkKey } from './register-file.ts';
import { similarNames } from './similar-names.ts';

export type RemovableKind = RemovalModel['kind'];

/** What names an entry beside the register itself; found by whoever keeps it. */
export interface PointsTo {
  /** Readings of it, in force or not: as written in their file, or as assigned since. */
  readonly readings: number;
  /** Of those, out of force: of withdrawn files, or set aside. They come back when their file does. */
  readonly outOfForce: number;
  /** Of those in force, judged by limits of it (joints). */
  readonly judged: number;
  /** Names of saved studies and scopes that name it. */
  readonly studies: readonly string[];
  readonly scopes: readonly string[];
}

const mostOffered = 1000;

/**
 * What taking an entry out of the register comes to.
 *
 * An entry is removed only when nothing would be left without it: no reading, check, saved study or saved scope names
 * it. Readings do not name a shift, they fall into it by their time; a shift that was entered by mistake has such
 * readings nearly always. It can be removed, and where its readings fall then is said before.
 *
 * @param points what names it outside the register, by whoever keeps that
 * @returns null when there is no such entry
 */
export function removalModel(plant: Plant, kind: RemovableKind, name: string, points: PointsTo): RemovalModel | null {
  const { register } = plant;
  const place = placeOf(plant, kind, name);
  if (place < 0) return null;
  const pulls = kind === 'tool' ? register.checks.filter((pull) => pull.tool === place) : [];
  const checks = new Set(pulls.map(checkKey)).size;
  const { readings, outOfForce, judged, studies, scopes } = points;
  const own = kind !== 'shift' && readings + checks > 0;
  if (own || studies.length + scopes.length > 0) {
    const tool = kind === 'tool' ? register.tools[place] : undefined;
    const others = own ? otherNames(plant, kind, name) : [];
    const canRetire = tool !== undefined && own && tool.status !== 'retired';
    return {
      kind,
      name,
      allowed: false,
      said: said('register.removal-refused', {
        name,
        readings: own ? readings : 0,
        outOfForce: own ? outOfForce : 0,
        judged: own ? judged : 0,
        checks,
        studies: studies.length,
        scopes: scopes.length,
      }),
      instead: own
        ? said('register.removal-instead', { kind, canMerge: others.length > 0, canRetire, checks, readings })
        : said('register.removal-delete-first', { studies, scopes }),
      mergeInto: others,
      canRetire,
    };
  }
  return {
    kind,
    name,
    allowed: true,
    said: kind === 'shift' ? shiftSaid(plant, place) : goesWithIt(plant, kind, place),
    instead: null,
    mergeInto: [],
    canRetire: false,
  };
}

function placeOf({ register }: Plant, kind: RemovableKind, name: string): number {
  switch (kind) {
    case 'joint':
      return register.joints.findIndex((one) => one.name === name);
    case 'tool':
      return register.tools.findIndex((one) => one.serial === name);
    case 'operator':
      return register.operators.findIndex((one) => one.badge === name);
    case 'shift':
      return register.shifts.findIndex((one) => one.name === name);
  }
}

/** Entries of the same kind that it can be merged into, those with a similar name first. */
function otherNames({ register }: Plant, kind: RemovableKind, name: string): string[] {
  const all =
    kind === 'joint'
      ? register.joints.map((one) => one.name)
      : kind === 'tool'
        ? register.tools.map((one) => one.serial)
        : kind === 'operator'
          ? register.operators.map((one) => one.badge)
          : [];
  const alike = similarNames(name, all);
  return [...alike, ...all.filter((one) => one !== name && !alike.includes(one))].slice(0, mostOffered);
}

/** What is written down of an entry that nothing points to. */
function goesWithIt({ register }: Plant, kind: RemovableKind, place: number): RemovalModel['said'] {
  const joint = kind === 'joint' ? register.joints[place] : undefined;
  const tool = kind === 'tool' ? register.tools[place] : undefined;
  return said('register.removal', {
    revisions: joint?.revisions.length ?? 0,
    events: tool?.events.length ?? 0,
    adapters: tool?.adapters.length ?? 0,
  });
}

/** Where the readings of a shift fall without it. */
function shiftSaid(plant: Plant, place: number): RemovalModel['said'] {
  const { readings, register } = plant;
  const rest = register.shifts.filter((_, s) => s !== place);
  const before = shiftTable(register.shifts);
  const after = shiftTable(rest);
  const into = new Uint32Array(rest.length);
  let all = 0;
  let outside = 0;
  for (let i = 0; i < readings.length; i++) {
    const at = readings.at[i]!;
    if (readings.inForce[i] !== 1 || Number.isNaN(at) || readings.atStep[i] === 4) continue;
    const minute = tablePlace(at, startOfDay(at));
    if (before.shift[minute] !== place) continue;
    all++;
    const then = after.shift[minute]!;
    if (then < 0) outside++;
    else into[then]!++;
  }
  return said('register.removal-shift', {
    readings: all,
    into: rest.map((shift, s) => ({ name: shift.name, readings: into[s]! })).filter((one) => one.readings > 0),
    outside,
    last: rest.length === 0,
  });
}

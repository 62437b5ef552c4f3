/** Taking an entry out of the register: what points to it, and the operations that remove it. */
import type { SavedScope } from '#core/contract/calls.ts';
import type { RemovalModel } from '#core/contract/models/register-model.ts';
import type { SavedStudy } from '#core/contract/models/study-model.ts';
import { ProblemError } from '#core/contract/problems.ts';
import { scopeForPlant } from '#core/readings/anonymous-plant.ts';
import type { Plant } from '#core/readings/plant.ts';
import type { Scope } from '#core/readings/scope.ts';
import { type PointsTo, type RemovableKind, removalModel } from '#core/register/removal.ts';
import { said } from '#core/text/said.ts';
import type { NameKind, StoreOp } from '../store/store.ts';
import { notFound } from './engine-calls.ts';
import type { RegisterState } from './register-state.ts';

/** What a removal may look at: the plant, and what else names entries of its register. */
export interface RemovalAsked {
  readonly plant: Plant;
  readonly state: RegisterState;
  /** Ids of the names as their files write them, by position of the plant's readings. */
  readonly writtenNames: (kind: NameKind) => Int32Array;
  /** Names that readings were assigned to. */
  readonly assignedNames: (kind: NameKind) => ReadonlySet<string>;
  readonly studies: readonly SavedStudy[];
  readonly scopes: readonly SavedScope[];
}

/**
 * What removing an entry comes to.
 *
 * @throws ProblemError not-found
 */
export function removalOf(asked: RemovalAsked, kind: RemovableKind, name: string): RemovalModel {
  const model = removalModel(asked.plant, kind, name, pointsTo(asked, kind, name));
  if (!model) throw notFound(kind, name);
  return model;
}

/**
 * The operations that remove an entry. Nothing of the store is deleted: the entry is marked as gone, its names stay.
 *
 * @throws ProblemError not-found; conflict, with what points to the entry and what to do instead
 */
export function removalOps(asked: RemovalAsked, kind: RemovableKind, name: string): StoreOp[] {
  const model = removalOf(asked, kind, name);
  if (!model.allowed) {
    // In one, so that the command line says what to do too.
    const parts = model.instead ? [model.said, model.instead] : [model.said];
    throw new ProblemError('conflict', said('review.sentences', { parts }));
  }
  const id = kind === 'shift' ? (asked.state.shiftIds.get(name) ?? null) : asked.state.entryId(kind, name);
  if (id === null) throw notFound(kind, name);
  return [{ t: 'entry', id, row: null }];
}

function pointsTo(asked: RemovalAsked, kind: RemovableKind, name: string): PointsTo {
  return { ...(kind === 'shift' ? noReadings : readingsOf(asked, kind, name)), ...savedWith(asked, kind, name) };
}

/** Names of the saved studies and scopes that name an entry. */
export function savedWith(
  asked: RemovalAsked,
  kind: RemovableKind,
  name: string,
): Pick<PointsTo, 'studies' | 'scopes'> {
  const { plant } = asked;
  const list = ({ joint: 'joints', tool: 'tools', operator: 'operators', shift: 'shifts' } as const)[kind];
  const named = (scope: Scope): boolean => scopeForPlant(scope, plant.register, false)[list].includes(name);
  return {
    studies: asked.studies
      .filter(({ choices }) => named(choices.scope) || (kind === 'joint' && choices.joint === name))
      .map((study) => study.name),
    scopes: asked.scopes.filter(({ scope }) => named(scope)).map((one) => one.name),
  };
}

const noReadings = { readings: 0, outOfForce: 0, judged: 0 };

/** Readings that an entry is the name of: as written in their file, or as assigned since. */
function readingsOf(
  { plant, state, writtenNames }: RemovalAsked,
  kind: NameKind,
  name: string,
): Pick<PointsTo, 'readings' | 'outOfForce' | 'judged'> {
  const entry = state.entryId(kind, name);
  if (entry === null) return noReadings;
  const place = state.ids[kind].indexOf(entry);
  const names = new Set(state.nameIdsOfEntry(entry));
  const written = writtenNames(kind);
  const shown = plant.readings[kind];
  const { inForce } = plant.readings;
  let readings = 0;
  let outOfForce = 0;
  let judged = 0;
  for (let i = 0; i < shown.length; i++) {
    if (shown[i] !== place && !names.has(written[i]!)) continue;
    readings++;
    if (inForce[i] !== 1) outOfForce++;
    else if (kind === 'joint' && shown[i] === place && plant.judged.verdict[i] !== 0) judged++;
  }
  return { readings, outOfForce, judged };
}

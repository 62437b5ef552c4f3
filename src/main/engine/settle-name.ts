/** Settling a name that came from dumps: confirming it, renaming it, or taking it for another entry. */
import type { Request, Settled } from '#core/contract/calls.ts';
import type { SettleModel } from '#core/contract/models/register-model.ts';
import { ProblemError } from '#core/contract/problems.ts';
import { type Plant, readingName } from '#core/readings/plant.ts';
import { settleModel } from '#core/register/settle-model.ts';
import { said } from '#core/text/said.ts';
import type { NameKind, StoreOp } from '../store/store.ts';
import { notFound } from './engine-calls.ts';
import { presentName } from './present-names.ts';
import { entryRow, type RegisterState } from './register-state.ts';
import { type RemovalAsked, savedWith } from './removal.ts';

/** A name settled: the operations, and what they come to. */
export interface Settling {
  readonly ops: readonly StoreOp[];
  readonly setAside: Settled['setAside'];
  /** The entry it counts as, or what it is called, from then on; null: confirmed. */
  readonly into: string | null;
  readonly comesTo: () => SettleModel;
}

/**
 * What settling a name does, and what that comes to.
 *
 * A name to be taken over that means another entry already, because readings written so were merged into it, stands for
 * that entry.
 *
 * @throws ProblemError not-found
 */
export function settling(asked: RemovalAsked, request: Request<'register:settle'>): Settling {
  const { plant, state } = asked;
  const { kind, name } = request;
  const into = meant(asked, kind, name, request.into);
  const { ops, aside } = settleOps(plant, state, kind, name, into);
  return {
    ops,
    into,
    setAside: aside.map(([later, first]) => ({
      reading: readingName(plant.readings, later),
      equals: readingName(plant.readings, first),
    })),
    comesTo: () => {
      const setAside = aside.map(([later]) => later);
      const model = settleModel(plant, { kind, name, into, setAside, ...savedWith(asked, kind, name) });
      if (!model) throw notFound(kind, name);
      return model;
    },
  };
}

function meant(asked: RemovalAsked, kind: NameKind, name: string, into: string | null): string | null {
  if (into === null || into === name) return null;
  const { state } = asked;
  const now = presentName(state, kind, into);
  if (now === into || now === name) return into;
  // A name that no reading was ever given stood in the register alone, and is free again.
  return isGiven(asked, kind, into) ? now : into;
}

/** Whether any reading was written with a name, or assigned to it. */
function isGiven(asked: RemovalAsked, kind: NameKind, name: string): boolean {
  const id = asked.state.nameId(kind, name);
  return asked.writtenNames(kind).some((one) => one === id) || asked.assignedNames(kind).has(name);
}

/** Whether any of the operations makes a new entry of a name that means another one now. */
export function takesFormerName(state: RegisterState, ops: readonly StoreOp[]): boolean {
  return ops.some((op) => formerNameOf(state, op) !== null);
}

/**
 * The operations that let new entries have names that meant other entries until now: files that name them mean the new
 * entries from then on.
 *
 * @throws ProblemError refused-input where readings bear such a name: they count as the other entry, and an entry of
 *   their name would stand beside them without any
 */
export function formerNamesTaken(asked: RemovalAsked, ops: readonly StoreOp[]): StoreOp[] {
  return ops.flatMap((op): StoreOp[] => {
    const former = formerNameOf(asked.state, op);
    if (former === null) return [];
    const { kind, name, now, id } = former;
    if (isGiven(asked, kind, name)) throw new ProblemError('refused-input', said('register.name-taken', { name, now }));
    return [{ t: 'name', id, entry: name }];
  });
}

function formerNameOf(
  state: RegisterState,
  op: StoreOp,
): { readonly kind: NameKind; readonly name: string; readonly now: string; readonly id: number } | null {
  if (op.t !== 'entry' || op.id !== null || op.row === null || op.row.kind === 'shift') return null;
  const { kind, name } = op.row;
  const now = presentName(state, kind, name);
  const id = state.nameId(kind, name);
  return now === name || id === null ? null : { kind, name, now, id };
}

/**
 * The operations that settle a name.
 *
 * No reading is rewritten: the written names point to another entry from then on. Where two held readings become equal
 * by that, the later one is set aside.
 *
 * @param into null: confirm as its own; an entry's name: merge into it; any other text: rename
 */
function settleOps(
  plant: Plant,
  state: RegisterState,
  kind: NameKind,
  name: string,
  into: string | null,
): { ops: StoreOp[]; aside: readonly (readonly [number, number])[] } {
  const id = state.entryId(kind, name);
  const row = entryRow(state.register, kind, name);
  if (id === null || row === null) throw notFound(kind, name);
  const alone = (op: StoreOp): ReturnType<typeof settleOps> => ({ ops: [op], aside: [] });
  if (into === null || into === name) return alone({ t: 'entry', id, row: { ...row, confirmed: true } });
  const target = state.entryId(kind, into);
  if (target === null) {
    const rename: StoreOp = { t: 'entry', id, row: { ...row, name: into, confirmed: true } };
    const free = state.nameId(kind, into);
    // Files that name it so from now on mean this entry.
    return free === null ? alone(rename) : { ops: [{ t: 'name', id: free, entry: id }, rename], aside: [] };
  }

  const ops: StoreOp[] = state.nameIdsOfEntry(id).map((nameId) => ({ t: 'name', id: nameId, entry: target }));
  if (kind === 'tool') {
    state.register.checks.forEach((pull, position) => {
      if (state.register.tools[pull.tool]?.serial !== name) return;
      const { tool: _tool, ...rest } = pull;
      ops.push({ t: 'check', id: state.checkIds[position]!, row: { ...rest, tool: target } });
    });
  }
  ops.push({ t: 'entry', id, row: null });
  const aside =
    kind === 'operator' ? [] : becomeEqual(plant, kind, positionOf(plant, kind, name), positionOf(plant, kind, into));
  const { id: ids } = plant.readings;
  for (const [later, first] of aside) {
    ops.push({ t: 'marks', kind: 'set-aside', value: String(ids[first]!), readings: [ids[later]!], replaces: false });
  }
  return { ops, aside };
}

function positionOf(plant: Plant, kind: 'tool' | 'joint', name: string): number {
  return kind === 'tool'
    ? plant.register.tools.findIndex((tool) => tool.serial === name)
    : plant.register.joints.findIndex((joint) => joint.name === name);
}

/** Pairs of positions, the one to set aside first, that are one reading once `from` is `into`. */
function becomeEqual(plant: Plant, kind: 'tool' | 'joint', from: number, into: number): [number, number][] {
  const { readings } = plant;
  const column = kind === 'tool' ? readings.tool : readings.joint;
  const other = kind === 'tool' ? readings.joint : readings.tool;
  const identity = (i: number): string =>
    `${other[i]} ${readings.at[i]} ${readings.torque[i]} ${readings.unit[i]} ${readings.angle[i]}`;
  const held = new Map<string, number[]>();
  for (let i = 0; i < readings.length; i++) {
    // Without a time two equal pulls are two pulls.
    if (column[i] !== into || readings.inForce[i] === 0 || Number.isNaN(readings.at[i]!)) continue;
    const key = identity(i);
    const list = held.get(key);
    if (list) list.push(i);
    else held.set(key, [i]);
  }
  const pairs: [number, number][] = [];
  for (let i = 0; i < readings.length; i++) {
    if (column[i] !== from || readings.inForce[i] === 0) continue;
    // The k-th of one name is the k-th of the other.
    const twin = held.get(identity(i))?.shift();
    if (twin === undefined) continue;
    pairs.push([Math.max(i, twin), Math.min(i, twin)]);
  }
  return pairs;
}

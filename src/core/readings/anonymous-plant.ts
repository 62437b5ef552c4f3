import type { ReadingsFilter } from '../contract/calls.ts';
import { operatorLabels } from '../drift/operator-labels.ts';
import type { Register } from '../register/register.ts';
import { type NameMask, nameMask, type WrittenOperator } from './name-mask.ts';
import type { LeftOut, Plant, ReadingNote } from './plant.ts';
import type { Scope } from './scope.ts';

/** One derived plant a plant, so that results cached by plant stay cached. */
const derived = new WeakMap<Plant, Plant>();

/**
 * The same plant with operators known by number alone ("Operator 3"): for screens and reports that must not name people.
 *
 * Nothing is recomputed, and every figure stays the same. Badges and names are replaced in the register, in who decided
 * on a reading or a limit, in what was written about it, and in the names of files. Whether an operator decided on a
 * reading of their own can still be told: by the number.
 *
 * @param alsoWritten spellings of operators in files, beside the badges
 */
export function anonymousPlant(plant: Plant, alsoWritten: readonly WrittenOperator[] = []): Plant {
  const known = derived.get(plant);
  if (known) return known;
  const mask = nameMask(plant.register, alsoWritten);
  const operators = anonymousOperators(plant.register);
  const made: Plant = {
    ...plant,
    register: anonymousRegister(plant.register, mask),
    leftOut: new Map(
      [...plant.leftOut].map(([position, left]): [number, LeftOut] => {
        const own = plant.readings.operator[position] ?? -1;
        const by = isOperator(plant.register, own, left.by) ? operators[own]!.badge : mask.person(left.by);
        return [position, { ...left, reason: mask.words(left.reason), by }];
      }),
    ),
    notes: new Map(
      [...plant.notes].map(([position, notes]): [number, ReadingNote[]] => [
        position,
        notes.map((note) => ({ ...note, text: mask.words(note.text), by: mask.person(note.by) })),
      ]),
    ),
    sources: plant.sources.map((source) => ({ ...source, name: mask.fileName(source.name) })),
  };
  derived.set(plant, made);
  return made;
}

function anonymousRegister(register: Register, mask: NameMask): Register {
  const person = (text: string | null): string | null => (text === null ? null : mask.person(text));
  const words = (text: string | null): string | null => (text === null ? null : mask.words(text));
  return {
    ...register,
    operators: anonymousOperators(register),
    joints: register.joints.map((joint) => ({
      ...joint,
      note: words(joint.note),
      revisions: joint.revisions.map((one) => ({ ...one, by: person(one.by), why: words(one.why) })),
    })),
    tools: register.tools.map((tool) => ({
      ...tool,
      events: tool.events.map((event) => ({ ...event, note: words(event.note) })),
    })),
  };
}

function isOperator(register: Register, position: number, by: string): boolean {
  const operator = register.operators[position];
  const who = by.trim().toLowerCase();
  return [operator?.badge, operator?.name].some((name) => name?.trim().toLowerCase() === who);
}

/** Operators with their label in place of the badge, and no name. */
export function anonymousOperators(register: Register): Register['operators'] {
  const labels = operatorLabels(register, true);
  return register.operators.map((operator, position) => ({ ...operator, badge: labels[position]!, name: null }));
}

/**
 * Operators as a plant names them, whichever way they were chosen: by label or by badge.
 *
 * @param anonymous true: badges become labels; false: labels become badges
 */
export function operatorsForPlant(names: readonly string[], register: Register, anonymous: boolean): readonly string[] {
  if (names.length === 0) return names;
  const labels = operatorLabels(register, true);
  const badges = register.operators.map((operator) => operator.badge);
  const [from, to] = anonymous ? [badges, labels] : [labels, badges];
  return names.map((name) => {
    // A name that the plant uses already stands for itself, whatever it looks like.
    const at = to.includes(name) ? -1 : from.indexOf(name);
    return at < 0 ? name : to[at]!;
  });
}

/** A scope whose operators are named as a plant names them. */
export function scopeForPlant(scope: Scope, register: Register, anonymous: boolean): Scope {
  if (scope.operators.length === 0) return scope;
  return { ...scope, operators: operatorsForPlant(scope.operators, register, anonymous) };
}

/** Filters whose operators are named as a plant names them. */
export function filtersForPlant(
  filters: readonly ReadingsFilter[],
  register: Register,
  anonymous: boolean,
): ReadingsFilter[] {
  return filters.map((filter) =>
    filter.column === 'operator' ? { ...filter, anyOf: operatorsForPlant(filter.anyOf, register, anonymous) } : filter,
  );
}

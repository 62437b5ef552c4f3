import type { ReadingsFilter } from '../contract/calls.ts';
import type { Register } from '../register/register.ts';
import { type NameMask, nameMask, type WrittenOperator } from './name-mask.ts';
import { type OperatorNumbers, operatorNumbers } from './operator-numbers.ts';
import type { LeftOut, Plant, ReadingNote } from './plant.ts';
import type { Scope } from './scope.ts';

/** One derived plant a plant, so that results cached by plant stay cached. */
const derived = new WeakMap<Plant, { readonly order: string; readonly plant: Plant }>();

/**
 * The same plant with operators known by number alone ("Operator 3"): for screens and reports that must not name people.
 *
 * Every figure stays the same. Badges and names are replaced in the register, in who decided on a reading or a limit, in
 * what was written about it, and in the names of files; the operators stand in the order of their numbers, since their
 * order in the register tells who they are. Whether an operator decided on a reading of their own can still be told.
 *
 * @param alsoWritten spellings of operators in files, beside the badges
 */
export function anonymousPlant(
  plant: Plant,
  alsoWritten: readonly WrittenOperator[] = [],
  numbers: OperatorNumbers = operatorNumbers(plant.register),
): Plant {
  const order = numbers.order.join();
  const known = derived.get(plant);
  if (known?.order === order) return known.plant;
  const mask = nameMask(plant.register, alsoWritten, numbers);
  // One reason or note may stand on thousands of readings.
  const words = onceAText(mask.words);
  const person = onceAText(mask.person);
  const made: Plant = {
    ...plant,
    readings: { ...plant.readings, operator: renumbered(plant.readings.operator, numbers) },
    register: anonymousRegister(plant.register, mask, numbers),
    leftOut: new Map(
      [...plant.leftOut].map(([position, left]): [number, LeftOut] => {
        const own = plant.readings.operator[position] ?? -1;
        const by = isOperator(plant.register, own, left.by) ? numbers.labels[own]! : person(left.by);
        return [position, { ...left, reason: words(left.reason), by }];
      }),
    ),
    notes: new Map(
      [...plant.notes].map(([position, notes]): [number, ReadingNote[]] => [
        position,
        notes.map((note) => ({ ...note, text: words(note.text), by: person(note.by) })),
      ]),
    ),
    sources: plant.sources.map((source) => ({ ...source, name: mask.fileName(source.name) })),
  };
  derived.set(plant, { order, plant: made });
  return made;
}

function onceAText(mask: (text: string) => string): (text: string) => string {
  const known = new Map<string, string>();
  return (text) => {
    const held = known.get(text) ?? mask(text);
    known.set(text, held);
    return held;
  };
}

/** The column of operators with their places in the order of the numbers; the same column where nothing moves. */
function renumbered(operator: Int32Array, { order }: OperatorNumbers): Int32Array {
  if (order.every((position, k) => position === k)) return operator;
  const place = new Int32Array(order.length);
  order.forEach((position, k) => {
    place[position] = k;
  });
  return operator.map((position) => (position < 0 ? position : place[position]!));
}

function anonymousRegister(register: Register, mask: NameMask, numbers: OperatorNumbers): Register {
  const person = (text: string | null): string | null => (text === null ? null : mask.person(text));
  const words = (text: string | null): string | null => (text === null ? null : mask.words(text));
  return {
    ...register,
    operators: anonymousOperators(register, numbers),
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

/** Operators with their label in place of the badge, and no name, in the order of their numbers. */
export function anonymousOperators(register: Register, { order, labels }: OperatorNumbers): Register['operators'] {
  return order.map((position) => ({ ...register.operators[position]!, badge: labels[position]!, name: null }));
}

/**
 * Operators as a plant names them, whichever way they were chosen: by label or by badge.
 *
 * @param anonymous true: badges become labels; false: labels become badges
 */
export function operatorsForPlant(
  names: readonly string[],
  register: Register,
  anonymous: boolean,
  { labels }: OperatorNumbers = operatorNumbers(register),
): readonly string[] {
  if (names.length === 0) return names;
  const badges = register.operators.map((operator) => operator.badge);
  const [from, to] = anonymous ? [badges, labels] : [labels, badges];
  return names.map((name) => {
    // A name that the plant uses already stands for itself, whatever it looks like.
    const at = to.includes(name) ? -1 : from.indexOf(name);
    return at < 0 ? name : to[at]!;
  });
}

/** A scope whose operators are named as a plant names them. */
export function scopeForPlant(scope: Scope, register: Register, anonymous: boolean, numbers?: OperatorNumbers): Scope {
  if (scope.operators.length === 0) return scope;
  return { ...scope, operators: operatorsForPlant(scope.operators, register, anonymous, numbers) };
}

/** Filters whose operators are named as a plant names them. */
export function filtersForPlant(
  filters: readonly ReadingsFilter[],
  register: Register,
  anonymous: boolean,
  numbers?: OperatorNumbers,
): ReadingsFilter[] {
  return filters.map((filter) =>
    filter.column === 'operator'
      ? { ...filter, anyOf: operatorsForPlant(filter.anyOf, register, anonymous, numbers) }
      : filter,
  );
}

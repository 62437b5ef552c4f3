import { operatorLabels } from '../drift/operator-labels.ts';
import type { Register } from '../register/register.ts';
import type { Plant } from './plant.ts';
import type { Scope } from './scope.ts';

/** One derived plant a plant, so that results cached by plant stay cached. */
const derived = new WeakMap<Plant, Plant>();

/**
 * The same plant with operators known by number alone ("Operator 3"): for screens and reports that must not name people.
 *
 * Nothing is recomputed: only badges and names are replaced, by the labels that Drift and Study use, and every figure
 * stays the same. Whether an operator decided on a reading of their own cannot be told from it: studies, which mark that,
 * take the plant itself and put the labels on what they show.
 */
export function anonymousPlant(plant: Plant): Plant {
  const known = derived.get(plant);
  if (known) return known;
  const made: Plant = { ...plant, register: { ...plant.register, operators: anonymousOperators(plant.register) } };
  derived.set(plant, made);
  return made;
}

/** Operators with their label in place of the badge, and no name. */
export function anonymousOperators(register: Register): Register['operators'] {
  const labels = operatorLabels(register, true);
  return register.operators.map((operator, position) => ({ ...operator, badge: labels[position]!, name: null }));
}

/**
 * A scope whose operators are named as a plant names them, whichever way they were chosen: by label or by badge.
 *
 * @param anonymous true: badges become labels; false: labels become badges
 */
export function scopeForPlant(scope: Scope, register: Register, anonymous: boolean): Scope {
  if (scope.operators.length === 0) return scope;
  const labels = operatorLabels(register, true);
  const badges = register.operators.map((operator) => operator.badge);
  const [from, to] = anonymous ? [badges, labels] : [labels, badges];
  const operators = scope.operators.map((name) => {
    // A name that the plant uses already stands for itself, whatever it looks like.
    const at = to.includes(name) ? -1 : from.indexOf(name);
    return at < 0 ? name : to[at]!;
  });
  return { ...scope, operators };
}

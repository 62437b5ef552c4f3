import type { Plant } from './plant.ts';

/** One derived plant a plant, so that results cached by plant stay cached. */
const derived = new WeakMap<Plant, Plant>();

/**
 * The same plant with operators known by badge alone: for screens and reports that must not name people.
 *
 * Nothing is recomputed: only the names are left out, and every figure stays the same.
 */
export function plantByBadge(plant: Plant): Plant {
  const known = derived.get(plant);
  if (known) return known;
  const operators = plant.register.operators.map((operator) => ({ ...operator, name: null }));
  const made: Plant = { ...plant, register: { ...plant.register, operators } };
  derived.set(plant, made);
  return made;
}

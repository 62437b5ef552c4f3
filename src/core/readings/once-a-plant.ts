import type { Plant } from './plant.ts';

interface Kept<T> {
  readonly columns: readonly (Int32Array | Uint8Array)[];
  readonly value: T;
}

/**
 * Makes a derivation of the whole plant that is computed once, and again only when what it rests on has changed.
 *
 * A note or an exclusion gives a new plant with the same verdicts; whatever rests on columns and verdicts alone then still
 * holds. Kept by the verdicts and compared by the columns that marks can change (tool, joint, operator, in force).
 *
 * @param build must use nothing of a plant but its columns, register, names, order and verdicts
 */
export function onceAPlant<T>(build: (plant: Plant) => T): (plant: Plant) => T {
  const byPlant = new WeakMap<Plant, T>();
  const byVerdicts = new WeakMap<Plant['judged'], Kept<T>>();
  return (plant) => {
    const known = byPlant.get(plant);
    if (known !== undefined) return known;
    const { tool, joint, operator, inForce } = plant.readings;
    const columns = [tool, joint, operator, inForce];
    const kept = byVerdicts.get(plant.judged);
    const value =
      kept?.columns.every((column, k) => sameValues(column, columns[k])) === true ? kept.value : build(plant);
    byPlant.set(plant, value);
    byVerdicts.set(plant.judged, { columns, value });
    return value;
  };
}

function sameValues(a: Int32Array | Uint8Array, b: Int32Array | Uint8Array | undefined): boolean {
  if (a === b) return true;
  if (b === undefined || a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

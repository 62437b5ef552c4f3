/** Where the readings of a study come from: operators, span of time, files. */
import type { StudySource } from '../contract/models/study-model.ts';
import type { Plant } from '../readings/plant.ts';
import type { Study } from './study.ts';

/** Operators of the readings used, under the labels given, in order of the alphabet. */
export function operatorsOf(plant: Plant, study: Study, labels: readonly string[]): string[] {
  const seen = new Uint8Array(plant.register.operators.length);
  for (const order of study.orderOf) {
    const operator = plant.readings.operator[study.readings.positions[order]!]!;
    if (operator >= 0) seen[operator] = 1;
  }
  return labels.filter((_, operator) => seen[operator] === 1).sort();
}

/** First and last time of the readings used; null where none has a time. */
export function spanOf(plant: Plant, study: Study): { from: number | null; to: number | null } {
  let from = Number.POSITIVE_INFINITY;
  let to = Number.NEGATIVE_INFINITY;
  for (const order of study.orderOf) {
    const at = plant.readings.at[study.readings.positions[order]!]!;
    if (at < from) from = at;
    if (at > to) to = at;
  }
  return Number.isFinite(from) ? { from, to } : { from: null, to: null };
}

/** Files the readings used come from, with the count of each. */
export function sourcesOf(plant: Plant, study: Study): StudySource[] {
  const counts = new Map<number, number>();
  for (const order of study.orderOf) {
    const source = plant.readings.source[study.readings.positions[order]!]!;
    counts.set(source, (counts.get(source) ?? 0) + 1);
  }
  return plant.sources
    .filter((source) => counts.has(source.id))
    .map((source) => ({
      id: source.id,
      name: source.name,
      sha256: source.sha256,
      readings: counts.get(source.id) ?? 0,
    }));
}

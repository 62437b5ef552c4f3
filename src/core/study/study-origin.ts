/** Where the readings of a study come from: operators, span of time, files. */
import type { StudySource } from '../contract/models/study-model.ts';
import type { Plant } from '../readings/plant.ts';
import type { Study } from './study.ts';

/** Operators of the readings used, under the labels given, in order of the alphabet. */
export function operatorsOf(study: Study, labels: readonly string[]): string[] {
  return labels.filter((_, operator) => study.origin.operators[operator] === 1).sort();
}

/** First and last time of the readings used; null where none has a time. */
export function spanOf(study: Study): { from: number | null; to: number | null } {
  const { from, to } = study.origin;
  return Number.isFinite(from) ? { from, to } : { from: null, to: null };
}

/** Files the readings used come from, with the count of each. */
export function sourcesOf(plant: Plant, study: Study): StudySource[] {
  const counts = study.origin.countOfSource;
  return plant.sources
    .filter((source) => counts.has(source.id))
    .map((source) => ({
      id: source.id,
      name: source.name,
      sha256: source.sha256,
      readings: counts.get(source.id) ?? 0,
    }));
}

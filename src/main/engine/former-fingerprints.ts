/** The fingerprint of a study under names its joint had before: what tells that only the name differs. */
import { createHash } from 'node:crypto';
import type { SavedStudy, StudyModel } from '#core/contract/models/study-model.ts';
import type { Plant } from '#core/readings/plant.ts';
import { withinDefaults } from '#core/stats/within-sigma.ts';
import type { Steps } from '#core/steps.ts';
import { fingerprintParts } from '#core/study/fingerprint.ts';
import { studyReadings } from '#core/study/study-readings.ts';

/** Names of one joint that are looked at. */
const mostNames = 20;

/**
 * A study with the fingerprints it would have under the names its joint had when studies of the same choices were saved.
 *
 * The text of a fingerprint ends with the choices, so the readings are hashed once for all names.
 *
 * @param plant the one the model was made of, or one with other names of operators only
 */
export function* withFormerFingerprints(
  plant: Plant,
  model: StudyModel,
  saved: readonly SavedStudy[],
): Steps<StudyModel> {
  const { choices, fingerprint } = model;
  const alike = saved.filter(
    (study) =>
      study.savedAs !== undefined &&
      study.fingerprint !== fingerprint &&
      (['joint', 'of', 'attempts', 'within', 'subgroup', 'model'] as const).every(
        (key) => study.choices[key] === choices[key],
      ),
  );
  const names = [...new Set(alike.flatMap((study) => study.savedAs ?? []))].slice(0, mostNames);
  const defaults = withinDefaults(choices.within, choices.subgroup);
  if (fingerprint === null || names.length === 0 || defaults === null) return model;
  const readings = studyReadings(plant, choices);
  if (!readings) return model;
  yield;
  const { positions, used, ownValues: values, decimals, ownLimits: limits } = readings;
  const requirement = model.scopeFacts.requirement;
  const parts = fingerprintParts(plant, { positions, used, values }, decimals, {
    joint: choices.joint,
    of: choices.of,
    attempts: choices.attempts,
    ...defaults,
    model: choices.model,
    limits,
    requirement,
    baseline: choices.baseline,
  });
  const hash = createHash('sha256');
  let end = '';
  for (const part of parts) {
    // The readings are bytes, the choices a text.
    if (typeof part === 'string') end += part;
    else hash.update(part);
    yield;
  }
  const own = `joint=${choices.joint}\n`;
  const under = (name: string): string =>
    hash
      .copy()
      .update(`joint=${name}\n${end.slice(own.length)}`)
      .digest('hex');
  // Whatever else went into the model's own fingerprint cannot be said of another name.
  if (!end.startsWith(own) || under(choices.joint) !== fingerprint) return model;
  return { ...model, formerFingerprints: Object.fromEntries(names.map((name) => [name, under(name)])) };
}

/** The days on which readings are held, for the pictures of a question about dates. */
import type { IntakePreview } from '#core/contract/models/intake-model.ts';
import type { Plant } from '#core/readings/plant.ts';
import { msPerDay } from '#core/time/civil-time.ts';

type Runs = readonly (readonly [number, number])[];

const known = new WeakMap<Plant, Runs>();

/** Runs of days with readings in force: [first day, last day], rising. A Plant is immutable, so they are kept with it. */
export function heldDays(plant: Plant): Runs {
  const before = known.get(plant);
  if (before) return before;
  const { at, inForce, length } = plant.readings;
  const days = new Set<number>();
  let last = Number.NaN;
  for (let i = 0; i < length; i++) {
    const day = Math.floor(at[i]! / msPerDay);
    // Readings come in runs of one day: the set is asked once a run.
    if (day === last || inForce[i] === 0 || Number.isNaN(day)) continue;
    last = day;
    days.add(day);
  }
  const runs: [number, number][] = [];
  for (const day of Float64Array.from(days).sort()) {
    const run = runs[runs.length - 1];
    if (run && run[1] === (day - 1) * msPerDay) run[1] = day * msPerDay;
    else runs.push([day * msPerDay, day * msPerDay]);
  }
  known.set(plant, runs);
  return runs;
}

/** Whether a preview shows a picture of days at all. */
export const showsDays = (preview: IntakePreview): boolean =>
  preview.questions.some((question) => question.choices.some((choice) => choice.picture !== null));

/** The preview with the days held under each picture. */
export function withHeldDays(preview: IntakePreview, runs: Runs): IntakePreview {
  return {
    ...preview,
    questions: preview.questions.map((question) => ({
      ...question,
      choices: question.choices.map((choice) => {
        const { picture } = choice;
        if (picture === null) return choice;
        const held = runs.filter(([first, last]) => last >= picture.from && first <= picture.to);
        return { ...choice, picture: { ...picture, held } };
      }),
    })),
  };
}

/** How every figure of a study came about (design: working). */
import type { Working } from '../contract/models/study-model.ts';
import { chartWorkings } from './chart-workings.ts';
import { description } from './description-workings.ts';
import { modelWorkings } from './fit-workings.ts';
import { indexWorkings } from './index-workings.ts';
import { planWorking } from './plan-working.ts';
import { shareWorkings } from './share-workings.ts';
import type { Study } from './study.ts';
import { toolWorkings } from './tool-workings.ts';
import { withinWorking } from './within-working.ts';

/** Every working of a study, by figure. */
export function studyWorkings(study: Study, unit: string): Record<string, Working> {
  const all: Working[] = [
    ...description(study, unit),
    ...withinWorking(study, unit),
    ...indexWorkings(study),
    ...chartWorkings(study, unit),
    ...modelWorkings(study),
    ...shareWorkings(study),
    ...toolWorkings(study, unit),
    ...planWorking(study),
  ];
  return Object.fromEntries(all.map((working) => [working.figure, working]));
}

/** Readings left out of a study, and what putting them back would change. */
import type { StudyChoices } from '../contract/calls.ts';
import type { LeftOutRow } from '../contract/models/study-model.ts';
import { timeStepsMs } from '../readings/columns.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { type Said, said } from '../text/said.ts';
import { compute, type StudyTools } from './compute-study.ts';
import type { Study } from './study.ts';
import { isOwnExclusion } from './study-sentences.ts';

/** Every reading left out, with reason, person and time. */
export function leftOutRows(plant: Plant, study: Study): LeftOutRow[] {
  const { positions, used, values } = study.readings;
  const rows: LeftOutRow[] = [];
  for (let k = 0; k < positions.length; k++) {
    const i = positions[k]!;
    const left = used[k] === 1 ? undefined : plant.leftOut.get(i);
    if (!left) continue;
    const at = plant.readings.at[i]!;
    rows.push({
      id: readingName(plant.readings, i),
      position: i,
      value: values[k]!,
      at: Number.isNaN(at) ? null : at,
      atStepMs: timeStepsMs[plant.readings.atStep[i]! as 0 | 1 | 2 | 3 | 4] ?? 0,
      reason: left.reason,
      by: left.by,
      decidedMs: left.decidedMs,
      change: left.change,
      byOwnOperator: isOwnExclusion(plant, i),
    });
  }
  return rows;
}

/** "With both put back, Ppk would be 1.32": the judged index over all readings, by the same model. */
export function leftOutEffect(plant: Plant, choices: StudyChoices, study: Study, tools: StudyTools): Said | null {
  const { readings } = study;
  const count = readings.positions.length - study.values.length;
  if (count === 0) return null;
  const index = study.requirement?.index ?? 'Ppk';
  const all = compute(
    plant,
    choices,
    tools,
    {
      ...readings,
      used: new Uint8Array(readings.positions.length).fill(1),
      usedCount: readings.positions.length,
    },
    true,
  );
  const figure = all.indices[index];
  return said('study.left-out-effect', { count, index, value: figure.ok ? figure.value.value : null });
}

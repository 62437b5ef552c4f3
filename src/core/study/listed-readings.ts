/** Every reading of a study by its name: what a report of more than some hundred readings has as an attached file. */
import type { StudyChoices } from '../contract/calls.ts';
import type { StudyMark } from '../contract/models/study-model.ts';
import { operatorLabels } from '../drift/operator-labels.ts';
import { timeStepsMs } from '../readings/columns.ts';
import type { Plant } from '../readings/plant.ts';
import { readingName } from '../readings/plant.ts';
import { computeStudy, type StudyTools } from './compute-study.ts';

export type ListedReading = Pick<
  StudyMark,
  'id' | 'at' | 'atStepMs' | 'tool' | 'operator' | 'value' | 'group' | 'leftOut'
>;

/** In time order, left-out ones included; empty for an unknown joint. As long as the study: not for a screen. */
export function listedReadings(plant: Plant, choices: StudyChoices, tools: StudyTools): ListedReading[] {
  const study = computeStudy(plant, choices, tools);
  if (!study) return [];
  const { register, readings } = plant;
  const { positions, values, used } = study.readings;
  const operators = operatorLabels(register, tools.anonymousOperators === true);
  const { singles } = study.chart;
  const listed: ListedReading[] = [];
  for (let k = 0; k < positions.length; k++) {
    const i = positions[k]!;
    const at = readings.at[i]!;
    const operator = readings.operator[i]!;
    const group = study.groupOf[k]!;
    listed.push({
      id: readingName(readings, i),
      at: Number.isNaN(at) ? null : at,
      atStepMs: timeStepsMs[readings.atStep[i]! as 0 | 1 | 2 | 3 | 4] ?? 0,
      tool: register.tools[readings.tool[i]!]?.serial ?? null,
      operator: operator < 0 ? null : (operators[operator] ?? null),
      value: values[k]!,
      group: singles ? (used[k] === 1 ? k : null) : group < 0 ? null : group,
      leftOut: used[k] !== 1,
    });
  }
  return listed;
}

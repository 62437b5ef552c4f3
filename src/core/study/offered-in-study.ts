/** What a study may be made of: joints and tools with readings in the scope. */
import type { StudyChoices } from '../contract/calls.ts';
import type { StudyModel } from '../contract/models/study-model.ts';
import type { Plant } from '../readings/plant.ts';
import { selectReadings } from '../readings/select-readings.ts';

/** Joints offered at most. */
const jointsMost = 200;

/** Joints with readings in the scope, most first. */
export function jointsOffered(plant: Plant, choices: StudyChoices): StudyModel['joints'] {
  const counts = new Int32Array(plant.register.joints.length);
  for (const i of selectReadings(plant, { ...choices.scope, joints: [] })) {
    const joint = plant.readings.joint[i]!;
    if (joint >= 0) counts[joint]!++;
  }
  return plant.register.joints
    .map((joint, j) => ({ name: joint.name, readings: counts[j]!, class: joint.class }))
    .filter((joint) => joint.readings > 0)
    .sort((a, b) => b.readings - a.readings || (a.name < b.name ? -1 : 1))
    .slice(0, jointsMost);
}

/** Tools with readings of the joint in the scope, most first. */
export function toolsOffered(plant: Plant, choices: StudyChoices): StudyModel['toolsOffered'] {
  const counts = new Int32Array(plant.register.tools.length);
  for (const i of selectReadings(plant, { ...choices.scope, tools: [], joints: [choices.joint] })) {
    const tool = plant.readings.tool[i]!;
    if (tool >= 0) counts[tool]!++;
  }
  return plant.register.tools
    .map((tool, t) => ({ serial: tool.serial, readings: counts[t]! }))
    .filter((tool) => tool.readings > 0)
    .sort((a, b) => b.readings - a.readings || (a.serial < b.serial ? -1 : 1))
    .slice(0, jointsMost);
}

import { unjudgedCodes } from '../judging/judged.ts';
import type { Plant } from '../readings/plant.ts';
import { operatorLabel, present, unitOf } from '../readings/reading-row.ts';
import { dateOnly } from '../readings/shift-occurrence.ts';
import { type Said, said } from '../text/said.ts';
import { fastenerChains } from './chains.ts';

/**
 * A reading in one line of text: time, joint, tool, operator, values, and the next try at the same fastener.
 *
 * @param shared how many readings stand at the place this line is shown for
 */
export function readingLine(plant: Plant, i: number, shared = 1): Said {
  const { readings, register, judged } = plant;
  const chains = fastenerChains(plant);
  const next = chains.next[i]!;
  const number = readings.batchPosition[i]!;
  return said('review.reading-line', {
    at: present(readings.at[i]!),
    dateOnly: readings.atStep[i] === dateOnly,
    joint: register.joints[readings.joint[i]!]?.name ?? null,
    number: number >= 0 ? number : null,
    tool: register.tools[readings.tool[i]!]?.serial ?? null,
    operator: operatorLabel(plant, readings.operator[i]!),
    torque: present(readings.torque[i]!),
    decimals: readings.decimals[i]!,
    unit: unitOf(plant, i),
    angle: present(readings.angle[i]!),
    unjudged: unjudgedCodes[judged.unjudgedBecause[i]!] ?? null,
    next:
      next < 0
        ? null
        : {
            attempt: chains.attempt[next]!,
            loosened: chains.loosened[next] === 1,
            torque: present(readings.torque[next]!),
            decimals: readings.decimals[next]!,
            unit: unitOf(plant, next),
            angle: present(readings.angle[next]!),
          },
    shared,
  });
}

/** What the register knows of the tools whose readings a study uses. */
import type { ToolInStudy } from '../contract/models/study-model.ts';
import { checkResults } from '../drift/check-results.ts';
import { calibrationDue, lastCalibration } from '../drift/due-dates.ts';
import type { Plant } from '../readings/plant.ts';
import type { Study } from './study.ts';

const known = new WeakMap<Study, ToolInStudy[]>();

/** Tools by readings in the study, most first. Overdue is judged at the tool's last reading in the study, not today. */
export function toolsInStudy(plant: Plant, study: Study): ToolInStudy[] {
  let found = known.get(study);
  if (!found) {
    found = describeTools(plant, study);
    known.set(study, found);
  }
  return found;
}

function describeTools(plant: Plant, study: Study): ToolInStudy[] {
  const { readings, register } = plant;
  const count = new Map<number, number>();
  const last = new Map<number, number>();
  for (const order of study.orderOf) {
    const i = study.readings.positions[order]!;
    const tool = readings.tool[i]!;
    count.set(tool, (count.get(tool) ?? 0) + 1);
    const at = readings.at[i]!;
    if (!Number.isNaN(at)) last.set(tool, Math.max(last.get(tool) ?? at, at));
  }
  return study.measurement.tools.flatMap((position): ToolInStudy[] => {
    const tool = register.tools[position];
    if (!tool) return [];
    const lastAt = last.get(position) ?? null;
    const rows = checkResults(register.checks, position, tool);
    const latest = rows[rows.length - 1];
    const calibratedOn = lastAt === null ? tool.calibratedOn : lastCalibration(tool, lastAt);
    const due =
      lastAt === null ? null : calibrationDue(tool, calibratedOn, timesSince(plant, position, calibratedOn), lastAt);
    return [
      {
        serial: tool.serial,
        n: count.get(position) ?? 0,
        permissiblePercent: tool.permissibleDeviationPercent,
        latestCheck: latest
          ? { at: latest.at, deviationPercent: latest.deviationPercent, passed: latest.passed }
          : null,
        calibratedOn,
        calibrationDue: due?.on ?? null,
        overdue: due?.overdue ?? false,
        status: tool.status,
      },
    ];
  });
}

/** Times of the tool's readings after its calibration, rising: they count as cycles. */
function timesSince(plant: Plant, tool: number, calibratedOn: number | null): number[] {
  if (calibratedOn === null) return [];
  const times: number[] = [];
  for (const i of plant.order) {
    if (plant.readings.tool[i] !== tool || plant.readings.inForce[i] !== 1) continue;
    const at = plant.readings.at[i]!;
    if (at > calibratedOn) times.push(at);
  }
  return times;
}

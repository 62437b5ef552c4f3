/** What the register knows of the tools whose readings a study uses. */
import type { ToolInStudy } from '../contract/models/study-model.ts';
import { checkResults } from '../drift/check-results.ts';
import { calibrationDue, cycleInterval, lastCalibration } from '../drift/due-dates.ts';
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
  const { register } = plant;
  const { countOfTool, lastOfTool } = study.origin;
  const lastTimeOf = (position: number): number | null => {
    const last = lastOfTool[position + 1]!;
    return Number.isFinite(last) ? last : null;
  };
  const calibrations = new Map<number, number>();
  for (const position of study.measurement.tools) {
    const tool = register.tools[position];
    const lastAt = lastTimeOf(position);
    const calibratedOn = tool && lastAt !== null ? lastCalibration(tool, lastAt) : null;
    if (calibratedOn !== null) calibrations.set(position, calibratedOn);
  }
  const times = timesSince(plant, calibrations);
  return study.measurement.tools.flatMap((position): ToolInStudy[] => {
    const tool = register.tools[position];
    if (!tool) return [];
    const lastAt = lastTimeOf(position);
    const rows = checkResults(register.checks, position, tool);
    const latest = rows[rows.length - 1];
    const calibratedOn = lastAt === null ? tool.calibratedOn : (calibrations.get(position) ?? null);
    const due = lastAt === null ? null : calibrationDue(tool, calibratedOn, times[position] ?? [], lastAt);
    return [
      {
        serial: tool.serial,
        n: countOfTool[position + 1]!,
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

/**
 * Times of the tools' readings after their calibrations, rising, as far as they count as cycles: by position, one pass
 * over the plant for all tools.
 */
function timesSince(plant: Plant, calibrations: ReadonlyMap<number, number>): (readonly number[])[] {
  const { tools } = plant.register;
  const { tool: toolOf, at: atOf, inForce } = plant.readings;
  const since = new Float64Array(tools.length).fill(Number.POSITIVE_INFINITY);
  const times: number[][] = tools.map(() => []);
  const most = new Float64Array(tools.length);
  let open = 0;
  for (const [position, calibratedOn] of calibrations) {
    most[position] = cycleInterval(tools[position]!) ?? 0;
    if (most[position]! === 0) continue;
    since[position] = calibratedOn;
    open++;
  }
  for (let k = 0; k < plant.order.length && open > 0; k++) {
    const i = plant.order[k]!;
    const tool = toolOf[i]!;
    const at = atOf[i]!;
    // No tool, or none that counts cycles: the comparison is false.
    if (!(at > since[tool]!) || inForce[i] !== 1) continue;
    const list = times[tool]!;
    if (list.push(at) < most[tool]!) continue;
    since[tool] = Number.POSITIVE_INFINITY;
    open--;
  }
  return times;
}

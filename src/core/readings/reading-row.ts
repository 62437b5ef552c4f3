import type { ReadingRow } from '../contract/models/shared.ts';
import { failReasons, unjudgedCodes, verdictFail, verdictPass } from '../judging/judged.ts';
import { chainByNames, fastenerChains } from '../review/chains.ts';
import { type TorqueUnit, torqueUnitCodes } from '../units/torque-unit.ts';
import { timeStepsMs } from './columns.ts';
import { type Plant, readingName } from './plant.ts';

/** A reading as a row of a list. */
export function readingRow(plant: Plant, position: number): ReadingRow {
  const { readings, register, judged } = plant;
  const operator = register.operators[readings.operator[position]!];
  const notes = plant.notes.get(position);
  const attempt = fastenerChains(plant).attempt[position]!;
  const source = sourceOf(plant, position);
  return {
    id: readingName(readings, position),
    position,
    at: present(readings.at[position]!),
    atStepMs: timeStepsMs[readings.atStep[position] as 0 | 1 | 2 | 3 | 4] ?? 0,
    joint: register.joints[readings.joint[position]!]?.name ?? null,
    tool: register.tools[readings.tool[position]!]?.serial ?? null,
    operator: operator?.badge ?? null,
    operatorName: operator?.name ?? null,
    torque: present(readings.torque[position]!),
    torqueDecimals: readings.decimals[position]!,
    unit: unitOf(plant, position),
    angleDeg: present(readings.angle[position]!),
    torquePlace: present(judged.torquePlace[position]!),
    anglePlace: present(judged.anglePlace[position]!),
    verdict: verdictName(judged.verdict[position]!),
    reasons: failReasons(judged.reasons[position]!),
    unjudgedBecause: unjudgedCodes[judged.unjudgedBecause[position]!] ?? null,
    ownResult: ownName(readings.own[position]!),
    attempt: attempt > 0 ? attempt : null,
    fastener: fastenerName(plant, position),
    sourceName: source,
    line: readings.line[position]!,
    leftOut: plant.leftOut.get(position)?.reason ?? null,
    note: notes?.at(-1)?.text ?? null,
  };
}

/** The fastener id as written, or `<batch>/<position>`; null: the reading names none. */
export function fastenerName(plant: Plant, position: number): string | null {
  const { readings, names } = plant;
  const fastener = names.fasteners[readings.fastener[position]!];
  if (fastener !== undefined) return fastener;
  const batch = names.batches[readings.batch[position]!];
  return batch !== undefined && readings.batchPosition[position]! >= 0
    ? `${batch}/${readings.batchPosition[position]}`
    : null;
}

/** How the fastener of a reading is known: by identity, by time only, or null (a lone reading, or in no chain). */
export function chainByName(plant: Plant, position: number): 'identity' | 'time' | null {
  return chainByNames[fastenerChains(plant).chainBy[position] as 0 | 1 | 2] ?? null;
}

export function unitOf(plant: Plant, position: number): TorqueUnit {
  return torqueUnitCodes[plant.readings.unit[position]!] ?? 'N.m';
}

/** Unit in which `judged.torque` of a reading stands: that of the limits, of the recorded torque where there are none. */
export function judgedUnitOf(plant: Plant, position: number): TorqueUnit {
  const joint = plant.register.joints[plant.readings.joint[position]!];
  return joint?.revisions[plant.judged.revision[position]!]?.unit ?? unitOf(plant, position);
}

export function verdictName(code: number): 'pass' | 'fail' | 'unjudged' {
  return code === verdictPass ? 'pass' : code === verdictFail ? 'fail' : 'unjudged';
}

export function ownName(code: number): 'good' | 'bad' | null {
  return code === 1 ? 'good' : code === 2 ? 'bad' : null;
}

/** Whether the tool's own verdict and ours are both there and contradict each other. */
export function ownDiffers(plant: Plant, position: number): boolean {
  const own = plant.readings.own[position]!;
  const verdict = plant.judged.verdict[position]!;
  return (own === 1 && verdict === verdictFail) || (own === 2 && verdict === verdictPass);
}

/** "R. Banerjee (139)", the badge alone where no name is known; null: nobody named. */
export function operatorLabel(plant: Plant, operator: number): string | null {
  const entry = plant.register.operators[operator];
  if (!entry) return null;
  return entry.name === null || entry.name === '' ? entry.badge : `${entry.name} (${entry.badge})`;
}

const sourceNames = new WeakMap<Plant, Map<number, string>>();

/** Name of the file that first showed a reading. */
export function sourceOf(plant: Plant, position: number): string {
  let names = sourceNames.get(plant);
  if (!names) {
    names = new Map(plant.sources.map((source) => [source.id, source.name]));
    sourceNames.set(plant, names);
  }
  return names.get(plant.readings.source[position]!) ?? '';
}

/** Null in place of NaN. */
export function present(value: number): number | null {
  return Number.isNaN(value) ? null : value;
}

import type { Request } from '../contract/calls.ts';
import { failReasons, unjudgedCodes } from '../judging/judged.ts';
import { fastenerChains } from '../review/chains.ts';
import { civilText } from '../time/civil-time.ts';
import { convertTorque } from '../units/torque-unit.ts';
import { timeStepsMs } from './columns.ts';
import { type Plant, readingName } from './plant.ts';
import { chainByName, fastenerName, ownName, present, sourceOf, unitOf, verdictName } from './reading-row.ts';
import { selectReadings } from './select-readings.ts';

/** One reading in the `readings` document of the command line. */
export interface AnswerReading {
  readonly id: string;
  readonly line: number;
  readonly source: number;
  readonly sourceName: string;
  readonly at: string | null;
  readonly tool: string | null;
  readonly operator: string | null;
  readonly joint: string | null;
  /** N·m, signed as recorded. */
  readonly torque: number | null;
  readonly torqueAsRecorded: number | null;
  readonly unit: string;
  readonly angle: number | null;
  readonly sequence: number | null;
  readonly verdict: 'pass' | 'fail' | 'unjudged';
  readonly reasons: readonly string[];
  readonly unjudgedBecause: string | null;
  readonly ownResult: 'good' | 'bad' | null;
  readonly attempt: number | null;
  readonly chainBy: 'identity' | 'time' | null;
  readonly fastener: string | null;
  readonly excluded: string | null;
}

/** Answers `readings` of the command line: readings in force and in scope, judged, in time order; a page of them. */
export function readingsAnswer(
  plant: Plant,
  request: Pick<Request<'readings:answer'>, 'scope' | 'offset' | 'limit'>,
): { readonly readings: readonly AnswerReading[]; readonly total: number } {
  const selection = selectReadings(plant, request.scope);
  const page = selection.subarray(request.offset, request.offset + request.limit);
  return { readings: Array.from(page, (i) => answerReading(plant, i)), total: selection.length };
}

function answerReading(plant: Plant, i: number): AnswerReading {
  const { readings, register, judged } = plant;
  const torque = present(readings.torque[i]!);
  const unit = unitOf(plant, i);
  const attempt = fastenerChains(plant).attempt[i]!;
  return {
    id: readingName(readings, i),
    line: readings.line[i]!,
    source: readings.source[i]!,
    sourceName: sourceOf(plant, i),
    at: timeText(plant, i),
    tool: register.tools[readings.tool[i]!]?.serial ?? null,
    operator: register.operators[readings.operator[i]!]?.badge ?? null,
    joint: register.joints[readings.joint[i]!]?.name ?? null,
    torque: torque === null ? null : convertTorque(torque, unit, 'N.m'),
    torqueAsRecorded: torque,
    unit,
    angle: present(readings.angle[i]!),
    sequence: present(readings.sequence[i]!),
    verdict: verdictName(judged.verdict[i]!),
    reasons: failReasons(judged.reasons[i]!),
    unjudgedBecause: unjudgedCodes[judged.unjudgedBecause[i]!] ?? null,
    ownResult: ownName(readings.own[i]!),
    attempt: attempt > 0 ? attempt : null,
    chainBy: chainByName(plant, i),
    fastener: fastenerName(plant, i),
    excluded: plant.leftOut.get(i)?.reason ?? null,
  };
}

/** Time of a reading, as long as it is known; null: none. */
export function timeText(plant: Plant, i: number): string | null {
  const at = plant.readings.at[i]!;
  return Number.isNaN(at) ? null : civilText(at, timeStepsMs[plant.readings.atStep[i] as 0 | 1 | 2 | 3 | 4]);
}

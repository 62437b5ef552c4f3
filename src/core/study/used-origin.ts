/** Where the readings used in a study come from, counted in one pass. */
import type { Plant } from '../readings/plant.ts';
import type { StudyReadings } from './study-readings.ts';

export interface UsedOrigin {
  /** Positions in the columns of the readings used, in their order. */
  readonly positions: Uint32Array;
  /** Positions in the register of the tools, in order of appearance. */
  readonly tools: readonly number[];
  /** Readings and last time (-Infinity: none has one) of each tool, by position + 1. */
  readonly countOfTool: Int32Array;
  readonly lastOfTool: Float64Array;
  /** 1 for an operator with readings, by position in the register. */
  readonly operators: Uint8Array;
  /** Readings by id of the file that first showed them. */
  readonly countOfSource: ReadonlyMap<number, number>;
  /** First and last time; infinite where none has one. */
  readonly from: number;
  readonly to: number;
  readonly withoutTime: number;
}

/**
 * Counts the readings used by tool, operator and file. O(n).
 *
 * @param orderOf place in the sequence of each reading used
 */
export function usedOrigin(plant: Plant, readings: StudyReadings, orderOf: Int32Array): UsedOrigin {
  const { register } = plant;
  const { tool: toolOf, operator: operatorOf, source: sourceOf, at: atOf } = plant.readings;
  const n = orderOf.length;
  const all = n === readings.positions.length;
  const positions = all ? readings.positions : new Uint32Array(n);
  if (!all) for (let k = 0; k < n; k++) positions[k] = readings.positions[orderOf[k]!]!;
  const countOfTool = new Int32Array(register.tools.length + 1);
  const lastOfTool = new Float64Array(register.tools.length + 1).fill(Number.NEGATIVE_INFINITY);
  const operators = new Uint8Array(register.operators.length + 1);
  const tools: number[] = [];
  const countOfSource = new Map<number, number>();
  let from = Number.POSITIVE_INFINITY;
  let to = Number.NEGATIVE_INFINITY;
  let withoutTime = 0;
  // Files come in runs: the map is asked when another begins.
  let source = Number.NaN;
  let ofSource = 0;
  for (let k = 0; k < n; k++) {
    const i = positions[k]!;
    const tool = toolOf[i]! + 1;
    if (countOfTool[tool]!++ === 0) tools.push(tool - 1);
    operators[operatorOf[i]! + 1] = 1;
    if (sourceOf[i] !== source) {
      if (ofSource > 0) countOfSource.set(source, (countOfSource.get(source) ?? 0) + ofSource);
      source = sourceOf[i]!;
      ofSource = 0;
    }
    ofSource++;
    const at = atOf[i]!;
    if (at > lastOfTool[tool]!) lastOfTool[tool] = at;
    if (at < from) from = at;
    if (at > to) to = at;
    if (Number.isNaN(at)) withoutTime++;
  }
  if (ofSource > 0) countOfSource.set(source, (countOfSource.get(source) ?? 0) + ofSource);
  return {
    positions,
    tools,
    countOfTool,
    lastOfTool,
    operators: operators.subarray(1),
    countOfSource,
    from,
    to,
    withoutTime,
  };
}

/** Whether the other tools at the same joints moved too. */
import type { DriftAnalysis } from './analysis.ts';
import { leastDegreesOfFreedom } from './cell-model.ts';
import { type Evidence, othersMoved } from './finding.ts';
import type { LevelLane } from './lane.ts';

/** Other tools at the joints this tool serves, since its response moved. */
export function otherTools(
  analysis: DriftAnalysis,
  tool: number,
  response: LevelLane | null,
): { others: Evidence['others']; levels: number[] } {
  const { responseRows, response: lane, table } = analysis;
  const level = responseRows.levelOfTool.get(tool);
  if (level === undefined || !response) return { others: 'none', levels: [] };
  const { rows } = responseRows;
  const joints = responseRows.jointsOf[level]!;
  const levels = new Set<number>();
  for (const joint of joints) for (const other of responseRows.toolsAt[joint]!) if (other !== level) levels.add(other);
  const list = [...levels].sort((a, b) => a - b);
  const move = response.change?.move;
  if (list.length === 0) return { others: 'none', levels: list };
  if (response.moved !== true || !response.change || !move) return { others: 'still', levels: list };
  const from = response.blocks[response.change.at]!;
  const blockOf = lane.input.block;
  const doubt = lane.input.doubt?.(level, from, list) ?? 0;
  const found = lane.moveOfRows(
    (i) => rows.tool[i] !== level && joints.has(rows.joint[i]!) && blockOf[i]! >= from,
    (i) => rows.tool[i] === level && blockOf[i]! >= from && table.block[responseRows.cell[i]!]! >= from,
    doubt,
  );
  if (!found || found.degreesOfFreedom < leastDegreesOfFreedom) return { others: 'none', levels: list };
  return { others: othersMoved(found, move) ? 'moved' : 'still', levels: list };
}

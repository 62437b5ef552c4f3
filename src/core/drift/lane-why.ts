/** Why a lane of a tool says nothing, or says less than it could. */
import type { LaneQuantity } from '../contract/models/drift-model.ts';
import type { Plant } from '../readings/plant.ts';
import { type Said, said } from '../text/said.ts';
import type { DriftAnalysis } from './analysis.ts';
import { type LevelLane, leastForChange, leastForTrend } from './lane.ts';

function fewBlocks(lane: LevelLane | null, since: number | null): Said | null {
  const blocks = lane?.blocks.length ?? 0;
  if (blocks >= leastForChange) return null;
  return blocks < leastForTrend
    ? said('drift.why.few-for-trend', { blocks, since })
    : said('drift.why.few-for-change', { blocks, since });
}

/** Why the lane of the own readings is unknown or limited; null: nothing to explain. */
export function ownWhy(
  lane: LevelLane | null,
  quantity: LaneQuantity,
  since: number | null,
  togetherWith: readonly string[],
  leftOut: readonly string[],
): Said | null {
  if (!lane) return said('drift.why.no-cells', {});
  if (lane.unknown === 'tangled') return said('drift.why.tangled', { with: togetherWith });
  const few = fewBlocks(lane, since);
  if (few) return few;
  if (leftOut.length > 0) return said('drift.why.other-kind', { joints: leftOut, byAngle: quantity !== 'angle' });
  return quantity === 'angle' ? said('drift.why.roles-swapped', {}) : null;
}

/** Why the response lane is unknown, blind or limited; null: nothing to explain. */
export function responseWhy(
  plant: Plant,
  analysis: DriftAnalysis,
  tool: number,
  lane: LevelLane | null,
  quantity: LaneQuantity,
  since: number | null,
  togetherWith: readonly string[],
  blind: boolean,
  smallest: number | null,
  expected: number | null,
): Said | null {
  const { table } = analysis;
  let pairs = 0;
  const flat = new Set<number>();
  const without = new Set<number>();
  for (const c of analysis.cellsOf.of(tool)) {
    if (table.pairs[c] === 0) continue;
    pairs += table.pairs[c]!;
    const line = analysis.lines[table.joint[c]!];
    if (!line) without.add(table.joint[c]!);
    else if (!line.used) flat.add(table.joint[c]!);
  }
  const names = (joints: Iterable<number>): string[] => [...joints].map((k) => plant.register.joints[k]!.name);
  if (pairs === 0) {
    return quantity === 'torque-at-equal-angle'
      ? said('drift.why.no-response-angle-stop', {})
      : said('drift.why.no-response', {});
  }
  if (!lane) return said('drift.why.few-pairs', {});
  if (lane.unknown === 'tangled') return said('drift.why.tangled', { with: togetherWith });
  const few = fewBlocks(lane, since);
  if (few) return few;
  if (blind && smallest !== null && expected !== null) {
    return said('drift.why.blind', { visible: smallest, expected });
  }
  if (flat.size > 0) return said('drift.why.flat', { joints: names(flat) });
  if (without.size > 0) return said('drift.why.joints-without-baseline', { joints: names(without) });
  return quantity === 'torque-at-equal-angle' ? said('drift.why.roles-swapped', {}) : null;
}

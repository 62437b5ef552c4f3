/** A lane of a tool as the screen shows it: series, change, trend and alarms. */
import type { BlockSeries, ChangePoint, Lane, LaneQuantity, Move } from '../contract/models/drift-model.ts';
import type { Said } from '../text/said.ts';
import type { DriftAnalysis } from './analysis.ts';
import { leastDegreesOfFreedom } from './cell-model.ts';
import type { LaneResult, LevelLane } from './lane.ts';

/** Newest blocks kept in a series: what a small multiple can show. */
const blocksInRow = 400;

/** A lane for the screen. */
export function laneModel(
  analysis: DriftAnalysis,
  result: LaneResult,
  lane: LevelLane | null,
  quantity: LaneQuantity,
  sinceBlock: number | null,
  extra: {
    smallest: number | null;
    why: Said | null;
    expected: number | null;
    blind: boolean;
    fromCheck: number | null;
    trends: boolean;
  },
): Lane {
  const { blockAt } = analysis.table;
  // In the response lane an alarm counts only together with a move (definitions 16).
  const counts = result !== analysis.response || lane?.moved === true;
  const timeOf = (position: number): number => blockAt[lane!.blocks[position]!]!;
  const trend = lane && extra.trends ? result.trends()[lane.level] : undefined;
  let change: ChangePoint | null = null;
  if (lane?.moved === true && lane.change?.move) {
    const { move } = lane.change;
    change = {
      at: timeOf(lane.change.at),
      low95: timeOf(lane.change.low),
      high95: timeOf(lane.change.high),
      shape: lane.change.shape,
      shiftPercent: move.estimate,
      shiftLow95: move.low95,
      shiftHigh95: move.high95,
    };
  }
  let since: Move | null = null;
  if (lane && sinceBlock !== null) {
    const ownChange = lane.moved === true ? lane.change : null;
    const move =
      ownChange && lane.blocks[ownChange.at] === sinceBlock ? ownChange.move : result.moveFrom(lane.level, sinceBlock);
    if (move && move.degreesOfFreedom >= leastDegreesOfFreedom) {
      since = { at: blockAt[sinceBlock]!, percent: move.estimate, low95: move.low95, high95: move.high95 };
    }
  }
  return {
    quantity,
    moved: lane?.moved ?? null,
    why: extra.why,
    blocks: lane?.blocks.length ?? 0,
    series: seriesModel(lane, blockAt),
    changePoint: change,
    since,
    smallestVisible: extra.smallest,
    expectedAtPermitted: extra.expected,
    blind: extra.blind,
    fromCheck: extra.fromCheck,
    slopePercentPer1000: trend?.trend
      ? { percent: trend.trend.slope, low95: trend.trend.low95, high95: trend.trend.high95 }
      : null,
    mannKendallP: trend?.mannKendallP ?? null,
    adjustedP: trend?.adjustedP ?? null,
    changeAdjustedP: lane?.changeAdjustedP ?? null,
    alarmAt: counts && lane?.alarm !== null && lane?.alarm !== undefined ? timeOf(lane.alarm) : null,
    cusumAlarmAt:
      counts && lane?.cusumAlarm !== null && lane?.cusumAlarm !== undefined ? timeOf(lane.cusumAlarm) : null,
  };
}

/** The newest blocks of a lane, with chart values where there are any. */
export function seriesModel(lane: LevelLane | null, blockAt: Float64Array): BlockSeries {
  if (!lane) {
    return {
      at: [],
      percent: [],
      readings: [],
      ewma: [],
      ewmaLow: [],
      ewmaHigh: [],
      baseline: null,
      baselineFrom: null,
      baselineTo: null,
      sigma: null,
    };
  }
  const m = lane.blocks.length;
  const from = Math.max(0, m - blocksInRow);
  const chartFrom = lane.baselineTo === null ? m : lane.baselineTo + 1;
  const at: number[] = [];
  const ewma: (number | null)[] = [];
  const ewmaLow: (number | null)[] = [];
  const ewmaHigh: (number | null)[] = [];
  const base = lane.baseline ?? 0;
  for (let k = from; k < m; k++) {
    at.push(blockAt[lane.blocks[k]!]!);
    const charted = k >= chartFrom && lane.baseline !== null;
    ewma.push(charted ? lane.ewma[k - chartFrom]! : null);
    ewmaLow.push(charted ? base - lane.limit[k - chartFrom]! : null);
    ewmaHigh.push(charted ? base + lane.limit[k - chartFrom]! : null);
  }
  const shifted = (position: number | null): number | null =>
    position === null || position < from ? null : position - from;
  return {
    at,
    percent: [...lane.percent.subarray(from)],
    readings: [...lane.readings.subarray(from)],
    ewma,
    ewmaLow,
    ewmaHigh,
    baseline: lane.baseline,
    baselineFrom: shifted(lane.baselineFrom),
    baselineTo: shifted(lane.baselineTo),
    sigma: lane.sigma,
  };
}

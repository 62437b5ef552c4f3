/** The row of one tool: its three lanes, what they let be said, what is due and which readings are in doubt. */
import type {
  AffectedReadings,
  BlockSeries,
  ChangePoint,
  CheckRow,
  ChecksLane,
  DriftToolRow,
  FindingKind,
  Lane,
  LaneQuantity,
  Move,
  WatchHit,
} from '../contract/models/drift-model.ts';
import type { Plant } from '../readings/plant.ts';
import type { Overdue } from '../text/en/drift.ts';
import { type Said, said } from '../text/said.ts';
import { startOfDay } from '../time/civil-time.ts';
import { affectedReadings, doubtSpan, inQuestionReadings } from './affected.ts';
import type { DriftAnalysis, DriftOptions, LaneRows } from './analysis.ts';
import { leastDegreesOfFreedom } from './cell-model.ts';
import { checkForecast } from './check-forecast.ts';
import { checkResults, nominalKey, standingChecks } from './check-results.ts';
import { readingsByTool } from './drift-readings.ts';
import { calibrationDue, checkDue, lastCalibration } from './due-dates.ts';
import { checkFits, type Evidence, findingKind, othersMoved, type RankFacts, urgencyName } from './finding.ts';
import {
  type LaneResult,
  type LevelLane,
  leastForChange,
  leastForTrend,
  type MoveEstimate,
  smallestVisible,
} from './lane.ts';

/** Newest checks kept in a row, newest blocks kept in a series: what a small multiple can show. */
const checksInRow = 12;
const blocksInRow = 400;

export interface ToolFacts {
  readonly tool: number;
  readonly own: LevelLane | null;
  readonly response: LevelLane | null;
  readonly rank: RankFacts;
  readonly checks: readonly CheckRow[];
  readonly othersLevels: readonly number[];
  readonly others: Evidence['others'];
  /** Block from which moves are counted; null: none. */
  readonly sinceBlock: number | null;
  readonly row: Omit<DriftToolRow, 'rank'>;
  readonly affectedPositions: readonly number[];
  readonly inQuestionPositions: readonly number[];
}

/**
 * So many tools of a list, the most urgent ones, carry the intervals of their still lanes and the smallest shifts that
 * these could have shown; of the others the detail has them.
 */
export const completeUpTo = 40;

/**
 * Puts one tool together.
 *
 * @param complete false: leave out the intervals of still lanes and the smallest shifts visible, except where the finding
 *   hangs on them; each costs a pass over all cells. Rank and finding are the same
 */
export function toolFacts(
  plant: Plant,
  analysis: DriftAnalysis,
  tool: number,
  now: number,
  options: DriftOptions,
  labels: readonly string[],
  complete = true,
  trends = complete,
): ToolFacts {
  const entry = plant.register.tools[tool]!;
  const own = levelOf(analysis.own, analysis.ownRows, tool);
  const response = levelOf(analysis.response, analysis.responseRows, tool);
  const permissible = entry.permissibleDeviationPercent;
  const calibrations = [
    ...(entry.calibratedOn === null ? [] : [entry.calibratedOn]),
    ...entry.events.filter((event) => event.kind === 'calibration').map((event) => event.at),
  ];

  // Checks.
  const checks = checkResults(plant.register.checks, tool, entry).filter((row) => row.at <= now);
  const adjusted = [...calibrations, ...entry.events.map((event) => event.at)].filter((at) => at <= now);
  const standing = standingChecks(checks, adjusted.length > 0 ? Math.max(...adjusted) : null);
  const failing = standing.filter((row) => row.passed === false);
  const latest = latestCheck(checks, failing);
  const calibratedAt = lastCalibration(entry, now);
  const calibration = calibrationDue(entry, calibratedAt, timesAfter(plant, tool, calibratedAt), now);
  const check = checkDue(entry, checks[checks.length - 1]?.at ?? null, calibratedAt, now);
  const checksLane: ChecksLane = {
    permissiblePercent: permissible,
    latest,
    failing: failing.length > 0,
    recent: checks.slice(-checksInRow),
    forecast: checkForecast(checks, permissible),
    why:
      latest === null
        ? said('drift.why.never-checked', {})
        : permissible === null
          ? said('drift.why.no-permissible', {})
          : latest.pulls === 1
            ? said('drift.why.one-pull', {})
            : null,
  };

  // The date that this tool's row counts from.
  const ownMoved = own?.moved ?? null;
  const responseMoved = response?.moved ?? null;
  const leading = responseMoved === true ? response : ownMoved === true ? own : (response ?? own);
  const sinceBlock = leading ? firstBlockOf(leading) : null;

  // Other tools at the same joints.
  const { others, levels: othersLevels } = otherTools(analysis, tool, response);
  const perPercent = analysis.responsePerPercent(tool);
  const expected = perPercent === null || permissible === null ? null : Math.abs(perPercent) * permissible;
  // Own readings that moved are about people only if the response lane could have shown the permitted error.
  const responseSize = complete || ownMoved === true || responseMoved === true;
  const smallest = response && responseSize ? smallestVisible(analysis.response, response) : null;
  const blind = expected !== null && smallest !== null && smallest > expected;
  const changeAt = response?.change ? analysis.table.blockAt[response.blocks[response.change.at]!]! : null;
  const checkSince = checkAgainstMove(checks, changeAt, perPercent, response?.change?.move ?? null);

  const evidence: Evidence = {
    failingCheck: failing.length > 0,
    ownMoved,
    responseMoved,
    responseSees: !blind && smallest !== null && expected !== null,
    others,
    checkSince: responseMoved === true ? checkSince : 'none',
  };
  const kind = findingKind(evidence);
  const quantity = analysis.quantityOf(tool);
  const phaseSince =
    (analysis.firstBlock[tool] ?? 0) > 0 ? (analysis.table.blockAt[analysis.firstBlock[tool]!] ?? null) : null;
  const togetherWith = together(own, analysis, labels);
  const leftOut = [...analysis.otherKind(tool)].map((joint) => plant.register.joints[joint]!.name);
  const ownSize = complete || ownMoved === true;
  const ownLane = laneModel(analysis, analysis.own, own, quantity.own, ownSize ? sinceBlock : null, {
    smallest: own && ownSize ? smallestVisible(analysis.own, own) : null,
    why: ownWhy(own, quantity.own, phaseSince, togetherWith, leftOut),
    expected: null,
    blind: false,
    fromCheck: null,
    trends,
  });
  const fromCheck = latest === null || perPercent === null ? null : latest.deviationPercent * perPercent;
  const responseLane = laneModel(
    analysis,
    analysis.response,
    response,
    quantity.response,
    responseSize ? sinceBlock : null,
    {
      smallest,
      why: responseWhy(
        plant,
        analysis,
        tool,
        response,
        quantity.response,
        phaseSince,
        togetherWith,
        blind,
        smallest,
        expected,
      ),
      expected,
      blind,
      fromCheck,
      trends,
    },
  );

  // Readings in doubt.
  const affected = affectedReadings(plant, tool, doubtSpan(checks, calibrations, now), 250);
  const inQuestion =
    failing.length === 0 && responseMoved === true && responseLane.changePoint
      ? inQuestionReadings(plant, tool, responseLane.changePoint.at, latest?.deviationPercent ?? null, 250)
      : null;

  const overdue: Overdue = {
    calibration: calibration?.overdue ? calibration.on : null,
    check: check?.overdue ? check.on : null,
  };
  const isOverdue = entry.status !== 'retired' && (overdue.calibration !== null || overdue.check !== null);
  const joints = jointsOf(plant, analysis, tool);
  // Adjusted after a failing check: the tool is right again, its earlier fasteners are not.
  const { until } = affected.readings;
  const adjustedAfter =
    failing.length === 0 && until !== null
      ? (checks.filter((row) => row.passed === false && row.at <= until).at(-1) ?? null)
      : null;
  const facts = {
    failingCheck: evidence.failingCheck || adjustedAfter !== null,
    responseMoved: responseMoved === true,
    overdue: isOverdue,
    ownMoved: ownMoved === true,
  };
  const size = Math.abs(
    facts.failingCheck
      ? (latest?.deviationPercent ?? 0)
      : facts.responseMoved
        ? (responseLane.changePoint?.shiftPercent ?? 0)
        : facts.ownMoved
          ? (ownLane.changePoint?.shiftPercent ?? 0)
          : Math.max(stillSize(analysis.own, own, sinceBlock), stillSize(analysis.response, response, sinceBlock)),
  );
  const words = sentences({
    kind,
    tool: entry.serial,
    joints: joints.map((joint) => joint.name),
    own: ownLane,
    response: responseLane,
    latest,
    failing: failing[failing.length - 1] ?? null,
    adjusted: adjustedAfter && until !== null ? { check: adjustedAfter, at: until, affected: affected.readings } : null,
    permissible,
    perPercent,
    others,
    othersAt: othersLevels.length > 0,
    checkSince,
    affectedSince: affected.readings.since,
    overdue,
    isOverdue,
    togetherWith,
    blocks: Math.max(own?.blocks.length ?? 0, response?.blocks.length ?? 0),
    phaseSince,
    tangled: own?.unknown === 'tangled' || response?.unknown === 'tangled',
  });
  return {
    tool,
    own,
    response,
    rank: { ...facts, size, name: entry.serial },
    checks,
    othersLevels,
    others,
    sinceBlock,
    row: {
      tool: entry.serial,
      readings: sumReadings(analysis, tool),
      blocks: Math.max(own?.blocks.length ?? 0, response?.blocks.length ?? 0),
      urgency: urgencyName(facts, kind !== 'too-little'),
      kind,
      status: entry.status,
      joints: joints.map((joint) => joint.name),
      togetherWith,
      own: ownLane,
      response: responseLane,
      checks: checksLane,
      calibrationDue: calibration,
      checkDue: check,
      line: words.line,
      finding: words.finding,
      affected: affected.readings,
      inQuestion: inQuestion?.readings ?? null,
      watch: watchHits(options.thresholds[entry.serial], ownLane, responseLane, latest),
    },
    affectedPositions: affected.positions,
    inQuestionPositions: inQuestion?.positions ?? [],
  };
}

/** Size of the difference of a still lane since a block, %; 0 where it cannot be had. */
function stillSize(result: LaneResult, lane: LevelLane | null, sinceBlock: number | null): number {
  return lane && sinceBlock !== null ? Math.abs(result.sizeFrom(lane.level, sinceBlock) ?? 0) : 0;
}

function levelOf(lane: LaneResult, rows: LaneRows, tool: number): LevelLane | null {
  const level = rows.levelOfTool.get(tool);
  const found = level === undefined ? undefined : lane.levels[level];
  return found && found.blocks.length > 0 ? found : null;
}

function firstBlockOf(lane: LevelLane): number | null {
  if (lane.moved === true && lane.change) return lane.blocks[lane.change.at] ?? null;
  return lane.blocks.length >= 4 ? (lane.blocks[Math.floor(lane.blocks.length / 2)] ?? null) : null;
}

/** The newest check; of several at once the failing one, else the one farthest from 0. */
function latestCheck(checks: readonly CheckRow[], failing: readonly CheckRow[]): CheckRow | null {
  const newest = failing[failing.length - 1] ?? checks[checks.length - 1];
  if (!newest) return null;
  const day = startOfDay(newest.at);
  const together = checks.filter((row) => startOfDay(row.at) === day && row.kind === newest.kind);
  const pool = failing.length > 0 ? together.filter((row) => row.passed === false) : together;
  return pool.reduce<CheckRow>(
    (worst, row) => (Math.abs(row.deviationPercent) > Math.abs(worst.deviationPercent) ? row : worst),
    pool[0] ?? newest,
  );
}

/** Times of the tool's readings since a calibration, as far as a cycle interval needs them. */
function timesAfter(plant: Plant, tool: number, at: number | null): Float64Array {
  const entry = plant.register.tools[tool]!;
  const byCycles = entry.intervalCycles !== null || entry.intervalMonths === null;
  if (at === null || !byCycles) return new Float64Array(0);
  const { start, position } = readingsByTool(plant);
  const times: number[] = [];
  for (let k = start[tool] ?? 0; k < (start[tool + 1] ?? 0); k++) {
    const time = plant.readings.at[position[k]!]!;
    if (time >= at) times.push(time);
  }
  return Float64Array.from(times);
}

/** Other tools at the joints this tool serves, since its response moved. */
function otherTools(
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

function checkAgainstMove(
  checks: readonly CheckRow[],
  changeAt: number | null,
  perPercent: number | null,
  move: MoveEstimate | null,
): Evidence['checkSince'] {
  if (changeAt === null || !move) return 'none';
  const since = checks.filter((row) => row.at >= changeAt);
  const latest = since[since.length - 1];
  if (!latest || perPercent === null) return 'none';
  const before = checks.filter(
    (row) => row.at < changeAt && nominalKey(row.nominal, row.unit) === nominalKey(latest.nominal, latest.unit),
  );
  const was = before[before.length - 1]?.deviationPercent ?? 0;
  return checkFits((latest.deviationPercent - was) * perPercent, move) ? 'fits' : 'does-not-fit';
}

function together(own: LevelLane | null, analysis: DriftAnalysis, labels: readonly string[]): string[] {
  return (own?.togetherWith ?? []).map((level) => labels[analysis.ownRows.operatorOf[level]!] ?? '');
}

function jointsOf(plant: Plant, analysis: DriftAnalysis, tool: number): { name: string; readings: number }[] {
  const { table } = analysis;
  const sums = new Float64Array(plant.register.joints.length);
  const cells = analysis.cellsOf.of(tool);
  const met = new Set<number>();
  for (let k = 0; k < cells.length; k++) {
    const joint = table.joint[cells[k]!]!;
    if (sums[joint] === 0) met.add(joint);
    sums[joint] = sums[joint]! + table.n[cells[k]!]!;
  }
  return [...met]
    .map((joint) => [joint, sums[joint]!] as const)
    .map(([joint, readings]) => ({ name: plant.register.joints[joint]!.name, readings }))
    .sort((a, b) => b.readings - a.readings || (a.name < b.name ? -1 : 1))
    .slice(0, 8);
}

function sumReadings(analysis: DriftAnalysis, tool: number): number {
  const { table } = analysis;
  let sum = 0;
  for (const c of analysis.cellsOf.of(tool)) sum += table.n[c]!;
  return sum;
}

/** A lane for the screen. */
function laneModel(
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

function fewBlocks(lane: LevelLane | null, since: number | null): Said | null {
  const blocks = lane?.blocks.length ?? 0;
  if (blocks >= leastForChange) return null;
  return blocks < leastForTrend
    ? said('drift.why.few-for-trend', { blocks, since })
    : said('drift.why.few-for-change', { blocks, since });
}

function ownWhy(
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

function responseWhy(
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

function watchHits(
  thresholds: DriftOptions['thresholds'][string] | undefined,
  own: Lane,
  response: Lane,
  latest: CheckRow | null,
): WatchHit[] {
  if (!thresholds) return [];
  const newest = (lane: Lane): number | null => {
    const { ewma, baseline } = lane.series;
    const last = ewma[ewma.length - 1];
    return last === null || last === undefined || baseline === null ? null : last - baseline;
  };
  const hits: WatchHit[] = [];
  const consider = (lane: WatchHit['lane'], threshold: number | null, percent: number | null): void => {
    if (threshold !== null && percent !== null && Math.abs(percent) > threshold) {
      hits.push({ lane, thresholdPercent: threshold, percent });
    }
  };
  consider('own', thresholds.ownPercent, newest(own));
  consider('response', thresholds.responsePercent, newest(response));
  consider('check', thresholds.checkPercent, latest?.deviationPercent ?? null);
  return hits;
}

interface Words {
  readonly kind: FindingKind;
  readonly tool: string;
  readonly joints: readonly string[];
  readonly own: Lane;
  readonly response: Lane;
  readonly latest: CheckRow | null;
  readonly failing: CheckRow | null;
  /** The failing check after which the tool was adjusted, as long as no later check or calibration closed the matter. */
  readonly adjusted: { readonly check: CheckRow; readonly at: number; readonly affected: AffectedReadings } | null;
  readonly permissible: number | null;
  readonly perPercent: number | null;
  readonly others: Evidence['others'];
  readonly othersAt: boolean;
  readonly checkSince: Evidence['checkSince'];
  readonly affectedSince: number | null;
  readonly overdue: Overdue;
  readonly isOverdue: boolean;
  readonly togetherWith: readonly string[];
  readonly blocks: number;
  readonly phaseSince: number | null;
  readonly tangled: boolean;
}

function sentences(w: Words): { line: Said; finding: Said } {
  const joints = w.joints.slice(0, 2);
  const change = w.response.changePoint;
  const ownChange = w.own.changePoint;
  const { quantity } = w.response;
  if (w.kind === 'out-of-tolerance' && w.failing) {
    return {
      line: said('drift.line.out-of-tolerance', { joints, percent: w.failing.deviationPercent }),
      finding: said('drift.finding.out-of-tolerance', {
        tool: w.tool,
        percent: w.failing.deviationPercent,
        permissible: w.permissible ?? 0,
        at: w.failing.at,
        since: w.affectedSince,
      }),
    };
  }
  if (change && w.latest && w.kind === 'reads-wrong') {
    return {
      line: said('drift.line.reads-wrong', {
        joints,
        percent: w.latest.deviationPercent,
        permissible: w.permissible,
      }),
      finding: said('drift.finding.reads-wrong', {
        tool: w.tool,
        percent: w.latest.deviationPercent,
        at: w.latest.at,
        since: change.at,
      }),
    };
  }
  if (change && w.latest && w.kind === 'check-disagrees') {
    return {
      line: said('drift.line.check-disagrees', { joints }),
      finding: said('drift.finding.check-disagrees', {
        tool: w.tool,
        quantity,
        percent: change.shiftPercent,
        since: change.at,
        checkAt: w.latest.at,
        checkPercent: w.latest.deviationPercent,
      }),
    };
  }
  if (change && w.kind === 'may-read-wrong') {
    // The response of a tool that shows too little moves against the sign of perPercent; without it, by the usual sense.
    const sense = w.perPercent ?? (quantity === 'torque-at-equal-angle' ? 1 : -1);
    return {
      line: said('drift.line.may-read-wrong', { joints }),
      finding: said('drift.finding.may-read-wrong', {
        tool: w.tool,
        quantity,
        percent: change.shiftPercent,
        since: change.at,
        low: change.shiftPercent / sense < 0,
        others: w.others === 'still' ? 'still' : 'none',
      }),
    };
  }
  if (change && w.kind === 'joint-not-tool') {
    return {
      line: said('drift.line.joint-not-tool', { joints }),
      finding: said('drift.finding.joint-not-tool', {
        tool: w.tool,
        quantity,
        percent: change.shiftPercent,
        since: change.at,
        joints,
        checked: w.checkSince !== 'none',
      }),
    };
  }
  if (change && ownChange && w.kind === 'more-than-one') {
    return {
      line: said('drift.line.more-than-one', { joints }),
      finding: said('drift.finding.more-than-one', {
        tool: w.tool,
        own: ownChange.shiftPercent,
        response: change.shiftPercent,
        quantity,
        since: Math.min(change.at, ownChange.at),
      }),
    };
  }
  if (change && w.kind === 'more-than-one') {
    return {
      line: said('drift.line.more-than-one', { joints }),
      finding: said('drift.finding.more-than-one', {
        tool: w.tool,
        own: w.own.since?.percent ?? 0,
        response: change.shiftPercent,
        quantity,
        since: change.at,
      }),
    };
  }
  if (ownChange && w.kind === 'people-or-stop') {
    return {
      line: said('drift.line.people-or-stop', { joints, shape: ownChange.shape, at: ownChange.at }),
      finding: said('drift.finding.people-or-stop', {
        tool: w.tool,
        quantity: w.own.quantity,
        percent: ownChange.shiftPercent,
        since: ownChange.at,
        shape: ownChange.shape,
        with: w.togetherWith,
      }),
    };
  }
  if (ownChange && w.kind === 'own-moved-blind') {
    return {
      line: said('drift.line.own-moved-blind', { joints, at: ownChange.at }),
      finding: said('drift.finding.own-moved-blind', {
        tool: w.tool,
        quantity: w.own.quantity,
        percent: ownChange.shiftPercent,
        since: ownChange.at,
        with: w.togetherWith,
      }),
    };
  }
  if (w.adjusted) {
    const { check, at, affected } = w.adjusted;
    return {
      line: said('drift.line.adjusted', { joints, at, count: affected.count }),
      finding: said('drift.finding.adjusted', {
        tool: w.tool,
        at,
        percent: check.deviationPercent,
        since: affected.since,
        count: affected.count,
      }),
    };
  }
  if (w.isOverdue && w.kind === 'too-little') {
    return {
      line: said('drift.line.too-little-overdue', { joints, blocks: w.blocks, overdue: w.overdue }),
      finding: said('drift.finding.too-little-overdue', { tool: w.tool, blocks: w.blocks, overdue: w.overdue }),
    };
  }
  if (w.isOverdue) {
    return {
      line: said('drift.line.still-overdue', { joints, overdue: w.overdue }),
      finding: said('drift.finding.still-overdue', { tool: w.tool, overdue: w.overdue }),
    };
  }
  if (w.kind === 'too-little') {
    return w.tangled
      ? {
          line: said('drift.line.tangled', { joints, with: w.togetherWith }),
          finding: said('drift.finding.tangled', { tool: w.tool, with: w.togetherWith }),
        }
      : {
          line: said('drift.line.too-little', { joints, blocks: w.blocks }),
          finding: said('drift.finding.too-little', { tool: w.tool, blocks: w.blocks, since: w.phaseSince }),
        };
  }
  const check = w.latest === null ? 'none' : w.latest.passed === true ? 'good' : 'unknown';
  return {
    line: said('drift.line.still', { joints, check }),
    finding: said('drift.finding.still', { tool: w.tool }),
  };
}

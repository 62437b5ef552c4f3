/** The row of one tool: its three lanes, what they let be said, what is due and which readings are in doubt. */
import type { CheckRow, ChecksLane, DriftToolRow } from '../contract/models/drift-model.ts';
import type { Plant } from '../readings/plant.ts';
import type { Overdue } from '../text/en/drift.ts';
import { said } from '../text/said.ts';
import { affectedReadings, doubtSpan, inQuestionReadings } from './affected.ts';
import type { DriftAnalysis, DriftOptions, LaneRows } from './analysis.ts';
import { checkForecast } from './check-forecast.ts';
import { checkResults, standingChecks } from './check-results.ts';
import { readingsByTool } from './drift-readings.ts';
import { calibrationDue, checkDue, lastCalibration } from './due-dates.ts';
import { type Evidence, findingKind, type RankFacts, urgencyName } from './finding.ts';
import { type LaneResult, type LevelLane, smallestVisible } from './lane.ts';
import { laneModel } from './lane-model.ts';
import { ownWhy, responseWhy } from './lane-why.ts';
import { checkAgainstMove, latestCheck } from './latest-check.ts';
import { otherTools } from './other-tools.ts';
import { toolSentences } from './tool-sentences.ts';
import { watchHits } from './watch-hits.ts';

/** Newest checks kept in a row: what a small multiple can show. */
const checksInRow = 12;

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
  const words = toolSentences({
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

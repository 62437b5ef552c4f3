import type {
  CauseTable,
  EmptyReview,
  OperatorToolMatrix,
  ReviewModel,
  ReviewPeriod,
} from '../contract/models/review-model.ts';
import type { ReadingRow } from '../contract/models/shared.ts';
import { unjudgedCodes, verdictPass } from '../judging/judged.ts';
import type { Plant } from '../readings/plant.ts';
import { readingRow } from '../readings/reading-row.ts';
import type { Scope } from '../readings/scope.ts';
import { selectReadings } from '../readings/select-readings.ts';
import { shiftOccurrence } from '../readings/shift-occurrence.ts';
import { said } from '../text/said.ts';
import { msPerDay } from '../time/civil-time.ts';
import { type Cause, causesOf } from './causes.ts';
import { comparisons } from './comparison.ts';
import { failingList, mostFailingRows } from './failing-list.ts';
import { fastenerAccount } from './fastener-account.ts';
import { fastenerRate } from './fastener-rates.ts';
import { reviewFinding } from './finding.ts';
import { boldAt, leastForTest, operatorToolCells, successionRemarks } from './operator-tool-matrix.ts';
import { paceOf } from './pace.ts';
import { periodOf } from './period-of.ts';
import { names, reviewNotices } from './review-notices.ts';
import { type ReviewTally, reviewTally } from './review-tally.ts';
import { ribbonModel } from './ribbon-model.ts';
import { tightenedAgain } from './tightened-again.ts';

/** Lower end of the scale of rates, unless an interval reaches further down. */
const scaleFrom = 0.8;

/**
 * Everything the Review screen shows of a scope. O(n) in the readings of the scope.
 *
 * @param mostFailing rows of the failing list at most: a screen shows fewer than a table that leaves the program
 * @param ink serial of the tool to draw in ink; null: the one of the finding, if any stands out
 */
export function reviewModel(
  plant: Plant,
  scope: Scope,
  ink: string | null,
  mostFailing: number = mostFailingRows,
): ReviewModel {
  const tally = reviewTally(plant, scope);
  const period = periodOf(plant, scope, tally);
  const causes = causesOf(plant, tally, 'first-tries');
  const fasteners = fastenerAccount(plant, tally);
  const finding = reviewFinding(plant, tally, causes, {
    count: fasteners.missing ?? 0,
    batches: fasteners.batchesMissing,
  });
  const asked = ink === null ? -1 : plant.register.tools.findIndex((tool) => tool.serial === ink);
  const { list, rowOf } = failingList(
    plant,
    tally,
    (i) => causeKeyOf(plant.judged.reasons[i]!, 0, plant.readings.joint[i]!),
    mostFailing,
  );
  const empty = tally.selection.length === 0 ? emptyReview(plant, scope) : null;
  return {
    period: reviewPeriod(period),
    finding: empty ? [empty.said] : finding.said,
    counts: {
      readings: tally.selection.length,
      pass: tally.pass,
      fail: tally.fail,
      unjudged: tally.unjudged,
      noTime: tally.noTime,
      otherDirection: tally.otherDirection,
      leftOut: tally.leftOut,
      ownResultDiffers: tally.ownResultDiffers,
    },
    firstPass: fastenerRate(tally.fasteners, tally.firstJudged, tally.firstPassed),
    finalRate: fastenerRate(tally.fasteners, tally.lastJudged, tally.lastPassed),
    ribbon: ribbonModel(plant, scope, period, asked >= 0 ? asked : finding.tool, rowOf),
    causes: causeTable(plant, causes),
    matrix: matrixModel(plant, tally),
    fasteners,
    again: tightenedAgain(plant, tally),
    failing: list,
    pace: paceOf(plant, tally),
    comparison: comparisons(plant, scope, tally),
    notices: reviewNotices(plant, scope),
    nearest: tally.fail === 0 ? nearestToLimit(plant, tally) : [],
    empty,
  };
}

function reviewPeriod(period: { from: number | null; to: number | null; shift: string | null }): ReviewPeriod {
  const { from, to, shift } = period;
  if (from === null || to === null) return { ...period, said: said('review.period-none', {}) };
  const short = to - from <= msPerDay;
  return {
    ...period,
    said: !short
      ? said('review.period-span', { from, to: to - 1, shift })
      : shift === null
        ? said('review.period-day', { from, to })
        : said('review.period-shift', { shift, from, to }),
  };
}

const causeKeyOf = (bits: number, unjudged: number, joint: number): string => `${bits}:${unjudged}:${joint}`;

function causeTable(plant: Plant, causes: readonly Cause[]): CauseTable {
  const total = causes.reduce((sum, cause) => sum + cause.readings.length, 0);
  let unjudged = 0;
  let running = 0;
  const rows = causes.map((cause) => {
    running += cause.readings.length;
    if (cause.bits === 0) unjudged += cause.readings.length;
    const joint = plant.register.joints[cause.joint]?.name ?? null;
    return {
      key: `${causeKeyOf(cause.bits, unjudgedCodes.indexOf(cause.unjudgedBecause), cause.joint)}${cause.clockUnset ? ':unset' : ''}`,
      reasons: cause.reasons,
      unjudgedBecause:
        cause.unjudgedBecause === null
          ? null
          : said('review.unjudged-because', { code: cause.clockUnset ? 'clock-unset' : cause.unjudgedBecause }),
      clockUnset: cause.clockUnset,
      joint,
      said: said('review.cause', {
        reasons: cause.reasons,
        unjudged: cause.clockUnset ? 'clock-unset' : cause.unjudgedBecause,
        joint,
      }),
      count: cause.readings.length,
      running: total === 0 ? 0 : running / total,
      readings: names(plant, cause.readings),
    };
  });
  return { total, rows, said: said('review.causes-head', { total, unjudged }) };
}

function matrixModel(plant: Plant, tally: ReviewTally): OperatorToolMatrix {
  const { register } = plant;
  const tested = operatorToolCells(tally);
  const operators = [...new Set(tested.map((cell) => cell.operator))].sort((a, b) => sortLast(a) - sortLast(b));
  const tools = [...new Set(tested.map((cell) => cell.tool))].sort((a, b) => sortLast(a) - sortLast(b));
  const lowest = tested.reduce((least, cell) => Math.min(least, cell.low95 ?? 1), scaleFrom);
  const from = lowest < scaleFrom ? Math.floor(lowest * 20) / 20 : scaleFrom;
  const overall = tally.firstJudged === 0 ? null : tally.firstPassed / tally.firstJudged;
  const perTool = new Map<number, number>();
  for (const cell of tested) perTool.set(cell.tool, (perTool.get(cell.tool) ?? 0) + cell.fasteners);
  return {
    operators: operators.map((o) => ({
      badge: register.operators[o]?.badge ?? null,
      name: register.operators[o]?.name ?? null,
    })),
    tools: tools.map((t) => ({ serial: register.tools[t]?.serial ?? '', fasteners: perTool.get(t) ?? 0 })),
    cells: tested.map((cell) => ({
      ...cell,
      operator: operators.indexOf(cell.operator),
      tool: tools.indexOf(cell.tool),
      bold: cell.adjustedP !== null && cell.adjustedP <= boldAt,
      few: cell.judged < leastForTest,
    })),
    scaleFrom: from,
    overall,
    caption: said('review.matrix-caption', {
      cells: tested.filter((cell) => cell.adjustedP !== null).length,
      from,
      overall,
      adjustedAt: boldAt,
    }),
    remarks: successionRemarks(plant, tally),
  };
}

/** Those who name none stand last. */
const sortLast = (position: number): number => (position < 0 ? Number.MAX_SAFE_INTEGER : position);

/** The three passing readings nearest to a limit. */
function nearestToLimit(plant: Plant, tally: ReviewTally): ReadingRow[] {
  const { torquePlace, anglePlace, verdict } = plant.judged;
  const best: { i: number; distance: number }[] = [];
  for (let k = 0; k < tally.selection.length; k++) {
    const i = tally.selection[k]!;
    if (verdict[i] !== verdictPass) continue;
    const torque = 1 - Math.abs(torquePlace[i]!);
    const angle = 1 - Math.abs(anglePlace[i]!);
    const distance = Number.isNaN(torque) ? angle : Number.isNaN(angle) ? torque : Math.min(torque, angle);
    if (Number.isNaN(distance)) continue;
    if (best.length === 3 && distance >= best[2]!.distance) continue;
    best.push({ i, distance });
    best.sort((a, b) => a.distance - b.distance);
    if (best.length > 3) best.pop();
  }
  return best.map(({ i }) => readingRow(plant, i));
}

/** Where the nearest readings are, when the period holds none. */
function emptyReview(plant: Plant, scope: Scope): EmptyReview {
  const { readings, register } = plant;
  if (plant.readings.length === 0) {
    return { said: said('review.empty-store', {}), nearestAt: null, nearestShift: null };
  }
  const all = selectReadings(plant, { ...scope, from: null, to: null, shifts: [] });
  const middle = scope.from !== null && scope.to !== null ? (scope.from + scope.to) / 2 : (scope.from ?? scope.to);
  let nearest = -1;
  for (let k = 0; k < all.length; k++) {
    const i = all[k]!;
    const time = readings.at[i]!;
    if (Number.isNaN(time)) continue;
    const far = nearest < 0 ? Number.POSITIVE_INFINITY : Math.abs(readings.at[nearest]! - (middle ?? time));
    if (nearest < 0 || Math.abs(time - (middle ?? time)) < far) nearest = i;
  }
  if (nearest < 0) return { said: said('review.empty', noPlace), nearestAt: null, nearestShift: null };
  const at = readings.at[nearest]!;
  const occurrence = shiftOccurrence(register.shifts, at, readings.atStep[nearest]!);
  const shift = occurrence ? (register.shifts[occurrence.shift]?.name ?? null) : null;
  return {
    said: said('review.empty', { at, shift, day: occurrence?.day ?? null }),
    nearestAt: at,
    nearestShift: shift,
  };
}

const noPlace = { at: null, shift: null, day: null };

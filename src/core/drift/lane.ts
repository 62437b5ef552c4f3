/** One evidence lane of all tools (or of all operators): series, charts, trend, change and size of moves (definitions 15). */
import t from '@stdlib/stats-base-dists-t';
import {
  type AbsorbedFit,
  clusterOrder,
  type ExtraEstimate,
  extraColumn,
  type IndicatorColumn,
  indicatorColumn,
  indicatorEstimate,
} from '../stats/absorbed-fit.ts';
import { baselineCusumAlarm, baselineEwma, movingRangeConstant, movingRanges } from '../stats/baseline-charts.ts';
import { benjaminiHochberg } from '../stats/benjamini-hochberg.ts';
import { mannKendall } from '../stats/mann-kendall.ts';
import { pettitt } from '../stats/pettitt.ts';
import { stepAndRamp } from '../stats/step-and-ramp.ts';
import { type TheilSen, theilSen } from '../stats/theil-sen.ts';
import { finished, type Steps } from '../steps.ts';
import { msPerDay } from '../time/civil-time.ts';
import { type CellRows, fitCells, leastDegreesOfFreedom, setsOfFit } from './cell-model.ts';
import { baselineBlocks } from './cells.ts';

/** Fewest blocks for a trend, and for the date of a change. */
export const leastForTrend = 10;
export const leastForChange = 20;
/** Tools looked at between two places where the work may be interrupted. */
const levelsInStep = 20;
/** Expected share of false ones among the changes found (Benjamini-Hochberg). */
const falseDiscoveries = 0.05;

/** A lane has moved: Pettitt's adjusted p is at most 0.05 and the interval of the move excludes 0 (definitions 16). */
export function hasMoved(adjustedP: number, low95: number, high95: number): boolean {
  return adjustedP <= falseDiscoveries && (low95 > 0 || high95 < 0);
}

/** Above this many tools the limits are wider, so that false alarms stay rare (definitions 15). */
const manyTools = 20;

/** The limit factor of EWMA limits, and blocks between false alarms of one steady tool. */
export function ewmaDesign(tools: number): { lambda: number; limitFactor: number; runLength: number } {
  return tools > manyTools
    ? { lambda: 0.2, limitFactor: 3.5, runLength: 2880 }
    : { lambda: 0.2, limitFactor: 3, runLength: 560 };
}

/**
 * The smallest shift a lane could have shown: 1.96 standard errors of its move, or of a move from its middle block where
 * it stayed still; null: not estimable. Costs a pass over all cells.
 */
export function smallestVisible(lane: LaneResult, one: LevelLane): number | null {
  const m = one.blocks.length;
  const move =
    one.moved === true && one.change
      ? one.change.move
      : m >= 4
        ? lane.moveFrom(one.level, one.blocks[Math.floor(m / 2)]!)
        : null;
  return move && move.degreesOfFreedom >= leastDegreesOfFreedom ? 1.96 * move.standardError : null;
}

/** What a lane is made from. `rows.tool` is whatever the lane follows: tools, or operators. */
export interface LaneInput {
  readonly rows: CellRows;
  /** Block of each row, and starts of blocks. */
  readonly block: Int32Array;
  readonly blockAt: Float64Array;
  /** 1: the row belongs to the current phase of its level. */
  readonly current: Uint8Array;
  /** Readings of a level in a block, for the axis of the trend. */
  readonly readingsOf: (level: number, block: number) => number;
  /** A span chosen by a person as baseline; null: the first 10 blocks of the phase. */
  readonly baseline: { readonly from: number; readonly to: number } | null;
  readonly ewma: { readonly lambda: number; readonly limitFactor: number };
  /**
   * For operators: levels of what the tools do meanwhile (tool:week), so that a drifting tool does not leak into those who
   * use it. The followed factor is then one effect a level, and the series is what is left above it.
   */
  readonly absorb?: { readonly of: Int32Array; readonly count: number };
  /** Variance to add to a move's because the response line is itself estimated; absent: none. */
  readonly doubt?: (level: number, firstBlockAfter: number, others: readonly number[] | null) => number;
}

export interface MoveEstimate {
  readonly firstBlock: number;
  readonly estimate: number;
  readonly standardError: number;
  readonly low95: number;
  readonly high95: number;
  readonly degreesOfFreedom: number;
}

export interface LevelLane {
  readonly level: number;
  /** Blocks of the current phase with at least one cell. */
  readonly blocks: Int32Array;
  readonly percent: Float64Array;
  readonly readings: Float64Array;
  /** Positions in `blocks`; null: too few. */
  readonly baselineFrom: number | null;
  readonly baselineTo: number | null;
  readonly baseline: number | null;
  readonly sigma: number | null;
  readonly ewma: Float64Array;
  readonly limit: Float64Array;
  readonly alarm: number | null;
  readonly cusumAlarm: number | null;
  readonly pettittP: number | null;
  readonly changeAdjustedP: number | null;
  readonly change: {
    readonly shape: 'step' | 'ramp';
    /** Positions in `blocks` of the first block after the change, and of the ends of its span. */
    readonly at: number;
    readonly low: number;
    readonly high: number;
    readonly move: MoveEstimate | null;
  } | null;
  readonly moved: boolean | null;
  /** Why `moved` is null. */
  readonly unknown: 'few-blocks' | 'tangled' | null;
  /** Levels of the other factor (operators of a tool) that cannot be told from this one. */
  readonly togetherWith: readonly number[];
}

/** Slope over readings made, and whether it rises or falls; null: too few blocks. */
export interface LevelTrend {
  readonly trend: TheilSen | null;
  readonly mannKendallP: number | null;
  /** Over all levels of the lane. */
  readonly adjustedP: number | null;
}

export interface LaneResult {
  /** Trends by level, made when first asked for: all pairs of all levels, and no finding hangs on them. */
  trends(): readonly LevelTrend[];
  readonly input: LaneInput;
  /** By level of `rows.tool`. */
  readonly levels: readonly LevelLane[];
  /** Fit for sizes of moves; `byTool`: its groups are the levels of `rows.tool`. */
  readonly moveFit: AbsorbedFit | null;
  readonly byTool: boolean;
  /** Size of a move of one level from a block on, without its interval: costs only the level's rows; null: not estimable. */
  sizeFrom(level: number, firstBlock: number): number | null;
  /** The same with its interval, which costs a pass over all rows; null: cannot be estimated. */
  moveFrom(level: number, firstBlock: number): MoveEstimate | null;
  /** Coefficient of a column of 1s beside other columns, with a variance added. */
  moveOfRows(
    rows: (row: number) => boolean,
    beside: ((row: number) => boolean) | null,
    extraVariance: number,
  ): MoveEstimate | null;
}

/** ISO weeks, numbered from one fixed Monday. */
export function isoWeek(at: number): number {
  return Math.floor((Math.floor(at / msPerDay) + 3) / 7);
}

/** Analyses a lane at once. */
export const analyseLane = (input: LaneInput): LaneResult => finished(laneSteps(input));

/** Analyses a lane, in steps. */
export function* laneSteps(input: LaneInput): Steps<LaneResult> {
  const { rows, block, blockAt, current } = input;
  const levelCount = rows.names.tool.length;
  if (rows.length === 0) {
    return {
      input,
      levels: [],
      moveFit: null,
      trends: () => [],
      byTool: false,
      sizeFrom: () => null,
      moveFrom: () => null,
      moveOfRows: () => null,
    };
  }
  const firstWeek = isoWeek(blockAt[0]!);
  const weekOf = Int32Array.from(blockAt, (at) => isoWeek(at) - firstWeek);
  const weeks = (weekOf[weekOf.length - 1] ?? 0) + 1;
  const weekly = numberedKeys(
    rows.length,
    levelCount * weeks * 2,
    (i) => (rows.tool[i]! * weeks + weekOf[block[i]!]!) * 2 + current[i]!,
  );
  const followed: CellRows = {
    ...rows,
    operator: rows.tool,
    names: { ...rows.names, operator: rows.names.tool },
  };
  const seriesFit = input.absorb
    ? fitCells(followed, input.absorb.of, input.absorb.count)
    : fitCells(rows, weekly.of, weekly.count);
  yield;
  const sets = setsOfFit(input.absorb ? followed : rows, seriesFit);
  const jointEffect = centred(seriesFit.columnEffect, 0, sets.joint);
  const otherEffect = centred(seriesFit.columnEffect, rows.names.joint.length, sets.operator);
  const setOfOther = new Int32Array(Math.max(rows.names.operator.length, rows.names.tool.length));
  sets.operator.forEach((set, k) => {
    for (const level of set) setOfOther[level] = k;
  });

  const rowsOf: number[][] = Array.from({ length: levelCount }, () => []);
  for (let i = 0; i < rows.length; i++) if (current[i] === 1) rowsOf[rows.tool[i]!]!.push(i);
  const together = input.absorb
    ? rowsOf.map(() => ({ with: [], apart: false }))
    : togetherWith(rows, rowsOf, setOfOther);

  let withoutOther: { jointEffect: Float64Array } | null = null;
  const jointAlone = (): Float64Array => {
    if (!withoutOther) {
      const fit = fitCells(rows, weekly.of, weekly.count, false);
      withoutOther = { jointEffect: centred(fit.columnEffect, 0, setsOfFit(rows, fit, false).joint) };
    }
    return withoutOther.jointEffect;
  };

  const cellSum = new Float64Array(blockAt.length);
  const cellCount = new Float64Array(blockAt.length);
  const series = rowsOf.map((own, level) => {
    const split = together[level]!.apart;
    const joint = split ? jointAlone() : jointEffect;
    const found: number[] = [];
    for (const i of own) {
      const value = input.absorb
        ? seriesFit.residual[i]! + otherEffect[level]!
        : rows.value[i]! - joint[rows.joint[i]!]! - (split ? 0 : otherEffect[rows.operator[i]!]!);
      const b = block[i]!;
      if (cellCount[b] === 0) found.push(b);
      cellCount[b] = cellCount[b]! + 1;
      cellSum[b] = cellSum[b]! + value;
    }
    const blocks = Int32Array.from(found).sort();
    const percent = Float64Array.from(blocks, (b) => cellSum[b]! / cellCount[b]!);
    for (const b of found) {
      cellCount[b] = 0;
      cellSum[b] = 0;
    }
    const readings = Float64Array.from(blocks, (b) => input.readingsOf(level, b));
    return { blocks, percent, readings, ...baselineSpan(blocks, blockAt, input.baseline) };
  });

  yield;
  // The spread of block values: a tool's own from few ranges is doubtful, so never less than that of all tools together.
  const allRanges = series.flatMap((one) =>
    one.baselineFrom === null || one.baselineTo === null
      ? []
      : movingRanges(one.percent, one.baselineFrom, one.baselineTo + 1),
  );
  const sigmaAll = allRanges.length > 0 ? mean(allRanges) / movingRangeConstant : Number.NaN;

  const phases = numberedKeys(rows.length, levelCount * 2, (i) => rows.tool[i]! * 2 + current[i]!);
  // Without a calibration or repair in the span the phases are the tools themselves, in their own order.
  const onePhase = phases.count === levelCount;
  const moveFit = input.absorb
    ? seriesFit
    : onePhase
      ? fitCells(rows, rows.tool, levelCount)
      : fitCells(rows, phases.of, phases.count);
  const moveOfRows: LaneResult['moveOfRows'] = (take, beside, extraVariance) => {
    const column = new Float64Array(rows.length);
    for (let i = 0; i < rows.length; i++) if (take(i)) column[i] = 1;
    const others: Float64Array[] = [];
    if (beside) {
      const other = new Float64Array(rows.length);
      for (let i = 0; i < rows.length; i++) if (beside(i)) other[i] = 1;
      others.push(other);
    }
    const found = extraColumn(moveFit, column, rows.cluster, rows.clusters, others);
    return found ? widened(found, extraVariance, 0) : null;
  };
  const order = clusterOrder(moveFit, rows.cluster, rows.clusters);
  const columns = new Map<number, IndicatorColumn | null>();
  const columnFrom = (level: number, firstBlock: number): IndicatorColumn | null => {
    const key = level * blockAt.length + firstBlock;
    const made = columns.get(key);
    if (made !== undefined) return made;
    const ones = Int32Array.from(rowsOf[level]!.filter((i) => block[i]! >= firstBlock));
    const column = ones.length > 0 ? indicatorColumn(moveFit, ones) : null;
    columns.set(key, column);
    return column;
  };
  const sizeFrom: LaneResult['sizeFrom'] = (level, firstBlock) =>
    rows.clusters - moveFit.rank - 1 < leastDegreesOfFreedom ? null : (columnFrom(level, firstBlock)?.estimate ?? null);
  const known = new Map<number, MoveEstimate | null>();
  const moveFrom: LaneResult['moveFrom'] = (level, firstBlock) => {
    const key = level * blockAt.length + firstBlock;
    const made = known.get(key);
    if (made !== undefined) return made;
    const column = columnFrom(level, firstBlock);
    const found = column ? indicatorEstimate(moveFit, column, order) : null;
    const move = found ? widened(found, input.doubt?.(level, firstBlock, null) ?? 0, firstBlock) : null;
    known.set(key, move);
    return move;
  };

  const raw: ((typeof series)[number] & {
    level: number;
    pettittP: number | null;
  })[] = [];
  for (const [level, one] of series.entries()) {
    if (level % levelsInStep === 0) yield;
    const m = one.blocks.length;
    const pettittP = m >= leastForChange ? pettitt(one.percent).p : null;
    raw.push({ ...one, level, pettittP });
  }
  const changeAdjusted = adjustedOver(raw.map((one) => one.pettittP));

  const levels: LevelLane[] = [];
  for (const [level, one] of raw.entries()) {
    if (level % levelsInStep === 0) yield;
    let baseline: number | null = null;
    let sigma: number | null = null;
    let ewma = new Float64Array(0);
    let limit = new Float64Array(0);
    let alarm: number | null = null;
    let cusumAlarm: number | null = null;
    if (one.baselineFrom !== null && one.baselineTo !== null) {
      const ranges = movingRanges(one.percent, one.baselineFrom, one.baselineTo + 1);
      const own = ranges.length > 0 ? mean(ranges) / movingRangeConstant : 0;
      sigma = Math.max(own, Number.isNaN(sigmaAll) ? own : sigmaAll);
      const chart = baselineEwma(
        one.percent,
        one.baselineFrom,
        one.baselineTo + 1,
        sigma,
        input.ewma.lambda,
        input.ewma.limitFactor,
      );
      baseline = chart.baseline;
      ewma = new Float64Array(chart.ewma);
      limit = new Float64Array(chart.limit);
      alarm = sigma > 0 ? chart.alarm : null;
      cusumAlarm = baselineCusumAlarm(one.percent, baseline, one.baselineTo + 1, sigma);
    }
    let change: LevelLane['change'] = null;
    let moved: boolean | null = null;
    let unknown: LevelLane['unknown'] = null;
    const changeP = changeAdjusted[level] ?? null;
    if (changeP === null) unknown = 'few-blocks';
    else {
      const dated = stepAndRamp(one.percent);
      if (!dated) moved = false;
      else {
        const after = dated.shape === 'step' ? dated.stepAfter : dated.rampAfter;
        // The size costs a pass over all cells: only where the test found a change. Whether it could be had, always.
        const move = changeP <= falseDiscoveries ? moveFrom(level, one.blocks[after]!) : null;
        const freedom = rows.clusters - moveFit.rank - 1;
        if (freedom < leastDegreesOfFreedom || !columnFrom(level, one.blocks[after]!)) unknown = 'tangled';
        else {
          moved = move !== null && hasMoved(changeP, move.low95, move.high95);
        }
        // `after` counts blocks before the change, so as a position it is the first block after it.
        change = {
          shape: dated.shape,
          at: after,
          low: dated.interval[0],
          high: dated.interval[1],
          move,
        };
      }
    }
    levels.push({
      level,
      blocks: one.blocks,
      percent: one.percent,
      readings: one.readings,
      baselineFrom: one.baselineFrom,
      baselineTo: one.baselineTo,
      baseline,
      sigma,
      ewma,
      limit,
      alarm,
      cusumAlarm,
      pettittP: one.pettittP,
      changeAdjustedP: changeP,
      change,
      moved,
      unknown,
      togetherWith: together[level]!.with,
    });
  }
  let made: LevelTrend[] | null = null;
  const trends = (): LevelTrend[] => {
    made ??= trendsOf(input.absorb ? [] : levels);
    return made;
  };
  return { trends, input, levels, moveFit, byTool: onePhase && !input.absorb, sizeFrom, moveFrom, moveOfRows };
}

/** Trend of each level over the readings made, with its p adjusted over all (definitions 15). */
function trendsOf(levels: readonly LevelLane[]): LevelTrend[] {
  const found = levels.map((level): { trend: TheilSen | null; mannKendallP: number | null } => {
    if (level.blocks.length < leastForTrend) return { trend: null, mannKendallP: null };
    const x = readingsMade(level);
    const slope = theilSen(x, level.percent);
    if (!slope.ok) return { trend: null, mannKendallP: null };
    return { trend: slope.value, mannKendallP: mannKendall(level.percent, { x, slope: slope.value.slope }).p };
  });
  const adjusted = adjustedOver(found.map((one) => one.mannKendallP));
  return found.map((one, k) => ({ ...one, adjustedP: adjusted[k] ?? null }));
}

/** Thousand readings made before each block, and half of its own: the axis of the trend. */
export function readingsMade(level: Pick<LevelLane, 'readings'>): Float64Array {
  let before = 0;
  return level.readings.map((own) => {
    const x = (before + own / 2) / 1000;
    before += own;
    return x;
  });
}

function widened(found: ExtraEstimate, extraVariance: number, firstBlock: number): MoveEstimate {
  const standardError = Math.sqrt(found.standardError ** 2 + extraVariance);
  const half = t.quantile(0.975, found.degreesOfFreedom) * standardError;
  return {
    firstBlock,
    estimate: found.estimate,
    standardError,
    low95: found.estimate - half,
    high95: found.estimate + half,
    degreesOfFreedom: found.degreesOfFreedom,
  };
}

function baselineSpan(
  blocks: Int32Array,
  blockAt: Float64Array,
  chosen: LaneInput['baseline'],
): { baselineFrom: number | null; baselineTo: number | null } {
  if (!chosen) {
    return blocks.length < baselineBlocks
      ? { baselineFrom: null, baselineTo: null }
      : { baselineFrom: 0, baselineTo: baselineBlocks - 1 };
  }
  let from: number | null = null;
  let to: number | null = null;
  blocks.forEach((block, k) => {
    const at = blockAt[block]!;
    if (at < chosen.from || at >= chosen.to) return;
    from ??= k;
    to = k;
  });
  return from === null || to === null || to - from < 1
    ? { baselineFrom: null, baselineTo: null }
    : { baselineFrom: from, baselineTo: to };
}

/** Effects of a factor that sum to zero within each comparable set; 0 for a level that nothing compares with. */
function centred(effects: Float64Array, offset: number, sets: readonly (readonly number[])[]): Float64Array {
  const out = new Float64Array(sets.reduce((sum, set) => sum + set.length, 0));
  for (const set of sets) {
    const middle = set.reduce((sum, level) => sum + effects[offset + level]!, 0) / set.length;
    for (const level of set) out[level] = effects[offset + level]! - middle;
  }
  return out;
}

/**
 * Who cannot be told from a tool: operators that fall into more than one comparable set (`apart`: their effects are then
 * left out), or the one operator that uses it and nothing else.
 */
function togetherWith(
  rows: CellRows,
  rowsOf: readonly (readonly number[])[],
  setOfOther: Int32Array,
): { with: number[]; apart: boolean }[] {
  const people = rows.names.operator.length;
  const pair = new Uint8Array(people * rows.names.tool.length);
  const toolsOf = new Int32Array(people);
  for (let i = 0; i < rows.length; i++) {
    const key = rows.tool[i]! * people + rows.operator[i]!;
    if (pair[key] === 1) continue;
    pair[key] = 1;
    toolsOf[rows.operator[i]!] = toolsOf[rows.operator[i]!]! + 1;
  }
  const present = new Uint8Array(people);
  return rowsOf.map((own) => {
    present.fill(0);
    for (const i of own) present[rows.operator[i]!] = 1;
    const others: number[] = [];
    for (let level = 0; level < people; level++) if (present[level] === 1) others.push(level);
    const apart = new Set(others.map((level) => setOfOther[level]!)).size > 1;
    const one = others[0];
    const alone = others.length === 1 && one !== undefined && toolsOf[one] === 1;
    return { with: apart || alone ? others : [], apart };
  });
}

function adjustedOver(values: readonly (number | null)[]): (number | null)[] {
  const present = values.flatMap((value, k) => (value === null ? [] : [k]));
  const adjusted = benjaminiHochberg(present.map((k) => values[k]!));
  const out: (number | null)[] = values.map(() => null);
  present.forEach((k, i) => {
    out[k] = adjusted[i]!;
  });
  return out;
}

/** Keys below this many are looked up in an array. */
const mostInArray = 1 << 22;

/**
 * Numbers keys 0, 1, ... in order of appearance.
 *
 * @param keys every key is below it
 */
export function numberedKeys(
  length: number,
  keys: number,
  keyOf: (row: number) => number,
): { of: Int32Array; count: number } {
  const of = new Int32Array(length);
  let count = 0;
  if (keys <= mostInArray) {
    const numbers = new Int32Array(keys).fill(-1);
    for (let i = 0; i < length; i++) {
      const key = keyOf(i);
      if (numbers[key] === -1) numbers[key] = count++;
      of[i] = numbers[key]!;
    }
    return { of, count };
  }
  const numbers = new Map<number, number>();
  for (let i = 0; i < length; i++) {
    const key = keyOf(i);
    let number = numbers.get(key);
    if (number === undefined) {
      number = count++;
      numbers.set(key, number);
    }
    of[i] = number;
  }
  return { of, count };
}

const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

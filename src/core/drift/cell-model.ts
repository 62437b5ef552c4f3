/** Effects of joint, operator and tool on cell means, what can be told apart, and the size of a move (definitions 14, 15). */
import t from '@stdlib/stats-base-dists-t';
import {
  type AbsorbedFit,
  absorbedFit,
  clusterMeat,
  clusterOrder,
  comparableSets,
  contrastStandardError,
  type ExtraEstimate,
  extraColumn,
} from '../stats/absorbed-fit.ts';
import type { CellFactor } from './untangle.ts';

/** Cells as columns: one entry a cell. Levels are positions in `names`; every level occurs. */
export interface CellRows {
  readonly length: number;
  readonly joint: Int32Array;
  readonly operator: Int32Array;
  readonly tool: Int32Array;
  readonly value: Float64Array;
  /** Tool x block, 0 to `clusters` - 1. */
  readonly cluster: Int32Array;
  readonly clusters: number;
  readonly names: Readonly<Record<CellFactor, readonly string[]>>;
}

/** Cells from named rows, levels sorted by name: for tests and small tables. */
export function cellsFromNames(
  cells: readonly {
    readonly joint: string;
    readonly operator: string;
    readonly tool: string;
    readonly block: number;
    readonly meanPercent: number;
  }[],
): CellRows {
  const levels = (pick: (cell: (typeof cells)[number]) => string): string[] => [...new Set(cells.map(pick))].sort();
  const names = {
    joint: levels((c) => c.joint),
    operator: levels((c) => c.operator),
    tool: levels((c) => c.tool),
  };
  const clusterNames = levels((c) => `${c.tool}|${c.block}`);
  const position = new Map(clusterNames.map((name, i) => [name, i]));
  return {
    length: cells.length,
    joint: Int32Array.from(cells, (c) => names.joint.indexOf(c.joint)),
    operator: Int32Array.from(cells, (c) => names.operator.indexOf(c.operator)),
    tool: Int32Array.from(cells, (c) => names.tool.indexOf(c.tool)),
    value: Float64Array.from(cells, (c) => c.meanPercent),
    cluster: Int32Array.from(cells, (c) => position.get(`${c.tool}|${c.block}`) ?? 0),
    clusters: clusterNames.length,
    names,
  };
}

/** Least squares of cell values on joint and operator, the levels of `group` (tool, tool:week, tool:phase) eliminated. */
export function fitCells(cells: CellRows, group: Int32Array, groups: number, withOperator = true): AbsorbedFit {
  const joints = cells.names.joint.length;
  const operators = withOperator ? cells.names.operator.length : 0;
  const columnOf = [cells.joint];
  if (withOperator) columnOf.push(cells.operator.map((level) => joints + level));
  return absorbedFit({ rows: cells.length, group, groups, columns: joints + operators, columnOf }, cells.value);
}

/** Levels of each factor in sets within which they can be compared. */
export interface FactorSets {
  readonly rank: number;
  readonly sets: Readonly<Record<CellFactor, readonly (readonly number[])[]>>;
}

/** Comparable sets of a fit by `fitCells`; those of `tool` are of its eliminated levels. */
export function setsOfFit(cells: CellRows, fit: AbsorbedFit, withOperator = true): FactorSets['sets'] {
  const joints = cells.names.joint.length;
  const range = (n: number): number[] => Array.from({ length: n }, (_, i) => i);
  const ofColumn = (offset: number) => fit.nullVectors.map((v) => (level: number) => v.columns[offset + level]!);
  const ofGroup = fit.nullVectors.map((v) => (level: number) => v.groups[level]!);
  return {
    joint: comparableSets(ofColumn(0), range(joints)),
    operator: withOperator ? comparableSets(ofColumn(joints), range(cells.names.operator.length)) : [],
    tool: comparableSets(ofGroup, range(fit.design.groups)),
  };
}

/** Which levels of joint, operator and tool can be compared, by rank of the design (definitions 14). */
export function factorSets(cells: CellRows): FactorSets {
  const fit = fitCells(cells, cells.tool, cells.names.tool.length);
  return { rank: fit.rank, sets: setsOfFit(cells, fit) };
}

export interface FactorEffect {
  readonly level: number;
  /** Number of its comparable set. */
  readonly set: number;
  readonly effect: number;
  readonly standardError: number;
  /** Simultaneous over the effects shown of its factor. */
  readonly low95: number;
  readonly high95: number;
}

export interface FactorEffects extends FactorSets {
  readonly rows: number;
  readonly clusters: number;
  /** Empty where fewer than 2 levels can be compared, or clusters - rank is under 5. */
  readonly effects: Readonly<Record<CellFactor, readonly FactorEffect[]>>;
  readonly fit: AbsorbedFit;
}

/** Least number of degrees of freedom for an interval (definitions 18). */
export const leastDegreesOfFreedom = 5;

/**
 * Effects that sum to zero within a comparable set, with cluster-robust Bonferroni intervals (definitions 14).
 *
 * @param cells cell means in %, each counting once
 * @param fit by `fitCells` with the tools as groups, where one is in hand
 */
export function factorEffects(
  cells: CellRows,
  fit: AbsorbedFit = fitCells(cells, cells.tool, cells.names.tool.length),
): FactorEffects {
  const sets = setsOfFit(cells, fit);
  const joints = cells.names.joint.length;
  const degreesOfFreedom = cells.clusters - fit.rank;
  const none: FactorEffect[] = [];
  const effects: Record<CellFactor, FactorEffect[]> = { joint: [...none], operator: [...none], tool: [...none] };
  if (degreesOfFreedom >= leastDegreesOfFreedom) {
    const meat = clusterMeat(fit, clusterOrder(fit, cells.cluster, cells.clusters));
    for (const factor of ['joint', 'operator', 'tool'] as const) {
      const shown = sets[factor].reduce((sum, set) => sum + (set.length > 1 ? set.length : 0), 0);
      const quantile = shown > 0 ? -t.quantile(0.05 / (2 * shown), degreesOfFreedom) : Number.NaN;
      sets[factor].forEach((set, setNumber) => {
        if (set.length < 2) return;
        const offset = factor === 'operator' ? joints : 0;
        // Solutions are linear in the contrast: one a level, less their mean, gives every "level less the set's mean".
        const solutions = set.map((level) =>
          fit.solutionOf(
            factor === 'tool'
              ? { columns: new Map(), groups: new Map([[level, 1]]) }
              : { columns: new Map([[offset + level, 1]]), groups: new Map() },
          ),
        );
        const middle = new Float64Array(solutions[0]!.length);
        for (const one of solutions)
          for (let k = 0; k < middle.length; k++) middle[k] = middle[k]! + one[k]! / set.length;
        const effectOf = (level: number): number =>
          factor === 'tool' ? fit.groupEffect[level]! : fit.columnEffect[offset + level]!;
        const average = set.reduce((sum, level) => sum + effectOf(level), 0) / set.length;
        for (const [k, level] of set.entries()) {
          const solution = solutions[k]!;
          for (let j = 0; j < middle.length; j++) solution[j] = solution[j]! - middle[j]!;
          const estimate = effectOf(level) - average;
          const standardError = contrastStandardError(fit, solution, meat, cells.clusters);
          effects[factor].push({
            level,
            set: setNumber,
            effect: estimate,
            standardError,
            low95: estimate - quantile * standardError,
            high95: estimate + quantile * standardError,
          });
        }
      });
    }
  }
  return { rank: fit.rank, rows: cells.length, clusters: cells.clusters, sets, effects, fit };
}

/**
 * Variance inflation of the difference of two levels: c'Bc / (1/n1 + 1/n2), n the cells of each.
 *
 * @returns null when the two cannot be compared
 */
export function inflationOf(
  cells: CellRows,
  factor: CellFactor,
  a: number,
  b: number,
  fit: AbsorbedFit = fitCells(cells, cells.tool, cells.names.tool.length),
): number | null {
  const sets = setsOfFit(cells, fit)[factor];
  if (!sets.some((set) => set.includes(a) && set.includes(b))) return null;
  const offset = factor === 'operator' ? cells.names.joint.length : 0;
  const weights = new Map([
    [offset + a, 1],
    [offset + b, -1],
  ]);
  const sum = fit.varianceOf(
    factor === 'tool' ? { columns: new Map(), groups: weights } : { columns: weights, groups: new Map() },
  );
  let countA = 0;
  let countB = 0;
  for (const level of cells[factor]) {
    if (level === a) countA++;
    else if (level === b) countB++;
  }
  return sum / (1 / countA + 1 / countB);
}

/**
 * Size of a move after joint, operator and tool: the coefficient of one more column (definitions 15).
 *
 * @param column 1 for the cells of the tool from the change on, else 0
 * @returns null when it is tangled with joint, operator or tool
 */
export function moveOf(cells: CellRows, column: Float64Array): ExtraEstimate | null {
  return extraColumn(fitCells(cells, cells.tool, cells.names.tool.length), column, cells.cluster, cells.clusters);
}

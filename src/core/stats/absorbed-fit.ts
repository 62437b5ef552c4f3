/**
 * Least squares of cell values on factors, one of them eliminated by centring within its levels.
 *
 * Made for designs with few joints and operators and very many tools or tool-weeks: the many levels never enter a dense
 * matrix (Frisch-Waugh), the few do. Whatever cannot be told apart is found by rank, not guessed.
 */
import t from '@stdlib/stats-base-dists-t';

/** Relative size below which a pivot, or what is left of a column, counts as 0 (1e-7 on the scale of a column, squared). */
const rankTolerance = 1e-10;
/** Null vectors hold ratios of small whole numbers: coordinates nearer than this are equal. */
const nullTolerance = 1e-7;

export interface CellDesign {
  readonly rows: number;
  /** Level of the eliminated factor, by row: 0 to `groups` - 1, each used. */
  readonly group: Int32Array;
  readonly groups: number;
  /** Number of columns of the other factors together. */
  readonly columns: number;
  /** For each other factor the column of each row: 0 to `columns` - 1, no column shared between factors. */
  readonly columnOf: readonly Int32Array[];
}

/** A weighting of the coefficients: by column and by group. */
export interface Contrast {
  readonly columns: ReadonlyMap<number, number>;
  readonly groups: ReadonlyMap<number, number>;
}

/** The least-squares fit of an indicator column on the design. */
export interface IndicatorProjection {
  readonly columns: Float64Array;
  readonly groups: Float64Array;
  /** Groups that hold a row of the indicator: the only ones whose entry in `groups` is filled in. */
  readonly touched: readonly number[];
}

export interface AbsorbedFit {
  readonly design: CellDesign;
  readonly rank: number;
  /** One solution; only estimable functions of it mean anything. */
  readonly columnEffect: Float64Array;
  readonly groupEffect: Float64Array;
  readonly residual: Float64Array;
  /** Vectors that the design maps to 0: by column, then by group. */
  readonly nullVectors: readonly { readonly columns: Float64Array; readonly groups: Float64Array }[];
  /** Solution w of X'X w = c: the contrast's estimate is the sum of x'w y over the rows. By column, then by group. */
  solutionOf(contrast: Contrast): Float64Array;
  /** c'Bc: variance of the contrast's estimate when every cell has variance 1; O(columns^2). */
  varianceOf(contrast: Contrast): number;
  /**
   * Coefficients of a least-squares fit of a column that is 1 in some rows and 0 elsewhere; costs only those rows.
   * Those of groups without such a row are left 0: `allGroupsOf` fills them in.
   */
  projectIndicator(ones: ArrayLike<number>): IndicatorProjection;
  /** Coefficients of all groups of a projected indicator. */
  allGroupsOf(projection: IndicatorProjection): Float64Array;
  /** What a new column leaves after the design: its residual. */
  residualOf(column: Float64Array): Float64Array;
}

/**
 * Fits `values` on the design.
 *
 * Method: Gram matrix after centring, Cholesky with pivots, one step of refinement; O(rows + columns^3). Differences of
 * two levels are estimable if and only if every null vector gives them the same coordinate.
 */
export function absorbedFit(design: CellDesign, values: ArrayLike<number>): AbsorbedFit {
  const { rows, group, groups, columns, columnOf } = design;
  const size = new Float64Array(groups);
  for (let i = 0; i < rows; i++) size[group[i]!] = size[group[i]!]! + 1;

  // Counts of each column in each group, as compressed rows.
  const order = rowsByGroup(group, groups);
  const start = new Int32Array(groups + 1);
  const countColumn: number[] = [];
  const countValue: number[] = [];
  const scratch = new Float64Array(columns);
  const gram = new Float64Array(columns * columns);
  for (let g = 0, k = 0; g < groups; g++) {
    const touched: number[] = [];
    for (; k < rows && group[order[k]!] === g; k++) {
      const i = order[k]!;
      for (let f = 0; f < columnOf.length; f++) {
        const c = columnOf[f]![i]!;
        if (scratch[c] === 0) touched.push(c);
        scratch[c] = scratch[c]! + 1;
        for (let h = 0; h < columnOf.length; h++) {
          const at = c * columns + columnOf[h]![i]!;
          gram[at] = gram[at]! + 1;
        }
      }
    }
    for (const a of touched) {
      for (const b of touched) {
        gram[a * columns + b] = gram[a * columns + b]! - (scratch[a]! * scratch[b]!) / size[g]!;
      }
    }
    for (const a of touched) {
      countColumn.push(a);
      countValue.push(scratch[a]!);
      scratch[a] = 0;
    }
    start[g + 1] = countColumn.length;
  }
  const inverse = pivotedInverse(gram, columns);

  const groupDot = (g: number, vector: Float64Array): number => {
    let sum = 0;
    for (let k = start[g]!; k < start[g + 1]!; k++) sum += countValue[k]! * vector[countColumn[k]!]!;
    return sum;
  };
  const solve = (right: Float64Array): Float64Array => multiply(inverse.matrix, right, columns);

  /** Coefficients of a least-squares fit of `v`, one solution. */
  const project = (v: ArrayLike<number>): { columns: Float64Array; groups: Float64Array } => {
    const total = new Float64Array(groups);
    for (let i = 0; i < rows; i++) total[group[i]!] = total[group[i]!]! + v[i]!;
    const right = new Float64Array(columns);
    for (const columnAt of columnOf) {
      for (let i = 0; i < rows; i++) {
        const g = group[i]!;
        right[columnAt[i]!] = right[columnAt[i]!]! + (v[i]! - total[g]! / size[g]!);
      }
    }
    const b = solve(right);
    const a = new Float64Array(groups);
    for (let g = 0; g < groups; g++) a[g] = (total[g]! - groupDot(g, b)) / size[g]!;
    return { columns: b, groups: a };
  };
  const leave = (v: ArrayLike<number>, b: Float64Array, a: Float64Array): Float64Array => {
    const left = new Float64Array(rows);
    for (let i = 0; i < rows; i++) left[i] = v[i]! - a[group[i]!]!;
    for (const columnAt of columnOf) for (let i = 0; i < rows; i++) left[i] = left[i]! - b[columnAt[i]!]!;
    return left;
  };

  const solveContrast = (contrast: Contrast): { b: Float64Array; a: Float64Array } => {
    const right = new Float64Array(columns);
    for (const [c, value] of contrast.columns) right[c] = value;
    for (const [g, value] of contrast.groups) {
      for (let k = start[g]!; k < start[g + 1]!; k++) {
        const c = countColumn[k]!;
        right[c] = right[c]! - (countValue[k]! * value) / size[g]!;
      }
    }
    const b = solve(right);
    const a = new Float64Array(groups);
    for (let g = 0; g < groups; g++) a[g] = ((contrast.groups.get(g) ?? 0) - groupDot(g, b)) / size[g]!;
    return { b, a };
  };

  const first = project(values);
  const residual0 = leave(values, first.columns, first.groups);
  const again = project(residual0);
  const columnEffect = first.columns.map((value, k) => value + again.columns[k]!);
  const groupEffect = first.groups.map((value, g) => value + again.groups[g]!);
  const residual = leave(residual0, again.columns, again.groups);

  const nullVectors = inverse.nullColumns.map((vector) => {
    const ofGroup = new Float64Array(groups);
    for (let g = 0; g < groups; g++) ofGroup[g] = -groupDot(g, vector) / size[g]!;
    return { columns: vector, groups: ofGroup };
  });

  return {
    design,
    rank: groups + inverse.rank,
    columnEffect,
    groupEffect,
    residual,
    nullVectors,
    solutionOf(contrast) {
      const { b, a } = solveContrast(contrast);
      const out = new Float64Array(columns + groups);
      out.set(b);
      out.set(a, columns);
      return out;
    },
    varianceOf(contrast) {
      const { b, a } = solveContrast(contrast);
      let sum = 0;
      for (const [c, value] of contrast.columns) sum += value * b[c]!;
      for (const [g, value] of contrast.groups) sum += value * a[g]!;
      return sum;
    },
    projectIndicator(ones) {
      const right = new Float64Array(columns);
      const total = new Float64Array(groups);
      const touched: number[] = [];
      for (let k = 0; k < ones.length; k++) {
        const i = ones[k]!;
        const g = group[i]!;
        if (total[g] === 0) touched.push(g);
        total[g] = total[g]! + 1;
        for (const columnAt of columnOf) right[columnAt[i]!] = right[columnAt[i]!]! + 1;
      }
      for (const g of touched) {
        const share = total[g]! / size[g]!;
        for (let k = start[g]!; k < start[g + 1]!; k++) {
          const c = countColumn[k]!;
          right[c] = right[c]! - countValue[k]! * share;
        }
      }
      const b = solve(right);
      const a = new Float64Array(groups);
      for (const g of touched) a[g] = (total[g]! - groupDot(g, b)) / size[g]!;
      return { columns: b, groups: a, touched };
    },
    allGroupsOf(projection) {
      const a = new Float64Array(groups);
      for (let g = 0; g < groups; g++) a[g] = -groupDot(g, projection.columns) / size[g]!;
      for (const g of projection.touched) a[g] = projection.groups[g]!;
      return a;
    },
    residualOf(column) {
      const b = project(column);
      return leave(column, b.columns, b.groups);
    },
  };
}

function rowsByGroup(group: Int32Array, groups: number): Uint32Array {
  const at = new Uint32Array(groups + 1);
  for (let i = 0; i < group.length; i++) at[group[i]! + 1] = at[group[i]! + 1]! + 1;
  for (let g = 0; g < groups; g++) at[g + 1] = at[g + 1]! + at[g]!;
  const order = new Uint32Array(group.length);
  for (let i = 0; i < group.length; i++) {
    const g = group[i]!;
    order[at[g]!] = i;
    at[g] = at[g]! + 1;
  }
  return order;
}

/** A symmetric matrix times a vector; rows where the vector is 0 cost nothing. */
function multiply(matrix: Float64Array, vector: Float64Array, n: number): Float64Array {
  const out = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    const factor = vector[j]!;
    if (factor === 0) continue;
    const at = j * n;
    for (let i = 0; i < n; i++) out[i] = out[i]! + factor * matrix[at + i]!;
  }
  return out;
}

/**
 * Inverse of a symmetric matrix on its independent columns, 0 elsewhere, and the vectors it maps to 0.
 *
 * Gauss-Jordan with the largest remaining diagonal as pivot; a remaining diagonal below 1e-10 of its own first value is 0.
 */
function pivotedInverse(
  gram: Float64Array,
  n: number,
): { matrix: Float64Array; rank: number; nullColumns: Float64Array[] } {
  const a = gram.slice();
  const firstDiagonal = new Float64Array(n);
  let largest = 0;
  for (let i = 0; i < n; i++) {
    firstDiagonal[i] = a[i * n + i]!;
    largest = Math.max(largest, a[i * n + i]!);
  }
  const swept = new Uint8Array(n);
  let rank = 0;
  for (let step = 0; step < n; step++) {
    let pivot = -1;
    let best = 0;
    for (let i = 0; i < n; i++) {
      if (swept[i]) continue;
      const d = a[i * n + i]!;
      const scale = Math.max(firstDiagonal[i]!, rankTolerance * largest);
      if (d > rankTolerance * scale && d > rankTolerance * largest && d > best) {
        best = d;
        pivot = i;
      }
    }
    if (pivot < 0) break;
    // Sweep operator: after all sweeps the swept block holds minus the inverse, the rest the coefficients.
    const d = a[pivot * n + pivot]!;
    for (let i = 0; i < n; i++) {
      if (i === pivot) continue;
      const f = a[i * n + pivot]! / d;
      if (f === 0) continue;
      for (let j = 0; j < n; j++) {
        if (j !== pivot) a[i * n + j] = a[i * n + j]! - f * a[pivot * n + j]!;
      }
    }
    for (let i = 0; i < n; i++) {
      if (i === pivot) continue;
      a[i * n + pivot] = a[i * n + pivot]! / d;
      a[pivot * n + i] = a[pivot * n + i]! / d;
    }
    a[pivot * n + pivot] = -1 / d;
    swept[pivot] = 1;
    rank++;
  }
  const matrix = new Float64Array(n * n);
  const nullColumns: Float64Array[] = [];
  for (let i = 0; i < n; i++) {
    if (swept[i]) {
      for (let j = 0; j < n; j++) if (swept[j]) matrix[i * n + j] = -a[i * n + j]!;
    } else {
      const vector = new Float64Array(n);
      vector[i] = 1;
      for (let j = 0; j < n; j++) if (swept[j]) vector[j] = -a[j * n + i]!;
      nullColumns.push(vector);
    }
  }
  return { matrix, rank, nullColumns };
}

/**
 * Sets of levels that can be compared with each other: those to which every null vector gives the same coordinate.
 *
 * @param coordinates for each null vector the coordinate of a level
 * @param levels the levels' positions
 */
export function comparableSets(
  nullVectors: readonly ((level: number) => number)[],
  levels: readonly number[],
): number[][] {
  const sets: number[][] = [];
  for (const level of levels) {
    const set = sets.find((one) =>
      nullVectors.every((vector) => Math.abs(vector(one[0]!) - vector(level)) < nullTolerance),
    );
    if (set) set.push(level);
    else sets.push([level]);
  }
  return sets;
}

/**
 * Sums over clusters of s s', s the cluster's residuals added up by column and by group: the middle of the robust
 * covariance, so that many contrasts of one fit cost no pass over the rows each.
 *
 * @returns a square matrix of columns, then groups
 */
export function clusterMeat(fit: AbsorbedFit, order: ClusterOrder): Float64Array {
  const { columns, groups } = fit.design;
  const width = columns + groups;
  const meat = new Float64Array(width * width);
  const sums = new Float64Array(width + 1);
  for (let g = 0; g + 1 < order.start.length; g++) {
    const touched: number[] = [];
    const add = (key: number, value: number): void => {
      if (!touched.includes(key)) touched.push(key);
      sums[key] = sums[key]! + value;
    };
    for (let at = order.start[g]!; at < order.start[g + 1]!; at++) {
      const e = order.residual[at]!;
      add(columns + order.groupOf[g]!, e);
      if (order.first[at]! < columns) add(order.first[at]!, e);
      if (order.second[at]! < columns) add(order.second[at]!, e);
    }
    for (const a of touched) for (const b of touched) meat[a * width + b] = meat[a * width + b]! + sums[a]! * sums[b]!;
    for (const a of touched) sums[a] = 0;
  }
  return meat;
}

/**
 * Standard error of a contrast from the clusters' meat: as `clusterStandardError` on its weights.
 *
 * @param w the contrast's solution, by `solutionOf`
 */
export function contrastStandardError(fit: AbsorbedFit, w: Float64Array, meat: Float64Array, clusters: number): number {
  const { columns, groups, rows } = fit.design;
  const width = columns + groups;
  let total = 0;
  for (let i = 0; i < width; i++) {
    const wi = w[i]!;
    if (wi === 0) continue;
    let sum = 0;
    // A cluster lies in one group, so two different groups never meet in the meat.
    const end = Math.min(i, columns);
    for (let j = 0, at = i * width; j < end; j++, at++) sum += meat[at]! * w[j]!;
    total += wi * (2 * sum + meat[i * width + i]! * wi);
  }
  if (clusters < 2 || rows <= fit.rank) return Number.NaN;
  return Math.sqrt(Math.max(0, total) * (clusters / (clusters - 1)) * ((rows - 1) / (rows - fit.rank)));
}

export interface ContrastEstimate {
  readonly estimate: number;
  readonly standardError: number;
}

/**
 * Standard error of sum h y by clusters: sqrt(sum over clusters (sum h e)^2 · G/(G-1) · (N-1)/(N-p)).
 *
 * Source: K.-Y. Liang and S. L. Zeger, Biometrika 73 (1986) 13, with the small-sample factor known as CR1.
 *
 * @param weights h by row
 * @param residual e by row, of the model with rank p
 * @param cluster 0 to `clusters` - 1 by row
 */
export function clusterStandardError(
  weights: Float64Array,
  residual: Float64Array,
  cluster: Int32Array,
  clusters: number,
  rank: number,
): number {
  const n = weights.length;
  if (clusters < 2 || n <= rank) return Number.NaN;
  const sums = new Float64Array(clusters);
  for (let i = 0; i < n; i++) sums[cluster[i]!] = sums[cluster[i]!]! + weights[i]! * residual[i]!;
  let total = 0;
  for (let g = 0; g < clusters; g++) total += sums[g]! * sums[g]!;
  return Math.sqrt(total * (clusters / (clusters - 1)) * ((n - 1) / (n - rank)));
}

/** Rows of a fit laid out by cluster, so that sums over a cluster run in one go through memory. */
export interface ClusterOrder {
  /** Where each row lies. */
  readonly position: Uint32Array;
  /** First position of each cluster, and the end. */
  readonly start: Uint32Array;
  readonly residual: Float64Array;
  /** Level of the eliminated factor, by cluster. */
  readonly groupOf: Int32Array;
  /** Columns of the first two factors; a factor that is not there points to one column of zeros behind all others. */
  readonly first: Int32Array;
  readonly second: Int32Array;
}

/**
 * Lays a fit out by cluster; O(rows). At most two factors beside the eliminated one.
 *
 * @throws RangeError where a cluster lies in more than one level of the eliminated factor
 */
export function clusterOrder(fit: AbsorbedFit, cluster: Int32Array, clusters: number): ClusterOrder {
  const { design } = fit;
  if (design.columnOf.length > 2) throw new RangeError(`at most two factors, got ${design.columnOf.length}`);
  const start = new Uint32Array(clusters + 1);
  for (let i = 0; i < cluster.length; i++) start[cluster[i]! + 1] = start[cluster[i]! + 1]! + 1;
  for (let g = 0; g < clusters; g++) start[g + 1] = start[g + 1]! + start[g]!;
  const next = start.slice();
  const n = cluster.length;
  const position = new Uint32Array(n);
  const residual = new Float64Array(n);
  const groupOf = new Int32Array(clusters).fill(-1);
  const first = new Int32Array(n).fill(design.columns);
  const second = new Int32Array(n).fill(design.columns);
  const [one, two] = design.columnOf;
  for (let i = 0; i < n; i++) {
    const g = cluster[i]!;
    const at = next[g]!;
    next[g] = at + 1;
    position[i] = at;
    residual[at] = fit.residual[i]!;
    if (groupOf[g] === -1) groupOf[g] = design.group[i]!;
    else if (groupOf[g] !== design.group[i]) throw new RangeError(`cluster ${g} lies in more than one group`);
    if (one) first[at] = one[i]!;
    if (two) second[at] = two[i]!;
  }
  return { position, start, residual, groupOf, first, second };
}

/** A column of 1s that can be estimated beside a design: what it needs for its coefficient and interval. */
export interface IndicatorColumn {
  readonly ones: Int32Array;
  /** Sum of squares of what the design leaves of it. */
  readonly norm: number;
  /** Its coefficient beside the design. */
  readonly estimate: number;
  readonly projection: IndicatorProjection;
}

/**
 * Whether a column that is 1 in some rows and 0 elsewhere can be estimated beside the design; null when not.
 *
 * @param ones the rows, each once
 */
export function indicatorColumn(fit: AbsorbedFit, ones: Int32Array): IndicatorColumn | null {
  const projection = fit.projectIndicator(ones);
  const { columns, groups } = projection;
  const { group, columnOf } = fit.design;
  let norm = 0;
  let sum = 0;
  for (let k = 0; k < ones.length; k++) {
    const i = ones[k]!;
    let left = 1 - groups[group[i]!]!;
    for (const columnAt of columnOf) left -= columns[columnAt[i]!]!;
    norm += left;
    sum += fit.residual[i]!;
  }
  if (!(norm > rankTolerance * Math.max(1, ones.length))) return null;
  return { ones, norm, estimate: sum / norm, projection };
}

/**
 * Coefficient of a column of 1s and 0s with its interval: as `extraColumn` without columns beside, in one pass over the
 * rows.
 */
export function indicatorEstimate(
  fit: AbsorbedFit,
  column: IndicatorColumn,
  order: ClusterOrder,
): ExtraEstimate | null {
  const { rows } = fit.design;
  const clusters = order.start.length - 1;
  const rank = fit.rank + 1;
  const degreesOfFreedom = clusters - rank;
  if (degreesOfFreedom < 1 || rows <= rank) return null;
  const { estimate } = column;
  const isOne = new Uint8Array(rows);
  for (let k = 0; k < column.ones.length; k++) isOne[order.position[column.ones[k]!]!] = 1;
  const ofGroup = fit.allGroupsOf(column.projection);
  const b = new Float64Array(fit.design.columns + 1);
  b.set(column.projection.columns);
  const { start, residual, groupOf, first, second } = order;
  let total = 0;
  let at = 0;
  for (let g = 0; g < clusters; g++) {
    let score = 0;
    const a = ofGroup[groupOf[g]!]!;
    for (const end = start[g + 1]!; at < end; at++) {
      const left = isOne[at]! - a - b[first[at]!]! - b[second[at]!]!;
      score += left * (residual[at]! - estimate * left);
    }
    total += score * score;
  }
  const standardError = Math.sqrt(total * (clusters / (clusters - 1)) * ((rows - 1) / (rows - rank))) / column.norm;
  const half = t.quantile(0.975, degreesOfFreedom) * standardError;
  return { estimate, standardError, degreesOfFreedom, low95: estimate - half, high95: estimate + half };
}

export interface ExtraEstimate extends ContrastEstimate {
  readonly degreesOfFreedom: number;
  readonly low95: number;
  readonly high95: number;
}

/**
 * Coefficient of one more column, with its interval; further columns may stand beside it.
 *
 * @param column the column asked for, by row
 * @param beside other columns in the same model; those that add nothing are dropped
 * @returns null when it cannot be estimated beside the design
 */
export function extraColumn(
  fit: AbsorbedFit,
  column: Float64Array,
  cluster: Int32Array,
  clusters: number,
  beside: readonly Float64Array[] = [],
): ExtraEstimate | null {
  const n = column.length;
  let residual = fit.residual;
  let rank = fit.rank;
  const basis: { vector: Float64Array; norm: number }[] = [];
  for (const other of beside) {
    const left = clearedOf(fit.residualOf(other), basis);
    const norm = squares(left);
    if (norm <= rankTolerance * Math.max(1, squares(other))) continue;
    basis.push({ vector: left, norm });
    const b = dot(left, residual) / norm;
    residual = residual.map((e, i) => e - b * left[i]!);
    rank++;
  }
  const left = clearedOf(fit.residualOf(column), basis);
  const norm = squares(left);
  if (!(norm > rankTolerance * Math.max(1, squares(column)))) return null;
  rank++;
  const degreesOfFreedom = clusters - rank;
  if (degreesOfFreedom < 1 || n <= rank) return null;
  const estimate = dot(left, residual) / norm;
  const weights = new Float64Array(n);
  const left2 = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    weights[i] = left[i]! / norm;
    left2[i] = residual[i]! - estimate * left[i]!;
  }
  const standardError = clusterStandardError(weights, left2, cluster, clusters, rank);
  const half = t.quantile(0.975, degreesOfFreedom) * standardError;
  return { estimate, standardError, degreesOfFreedom, low95: estimate - half, high95: estimate + half };
}

function clearedOf(
  vector: Float64Array,
  basis: readonly { readonly vector: Float64Array; readonly norm: number }[],
): Float64Array {
  for (const one of basis) {
    const b = dot(one.vector, vector) / one.norm;
    for (let i = 0; i < vector.length; i++) vector[i] = vector[i]! - b * one.vector[i]!;
  }
  return vector;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}

function squares(a: Float64Array): number {
  return dot(a, a);
}

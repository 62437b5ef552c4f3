/** Readings of a study split by tool, operator and shift: does pooling hide a mixture? (definitions 17) */
import type { StrataTable, StratumRow } from '../contract/models/study-model.ts';
import { operatorLabels } from '../drift/operator-labels.ts';
import type { Plant } from '../readings/plant.ts';
import { blockOfKey } from '../readings/shift-occurrence.ts';
import { ascendingValues } from '../stats/ascending-values.ts';
import {
  brownForsythe,
  kruskalWallis,
  meanDifference,
  varianceComponents,
  welchAnova,
} from '../stats/compare-groups.ts';
import { medianOfSorted, quantileType7 } from '../stats/quantiles.ts';
import { sampleMoments } from '../stats/sample-moments.ts';
import { finished, type Steps } from '../steps.ts';
import type { Study } from './study.ts';

/** A row enters the tests with so many readings. */
const leastInRow = 10;
/** A cell counts with so many readings (definitions 14); a row enters tests on cells with so many of them. */
const leastInCell = 3;
const leastCells = 2;
/** At most so many rows are shown. */
const mostRows = 60;
/** Above so many readings the rank test, which sorts objects, is left out. */
const mostForRanks = 100_000;

const known = new WeakMap<Study, Map<boolean, StrataTable[]>>();

/** The three tables; a factor with one level gives none. O(n), and a sort a level where values are no decimals; once a study. */
export function studyStrata(plant: Plant, study: Study, anonymousOperators = false): StrataTable[] {
  return finished(studyStrataSteps(plant, study, anonymousOperators));
}

/** The same in steps: one a table. */
export function* studyStrataSteps(plant: Plant, study: Study, anonymousOperators = false): Steps<StrataTable[]> {
  const ofStudy = known.get(study) ?? new Map<boolean, StrataTable[]>();
  known.set(study, ofStudy);
  let tables = ofStudy.get(anonymousOperators);
  if (!tables) {
    tables = yield* allTables(plant, study, anonymousOperators);
    ofStudy.set(anonymousOperators, tables);
  }
  return tables;
}

/** Values of one level, and the means of its cells where the study spans more than one block. */
interface Level {
  readonly values: Float64Array;
  readonly cells: number[];
}

function* allTables(plant: Plant, study: Study, anonymousOperators: boolean): Steps<StrataTable[]> {
  const { register, readings } = plant;
  const { positions } = study.origin;
  // A stratum lies within one block, and a block within one shift.
  const shiftOfStratum = Int32Array.from(study.readings.blockOfStratum, (block) =>
    block < 0 ? -1 : blockOfKey(block).shift,
  );
  const { strata } = study.readings;
  const factors: [StrataTable['by'], (k: number) => number, readonly string[]][] = [
    ['tool', (k) => readings.tool[positions[k]!]!, register.tools.map((tool) => tool.serial)],
    ['operator', (k) => readings.operator[positions[k]!]!, operatorLabels(register, anonymousOperators).slice(0, -1)],
    ['shift', (k) => shiftOfStratum[strata[study.orderOf[k]!]!]!, register.shifts.map((shift) => shift.name)],
  ];
  const tables: StrataTable[] = [];
  const n = study.values.length;
  const cells = cellsOf(plant, study);
  for (const [by, levelOf, names] of factors) {
    const level = new Int32Array(n);
    const sizes = new Int32Array(names.length);
    for (let k = 0; k < n; k++) {
      const l = levelOf(k);
      level[k] = l;
      if (l >= 0) sizes[l]!++;
    }
    const lists = Array.from(sizes, (size): Level => ({ values: new Float64Array(size), cells: [] }));
    const next = new Int32Array(names.length);
    for (let k = 0; k < n; k++) {
      const l = level[k]!;
      if (l >= 0) lists[l]!.values[next[l]!++] = study.values[k]!;
    }
    // A cell lies within one tool, operator and shift: its first reading tells its level.
    for (const cell of cells ?? []) {
      const l = level[cell.first]!;
      if (l >= 0 && cell.n >= leastInCell) lists[l]!.cells.push(cell.mean);
    }
    const levels = new Map<string, Level>();
    names.forEach((name, l) => {
      // Two people of one name stay apart.
      if (sizes[l]! > 0) levels.set(levels.has(name) ? `${name} (${l + 1})` : name, lists[l]!);
    });
    yield;
    if (levels.size >= 2) tables.push(strataTable(by, levels, cells !== null, study.readings.decimals));
    yield;
  }
  return tables;
}

/**
 * Means of tool x operator x block; null where all readings lie in one block. Readings of one shift share its luck: with
 * more than one block groups are compared on cells, never on single readings (definitions 17).
 */
function cellsOf(plant: Plant, study: Study): { first: number; n: number; mean: number }[] | null {
  const { readings } = study;
  // A stratum is tool x revision x block; other revisions are in only where their limits are equal.
  const operators = plant.register.operators.length + 1;
  const cells: { first: number; n: number; mean: number }[] = [];
  const cellOf = new Map<number, number>();
  // Few enough places for a plain table: asking a map a million times would cost more than all the rest.
  const places = readings.strataCount * operators;
  const table = places <= 4_000_000 ? new Int32Array(places).fill(-1) : null;
  const blocks = new Set<number>();
  for (let k = 0; k < study.values.length; k++) {
    const order = study.orderOf[k]!;
    const stratum = readings.strata[order]!;
    const place = stratum * operators + plant.readings.operator[study.origin.positions[k]!]! + 1;
    const at = table ? table[place]! : (cellOf.get(place) ?? -1);
    if (at >= 0) {
      const cell = cells[at]!;
      cell.n++;
      cell.mean += study.values[k]!;
      continue;
    }
    if (table) table[place] = cells.length;
    else cellOf.set(place, cells.length);
    cells.push({ first: k, n: 1, mean: study.values[k]! });
    blocks.add(readings.blockOfStratum[stratum]!);
  }
  if (blocks.size < 2) return null;
  for (const cell of cells) cell.mean /= cell.n;
  return cells;
}

function strataTable(
  by: StrataTable['by'],
  levels: ReadonlyMap<string, Level>,
  onCells: boolean,
  decimals: number,
): StrataTable {
  const rows: StratumRow[] = [];
  for (const [name, { values }] of levels) {
    const moments = sampleMoments(values);
    if (!moments) continue;
    const sorted = ascendingValues(values, decimals);
    rows.push({
      name,
      n: values.length,
      mean: moments.mean,
      s: moments.standardDeviation,
      median: medianOfSorted(sorted),
      low: quantileType7(sorted, 0.05),
      high: quantileType7(sorted, 0.95),
    });
  }
  rows.sort((a, b) => b.n - a.n || (a.name < b.name ? -1 : 1));
  const compared = (row: StratumRow): ArrayLike<number> => {
    const level = levels.get(row.name);
    return (onCells ? level?.cells : level?.values) ?? [];
  };
  const tested = rows.filter((row) =>
    onCells ? compared(row).length >= leastCells : row.n >= leastInRow && (row.s ?? 0) > 0,
  );
  const groups = tested.map(compared);
  const total = groups.reduce((sum, group) => sum + group.length, 0);
  const enough = tested.length >= 2;
  const welch = enough ? welchAnova(groups) : null;
  const ranks = enough && total <= mostForRanks ? kruskalWallis(groups) : null;
  const spread = enough ? brownForsythe(groups, onCells ? null : tested.map((row) => row.median)) : null;
  const components = enough ? varianceComponents(groups) : null;
  const byMean = tested
    .map((row, g) => ({ name: row.name, values: groups[g]!, mean: sampleMoments(groups[g]!)?.mean ?? row.mean }))
    .sort((a, b) => a.mean - b.mean);
  const lowest = byMean[0];
  const highest = byMean[byMean.length - 1];
  const difference = lowest && highest && lowest !== highest ? meanDifference(lowest.values, highest.values) : null;
  const welchP = welch?.ok ? welch.value.p : null;
  const brownForsytheP = spread?.ok ? spread.value.p : null;
  return {
    by,
    basis: { kind: onCells ? 'cells' : 'readings', count: total },
    rows: rows.slice(0, mostRows),
    welchP,
    kruskalWallisP: ranks?.ok ? ranks.value.p : null,
    brownForsytheP,
    largest:
      lowest && highest && difference
        ? {
            first: lowest.name,
            second: highest.name,
            difference: difference.difference,
            low95: difference.low,
            high95: difference.high,
          }
        : null,
    shareBetween: components?.ok
      ? components.value.between / (components.value.between + components.value.within)
      : null,
    mixture: (welchP !== null && welchP < 0.01) || (brownForsytheP !== null && brownForsytheP < 0.01),
  };
}

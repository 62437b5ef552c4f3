/** Readings of a study split by tool, operator and shift: does pooling hide a mixture? (definitions 17) */
import type { StrataTable, StratumRow } from '../contract/models/study-model.ts';
import { operatorLabels } from '../drift/operator-labels.ts';
import type { Plant } from '../readings/plant.ts';
import { shiftOccurrence } from '../readings/shift-occurrence.ts';
import {
  brownForsythe,
  kruskalWallis,
  meanDifference,
  varianceComponents,
  welchAnova,
} from '../stats/compare-groups.ts';
import { quantileType7, sortedCopy } from '../stats/quantiles.ts';
import { sampleMoments } from '../stats/sample-moments.ts';
import type { Study } from './compute-study.ts';

/** A row enters the tests with so many readings. */
const leastInRow = 10;
/** At most so many rows are shown. */
const mostRows = 60;
/** Above so many readings the rank test, which sorts objects, is left out. */
const mostForRanks = 100_000;

const known = new WeakMap<Study, Map<boolean, StrataTable[]>>();

/** The three tables; a factor with one level gives none. O(n) and a sort a level; once a study. */
export function studyStrata(plant: Plant, study: Study, anonymousOperators = false): StrataTable[] {
  const ofStudy = known.get(study) ?? new Map<boolean, StrataTable[]>();
  known.set(study, ofStudy);
  let tables = ofStudy.get(anonymousOperators);
  if (!tables) {
    tables = allTables(plant, study, anonymousOperators);
    ofStudy.set(anonymousOperators, tables);
  }
  return tables;
}

function allTables(plant: Plant, study: Study, anonymousOperators: boolean): StrataTable[] {
  const { register, readings } = plant;
  const shiftOf = (i: number): number =>
    shiftOccurrence(register.shifts, readings.at[i]!, readings.atStep[i]!)?.shift ?? -1;
  const factors: [StrataTable['by'], (i: number) => number, readonly string[]][] = [
    ['tool', (i) => readings.tool[i]!, register.tools.map((tool) => tool.serial)],
    ['operator', (i) => readings.operator[i]!, operatorLabels(register, anonymousOperators).slice(0, -1)],
    ['shift', shiftOf, register.shifts.map((shift) => shift.name)],
  ];
  const tables: StrataTable[] = [];
  const n = study.values.length;
  for (const [by, levelOf, names] of factors) {
    const level = new Int32Array(n);
    const sizes = new Int32Array(names.length);
    for (let k = 0; k < n; k++) {
      level[k] = levelOf(study.readings.positions[study.orderOf[k]!]!);
      if (level[k]! >= 0) sizes[level[k]!]!++;
    }
    const lists = Array.from(sizes, (size) => new Float64Array(size));
    const next = new Int32Array(names.length);
    for (let k = 0; k < n; k++) {
      const l = level[k]!;
      if (l >= 0) lists[l]![next[l]!++] = study.values[k]!;
    }
    const levels = new Map<string, Float64Array>();
    names.forEach((name, l) => {
      // Two people of one name stay apart.
      if (sizes[l]! > 0) levels.set(levels.has(name) ? `${name} (${l + 1})` : name, lists[l]!);
    });
    if (levels.size >= 2) tables.push(strataTable(by, levels));
  }
  return tables;
}

function strataTable(by: StrataTable['by'], levels: Map<string, Float64Array>): StrataTable {
  const rows: StratumRow[] = [];
  for (const [name, values] of levels) {
    const moments = sampleMoments(values);
    if (!moments) continue;
    const sorted = sortedCopy(values);
    rows.push({
      name,
      n: values.length,
      mean: moments.mean,
      s: moments.standardDeviation,
      median: quantileType7(sorted, 0.5),
      low: moments.least,
      high: moments.greatest,
    });
  }
  rows.sort((a, b) => b.n - a.n || (a.name < b.name ? -1 : 1));
  const tested = rows.filter((row) => row.n >= leastInRow && (row.s ?? 0) > 0);
  const groups = tested.map((row) => levels.get(row.name) ?? new Float64Array(0));
  const total = groups.reduce((sum, group) => sum + group.length, 0);
  const enough = tested.length >= 2;
  const welch = enough ? welchAnova(groups) : null;
  const ranks = enough && total <= mostForRanks ? kruskalWallis(groups) : null;
  const spread = enough ? brownForsythe(groups) : null;
  const components = enough ? varianceComponents(groups) : null;
  const byMean = [...tested].sort((a, b) => a.mean - b.mean);
  const lowest = byMean[0];
  const highest = byMean[byMean.length - 1];
  const difference =
    lowest && highest && lowest !== highest
      ? meanDifference(levels.get(lowest.name) ?? [], levels.get(highest.name) ?? [])
      : null;
  const welchP = welch?.ok ? welch.value.p : null;
  const brownForsytheP = spread?.ok ? spread.value.p : null;
  return {
    by,
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

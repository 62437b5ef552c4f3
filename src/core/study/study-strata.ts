/** Readings of a study split by tool, operator and shift: does pooling hide a mixture? (definitions 17) */
import type { StrataTable, StratumRow } from '../contract/models/study-model.ts';
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

/** The three tables; a factor with one level gives none. O(n) and a sort a level. */
export function studyStrata(plant: Plant, study: Study): StrataTable[] {
  const { register, readings } = plant;
  const tables: StrataTable[] = [];
  const positionOf = (k: number): number => study.readings.positions[study.orderOf[k]!]!;
  const factors = [
    ['tool', (i: number) => register.tools[readings.tool[i]!]?.serial ?? null],
    ['operator', (i: number) => register.operators[readings.operator[i]!]?.badge ?? null],
    [
      'shift',
      (i: number) => {
        const found = shiftOccurrence(register.shifts, readings.at[i]!, readings.atStep[i]!);
        return found ? (register.shifts[found.shift]?.name ?? null) : null;
      },
    ],
  ] as const;
  for (const [by, nameOf] of factors) {
    const levels = new Map<string, number[]>();
    for (let k = 0; k < study.values.length; k++) {
      const name = nameOf(positionOf(k));
      if (name === null) continue;
      const list = levels.get(name);
      if (list) list.push(study.values[k]!);
      else levels.set(name, [study.values[k]!]);
    }
    if (levels.size >= 2) tables.push(strataTable(by, levels));
  }
  return tables;
}

function strataTable(by: StrataTable['by'], levels: Map<string, number[]>): StrataTable {
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
  const groups = tested.map((row) => levels.get(row.name) ?? []);
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

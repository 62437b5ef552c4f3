import { type ListedGroup, studyListedMost } from '../contract/models/study-model.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { roundedText } from '../text/format.ts';
import type { Study } from './study.ts';

/** Every reading in its group, for the report's second page; empty above `studyListedMost`. */
export function listedGroups(plant: Plant, study: Study): ListedGroup[] {
  const { positions, values, used } = study.readings;
  const n = positions.length;
  if (n === 0 || n > studyListedMost) return [];
  const entry = (k: number): ListedGroup['values'][number] => ({
    text: roundedText(values[k]!, study.readings.decimals),
    value: values[k]!,
    leftOut: used[k] !== 1,
    id: readingName(plant.readings, positions[k]!),
  });
  if (study.chart.singles) {
    return [
      {
        group: null,
        values: Array.from({ length: n }, (_, k) => entry(k)),
        mean: study.moments?.mean ?? null,
        s: study.moments?.standardDeviation ?? null,
        signal: false,
      },
    ];
  }
  const signalled = new Set(study.chart.signals.map((signal) => study.chart.points.group[signal.at]!));
  const byGroup = new Map<number, ListedGroup['values'][number][]>();
  for (let k = 0; k < n; k++) {
    const g = study.groupOf[k]!;
    const list = byGroup.get(g);
    if (list) list.push(entry(k));
    else byGroup.set(g, [entry(k)]);
  }
  const rows: ListedGroup[] = [];
  for (const [g, list] of [...byGroup].sort((a, b) => (a[0] < 0 ? 1 : b[0] < 0 ? -1 : a[0] - b[0]))) {
    const size = g < 0 ? 0 : study.groups.n[g]!;
    rows.push({
      group: g < 0 ? null : g,
      values: list,
      mean: size > 0 ? study.groups.mean[g]! : null,
      s: size > 1 ? Math.sqrt(study.groups.sumOfSquares[g]! / (size - 1)) : null,
      signal: signalled.has(g),
    });
  }
  return rows;
}

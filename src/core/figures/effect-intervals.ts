/** Tools, operators or joints against each other, with simultaneous intervals. */
import type { EffectRow } from '../contract/models/drift-model.ts';
import type { Figure } from './figure.ts';
import { figureText } from './figure-format.ts';
import { type IntervalRow, intervalRows } from './interval-rows.ts';

/**
 * Builds the figure. Levels of different comparable sets are kept apart by a rule: their effects cannot be compared.
 *
 * @param rows in the order of the register; never sorted by size, since this is no ranking of people
 */
export function effectIntervals(
  factor: 'tool' | 'operator' | 'joint',
  rows: readonly EffectRow[],
  options: { readonly width: number; readonly rowHeight?: number },
): Figure {
  const sets = [...new Set(rows.map((row) => row.comparableSet))].sort((a, b) => a - b);
  const ordered = sets.flatMap((set) => rows.filter((row) => row.comparableSet === set));
  const excludes = (row: EffectRow): boolean => row.low95 > 0 || row.high95 < 0;
  const drawn: IntervalRow[] = ordered.map((row, k) => ({
    group:
      sets.length > 1 && ordered[k - 1]?.comparableSet !== row.comparableSet
        ? String.fromCharCode(65 + (sets.indexOf(row.comparableSet) % 26))
        : '',
    label: row.label,
    value: row.effectPercent,
    low95: row.low95,
    high95: row.high95,
    strong: excludes(row),
    why: null,
  }));
  return intervalRows(drawn, {
    width: options.width,
    ...(options.rowHeight === undefined ? {} : { rowHeight: options.rowHeight }),
    groupWidth: sets.length > 1 ? 18 : 0,
    labelWidth: 106,
    decimals: 2,
    title: figureText('figure.effects.title', { factor }),
    summary: figureText('figure.effects.summary', { rows: rows.length, beyond: rows.filter(excludes).length }),
  });
}

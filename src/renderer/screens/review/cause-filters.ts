import type { ReadingsFilter } from '#core/contract/calls.ts';
import type { CauseRow, CauseTable } from '#core/contract/models/review-model.ts';

/**
 * The readings that a row of causes counts: first tries with these reasons at this joint. Where another row shares a reason
 * with it the readings are named one by one, as long as the row names them all.
 */
export function causeFilters(row: CauseRow, table: CauseTable): readonly ReadingsFilter[] {
  const shares = (other: CauseRow): boolean =>
    row.reasons.length === 0
      ? other.reasons.length === 0
      : other.reasons.some((reason) => row.reasons.includes(reason));
  const alone = !table.rows.some((other) => other.key !== row.key && other.joint === row.joint && shares(other));
  if (!alone && row.readings.length === row.count) return [{ column: 'reading', anyOf: [...row.readings] }];
  return [
    { column: 'verdict', anyOf: row.reasons.length > 0 ? [...row.reasons] : ['unjudged'] },
    { column: 'joint', anyOf: [row.joint ?? ''] },
    { column: 'attempt', from: 1, to: 1 },
  ];
}

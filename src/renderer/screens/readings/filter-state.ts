import type { ReadingsFilter } from '#core/contract/calls.ts';

export type FilterColumn = ReadingsFilter['column'];
export type RangeColumn = 'torquePlace' | 'anglePlace' | 'torque' | 'angle' | 'at' | 'attempt';

/** The filters with this column's replaced, or taken away when null; a new filter comes last. */
export function withFilter(
  filters: readonly ReadingsFilter[],
  column: FilterColumn,
  next: ReadingsFilter | null,
): readonly ReadingsFilter[] {
  const at = filters.findIndex((filter) => filter.column === column);
  if (next === null) return filters.filter((filter) => filter.column !== column);
  return at < 0 ? [...filters, next] : filters.map((filter, index) => (index === at ? next : filter));
}

/** The range a column is filtered to, or null. */
export function rangeOf(
  filters: readonly ReadingsFilter[],
  column: RangeColumn,
): { readonly from: number | null; readonly to: number | null } | null {
  for (const filter of filters) {
    if (filter.column === column && 'from' in filter) return { from: filter.from, to: filter.to };
  }
  return null;
}

/** The names a column is filtered to; empty: not filtered. */
export function namesOf(filters: readonly ReadingsFilter[], column: FilterColumn): readonly string[] {
  for (const filter of filters) if (filter.column === column && 'anyOf' in filter) return filter.anyOf;
  return [];
}

/** A filter by names for the column; null when none is chosen. */
export function namesFilter(column: FilterColumn, chosen: readonly string[]): ReadingsFilter | null {
  if (chosen.length === 0) return null;
  switch (column) {
    case 'joint':
    case 'tool':
    case 'operator':
    case 'source':
    case 'fastener':
      return { column, anyOf: [...chosen] };
    case 'verdict':
      return { column, anyOf: chosen.filter(isVerdict) };
    case 'ownResult':
      return { column, anyOf: chosen.filter(isOwn) };
    default:
      return null;
  }
}

type Verdict = Extract<ReadingsFilter, { column: 'verdict' }>['anyOf'][number];
const verdicts: readonly string[] = [
  'pass',
  'fail',
  'unjudged',
  'torque-low',
  'torque-high',
  'angle-low',
  'angle-high',
] satisfies readonly Verdict[];
const isVerdict = (name: string): name is Verdict => verdicts.includes(name);

type Own = Extract<ReadingsFilter, { column: 'ownResult' }>['anyOf'][number];
const owns: readonly string[] = ['good', 'bad', 'differs', 'none'] satisfies readonly Own[];
const isOwn = (name: string): name is Own => owns.includes(name);

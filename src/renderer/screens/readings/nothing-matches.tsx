import type { ReactNode } from 'react';
import type { ReadingsFilter } from '#core/contract/calls.ts';
import type { ReadingsPage } from '#core/contract/models/readings-model.ts';
import { Button } from '../../parts/button.tsx';
import { EmptyState } from '../../parts/empty-state.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { plain } from '../../parts/text.ts';

/** Said where no reading matches, with the filters that can be taken off. */
export function NothingMatches({
  page,
  filters,
  onFilters,
}: {
  page: ReadingsPage;
  filters: readonly ReadingsFilter[];
  onFilters: (filters: readonly ReadingsFilter[]) => void;
}): ReactNode {
  if (!page.empty) return null;
  return (
    <EmptyState
      action={page.empty.without.map((one) => (
        <Button key={one.filter} onPress={() => onFilters(filters.filter((_, index) => index !== one.filter))}>
          {plain(one.said)}
        </Button>
      ))}
    >
      <Sentence of={page.empty.said} />
    </EmptyState>
  );
}

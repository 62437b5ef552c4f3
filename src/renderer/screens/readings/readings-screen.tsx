import { type ReactNode, useCallback, useState } from 'react';
import type { ReadingsFilter } from '#core/contract/calls.ts';
import { Button } from '../../parts/button.tsx';
import { Chip } from '../../parts/chip.tsx';
import { EmptyState } from '../../parts/empty-state.tsx';
import { useKeys } from '../../parts/keys.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { ScopeBar } from '../../parts/scope-bar.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { useStatus } from '../../state/use-status.ts';
import { changeView, currentView, narrowScope, useView } from '../../state/view.ts';
import { ReadingsTable } from './readings-table.tsx';
import './readings.css';
import { type Sort, useRows } from './use-rows.ts';

/** Show me the rows. */
export default function ReadingsScreen(): ReactNode {
  const view = useView();
  const status = useStatus();
  const [sort, setSort] = useState<Sort>([{ column: 'at', descending: false }]);
  const scope = view.period ? narrowScope(view) : null;
  const rows = useRows(scope, view.filters, sort);
  const page = rows.first.value;

  const setFilters = useCallback((filters: readonly ReadingsFilter[]) => changeView({ filters, reading: null }), []);
  const clearLast = (): unknown => {
    const { filters } = currentView();
    if (filters.length === 0) return false;
    setFilters(filters.slice(0, -1));
    return true;
  };
  useKeys({ escape: clearLast });

  return (
    <>
      <ScopeBar end={view.filters.length > 0 ? t('ui.readings.esc', {}) : undefined}>
        <span className="scope-group">
          {view.filters.map((filter, index) => {
            const words = page?.filterWords[index];
            if (!words || rows.first.stale) return null;
            return (
              <Chip
                key={filter.column}
                removeLabel={plain(words)}
                onRemove={() => setFilters(view.filters.filter((_, other) => other !== index))}
              >
                <Sentence of={words} />
              </Chip>
            );
          })}
        </span>
      </ScopeBar>
      <div className="screen readings">
        <Waiting
          on={scope !== null && rows.first.loading}
          progress={rows.first.progress}
          onCancel={rows.first.cancel}
        />
        <ProblemLine problem={rows.first.problem} onAgain={rows.first.again} />
        {status && status.readings === 0 && !status.loading ? (
          <EmptyState
            action={
              <Button kind="go" onPress={() => changeView({ screen: 'intake' })}>
                {t('ui.empty.go-intake', {})}
              </Button>
            }
          >
            {t('ui.empty.no-readings', {})}
          </EmptyState>
        ) : page ? (
          <ReadingsTable rows={rows} page={page} sort={sort} onSort={setSort} onFilters={setFilters} />
        ) : null}
      </div>
    </>
  );
}

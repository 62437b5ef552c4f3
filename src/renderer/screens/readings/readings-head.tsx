import type { useTable } from '@tanstack/react-table';
import type { ReactNode } from 'react';
import type { ReadingsFilter } from '#core/contract/calls.ts';
import type { ReadingsPage, ReadingsPictures } from '#core/contract/models/readings-model.ts';
import type { ReadingRow } from '#core/contract/models/shared.ts';
import { t } from '../../parts/text.ts';
import { useRoving } from '../../parts/use-roving.ts';
import { type features, rightAligned, sortable, widths } from './columns.tsx';
import { NamesPicture, RangePicture } from './filter-pictures.tsx';
import { namesFilter, namesOf, type RangeColumn, rangeOf, withFilter } from './filter-state.ts';
import type { Sort } from './use-rows.ts';

interface HeadProps {
  readonly template: string;
  readonly table: ReturnType<typeof useTable<typeof features, ReadingRow>>;
  readonly page: ReadingsPage;
  readonly filters: readonly ReadingsFilter[];
  readonly sort: Sort;
  readonly onSort: (id: string, second: boolean) => void;
  readonly onFilters: (filters: readonly ReadingsFilter[]) => void;
  readonly operator: (badge: string | null, name: string | null) => string;
}

/** Pictures that filter, then the heads that sort. */
export function ReadingsHead({
  template,
  table,
  page,
  filters,
  sort,
  onSort,
  onFilters,
  operator,
}: HeadProps): ReactNode {
  const ids = table.getVisibleLeafColumns().map((column) => column.id);
  const filtered = ids.filter((id) => pictureOf(page.pictures, id));
  const pictures = useRoving(filtered.length, 'horizontal');
  const heads = useRoving(ids.length, 'horizontal');
  return (
    // biome-ignore lint/a11y/useSemanticElements: virtual rows cannot be laid out as a table element
    <div role="rowgroup" className="readings-head">
      {/* biome-ignore lint/a11y/useSemanticElements: as above */}
      {/* biome-ignore lint/a11y/useFocusableInteractive: its buttons are focused */}
      <div role="row" className="filter-row" style={{ gridTemplateColumns: template }} onKeyDown={pictures.onKeyDown}>
        {ids.map((id) => (
          // biome-ignore lint/a11y/useSemanticElements: as above
          // biome-ignore lint/a11y/useFocusableInteractive: its button is focused
          <div key={id} role="gridcell" className="cell">
            {picture(id, filtered.indexOf(id))}
          </div>
        ))}
      </div>
      {/* biome-ignore lint/a11y/useSemanticElements: as above */}
      {/* biome-ignore lint/a11y/useFocusableInteractive: its buttons are focused */}
      <div role="row" className="head-row" style={{ gridTemplateColumns: template }} onKeyDown={heads.onKeyDown}>
        {table.getFlatHeaders().map((header, index) => {
          const id = header.column.id;
          const column = sortable[id];
          const at = column ? sort.findIndex((s) => s.column === column) : -1;
          const one = sort[at];
          return (
            // biome-ignore lint/a11y/useSemanticElements: as above
            // biome-ignore lint/a11y/useFocusableInteractive: its button is focused
            <div
              key={header.id}
              role="columnheader"
              className={rightAligned.has(id) ? 'cell right' : 'cell'}
              {...(one ? { 'aria-sort': one.descending ? ('descending' as const) : ('ascending' as const) } : {})}
            >
              {column ? (
                <button type="button" onClick={(event) => onSort(id, event.shiftKey)} {...heads.item(index)}>
                  <table.FlexRender header={header} />
                  {one ? (
                    <span aria-hidden="true">
                      {one.descending ? ' ↓' : ' ↑'}
                      {sort.length > 1 ? <sub>{at + 1}</sub> : null}
                    </span>
                  ) : null}
                </button>
              ) : (
                <table.FlexRender header={header} />
              )}
            </div>
          );
        })}
      </div>
    </div>
  );

  function picture(id: string, index: number): ReactNode {
    const { pictures: all } = page;
    if (!all || index < 0) return null;
    const rove = pictures.item(index);
    const range = (column: RangeColumn, kind: 'number' | 'time', decimals: number, label: string): ReactNode => {
      const one = all[column];
      return one ? (
        <RangePicture
          picture={one}
          label={label}
          width={(widths[id] ?? 60) - 10}
          kind={kind}
          decimals={decimals}
          value={rangeOf(filters, column)}
          onChange={(value) => onFilters(withFilter(filters, column, value ? { column, ...value } : null))}
          rove={rove}
        />
      ) : null;
    };
    const names = (
      column: 'joint' | 'tool' | 'operator' | 'source' | 'verdict' | 'ownResult',
      label: string,
      inAll: (count: number) => string,
      words?: (name: string, text: string) => string,
    ): ReactNode => (
      <NamesPicture
        picture={all[column]}
        label={label}
        chosen={namesOf(filters, column)}
        onChange={(chosen) => onFilters(withFilter(filters, column, namesFilter(column, chosen)))}
        rove={rove}
        all={inAll}
        short={column === 'verdict'}
        {...(words ? { words } : {})}
      />
    );
    switch (id) {
      case 'mark':
        return names('verdict', t('ui.readings.head.mark', {}), () => t('ui.readings.filter.all', {}));
      case 'time':
        return range('at', 'time', 0, t('ui.readings.head.time', {}));
      case 'joint':
        return names('joint', t('ui.readings.head.joint', {}), (count) => t('ui.readings.filter.joints', { count }));
      case 'tool':
        return names('tool', t('ui.readings.head.tool', {}), (count) => t('ui.readings.filter.tools', { count }));
      case 'operator':
        return names(
          'operator',
          t('ui.readings.head.operator', {}),
          (count) => t('ui.readings.filter.operators', { count }),
          (name, label) => (label === name ? name : operator(name, label.replace(` (${name})`, ''))),
        );
      case 'torque':
        return range('torque', 'number', 2, t('ui.readings.head.torque', { unit: '' }));
      case 'torquePlace':
        return range('torquePlace', 'number', 2, t('ui.readings.head.torquePlace', {}));
      case 'angle':
        return range('angle', 'number', 0, t('ui.readings.head.angle', {}));
      case 'anglePlace':
        return range('anglePlace', 'number', 2, t('ui.readings.head.anglePlace', {}));
      case 'ownResult':
        return names('ownResult', t('ui.readings.head.ownResult', {}), (count) =>
          t('ui.readings.filter.kinds', { count }),
        );
      case 'attempt':
        return range('attempt', 'number', 0, t('ui.readings.head.attempt', {}));
      case 'source':
        return names('source', t('ui.readings.head.source', {}), (count) => t('ui.readings.filter.sources', { count }));
      default:
        return null;
    }
  }
}

/** Whether a column has a picture to filter by. */
function pictureOf(pictures: ReadingsPictures | null, id: string): boolean {
  if (!pictures) return false;
  switch (id) {
    case 'mark':
    case 'joint':
    case 'tool':
    case 'operator':
    case 'ownResult':
    case 'source':
      return true;
    case 'time':
      return pictures.at !== null;
    case 'torque':
    case 'torquePlace':
    case 'angle':
    case 'anglePlace':
    case 'attempt':
      return pictures[id] !== null;
    default:
      return false;
  }
}

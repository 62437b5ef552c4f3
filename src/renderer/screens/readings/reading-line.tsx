import { FlexRender, type Row } from '@tanstack/react-table';
import { memo, type ReactNode } from 'react';
import type { ReadingRow } from '#core/contract/models/shared.ts';
import { t } from '../../parts/text.ts';
import { type features, rightAligned } from './columns.tsx';

interface ReadingLineProps {
  readonly index: number;
  /** Null while its page is on its way. */
  readonly model: Row<typeof features, ReadingRow> | null;
  /** Number of visible cells: a change means that columns came or went. */
  readonly cells: number;
  readonly template: string;
  readonly top: number;
  readonly height: number;
  readonly selected: boolean;
  readonly cursor: boolean;
  readonly onPress: (index: number, extend: boolean) => void;
  readonly onOpen: (id: string) => void;
}

/** One row, drawn once and then only moved. */
export const ReadingLine = memo(function ReadingLine(props: ReadingLineProps): ReactNode {
  const { index, model, template, top, height, selected, cursor, onPress, onOpen } = props;
  return (
    // biome-ignore lint/a11y/useFocusableInteractive: the grid has the focus, by aria-activedescendant
    // biome-ignore lint/a11y/useSemanticElements: virtual rows cannot be laid out as a table element
    // biome-ignore lint/a11y/useKeyWithClickEvents: the keys are the grid's
    <div
      id={`row-${index}`}
      role="row"
      aria-rowindex={index + 2}
      aria-selected={selected}
      className={`reading-row${cursor ? ' cursor' : ''}${model?.original.leftOut == null ? '' : ' left-out'}`}
      style={{ gridTemplateColumns: template, height, transform: `translateY(${top}px)` }}
      onClick={(event) => onPress(index, event.shiftKey)}
      onDoubleClick={() => model && onOpen(model.id)}
    >
      {model ? (
        model.getVisibleCells().map((cell) => (
          // biome-ignore lint/a11y/useFocusableInteractive: rows are the unit of moving here
          // biome-ignore lint/a11y/useSemanticElements: as above
          <div key={cell.id} role="gridcell" className={rightAligned.has(cell.column.id) ? 'cell right' : 'cell'}>
            <FlexRender cell={cell} />
          </div>
        ))
      ) : (
        // biome-ignore lint/a11y/useFocusableInteractive: as above
        // biome-ignore lint/a11y/useSemanticElements: as above
        <div role="gridcell" className="cell muted">
          {t('ui.readings.loading', {})}
        </div>
      )}
    </div>
  );
});

import type { ReactNode } from 'react';
import { Button } from '../../parts/button.tsx';
import { t } from '../../parts/text.ts';

interface TableActionsProps {
  /** Number of selected rows. */
  readonly selected: number;
  /** Whether the row at the cursor is left out, so that the action puts it back. */
  readonly leftOut: boolean;
  readonly total: number;
  readonly exporting: boolean;
  readonly onLeaveOut: () => void;
  readonly onNote: () => void;
  readonly onAssign: () => void;
  readonly onCopy: () => void;
  readonly onExport: () => void;
}

/** What can be done with the selected rows, or with all of them. */
export function TableActions(props: TableActionsProps): ReactNode {
  const { selected, leftOut, total, exporting, onLeaveOut, onNote, onAssign, onCopy, onExport } = props;
  return (
    <div className="actions">
      {selected > 0 ? (
        <>
          <Button keyName="X" onPress={onLeaveOut}>
            {leftOut ? t('ui.readings.put-back', {}) : t('ui.readings.leave-out', {})}
          </Button>
          {selected > 1 ? (
            <Button keyName="N" onPress={onNote}>
              {t('ui.readings.note-several', { count: selected })}
            </Button>
          ) : null}
          <Button onPress={onAssign}>{t('ui.readings.assign', {})}</Button>
        </>
      ) : null}
      <Button keyName="Ctrl C" onPress={onCopy} disabled={total === 0}>
        {selected > 0 ? t('ui.readings.copy-some', { count: selected }) : t('ui.readings.copy', {})}
      </Button>
      <Button keyName="E" onPress={onExport} disabled={total === 0 || exporting}>
        {t('ui.readings.export', {})}
      </Button>
    </div>
  );
}

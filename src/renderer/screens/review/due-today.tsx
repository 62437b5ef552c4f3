import type { ReactNode } from 'react';
import { useCall } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { useNow } from '../../state/use-now.ts';
import { changeView } from '../../state/view.ts';

/** What a supervisor has to know first in the morning, with the way to the list; nothing while nothing is due. */
export function DueToday(): ReactNode {
  const now = useNow();
  const asked = useCall('collection:read', now === null ? null : { now }, 'review due');
  const due = (asked.value?.rows ?? []).filter((row) =>
    [row.readOut, row.check, row.calibration].some((state) => state === 'overdue' || state === 'today'),
  );
  if (!asked.value || due.length === 0) return null;
  return (
    <p className="due-today">
      <Sentence of={asked.value.said} />{' '}
      <Button kind="link" onPress={() => changeView({ screen: 'drift' })}>
        {t('ui.review.due', {})}
      </Button>
    </p>
  );
}

import type { ReactNode } from 'react';
import type { DriftToolModel } from '#core/contract/models/drift-model.ts';
import { Button } from '../../parts/button.tsx';
import { Region } from '../../parts/region.tsx';
import { t } from '../../parts/text.ts';
import { changeView } from '../../state/view.ts';

/** What this tool did since its last good check: the list that is asked for first when a check fails. */
export function AffectedReadings({ model }: { model: DriftToolModel }): ReactNode {
  const { affected, inQuestion, tool } = model.row;
  const open = (from: number | null, to: number | null): void =>
    changeView({
      screen: 'readings',
      tools: [tool],
      tool,
      joints: [],
      operators: [],
      brush: null,
      filters: [],
      period: { from, to, shift: null },
    });
  return (
    <Region title={t('ui.drift.affected', {})}>
      <p className="second-text">
        <Button
          kind="link"
          // Just after the check: its own minute is the tester's, not the line's.
          onPress={() => open(affected.since === null ? null : affected.since + 1, affected.until)}
        >
          {t('ui.drift.affected.readings', { count: affected.count })}
        </Button>{' '}
        {t('ui.drift.affected.since', { since: affected.since, until: affected.until, passed: affected.passed })}{' '}
        {affected.noTime > 0 ? t('ui.drift.affected.no-time', { count: affected.noTime }) : ''}
      </p>
      {affected.byJoint.length > 0 ? (
        <p className="caption">
          {affected.byJoint
            .map((one) => t('ui.drift.affected.joint', { joint: one.joint, count: one.count, passed: one.passed }))
            .join('; ')}
          .
        </p>
      ) : null}
      {inQuestion ? (
        <p className="second-text">
          <Button kind="link" onPress={() => open(inQuestion.since, null)}>
            {t('ui.drift.affected.readings', { count: inQuestion.count })}
          </Button>{' '}
          {t('ui.drift.question.since', { since: inQuestion.since, wouldLeave: inQuestion.wouldLeaveLimits })}
        </p>
      ) : null}
    </Region>
  );
}

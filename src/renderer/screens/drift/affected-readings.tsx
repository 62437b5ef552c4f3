import type { ReactNode } from 'react';
import type { DriftToolModel } from '#core/contract/models/drift-model.ts';
import { useBridge } from '../../bridge/use-bridge.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Region } from '../../parts/region.tsx';
import { t } from '../../parts/text.ts';
import { changeView } from '../../state/view.ts';

/** What this tool did since its last good check: the list that is asked for first when a check fails. */
export function AffectedReadings({ model }: { model: DriftToolModel }): ReactNode {
  const { affected, inQuestion, tool } = model.row;
  const bridge = useBridge();
  const csv = useCommand('readings:csv');
  const save = async (from: number | null, to: number | null): Promise<void> => {
    const scope = { from, to, shifts: [], joints: [], tools: [tool], operators: [] };
    const file = await csv.run({ scope, filters: [] });
    if (file) await bridge.saveFile(file);
  };
  const since = affected.since === null ? null : affected.since + 1;
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
          onPress={() => open(since, affected.until)}
        >
          {t('ui.drift.affected.readings', { count: affected.count })}
        </Button>{' '}
        {t('ui.drift.affected.since', { since: affected.since, until: affected.until, passed: affected.passed })}{' '}
        {affected.noTime > 0 ? `${t('ui.drift.affected.no-time', { count: affected.noTime })} ` : ''}
        {affected.count > 0 ? (
          <Button kind="link" disabled={csv.running} onPress={() => void save(since, affected.until)}>
            {t('ui.drift.affected.csv', {})}
          </Button>
        ) : null}
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
          {t('ui.drift.question.since', { since: inQuestion.since, wouldLeave: inQuestion.wouldLeaveLimits })}{' '}
          <Button kind="link" disabled={csv.running} onPress={() => void save(inQuestion.since, null)}>
            {t('ui.drift.affected.csv', {})}
          </Button>
        </p>
      ) : null}
      <ProblemLine problem={csv.problem} />
    </Region>
  );
}

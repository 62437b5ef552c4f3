import type { ReactNode } from 'react';
import type { SettleModel } from '#core/contract/models/register-model.ts';
import { useCall } from '../../bridge/use-call.ts';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

const listed = 4;

/** What settling a name comes to, asked of the engine before it is done. */
export function useSettlePreview(
  kind: SettleModel['kind'],
  name: string,
  into: string | null,
  lane: string,
): { readonly model: SettleModel | null; readonly problem: ReturnType<typeof useCall>['problem'] } {
  const asked = useCall('register:settle', into === null ? null : { kind, name, into, dryRun: true }, lane, {
    touches: ['readings', 'register', 'marks', 'studies'],
  });
  const model = asked.stale || into === null ? null : (asked.value?.comesTo ?? null);
  return { model, problem: asked.problem };
}

/** "7 readings count as Crank M6 from then on. 2 verdicts of them change." and what follows. */
export function SettlePreview({ model }: { model: SettleModel }): ReactNode {
  return (
    <div className="settle-preview">
      <p>
        <Sentence of={model.said} />
      </p>
      {model.changes.length === 0 ? null : (
        <ul className="said-list">
          {model.changes.slice(0, listed).map((change) => (
            <li key={`${change.from} ${change.to}`}>
              <Sentence of={change.said} />
            </li>
          ))}
          {model.changes.length > listed ? (
            <li>{t('register-ui.more', { count: model.changes.length - listed })}</li>
          ) : null}
        </ul>
      )}
      {model.follow ? (
        <p>
          <Sentence of={model.follow} />
        </p>
      ) : null}
    </div>
  );
}

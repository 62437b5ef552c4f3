import type { ReactNode } from 'react';
import type { ReviewModel } from '#core/contract/models/review-model.ts';
import { msPerDay, startOfDay } from '#core/time/civil-time.ts';
import { useCall } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { EmptyState } from '../../parts/empty-state.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { ScopeBar } from '../../parts/scope-bar.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { useStatus } from '../../state/use-status.ts';
import { changeView, narrowScope, periodScope, useView } from '../../state/view.ts';
import { Reviewed } from './reviewed.tsx';
import './review.css';

/** What went wrong this shift, and is it one thing or many? */
export default function ReviewScreen(): ReactNode {
  const view = useView();
  const status = useStatus();
  const scope = periodScope(view);
  const known = view.period !== null;
  const whole = useCall('review:read', known ? { scope, ink: view.tool } : null, 'review whole');
  const narrow = useCall(
    'review:read',
    known && view.brush ? { scope: narrowScope(view), ink: view.tool } : null,
    'review narrow',
  );
  const below = view.brush ? (narrow.value ?? whole.value) : whole.value;

  return (
    <>
      <ScopeBar end={t('ui.scope.judged', {})} />
      <div className="screen review">
        <Waiting
          on={(known && whole.loading) || (view.brush !== null && narrow.loading)}
          progress={whole.progress}
          onCancel={whole.cancel}
        />
        <ProblemLine problem={whole.problem ?? narrow.problem} onAgain={whole.again} />
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
        ) : whole.value?.empty ? (
          <EmptyPeriod model={whole.value} />
        ) : whole.value && below ? (
          <Reviewed whole={whole} below={below} />
        ) : null}
      </div>
    </>
  );
}

function EmptyPeriod({ model }: { model: ReviewModel }): ReactNode {
  if (!model.empty) return null;
  const { nearestAt, nearestShift, said } = model.empty;
  const go = (): void => {
    if (nearestAt === null) return;
    const day = startOfDay(nearestAt);
    changeView({ period: { from: day, to: day + msPerDay, shift: nearestShift }, brush: null });
  };
  return (
    <EmptyState
      action={
        nearestAt === null ? undefined : (
          <Button kind="go" onPress={go}>
            {t('ui.review.go-nearest', {})}
          </Button>
        )
      }
    >
      <Sentence of={said} />
    </EmptyState>
  );
}

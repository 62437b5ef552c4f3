import { type ReactNode, useCallback } from 'react';
import type { PaceModel } from '#core/contract/models/review-model.ts';
import { paceColumns } from '#core/figures/pace-columns.ts';
import { msPerDay, msPerMinute } from '#core/time/civil-time.ts';
import { type FigureSize, FigureView } from '../../figures/figure-view.tsx';
import { t } from '../../parts/text.ts';
import { changeView } from '../../state/view.ts';

/** Readings over the period, and its gaps. */
export function Pace({ model }: { model: PaceModel }): ReactNode {
  const build = useCallback((size: FigureSize) => paceColumns(model, size), [model]);
  return (
    <>
      <FigureView
        build={build}
        height={84}
        onSelect={(id) => {
          const from = Number(id);
          if (id !== null && model.stepMs <= msPerDay) changeView({ brush: { from, to: from + model.stepMs } });
        }}
      />
      {model.gaps.length > 0 ? (
        <p className="caption">
          {t('ui.review.pace.gaps', {})}
          {model.gaps
            .slice(0, 3)
            .map((gap) =>
              t('ui.review.pace.gap', {
                from: gap.from,
                to: gap.to,
                minutes: Math.round((gap.to - gap.from) / msPerMinute),
                day: model.stepMs > 15 * msPerMinute,
                name: gap.name,
              }),
            )
            .join(', ')}
        </p>
      ) : null}
    </>
  );
}

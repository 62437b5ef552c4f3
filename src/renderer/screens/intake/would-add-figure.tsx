import { type ReactNode, useCallback } from 'react';
import type { WouldAdd } from '#core/contract/models/intake-model.ts';
import { wouldAddRibbon } from '#core/figures/would-add-ribbon.ts';
import { FigureView } from '../../figures/figure-view.tsx';
import { Region } from '../../parts/region.tsx';
import { t } from '../../parts/text.ts';

const height = 122;

/** A small limit ribbon of the file, one panel a day. */
export function WouldAddFigure({ wouldAdd }: { wouldAdd: WouldAdd }): ReactNode {
  const build = useCallback((size: { width: number; height: number }) => wouldAddRibbon(wouldAdd, size), [wouldAdd]);
  const readings = wouldAdd.pass + wouldAdd.fail + wouldAdd.unjudged + wouldAdd.otherDirection;
  return (
    <Region
      title={t('intake-ui.add.title', {})}
      note={t('intake-ui.add.note', {
        readings,
        fail: wouldAdd.fail,
        unjudged: wouldAdd.unjudged + wouldAdd.otherDirection,
        noTime: wouldAdd.noTime,
        moreDays: wouldAdd.moreDays,
      })}
    >
      {wouldAdd.days.length === 0 ? (
        <p className="caption">{t('intake-ui.add.none', {})}</p>
      ) : (
        <FigureView build={build} height={height} />
      )}
    </Region>
  );
}

import { type ReactNode, useCallback, useMemo } from 'react';
import type { WouldAdd } from '#core/contract/models/intake-model.ts';
import { wouldAddRibbon } from '#core/figures/would-add-ribbon.ts';
import { FigureView } from '../../figures/figure-view.tsx';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { drawnOf, firstDays } from './drawn-of.ts';

const height = 130;

interface WouldAddFigureProps {
  readonly wouldAdd: WouldAdd;
  /** Readings of the file that are held already. */
  readonly held: number;
  /** Questions still open. */
  readonly questions: number;
}

/** A small limit ribbon of the file, one panel a day; while something is asked it says what that leaves open. */
export function WouldAddFigure({ wouldAdd, held, questions }: WouldAddFigureProps): ReactNode {
  const shown = useMemo(() => firstDays(wouldAdd), [wouldAdd]);
  const build = useCallback((size: { width: number; height: number }) => wouldAddRibbon(shown, size), [shown]);
  const readings = wouldAdd.pass + wouldAdd.fail + wouldAdd.unjudged + wouldAdd.otherDirection;
  const { provisional } = wouldAdd;
  const { drawn, of } = drawnOf(shown);
  return (
    <Region
      title={t('intake-ui.add.title', {})}
      className={provisional ? 'would-add so-far' : 'would-add'}
      note={
        <>
          {provisional ? <em>{t('intake-ui.add.so-far', { questions })}</em> : null}
          {t('intake-ui.add.note', {
            readings,
            held,
            fail: wouldAdd.fail,
            unjudged: wouldAdd.unjudged + wouldAdd.otherDirection,
            noTime: wouldAdd.noTime,
            moreDays: shown.moreDays,
          })}
        </>
      }
    >
      {provisional ? (
        <ul className="what-is-open">
          {provisional.said.map((sentence) => (
            <li key={sentence.key}>
              <Sentence of={sentence} />
            </li>
          ))}
        </ul>
      ) : null}
      <FigureView build={build} height={height} />
      {drawn < of ? <p className="caption">{t('intake-ui.add.thinned', { drawn, of })}</p> : null}
    </Region>
  );
}

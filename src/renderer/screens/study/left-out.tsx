import type { ReactNode } from 'react';
import type { StudyModel } from '#core/contract/models/study-model.ts';
import { studyUnitSymbol } from '#core/figures/study-axis.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { MarkGlyph } from '../../parts/mark-glyph.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

/** What was left out, when, why and by whom; and what putting it back would do. */
export function LeftOut({ model }: { model: StudyModel }): ReactNode {
  const back = useCommand('mark:put-back');
  const { leftOut, scopeFacts } = model;
  const unit = studyUnitSymbol(model.unit);
  return (
    <section className="left-out" aria-label={t('ui.study.left-out', {})}>
      <h2>
        {t('ui.study.left-out', {})}{' '}
        <small>
          {t('ui.study.left-out.of', { count: leftOut.length, of: scopeFacts.counts.used + leftOut.length })}
        </small>
      </h2>
      {leftOut.length === 0 ? <p className="choice-note">{t('ui.study.left-out.none', {})}</p> : null}
      <ul>
        {leftOut.map((row) => (
          <li key={row.id}>
            <MarkGlyph kind="left-out" quiet />
            <div>
              <strong>
                {row.value === null
                  ? row.id
                  : `${t('ui.drift.number', { value: row.value, decimals: model.decimals })} ${unit}`}
              </strong>{' '}
              <span className="muted">{t('ui.study.left-out.at', { at: row.at })}</span>
              <br />
              {row.reason}
              <br />
              <span className="muted">{t('ui.study.left-out.by', { by: row.by, own: row.byOwnOperator })}</span>
            </div>
            <Button kind="link" disabled={back.running} onPress={() => void back.run({ readings: [row.id] })}>
              {t('ui.study.put-back', {})}
            </Button>
          </li>
        ))}
      </ul>
      <ProblemLine problem={back.problem} />
      {model.leftOutEffect ? (
        <p className="choice-note">
          <Sentence of={model.leftOutEffect} /> {t('ui.study.left-out.report', {})}
        </p>
      ) : null}
    </section>
  );
}

import type { ReactNode } from 'react';
import { type AppStatus, type ReadingsFilter, readingNotices } from '#core/contract/calls.ts';
import type { PeriodComparison, ReviewModel, ReviewNotice } from '#core/contract/models/review-model.ts';
import { msPerDay, msPerMinute, startOfDay } from '#core/time/civil-time.ts';
import { Button } from '../../parts/button.tsx';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { useStatus } from '../../state/use-status.ts';
import { changeView, type Period } from '../../state/view.ts';
import { openReadings } from './open-readings.ts';
import { Pace } from './pace.tsx';

/** The period of a comparison: a shift of the plant's day where it is one, else its days. */
function periodOf(other: PeriodComparison, shifts: AppStatus['shifts']): Period {
  const day = startOfDay(other.from);
  const shift = shifts.find((s) => s.startMinute * msPerMinute === other.from - day);
  return shift && other.to - other.from < msPerDay
    ? { from: day, to: day + msPerDay, shift: shift.name }
    : { from: other.from, to: other.to, shift: null };
}

/** The readings that a notice counts, as filters of Readings. */
function noticeFilters(notice: ReviewNotice): readonly ReadingsFilter[] {
  if (notice.kind === 'own-result-differs') return [{ column: 'ownResult', anyOf: ['differs'] }];
  const kind = readingNotices.find((one) => one === notice.kind);
  return kind ? [{ column: 'notice', anyOf: [kind] }] : [{ column: 'reading', anyOf: [...notice.readings] }];
}

/** What stands around the shift: other shifts, pace, and what else is worth knowing. */
export function ReviewContext({ model }: { model: ReviewModel }): ReactNode {
  const shifts = useStatus()?.shifts ?? [];
  return (
    <div className="review-context">
      {model.comparison.length > 0 ? (
        <Region title={t('ui.review.compared', {})}>
          <ul className="plain-list">
            {model.comparison.map((other) => (
              <li key={other.kind}>
                <Button kind="link" onPress={() => changeView({ period: periodOf(other, shifts), brush: null })}>
                  <strong>
                    <Sentence of={other.label} />
                  </strong>
                </Button>{' '}
                <Sentence of={other.said} />
              </li>
            ))}
          </ul>
        </Region>
      ) : null}
      <Region title={t('ui.review.pace', {})} note={<Sentence of={model.pace.said} />}>
        <Pace model={model.pace} />
      </Region>
      <Region title={t('ui.review.notices', {})}>
        {model.notices.length === 0 ? (
          <p className="caption">{t('ui.review.notices.none', {})}</p>
        ) : (
          <ul className="plain-list">
            {model.notices.map((notice) => (
              <li key={notice.kind}>
                <Sentence of={notice.said} />
                {notice.readings[0] === undefined ? null : (
                  <>
                    {' '}
                    <Button
                      kind="link"
                      onPress={() =>
                        openReadings(noticeFilters(notice), notice.count === 1 ? (notice.readings[0] ?? null) : null)
                      }
                    >
                      {t('ui.review.notices.show', { count: notice.count })}
                    </Button>
                  </>
                )}
              </li>
            ))}
          </ul>
        )}
      </Region>
    </div>
  );
}

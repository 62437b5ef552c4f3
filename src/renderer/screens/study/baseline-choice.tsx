import type { ReactNode } from 'react';
import { civilText, msPerDay, parseCivil } from '#core/time/civil-time.ts';
import { Button } from '../../parts/button.tsx';
import { Popover } from '../../parts/popover.tsx';
import { t } from '../../parts/text.ts';
import type { ChoicesPanelProps } from './choices-panel-props.ts';

/** The days whose groups set the centre and the limits of the control chart. */
export function BaselineChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const { baseline } = choices;
  const facts = model?.scopeFacts;
  const day = (at: number | null): string => (at === null ? '' : civilText(at, msPerDay));
  const from = baseline?.from ?? null;
  const to = baseline === null || baseline.to === null ? null : baseline.to - 1;
  const shownFrom = from ?? facts?.from ?? null;
  const shownTo = to ?? facts?.to ?? null;
  const read = (text: string): number | null => parseCivil(text)?.at ?? null;
  const set = (next: { from: number | null; to: number | null }): void => {
    if (next.from === null || next.to === null || next.from < next.to) change({ baseline: next });
  };
  const points = model?.chart.baseline?.points ?? null;
  const text =
    baseline === null || shownFrom === null || shownTo === null
      ? t('ui.study.baseline.all', {})
      : t('ui.scope.range', { from: shownFrom, to: shownTo });
  return (
    <Popover
      className="select-like"
      label={`${t('ui.study.baseline', {})}: ${text}`}
      text={baseline === null || points === null ? text : t('ui.study.baseline.with', { span: text, points })}
    >
      {() => (
        <div className="fields">
          <label>
            {t('ui.scope.from', {})}
            <input
              type="date"
              value={day(shownFrom)}
              onChange={(event) => {
                const at = read(event.target.value);
                if (at !== null) set({ from: at, to: baseline?.to ?? null });
              }}
            />
          </label>
          <label>
            {t('ui.scope.to', {})}
            <input
              type="date"
              value={day(shownTo)}
              onChange={(event) => {
                const at = read(event.target.value);
                if (at !== null) set({ from, to: at + msPerDay });
              }}
            />
          </label>
          <p className="choice-note">{t('ui.study.baseline.note', {})}</p>
          {baseline === null ? null : (
            <Button onPress={() => change({ baseline: null })}>{t('ui.study.baseline.all', {})}</Button>
          )}
        </div>
      )}
    </Popover>
  );
}

import type { ReactNode } from 'react';
import type { StudyModelName } from '#core/contract/models/study-model.ts';
import { plain, t } from '../../parts/text.ts';
import type { ChoicesPanelProps } from './choices-panel-props.ts';

/** The distribution that the indices rest on. */
export function ModelChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const offered = model?.models ?? [];
  if (offered.length === 0) {
    return (
      <select value={choices.model} disabled>
        <option value={choices.model}>{t('figure.study.model-name', { name: choices.model })}</option>
      </select>
    );
  }
  return (
    <select
      value={choices.model}
      onChange={(event) => {
        const name = offered.find((one) => one.name === event.target.value)?.name;
        if (name !== undefined) change({ model: name satisfies StudyModelName });
      }}
    >
      {offered.map((one) => (
        <option key={one.name} value={one.name} disabled={!one.offered && one.name !== choices.model}>
          {one.offered ? plain(one.title) : t('ui.study.model.not', { title: plain(one.title) })}
          {one.recommended && one.name !== 'normal' ? t('ui.study.model.recommended', {}) : ''}
        </option>
      ))}
    </select>
  );
}

/** Whether the p of the chosen distribution is simulated; the normal has a table for it. */
export function FitChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
  if (choices.model === 'normal' || choices.model === 'empirical') return null;
  const p = model?.models.find((one) => one.chosen)?.fitP ?? null;
  return (
    <div className="choice">
      <label className="check">
        <input type="checkbox" checked={choices.fitP} onChange={(event) => change({ fitP: event.target.checked })} />
        {t('ui.study.fit-p', {})}
      </label>
      <p className="choice-note">
        {choices.fitP && p !== null ? t('ui.study.fit-p.is', { p }) : t('ui.study.fit-p.note', {})}
      </p>
    </div>
  );
}

import type { ReactNode } from 'react';
import { torqueUnitCodes, torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { t } from '../../parts/text.ts';
import { ChoiceField, DateField, NumberField, TextField } from './number-field.tsx';
import type { RevisionDraft } from './revision-draft.ts';

/** The fields of a draft. */
export function RevisionForm({
  draft,
  onChange,
}: {
  draft: RevisionDraft;
  onChange: (draft: RevisionDraft) => void;
}): ReactNode {
  const set = (change: Partial<RevisionDraft>): void => onChange({ ...draft, ...change });
  const field = (
    key: keyof RevisionDraft &
      (
        | 'low'
        | 'target'
        | 'high'
        | 'lowPercent'
        | 'highPercent'
        | 'angleLow'
        | 'angleTarget'
        | 'angleHigh'
        | 'batchSize'
        | 'retry'
      ),
    label: string,
  ): ReactNode => (
    <NumberField key={key} label={label} width="narrow" value={draft[key]} onChange={(text) => set({ [key]: text })} />
  );
  return (
    <form
      className="draft-form"
      aria-label={t('register-ui.draft', { label: draft.label })}
      onSubmit={(event) => event.preventDefault()}
    >
      <div className="field-row">
        <span className="draft-name you strong">{t('register-ui.draft', { label: draft.label })}</span>
        {draft.percent
          ? [
              field('lowPercent', t('register-ui.low-percent', {})),
              field('target', t('register-ui.target', {})),
              field('highPercent', t('register-ui.high-percent', {})),
            ]
          : [
              field('low', t('register-ui.torque-low', {})),
              field('target', t('register-ui.target', {})),
              field('high', t('register-ui.torque-high', {})),
            ]}
        <ChoiceField
          label={t('register-ui.unit', {})}
          value={draft.unit}
          options={torqueUnitCodes.map((code) => ({ value: code, text: torqueUnitSymbols[code] }))}
          onChange={(unit) => set({ unit })}
        />
        {field('angleLow', t('register-ui.angle-low', {}))}
        {field('angleTarget', t('register-ui.angle-target', {}))}
        {field('angleHigh', t('register-ui.angle-high', {}))}
      </div>
      <div className="field-row">
        <DateField
          label={t('register-ui.from', {})}
          value={draft.from.slice(0, 10)}
          onChange={(from) => set({ from })}
        />
        {field('batchSize', t('register-ui.batch-size', {}))}
        {field('retry', t('register-ui.retry', {}))}
        <TextField label={t('register-ui.by', {})} value={draft.by} onChange={(by) => set({ by })} />
        <TextField label={t('register-ui.why', {})} value={draft.why} onChange={(why) => set({ why })} />
        <label className="check">
          <input type="checkbox" checked={draft.percent} onChange={(event) => set({ percent: event.target.checked })} />
          {t('register-ui.percent', {})}
        </label>
      </div>
    </form>
  );
}

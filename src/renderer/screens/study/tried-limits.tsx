import { type ReactNode, useEffect, useState } from 'react';
import { Button } from '../../parts/button.tsx';
import { t } from '../../parts/text.ts';
import { typedNumber } from '../drift/check-form.tsx';
import type { ChoicesPanelProps } from './choices-panel-props.ts';

/** Limits tried out: hypothetical, never stored with the joint. */
export function TriedLimits({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const { whatIf } = choices;
  const real = model?.limits ?? { low: null, high: null };
  const [low, setLow] = useState('');
  const [high, setHigh] = useState('');
  const kept = `${whatIf?.low ?? ''} ${whatIf?.high ?? ''}`;
  // biome-ignore lint/correctness/useExhaustiveDependencies: only a change from outside (a dragged limit) fills the fields
  useEffect(() => {
    const shown = (value: number | null | undefined, limit: number | null): string =>
      value === null || value === undefined || value === limit ? '' : String(value);
    setLow(shown(whatIf?.low, real.low));
    setHigh(shown(whatIf?.high, real.high));
  }, [kept, real.low, real.high]);
  const commit = (): void => {
    const l = low.trim() === '' ? null : typedNumber(low);
    const h = high.trim() === '' ? null : typedNumber(high);
    if ((low.trim() !== '' && l === null) || (high.trim() !== '' && h === null)) return;
    if (l !== null && h !== null && l >= h) return;
    // An empty field keeps the real limit.
    const next = l === null && h === null ? null : { low: l ?? real.low, high: h ?? real.high };
    if (next !== null && next.low !== null && next.high !== null && next.low >= next.high) return;
    if (JSON.stringify(next) !== JSON.stringify(whatIf)) change({ whatIf: next });
  };
  const wrong =
    (low.trim() !== '' && typedNumber(low) === null) || (high.trim() !== '' && typedNumber(high) === null)
      ? t('ui.study.tried.not-number', {})
      : (typedNumber(low) ?? real.low ?? -Infinity) >= (typedNumber(high) ?? real.high ?? Infinity)
        ? t('ui.study.tried.order', {})
        : null;
  const field = (value: string, set: (text: string) => void, name: string, now: number | null): ReactNode => (
    <label>
      <span>{name}</span>
      <input
        type="text"
        inputMode="decimal"
        size={7}
        value={value}
        placeholder={now === null ? '' : String(now)}
        onChange={(event) => set(event.target.value)}
        onBlur={commit}
        onKeyDown={(event) => {
          if (event.key === 'Enter') commit();
        }}
      />
    </label>
  );
  return (
    <fieldset className={whatIf ? 'choice tried on' : 'choice tried'}>
      <legend>{t('ui.study.tried', {})}</legend>
      <div className="requirement">
        {field(low, setLow, t('ui.study.tried.low', {}), real.low)}
        {field(high, setHigh, t('ui.study.tried.high', {}), real.high)}
        {whatIf ? (
          <Button kind="link" onPress={() => change({ whatIf: null })}>
            {t('ui.study.tried.clear', {})}
          </Button>
        ) : null}
      </div>
      {wrong ? (
        <p className="choice-note" role="alert">
          {wrong}
        </p>
      ) : null}
      <p className="choice-note">{t('ui.study.tried.note', {})}</p>
    </fieldset>
  );
}

import { type ReactNode, useEffect, useState } from 'react';
import type { IndexName } from '#core/contract/models/study-model.ts';
import { Button } from '../../parts/button.tsx';
import { t } from '../../parts/text.ts';
import { typedNumber } from '../drift/check-form.tsx';
import type { ChoicesPanelProps } from './choices-panel-props.ts';

const requirementIndices: readonly IndexName[] = ['Ppk', 'Pp', 'Cpk', 'Cp', 'Cpm', 'Cm', 'Cmk'];

/** The index that has to be reached, its least value, and how it is judged. */
export function RequirementChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const inForce = choices.requirement ?? model?.scopeFacts.requirement ?? null;
  const shown = inForce === null ? '' : String(inForce.value);
  const [text, setText] = useState(shown);
  useEffect(() => setText(shown), [shown]);
  const index = inForce?.index ?? 'Ppk';
  const value = typedNumber(text);
  const commit = (): void => {
    if (value !== null && value > 0 && value !== inForce?.value) change({ requirement: { index, value } });
  };
  return (
    <fieldset className="choice">
      <legend>{t('ui.study.requirement', {})}</legend>
      <div className="requirement">
        <select
          aria-label={t('ui.study.requirement.index', {})}
          value={index}
          onChange={(event) => {
            const next = requirementIndices.find((name) => name === event.target.value);
            if (next) change({ requirement: { index: next, value: inForce?.value ?? 1.33 } });
          }}
        >
          {requirementIndices.map((name) => (
            <option key={name} value={name}>
              {name}
            </option>
          ))}
        </select>
        <span>{t('ui.study.requirement.at-least', {})}</span>
        <input
          type="text"
          inputMode="decimal"
          size={5}
          aria-label={t('ui.study.requirement.value', {})}
          value={text}
          onChange={(event) => setText(event.target.value)}
          onBlur={commit}
          onKeyDown={(event) => {
            if (event.key === 'Enter') commit();
          }}
        />
        {choices.requirement ? (
          <Button kind="link" onPress={() => change({ requirement: null })}>
            {t('ui.study.requirement.by-class', {})}
          </Button>
        ) : null}
      </div>
      {text !== '' && (value === null || value <= 0) ? (
        <p className="choice-note" role="alert">
          {t('ui.study.requirement.bad', {})}
        </p>
      ) : null}
      <p className="choice-note">
        {t('ui.study.requirement.note', {
          from: choices.requirement ? 'chosen' : (model?.scopeFacts.requirement?.from ?? null),
          class: model?.scopeFacts.jointClass ?? null,
          joint: choices.joint !== '',
        })}
      </p>
      <fieldset className="judged">
        <legend className="hidden">{t('ui.study.judged', {})}</legend>
        {(['estimate', 'low-end'] as const).map((judge) => (
          <label key={judge}>
            <input type="radio" name="judged" checked={choices.judge === judge} onChange={() => change({ judge })} />
            {t('ui.study.judged.option', { judge })}
          </label>
        ))}
      </fieldset>
    </fieldset>
  );
}

import { type ReactNode, useState } from 'react';
import type { ToolModel } from '#core/contract/models/register-model.ts';
import { civilText } from '#core/time/civil-time.ts';
import { type TorqueUnit, torqueUnitCodes, torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { QuestionFrame } from '../../parts/question-card.tsx';
import { t } from '../../parts/text.ts';
import { ChoiceField, DateField, NumberField, typedNumber } from './number-field.tsx';

interface Pull {
  readonly shown: string;
  readonly reference: string;
}

/** Pulls usually made at one nominal. */
const usualPulls = 5;

/** Enters a check in place: nominal first, then one row a pull. */
export function CheckForm({
  tool,
  now,
  onDone,
  onTold,
}: {
  tool: ToolModel;
  now: number;
  onDone: () => void;
  onTold: (words: string) => void;
}): ReactNode {
  const put = useCommand('register:put');
  const last = tool.checks[tool.checks.length - 1];
  const [date, setDate] = useState(civilText(now).slice(0, 10));
  const [time, setTime] = useState(civilText(now).slice(11, 16));
  const [kind, setKind] = useState<'as-found' | 'as-left'>('as-found');
  const [unit, setUnit] = useState<TorqueUnit>(last?.unit ?? tool.unit ?? 'N.m');
  const [nominal, setNominal] = useState(last ? String(last.nominal) : '');
  const [uncertainty, setUncertainty] = useState(last?.uncertaintyPercent ? String(last.uncertaintyPercent) : '');
  const [pulls, setPulls] = useState<readonly Pull[]>(
    Array.from({ length: usualPulls }, () => ({ shown: '', reference: '' })),
  );

  const complete = pulls
    .map((pull) => ({ shown: typedNumber(pull.shown), reference: typedNumber(pull.reference) }))
    .filter((pull) => pull.shown !== null || pull.reference !== null);
  const usable = complete.flatMap(({ shown, reference }) =>
    shown !== null && reference !== null && shown > 0 && reference > 0 ? [{ shown, reference }] : [],
  );
  const nominalValue = typedNumber(nominal);
  const uncertaintyValue = typedNumber(uncertainty);
  const ready =
    usable.length > 0 &&
    usable.length === complete.length &&
    nominalValue !== null &&
    nominalValue > 0 &&
    !Number.isNaN(uncertaintyValue) &&
    date !== '' &&
    time !== '';
  const mean =
    usable.reduce((sum, pull) => sum + (100 * (pull.shown - pull.reference)) / pull.reference, 0) /
    Math.max(1, usable.length);
  const setPull = (index: number, change: Partial<Pull>): void =>
    setPulls(pulls.map((pull, i) => (i === index ? { ...pull, ...change } : pull)));
  const save = async (): Promise<void> => {
    const done = await put.run({
      file: {
        checks: usable.map((pull) => ({
          tool: tool.serial,
          at: `${date}T${time}`,
          nominal: nominalValue,
          reference: pull.reference,
          reading: pull.shown,
          unit,
          kind,
          uncertaintyPercent: uncertaintyValue,
        })),
      },
      why: null,
    });
    if (!done) return;
    onTold(t('register-ui.saved', { what: t('register-ui.check.form', { tool: tool.serial }) }));
    onDone();
  };
  return (
    <div className="edit-form">
      <QuestionFrame label={t('register-ui.check.form', { tool: tool.serial })}>
        <form
          onSubmit={(event) => {
            event.preventDefault();
            if (ready) void save();
          }}
        >
          <h2 className="you">{t('register-ui.check.form', { tool: tool.serial })}</h2>
          <p className="second">{t('register-ui.check.how', {})}</p>
          <div className="field-row">
            <DateField label={t('register-ui.date', {})} value={date} onChange={setDate} />
            <DateField label={t('register-ui.time', {})} type="time" value={time} onChange={setTime} />
            <ChoiceField
              label={t('register-ui.kind', {})}
              value={kind}
              options={[
                { value: 'as-found', text: t('register-ui.as-found', {}) },
                { value: 'as-left', text: t('register-ui.as-left', {}) },
              ]}
              onChange={setKind}
            />
            <NumberField label={t('register-ui.nominal', {})} width="narrow" value={nominal} onChange={setNominal} />
            <ChoiceField
              label={t('register-ui.unit', {})}
              value={unit}
              options={torqueUnitCodes.map((code) => ({ value: code, text: torqueUnitSymbols[code] }))}
              onChange={setUnit}
            />
            <NumberField label={t('register-ui.check.uncertainty', {})} value={uncertainty} onChange={setUncertainty} />
          </div>
          <div className="pulls">
            {pulls.map((pull, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: pulls have no identity but their place
              <fieldset key={index} className="field-row">
                <legend className="hidden">{t('register-ui.check.pull', { number: index + 1 })}</legend>
                <span className="pull-number">{t('register-ui.check.pull', { number: index + 1 })}</span>
                <NumberField
                  label={t('register-ui.shown', {})}
                  width="narrow"
                  value={pull.shown}
                  onChange={(shown) => setPull(index, { shown })}
                />
                <NumberField
                  label={t('register-ui.reference', {})}
                  width="narrow"
                  value={pull.reference}
                  onChange={(reference) => setPull(index, { reference })}
                />
                {pulls.length > 1 ? (
                  <Button
                    kind="link"
                    label={t('register-ui.check.remove-pull', { number: index + 1 })}
                    onPress={() => setPulls(pulls.filter((_, i) => i !== index))}
                  >
                    ×
                  </Button>
                ) : null}
              </fieldset>
            ))}
            <Button kind="link" onPress={() => setPulls([...pulls, { shown: '', reference: '' }])}>
              {t('register-ui.check.add-pull', {})}
            </Button>
          </div>
          <p className="second" role="status">
            {usable.length > 0
              ? t('register-ui.check.mean', { percent: mean, pulls: usable.length })
              : t('register-ui.check.needs', {})}
          </p>
          <ProblemLine problem={put.problem} />
          <div className="card-actions">
            <button type="submit" className="button you" disabled={!ready || put.running}>
              {t('register-ui.save', {})}
            </button>
            <Button onPress={onDone}>{t('ui.cancel', {})}</Button>
          </div>
        </form>
      </QuestionFrame>
    </div>
  );
}

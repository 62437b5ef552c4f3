import { type ReactNode, useState } from 'react';
import type { ToolModel } from '#core/contract/models/register-model.ts';
import type { ToolStatus } from '#core/register/register.ts';
import { civilText, msPerDay } from '#core/time/civil-time.ts';
import { type TorqueUnit, torqueUnitCodes, torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { QuestionFrame } from '../../parts/question-card.tsx';
import { t } from '../../parts/text.ts';
import { ChoiceField, DateField, fieldText, NumberField, TextField, typedNumber } from './number-field.tsx';
import { openPlace } from './register-place.ts';

const numberKeys = [
  'min',
  'max',
  'permissibleDeviationPercent',
  'storageCapacity',
  'intervalMonths',
  'intervalCycles',
  'checkEveryDays',
  'lengthMm',
] as const;
type NumberKey = (typeof numberKeys)[number];

const labels: Readonly<Record<NumberKey, Parameters<typeof t>[0]>> = {
  min: 'register-ui.tool.min',
  max: 'register-ui.tool.max',
  permissibleDeviationPercent: 'register-ui.tool.permitted',
  storageCapacity: 'register-ui.tool.capacity',
  intervalMonths: 'register-ui.tool.interval-months',
  intervalCycles: 'register-ui.tool.interval-cycles',
  checkEveryDays: 'register-ui.tool.check-every',
  lengthMm: 'register-ui.tool.length',
};

/** What is known of a wrench. */
export function ToolForm({
  tool,
  onDone,
  onTold,
}: {
  /** Null: a new tool. */
  tool: ToolModel | null;
  onDone: () => void;
  onTold: (words: string) => void;
}): ReactNode {
  const put = useCommand('register:put');
  const [serial, setSerial] = useState(tool?.serial ?? '');
  const [unit, setUnit] = useState<TorqueUnit>(tool?.unit ?? 'N.m');
  const [status, setStatus] = useState<ToolStatus>(tool?.status ?? 'in-use');
  const [calibratedOn, setCalibratedOn] = useState(
    tool?.calibratedOn == null ? '' : civilText(tool.calibratedOn, msPerDay),
  );
  const [numbers, setNumbers] = useState<Readonly<Record<NumberKey, string>>>({
    min: fieldText(tool?.min ?? null),
    max: fieldText(tool?.max ?? null),
    permissibleDeviationPercent: fieldText(tool?.permissibleDeviationPercent ?? null),
    storageCapacity: fieldText(tool?.storageCapacity ?? null),
    intervalMonths: fieldText(tool?.intervalMonths ?? null),
    intervalCycles: fieldText(tool?.intervalCycles ?? null),
    checkEveryDays: fieldText(tool?.checkEveryDays ?? null),
    lengthMm: fieldText(tool?.lengthMm ?? null),
  });
  const given = serial.trim();
  const values = numberKeys.map((key) => [key, typedNumber(numbers[key])] as const);
  const ready = given !== '' && values.every(([, value]) => !Number.isNaN(value));
  const save = async (): Promise<void> => {
    const done = await put.run({
      file: {
        tools: [
          {
            serial: given,
            unit,
            status,
            calibratedOn: calibratedOn === '' ? null : calibratedOn,
            ...Object.fromEntries(values),
          },
        ],
      },
      why: null,
    });
    if (!done) return;
    onTold(t('register-ui.saved', { what: given }));
    openPlace({ kind: 'tool', name: given });
    onDone();
  };
  return (
    <div className="edit-form">
      <QuestionFrame label={tool === null ? t('register-ui.tool.new', {}) : tool.serial}>
        <form
          onSubmit={(event) => {
            event.preventDefault();
            if (ready) void save();
          }}
        >
          <div className="field-row">
            {tool === null ? (
              <TextField label={t('register-ui.tool.serial', {})} value={serial} onChange={setSerial} required />
            ) : null}
            <ChoiceField
              label={t('register-ui.tool.status', {})}
              value={status}
              options={[
                { value: 'in-use', text: t('register-ui.tool.in-use', {}) },
                { value: 'quarantined', text: t('register-ui.quarantined', {}) },
                { value: 'retired', text: t('register-ui.retired', {}) },
              ]}
              onChange={setStatus}
            />
            <ChoiceField
              label={t('register-ui.unit', {})}
              value={unit}
              options={torqueUnitCodes.map((code) => ({ value: code, text: torqueUnitSymbols[code] }))}
              onChange={setUnit}
            />
            {numberKeys.map((key) => (
              <NumberField
                key={key}
                // Every one of these phrases takes no argument.
                label={t(labels[key] as 'register-ui.tool.min', {})}
                value={numbers[key]}
                onChange={(text) => setNumbers({ ...numbers, [key]: text })}
              />
            ))}
            <DateField
              label={t('register-ui.tool.calibrated-on', {})}
              value={calibratedOn}
              onChange={setCalibratedOn}
            />
          </div>
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

import { type ReactNode, useState } from 'react';
import { civilText, msPerDay } from '#core/time/civil-time.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';
import { ChoiceField, DateField, TextField } from './number-field.tsx';

/** Enters a calibration or a repair of a wrench: its series begins anew there. */
export function EventForm({
  serial,
  now,
  onDone,
  onTold,
}: {
  serial: string;
  now: number;
  onDone: () => void;
  onTold: (words: string) => void;
}): ReactNode {
  const put = useCommand('register:put');
  const [date, setDate] = useState(civilText(now, msPerDay));
  const [kind, setKind] = useState<'calibration' | 'repair'>('calibration');
  const [note, setNote] = useState('');
  const save = async (): Promise<void> => {
    const event = { at: date, kind, note: note.trim() === '' ? null : note.trim() };
    if (!(await put.run({ file: { tools: [{ serial, events: [event] }] }, why: event.note }))) return;
    onTold(t('register-ui.saved', { what: `${serial}, ${t(`register-ui.event.${kind}`, {})}` }));
    onDone();
  };
  return (
    <form
      className="draft-form"
      onSubmit={(event) => {
        event.preventDefault();
        if (date !== '') void save();
      }}
    >
      <div className="field-row">
        <DateField label={t('register-ui.date', {})} value={date} onChange={setDate} />
        <ChoiceField
          label={t('register-ui.kind', {})}
          value={kind}
          options={[
            { value: 'calibration', text: t('register-ui.event.calibration', {}) },
            { value: 'repair', text: t('register-ui.event.repair', {}) },
          ]}
          onChange={setKind}
        />
        <TextField label={t('register-ui.event.note', {})} value={note} onChange={setNote} />
      </div>
      <ProblemLine problem={put.problem} />
      <div className="card-actions">
        <button type="submit" className="button you" disabled={date === '' || put.running}>
          {t('register-ui.save', {})}
        </button>
        <Button onPress={onDone}>{t('ui.cancel', {})}</Button>
      </div>
    </form>
  );
}

import { type FormEvent, type ReactNode, useEffect, useId, useRef, useState } from 'react';
import type { DriftToolModel } from '#core/contract/models/drift-model.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';

/** Takes a tool off the line, or back on it, with a reason that goes into the journal. */
export function QuarantineForm({ model, onClose }: { model: DriftToolModel; onClose: () => void }): ReactNode {
  const { tool, status } = model.row;
  const back = status === 'quarantined';
  const [why, setWhy] = useState('');
  const [complaint, setComplaint] = useState(false);
  const put = useCommand('register:put');
  const input = useRef<HTMLInputElement>(null);
  const id = useId();
  useEffect(() => input.current?.focus(), []);
  const send = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (why.trim() === '') {
      setComplaint(true);
      return;
    }
    const file = { tools: [{ serial: tool, status: back ? 'in-use' : 'quarantined' }] };
    if (await put.run({ file, why: why.trim() })) onClose();
  };
  return (
    <form className="inline-form" aria-labelledby={id} onSubmit={(event) => void send(event)}>
      <h2 id={id}>{back ? t('ui.drift.return.title', { tool }) : t('ui.drift.quarantine.title', { tool })}</h2>
      <p className="caption">{back ? t('ui.drift.return.note', {}) : t('ui.drift.quarantine.note', {})}</p>
      <div className="form-row">
        <label className="grow">
          {t('ui.drift.why', {})}
          <input ref={input} type="text" value={why} onChange={(e) => setWhy(e.target.value)} />
        </label>
        <button type="submit" className="button go" disabled={put.running}>
          {back ? t('ui.drift.return', {}) : t('ui.drift.quarantine', {})}
        </button>
        <Button onPress={onClose}>{t('ui.cancel', {})}</Button>
      </div>
      {complaint && why.trim() === '' ? (
        <p className="problem" role="alert">
          {t('ui.drift.why.needed', {})}
        </p>
      ) : null}
      <ProblemLine problem={put.problem} />
    </form>
  );
}

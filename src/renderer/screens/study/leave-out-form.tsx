import { type FormEvent, type ReactNode, useEffect, useId, useRef, useState } from 'react';
import type { StudyMark } from '#core/contract/models/study-model.ts';
import { saysWhatHappened } from '#core/study/leave-out-reason.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { useKeys } from '../../parts/keys.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';

/** Leaves one reading out of studies and drift: only with a reason that says what happened at the joint. */
export function LeaveOutForm({
  id,
  mark,
  onClose,
}: {
  id: string;
  mark: StudyMark | null;
  onClose: () => void;
}): ReactNode {
  const [reason, setReason] = useState('');
  const [refused, setRefused] = useState(false);
  const leave = useCommand('mark:leave-out');
  const input = useRef<HTMLInputElement>(null);
  const title = useId();
  useEffect(() => input.current?.focus(), []);
  useKeys({ escape: onClose });
  const send = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (!saysWhatHappened(reason)) {
      setRefused(true);
      input.current?.focus();
      return;
    }
    if (await leave.run({ readings: [id], reason: reason.trim() })) onClose();
  };
  return (
    <form className="inline-form" aria-labelledby={title} onSubmit={(event) => void send(event)}>
      <h3 id={title}>{t('ui.study.leave-out.title', { value: mark?.value ?? null, at: mark?.at ?? null })}</h3>
      <div className="form-row">
        <label className="grow">
          {t('ui.study.leave-out.reason', {})}
          <input
            ref={input}
            type="text"
            value={reason}
            aria-invalid={refused && !saysWhatHappened(reason)}
            onChange={(event) => setReason(event.target.value)}
          />
        </label>
        <button type="submit" className="button go" disabled={leave.running}>
          {t('ui.study.leave-out', {})}
        </button>
        <Button onPress={onClose}>{t('ui.cancel', {})}</Button>
      </div>
      {refused && !saysWhatHappened(reason) ? (
        <p className="problem" role="alert">
          {t('ui.study.leave-out.refused', {})}
        </p>
      ) : null}
      <ProblemLine problem={leave.problem} />
      <p className="caption">{t('ui.study.leave-out.kept', {})}</p>
    </form>
  );
}

import { type KeyboardEvent, type ReactNode, useEffect, useId, useRef, useState } from 'react';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { useOperatorWords } from '../../parts/operator-words.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';
import { useStatus } from '../../state/use-status.ts';

/** "Outlier" names the value, not what happened. */
const noReason = /^(an?\s+)?(outlier|bad|wrong|error|x|\.|-)s?\W*$/i;

function useFormKeys(onDone: () => void): (event: KeyboardEvent<HTMLFormElement>) => void {
  return (event) => {
    if (event.key !== 'Escape') return;
    event.preventDefault();
    event.stopPropagation();
    onDone();
  };
}

/** Leaves readings out of studies and drift; a reason that says what happened is required. */
export function LeaveOutForm({ readings, onDone }: { readings: readonly string[]; onDone: () => void }): ReactNode {
  const [reason, setReason] = useState('');
  const [refused, setRefused] = useState(false);
  const command = useCommand('mark:leave-out');
  const input = useRef<HTMLInputElement>(null);
  const id = useId();
  useEffect(() => input.current?.focus(), []);
  return (
    <form
      className="row-form"
      onKeyDown={useFormKeys(onDone)}
      onSubmit={(event) => {
        event.preventDefault();
        const words = reason.trim();
        if (words === '' || noReason.test(words)) setRefused(true);
        else {
          void command.run({ readings: [...readings], reason: words }).then((done) => {
            if (done) onDone();
          });
        }
      }}
    >
      <label htmlFor={id}>{t('ui.readings.leave-out-of', { count: readings.length })}</label>
      <input
        id={id}
        ref={input}
        type="text"
        maxLength={2000}
        placeholder={t('ui.readings.reason', {})}
        value={reason}
        aria-invalid={refused}
        onChange={(event) => {
          setReason(event.target.value);
          setRefused(false);
        }}
      />
      <button type="submit" className="button you" disabled={command.running}>
        {t('ui.readings.leave-out', {})}
      </button>
      <Button onPress={onDone}>{t('ui.cancel', {})}</Button>
      {refused ? <p role="alert">{t('ui.readings.reason-refused', {})}</p> : null}
      <ProblemLine problem={command.problem} />
    </form>
  );
}

/** Assigns joint, tool or operator to readings whose file did not name them. */
export function AssignForm({ readings, onDone }: { readings: readonly string[]; onDone: () => void }): ReactNode {
  const status = useStatus();
  const words = useOperatorWords();
  const command = useCommand('mark:assign');
  const [joint, setJoint] = useState('');
  const [tool, setTool] = useState('');
  const [operator, setOperator] = useState('');
  const first = useRef<HTMLSelectElement>(null);
  useEffect(() => first.current?.focus(), []);
  const nothing = joint === '' && tool === '' && operator === '';
  return (
    <form
      className="row-form"
      onKeyDown={useFormKeys(onDone)}
      onSubmit={(event) => {
        event.preventDefault();
        if (nothing) return;
        void command
          .run({
            readings: [...readings],
            ...(joint === '' ? {} : { joint }),
            ...(tool === '' ? {} : { tool }),
            ...(operator === '' ? {} : { operator }),
          })
          .then((done) => {
            if (done) onDone();
          });
      }}
    >
      <span>{t('ui.readings.assign-to', { count: readings.length })}</span>
      <Choice
        label={t('ui.scope.joint', {})}
        names={status?.joints ?? []}
        value={joint}
        onChange={setJoint}
        place={first}
      />
      <Choice label={t('ui.scope.tool', {})} names={status?.tools ?? []} value={tool} onChange={setTool} />
      <Choice
        label={t('ui.scope.operator', {})}
        names={(status?.operators ?? []).map((o) => o.badge)}
        labels={new Map((status?.operators ?? []).map((o) => [o.badge, words(o.badge, o.name)]))}
        value={operator}
        onChange={setOperator}
      />
      <button type="submit" className="button you" disabled={nothing || command.running}>
        {t('ui.readings.assign', {})}
      </button>
      <Button onPress={onDone}>{t('ui.cancel', {})}</Button>
      <ProblemLine problem={command.problem} />
    </form>
  );
}

function Choice({
  label,
  names,
  labels,
  value,
  onChange,
  place,
}: {
  label: string;
  names: readonly string[];
  /** Words for names that are codes. */
  labels?: ReadonlyMap<string, string>;
  value: string;
  onChange: (name: string) => void;
  place?: React.Ref<HTMLSelectElement>;
}): ReactNode {
  return (
    <label>
      <span className="key">{label}</span>{' '}
      <select {...(place ? { ref: place } : {})} value={value} onChange={(event) => onChange(event.target.value)}>
        <option value="">{t('ui.readings.assign-keep', {})}</option>
        {names.map((name) => (
          <option key={name} value={name}>
            {labels?.get(name) ?? name}
          </option>
        ))}
      </select>
    </label>
  );
}

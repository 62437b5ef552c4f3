import { type ReactNode, useState } from 'react';
import { useCall, useCommand } from '../bridge/use-call.ts';
import './forms.css';
import { ProblemLine } from './problem-line.tsx';
import { t } from './text.ts';

/** What the plant and the person are called: printed on reports and noted in the journal. */
export function NamesSettings(): ReactNode {
  const kept = useCall('app:settings', {}, 'settings', { touches: ['settings'] });
  const save = useCommand('app:settings');
  const value = (key: string): string => {
    const stored = kept.value?.[key];
    return typeof stored === 'string' ? stored : '';
  };
  if (kept.value === null) return null;
  return (
    <>
      {(['plantName', 'who'] as const).map((key) => (
        <NameField
          key={`${key} ${value(key)}`}
          label={key === 'plantName' ? t('ui.settings.plant-name', {}) : t('ui.settings.who', {})}
          stored={value(key)}
          onChange={(name) => void save.run({ set: { [key]: name === '' ? null : name } })}
        />
      ))}
      <ProblemLine problem={save.problem} />
    </>
  );
}

/** Kept when the field is left, so that a name half typed is never noted anywhere. */
function NameField({
  label,
  stored,
  onChange,
}: {
  label: string;
  stored: string;
  onChange: (name: string) => void;
}): ReactNode {
  const [typed, setTyped] = useState(stored);
  const keep = (): void => {
    const name = typed.trim();
    if (name !== stored) onChange(name);
  };
  return (
    <label className="key">
      {label}
      <input
        type="text"
        value={typed}
        maxLength={120}
        onChange={(event) => setTyped(event.target.value)}
        onBlur={keep}
        onKeyDown={(event) => {
          if (event.key === 'Enter') keep();
        }}
      />
    </label>
  );
}

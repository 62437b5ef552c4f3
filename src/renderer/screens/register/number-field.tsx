import { type ReactNode, useId } from 'react';

/** A number as typed: a comma or a point is the decimal sign. Null: nothing typed; NaN: not a number. */
export function typedNumber(text: string): number | null {
  const plain = text.trim().replace(/\s/g, '').replace('−', '-').replace(',', '.');
  if (plain === '') return null;
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : Number.NaN;
}

/** The text of a number for a field. */
export const fieldText = (value: number | null): string => (value === null ? '' : String(value));

/** A labelled field for a number; says so when what is typed is none. */
export function NumberField({
  label,
  value,
  onChange,
  width,
}: {
  label: string;
  value: string;
  onChange: (text: string) => void;
  width?: 'narrow';
}): ReactNode {
  const id = useId();
  const wrong = Number.isNaN(typedNumber(value));
  return (
    <label className={width === 'narrow' ? 'field narrow' : 'field'} htmlFor={id}>
      <span>{label}</span>
      <input
        id={id}
        type="text"
        inputMode="decimal"
        value={value}
        aria-invalid={wrong}
        onChange={(event) => onChange(event.target.value)}
      />
    </label>
  );
}

/** A labelled field for words. */
export function TextField({
  label,
  value,
  onChange,
  required = false,
}: {
  label: string;
  value: string;
  onChange: (text: string) => void;
  required?: boolean;
}): ReactNode {
  const id = useId();
  return (
    <label className="field" htmlFor={id}>
      <span>{label}</span>
      <input id={id} type="text" value={value} required={required} onChange={(event) => onChange(event.target.value)} />
    </label>
  );
}

/** A labelled choice. */
export function ChoiceField<V extends string>({
  label,
  value,
  options,
  onChange,
}: {
  label: string;
  value: V;
  options: readonly { readonly value: V; readonly text: string }[];
  onChange: (value: V) => void;
}): ReactNode {
  const id = useId();
  return (
    <label className="field" htmlFor={id}>
      <span>{label}</span>
      {/* The value is one of the options. */}
      <select id={id} value={value} onChange={(event) => onChange(event.target.value as V)}>
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.text}
          </option>
        ))}
      </select>
    </label>
  );
}

/** A labelled date, or a date with a time of day. */
export function DateField({
  label,
  value,
  onChange,
  type = 'date',
}: {
  label: string;
  value: string;
  onChange: (text: string) => void;
  type?: 'date' | 'time';
}): ReactNode {
  const id = useId();
  return (
    <label className="field" htmlFor={id}>
      <span>{label}</span>
      <input id={id} type={type} value={value} onChange={(event) => onChange(event.target.value)} />
    </label>
  );
}

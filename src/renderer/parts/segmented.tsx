import type { ReactNode } from 'react';
import { useRoving } from './use-roving.ts';

interface SegmentedProps<V extends string> {
  readonly label: string;
  readonly options: readonly { readonly value: V; readonly text: string }[];
  /** Null: none of them. */
  readonly value: V | null;
  readonly onChange: (value: V) => void;
}

/** One of a few. One tab stop; arrows move, Enter or blank chooses. */
export function Segmented<V extends string>({ label, options, value, onChange }: SegmentedProps<V>): ReactNode {
  const roving = useRoving(options.length, 'horizontal');
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as one row of joined buttons
    <span className="segmented" role="group" aria-label={label} onKeyDown={roving.onKeyDown}>
      {options.map((option, index) => (
        <button
          key={option.value}
          type="button"
          className={option.value === value ? 'chip on' : 'chip'}
          aria-pressed={option.value === value}
          onClick={() => onChange(option.value)}
          {...roving.item(index)}
        >
          {option.text}
        </button>
      ))}
    </span>
  );
}

import type { ReactNode } from 'react';

/** One choice: its label, its control and what it means here. */
export function Choice({
  label,
  note,
  group = false,
  children,
}: {
  label: string;
  note?: ReactNode;
  /** The control is more than one field: a label cannot hold it. */
  group?: boolean;
  children: ReactNode;
}): ReactNode {
  return (
    <div className="choice">
      {group ? (
        <fieldset>
          <legend>{label}</legend>
          {children}
        </fieldset>
      ) : (
        // biome-ignore lint/a11y/noLabelWithoutControl: the control is the child
        <label>
          <span>{label}</span>
          {children}
        </label>
      )}
      {note === undefined ? null : <p className="choice-note">{note}</p>}
    </div>
  );
}

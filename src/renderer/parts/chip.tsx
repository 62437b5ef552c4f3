import type { ReactNode } from 'react';
import { t } from './text.ts';

interface ChipProps {
  readonly children: ReactNode;
  readonly pressed?: boolean;
  readonly onPress?: () => void;
  /** Shows a cross; `removeLabel` says what is removed. */
  readonly onRemove?: () => void;
  readonly removeLabel?: string;
}

/** A small choice, or a filter that can be taken away. */
export function Chip({ children, pressed = false, onPress, onRemove, removeLabel }: ChipProps): ReactNode {
  if (onRemove) {
    return (
      <button
        type="button"
        className="chip on"
        onClick={onRemove}
        aria-label={t('ui.scope.remove', { what: removeLabel ?? '' })}
      >
        {children} <span aria-hidden="true">×</span>
      </button>
    );
  }
  return (
    <button type="button" className={pressed ? 'chip on' : 'chip'} aria-pressed={pressed} onClick={onPress}>
      {children}
    </button>
  );
}

import { type ReactNode, useId } from 'react';
import { Button } from './button.tsx';
import { useKeys } from './keys.ts';
import { t } from './text.ts';

/** A panel at the right that tells more about what is selected. Escape closes it. */
export function SidePanel({
  title,
  note,
  onClose,
  children,
}: {
  title: ReactNode;
  note?: ReactNode;
  onClose?: () => void;
  children: ReactNode;
}): ReactNode {
  const id = useId();
  useKeys({ escape: () => onClose?.() }, onClose !== undefined);
  return (
    <aside className="side-panel" aria-labelledby={id}>
      <header>
        <h2 id={id}>{title}</h2>
        {onClose ? (
          <Button kind="link" onPress={onClose}>
            {t('ui.close', {})} <kbd>Esc</kbd>
          </Button>
        ) : null}
      </header>
      {note === undefined ? null : <p className="caption">{note}</p>}
      {children}
    </aside>
  );
}

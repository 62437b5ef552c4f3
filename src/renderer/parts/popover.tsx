import { type ReactNode, useEffect, useId, useRef, useState } from 'react';
import { useKeys } from './keys.ts';

/** A button that opens a small panel under it. Escape, or a press elsewhere, closes it. */
export function Popover({
  text,
  label,
  className = 'chip',
  align = 'left',
  children,
}: {
  text: ReactNode;
  label: string;
  className?: string;
  align?: 'left' | 'right';
  children: (close: () => void) => ReactNode;
}): ReactNode {
  const [open, setOpen] = useState(false);
  const id = useId();
  const holder = useRef<HTMLSpanElement>(null);
  const button = useRef<HTMLButtonElement>(null);
  const panel = useRef<HTMLDivElement>(null);
  const close = (): void => {
    setOpen(false);
    button.current?.focus();
  };
  useKeys({ escape: close }, open);
  useEffect(() => {
    if (!open) return;
    panel.current?.querySelector<HTMLElement>('input, button, select')?.focus();
    const elsewhere = (event: PointerEvent): void => {
      if (event.target instanceof Node && !holder.current?.contains(event.target)) setOpen(false);
    };
    window.addEventListener('pointerdown', elsewhere);
    return () => window.removeEventListener('pointerdown', elsewhere);
  }, [open]);
  return (
    <span className="popover-holder" ref={holder}>
      <button
        ref={button}
        type="button"
        className={className}
        aria-label={label}
        aria-expanded={open}
        aria-controls={id}
        onClick={() => setOpen(!open)}
      >
        {text}
      </button>
      {open ? (
        <div id={id} ref={panel} className={`popover ${align}`} role="dialog" aria-label={label}>
          {children(close)}
        </div>
      ) : null}
    </span>
  );
}

/**
 * Single keys.
 *
 * Parts say which keys they answer to while they are on screen; the newest part that answers wins. Keys work when no
 * text field has the focus and no Ctrl, Alt or Meta is held; all but Escape can be switched off in the settings.
 */
import { useEffect, useRef } from 'react';
import { currentSettings } from '../state/settings.ts';

/** Returns false when it did nothing, so that an older part may answer. */
export type KeyHandler = (event: KeyboardEvent) => unknown;
/** By `event.key` in lower case: `j`, `escape`, `enter`, `?`. */
export type KeyMap = Readonly<Record<string, KeyHandler>>;

const stack: { current: KeyMap }[] = [];

/** Answers to keys while this part is mounted. The map may be made anew on every drawing. */
export function useKeys(map: KeyMap, enabled = true): void {
  const held = useRef(map);
  held.current = map;
  useEffect(() => {
    if (!enabled) return;
    stack.push(held);
    return () => {
      const at = stack.indexOf(held);
      if (at >= 0) stack.splice(at, 1);
    };
  }, [enabled]);
}

/** Whether a key pressed there is typing. */
export function isTyping(target: EventTarget | null): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (target.isContentEditable || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement) {
    return true;
  }
  return (
    target instanceof HTMLInputElement && !['checkbox', 'radio', 'button', 'submit', 'range'].includes(target.type)
  );
}

const pressable = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.closest('button, a[href], summary, [role="option"]') !== null;

window.addEventListener('keydown', (event) => {
  if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
  const typing = isTyping(event.target);
  if (event.key !== 'Escape') {
    if (typing || !currentSettings().singleKeys) return;
    // Enter and blank press the button that has the focus.
    if ((event.key === 'Enter' || event.key === ' ') && pressable(event.target)) return;
  }
  const key = event.key.toLowerCase();
  for (let i = stack.length - 1; i >= 0; i -= 1) {
    const handler = stack[i]?.current[key];
    if (handler && handler(event) !== false) {
      event.preventDefault();
      return;
    }
  }
});

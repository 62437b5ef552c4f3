import { type KeyboardEvent, useCallback, useRef, useState } from 'react';

/**
 * One tab stop for a list of things: arrows, Home and End move inside, Tab leaves.
 *
 * @param count how many things there are
 * @param axis the arrows that move
 */
export function useRoving(
  count: number,
  axis: 'vertical' | 'horizontal' = 'vertical',
): {
  readonly at: number;
  setAt(index: number): void;
  /** Put on the container. */
  readonly onKeyDown: (event: KeyboardEvent<HTMLElement>) => void;
  /** Put on thing `index`. */
  item(index: number): { readonly tabIndex: 0 | -1; readonly 'data-roving': number; onFocus(): void };
} {
  const [at, setAt] = useState(0);
  const inside = Math.min(at, Math.max(0, count - 1));
  const countNow = useRef(count);
  countNow.current = count;
  const onKeyDown = useCallback(
    (event: KeyboardEvent<HTMLElement>) => {
      const [back, on] = axis === 'vertical' ? ['ArrowUp', 'ArrowDown'] : ['ArrowLeft', 'ArrowRight'];
      const last = countNow.current - 1;
      const from = Number((event.target as HTMLElement).closest<HTMLElement>('[data-roving]')?.dataset.roving ?? -1);
      if (from < 0) return;
      const to =
        event.key === back
          ? Math.max(0, from - 1)
          : event.key === on
            ? Math.min(last, from + 1)
            : event.key === 'Home'
              ? 0
              : event.key === 'End'
                ? last
                : null;
      if (to === null) return;
      event.preventDefault();
      event.stopPropagation();
      setAt(to);
      event.currentTarget.querySelector<HTMLElement>(`[data-roving="${to}"]`)?.focus();
    },
    [axis],
  );
  return {
    at: inside,
    setAt,
    onKeyDown,
    item: (index) => ({
      tabIndex: index === inside ? 0 : -1,
      'data-roving': index,
      onFocus: () => setAt(index),
    }),
  };
}

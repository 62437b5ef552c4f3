import { useSyncExternalStore } from 'react';

/** Height of the window in CSS pixels, followed. */
export function useWindowHeight(): number {
  return useSyncExternalStore(
    (listener) => {
      window.addEventListener('resize', listener);
      return () => window.removeEventListener('resize', listener);
    },
    () => window.innerHeight,
  );
}

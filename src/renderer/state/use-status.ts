import { createContext, useContext } from 'react';
import type { AppStatus } from '#core/contract/calls.ts';

export const StatusContext = createContext<AppStatus | null>(null);

/** What is held: counts, period, names. Null until the engine has answered for the first time. */
export function useStatus(): AppStatus | null {
  return useContext(StatusContext);
}

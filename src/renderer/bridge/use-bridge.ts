import { createContext, useContext } from 'react';
import type { Bridge } from './bridge.ts';

export const BridgeContext = createContext<Bridge | null>(null);

/** The bridge of this window. */
export function useBridge(): Bridge {
  const bridge = useContext(BridgeContext);
  if (!bridge) throw new TypeError('there is no bridge above this part');
  return bridge;
}

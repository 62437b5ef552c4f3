/** Scopes kept under a name. They live with the other settings of the store, so every window has them. */
import { useCallback, useEffect, useState } from 'react';
import { useBridge } from '../bridge/use-bridge.ts';
import type { View } from './view.ts';

export type SavedScope = Pick<View, 'period' | 'joints' | 'tools' | 'operators'> & { readonly name: string };

const place = 'ui.scopes';
const mostKept = 50;

const isNames = (raw: unknown): raw is string[] => Array.isArray(raw) && raw.every((one) => typeof one === 'string');
const isTime = (raw: unknown): raw is number | null => raw === null || typeof raw === 'number';

/** What the store gave back, checked: another version may have written it. */
export function readSavedScopes(raw: unknown): SavedScope[] {
  if (!Array.isArray(raw)) return [];
  return raw.flatMap((one: unknown): SavedScope[] => {
    if (typeof one !== 'object' || one === null) return [];
    const { name, period, joints, tools, operators } = one as Record<string, unknown>; // every field is checked here
    if (typeof name !== 'string' || !isNames(joints) || !isNames(tools) || !isNames(operators)) return [];
    if (period === null) return [{ name, period: null, joints, tools, operators }];
    if (typeof period !== 'object' || period === undefined) return [];
    const { from, to, shift } = period as Record<string, unknown>;
    if (!isTime(from) || !isTime(to) || !(shift === null || typeof shift === 'string')) return [];
    return [{ name, period: { from, to, shift }, joints, tools, operators }];
  });
}

/** The saved scopes, and how to keep or forget one. A name that is there already is replaced. */
export function useSavedScopes(): {
  readonly scopes: readonly SavedScope[];
  keep(scope: SavedScope): void;
  forget(name: string): void;
} {
  const bridge = useBridge();
  const [scopes, setScopes] = useState<readonly SavedScope[]>([]);
  useEffect(() => {
    let live = true;
    bridge.call('app:settings', {}).then(
      (all) => {
        if (live) setScopes(readSavedScopes(all[place]));
      },
      () => null,
    );
    return () => {
      live = false;
    };
  }, [bridge]);
  const put = useCallback(
    (next: readonly SavedScope[]) => {
      setScopes(next);
      const plain = next.map((scope) => ({
        name: scope.name,
        period: scope.period ? { ...scope.period } : null,
        joints: [...scope.joints],
        tools: [...scope.tools],
        operators: [...scope.operators],
      }));
      void bridge.call('app:settings', { set: { [place]: plain } }).catch(() => null);
    },
    [bridge],
  );
  return {
    scopes,
    keep: (scope) => put([scope, ...scopes.filter((old) => old.name !== scope.name)].slice(0, mostKept)),
    forget: (name) => put(scopes.filter((old) => old.name !== name)),
  };
}

/** Keeps the operators chosen in the view named as they are shown: by badge, or by number where names are hidden. */
import { useEffect } from 'react';
import type { AppStatus } from '#core/contract/calls.ts';
import type { Bridge } from '../bridge/bridge.ts';
import { changeView, currentView, useView, type View } from './view.ts';

/** Names of operators that a view holds anywhere. */
export function operatorsIn(view: View): string[] {
  const found = new Set(view.operators);
  for (const filter of view.filters) if (filter.column === 'operator') for (const name of filter.anyOf) found.add(name);
  for (const kept of Object.values(view.open)) for (const name of keptScope(kept)?.operators ?? []) found.add(name);
  return [...found].filter((name) => name !== '');
}

/** The view with operators under other names; the same view where none of it changes. */
export function renamedView(view: View, names: ReadonlyMap<string, string>): View {
  if (!operatorsIn(view).some((name) => (names.get(name) ?? name) !== name)) return view;
  const rename = (list: readonly string[]): string[] => list.map((name) => names.get(name) ?? name);
  return {
    ...view,
    operators: rename(view.operators),
    filters: view.filters.map((filter) =>
      filter.column === 'operator' ? { ...filter, anyOf: rename(filter.anyOf) } : filter,
    ),
    open: Object.fromEntries(
      Object.entries(view.open).map(([place, kept]) => {
        const found = keptScope(kept);
        if (!found) return [place, kept];
        const scope = { ...found.scope, operators: rename(found.operators) };
        return [place, JSON.stringify({ ...found.state, scope })];
      }),
    ),
  };
}

/** The scope that a screen keeps as JSON; null where it keeps something else. */
function keptScope(kept: string): { state: object; scope: object; operators: readonly string[] } | null {
  if (!kept.startsWith('{')) return null;
  // Written by the screens; whatever has no scope is left alone.
  const state: unknown = JSON.parse(kept);
  if (typeof state !== 'object' || state === null || !('scope' in state)) return null;
  const { scope } = state;
  if (typeof scope !== 'object' || scope === null || !('operators' in scope)) return null;
  const { operators } = scope;
  if (!Array.isArray(operators) || !operators.every((name): name is string => typeof name === 'string')) return null;
  return { state, scope, operators };
}

/** Asks under which names the chosen operators are shown now, when the plant does not show them as they were chosen. */
export function useNamedOperators(bridge: Bridge, status: AppStatus | null): void {
  const view = useView();
  useEffect(() => {
    if (!status) return;
    const shown = new Set(status.operators.map((operator) => operator.badge));
    const asked = operatorsIn(view).filter((name) => !shown.has(name));
    if (asked.length === 0) return;
    let live = true;
    bridge.call('scope:named', { operators: asked }).then(
      (names) => {
        const now = currentView();
        const next = renamedView(now, new Map(asked.map((name, k) => [name, names[k] ?? name])));
        if (live && next !== now) changeView(next, 'replace');
      },
      // A store that cannot be read says so elsewhere.
      () => null,
    );
    return () => {
      live = false;
    };
  }, [bridge, status, view]);
}

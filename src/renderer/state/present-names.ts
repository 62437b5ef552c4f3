/** Keeps joints and tools named in the view as the register names them now, whichever window renamed or merged them. */
import { useEffect } from 'react';
import type { AppStatus } from '#core/contract/calls.ts';
import { changeView, currentView, useView, type View } from './view.ts';

type FormerNames = NonNullable<AppStatus['formerNames']>;
type Kind = 'joint' | 'tool';
type Naming = (kind: Kind, name: string) => string;

/** The view with the names of now; the same view where none of it changes. */
export function presentView(view: View, former: FormerNames): View {
  const names = { joint: new Map(Object.entries(former.joints)), tool: new Map(Object.entries(former.tools)) };
  if (names.joint.size + names.tool.size === 0) return view;
  const now: Naming = (kind, name) => names[kind].get(name) ?? name;
  const next: View = {
    ...view,
    joints: all('joint', view.joints, now),
    tools: all('tool', view.tools, now),
    joint: view.joint === null ? null : now('joint', view.joint),
    tool: view.tool === null ? null : now('tool', view.tool),
    filters: view.filters.map((filter) =>
      filter.column === 'joint' || filter.column === 'tool'
        ? { ...filter, anyOf: all(filter.column, filter.anyOf, now) }
        : filter,
    ),
    open: Object.fromEntries(Object.entries(view.open).map(([place, kept]) => [place, keptNow(place, kept, now)])),
  };
  return JSON.stringify(next) === JSON.stringify(view) ? view : next;
}

/** Each once: two names may mean the same entry now. */
const all = (kind: Kind, names: readonly string[], now: Naming): readonly string[] => [
  ...new Set(names.map((name) => now(kind, name))),
];

/** What a screen keeps: the register its place, others a scope as JSON; anything else is left alone. */
function keptNow(place: string, kept: string, now: Naming): string {
  const at = kept.indexOf(':');
  const kind = kept.slice(0, at);
  if (place === 'register' && (kind === 'joint' || kind === 'tool')) return `${kind}:${now(kind, kept.slice(at + 1))}`;
  if (!kept.startsWith('{')) return kept;
  const state: unknown = JSON.parse(kept);
  if (typeof state !== 'object' || state === null || !('scope' in state)) return kept;
  const { scope } = state;
  if (typeof scope !== 'object' || scope === null) return kept;
  const lists = (['joints', 'tools'] as const).flatMap((list) => {
    const names: unknown = list in scope ? Object.entries(scope).find(([key]) => key === list)?.[1] : null;
    if (!Array.isArray(names) || !names.every((name): name is string => typeof name === 'string')) return [];
    return [[list, all(list === 'joints' ? 'joint' : 'tool', names, now)]];
  });
  return JSON.stringify({ ...state, scope: { ...scope, ...Object.fromEntries(lists) } });
}

/** Follows the register: an open screen names what its names mean now. */
export function usePresentNames(status: AppStatus | null): void {
  const view = useView();
  // biome-ignore lint/correctness/useExhaustiveDependencies: a changed view is looked at again
  useEffect(() => {
    if (!status?.formerNames) return;
    // Not the view that was drawn: a key may have been pressed since.
    const now = currentView();
    const next = presentView(now, status.formerNames);
    if (next !== now) changeView(next, 'replace');
  }, [status, view]);
}

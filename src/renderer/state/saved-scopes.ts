/** Scopes kept under a name, with the store: every window has them. */

import type { Problem } from '#core/contract/problems.ts';
import type { Scope } from '#core/readings/scope.ts';
import { useCall, useCommand } from '../bridge/use-call.ts';
import type { View } from './view.ts';

const touches = { touches: ['settings', 'studies'] } as const;

/** What a saved scope changes in the view. */
export function viewOfScope(
  scope: Scope,
): Pick<View, 'period' | 'joints' | 'tools' | 'operators' | 'brush' | 'driftPeriod'> {
  const { from, to, shifts, joints, tools, operators } = scope;
  return { period: { from, to, shift: shifts[0] ?? null }, joints, tools, operators, brush: null, driftPeriod: null };
}

/** The saved scopes, and how to keep or forget one. A name that is there already is replaced. */
export function useSavedScopes(): {
  readonly scopes: readonly { readonly name: string; readonly scope: Scope }[];
  readonly problem: Problem | null;
  keep(name: string, scope: Scope): void;
  forget(name: string): void;
} {
  const list = useCall('scope:list', {}, 'saved scopes', touches);
  const save = useCommand('scope:save');
  const remove = useCommand('scope:delete');
  return {
    scopes: list.value ?? [],
    problem: save.problem ?? remove.problem ?? list.problem,
    keep: (name, scope) => {
      const names = {
        shifts: [...scope.shifts],
        joints: [...scope.joints],
        tools: [...scope.tools],
        operators: [...scope.operators],
      };
      void save.run({ name, scope: { from: scope.from, to: scope.to, ...names } }).then(list.again);
    },
    forget: (name) => {
      void remove.run({ name }).then(list.again);
    },
  };
}

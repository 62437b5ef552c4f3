import { currentView, narrowScope } from '../../state/view.ts';

/** The narrowed scope of the current view, with lists of its own as a request takes them. */
export function mutableScope() {
  const scope = narrowScope(currentView());
  return {
    ...scope,
    shifts: [...scope.shifts],
    joints: [...scope.joints],
    tools: [...scope.tools],
    operators: [...scope.operators],
  };
}

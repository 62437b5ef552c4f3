/** What of the register is open. Kept in the view, so that it survives leaving the screen and a reload. */
import type { RemovalModel } from '#core/contract/models/register-model.ts';
import { changeView, currentView, type View } from '../../state/view.ts';

export type RegisterPlace =
  | { readonly kind: 'joint' | 'tool'; readonly name: string }
  | { readonly kind: 'new-joint' | 'new-tool' | 'operators' | 'shifts' | 'checks' | 'journal' };

/** What is open when an entry was left that is no more: the first of its list. */
const firstJoint = ':first-joint';
export const firstTool = ':first-tool';

const lists = ['new-joint', 'new-tool', 'operators', 'shifts', 'checks', 'journal'] as const;

/** The open place; what other screens have selected comes next; null: nothing. */
export function registerPlace(view: View): RegisterPlace | null {
  const text = view.open.register;
  if (text === firstJoint || text === firstTool) return null;
  if (text !== undefined) {
    const [kind = '', name = ''] = [text.slice(0, text.indexOf(':')), text.slice(text.indexOf(':') + 1)];
    if (kind === 'joint' || kind === 'tool') return { kind, name };
    const kindOf = lists.find((one) => one === name);
    if (kindOf) return { kind: kindOf };
  }
  if (view.joint !== null) return { kind: 'joint', name: view.joint };
  if (view.tool !== null) return { kind: 'tool', name: view.tool };
  return null;
}

/** Opens a place. A joint or tool is also the selection that Study and Drift take over. */
export function openPlace(place: RegisterPlace): void {
  const view = currentView();
  const register = 'name' in place ? `${place.kind}:${place.name}` : `:${place.kind}`;
  changeView(
    {
      open: { ...view.open, register },
      ...(place.kind === 'joint' ? { joint: place.name } : {}),
      ...(place.kind === 'tool' ? { tool: place.name } : {}),
    },
    'replace',
  );
}

/**
 * Leaves an entry that is no more, for the one it was merged into or for the first of its list, and lets no filter name
 * it: what names nothing shows nothing.
 *
 * @param into name of the entry it counts as from now on; null: it was removed
 */
export function leaveEntry(kind: RemovalModel['kind'], name: string, into: string | null): void {
  const view = currentView();
  const without = (names: readonly string[]): readonly string[] =>
    names.includes(name)
      ? [...new Set(names.flatMap((one) => (one !== name ? [one] : into === null ? [] : [into])))]
      : names;
  switch (kind) {
    case 'joint':
      changeView(
        { joints: without(view.joints), joint: into, open: { ...view.open, register: firstJoint } },
        'replace',
      );
      break;
    case 'tool':
      changeView({ tools: without(view.tools), tool: into, open: { ...view.open, register: firstTool } }, 'replace');
      break;
    case 'operator':
      changeView({ operators: without(view.operators) }, 'replace');
      return;
    case 'shift':
      // A period of a shift that is no more is chosen anew once the engine tells so, whoever removed it.
      return;
  }
  if (into !== null) openPlace({ kind, name: into });
}

export const samePlace = (a: RegisterPlace | null, b: RegisterPlace): boolean =>
  a !== null && a.kind === b.kind && ('name' in a ? a.name : '') === ('name' in b ? b.name : '');

import { describe, expect, it, vi } from 'vitest';

vi.stubGlobal('window', {
  location: { hash: '' },
  history: { state: null, pushState: () => undefined, replaceState: () => undefined },
  addEventListener: () => undefined,
});
const { operatorsIn, renamedView } = await import('../../src/renderer/state/named-operators.ts');
const { currentView } = await import('../../src/renderer/state/view.ts');

const study = { of: 'torque', scope: { from: null, operators: ['139', '7'] } };
const view = {
  ...currentView(),
  operators: ['114'],
  filters: [
    { column: 'operator', anyOf: ['139', ''] },
    { column: 'joint', anyOf: ['139'] },
  ] as const,
  open: { study: JSON.stringify(study), review: 'by time', readings: '{"sort":"139"}' },
};
const numbers = new Map([
  ['114', 'Operator 1'],
  ['139', 'Operator 2'],
]);

describe('operators chosen in the view', () => {
  it('are found in the scope, in filters and in what a screen keeps', () => {
    expect(operatorsIn(view).sort()).toEqual(['114', '139', '7']);
  });

  it('are renamed everywhere, and nothing else is', () => {
    expect(renamedView(view, numbers)).toEqual({
      ...view,
      operators: ['Operator 1'],
      filters: [
        { column: 'operator', anyOf: ['Operator 2', ''] },
        { column: 'joint', anyOf: ['139'] },
      ],
      open: {
        ...view.open,
        study: JSON.stringify({ ...study, scope: { from: null, operators: ['Operator 2', '7'] } }),
      },
    });
  });

  it('leave the view alone where no name changes', () => {
    expect(renamedView(view, new Map([['114', '114']]))).toBe(view);
  });
});

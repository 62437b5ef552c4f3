import { describe, expect, it, vi } from 'vitest';

vi.stubGlobal('window', {
  location: { hash: '' },
  history: { state: null, pushState: () => undefined, replaceState: () => undefined },
  addEventListener: () => undefined,
});
const { presentView } = await import('../../src/renderer/state/present-names.ts');
const { currentView } = await import('../../src/renderer/state/view.ts');

const scope = { from: null, to: null, shifts: [], joints: ['Stm', 'Stem'], tools: ['T-01'], operators: ['T-01'] };
const view = {
  ...currentView(),
  joints: ['Stm', 'Stem'],
  tools: ['T-01'],
  operators: ['T-01'],
  joint: 'Stm',
  tool: 'T-01',
  filters: [
    { column: 'joint', anyOf: ['Stm', ''] },
    { column: 'operator', anyOf: ['T-01'] },
    { column: 'text', contains: 'Stm' },
  ] as const,
  open: {
    study: JSON.stringify({ of: 'torque', scope }),
    register: 'joint:Stm',
    review: 'Stm',
    readings: '{"sort":"Stm"}',
  },
};
const former = { joints: { Stm: 'Stem' }, tools: { 'T-01': 'T-1', constructor: 'T-2' } };

describe('names of a view that were renamed or merged', () => {
  it('become those of now, each once, wherever a joint or tool is named, and nowhere else', () => {
    expect(presentView(view, former)).toEqual({
      ...view,
      joints: ['Stem'],
      tools: ['T-1'],
      joint: 'Stem',
      tool: 'T-1',
      filters: [
        { column: 'joint', anyOf: ['Stem', ''] },
        { column: 'operator', anyOf: ['T-01'] },
        { column: 'text', contains: 'Stm' },
      ],
      open: {
        ...view.open,
        study: JSON.stringify({ of: 'torque', scope: { ...scope, joints: ['Stem'], tools: ['T-1'] } }),
        register: 'joint:Stem',
      },
    });
  });

  it('leave the view as it is where none of them is in it', () => {
    expect(presentView(view, { joints: {}, tools: {} })).toBe(view);
    expect(presentView(view, { joints: { Crnak: 'Crank' }, tools: {} })).toBe(view);
    expect(presentView({ ...view, joint: 'toString' }, { joints: { Crnak: 'Crank' }, tools: {} }).joint).toBe(
      'toString',
    );
  });
});

/** Where the register goes when an entry is no more, and what stops naming it. */
import { beforeEach, describe, expect, it, vi } from 'vitest';
import type * as PlaceModule from '../../src/renderer/screens/register/register-place.ts';
import type * as ViewModule from '../../src/renderer/state/view.ts';

let view: typeof ViewModule;
let place: typeof PlaceModule;

beforeEach(async () => {
  vi.resetModules();
  const history = { state: null, pushState: () => undefined, replaceState: () => undefined };
  vi.stubGlobal('window', { location: { hash: '' }, history, addEventListener: () => undefined });
  view = await import('../../src/renderer/state/view.ts');
  place = await import('../../src/renderer/screens/register/register-place.ts');
});

describe('leaving an entry', () => {
  it('that was removed: the first of its list is open, and no filter names it', () => {
    view.changeView({ joints: ['Crnak', 'Stem'], tools: ['T-1'], tool: 'T-1' });
    place.openPlace({ kind: 'joint', name: 'Crnak' });
    place.leaveEntry('joint', 'Crnak', null);
    expect(view.currentView()).toMatchObject({ joints: ['Stem'], joint: null, tools: ['T-1'], tool: 'T-1' });
    expect(place.registerPlace(view.currentView())).toBeNull();
    expect(view.currentView().open.register).not.toBe(place.firstTool);
    place.leaveEntry('tool', 'T-1', null);
    expect(view.currentView()).toMatchObject({ tools: [], tool: null });
    expect(view.currentView().open.register).toBe(place.firstTool);
  });

  it('that was merged: the one it counts as is open, and filters name that, once', () => {
    view.changeView({ joints: ['Crnak', 'Stem'] });
    place.leaveEntry('joint', 'Crnak', 'Stem');
    expect(view.currentView()).toMatchObject({ joints: ['Stem'], joint: 'Stem' });
    expect(place.registerPlace(view.currentView())).toEqual({ kind: 'joint', name: 'Stem' });
  });

  it('of the lists of people and shifts stays there', () => {
    place.openPlace({ kind: 'operators' });
    view.changeView({ operators: ['141', '114'] });
    place.leaveEntry('operator', '141', null);
    place.leaveEntry('shift', 'Early', null);
    expect(view.currentView().operators).toEqual(['114']);
    expect(place.registerPlace(view.currentView())).toEqual({ kind: 'operators' });
  });
});

import { beforeAll, describe, expect, it, vi } from 'vitest';
import type * as ViewModule from '../../src/renderer/state/view.ts';

const day = 86_400_000;
const shifts = [
  { name: 'Early', startMinute: 360, endMinute: 840 },
  { name: 'Late', startMinute: 840, endMinute: 1320 },
  { name: 'Night', startMinute: 1320, endMinute: 360 },
];

describe('the view', () => {
  let view: typeof ViewModule;
  let kept: unknown = null;
  beforeAll(async () => {
    // The module reads the window's address once, at import.
    vi.stubGlobal('window', {
      location: { hash: '#/drift' },
      history: {
        get state() {
          return kept;
        },
        pushState: (state: unknown) => {
          kept = state;
        },
        replaceState: (state: unknown) => {
          kept = state;
        },
      },
      addEventListener: () => undefined,
    });
    view = await import('../../src/renderer/state/view.ts');
  });

  it('opens the screen that the address names', () => {
    expect(view.currentView().screen).toBe('drift');
  });

  it('steps through the shifts of a day and over midnight', () => {
    const early = { from: 10 * day, to: 11 * day, shift: 'Early' };
    expect(view.neighbourPeriod(early, shifts, 1)).toEqual({ from: 10 * day, to: 11 * day, shift: 'Late' });
    expect(view.neighbourPeriod(early, shifts, -1)).toEqual({ from: 9 * day, to: 10 * day, shift: 'Night' });
    const night = { from: 10 * day, to: 11 * day, shift: 'Night' };
    expect(view.neighbourPeriod(night, shifts, 1)).toEqual({ from: 11 * day, to: 12 * day, shift: 'Early' });
  });

  it('passes over the days on which a shift does not start', () => {
    const fiveDays = shifts.map((shift) => ({ ...shift, weekdays: [0, 1, 2, 3, 4] }));
    // 23 Nov 2026 is a Monday; the 20th the Friday before.
    const monday = Date.UTC(2026, 10, 23);
    expect(view.neighbourPeriod({ from: monday, to: monday + day, shift: 'Early' }, fiveDays, -1)).toEqual({
      from: monday - 3 * day,
      to: monday - 2 * day,
      shift: 'Night',
    });
    const friday = monday - 3 * day;
    expect(view.neighbourPeriod({ from: friday, to: friday + day, shift: 'Night' }, fiveDays, 1)).toEqual({
      from: monday,
      to: monday + day,
      shift: 'Early',
    });
    const never = shifts.map((shift) => ({ ...shift, weekdays: [] }));
    expect(view.neighbourPeriod({ from: monday, to: monday + day, shift: 'Early' }, never, 1).shift).toBe('Early');
  });

  it('steps by its own length where it is no single shift', () => {
    expect(view.neighbourPeriod({ from: 0, to: 7 * day, shift: null }, shifts, 1)).toEqual({
      from: 7 * day,
      to: 14 * day,
      shift: null,
    });
    const open = { from: null, to: null, shift: null };
    expect(view.neighbourPeriod(open, shifts, 1)).toEqual(open);
  });

  it('keeps the scope across screens, and in the history', () => {
    view.changeView({ period: { from: 0, to: day, shift: 'Late' }, tools: ['T-305'] });
    view.changeView({ screen: 'readings' });
    expect(view.periodScope(view.currentView())).toEqual({
      from: 0,
      to: day,
      shifts: ['Late'],
      joints: [],
      tools: ['T-305'],
      operators: [],
    });
    expect(kept).toMatchObject({ tightbookView: { screen: 'readings', tools: ['T-305'] } });
  });

  it('narrows to a picked stretch, which needs no shift beside it', () => {
    view.changeView({ brush: { from: 5, to: 9 } });
    expect(view.narrowScope(view.currentView())).toMatchObject({ from: 5, to: 9, shifts: [] });
  });
});

/**
 * Where the user is: the screen, the scope that Review, Drift and Readings share, and what each screen was asked to
 * open. Kept in the history of the window, so that back and forward go through it and a reload comes back to it.
 */
import { useSyncExternalStore } from 'react';
import type { AppStatus, ReadingsFilter } from '#core/contract/calls.ts';
import type { Scope } from '#core/readings/scope.ts';
import { weekdayOf } from '#core/readings/shift-occurrence.ts';
import { msPerDay, startOfDay } from '#core/time/civil-time.ts';

export const screens = ['intake', 'review', 'drift', 'study', 'readings', 'register'] as const;
export type ScreenName = (typeof screens)[number];

/** A period of whole days, or of the occurrences of one shift that start on those days. */
export interface Period {
  /** Civil ms, start of the first day; null: open. */
  readonly from: number | null;
  /** Civil ms, end of the last day (exclusive); null: open. */
  readonly to: number | null;
  /** Null: the whole of the days. */
  readonly shift: string | null;
}

export interface View {
  readonly screen: ScreenName;
  /** Period of Review and Readings; null until the first status has come. */
  readonly period: Period | null;
  /** Period of Drift, which looks further back; null: the six weeks that end with `period`. */
  readonly driftPeriod: Period | null;
  readonly joints: readonly string[];
  readonly tools: readonly string[];
  readonly operators: readonly string[];
  /** A stretch of the period picked on a time axis, civil ms; narrows everything but the axis itself. */
  readonly brush: { readonly from: number; readonly to: number } | null;
  /** What the screens have open: selected tool, joint, reading. Shared, so that D and S can carry a selection over. */
  readonly tool: string | null;
  readonly joint: string | null;
  readonly reading: string | null;
  /** Filters of the Readings screen. */
  readonly filters: readonly ReadingsFilter[];
  /** Any small state of a screen that should survive leaving it. */
  readonly open: Readonly<Record<string, string>>;
}

const start: View = {
  screen: 'review',
  period: null,
  driftPeriod: null,
  joints: [],
  tools: [],
  operators: [],
  brush: null,
  tool: null,
  joint: null,
  reading: null,
  filters: [],
  open: {},
};

const isScreen = (text: string): text is ScreenName => (screens as readonly string[]).includes(text);

function fromWindow(): View {
  const name = window.location.hash.replace(/^#\/?/, '');
  const kept: unknown = window.history.state;
  const base =
    typeof kept === 'object' && kept !== null && 'tightbookView' in kept
      ? { ...start, ...(kept.tightbookView as Partial<View>) } // written by this file
      : start;
  return isScreen(name) ? { ...base, screen: name } : base;
}

let view: View = fromWindow();
const listeners = new Set<() => void>();

window.addEventListener('popstate', () => {
  view = fromWindow();
  for (const listener of listeners) listener();
});

/** The view now; for event handlers. Parts use `useView`. */
export function currentView(): View {
  return view;
}

/**
 * Changes the view.
 *
 * @param how `push`: back returns to what was there before (another screen, another period); `replace`: a small
 *   change that back should not stop at (a selection)
 */
export function changeView(change: Partial<View>, how: 'push' | 'replace' = 'push'): void {
  const next = { ...view, ...change };
  const address = `#/${next.screen}`;
  const state = { tightbookView: next };
  if (how === 'push') window.history.pushState(state, '', address);
  else window.history.replaceState(state, '', address);
  view = next;
  for (const listener of listeners) listener();
}

/** The view, followed. */
export function useView(): View {
  return useSyncExternalStore(subscribe, currentView);
}

function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** The scope of Review and Readings without the picked stretch of time. */
export function periodScope(v: View): Scope {
  return scopeOf(v, v.period);
}

/** The scope of Review and Readings with the picked stretch of time. */
export function narrowScope(v: View): Scope {
  const whole = periodScope(v);
  // The stretch lies inside the period and says more than it: the shift need not be named again.
  return v.brush ? { ...whole, from: v.brush.from, to: v.brush.to, shifts: [] } : whole;
}

/** The scope of Drift: the same joints, tools and operators, over its own longer period. */
export function driftScope(v: View): Scope {
  return scopeOf(v, v.driftPeriod ?? lastWeeks(v, 6));
}

/** A period of weeks that ends with the period of Review. */
export function lastWeeks(v: View, weeks: number): Period {
  const to = v.period?.to ?? null;
  return { from: to === null ? null : to - weeks * 7 * msPerDay, to, shift: null };
}

function scopeOf(v: View, period: Period | null): Scope {
  return {
    from: period?.from ?? null,
    to: period?.to ?? null,
    shifts: period?.shift ? [period.shift] : [],
    joints: v.joints,
    tools: v.tools,
    operators: v.operators,
  };
}

/** Where Review opens: the newest shift that holds readings, else the newest day; null: nothing is held. */
export function firstPeriod(status: AppStatus): Period | null {
  if (status.newestShift) {
    const { day, name } = status.newestShift;
    return { from: day, to: day + msPerDay, shift: name };
  }
  if (status.readings === 0) return null;
  // Readings without a time belong to no day: everything is shown.
  if (status.to === null) return { from: null, to: null, shift: null };
  const day = startOfDay(status.to);
  return { from: day, to: day + msPerDay, shift: null };
}

/**
 * The period of the same length before (-1) or after (+1) this one: the neighbouring shift in the plant's day when a
 * single shift is shown, else the neighbouring stretch of days.
 */
export function neighbourPeriod(period: Period, shifts: AppStatus['shifts'], direction: -1 | 1): Period {
  const { from, to, shift } = period;
  if (from === null || to === null) return period;
  const days = to - from;
  if (shift !== null && days === msPerDay) {
    const inDay = [...shifts].sort((a, b) => a.startMinute - b.startMinute);
    const here = inDay.findIndex((s) => s.name === shift);
    // Days on which a shift does not start are passed over: from Monday's first shift back to Friday's last.
    for (let steps = 1; here >= 0 && steps <= 7 * inDay.length; steps += 1) {
      const next = here + direction * steps;
      const days = Math.floor(next / inDay.length);
      const found = inDay[next - days * inDay.length];
      const day = from + days * msPerDay;
      if (!found || (found.weekdays && !found.weekdays.includes(weekdayOf(day)))) continue;
      return { from: day, to: day + msPerDay, shift: found.name };
    }
  }
  return { from: from + direction * days, to: to + direction * days, shift };
}

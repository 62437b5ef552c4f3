/** How the user likes to see things. Kept by the engine; a copy in the window's own storage avoids a flash at start. */
import { useEffect, useSyncExternalStore } from 'react';
import type { Bridge } from '../bridge/bridge.ts';

export interface Settings {
  readonly theme: 'system' | 'light' | 'dark';
  readonly density: 'roomy' | 'normal' | 'compact';
  readonly singleKeys: boolean;
  /** Operators are known by number alone, on every screen and in every file: kept by the engine, which sees to it. */
  readonly namesHidden: boolean;
}

const usual: Settings = { theme: 'system', density: 'normal', singleKeys: true, namesHidden: false };
/** The engine's own setting that hides names; Drift sets it, too. */
const hidesNames = 'drift.anonymous';
const place = 'tightbook.settings';

let settings: Settings = read(window.localStorage.getItem(place));
let bridge: Bridge | null = null;
const listeners = new Set<() => void>();

function read(text: string | null): Settings {
  try {
    return checked(text === null ? null : JSON.parse(text));
  } catch {
    return usual;
  }
}

function checked(raw: unknown): Settings {
  if (typeof raw !== 'object' || raw === null) return usual;
  const r = raw as Record<string, unknown>; // every field is checked below
  return {
    theme: r.theme === 'light' || r.theme === 'dark' ? r.theme : 'system',
    density: r.density === 'roomy' || r.density === 'compact' ? r.density : 'normal',
    singleKeys: r.singleKeys !== false,
    namesHidden: r.namesHidden === true,
  };
}

/** The settings now; for event handlers. Parts use `useSettings`. */
export function currentSettings(): Settings {
  return settings;
}

/** Changes settings, here and in the store. */
export function changeSettings(change: Partial<Settings>): void {
  settings = { ...settings, ...change };
  window.localStorage.setItem(place, JSON.stringify(settings));
  apply();
  for (const listener of listeners) listener();
  // A store that cannot be written keeps the choice for this window; that is no reason to interrupt the work.
  const { namesHidden, ...ui } = settings;
  // Only when it was this that was changed: another window, or Drift, may have changed it meanwhile.
  const hides = change.namesHidden === undefined ? {} : { [hidesNames]: namesHidden };
  void bridge?.call('app:settings', { set: { ui, ...hides } }).catch(() => null);
}

export function useSettings(): Settings {
  return useSyncExternalStore((listener) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  }, currentSettings);
}

const darkQuery = window.matchMedia('(prefers-color-scheme: dark)');
darkQuery.addEventListener('change', () => {
  apply();
  for (const listener of listeners) listener();
});

/** The theme in use, after "system" has been resolved. */
export function themeInUse(): 'light' | 'dark' {
  if (settings.theme !== 'system') return settings.theme;
  return darkQuery.matches ? 'dark' : 'light';
}

export function useTheme(): 'light' | 'dark' {
  return useSyncExternalStore((listener) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  }, themeInUse);
}

/** Puts theme and density on the document. Called once before the first drawing, then on every change. */
export function apply(): void {
  document.documentElement.dataset.theme = themeInUse();
  document.documentElement.dataset.density = settings.density;
}

/** Fetches the settings kept with the store. */
export function useStoredSettings(from: Bridge): void {
  useEffect(() => {
    bridge = from;
    const fetch = (): void => {
      from.call('app:settings', {}).then(
        (all) => {
          const kept = all.ui === undefined ? settings : checked(all.ui);
          settings = { ...kept, namesHidden: all[hidesNames] === true };
          window.localStorage.setItem(place, JSON.stringify(settings));
          apply();
          for (const listener of listeners) listener();
        },
        () => null,
      );
    };
    fetch();
    // Another window of the same store may have changed them.
    return from.onEvent((event) => {
      if (event.touches.includes('settings')) fetch();
    });
  }, [from]);
}

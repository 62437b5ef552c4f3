import { useSettings } from '../state/settings.ts';

/** How an operator is written: "R. Banerjee (139)", or by number alone where names are hidden. */
export function useOperatorWords(): (badge: string | null, name: string | null) => string {
  // The engine names nobody then; what it answered before is still on the screen for a moment.
  const { namesHidden } = useSettings();
  return (badge, name) => {
    if (badge === null) return name ?? '';
    return namesHidden || name === null || name === '' ? badge : `${name} (${badge})`;
  };
}

import { useSettings } from '../state/settings.ts';

/** How an operator is written: "R. Banerjee (139)", or the badge alone when the settings ask for that. */
export function useOperatorWords(): (badge: string | null, name: string | null) => string {
  const { badgesOnly } = useSettings();
  return (badge, name) => {
    if (badge === null) return name ?? '';
    return badgesOnly || name === null || name === '' ? badge : `${name} (${badge})`;
  };
}

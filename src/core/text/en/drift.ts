import type { Format } from '../format.ts';

/** Phrases of the drift area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const drift = {
  'drift.name': (_: Record<string, never>, _f: Format) => 'Drift',
};

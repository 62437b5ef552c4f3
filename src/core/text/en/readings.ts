import type { Format } from '../format.ts';

/** Phrases of the readings area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const readings = {
  'readings.name': (_: Record<string, never>, _f: Format) => 'Readings',
};

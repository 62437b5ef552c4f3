import type { Format } from '../format.ts';

/** Phrases of the report area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const report = {
  'report.name': (_: Record<string, never>, _f: Format) => 'Report',
};

import type { Format } from '../format.ts';

/** Phrases of the study area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const study = {
  'study.name': (_: Record<string, never>, _f: Format) => 'Study',
};

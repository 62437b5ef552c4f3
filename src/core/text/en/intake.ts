import type { Format } from '../format.ts';

/** Phrases of the intake area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const intake = {
  'intake.name': (_: Record<string, never>, _f: Format) => 'Intake',
};

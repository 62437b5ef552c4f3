import type { Format } from '../format.ts';

/** Phrases of the register area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const register = {
  'register.name': (_: Record<string, never>, _f: Format) => 'Register',
};

import type { Format } from '../format.ts';

/** Phrases of the review area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const review = {
  'review.name': (_: Record<string, never>, _f: Format) => 'Review',
};

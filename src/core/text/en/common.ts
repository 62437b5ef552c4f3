import type { Format } from '../format.ts';

/** Phrases used on every screen. */
export const common = {
  'common.product': (_: Record<string, never>, _f: Format) => 'Tightbook',
  'common.releases-nothing': (_: Record<string, never>, _f: Format) =>
    'Nothing here releases anything: the responsible engineer and local rules decide.',
  'common.needs': (a: { needed: number; got: number }, f: Format) =>
    `Not computed: needs at least ${f.number(a.needed)}, there are ${f.number(a.got)}.`,
  'common.no-spread': (_: Record<string, never>, _f: Format) => 'Not computed: all values are equal.',
};

import type { Format } from '../format.ts';

/** Phrases of the shells: start, uploads, command line. */
export const shell = {
  'shell.too-large': (a: { name: string }, _f: Format) =>
    `${a.name} is larger than 4 GiB. Split the dump into parts and hand them in one by one; overlaps do no harm.`,
  'shell.no-runtime': (_: Record<string, never>, _f: Format) =>
    'The desktop runtime cannot be had here, so the same application opens in the browser.',
  'shell.no-display': (_: Record<string, never>, _f: Format) =>
    'There is no display here, so the same application is served to a browser.',
  'shell.address': (a: { address: string }, _f: Format) =>
    `Open ${a.address} (works once, in one browser). Ctrl-C ends it.`,
  'shell.needs-build': (_: Record<string, never>, _f: Format) => 'Building the application (once) ...',
  'shell.not-json': (a: { file: string; detail: string }, _f: Format) =>
    `${a.file} is not JSON (${a.detail}). Nothing was changed; correct the file and try again.`,
  'shell.build-failed': (a: { code: number }, f: Format) =>
    `The application could not be built (exit ${f.number(a.code)}). Run "npm ci" and try again.`,
};

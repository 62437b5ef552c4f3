/** An installed Chromium as a printer: HTML to PDF, SVG to PNG. Used where Electron is not there. */
import { spawn } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { ProblemError } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';
import { installedChromium } from './installed-chromium.ts';

const withinMs = 60_000;

/**
 * Prints a self-contained page.
 *
 * Two runs of a browser differ in their dates only: those are written over with `madeMs`, to equal length, so that the
 * same page gives the same bytes.
 *
 * @throws ProblemError `not-found` when no browser is installed
 */
export async function pagePdf(html: string, madeMs: number): Promise<Uint8Array> {
  const bytes = await withBrowser('page.html', html, 'page.pdf', (target) => [
    '--no-pdf-header-footer',
    `--print-to-pdf=${target}`,
  ]);
  return datedPdf(bytes, madeMs);
}

/** Draws an SVG as PNG at twice its size. */
export async function svgPng(svg: string, width: number, height: number): Promise<Uint8Array> {
  const page = `<!doctype html><meta charset="utf-8"><style>html,body{margin:0;background:#fff}svg{display:block}</style>${svg}`;
  return withBrowser('figure.html', page, 'figure.png', (target) => [
    `--screenshot=${target}`,
    `--window-size=${width},${height}`,
    '--force-device-scale-factor=2',
    '--hide-scrollbars',
  ]);
}

async function withBrowser(
  name: string,
  content: string,
  result: string,
  options: (target: string) => readonly string[],
): Promise<Uint8Array> {
  const browser = installedChromium();
  if (!browser) throw new ProblemError('not-found', said('report.no-browser', {}));
  const folder = await mkdtemp(path.join(tmpdir(), 'tightbook-print-'));
  try {
    const page = path.join(folder, name);
    const target = path.join(folder, result);
    await writeFile(page, content);
    await run(browser, [
      '--headless',
      '--disable-gpu',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      // Without a profile of its own an open browser would take the call over and print nothing.
      `--user-data-dir=${path.join(folder, 'profile')}`,
      // Chromium cannot sandbox itself as root; only then is it told not to try. The page has no script.
      ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
      ...options(target),
      pathToFileURL(page).href,
    ]);
    return new Uint8Array(await readFile(target));
  } finally {
    await rm(folder, { recursive: true, force: true, maxRetries: 3 });
  }
}

function run(command: string, args: readonly string[]): Promise<void> {
  return new Promise((done, failed) => {
    const child = spawn(command, args, { stdio: 'ignore' });
    const limit = setTimeout(() => child.kill('SIGKILL'), withinMs);
    child.on('error', failed);
    child.on('exit', (code) => {
      clearTimeout(limit);
      if (code === 0) done();
      else failed(new Error(`the browser ended with ${code ?? 'a signal'} while printing`));
    });
  });
}

/** Writes one date over the dates of a PDF and drops its random file id, keeping every length. */
export function datedPdf(pdf: Uint8Array, madeMs: number): Uint8Array {
  // latin1 keeps every byte as it is, both ways.
  const text = Buffer.from(pdf).toString('latin1');
  const stamp = new Date(madeMs).toISOString().replace(/[-:T]/g, '').slice(0, 14);
  const dated = text
    .replace(/(\/(?:CreationDate|ModDate) \(D:)\d{14}/g, `$1${stamp}`)
    .replace(
      /(\/ID \[<)([0-9A-Fa-f]+)(> <)([0-9A-Fa-f]+)(>\])/g,
      (_all, a: string, x: string, b: string, y: string, c: string) =>
        a + '0'.repeat(x.length) + b + '0'.repeat(y.length) + c,
    );
  return new Uint8Array(Buffer.from(dated, 'latin1'));
}

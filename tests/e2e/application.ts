/** The built application, served to a real Chromium: what every end-to-end test starts. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { findChromium } from '../run/find-chromium.ts';

export const root = fileURLToPath(new URL('../..', import.meta.url));

export interface Application {
  readonly browser: Browser;
  readonly context: BrowserContext;
  readonly page: Page;
  readonly folder: string;
  readonly storePath: string;
  /** Warnings and errors of the page's console: must be empty at the end of a test. */
  readonly complaints: string[];
  close(): Promise<void>;
}

/** Starts the built browser shell on a new store and opens its address. */
export async function startApplication(
  options: {
    readonly width?: number;
    readonly height?: number;
    readonly dark?: boolean;
    readonly storePath?: string;
  } = {},
): Promise<Application> {
  const executablePath = findChromium();
  if (!executablePath) throw new Error('no Chromium: run npm test, which finds or installs one');
  const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-e2e-'));
  const storePath = options.storePath ?? path.join(folder, 'plant.tightbook');
  const shell = spawn(
    process.execPath,
    [path.join(root, 'out', 'main', 'browser.js'), '--store', storePath, '--no-open'],
    {
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  );
  const address = await printedAddress(shell);
  const browser = await chromium.launch({
    executablePath,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
  const context = await browser.newContext({
    viewport: { width: options.width ?? 1440, height: options.height ?? 900 },
    colorScheme: options.dark ? 'dark' : 'light',
    reducedMotion: 'reduce',
    acceptDownloads: true,
  });
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  await page.goto(address);
  return {
    browser,
    context,
    page,
    folder,
    storePath,
    complaints,
    async close() {
      await browser.close();
      await ended(shell);
      rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

/** The line with the one-time address that the shell prints. */
function printedAddress(shell: ChildProcess): Promise<string> {
  return new Promise((done, failed) => {
    const { stdout } = shell;
    if (!stdout) return failed(new Error('the shell has no output'));
    createInterface({ input: stdout }).on('line', (line) => {
      const address = /http:\/\/127\.0\.0\.1:\d+\/\?token=[\w-]+/.exec(line)?.[0];
      if (address) done(address);
    });
    shell.on('exit', (code) => failed(new Error(`the shell ended with ${code} before it printed an address`)));
  });
}

/** Ends the shell as Ctrl-C does; it must end by itself within ten seconds. */
async function ended(shell: ChildProcess): Promise<void> {
  if (shell.exitCode !== null) return;
  const exit = new Promise<number | null>((done) => shell.once('exit', done));
  shell.kill('SIGINT');
  const late = setTimeout(() => shell.kill('SIGKILL'), 10_000);
  const code = await exit;
  clearTimeout(late);
  if (code !== 0) throw new Error(`the shell ended with ${code ?? 'a signal'} instead of 0`);
}

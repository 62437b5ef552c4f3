/**
 * Chromium for the end-to-end tests: found on the machine, else installed by what the platform offers.
 *
 * The tests are never skipped for want of a browser: without one they fail, and this says what to do.
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { installedChromium } from '../../src/main/report/installed-chromium.ts';

/** Path of an installed Chromium, or null. */
export const findChromium = installedChromium;

/** As `findChromium`, after trying the platform's package manager. */
export function findOrInstallChromium(): string | null {
  const found = findChromium();
  if (found) return found;
  const run = (command: string, args: readonly string[]): boolean => {
    console.log(`No Chromium found; trying: ${command} ${args.join(' ')}`);
    const done = spawnSync(command, args, {
      stdio: ['ignore', 'ignore', 'inherit'],
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
      timeout: 600_000,
    });
    return done.status === 0;
  };
  const asRoot = process.getuid?.() === 0 ? [] : ['sudo', '-n'];
  const rooted = (command: string, ...args: string[]): boolean => {
    const [first = command, ...rest] = [...asRoot, command, ...args];
    return run(first, rest);
  };
  if (process.platform === 'linux') {
    if (existsSync('/usr/bin/apt-get')) {
      rooted('apt-get', 'update', '-q');
      rooted('apt-get', 'install', '-y', '-q', '--no-install-recommends', 'chromium', 'fonts-liberation');
    } else if (existsSync('/usr/bin/dnf')) rooted('dnf', 'install', '-y', 'chromium');
    else if (existsSync('/usr/bin/pacman')) rooted('pacman', '-S', '--noconfirm', 'chromium');
  } else if (process.platform === 'darwin') run('brew', ['install', '--cask', 'chromium']);
  else
    run('winget', [
      'install',
      '-e',
      '--id',
      'Google.Chrome',
      '--accept-source-agreements',
      '--accept-package-agreements',
    ]);
  const installed = findChromium();
  if (!installed) {
    console.error(
      'No Chromium could be installed. Install one, or name it in TIGHTBOOK_CHROMIUM, and run the tests again.',
    );
  }
  return installed;
}

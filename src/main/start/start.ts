/**
 * `npm start`: builds if needed, opens the desktop window; where its runtime cannot be had, serves the same
 * application to the local browser.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { said, say } from '#core/text/said.ts';
import { buildIfNeeded } from './build-if-needed.ts';

const root = fileURLToPath(new URL('../../../', import.meta.url));
const given = process.argv.slice(2);
const fetchWithinMs = 20_000;

if (!(await buildIfNeeded(root))) process.exit(1);
const runtime = given.includes('--browser') ? null : await desktopRuntime();
if (runtime && !hasDisplay()) console.log(say(said('shell.no-display', {})));
if (runtime && hasDisplay()) await follow(spawn(runtime, [root, ...given], { stdio: 'inherit' }));
else
  await follow(spawn(process.execPath, [path.join(root, 'out', 'main', 'browser.js'), ...given], { stdio: 'inherit' }));

/** Path of Electron's executable, fetched at the first start; null when it cannot be had. */
async function desktopRuntime(): Promise<string | null> {
  const folder = path.join(root, 'node_modules', 'electron');
  const found = installedRuntime(folder);
  if (found) return found;
  if (existsSync(path.join(folder, 'install.js'))) {
    await new Promise<void>((done) => {
      const fetching = spawn(process.execPath, [path.join(folder, 'install.js')], { stdio: 'ignore' });
      const limit = setTimeout(() => fetching.kill(), fetchWithinMs);
      fetching.on('error', () => done());
      fetching.on('exit', () => {
        clearTimeout(limit);
        done();
      });
    });
  }
  const fetched = installedRuntime(folder);
  if (!fetched) console.log(say(said('shell.no-runtime', {})));
  return fetched;
}

function installedRuntime(folder: string): string | null {
  const note = path.join(folder, 'path.txt');
  if (!existsSync(note)) return null;
  const file = path.join(
    process.env.ELECTRON_OVERRIDE_DIST_PATH ?? path.join(folder, 'dist'),
    readFileSync(note, 'utf8'),
  );
  return existsSync(file) ? file : null;
}

function hasDisplay(): boolean {
  return process.platform !== 'linux' || Boolean(process.env.DISPLAY ?? process.env.WAYLAND_DISPLAY);
}

/** Ends as the child ends. Ctrl-C reaches the child by itself; this process only waits for its orderly end. */
function follow(child: ChildProcess): Promise<void> {
  process.on('SIGINT', () => undefined);
  process.on('SIGTERM', () => child.kill('SIGTERM'));
  return new Promise((done) => {
    child.on('exit', (code) => {
      process.exitCode = code ?? 0;
      done();
    });
  });
}

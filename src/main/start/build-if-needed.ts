/** Builds the application when its sources are newer than what was built from them. */
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { said, say } from '#core/text/said.ts';

const inputs = ['src', 'package.json', 'package-lock.json', 'electron.vite.config.ts'];

/**
 * Builds into out/ unless it holds a build of these very sources (compared by content, so that a fresh checkout with
 * odd file times is built once and not twice).
 *
 * @returns whether a build is there now
 */
export async function buildIfNeeded(root: string): Promise<boolean> {
  const stamp = path.join(root, 'out', 'sources.sha256');
  const wanted = fingerprint(root);
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted) return true;
  console.log(say(said('shell.needs-build', {})));
  const tool = path.join(root, 'node_modules', 'electron-vite', 'bin', 'electron-vite.js');
  const output: Buffer[] = [];
  const code = await new Promise<number>((done) => {
    const child = spawn(process.execPath, [tool, 'build', '--logLevel', 'warn'], {
      cwd: root,
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    child.stdout.on('data', (chunk: Buffer) => output.push(chunk));
    child.stderr.on('data', (chunk: Buffer) => output.push(chunk));
    child.on('error', () => done(1));
    child.on('exit', (exit) => done(exit ?? 1));
  });
  if (code !== 0) {
    console.error(Buffer.concat(output).toString('utf8'));
    console.error(say(said('shell.build-failed', { code })));
    return false;
  }
  mkdirSync(path.dirname(stamp), { recursive: true });
  writeFileSync(stamp, wanted);
  return true;
}

function fingerprint(root: string): string {
  const hash = createHash('sha256');
  for (const file of inputs.flatMap((input) => files(path.join(root, input))).sort()) {
    hash.update(path.relative(root, file)).update('\0').update(readFileSync(file)).update('\0');
  }
  return hash.digest('hex');
}

function files(at: string): string[] {
  if (!existsSync(at)) return [];
  const entries = readdirSync(path.dirname(at), { withFileTypes: true }).filter(
    (entry) => entry.name === path.basename(at),
  );
  if (entries[0]?.isFile()) return [at];
  return readdirSync(at, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => path.join(entry.parentPath, entry.name));
}

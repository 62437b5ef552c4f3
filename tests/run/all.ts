/**
 * `npm test`: lint, layers, types, unit and reference tests, build, end-to-end tests in a real browser.
 *
 * Every step runs even when an earlier one failed, so that one run tells everything. Ends with the sum alone on a line.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { findOrInstallChromium } from './find-chromium.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const tool = (...parts: string[]): string => path.join(root, 'node_modules', ...parts);
const reports = mkdtempSync(path.join(tmpdir(), 'tightbook-tests-'));
let passed = 0;
let failed = 0;

await check('lint and format', [tool('@biomejs', 'biome', 'bin', 'biome'), 'check', '--error-on-warnings', '.']);
await check('imports run one way', [path.join(root, 'tests', 'run', 'layers.ts')]);
await check('types', [path.join(root, 'tests', 'run', 'types.ts')]);
await check('build', [path.join(root, 'tests', 'run', 'build.ts')]);
await tests('unit');
const chromium = findOrInstallChromium();
if (chromium) await tests('e2e', { TIGHTBOOK_CHROMIUM: chromium });
else failed += 1;

rmSync(reports, { recursive: true, force: true });
console.log(`\n${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;

/** One check that passes or fails as a whole. */
async function check(name: string, args: readonly string[]): Promise<void> {
  const started = performance.now();
  const code = await run(args);
  if (code === 0) passed += 1;
  else failed += 1;
  console.log(`${code === 0 ? 'ok  ' : 'FAIL'} ${name} (${((performance.now() - started) / 1000).toFixed(1)} s)`);
}

/** A project of vitest, counted test by test. A run that reports nothing counts as one failure. */
async function tests(project: string, env: Readonly<Record<string, string>> = {}): Promise<void> {
  const report = path.join(reports, `${project}.json`);
  const code = await run(
    [
      tool('vitest', 'vitest.mjs'),
      'run',
      '--project',
      project,
      '--reporter=dot',
      '--reporter=json',
      `--outputFile.json=${report}`,
    ],
    env,
  );
  const counts = read(report);
  passed += counts.passed;
  // A suite that could not be loaded has no tests of its own to fail.
  failed += Math.max(counts.failed, code === 0 ? 0 : 1);
  if (counts.skipped > 0)
    console.log(`${counts.skipped} skipped in ${project}: each says in its title what it waits for`);
  console.log(
    `${code === 0 ? 'ok  ' : 'FAIL'} ${project}: ${counts.passed} passed, ${counts.failed} failed in this part`,
  );
}

function read(report: string): { passed: number; failed: number; skipped: number } {
  try {
    const json: unknown = JSON.parse(readFileSync(report, 'utf8'));
    const count = (key: string): number => {
      const value = typeof json === 'object' && json !== null ? Reflect.get(json, key) : 0;
      return typeof value === 'number' ? value : 0;
    };
    return { passed: count('numPassedTests'), failed: count('numFailedTests'), skipped: count('numPendingTests') };
  } catch {
    return { passed: 0, failed: 0, skipped: 0 };
  }
}

function run(args: readonly string[], env: Readonly<Record<string, string>> = {}): Promise<number> {
  return new Promise((done) => {
    const child = spawn(process.execPath, args, {
      cwd: root,
      stdio: ['ignore', 'inherit', 'inherit'],
      env: { ...process.env, ...env },
    });
    child.on('error', () => done(1));
    child.on('exit', (code) => done(code ?? 1));
  });
}

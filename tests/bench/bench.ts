/**
 * `npm run bench [-- --rows N]`: every benchmark, one process each, as ratios taken in one run.
 *
 * Absolute times are this machine's; the ratios are what the design sets bounds on. N scales all of them (default
 * 1,000,000), so that a quick look costs seconds.
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';

const { values } = parseArgs({
  args: process.argv.slice(2),
  options: { rows: { type: 'string', default: '1000000' } },
});
const parts = ['intake-bench.ts', 'question-bench.ts', 'study-bench.ts', 'drift-bench.ts'];

for (const part of parts) {
  const file = fileURLToPath(new URL(part, import.meta.url));
  if (!existsSync(file)) throw new Error(`${part} is missing`);
  console.log(`\n== ${part.replace('-bench.ts', '')} ==`);
  const done = spawnSync(process.execPath, ['--expose-gc', file, '--rows', values.rows], { stdio: 'inherit' });
  if (done.status !== 0) process.exitCode = 1;
}

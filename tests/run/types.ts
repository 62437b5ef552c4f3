/** Type-checks every project of the tree; each folder has its own library set, so each is checked on its own. */
import { spawn } from 'node:child_process';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const tsc = path.join(root, 'node_modules', 'typescript', 'bin', 'tsc');
const projects = ['src/core', 'src/main', 'src/renderer', 'tests'];

const codes: number[] = [];
for (const project of projects) {
  const child = spawn(process.execPath, [tsc, '-p', path.join(root, project)], { stdio: 'inherit' });
  codes.push(await new Promise<number>((done) => child.on('exit', (code) => done(code ?? 1))));
}
process.exitCode = codes.some((code) => code !== 0) ? 1 : 0;

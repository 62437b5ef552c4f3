/** Writes the sample again, byte for byte: `npm run sample`. */
import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { sampleFiles } from './sample-files.ts';

const here = fileURLToPath(new URL('.', import.meta.url));
// Built before anything is removed: a fault leaves the files as they were.
const files = sampleFiles();
for (const folder of ['dumps', 'to-try']) {
  mkdirSync(path.join(here, folder), { recursive: true });
  for (const old of readdirSync(path.join(here, folder))) rmSync(path.join(here, folder, old));
}
for (const [name, bytes] of files) writeFileSync(path.join(here, name), bytes);
console.log(`${files.size} files written to ${here}`);

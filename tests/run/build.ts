/** `npm run build`: builds out/ whatever is there. */
import { rmSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { buildIfNeeded } from '../../src/main/start/build-if-needed.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
rmSync(path.join(root, 'out', 'sources.sha256'), { force: true });
process.exitCode = (await buildIfNeeded(root)) ? 0 : 1;

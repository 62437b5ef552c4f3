/**
 * Imports run one way: core knows nothing of main and renderer, and those two never import each other.
 *
 * The table is the one in DEVELOPERS.md. A lint rule and not a habit: this runs as part of `npm run lint`.
 */
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));

interface Layer {
  readonly folder: string;
  readonly mayImport: readonly string[];
  /** Packages by exact name or prefix ending in `/` or `-`; null: any. */
  readonly packages: readonly string[] | null;
  readonly never: readonly string[];
}

const layers: readonly Layer[] = [
  {
    folder: 'src/core',
    mayImport: ['src/core'],
    packages: ['zod', 'simple-statistics', '@stdlib/'],
    never: [],
  },
  { folder: 'src/main', mayImport: ['src/core', 'src/main'], packages: null, never: ['react', 'react-dom'] },
  {
    folder: 'src/renderer',
    mayImport: ['src/core', 'src/renderer'],
    packages: null,
    never: ['electron', 'node:', 'papaparse'],
  },
];

const problems: string[] = [];
for (const layer of layers) {
  for (const file of sources(path.join(root, layer.folder))) {
    const here = path.relative(root, file).split(path.sep).join('/');
    for (const name of imports(readFileSync(file, 'utf8'))) {
      const target = resolve(name, file);
      if (target !== null) {
        if (!layer.mayImport.some((folder) => target.startsWith(`${folder}/`)))
          problems.push(`${here} imports ${target}`);
        continue;
      }
      if (layer.never.some((bad) => name === bad || name.startsWith(bad.endsWith(':') ? bad : `${bad}/`))) {
        problems.push(`${here} imports ${name}`);
      } else if (
        layer.packages &&
        !layer.packages.some((good) => name === good || (/[/-]$/.test(good) && name.startsWith(good)))
      ) {
        problems.push(`${here} imports ${name}`);
      }
      if (layer.folder === 'src/main') {
        if (/^electron(\/|$)/.test(name) && !here.startsWith('src/main/desktop/'))
          problems.push(`${here} imports ${name}`);
        if (/^echarts(\/|$)/.test(name) && !here.startsWith('src/main/report/'))
          problems.push(`${here} imports ${name}`);
      }
    }
  }
}

if (problems.length > 0) {
  console.error(`Imports that run the wrong way:\n  ${problems.join('\n  ')}`);
  process.exitCode = 1;
}

function sources(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && /\.(ts|tsx)$/.test(entry.name))
    .map((entry) => path.join(entry.parentPath, entry.name));
}

function imports(text: string): string[] {
  return [
    ...text.matchAll(
      /(?:^|\n)\s*(?:import|export)\s(?:[^'";]*?\sfrom\s)?['"]([^'"]+)['"]|import\(\s*['"]([^'"]+)['"]\s*\)/g,
    ),
  ].map((m) => m[1] ?? m[2] ?? '');
}

/** Repository path of an import of ours, or null for a package. */
function resolve(name: string, from: string): string | null {
  if (name.startsWith('#core/')) return name.replace('#core/', 'src/core/');
  if (name.startsWith('#sample/')) return name.replace('#sample/', 'sample-data/');
  if (!name.startsWith('.')) return null;
  return path
    .relative(root, path.resolve(path.dirname(from), name))
    .split(path.sep)
    .join('/');
}

/** The command line when nobody reads on, and when its store is damaged: a real process each. */
import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const entry = fileURLToPath(new URL('../../../src/main/cli/entry.ts', import.meta.url));
let folder = '';

function run(...args: string[]) {
  return spawnSync(process.execPath, [entry, ...args], { encoding: 'utf8' });
}

/** A dump of `rows` readings, one a minute. */
function dump(name: string, rows: number): string {
  const lines = ['Date;Time;Tool;Joint;Torque [Nm]'];
  for (let i = 0; i < rows; i++) {
    const time = new Date(Date.UTC(2026, 2, 14, 6) + i * 60_000).toISOString();
    lines.push(`${time.slice(0, 10)};${time.slice(11, 19)};W-1;Stem;${(24 + (i % 40) / 100).toFixed(2)}`);
  }
  const path = join(folder, name);
  writeFileSync(path, `${lines.join('\n')}\n`);
  return path;
}

describe('the command line', () => {
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'cli-output-'));
  });
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  it('ends quietly, with 0, when the reader of its output stops early', async () => {
    const store = join(folder, 'piped.tightbook');
    const taken = run('intake', dump('piped.csv', 20_000), '--store', store);
    expect(taken.stderr).toBe('');
    expect(taken.status).toBe(0);

    const child = spawn(process.execPath, [entry, 'readings', '--store', store], {
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let complaints = '';
    child.stderr.on('data', (piece: Buffer) => {
      complaints += piece.toString();
    });
    // As `| head -1` does: reads a little, then closes its end.
    child.stdout.once('data', () => child.stdout.destroy());
    const [code] = await once(child, 'close');
    expect(complaints).toBe('');
    expect(code).toBe(0);
  });

  it('says of a damaged store which files to put where, and that works', () => {
    const store = join(folder, 'damaged.tightbook');
    expect(run('intake', dump('good.csv', 200), '--store', store).status).toBe(0);
    const copy = `${store}.backup-2026-03-14`;
    copyFileSync(store, copy);
    // A page of noise over the first one: no database any more.
    const bytes = readFileSync(store);
    bytes.fill(0x5a, 0, 4096);
    writeFileSync(store, bytes);

    const refused = run('review', '--store', store);
    expect(refused.status).toBe(5);
    for (const named of [`put ${store} aside`, `${store}-wal`, `${store}-shm`, `copy ${copy} to ${store}`]) {
      expect(refused.stderr).toContain(named);
    }
    expect(readFileSync(store).equals(bytes)).toBe(true);

    // What the sentence says, done.
    for (const end of ['', '-wal', '-shm']) rmSync(`${store}${end}`, { force: true });
    copyFileSync(copy, store);
    const answer: unknown = JSON.parse(run('readings', '--store', store, '--json').stdout);
    expect(answer).toHaveProperty('readings.length', 200);
  });

  it('says so when a damaged store has no copy beside it', () => {
    const store = join(folder, 'lone.tightbook');
    writeFileSync(store, 'this is a text and no store at all\n'.repeat(400));
    const refused = run('review', '--store', store);
    expect(refused.status).toBe(5);
    expect(refused.stderr).toContain('No backup lies beside it');
  });
});

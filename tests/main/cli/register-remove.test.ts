/** `register --remove` as people and scripts use it: real processes, exit codes, and what is said. */
import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

const entry = fileURLToPath(new URL('../../../src/main/cli/entry.ts', import.meta.url));
const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-remove-'));
const store = path.join(folder, 'plant.tightbook');

function run(...args: string[]): Promise<{ readonly code: number; readonly out: string; readonly warned: string }> {
  return new Promise((resolve) => {
    execFile(process.execPath, [entry, ...args, '--store', store], (error, out, warned) => {
      resolve({ code: error === null ? 0 : typeof error.code === 'number' ? error.code : 1, out, warned });
    });
  });
}

beforeAll(async () => {
  const file = path.join(folder, 'register.json');
  const limits = [{ from: '2026-01-01', unit: 'N.m', low: 22, high: 26 }];
  writeFileSync(
    file,
    JSON.stringify({
      joints: [
        { name: 'Stem', limits },
        { name: 'Crnak', limits },
      ],
    }),
  );
  expect((await run('register', file)).code).toBe(0);
  const dump = path.join(folder, 'a.csv');
  writeFileSync(dump, 'Date and time;Tool;Joint;Torque;Unit\n2026-03-14 06:00:00;T-1;Stem;24.0;Nm\n');
  expect((await run('intake', dump)).code).toBe(0);
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true, maxRetries: 5 }));

describe('register --remove', () => {
  test('takes out what nothing points to', async () => {
    expect(await run('register', '--remove', 'joint', 'Crnak', '--why', 'typed wrongly')).toMatchObject({
      code: 0,
      out: 'Crnak is removed. The journal keeps it.\n',
    });
    expect((await run('register', '--export')).out).not.toContain('Crnak');
    const again = await run('register', '--remove', 'joint', 'Crnak', '--json');
    expect(again.code).toBe(4);
    expect(JSON.parse(again.out)).toMatchObject({ problem: { kind: 'not-found' } });
  });

  test('refuses what readings point to, in words, and changes nothing', async () => {
    expect(await run('register', '--remove', 'tool', 'T-1')).toMatchObject({
      code: 3,
      out: '',
      warned: 'T-1 cannot be removed: 1 reading points to it. If the tool is no longer used, retire it.\n',
    });
    expect((await run('readings', '--json')).out).toContain('T-1');
  });

  test('says how it is written when it is written wrongly', async () => {
    for (const args of [['--remove'], ['--remove', 'bolt', 'X'], ['--remove', 'joint', 'Stem', '--export']]) {
      expect((await run('register', ...args)).code).toBe(4);
    }
    expect((await run('register', 'a.json', '--why', 'x')).warned).toContain('--why TEXT goes with --remove');
  });
});

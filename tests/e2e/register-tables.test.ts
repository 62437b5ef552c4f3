/** The register of the sample out of one store as CSV tables, and from the tables into another: the built command line. */
import { execFile } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { registerTableNames } from '../../src/core/register/register-csv.ts';
import { root } from './application.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-tables-'));
afterAll(() => rmSync(folder, { recursive: true, force: true, maxRetries: 5 }));

function cli(...args: string[]): Promise<{ readonly code: number; readonly out: string; readonly err: string }> {
  return new Promise((done) => {
    execFile(process.execPath, [path.join(root, 'out', 'main', 'cli.js'), ...args], (error, out, err) => {
      done({ code: error === null ? 0 : typeof error.code === 'number' ? error.code : 1, out, err });
    });
  });
}

describe('the register as tables', () => {
  const first = path.join(folder, 'first.tightbook');
  const second = path.join(folder, 'second.tightbook');
  const tables = path.join(folder, 'tables');

  it('goes out as one CSV a list and comes in again as the same register', async () => {
    const sample = path.join(root, 'sample-data', 'register.json');
    expect((await cli('register', sample, '--store', first)).code).toBe(0);
    const exported = JSON.parse((await cli('register', '--export', '--store', first)).out);
    expect(exported.shifts[0].breaks.length).toBeGreaterThan(0);
    const written = JSON.parse(
      (await cli('register', '--export', '--csv', tables, '--json', '--store', first)).out,
    ).written;
    expect(readdirSync(tables).sort()).toEqual([...written].sort());
    expect(written).toContain('shifts.csv');
    for (const table of registerTableNames) {
      if (!written.includes(`${table}.csv`)) continue;
      const taken = await cli('register', path.join(tables, `${table}.csv`), '--store', second);
      expect(taken).toMatchObject({ code: 0, err: '' });
    }
    expect(JSON.parse((await cli('register', '--export', '--store', second)).out)).toEqual(exported);
  });

  it('says what is wrong with a table, by row and column, and with the call', async () => {
    const bad = await cli('register', path.join(root, 'sample-data', 'README.md'), '--store', second);
    expect(bad.code).toBe(3);
    const usage = await cli('register', path.join(tables, 'tools.csv'), '--csv', tables, '--store', second);
    expect(usage.code).toBe(4);
    expect(usage.err).toContain('--csv DIR goes with --export');
    expect(readFileSync(path.join(tables, 'tools.csv'), 'utf8').split('\r\n')[0]).toContain(
      'permissibleDeviationPercent',
    );
  });

  it('writes a shift as a table, and refuses an ending it does not know', async () => {
    const out = path.join(folder, 'shift.csv');
    expect((await cli('review', '--store', second, '--out', out)).code).toBe(0);
    expect(readFileSync(out, 'utf8')).toMatch(/^time,joint,fastener,tool,operator,/);
    expect((await cli('review', '--store', second, '--out', path.join(folder, 'shift.xyz'))).code).toBe(4);
  });
});

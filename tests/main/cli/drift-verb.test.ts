/** `drift` as people and scripts use it: real processes on the sample, the checks of a tool from a CSV, files that leave. */
import { execFile } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

const entry = fileURLToPath(new URL('../../../src/main/cli/entry.ts', import.meta.url));
const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-drift-'));
const store = path.join(folder, 'plant.tightbook');
const at = (name: string): string => path.join(folder, name);

interface Ran {
  readonly code: number;
  readonly out: string;
  readonly warned: string;
}
function run(...args: string[]): Promise<Ran> {
  return new Promise((resolve) => {
    execFile(process.execPath, [entry, ...args, '--store', store], { maxBuffer: 1 << 28 }, (error, out, warned) => {
      resolve({ code: error === null ? 0 : typeof error.code === 'number' ? error.code : 1, out, warned });
    });
  });
}
const drift = (...args: string[]): Promise<Ran> => run('drift', '--now', '2026-11-26T08:00', ...args);
const rowsOf = (name: string): number => readFileSync(at(name), 'utf8').trimEnd().split('\n').length - 1;

beforeAll(async () => {
  expect((await run('demo')).code).toBe(0);
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true, maxRetries: 5 }));

describe('drift on the command line', () => {
  test('text: the suspect first, its readings in question, who cannot be told apart, cautions once', async () => {
    const { code, out } = await drift();
    expect(code).toBe(0);
    const [first, second] = out.split('\n');
    expect(first).toMatch(/^T-207 {2}T-207 reads 3\.0 % low by the check of 23 Nov/);
    expect(second).toMatch(
      /in question: \d+ readings since 2026-11-13 06:00:00; corrected by the latest check, \d+ of/,
    );
    expect(out).toMatch(/T-131: its calibration is overdue since 18 Nov/);
    expect(out).toMatch(/Cannot be told apart: \w+ used only T-131\. To untangle: /);
    expect(out.match(/Nothing here releases/g)).toHaveLength(1);
    expect(out.match(/competent laboratory/g)).toHaveLength(1);
  });

  test('the readings in question and the affected ones leave as CSV, as many as the document counts', async () => {
    const { out } = await drift('--json');
    // The document of the contract, looked at in a few fields.
    const document = JSON.parse(out) as {
      tools: {
        tool: string;
        affected: { count: number; byJoint: { joint: string; count: number }[] };
        inQuestion: { count: number } | null;
      }[];
    };
    const tool = document.tools.find((one) => one.tool === 'T-207')!;
    expect((await drift('--in-question', 'T-207', '--out', at('question.csv'))).code).toBe(0);
    expect(rowsOf('question.csv')).toBe(tool.inQuestion?.count);
    expect((await drift('--affected', 'T-207', '--out', at('affected.csv'))).code).toBe(0);
    expect(rowsOf('affected.csv')).toBe(tool.affected.count);
    expect(tool.affected.byJoint.reduce((sum, one) => sum + one.count, 0)).toBe(tool.affected.count);
    const none = await drift('--in-question', 'T-114', '--out', at('none.csv'));
    expect(none.code).toBe(0);
    expect(none.warned).toMatch(/^No reading of T-114 is in question/);
    expect(existsSync(at('none.csv'))).toBe(false);
  });

  test('the card of a tool is one page of HTML that names its finding, its doubts and who decides', async () => {
    expect((await drift('--card', 'T-207', '--out', at('card.html'))).code).toBe(0);
    const html = readFileSync(at('card.html'), 'utf8');
    expect(html).toContain('T-207 reads 3.0 % low');
    expect(html).toMatch(/In question: [\d\u2009\u2060]+ readings since/);
    expect(html.match(/Nothing here releases/g)).toHaveLength(1);
  });

  test('a wrong use is refused before anything is read', async () => {
    for (const args of [
      ['--card', 'T-207'],
      ['--out', at('x.pdf')],
      ['--card', 'T-207', '--affected', 'T-207', '--out', at('x.csv')],
      ['--affected', 'T-207', '--out', at('x.pdf')],
    ]) {
      expect((await drift(...args)).code, args.join(' ')).toBe(4);
    }
    expect(existsSync(at('x.pdf')) || existsSync(at('x.csv'))).toBe(false);
  });

  test('checks come in as CSV; a failing one heads the list with its affected readings by joint', async () => {
    const head = 'tool,at,nominal,reference,reading,unit,kind,uncertaintyPercent\n';
    const pull = (reading: number): string => `T-118,2026-11-25T05:30,24,24.05,${reading},N.m,as-found,\n`;
    writeFileSync(at('checks.csv'), `${head}${pull(22.9)}${pull(22.95)}${pull(22.91)}`);
    expect((await run('register', at('checks.csv'))).code).toBe(0);
    const [first, second] = (await drift()).out.split('\n');
    expect(first).toMatch(/T-118 is out of tolerance.*shows 4\.7 % less than the reference/);
    expect(second).toMatch(/affected: \d+ readings since 2026-11-23 05:30:00 \(Rack stay M8 \d+, /);
  });
});

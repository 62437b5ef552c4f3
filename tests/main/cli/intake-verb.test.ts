/** `intake`, `withdraw`, `restore` and `recipe` as scripts use them: real processes, real files, one JSON document each. */
import { execFile } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

const entry = fileURLToPath(new URL('../../../src/main/cli/entry.ts', import.meta.url));

interface Ran {
  readonly code: number;
  readonly out: string;
  readonly warned: string;
  // Whatever the verb printed under --json; the tests look at its fields.
  // biome-ignore lint/suspicious/noExplicitAny: a foreign document, looked at field by field
  readonly json: any;
}

function run(...args: string[]): Promise<Ran> {
  return new Promise((resolve) => {
    execFile(process.execPath, [entry, ...args], { maxBuffer: 1 << 28 }, (error, out, warned) => {
      const code = error === null ? 0 : typeof error.code === 'number' ? error.code : 1;
      resolve({ code, out, warned, json: args.includes('--json') ? JSON.parse(out) : null });
    });
  });
}

const head = 'Date and time;Tool;Joint;Torque;Unit\n';
const line = (day: number, minute: number, torque = 24.1): string =>
  `2026-03-${String(day).padStart(2, '0')} 06:${String(minute).padStart(2, '0')}:00;T-1;Stem;${torque.toFixed(2)};Nm\n`;

describe('intake on the command line', () => {
  let folder: string;
  const path = (name: string): string => join(folder, name);
  const put = (name: string, text: string): string => {
    writeFileSync(path(name), text);
    return path(name);
  };
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'tightbook-cli-'));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true, maxRetries: 5 }));

  test('two hundred files are one job with one report; one that is broken costs nothing but itself', async () => {
    const many = join(folder, 'many');
    mkdirSync(many);
    const shown = new Set<string>();
    const files = Array.from({ length: 200 }, (_, i) => {
      const file = join(many, `dump-${String(i).padStart(3, '0')}.csv`);
      // Each shows ten readings, the last three of the file before it among them.
      const rows = Array.from({ length: 10 }, (_, j) => {
        const n = i * 7 + j;
        return line(1 + Math.floor(n / 60), n % 60, 24 + (n % 90) / 100);
      });
      if (i !== 77) for (const row of rows) shown.add(row);
      writeFileSync(file, i === 77 ? 'PK\u0003\u0004 no list' : head + rows.join(''));
      return file;
    });
    const began = performance.now();
    const { code, json } = await run('intake', ...files, '--json', '--store', path('many.db'));
    const seconds = (performance.now() - began) / 1000;
    expect(code).toBe(3);
    expect(json.files).toHaveLength(200);
    expect(json.files.map((file: { file: string }) => file.file)).toEqual(files);
    expect(json.files[77]).toMatchObject({ source: null, lines: null, problem: { kind: 'refused-input' } });
    expect(json.totals.files).toEqual({ stored: 199, waiting: 0, refused: 1 });
    expect(json.totals.accepted).toBe(shown.size);
    const { lines } = json.totals;
    expect(lines.total).toBe(199 * 11);
    expect(lines.header + lines.blank + lines.accepted + lines.alreadyHeld + lines.rejected).toBe(lines.total);
    expect(lines.accepted + lines.alreadyHeld).toBe(1990);
    // Some tens of milliseconds a file; a minute would be something quadratic.
    expect(seconds).toBeLessThan(60);
    const again = await run('intake', ...files, '--json', '--store', path('many.db'));
    expect(again.json.totals).toMatchObject({ accepted: 0, alreadyHeld: 1990 });
  }, 180_000);

  test('what a file leaves open, a later one of the call settles; text and exit code say what waits', async () => {
    const layout = 'Date;Time;Tool;Joint;Torque [Nm]\n';
    const open = put('open.csv', `${layout}05/04/2026;06:00:00;T-1;Stem;24.10\n06/04/2026;06:00:00;T-1;Stem;24.11\n`);
    const clear = put('clear.csv', `${layout}15/03/2026;06:00:00;T-1;Stem;24.10\n`);
    const alone = await run('intake', open, '--store', path('settle.db'));
    expect(alone.code).toBe(2);
    expect(alone.out).toContain('waits for an answer; nothing of it is stored');
    expect(alone.out).toContain('date-order=dmy');
    const both = await run('intake', open, clear, '--json', '--store', path('settle.db'));
    expect(both.code).toBe(0);
    expect(both.json.totals).toMatchObject({ accepted: 3, files: { stored: 2, waiting: 0, refused: 0 } });
    const { json } = await run('readings', '--json', '--store', path('settle.db'));
    expect(json.readings.map((reading: { at: string }) => reading.at)).toEqual([
      '2026-03-15T06:00:00',
      '2026-04-05T06:00:00',
      '2026-04-06T06:00:00',
    ]);
  }, 60_000);

  test('one --answer holds for all files of the call, and its recipe for the next', async () => {
    const layout = 'Date;Tool;Joint;Torque [Nm]\n';
    const files = Array.from({ length: 5 }, (_, i) =>
      put(`q${i}.csv`, `${layout}05/0${i + 1}/2026;T-${i};Stem;24.1\n`),
    );
    const asked = await run('intake', ...files, '--json', '--dry-run', '--store', path('answer.db'));
    expect(asked.code).toBe(2);
    for (const file of asked.json.files)
      expect(file.questions.map((question: { id: string }) => question.id)).toEqual(['date-order']);
    const answered = await run(
      'intake',
      ...files,
      '--json',
      '--answer',
      'date-order=dmy',
      '--store',
      path('answer.db'),
    );
    expect(answered.code).toBe(0);
    expect(answered.json.totals).toMatchObject({ accepted: 5 });
    // The document itself is a recipe file for another store.
    put('recipe.json', answered.out);
    const other = put('q6.csv', `${layout}07/02/2026;T-9;Stem;24.1\n`);
    const next = await run('intake', other, '--json', '--recipe', path('recipe.json'), '--store', path('next.db'));
    expect(next.code).toBe(0);
    expect(next.json.files[0].accepted).toBe(1);
    const listed = await run('recipe', 'list', '--json', '--store', path('next.db'));
    expect(listed.json.recipes).toMatchObject([{ format: 'tightbook-recipe-1', dateOrder: 'dmy' }]);
    await run('recipe', 'export', path('exported.json'), '--store', path('next.db'));
    const imported = await run('recipe', 'import', path('exported.json'), '--store', path('third.db'));
    expect(imported.code).toBe(0);
    await run('recipe', 'delete', listed.json.recipes[0].fingerprint, '--store', path('next.db'));
    expect((await run('recipe', 'list', '--json', '--store', path('next.db'))).json.recipes).toEqual([]);
  }, 90_000);

  test.each([
    ['a file that is not there', 'none.json', null, 'cannot be read'],
    ['a file that is not JSON', 'bad.json', 'not json', 'is not JSON'],
    ['a file without recipes', 'empty.json', '{}', 'holds no recipe'],
  ])('--recipe with %s is wrong usage, in one sentence', async (_name, name, text, says) => {
    if (text !== null) put(name, text);
    const dump = put('any.csv', head + line(14, 1));
    const { code, json } = await run('intake', dump, '--recipe', path(name), '--json', '--store', path('x.db'));
    expect(code).toBe(4);
    expect(json.problem.message).toContain(says);
  });

  test('withdraw takes back only what no other file shows, and restore brings it back', async () => {
    const store = ['--json', '--store', path('withdraw.db')];
    const rows = Array.from({ length: 12 }, (_, i) => line(14, i, 24 + i / 100));
    await run('intake', put('w1.csv', head + rows.slice(0, 8).join('')), ...store);
    const second = await run('intake', put('w2.csv', head + rows.slice(5).join('')), ...store);
    expect(second.json.files[0]).toMatchObject({ accepted: 4, alreadyHeld: 3 });
    const gone = await run('withdraw', '1', ...store);
    expect(gone.json).toEqual({ source: 1, outOfForce: 5, stillShownElsewhere: 3 });
    expect((await run('readings', ...store)).json.readings).toHaveLength(7);
    const back = await run('restore', '1', ...store);
    expect(back.json).toMatchObject({ source: 1 });
    expect((await run('readings', ...store)).json.readings).toHaveLength(12);
  }, 60_000);
});

/** Files that nobody means to hand in, or that somebody means harm with: a plain sentence or a correct read, in flat time. */
import { execFileSync } from 'node:child_process';
import { mkdirSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { addsUp, readText } from '../../core/intake/read-text.ts';
import { dump, series, TestEngine } from '../engine/test-engine.ts';

const set = { tool: 'T-1', joint: 'Stem' };
const head = 'Date;Time;Torque;Unit;Angle\n';
const body = (count: number): string =>
  Array.from(
    { length: count },
    (_, i) => `2026-03-${10 + (i % 19)};06:12:${10 + (i % 49)};24.${10 + (i % 80)};Nm;${30 + (i % 9)}\n`,
  ).join('');

/** CPU of this process: on a busy machine the clock tells of others. */
async function cpuSeconds(work: () => Promise<unknown>): Promise<number> {
  const before = process.cpuUsage();
  await work();
  const used = process.cpuUsage(before);
  return (used.user + used.system) / 1e6;
}

describe('hostile bytes', () => {
  test('a lone quote at the start of a large file costs its line, not the file, and no more time than without', async () => {
    const rows = body(200_000);
    let lines = 0;
    const read = async (text: string): Promise<void> => {
      const { reading, rejected } = await readText(text, { set, pieceBytes: 1 << 18 });
      lines = reading.accepted;
      expect(addsUp(reading)).toBe(true);
      expect(rejected.length).toBeLessThanOrEqual(1);
    };
    const plain = await cpuSeconds(() => read(head + rows));
    expect(lines).toBe(200_000);
    const quoted = await cpuSeconds(() => read(`${head}"${rows}`));
    expect(lines).toBe(199_999);
    expect(quoted).toBeLessThan(5 * plain + 1);
    await read(`"${head}${rows}`);
    expect(lines).toBe(200_000);
  });

  test.each([
    ['one line of 30 MB', '24,1;'.repeat(6_000_000)],
    ['one line of 30 MB after a header', `Date;Torque [Nm]\n${'2026-03-14;24,1;'.repeat(1_900_000)}`],
    [
      'a million columns',
      `${Array.from({ length: 1_000_000 }, (_, i) => `c${i}`).join(';')}\n${'1;'.repeat(999_999)}1\n`,
    ],
  ])('%s is refused in one sentence, quickly', async (_name, text) => {
    let message = '';
    const seconds = await cpuSeconds(async () => {
      message = (await readText(text, { set, pieceBytes: 1 << 18 })).reading.problem?.message ?? '';
    });
    expect(message).toMatch(/nothing was stored.*\.$/);
    expect(seconds).toBeLessThan(10);
  });

  test('a million cells in one line among readings costs that line', async () => {
    const { reading } = await readText(`${head}${body(50)}${'1;'.repeat(1_000_000)}\n${body(50)}`, { set });
    expect(reading).toMatchObject({ accepted: 100, rejected: 1, problem: null });
    expect(addsUp(reading)).toBe(true);
  });

  test('NUL bytes in the middle cost their lines', async () => {
    const bytes = Buffer.from(head + body(20_000));
    bytes.fill(0, 300_000, 300_040);
    const { reading, rejected } = await readText(bytes, { set });
    expect(reading.problem).toBeNull();
    expect(addsUp(reading)).toBe(true);
    expect(rejected.length).toBeGreaterThan(0);
    expect(rejected.length).toBeLessThan(4);
    expect(reading.accepted + reading.rejected).toBeGreaterThan(19_995);
  });

  test.each([
    ['little endian with a mark', [0xff, 0xfe], false],
    ['little endian without', [], false],
    ['big endian without', [], true],
  ] as const)('UTF-16, %s, cut in the middle of a character: the last line is rejected', async (_name, mark, swap) => {
    const wide = Buffer.from(head + body(40), 'utf16le');
    if (swap) wide.swap16();
    const { reading, rejected } = await readText(Buffer.concat([Buffer.from(mark), wide.subarray(0, -7)]), { set });
    expect(reading.problem).toBeNull();
    expect(reading.accepted).toBe(39);
    expect(rejected.map((row) => row.line)).toEqual([41]);
    expect(addsUp(reading)).toBe(true);
  });

  test('formulas and markup are text and stay as they are', async () => {
    const { rows } = await readText(
      `Date;Torque [Nm];Note\n2026-03-14;24,1;=HYPERLINK("http://x.example")\n2026-03-14;24,2;<img src=x onerror=alert(1)>\n`,
      { set },
    );
    expect(rows.map((row) => row.note)).toEqual(['=HYPERLINK("http://x.example")', '<img src=x onerror=alert(1)>']);
  });
});

describe('hostile files', () => {
  let plant: TestEngine;
  beforeEach(async () => {
    plant = await new TestEngine().open();
  });
  afterEach(() => plant.close());

  const refusal = async (work: Promise<unknown>): Promise<string> => {
    const problem = await work.then(
      () => null,
      (thrown: { problem?: { kind: string; message: string } }) => thrown.problem ?? null,
    );
    expect(problem?.kind).toBe('refused-input');
    expect(await plant.engine.serve('app:status', {})).toMatchObject({ readings: 0, lastChange: 0 });
    return problem?.message ?? '';
  };
  const offer = (name: string): Promise<string> => plant.engine.offer(join(plant.folder, name), name, { ours: false });

  test('a folder, a missing file and a dangling link', async () => {
    mkdirSync(join(plant.folder, 'folder.csv'));
    symlinkSync('nowhere.csv', join(plant.folder, 'dangling.csv'));
    expect(await refusal(offer('folder.csv'))).toContain('is a folder, not a file');
    expect(await refusal(offer('missing.csv'))).toContain('cannot be found any more');
    expect(await refusal(offer('dangling.csv'))).toContain('cannot be found any more');
  });

  test.skipIf(process.platform === 'win32')('a pipe is not waited for', async () => {
    execFileSync('mkfifo', [join(plant.folder, 'pipe.csv')]);
    expect(await refusal(offer('pipe.csv'))).toContain('is a device or a pipe');
  });

  test('a link is read as the file it leads to', async () => {
    writeFileSync(join(plant.folder, 'real.csv'), dump(series(5)));
    symlinkSync('real.csv', join(plant.folder, 'link.csv'));
    const ticket = await offer('link.csv');
    await plant.read(ticket);
    expect(await plant.accept(ticket)).toMatchObject({ accepted: 5, file: 'link.csv' });
  });

  test.each(['shrinks', 'vanishes into another'])('a file that %s while it is read', async (how) => {
    const ticket = await plant.offer('large.csv', dump(series(80_000)));
    const path = join(plant.folder, 'large.csv');
    let done = false;
    const reading = plant.engine.serve(
      'inbox:read',
      { ticket, answers: {}, set: {}, useRecipe: true },
      {
        onProgress: () => {
          if (done) return;
          done = true;
          if (how === 'shrinks') truncateSync(path, 1000);
          else writeFileSync(path, dump(series(20)));
        },
      },
    );
    expect(await refusal(reading)).toContain('large.csv');
    expect(done).toBe(true);
    // As it is now it can be read again.
    await plant.read(ticket);
    expect((await plant.accept(ticket)).problem).toBeNull();
  });

  test('a name with path characters and markup is a name', async () => {
    const name = '..%2f<b>&"\'$(x)`.csv';
    const outcome = await plant.take(name, dump(series(4)));
    expect(outcome).toMatchObject({ file: name, accepted: 4 });
    const { imported } = await plant.engine.serve('inbox:list', {});
    expect(imported[0]?.name).toBe(name);
  });
});

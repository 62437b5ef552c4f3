/** The built command line and the built browser shell, workers included: what every unbuilt test would miss. */
import { execFile, spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { root } from './application.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'tightbook-built-'));
const store = path.join(folder, 'plant.tightbook');

interface Run {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs the built command line. */
function cli(...args: string[]): Promise<Run> {
  return new Promise((done) => {
    execFile(
      process.execPath,
      [path.join(root, 'out', 'main', 'cli.js'), ...args],
      { maxBuffer: 256 * 1024 * 1024 },
      (error, out, err) => {
        done({ code: error === null ? 0 : typeof error.code === 'number' ? error.code : 1, out, err });
      },
    );
  });
}

const document = (run: Run): Record<string, never> => JSON.parse(run.out);

beforeAll(async () => {
  const demo = await cli('demo', '--store', store, '--json');
  expect(demo.err).toBe('');
  expect(demo.code).toBe(0);
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('built command line', () => {
  it('fills a store with the sample scenario', async () => {
    const truth = JSON.parse(readFileSync(path.join(root, 'sample-data', 'truth.json'), 'utf8'));
    const { readings } = document(await cli('review', '--store', store, '--json')) as unknown as {
      readings: { n: number; pass: number; fail: number; unjudged: number };
    };
    expect(readings.n).toBe(truth.readings.distinct);
    expect(readings.n).toBeGreaterThan(10_000);
    expect(readings.pass + readings.fail + readings.unjudged).toBe(readings.n);
  });

  it('prints exactly one JSON document for each analysing verb', async () => {
    const drift = document(await cli('drift', '--store', store, '--json', '--now', '2026-11-26')) as unknown as {
      tools: { tool: string; finding: string }[];
      expectedFalseAlarms: number;
    };
    expect(drift.tools.length).toBeGreaterThanOrEqual(5);
    for (const tool of drift.tools) expect(tool.finding.length).toBeGreaterThan(10);
    const register = document(await cli('register', '--export', '--store', store)) as unknown as {
      joints: { name: string }[];
    };
    expect(register.joints.length).toBeGreaterThanOrEqual(6);
    const joint = register.joints[0]?.name ?? '';
    const study = document(await cli('study', '--joint', joint, '--store', store, '--json')) as unknown as {
      joint: string;
      n: number;
      indices: Record<string, { value: number } | null>;
    };
    expect(study.joint).toBe(joint);
    expect(study.n).toBeGreaterThan(25);
    expect(Object.keys(study.indices).sort()).toEqual(['Cm', 'Cmk', 'Cp', 'Cpk', 'Cpm', 'Pp', 'Ppk']);
    const readings = document(
      await cli('readings', '--store', store, '--joint', joint, '--from', '2026-11-23', '--json'),
    ) as unknown as { readings: { joint: string; verdict: string }[] };
    expect(readings.readings.length).toBeGreaterThan(0);
    expect(readings.readings.every((reading) => reading.joint === joint)).toBe(true);
  });

  it('writes a self-contained report and the same bytes again', async () => {
    const { joints } = document(await cli('register', '--export', '--store', store)) as unknown as {
      joints: { name: string }[];
    };
    const joint = joints[0]?.name ?? '';
    const first = path.join(folder, 'report.html');
    const second = path.join(folder, 'again.html');
    expect((await cli('study', '--joint', joint, '--store', store, '--out', first)).code).toBe(0);
    expect((await cli('study', '--joint', joint, '--store', store, '--out', second)).code).toBe(0);
    const html = readFileSync(first, 'utf8');
    expect(html).not.toMatch(/<script|\ssrc=|https?:\/\/(?!www\.w3\.org)/);
    expect(html).toContain(joint);
    const undated = (text: string): string => text.replace(/Made [^"<]*? UTC/g, 'Made');
    expect(undated(readFileSync(second, 'utf8'))).toBe(undated(html));
  });

  it('refuses what is no dump with one sentence and exit 3, and stores nothing', async () => {
    const picture = path.join(folder, 'picture.png');
    writeFileSync(picture, Buffer.from('89504e470d0a1a0a0000000d4948445200000001000000010806000000', 'hex'));
    const empty = path.join(folder, 'empty.csv');
    writeFileSync(empty, '');
    const before = document(await cli('review', '--store', store, '--json')) as unknown as { readings: { n: number } };
    const run = await cli('intake', picture, empty, '--store', store, '--json');
    expect(run.code).toBe(3);
    const answer = document(run) as unknown as {
      files: { problem: { kind: string; message: string } | null; source: number | null }[];
      totals: { files: { refused: number } };
    };
    expect(answer.totals.files.refused).toBe(2);
    for (const file of answer.files) {
      expect(file.source).toBeNull();
      expect(file.problem?.message).toMatch(/\.$/);
    }
    const after = document(await cli('review', '--store', store, '--json')) as unknown as { readings: { n: number } };
    expect(after.readings.n).toBe(before.readings.n);
  });

  it('lets a file wait with exit 2 and its questions when it cannot say', async () => {
    const undecided = path.join(folder, 'undecided.csv');
    writeFileSync(
      undecided,
      `Date;Time;Tool;Joint;Torque;Unit\n${Array.from({ length: 8 }, (_, i) => `0${i + 1}/05/2026;06:0${i}:00;T-9;Seat post;8,${i}1;Nm`).join('\n')}\n`,
    );
    const run = await cli('intake', undecided, '--store', store, '--json');
    expect(run.code).toBe(2);
    const answer = document(run) as unknown as {
      files: { questions: { id: string; choices: { value: string }[] }[] }[];
    };
    expect(answer.files[0]?.questions.map((q) => q.id)).toContain('date-order');
    const answered = await cli(
      'intake',
      undecided,
      '--store',
      path.join(folder, 'other.tightbook'),
      '--json',
      '--answer',
      'date-order=dmy',
    );
    expect(answered.code).toBe(0);
    const { totals } = document(answered) as unknown as { totals: { accepted: number } };
    expect(totals.accepted).toBe(8);
  });

  it('answers wrong usage with exit 4 before anything is read', async () => {
    for (const args of [
      ['nothing'],
      ['study'],
      ['review', '--from', 'yesterday'],
      ['study', '--joint', 'x', '--within', 'mr-bar', '--subgroup', '5'],
      ['intake'],
    ]) {
      const run = await cli(...args, '--store', path.join(folder, 'never.tightbook'));
      expect(run.code, args.join(' ')).toBe(4);
    }
    expect(() => statSync(path.join(folder, 'never.tightbook'))).toThrow();
  });
});

describe('npm start', () => {
  it('serves the browser shell at one address and ends cleanly on Ctrl-C', async () => {
    const child = spawn(
      process.execPath,
      [
        path.join(root, 'src', 'main', 'start', 'start.ts'),
        '--browser',
        '--no-open',
        '--store',
        path.join(folder, 'start.tightbook'),
      ],
      { stdio: ['ignore', 'pipe', 'pipe'], detached: true },
    );
    let printed = '';
    const address = await new Promise<string>((done, failed) => {
      child.stdout.on('data', (chunk: Buffer) => {
        printed += chunk.toString();
        const found = /http:\/\/127\.0\.0\.1:\d+\/\?token=[\w-]+/.exec(printed)?.[0];
        if (found) done(found);
      });
      child.on('exit', () => failed(new Error(`ended before it printed an address: ${printed}`)));
    });
    expect(printed.match(/http:\/\//g)).toHaveLength(1);
    const opened = await fetch(address, { redirect: 'manual' });
    expect(opened.status).toBe(303);
    const exit = new Promise<number | null>((done) => child.once('exit', done));
    // As a terminal does: to the whole group.
    process.kill(-(child.pid ?? 0), 'SIGINT');
    expect(await exit).toBe(0);
  });
});

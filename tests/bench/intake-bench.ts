/**
 * `node tests/bench/intake-bench.ts [--rows N]`: a file of N rows, and one of 4 N, from the file to the committed store,
 * as ratios to a bare papaparse pass over the same bytes in the same run; with peak memory.
 *
 * The pass it is measured against is the plainest there is: Node stream, `chunk` callback, dialect given. Every figure is
 * of a process of its own, so that no heap is shared; peak memory is the operating system's (`maxRSS`).
 * Budgets: 4 times the bare pass; peak memory at 4 N within 20 % of that at N; 4 N at most 5 times as long as N;
 * 100,000 equal lines under 5 s.
 */
import { spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { createReadStream, createWriteStream, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import Papa from 'papaparse';
import { openEngine } from '../../src/main/engine/engine.ts';

const { values } = parseArgs({
  args: process.argv.slice(2),
  options: {
    rows: { type: 'string', default: '1000000' },
    /** Inside: one measurement on one file. */
    run: { type: 'string' },
    file: { type: 'string' },
    store: { type: 'string' },
  },
});

interface Measured {
  readonly seconds: number;
  /** Processor time of all threads: steadier than the clock on a busy machine. */
  readonly cpuSeconds: number;
  readonly rows: number;
  /** Peak resident memory of the whole process, MB. */
  readonly peakMb: number;
  readonly parts?: Readonly<Record<string, number>>;
}

if (values.run && values.file) {
  const measured = values.run === 'bare' ? await barePass(values.file) : await intake(values.file, values.store ?? '');
  process.stdout.write(`${JSON.stringify(measured)}\n`);
} else {
  await compare(Number(values.rows));
}

async function compare(rows: number): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'intake-bench-'));
  try {
    const results: Measured[] = [];
    for (const factor of [1, 4]) {
      const n = rows * factor;
      const file = join(folder, `dump-${n}.csv`);
      await writeDump(file, n);
      const bare = child('bare', file, '');
      const ours = child('intake', file, join(folder, `store-${n}.db`));
      if (ours.rows !== n) throw new Error(`${n} rows were written, ${ours.rows} taken in`);
      results.push(ours);
      const parts = Object.entries(ours.parts ?? {}).map(([name, s]) => `${name} ${s.toFixed(2)}`);
      console.log(
        `${n} rows, ${(statSync(file).size / 1e6).toFixed(0)} MB: bare papaparse ${bare.seconds.toFixed(2)} s (processor ${bare.cpuSeconds.toFixed(2)}), ${bare.peakMb.toFixed(0)} MB; ` +
          `intake ${ours.seconds.toFixed(2)} s (${parts.join(', ')}; processor ${ours.cpuSeconds.toFixed(2)}), ${ours.peakMb.toFixed(0)} MB; ` +
          `ratio ${(ours.seconds / bare.seconds).toFixed(2)} (budget 4), of processor time ${(ours.cpuSeconds / bare.cpuSeconds).toFixed(2)}`,
      );
      rmSync(file);
    }
    const [one, four] = results;
    if (one && four) {
      console.log(
        `4 N to N: time ${(four.seconds / one.seconds).toFixed(2)} (budget 5), peak memory ${(four.peakMb / one.peakMb).toFixed(3)} (budget 1.2)`,
      );
    }
    const equal = Math.min(rows, 100_000);
    const file = join(folder, 'equal.csv');
    await writeEqual(file, equal);
    const same = child('intake', file, join(folder, 'equal.db'));
    console.log(`${equal} equal lines: ${same.seconds.toFixed(2)} s, ${same.rows} readings (budget 5 s at 100000)`);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function child(run: string, file: string, store: string): Measured {
  const done = spawnSync(
    process.execPath,
    [fileURLToPath(import.meta.url), '--run', run, '--file', file, '--store', store],
    { encoding: 'utf8', stdio: ['ignore', 'pipe', 'inherit'] },
  );
  if (done.status !== 0) throw new Error(`${run} ended with ${done.status}`);
  const line = done.stdout.trim().split('\n').at(-1) ?? '';
  // Written by this very file.
  return JSON.parse(line) as Measured;
}

async function barePass(file: string): Promise<Measured> {
  const start = performance.now();
  const before = cpu();
  let rows = 0;
  await new Promise<void>((resolve, reject) => {
    Papa.parse<string[]>(createReadStream(file), {
      delimiter: ';',
      newline: '\n',
      quoteChar: '"',
      chunk: (result) => {
        rows += result.data.length;
      },
      complete: () => resolve(),
      error: reject,
    });
  });
  return { seconds: (performance.now() - start) / 1000, cpuSeconds: cpu() - before, rows, peakMb: peak() };
}

async function intake(file: string, storePath: string): Promise<Measured> {
  const engine = await openEngine({
    storePath,
    clock: Date.now,
    programVersion: 'bench',
    sampleFolder: '',
    who: 'bench',
  });
  const start = performance.now();
  const before = cpu();
  const ticket = await engine.offer(file, 'dump.csv', { ours: false });
  const preview = await engine.serve('inbox:read', { ticket, answers: {}, set: {}, useRecipe: true });
  const read = performance.now();
  if (preview.problem || preview.questions.length > 0) {
    throw new Error(JSON.stringify(preview.problem ?? preview.questions.map((card) => card.id)));
  }
  const [outcome] = await engine.serve('inbox:accept', { tickets: [ticket], saveRecipe: false, dryRun: false });
  const end = performance.now();
  const cpuSeconds = cpu() - before;
  const peakMb = peak();
  await engine.close();
  return {
    seconds: (end - start) / 1000,
    cpuSeconds,
    rows: outcome?.accepted ?? 0,
    peakMb,
    parts: { 'read and preview': (read - start) / 1000, 'take in': (end - read) / 1000 },
  };
}

function cpu(): number {
  const used = process.cpuUsage();
  return (used.user + used.system) / 1e6;
}

function peak(): number {
  return process.resourceUsage().maxRSS / 1024;
}

/** Readings of 60 tools in time order, ten columns, about 61 bytes a row: as the design's measurements. */
async function writeDump(file: string, rows: number): Promise<void> {
  const out = createWriteStream(file);
  out.write('No;Date;Time;Tool;Joint;Torque;Unit;Angle;Result;User\n');
  let at = Date.UTC(2026, 0, 14, 6);
  // A linear congruential generator (Numerical Recipes): the file is the same every time.
  let seed = 7;
  const next = (): number => {
    seed = (Math.imul(seed, 1_664_525) + 1_013_904_223) >>> 0;
    return seed / 4_294_967_296;
  };
  let lines: string[] = [];
  for (let i = 0; i < rows; i++) {
    at += 1000 + Math.floor(next() * 2000);
    const time = new Date(at).toISOString();
    const date = `${time.slice(8, 10)}.${time.slice(5, 7)}.${time.slice(0, 4)}`;
    const torque = (24 + next() * 2).toFixed(2).replace('.', ',');
    const angle = (30 + next() * 20).toFixed(1).replace('.', ',');
    lines.push(
      `${i + 1};${date};${time.slice(11, 19)};T-${100 + (i % 60)};Joint ${i % 12};${torque};Nm;${angle};OK;${1000 + (i % 17)}`,
    );
    if (lines.length === 20_000) {
      if (!out.write(`${lines.join('\n')}\n`)) await once(out, 'drain');
      lines = [];
    }
  }
  out.end(lines.length > 0 ? `${lines.join('\n')}\n` : '');
  await once(out, 'close');
}

async function writeEqual(file: string, rows: number): Promise<void> {
  const out = createWriteStream(file);
  out.write('Date;Time;Tool;Joint;Torque [Nm]\n');
  out.end('2026-03-05;06:12:44;T-1;Stem;24.12\n'.repeat(rows));
  await once(out, 'close');
}

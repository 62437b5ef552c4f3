/**
 * `node tests/bench/intake-bench.ts [--rows N] [--runs R]`: files of N and of 4 N rows, from the file to the committed
 * store, as ratios to a bare papaparse pass over the same bytes in the same run; with peak memory.
 *
 * - The pass it is measured against is the plainest there is: Node stream, `chunk` callback, dialect given. Two files
 *   hold the same readings: one without a quote, which papaparse takes in its quick mode (it splits the text), and one
 *   with its texts quoted, as many wrenches export, which it parses.
 * - A second yardstick says what SQLite itself needs: the same rows, ready in arrays, by one prepared statement a row
 *   into a table of the store's columns with its one unique index, and committed. Pass and insert together are what
 *   nothing that parses and stores can do without.
 * - Every figure is of a process of its own, so that no heap is shared, and the least of R runs (3): on a busy machine
 *   the least is nearest to the truth. Both processes first read a small file: threads and compiled code of a program
 *   that is open already; the first line says what that costs once.
 * - `processor` is processor time of all threads of the process, peak memory the operating system's (`maxRSS`).
 *
 * Budgets: 4 times the bare pass; peak memory at 4 N within 20 % of that at N; 4 N at most 5 times as long as N;
 * 100,000 equal lines under 5 s.
 */
import { spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { createReadStream, createWriteStream, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import Papa from 'papaparse';
import { openEngine } from '../../src/main/engine/engine.ts';

const { values } = parseArgs({
  args: process.argv.slice(2),
  options: {
    rows: { type: 'string', default: '1000000' },
    runs: { type: 'string', default: '3' },
    /** Inside: one measurement on one file. */
    run: { type: 'string' },
    file: { type: 'string' },
    small: { type: 'string' },
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
  const measured = await measure(values.run, values.file, values.small ?? '', values.store ?? '');
  process.stdout.write(`${JSON.stringify(measured)}\n`);
} else {
  await compare(Number(values.rows), Number(values.runs));
}

function measure(run: string, file: string, small: string, store: string): Promise<Measured> {
  if (run === 'bare') return barePass(file, small);
  if (run === 'insert') return bareInsert(Number(values.rows), store);
  return intake(file, small, store);
}

async function compare(rows: number, runs: number): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'intake-bench-'));
  try {
    const small = join(folder, 'small.csv');
    await writeDump(small, 5000, false);
    const first = least(runs, () => child('intake', small, '', join(folder, 'first.db')));
    console.log(`first file of a process, 5000 rows: ${first.seconds.toFixed(2)} s, the reader's thread started`);

    const insert = least(runs, () => child('insert', '-', '', join(folder, 'insert.db'), rows));
    console.log(
      `${rows} rows into SQLite alone, one unique index: ${insert.seconds.toFixed(2)} s (processor ${insert.cpuSeconds.toFixed(2)})`,
    );
    const plain: Measured[] = [];
    for (const [factor, quoted] of [
      [1, false],
      [1, true],
      [4, false],
    ] as const) {
      const n = rows * factor;
      const file = join(folder, `dump-${n}.csv`);
      await writeDump(file, n, quoted);
      const bare = least(runs, () => child('bare', file, small, ''));
      const ours = least(runs, () => {
        const done = child('intake', file, small, join(folder, 'store.db'));
        if (done.rows !== n) throw new Error(`${n} rows were written, ${done.rows} taken in`);
        return done;
      });
      if (!quoted) plain.push(ours);
      const parts = Object.entries(ours.parts ?? {}).map(([name, s]) => `${name} ${s.toFixed(2)}`);
      const ratio = (a: number, b: number): string => (a / b).toFixed(2);
      const floor = bare.seconds + insert.seconds * factor;
      console.log(
        `${n} rows, ${quoted ? 'texts quoted' : 'no quotes'}, ${(statSync(file).size / 1e6).toFixed(0)} MB: ` +
          `bare papaparse ${bare.seconds.toFixed(2)} s (processor ${bare.cpuSeconds.toFixed(2)}, ${bare.peakMb.toFixed(0)} MB); ` +
          `intake ${ours.seconds.toFixed(2)} s (${parts.join(', ')}; processor ${ours.cpuSeconds.toFixed(2)}, ${ours.peakMb.toFixed(0)} MB); ` +
          `ratio ${ratio(ours.seconds, bare.seconds)} (budget 4), of processor time ${ratio(ours.cpuSeconds, bare.cpuSeconds)}; ` +
          `to pass and insert together ${ratio(ours.seconds, floor)}`,
      );
      rmSync(file);
    }
    const [one, four] = plain;
    if (one && four) {
      console.log(
        `4 N to N: time ${(four.seconds / one.seconds).toFixed(2)} (budget 5), peak memory ${(four.peakMb / one.peakMb).toFixed(3)} (budget 1.2)`,
      );
    }
    const equal = Math.min(rows, 100_000);
    const file = join(folder, 'equal.csv');
    await writeEqual(file, equal);
    const same = least(runs, () => child('intake', file, small, join(folder, 'equal.db')));
    console.log(`${equal} equal lines: ${same.seconds.toFixed(2)} s, ${same.rows} readings (budget 5 s at 100000)`);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The quickest run; memory is the largest of all. */
function least(runs: number, run: () => Measured): Measured {
  const all = Array.from({ length: Math.max(1, runs) }, run);
  const best = all.reduce((a, b) => (b.seconds < a.seconds ? b : a));
  return {
    ...best,
    cpuSeconds: Math.min(...all.map((one) => one.cpuSeconds)),
    peakMb: Math.max(...all.map((one) => one.peakMb)),
  };
}

function child(run: string, file: string, small: string, store: string, rows = 0): Measured {
  for (const end of ['', '-wal', '-shm', '.inbox']) rmSync(`${store}${end}`, { recursive: true, force: true });
  const args = ['--run', run, '--file', file, '--small', small, '--store', store, '--rows', String(rows)];
  const done = spawnSync(process.execPath, [fileURLToPath(import.meta.url), ...args], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  if (done.status !== 0) throw new Error(`${run} ended with ${done.status}`);
  const line = done.stdout.trim().split('\n').at(-1) ?? '';
  // Written by this very file.
  return JSON.parse(line) as Measured;
}

async function barePass(file: string, small: string): Promise<Measured> {
  await papaRows(small);
  const start = performance.now();
  const before = cpu();
  const rows = await papaRows(file);
  return { seconds: (performance.now() - start) / 1000, cpuSeconds: cpu() - before, rows, peakMb: peak() };
}

function papaRows(file: string): Promise<number> {
  let rows = 0;
  return new Promise((resolve, reject) => {
    Papa.parse<string[]>(createReadStream(file), {
      delimiter: ';',
      newline: '\n',
      quoteChar: '"',
      chunk: (result) => {
        rows += result.data.length;
      },
      complete: () => resolve(rows),
      error: reject,
    });
  });
}

/** Rows like those of the dump, made beforehand, into a table like the store's. */
async function bareInsert(rows: number, path: string): Promise<Measured> {
  const db = new DatabaseSync(path);
  db.exec(
    'PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA wal_autocheckpoint = 0; PRAGMA cache_size = -16000',
  );
  db.exec(`CREATE TABLE reading (
    id INTEGER PRIMARY KEY AUTOINCREMENT, key INTEGER UNIQUE, source INTEGER NOT NULL, line INTEGER NOT NULL,
    at INTEGER, at_step INTEGER, tool INTEGER NOT NULL, operator INTEGER, joint INTEGER, torque REAL,
    torque_decimals INTEGER, unit INTEGER, angle REAL, own INTEGER, sequence INTEGER, k INTEGER NOT NULL, more INTEGER
  ) STRICT`);
  const keys = new Float64Array(rows);
  const torques = new Float64Array(rows);
  let second = Date.UTC(2026, 0, 14, 6) / 1000;
  const next = randomFrom(7);
  for (let i = 0; i < rows; i++) {
    second += 1 + Math.floor(next() * 2);
    keys[i] = second * 2 ** 21 + Math.floor(next() * 2 ** 21);
    torques[i] = Math.round(2400 + next() * 200) / 100;
  }
  const start = performance.now();
  const before = cpu();
  db.exec('BEGIN IMMEDIATE');
  const columns =
    'key, source, line, at, at_step, tool, operator, joint, torque, torque_decimals, unit, angle, own, sequence, k';
  const add = db.prepare(`INSERT INTO reading (${columns}) VALUES (${new Array(15).fill('?').join(', ')})`);
  for (let i = 0; i < rows; i++) {
    const key = keys[i]!;
    const torque = torques[i]!;
    const at = Math.floor(key / 2 ** 21) * 1000;
    add.run(key, 1, i + 2, at, 1000, (i % 60) + 1, (i % 17) + 1, (i % 12) + 1, torque, 2, 1, torque + 10, 1, i + 1, 0);
  }
  db.exec('COMMIT');
  const measured = { seconds: (performance.now() - start) / 1000, cpuSeconds: cpu() - before, rows, peakMb: peak() };
  db.close();
  return measured;
}

async function intake(file: string, small: string, storePath: string): Promise<Measured> {
  const engine = await openEngine({
    storePath,
    clock: Date.now,
    programVersion: 'bench',
    sampleFolder: '',
    who: 'bench',
  });
  try {
    if (small !== '') {
      // Read and dropped again: the store stays empty.
      const ticket = await engine.offer(small, 'small.csv', { ours: false });
      await engine.serve('inbox:read', { ticket, answers: {}, set: {}, useRecipe: true });
      await engine.serve('inbox:drop', { tickets: [ticket] });
    }
    const start = performance.now();
    const before = cpu();
    const ticket = await engine.offer(file, 'dump.csv', { ours: false });
    let bytesRead = start;
    const preview = await engine.serve(
      'inbox:read',
      { ticket, answers: {}, set: {}, useRecipe: true },
      {
        onProgress: (progress) => {
          if (progress.unit === 'bytes') bytesRead = performance.now();
        },
      },
    );
    const read = performance.now();
    if (preview.problem || preview.questions.length > 0) {
      throw new Error(JSON.stringify(preview.problem ?? preview.questions.map((card) => card.id)));
    }
    let rowsWritten = read;
    const [outcome] = await engine.serve(
      'inbox:accept',
      { tickets: [ticket], saveRecipe: false, dryRun: false },
      {
        onProgress: (progress) => {
          if (progress.unit === 'readings') rowsWritten = performance.now();
        },
      },
    );
    const end = performance.now();
    return {
      seconds: (end - start) / 1000,
      cpuSeconds: cpu() - before,
      rows: outcome?.accepted ?? 0,
      peakMb: peak(),
      // Between the last reports of progress: the rest of a part counts with the part after it.
      parts: {
        read: (bytesRead - start) / 1000,
        'count and judge': (read - bytesRead) / 1000,
        'take in': (rowsWritten - read) / 1000,
        commit: (end - rowsWritten) / 1000,
      },
    };
  } finally {
    await engine.close();
  }
}

function cpu(): number {
  const used = process.cpuUsage();
  return (used.user + used.system) / 1e6;
}

function peak(): number {
  return process.resourceUsage().maxRSS / 1024;
}

/** Readings of 60 tools in time order, ten columns, about 61 bytes a row: as the design's measurements. */
async function writeDump(file: string, rows: number, quoted: boolean): Promise<void> {
  const out = createWriteStream(file);
  out.write('No;Date;Time;Tool;Joint;Torque;Unit;Angle;Result;User\n');
  let at = Date.UTC(2026, 0, 14, 6);
  const next = randomFrom(7);
  const text = (cell: string): string => (quoted ? `"${cell}"` : cell);
  let lines: string[] = [];
  for (let i = 0; i < rows; i++) {
    at += 1000 + Math.floor(next() * 2000);
    const time = new Date(at).toISOString();
    const date = `${time.slice(8, 10)}.${time.slice(5, 7)}.${time.slice(0, 4)}`;
    const torque = (24 + next() * 2).toFixed(2).replace('.', ',');
    const angle = (30 + next() * 20).toFixed(1).replace('.', ',');
    lines.push(
      `${i + 1};${text(date)};${text(time.slice(11, 19))};${text(`T-${100 + (i % 60)}`)};${text(`Joint ${i % 12}`)};${torque};${text('Nm')};${angle};${text('OK')};${text(String(1000 + (i % 17)))}`,
    );
    if (lines.length === 20_000) {
      if (!out.write(`${lines.join('\n')}\n`)) await once(out, 'drain');
      lines = [];
    }
  }
  out.end(lines.length > 0 ? `${lines.join('\n')}\n` : '');
  await once(out, 'close');
}

/** A linear congruential generator (Numerical Recipes): the file is the same every time. */
function randomFrom(start: number): () => number {
  let seed = start;
  return () => {
    seed = (Math.imul(seed, 1_664_525) + 1_013_904_223) >>> 0;
    return seed / 4_294_967_296;
  };
}

async function writeEqual(file: string, rows: number): Promise<void> {
  const out = createWriteStream(file);
  out.write('Date;Time;Tool;Joint;Torque [Nm]\n');
  out.end('2026-03-05;06:12:44;T-1;Stem;24.12\n'.repeat(rows));
  await once(out, 'close');
}

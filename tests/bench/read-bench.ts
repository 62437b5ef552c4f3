/**
 * Reading alone: bytes to interpreted rows, against a bare papaparse pass over the same file in the same process; seconds of CPU.
 *
 * `node tests/bench/read-bench.ts [rows]` (default 1,000,000). The store's part is in intake-bench.ts.
 */

import { once } from 'node:events';
import { createReadStream, createWriteStream, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import Papa from 'papaparse';
import { readDump } from '../../src/main/reader/read-dump.ts';

const rows = Number(process.argv[2] ?? 1_000_000);
const folder = mkdtempSync(path.join(tmpdir(), 'read-bench-'));
const file = path.join(folder, 'dump.csv');
try {
  await write(file, rows);
  const bytes = statSync(file).size;
  console.log(`${rows} rows, ${(bytes / 1e6).toFixed(1)} MB`);
  for (let round = 0; round < 2; round++) {
    const bare = await timed(() => barePass(file));
    const ours = await timed(() => readPass(file, bytes));
    console.log(
      `bare papaparse ${bare.seconds.toFixed(2)} s (${bare.value} rows); read ${ours.seconds.toFixed(2)} s (${ours.value} rows); ratio ${(ours.seconds / bare.seconds).toFixed(2)}; RSS ${(process.memoryUsage.rss() / 1e6).toFixed(0)} MB`,
    );
  }
  const equal = path.join(folder, 'equal.csv');
  await writeEqual(equal, 100_000);
  const same = await timed(() => readPass(equal, statSync(equal).size));
  console.log(`100000 equal lines: ${same.seconds.toFixed(2)} s (${same.value} rows)`);
} finally {
  rmSync(folder, { recursive: true });
}

async function timed<T>(run: () => Promise<T>): Promise<{ seconds: number; value: T }> {
  // CPU and not the clock: on a busy machine the clock tells of others.
  const start = process.cpuUsage();
  const value = await run();
  const used = process.cpuUsage(start);
  return { seconds: (used.user + used.system) / 1e6, value };
}

function barePass(name: string): Promise<number> {
  return new Promise((done, failed) => {
    let count = 0;
    Papa.parse<string[]>(createReadStream(name, { highWaterMark: 1 << 18 }), {
      delimiter: ';',
      newline: '\n',
      quoteChar: '"',
      chunk: (result) => {
        count += result.data.length;
      },
      complete: () => done(count),
      error: failed,
    });
  });
}

async function readPass(name: string, bytes: number): Promise<number> {
  let count = 0;
  const reading = await readDump(
    { name: 'dump.csv', bytes, open: () => createReadStream(name, { highWaterMark: 1 << 18 }) },
    {
      start: () => {
        count = 0;
      },
      rows: (batch) => {
        count += batch.length;
      },
      rejected: () => {},
    },
    {
      answers: {},
      set: {},
      recipeFor: () => null,
      known: { tools: [], operators: [], joints: [] },
      now: Date.UTC(2026, 10, 26),
    },
  );
  if (reading.problem || reading.questions.length > 0)
    throw new Error(JSON.stringify(reading.problem ?? reading.questions));
  if (reading.lineTotal !== reading.headerLines + reading.blankLines + reading.acceptedLines + reading.rejectedLines) {
    throw new Error('the lines do not add up');
  }
  return count;
}

/** 10 columns, 60 tools interleaved in time order, about 61 bytes a row. */
async function write(name: string, count: number): Promise<void> {
  const out = createWriteStream(name);
  out.write('No;Date;Time;Tool;Joint;Torque;Unit;Angle;Result;User\n');
  let state = 12345;
  const random = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  // A day above 12 settles the order whatever the number of rows.
  const start = Date.UTC(2026, 0, 14, 6);
  let text = '';
  for (let i = 0; i < count; i++) {
    const at = new Date(start + i * 1500);
    const date = `${two(at.getUTCDate())}.${two(at.getUTCMonth() + 1)}.${at.getUTCFullYear()}`;
    const time = `${two(at.getUTCHours())}:${two(at.getUTCMinutes())}:${two(at.getUTCSeconds())}`;
    const torque = (22 + 4 * random()).toFixed(2).replace('.', ',');
    const angle = (40 + 40 * random()).toFixed(1).replace('.', ',');
    text += `${i + 1};${date};${time};T-${100 + Math.floor(random() * 60)};Joint ${1 + Math.floor(random() * 8)};${torque};Nm;${angle};OK;${100 + Math.floor(random() * 20)}\n`;
    if (text.length > 1 << 16) {
      if (!out.write(text)) await once(out, 'drain');
      text = '';
    }
  }
  out.end(text);
  await once(out, 'finish');
}

async function writeEqual(name: string, count: number): Promise<void> {
  const out = createWriteStream(name);
  out.write('Date;Time;Tool;Joint;Torque;Unit\n');
  out.end('14.03.2026;06:12:44;T-411;Stem;24,81;Nm\n'.repeat(count));
  await once(out, 'finish');
}

function two(value: number): string {
  return String(value).padStart(2, '0');
}

/** Reading as a stream: cancelled at any piece, progress by bytes, first lines early, the file closed whatever happens. */
import { expect, test } from 'vitest';
import { ProblemError } from '../../../src/core/contract/problems.ts';
import type { DumpReading } from '../../../src/core/intake/dump-reading.ts';
import { type DumpInput, type DumpOptions, type DumpSink, readDump } from '../../../src/main/reader/read-dump.ts';
import { today } from './read-text.ts';

const line = '2026-03-14;06:12:44;T-411;Stem;24,81\n';
const bytes = new TextEncoder().encode(`Date;Time;Tool;Joint;Torque [Nm]\n${line.repeat(60_000)}`);
const pieceBytes = 1 << 16;

const options: DumpOptions = {
  answers: {},
  set: {},
  recipeFor: () => null,
  known: { tools: [], operators: [], joints: [] },
  now: today,
};
const sink: DumpSink = { start: () => {}, rows: () => {}, rejected: () => {} };

function input(onPiece: (index: number) => void, onClose: () => void): DumpInput {
  return {
    name: 'dump.csv',
    bytes: bytes.length,
    async *open() {
      try {
        for (let at = 0, i = 0; at < bytes.length; at += pieceBytes, i++) {
          onPiece(i);
          yield bytes.subarray(at, at + pieceBytes);
        }
      } finally {
        onClose();
      }
    },
  };
}

test.each([0, 1, 5, 20])('cancelled at piece %i: a `cancelled` problem, the file closed', async (piece) => {
  const abort = new AbortController();
  let closed = 0;
  const reading = readDump(
    input(
      (i) => i === piece && abort.abort(),
      () => closed++,
    ),
    sink,
    { ...options, signal: abort.signal },
  );
  await expect(reading).rejects.toBeInstanceOf(ProblemError);
  await expect(reading).rejects.toMatchObject({ problem: { kind: 'cancelled' } });
  expect(closed).toBe(1);
});

test('a sink that fails ends the pass and closes the file', async () => {
  let closed = 0;
  const failing: DumpSink = {
    ...sink,
    rows: () => {
      throw new Error('disk full');
    },
  };
  await expect(
    readDump(
      input(
        () => {},
        () => closed++,
      ),
      failing,
      options,
    ),
  ).rejects.toThrow('disk full');
  expect(closed).toBe(1);
});

test('progress rises to the whole file; the first lines come before it is read', async () => {
  const done: number[] = [];
  let piecesAtFirstLines = 0;
  let pieces = 0;
  let first: DumpReading | null = null;
  const reading = await readDump(
    input(
      () => pieces++,
      () => {},
    ),
    sink,
    {
      ...options,
      onProgress: (bytesDone) => done.push(bytesDone),
      onFirstLines: (early) => {
        first = early;
        piecesAtFirstLines = pieces;
      },
    },
  );
  expect(done.at(-1)).toBe(bytes.length);
  expect(done).toEqual([...done].sort((a, b) => a - b));
  expect(piecesAtFirstLines).toBeLessThan(8);
  expect(pieces).toBeGreaterThan(30);
  expect(first).toMatchObject({ problem: null });
  expect(reading.accepted).toBe(60_000);
  expect(reading.firstLines).toHaveLength(200);
  const [, data] = reading.firstLines;
  expect(data?.spans.map((span) => [span.role, data.text.slice(span.from, span.to)])).toEqual([
    ['date', '2026-03-14'],
    ['time', '06:12:44'],
    ['tool', 'T-411'],
    ['joint', 'Stem'],
    ['torque', '24,81'],
  ]);
});

test('the outcome is plain data: JSON keeps it whole', async () => {
  const reading = await readDump(
    input(
      () => {},
      () => {},
    ),
    sink,
    options,
  );
  expect(JSON.parse(JSON.stringify(reading))).toEqual(reading);
});

test('batch-local names start anew with each batch, so memory does not grow with them', async () => {
  const many = Array.from({ length: 20_000 }, (_, i) => `2026-03-14;T-1;Stem;1,5;F${i}\n`).join('');
  const content = new TextEncoder().encode(`Date;Tool;Joint;Torque [Nm];Fastener\n${many}`);
  const sizes: number[] = [];
  const seen: string[] = [];
  await readDump(
    {
      name: 'x.csv',
      bytes: content.length,
      async *open() {
        yield content;
      },
    },
    {
      ...sink,
      start: () => {
        seen.length = 0;
      },
      rows: (batch, names) => {
        sizes.push(names.fastener.length);
        for (let i = 0; i < batch.length; i++) seen.push(names.fastener[batch.fastener[i]!]!);
      },
    },
    options,
  );
  expect(Math.max(...sizes)).toBeLessThanOrEqual(8192);
  expect(seen).toEqual(Array.from({ length: 20_000 }, (_, i) => `F${i}`));
});

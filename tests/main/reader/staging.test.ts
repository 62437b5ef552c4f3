import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { inflateRawSync } from 'node:zlib';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { emptyRowBatch, type FileNames } from '#core/intake/row-batch.ts';
import { PieceWriter } from '../../../src/main/reader/piece-writer.ts';
import { RowFileWriter, readRowFile } from '../../../src/main/reader/row-file.ts';
import { dump, series, TestEngine } from '../engine/test-engine.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'tightbook-staging-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const noNames: FileNames = { tool: [], operator: [], joint: [], fastener: [], batch: [], station: [], note: [] };

describe('rows on disk', () => {
  test('come back as they were, absent values and names of each batch included', async () => {
    const path = join(folder, 'rows.bin');
    const writer = await RowFileWriter.create(path);
    const batch = emptyRowBatch(100);
    const fill = (n: number, add: number) => {
      batch.length = n;
      for (let i = 0; i < n; i++) {
        batch.at[i] = i % 7 === 0 ? Number.NaN : 1e12 + add + i;
        batch.atStep[i] = i % 5;
        batch.torque[i] = i / 3 + add;
        batch.unit[i] = 3;
        batch.decimals[i] = 2;
        batch.angle[i] = Number.NaN;
        batch.own[i] = i % 3;
        batch.sequence[i] = add + i;
        for (const column of ['tool', 'operator', 'joint', 'batch', 'station', 'note'] as const) batch[column][i] = -1;
        batch.fastener[i] = i % 2;
        batch.batchPosition[i] = i;
        batch.batchSize[i] = -1;
        batch.target[i] = batch.low[i] = batch.high[i] = Number.NaN;
        batch.line[i] = add + i + 1;
        batch.lines[i] = 1;
      }
    };
    fill(100, 0);
    await writer.write(batch, { ...noNames, fastener: ['a', 'b'] });
    fill(37, 5000);
    await writer.write(batch, { ...noNames, fastener: ['ü;"\n', 'd'] });
    await writer.close();

    const seen: { n: number; names: readonly string[]; line: number; at: number; torque: number; fastener: number }[] =
      [];
    for await (const { batch: back, names } of readRowFile(path)) {
      const last = back.length - 1;
      seen.push({
        n: back.length,
        names: names.fastener,
        line: back.line[last]!,
        at: back.at[last]!,
        torque: back.torque[last]!,
        fastener: back.fastener[last]!,
      });
      expect(back.at[0]).toBeNaN();
      expect(back.angle[last]).toBeNaN();
      expect(Array.from(back.unit.subarray(0, back.length))).toEqual(new Array(back.length).fill(3));
      expect(back.batchPosition[last]).toBe(last);
    }
    expect(seen).toEqual([
      { n: 100, names: ['a', 'b'], line: 100, at: 1e12 + 99, torque: 33, fastener: 1 },
      { n: 37, names: ['ü;"\n', 'd'], line: 5037, at: 1e12 + 5036, torque: 12 + 5000, fastener: 0 },
    ]);
  });

  test('written before a restart of the pass are gone after it', async () => {
    const path = join(folder, 'rows.bin');
    const writer = await RowFileWriter.create(path);
    const batch = emptyRowBatch(10);
    batch.length = 10;
    await writer.write(batch, noNames);
    await writer.restart();
    batch.length = 3;
    await writer.write(batch, noNames);
    await writer.close();
    let rows = 0;
    for await (const { batch: back } of readRowFile(path)) rows += back.length;
    expect(rows).toBe(3);
  });
});

describe('pieces of the original bytes', () => {
  const keep = async (bytes: Uint8Array, chunk: number) => {
    const path = join(folder, 'pieces.bin');
    const writer = await PieceWriter.create(path);
    for (let at = 0; at < bytes.length; at += chunk) await writer.take(bytes.subarray(at, at + chunk), at);
    // A second pass over the same bytes keeps nothing twice.
    for (let at = 0; at < bytes.length; at += chunk) await writer.take(bytes.subarray(at, at + chunk), at);
    const kept = await writer.finish();
    await writer.close();
    const file = readFileSync(path);
    const parts = kept.index.map((piece) => inflateRawSync(file.subarray(piece.offset, piece.offset + piece.length)));
    return { ...kept, parts };
  };

  test.each([
    ['LF', 'line of some length, number %;24,12\n', 262_144],
    ['CRLF', 'line of some length, number %;24,12\r\n', 65_521],
    ['CR', 'line of some length, number %;24,12\r', 262_144],
  ])('with %s: together the file, each starting where a line starts, with its number', async (_, line, chunk) => {
    const text = Array.from({ length: 90_000 }, (_unused, i) => line.replace('%', String(i))).join('');
    const bytes = Buffer.from(text, 'utf8');
    const kept = await keep(bytes, chunk);
    expect(kept.sha256).toBe(createHash('sha256').update(bytes).digest('hex'));
    expect(Buffer.concat(kept.parts).equals(bytes)).toBe(true);
    expect(kept.parts.length).toBeGreaterThan(2);
    kept.index.forEach((piece, i) => {
      expect(kept.parts[i]!.toString('utf8', 0, 60)).toMatch(
        new RegExp(`^line of some length, number ${piece.firstLine - 1};`),
      );
    });
  });

  test('a file that is one endless line is cut, and kept whole', async () => {
    const bytes = Buffer.alloc(9 << 20, 'x');
    const kept = await keep(bytes, 1 << 18);
    expect(Buffer.concat(kept.parts).equals(bytes)).toBe(true);
  });
});

describe('raw lines', () => {
  test.each([
    ['utf8', 180_000],
    ['utf16le', 60_000],
  ] as const)('of a large %s file are found by their number', async (encoding, count) => {
    const plant = await new TestEngine().open();
    try {
      const rows = series(count).map((row, i) => ({ ...row, joint: `Stütze ${i % 10}` }));
      const text = dump(rows);
      const bytes = Buffer.from(encoding === 'utf16le' ? `\uFEFF${text}` : text, encoding);
      // More than the ring of buffers through which the file is read.
      if (encoding === 'utf8') expect(bytes.length).toBeGreaterThan(8 << 20);
      const outcome = await plant.take('large.csv', bytes);
      expect(outcome).toMatchObject({ accepted: count, problem: null });
      expect(outcome.sha256).toBe(createHash('sha256').update(bytes).digest('hex'));
      const lines = text.split('\n');
      for (const line of [2, 3, 17_000, 25_000, count - 1, count + 1]) {
        const detail = await plant.engine.serve('readings:detail', { id: `1:${line}` });
        expect(detail.rawLine).toBe(lines[line - 1]);
        expect(detail.row.torque).toBe(Number(lines[line - 1]?.split(';')[3]));
      }
    } finally {
      await plant.close();
    }
  });
});

describe('a file that changes while it is read', () => {
  test('is refused, and read whole by the next try', async () => {
    const plant = await new TestEngine().open();
    try {
      const text = dump(series(60_000));
      const ticket = await plant.offer('growing.csv', text);
      const path = join(plant.folder, 'growing.csv');
      let changed = false;
      const reading = plant.engine.serve(
        'inbox:read',
        { ticket, answers: {}, set: {}, useRecipe: true },
        {
          onProgress: (progress) => {
            if (progress.phase !== 'reading' || changed) return;
            changed = true;
            writeFileSync(path, `${text}2026-03-14 06:00:01;T-1;Stem;24.00;Nm;30.0\n`);
          },
        },
      );
      const ended = await reading.then(
        (preview) => preview.problem?.kind ?? 'read',
        (error: { problem: { kind: string } }) => error.problem.kind,
      );
      if (changed) expect(ended).toBe('refused-input');
      await plant.read(ticket);
      const outcome = await plant.accept(ticket);
      expect(outcome.accepted).toBe(changed ? 60_001 : 60_000);
      expect(statSync(path).size).toBeGreaterThan(0);
    } finally {
      await plant.close();
    }
  });
});

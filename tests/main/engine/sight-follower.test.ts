/** A large file is judged while it is read; what comes out is what judging it afterwards gives. */
import { mkdtempSync, rmSync, truncateSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { batchCapacity, emptyRowBatch, type FileNames } from '#core/intake/row-batch.ts';
import { fileSight } from '../../../src/main/engine/file-plant.ts';
import { registerState } from '../../../src/main/engine/register-state.ts';
import { SightFollower } from '../../../src/main/engine/sight-follower.ts';
import type { StagedBlock } from '../../../src/main/reader/reader-jobs.ts';
import { RowFileWriter, readRowFile } from '../../../src/main/reader/row-file.ts';
import { TestEngine } from './test-engine.ts';

const noNames: FileNames = { tool: [], operator: [], joint: [], fastener: [], batch: [], station: [], note: [] };
const empty = registerState([], [], []);

let folder: string;
let path: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'tightbook-follow-'));
  path = join(folder, 'rows.bin');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** Rows of a file of `count`: a new tool appears in every block, torques rise through the day. */
async function write(count: number, shift = 0): Promise<{ blocks: StagedBlock[]; names: string[] }> {
  const blocks: StagedBlock[] = [];
  const names: string[] = [];
  let from = 0;
  let rows = 0;
  let fresh: string[] = [];
  const writer = await RowFileWriter.create(path, (to) => {
    blocks.push({ pass: 1, from, to, rows, names: { tool: fresh, operator: [], joint: [] } });
    from = to;
  });
  const batch = emptyRowBatch();
  while (rows < count) {
    const n = Math.min(batchCapacity, count - rows);
    batch.length = n;
    fresh = [`T-${names.length}`];
    for (let i = 0; i < n; i++) {
      batch.at[i] = Date.UTC(2026, 2, 14, 6) + (rows + i) * 20_000;
      batch.atStep[i] = 2;
      batch.torque[i] = 20 + ((rows + i) % 97) / 10 + shift;
      batch.unit[i] = 0;
      batch.decimals[i] = 1;
      batch.angle[i] = Number.NaN;
      batch.own[i] = 1 + (i % 2);
      batch.sequence[i] = Number.NaN;
      batch.tool[i] = names.length;
      for (const column of ['operator', 'joint', 'fastener', 'batch', 'station', 'note'] as const)
        batch[column][i] = -1;
      batch.batchPosition[i] = batch.batchSize[i] = -1;
      batch.target[i] = batch.low[i] = batch.high[i] = Number.NaN;
      batch.line[i] = rows + i + 2;
      batch.lines[i] = 1;
    }
    names.push(...fresh);
    rows += n;
    await writer.write(batch, noNames);
    await writer.finish();
  }
  await writer.close();
  return { blocks, names };
}

const afterwards = (count: number, tool: readonly string[]) =>
  fileSight(
    { count, rows: readRowFile(path), names: { tool, operator: [], joint: [] }, newestFirst: false, open: null },
    empty,
  );

describe('following the reader', () => {
  test('gives what judging afterwards gives, names that come late included', async () => {
    const count = 130_000;
    const { blocks, names } = await write(count);
    const follower = new SightFollower(path, empty);
    for (const block of blocks) {
      follower.saw(block);
      await new Promise((resolve) => setImmediate(resolve));
    }
    const seen = await follower.done(count);
    const whole = await afterwards(count, names);
    expect(seen).toEqual(whole);
    expect(seen?.wouldAdd.unjudged).toBe(count);
    expect(seen?.wouldAdd.days.length).toBeGreaterThan(1);
    expect(seen?.notices.map((notice) => notice.kind)).toContain('unknown-name');
  });

  test('when the reader starts again, nothing of the pass before counts', async () => {
    const first = await write(120_000);
    const follower = new SightFollower(path, empty);
    for (const block of first.blocks) follower.saw(block);
    // The row file is emptied and filled anew, while the first pass may still be looked at.
    const again = await write(125_000, 100);
    for (const block of again.blocks) follower.saw({ ...block, pass: 2 });
    expect(await follower.done(125_000)).toEqual(await afterwards(125_000, again.names));
  });

  test('a small file is left for afterwards', async () => {
    const { blocks } = await write(20_000);
    const follower = new SightFollower(path, empty);
    for (const block of blocks) follower.saw(block);
    expect(await follower.done(20_000)).toBeNull();
  });

  test('a row file that was cut off gives nothing, and no error', async () => {
    const { blocks } = await write(110_000);
    truncateSync(path, 1000);
    const follower = new SightFollower(path, empty);
    for (const block of blocks) follower.saw(block);
    expect(await follower.done(110_000)).toBeNull();
  });

  test('in the whole way: a guess refuted after 100,000 rows, and the preview is of the second pass', async () => {
    const plant = await new TestEngine().open();
    try {
      // Days up to 12 leave the order open; 13 comes in the last hundred lines and decides for the month first.
      const rows = Array.from({ length: 110_100 }, (_, i) => {
        const day = i < 110_000 ? 1 + (i % 12) : 13;
        return `03/${String(day).padStart(2, '0')}/2026 06:${String(i % 60).padStart(2, '0')}:10;T-1;Stem;24.${10 + (i % 80)}`;
      });
      const preview = await plant.read(
        await plant.offer('late.csv', `Time;Tool;Joint;Torque [Nm]\n${rows.join('\n')}\n`),
      );
      expect(preview.problem).toBeNull();
      expect(preview.questions).toEqual([]);
      const { wouldAdd } = preview;
      expect(wouldAdd).not.toBeNull();
      expect(wouldAdd?.unjudged).toBe(110_100);
      // March only: read the other way round, they would be twelve months.
      expect(wouldAdd?.days.map((day) => new Date(day.day).getUTCMonth())).toEqual(new Array(13).fill(2));
      expect(wouldAdd?.moreDays).toBe(0);
      expect(wouldAdd?.days.reduce((sum, day) => sum + day.count, 0)).toBe(110_100);
    } finally {
      await plant.close();
    }
  });
});

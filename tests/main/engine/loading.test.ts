import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { StoreEvent } from '#core/contract/events.ts';
import { dump, series, TestEngine, until } from './test-engine.ts';

describe('opening a store that holds many readings', () => {
  let plant: TestEngine;
  beforeEach(async () => {
    plant = await new TestEngine().open();
    await plant.take('large.csv', dump(series(100_000)));
    await plant.engine.close();
  });
  afterEach(() => plant.close());

  test('the status is there before the readings are loaded, and their coming is told', async () => {
    await plant.open();
    const events: StoreEvent[] = [];
    plant.engine.onEvent((event) => events.push(event));
    const status = await plant.engine.serve('app:status', {});
    expect(status).toMatchObject({ loading: true, readings: 100_000, sources: 1, tools: ['T-1'], joints: ['Stem'] });
    expect(status.from).toBe(Date.UTC(2026, 2, 14, 6));
    expect(status.to).toBe(Date.UTC(2026, 2, 14, 6) + 99_999 * 60_000);
    await until(() => events.some((event) => event.touches.includes('readings')));
    expect(await plant.engine.serve('app:status', {})).toMatchObject({ loading: false, readings: 100_000 });
  });

  test('loading comes in pages and lets other work in between', async () => {
    await plant.open();
    let between = 0;
    let loading = true;
    const tick = (): void => {
      if (!loading) return;
      between++;
      setImmediate(tick);
    };
    setImmediate(tick);
    await plant.count();
    loading = false;
    // 100 000 readings are five pages; how long one takes is a matter for the benchmarks.
    expect(between).toBeGreaterThanOrEqual(5);
  });

  test('a question asked meanwhile waits and reports the loading', async () => {
    await plant.open();
    const done: number[] = [];
    const page = await plant.engine.serve(
      'readings:answer',
      { scope: { from: null, to: null, shifts: [], joints: [], tools: [], operators: [] }, offset: 99_999, limit: 5 },
      { onProgress: (progress) => done.push(progress.done) },
    );
    expect(page.total).toBe(100_000);
    expect(done.at(-1)).toBe(100_000);
    expect(done.length).toBeGreaterThan(1);
  });

  test('another intake only adds to what is loaded', async () => {
    await plant.open();
    await plant.count();
    await plant.take('more.csv', dump(series(100_050)));
    expect(await plant.count()).toBe(100_050);
    const last = await plant.engine.serve('readings:detail', { id: '2:100051' });
    expect(last.row.at).toBe(Date.UTC(2026, 2, 14, 6) + 100_049 * 60_000);
  });
});

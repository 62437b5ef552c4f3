import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { axisOffset, axisTime, clockAxis } from '#core/review/clock-axis.ts';
import { say } from '#core/text/said.ts';
import { civil } from '../support/plant-of.ts';

const minute = 60_000;

/** The stretches of 10 min or more between times in order. */
const gapsOf = (times: number[]): { from: number; to: number }[] =>
  times.slice(1).flatMap((to, k) => (to - times[k]! >= 10 * minute ? [{ from: times[k]!, to }] : []));
const axisOf = (times: number[], wanted = { from: null as number | null, to: null as number | null }) =>
  clockAxis({ earliest: times[0]!, latest: times.at(-1)!, gaps: gapsOf(times) }, wanted);

describe('the time axis of the ribbon', () => {
  it('keeps order, covers every reading and leads back from place to time', () => {
    const step = fc.oneof(
      fc.integer({ min: 0, max: 20 * minute }),
      fc.integer({ min: 2 * 60 * minute, max: 100 * 60 * minute }),
    );
    fc.assert(
      fc.property(fc.array(step, { minLength: 1, maxLength: 400 }), (steps) => {
        let at = civil('2026-11-24T06:00:00');
        const times = [at, ...steps.map((one) => (at += one))];
        const axis = axisOf(times);
        let last = -1;
        for (const time of times) {
          const offset = axisOffset(axis, time);
          expect(offset).toBeGreaterThanOrEqual(last);
          expect(offset).toBeLessThanOrEqual(axis.length + 1e-6);
          expect(axisTime(axis, offset)).toBeCloseTo(time, 3);
          last = offset;
        }
        for (let k = 1; k < axis.spans.length; k++) {
          const [before, after] = [axis.spans[k - 1]!, axis.spans[k]!];
          expect(after.offset).toBeGreaterThanOrEqual(before.offset + before.to - before.from);
        }
        expect(axis.ticks.length).toBeLessThanOrEqual(60);
      }),
      { numRuns: 150 },
    );
  });

  it('shows a pause at its width and cuts the night out', () => {
    const day = (date: string): number[] =>
      Array.from({ length: 100 }, (_, k) => civil(`${date}T06:00:00`) + k * 4 * minute + (k >= 40 ? 30 * minute : 0));
    const axis = axisOf([...day('2026-11-23'), ...day('2026-11-24')]);
    expect(axis.spans).toHaveLength(2);
    expect(axis.breaks.map((one) => [say(one.said), one.cut])).toEqual([
      ['no readings for 34 minutes', false],
      ['no readings for 16.9 hours', true],
      ['no readings for 34 minutes', false],
    ]);
    expect(axis.length).toBeLessThan(15.5 * 60 * minute);
  });

  it('starts and ends with the period where readings come near its ends', () => {
    const times = [civil('2026-11-24T06:05:00'), civil('2026-11-24T06:10:00'), civil('2026-11-24T13:20:00')];
    const axis = axisOf(times, { from: civil('2026-11-24T06:00'), to: civil('2026-11-24T14:00') });
    expect(axis.spans[0]!.from).toBe(civil('2026-11-24T06:00'));
    expect(axis.spans.at(-1)!.to).toBe(civil('2026-11-24T14:00'));
  });

  it('is empty without a time', () => {
    const axis = clockAxis(
      { earliest: Number.POSITIVE_INFINITY, latest: Number.NEGATIVE_INFINITY, gaps: [] },
      { from: null, to: null },
    );
    expect(axis).toEqual({ spans: [], length: 0, breaks: [], ticks: [] });
  });
});

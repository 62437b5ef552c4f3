import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ClockAxis } from '#core/contract/models/review-model.ts';
import { clockPosition, clockTime } from '#core/figures/clock-position.ts';
import { said } from '#core/text/said.ts';

const hour = 3_600_000;
const nothing = said('common.product', {});
/** 06:00 to 08:00, a cut of six hours drawn as half an hour, 14:00 to 15:00. */
const axis: ClockAxis = {
  spans: [
    { from: 6 * hour, to: 8 * hour, offset: 0 },
    { from: 14 * hour, to: 15 * hour, offset: 2.5 * hour },
  ],
  length: 3.5 * hour,
  breaks: [{ from: 8 * hour, to: 14 * hour, offset: 2 * hour, width: 0.5 * hour, cut: true, said: nothing }],
  ticks: [],
};

describe('clockPosition', () => {
  it('runs at the clock inside a span and shortens the cut between two', () => {
    expect(clockPosition(axis, 7 * hour)).toBe(1 * hour);
    expect(clockPosition(axis, 11 * hour)).toBe(2.25 * hour);
    expect(clockPosition(axis, 14.5 * hour)).toBe(3 * hour);
  });

  it('puts times beyond the axis at its ends', () => {
    expect(clockPosition(axis, 0)).toBe(0);
    expect(clockPosition(axis, 24 * hour)).toBe(3.5 * hour);
  });

  it('is undone by clockTime', () => {
    fc.assert(
      fc.property(fc.double({ min: 6, max: 15, noNaN: true }), (at) => {
        expect(clockTime(axis, clockPosition(axis, at * hour)) / hour).toBeCloseTo(at, 9);
      }),
    );
  });
});

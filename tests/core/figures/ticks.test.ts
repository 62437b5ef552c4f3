import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dateTicks } from '#core/figures/date-ticks.ts';
import { valueTicks } from '#core/figures/value-ticks.ts';
import { civilTime, msPerDay } from '#core/time/civil-time.ts';

describe('round values for a scale', () => {
  it('gives the documented example', () => {
    expect(valueTicks(21.7, 26.3, 6)).toEqual({ values: [22, 23, 24, 25, 26], decimals: 0 });
  });

  it('stays inside the scale, within the number asked for, and prints without loss', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        fc.double({ min: 1e-3, max: 1e6, noNaN: true }),
        fc.integer({ min: 1, max: 20 }),
        (low, span, most) => {
          const { values, decimals } = valueTicks(low, low + span, most);
          expect(values.length).toBeLessThanOrEqual(most);
          for (const value of values) {
            expect(value).toBeGreaterThanOrEqual(low - span * 1e-6);
            expect(value).toBeLessThanOrEqual(low + span * (1 + 1e-6));
            expect(Number(value.toFixed(decimals))).toBe(value === 0 ? 0 : value);
          }
        },
      ),
    );
  });

  it('refuses a scale that is not finite', () => {
    expect(() => valueTicks(Number.NaN, 1, 5)).toThrow(RangeError);
  });
});

describe('dates for a time axis', () => {
  const at = (month: number, day: number): number => civilTime(2026, month, day) ?? Number.NaN;

  it('names Mondays over six weeks', () => {
    const labels = dateTicks(at(10, 13), at(11, 24), 640).map((tick) => tick.label);
    expect(labels).toEqual(['19 Oct', '26 Oct', '2 Nov', '9 Nov', '16 Nov', '23 Nov']);
  });

  it('names months over a year, with the year where it begins', () => {
    const labels = dateTicks(at(3, 15), at(3, 15) + 365 * msPerDay, 900).map((tick) => tick.label);
    expect(labels).toEqual(['Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec', 'Jan 2027', 'Feb', 'Mar']);
  });

  it('names hours within a day', () => {
    const labels = dateTicks(at(11, 2), at(11, 2) + msPerDay / 2, 400).map((tick) => tick.label);
    expect(labels).toEqual(['2 Nov', '02:00', '04:00', '06:00', '08:00', '10:00', '12:00']);
  });

  it('names minutes within an hour, and the day with the first of them', () => {
    const from = at(11, 20) + 14 * 3_600_000 + 47 * 60_000;
    const labels = dateTicks(from, from + 18 * 60_000, 640).map((tick) => tick.label);
    expect(labels).toEqual(['20 Nov, 14:50', '14:55', '15:00', '15:05']);
  });
});

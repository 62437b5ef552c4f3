import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { everything } from '#core/readings/scope.ts';
import { selectReadings } from '#core/readings/select-readings.ts';
import { blockKey, blockOfKey, shiftOccurrence } from '#core/readings/shift-occurrence.ts';
import { breakIn } from '#core/review/shift-breaks.ts';
import { msPerMinute } from '#core/time/civil-time.ts';
import { civil, plantOf, registerOf } from '../support/plant-of.ts';

const register = {
  shifts: [
    { name: 'Early', start: '06:00', end: '14:00', weekdays: ['Mon', 'Tue', 'Wed', 'Thu', 'Fri'] },
    { name: 'Weekend', start: '07:00', end: '19:00', weekdays: ['Sat', 'Sun'] },
    { name: 'Night', start: '22:00', end: '06:00', weekdays: ['Mon', 'Tue', 'Wed', 'Thu', 'Fri'] },
  ],
};
const { shifts } = registerOf(register);
const nameAt = (text: string): string | null => {
  const occurrence = shiftOccurrence(shifts, civil(text), 2);
  return occurrence ? (shifts[occurrence.shift]?.name ?? 'outside') : null;
};

describe('shifts by the day of the week', () => {
  it('a shift holds on the days it names: 20 Nov 2026 is a Friday', () => {
    expect(nameAt('2026-11-20T13:59:59')).toBe('Early');
    expect(nameAt('2026-11-21T06:30:00')).toBe('outside');
    expect(nameAt('2026-11-21T07:00:00')).toBe('Weekend');
    expect(nameAt('2026-11-22T18:59:59')).toBe('Weekend');
    expect(nameAt('2026-11-23T07:00:00')).toBe('Early');
  });

  it('the hours after midnight belong to the day on which the night starts, whatever day they are', () => {
    expect(nameAt('2026-11-21T05:59:59')).toBe('Night');
    expect(shiftOccurrence(shifts, civil('2026-11-21T05:59:59'), 2)?.day).toBe(civil('2026-11-20'));
    // Sunday names no night, so Monday before six has none.
    expect(nameAt('2026-11-23T03:00:00')).toBe('outside');
  });

  it('a selection by shift agrees with the occurrence of every reading', () => {
    const from = civil('2026-11-16');
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 10 * 1440 - 1 }), { minLength: 1, maxLength: 60 }), (minutes) => {
        const plant = plantOf(
          minutes.map((minute) => ({ at: from + minute * msPerMinute, joint: 'J', torque: 1 })),
          { register },
        );
        for (const [s, shift] of plant.register.shifts.entries()) {
          const selected = [...selectReadings(plant, { ...everything, shifts: [shift.name] })].sort((a, b) => a - b);
          const expected = minutes.flatMap((_, i) =>
            shiftOccurrence(plant.register.shifts, plant.readings.at[i]!, 2)?.shift === s ? [i] : [],
          );
          expect(selected).toEqual(expected);
        }
      }),
      { numRuns: 50 },
    );
  });

  it('a block key stands for its occurrence', () => {
    for (let minute = 0; minute < 8 * 1440; minute += 17) {
      const at = civil('2026-11-16') + minute * msPerMinute;
      expect(blockOfKey(blockKey(shifts, at, 2))).toEqual(shiftOccurrence(shifts, at, 2));
    }
  });

  it('times before 1970 have weekdays too: 1 January 1900 was a Monday', () => {
    expect(shiftOccurrence(shifts, civil('1900-01-01T07:00:00'), 2)).toEqual({ shift: 0, day: civil('1900-01-01') });
    expect(shiftOccurrence(shifts, civil('1899-12-31T08:00:00'), 2)?.shift).toBe(1);
  });
});

describe('a pause that is a break of its shift', () => {
  const withBreaks = registerOf({
    shifts: [
      { name: 'Early', start: '06:00', end: '14:00', breaks: [{ start: '09:00', end: '09:20' }] },
      {
        name: 'Night',
        start: '22:00',
        end: '06:00',
        breaks: [
          { start: '23:50', end: '00:20', name: 'meal' },
          { start: '03:00', end: '03:15', name: 'tea' },
        ],
      },
    ],
  }).shifts;
  const pause = (from: string, to: string): string | null => breakIn(withBreaks, { from: civil(from), to: civil(to) });

  it('is one when it holds at least half of it and is little longer', () => {
    expect(pause('2026-11-24T08:45:00', '2026-11-24T09:24:00')).toBe('');
    expect(pause('2026-11-24T08:57:00', '2026-11-24T09:24:00')).toBe('');
    expect(pause('2026-11-24T08:00:00', '2026-11-24T09:24:00')).toBeNull();
    expect(pause('2026-11-24T09:12:00', '2026-11-24T09:24:00')).toBeNull();
  });

  it('is found before, across and after midnight', () => {
    expect(pause('2026-11-24T23:48:00', '2026-11-25T00:22:00')).toBe('meal');
    expect(pause('2026-11-25T02:59:00', '2026-11-25T03:17:00')).toBe('tea');
    // The same hours by day lie in no night shift.
    expect(pause('2026-11-25T14:59:00', '2026-11-25T15:17:00')).toBeNull();
  });
});

import { describe, expect, it } from 'vitest';
import { shiftBand } from '#core/figures/shift-band.ts';

const early = { name: 'Early', startMinute: 360, endMinute: 840 };
const late = { name: 'Late', startMinute: 840, endMinute: 1320 };
const night = { name: 'Night', startMinute: 1320, endMinute: 360 };

describe('shiftBand', () => {
  it('cuts a shift past midnight in two and names its longer piece', () => {
    expect(shiftBand([early, late, night])).toEqual({
      pieces: [
        { shift: 2, from: 0, to: 360, named: true },
        { shift: 0, from: 360, to: 840, named: true },
        { shift: 1, from: 840, to: 1320, named: true },
        { shift: 2, from: 1320, to: 1440, named: false },
      ],
      cuts: [],
      uncovered: 0,
      doubled: 0,
    });
  });

  it('gives minutes of two shifts to the first in the list, and counts them', () => {
    const band = shiftBand([early, { name: 'Day', startMinute: 480, endMinute: 960 }]);
    expect(band.pieces).toEqual([
      { shift: 0, from: 360, to: 840, named: true },
      { shift: 1, from: 840, to: 960, named: true },
    ]);
    expect(band.doubled).toBe(360);
    expect(band.uncovered).toBe(1440 - 600);
  });

  it('cuts breaks out of the shift in force, one past midnight in two', () => {
    const band = shiftBand([
      { ...early, breaks: [{ startMinute: 510, endMinute: 525 }] },
      { ...night, breaks: [{ startMinute: 1430, endMinute: 10 }] },
      { name: 'Day', startMinute: 480, endMinute: 960, breaks: [{ startMinute: 600, endMinute: 630 }] },
    ]);
    // The break of the third lies in hours that the first shift holds: it cuts nothing.
    expect(band.cuts).toEqual([
      { from: 510, to: 525 },
      { from: 1430, to: 1440 },
      { from: 0, to: 10 },
    ]);
  });

  it('takes equal ends for a whole day', () => {
    const band = shiftBand([{ name: 'All', startMinute: 360, endMinute: 360 }]);
    expect(band.uncovered).toBe(0);
    expect(band.pieces.filter((piece) => piece.named)).toHaveLength(1);
  });
});

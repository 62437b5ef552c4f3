import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { roleLevels } from '#core/figures/role-labels.ts';

describe('roleLevels', () => {
  it('leaves names with room between them on the lowest level', () => {
    expect(
      roleLevels(
        [
          { x: 0, width: 30 },
          { x: 60, width: 30 },
        ],
        4,
      ),
    ).toEqual([0, 0]);
  });

  it('raises a name over the next one that begins under it', () => {
    expect(
      roleLevels(
        [
          { x: 0, width: 40 },
          { x: 30, width: 40 },
        ],
        4,
      ),
    ).toEqual([1, 0]);
  });

  it('never lets two names on one level meet, nor a leader cross a name', () => {
    const columns = fc.array(
      fc.record({ step: fc.integer({ min: 1, max: 90 }), width: fc.integer({ min: 1, max: 120 }) }),
      {
        maxLength: 14,
      },
    );
    fc.assert(
      fc.property(columns, (given) => {
        let x = 0;
        const labels = given.map(({ step, width }) => {
          x += step;
          return { x, width };
        });
        const levels = roleLevels(labels, 4);
        labels.forEach((a, i) => {
          labels.forEach((b, j) => {
            if (j <= i || b.x >= a.x + a.width + 4) return;
            // b begins under a: on the same or a higher level b's name or leader would run through a's.
            expect(levels[j]).toBeLessThan(levels[i]!);
          });
        });
      }),
    );
  });
});

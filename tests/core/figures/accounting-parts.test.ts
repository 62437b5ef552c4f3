import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { accountingParts } from '#core/figures/accounting-parts.ts';

describe('accountingParts', () => {
  it('draws parts in proportion to their lines when none is small', () => {
    const parts = accountingParts(
      { total: 100, accepted: 50, alreadyHeld: 25, rejected: 15, header: 6, blank: 4 },
      406,
    );
    expect(parts.map((part) => part.lines)).toEqual([50, 25, 15, 10]);
    expect(parts.map((part) => part.width)).toEqual([200, 100, 60, 40]);
    expect(parts.map((part) => part.x)).toEqual([0, 202, 304, 366]);
    expect(parts.some((part) => part.widened)).toBe(false);
  });

  it('draws a small part 6 px wide and says so, and an empty part not at all', () => {
    const parts = accountingParts(
      { total: 1_000_001, accepted: 1_000_000, alreadyHeld: 0, rejected: 1, header: 0, blank: 0 },
      500,
    );
    expect(parts[1]).toMatchObject({ lines: 0, width: 0 });
    expect(parts[2]).toMatchObject({ lines: 1, width: 6, widened: true });
    expect(parts[0]).toMatchObject({ width: 492, widened: false });
  });

  it('always fills the bar from edge to edge', () => {
    const count = fc.integer({ min: 0, max: 4_000_000 });
    fc.assert(
      fc.property(
        count,
        count,
        count,
        count,
        fc.integer({ min: 60, max: 1600 }),
        (accepted, alreadyHeld, rejected, blank, width) => {
          const total = accepted + alreadyHeld + rejected + blank;
          const drawn = accountingParts({ total, accepted, alreadyHeld, rejected, blank, header: 0 }, width).filter(
            (part) => part.width > 0,
          );
          if (total === 0) return expect(drawn).toEqual([]);
          const last = drawn[drawn.length - 1]!;
          expect(last.x + last.width).toBeCloseTo(width, 6);
          for (const part of drawn) expect(part.width).toBeGreaterThan(5.999);
        },
      ),
    );
  });
});

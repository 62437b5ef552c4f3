/** The last date is remembered; no cell is read otherwise for what was read before it. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { dateMs, dateOrders, dateStep, readDate } from '#core/intake/date-cell.ts';

interface Cell {
  readonly text: string;
  readonly order: number;
  readonly thisYear: number;
}

const cell: fc.Arbitrary<Cell> = fc.record({
  // Few texts, so that they repeat; times behind, blanks around, two-digit years, and what is no date.
  text: fc.oneof(
    fc.constantFrom('03/04/2026', '03.04.26', '13/04/2026', '2026-04-03', '26-04-03', '31/02/2026', '03/04/2026 06:10'),
    fc.constantFrom('3/4/2026', '', 'x', '3 Apr 2026', '20260403', '03/04/2026T06:10:11', '03/04/2027'),
  ),
  order: fc.constantFrom(1, 2, 4),
  thisYear: fc.constantFrom(2024, 2026),
});

const read = (one: Cell): readonly number[] => {
  const padded = `  ${one.text};`;
  const outcome = readDate(padded, 2, 2 + one.text.length, one.order, one.thisYear);
  return outcome === 0 ? [outcome, dateMs, dateStep, dateOrders] : [outcome];
};

test('a date reads the same alone and after any others', () => {
  fc.assert(
    fc.property(fc.array(cell, { minLength: 1, maxLength: 12 }), (cells) => {
      const inTurn = cells.map(read);
      const alone = cells.map((one) => {
        // A date that no cell above has: whatever was remembered is gone.
        readDate('09/09/1999', 0, 10, 1, 2026);
        return read(one);
      });
      expect(inTurn).toEqual(alone);
    }),
    { numRuns: 2000 },
  );
});

test('what is read after other cells is the date that is written', () => {
  const cells: readonly [Cell, number][] = [
    [{ text: '03/04/2026', order: 1, thisYear: 2026 }, Date.UTC(2026, 3, 3)],
    [{ text: '03/04/2026', order: 2, thisYear: 2026 }, Date.UTC(2026, 2, 4)],
    [{ text: '03/04/2026', order: 2, thisYear: 2026 }, Date.UTC(2026, 2, 4)],
    [{ text: '26-04-03', order: 4, thisYear: 2026 }, Date.UTC(2026, 3, 3)],
    [{ text: '03/04/2026 06:10', order: 2, thisYear: 2026 }, Date.UTC(2026, 2, 4, 6, 10)],
  ];
  for (const [one, ms] of cells) expect(read(one).slice(0, 2)).toEqual([0, ms]);
});

import fc from 'fast-check';
import { expect, it } from 'vitest';
import { fisherExact } from '#core/stats/fisher-exact.ts';
import { expectNear } from '../drift/reference.ts';

/** Log-factorials by summing logarithms: slow and plain. */
const logFactorial = (n: number): number => {
  let sum = 0;
  for (let k = 2; k <= n; k++) sum += Math.log(k);
  return sum;
};

/** The definition itself: probabilities of all tables with the same margins. */
function byDefinition(a: number, b: number, c: number, d: number): number {
  const row = a + b;
  const rest = c + d;
  const column = a + c;
  const all = row + rest;
  const choose = (n: number, k: number): number => logFactorial(n) - logFactorial(k) - logFactorial(n - k);
  const p = (k: number): number => Math.exp(choose(row, k) + choose(rest, column - k) - choose(all, column));
  const seen = p(a);
  let sum = 0;
  for (let k = Math.max(0, column - rest); k <= Math.min(row, column); k++) if (p(k) <= seen * (1 + 1e-7)) sum += p(k);
  return Math.min(1, sum);
}

it('agrees with the definition on random tables', () => {
  const cell = fc.integer({ min: 0, max: 60 });
  fc.assert(
    fc.property(cell, cell, cell, cell, (a, b, c, d) => {
      expectNear(fisherExact(a, b, c, d), byDefinition(a, b, c, d), 1e-9);
    }),
    { numRuns: 500 },
  );
});

it('is the same whichever group and whichever outcome comes first', () => {
  const cell = fc.integer({ min: 0, max: 5000 });
  fc.assert(
    fc.property(cell, cell, cell, cell, (a, b, c, d) => {
      const p = fisherExact(a, b, c, d);
      expectNear(fisherExact(c, d, a, b), p, 1e-9);
      expectNear(fisherExact(b, a, d, c), p, 1e-9);
    }),
    { numRuns: 200 },
  );
});

it('answers large tables at once, and nothing with an empty margin', () => {
  expect(fisherExact(0, 0, 5, 7)).toBe(1);
  expect(fisherExact(4, 0, 9, 0)).toBe(1);
  // R 4.2.2 was not run on this one: only the bounds of a p-value and its side are asserted.
  const p = fisherExact(400_000, 6000, 590_000, 9100);
  expect(p).toBeGreaterThan(0.05);
  expect(p).toBeLessThanOrEqual(1);
  expect(fisherExact(0, 100_000, 100_000, 0)).toBe(0);
});

it('refuses cells that are no counts', () => {
  expect(() => fisherExact(1.5, 1, 1, 1)).toThrow(RangeError);
  expect(() => fisherExact(-1, 1, 1, 1)).toThrow(RangeError);
});

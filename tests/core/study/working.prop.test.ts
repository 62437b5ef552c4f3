/** A hand calculation from the printed numbers gives the printed result. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { frac, mathText, num, power, row, sym, xBar } from '#core/study/math-node.ts';
import { decimalsBeside, inputsThatReproduce } from '#core/study/working-numbers.ts';
import { roundedText } from '#core/text/format.ts';

test('rounded inputs reproduce the printed index', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 20, max: 25, noNaN: true }),
      fc.double({ min: 0.05, max: 2, noNaN: true }),
      fc.integer({ min: 2, max: 6 }),
      (mean, s, decimals) => {
        const index = (v: { mean: number; s: number }): number => (26 - v.mean) / (3 * v.s);
        const printed = inputsThatReproduce({ mean, s }, index, decimals);
        const byHand = index({ mean: Number(printed.mean), s: Number(printed.s) });
        expect(roundedText(byHand, decimals)).toBe(roundedText(index({ mean, s }), decimals));
      },
    ),
  );
});

test('a value beside a bound is printed with as many decimals as tell on which side it lies', () => {
  expect(decimalsBeside(1.3299999, 1.33, 2)).toBe(7);
  expect(decimalsBeside(1.33, 1.33, 2)).toBe(2);
  expect(decimalsBeside(1.2, 1.33, 2)).toBe(2);
  expect(decimalsBeside(1.3304, 1.33, 2)).toBe(4);
});

test('formulas as text keep the brackets that layout makes unnecessary, and no more', () => {
  expect(mathText(row(sym('Ppk'), '=', frac(row(sym('U'), '−', xBar), row(num(3), sym('s')))))).toBe(
    'Ppk = (U − x̄)/(3s)',
  );
  expect(mathText(power(row('(', xBar, '−', sym('T'), ')'), '2'))).toBe('(x̄ − T)^2');
});

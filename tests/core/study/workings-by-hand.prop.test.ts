/** Definitions 1: a hand calculation from the numbers printed in a working gives the printed result. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { studyAnswer } from '#core/study/study-answer.ts';
import { checkedByHand } from './by-hand.ts';
import { choices, joint, plantOf, type Row, start, tools } from './plant-of.ts';

test('the calculator finds what is wrong, and what is right', () => {
  expect(checkedByHand('(26 − 24.1)/(3 × 0.45) = 1.9/1.35 = 1.407')).toEqual({ checked: 2, wrong: [] });
  expect(checkedByHand('(26 − 24.1)/(3 × 0.45) = 1.408').wrong).toHaveLength(1);
  expect(checkedByHand('1.5 ± 1.96 × √(1/9 + 1) = 1.5 ± 2.0660 = −0.566 to 3.566').wrong).toEqual([]);
  expect(checkedByHand('1.5 ± 2.0660 = −0.566 to 3.567').wrong).toHaveLength(1);
  expect(checkedByHand('Φ((22 − 24)/1) + Φ((24 − 26)/1) = 45500 in a million').wrong).toEqual([]);
  expect(checkedByHand('Φ((22 − 24)/1) + Φ((24 − 26)/1) = 45510 in a million').wrong).toHaveLength(1);
});

/** Uniform numbers from the case itself: the same case, the same readings. */
function readingsOf(n: number, mean: number, s: number, decimals: number, noise: readonly number[]): Row[] {
  return Array.from({ length: n }, (_, i) => {
    // Sum of three uniforms: near enough to normal for readings.
    const at = (k: number) => noise[(i * 7 + k * 13) % noise.length]!;
    const value = mean + s * 2 * (at(0) + at(1) + at(2) - 1.5);
    return { value: Number(value.toFixed(decimals)), at: start + Math.floor(i / 5) * 86_400_000 + (i % 5) * 150_000 };
  });
}

/** Workings whose lines can be worked out with a pocket calculator, and Φ from a table. */
const always = [
  'mean',
  'overall',
  'Ppk',
  'expectedPpm',
  'observed',
  'accuracyRatio',
  'guardBand',
  'ppkAtPermittedError',
];

test('every index, interval, limit, share and plan of many studies comes out of its printed numbers', () => {
  let checked = 0;
  fc.assert(
    fc.property(
      fc.record({
        n: fc.integer({ min: 26, max: 140 }),
        mean: fc.double({ min: 22.6, max: 25.4, noNaN: true }),
        s: fc.double({ min: 0.1, max: 0.9, noNaN: true }),
        decimals: fc.integer({ min: 1, max: 3 }),
        noise: fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 97, maxLength: 97 }),
        within: fc.constantFrom('pooled', 's-bar', 'r-bar', 'mr-bar', 'mr-median'),
        sides: fc.constantFrom('both', 'low', 'high'),
        unit: fc.constantFrom(null, 'lbf.ft'),
        required: fc.double({ min: 0.5, max: 2, noNaN: true }),
        certificate: fc.boolean(),
      }),
      (c) => {
        const register = {
          joints: [
            joint(
              c.sides === 'low' ? { high: null, target: null } : c.sides === 'high' ? { low: null, target: null } : {},
            ),
          ],
          checks: c.certificate
            ? [
                {
                  tool: 0,
                  at: start - 86_400_000,
                  nominal: 24,
                  reference: 24,
                  shown: 24.31,
                  unit: 'N.m' as const,
                  kind: 'as-left' as const,
                  uncertaintyPercent: 1.1,
                },
              ]
            : [],
        };
        const plant = plantOf(readingsOf(c.n, c.mean, c.s, c.decimals, c.noise), register, c.decimals);
        const requirement = { index: 'Ppk' as const, value: Number(c.required.toFixed(2)) };
        const answer = studyAnswer(
          plant,
          choices({ within: c.within as never, unit: c.unit as never, requirement }),
          tools,
        );
        for (const [figure, working] of Object.entries(answer.working)) {
          const found = checkedByHand(working.withNumbers);
          checked += found.checked;
          expect(found.wrong, `${figure}: ${working.withNumbers}`).toEqual([]);
          if (always.includes(figure) && answer.spread.overall !== 0)
            expect(found.checked, `${figure}: ${working.withNumbers}`).toBeGreaterThan(0);
        }
      },
    ),
    { numRuns: 150, seed: 20261126 },
  );
  // Some forty steps a study.
  expect(checked).toBeGreaterThan(150 * 20);
});

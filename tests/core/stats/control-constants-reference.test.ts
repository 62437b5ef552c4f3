/** Constants of control charts against R and the printed tables (tests/reference/control-constants.json). */
import { expect } from 'vitest';
import { c4, chartConstants, meanMovingRangeFactor, rangeConstants } from '#core/stats/control-constants.ts';
import { near, runCases, within } from './reference-cases.ts';

runCases('control-constants.json', (one) => {
  if (/^n=\d+$/.test(one.id)) {
    return ({ input, expect: wanted }) => {
      const got = chartConstants(input.n);
      within(got.d2, wanted.d2, 1e-10, 'd2');
      within(got.d3, wanted.d3, 1e-10, 'd3');
      near(got.c4, wanted.c4, 1e-14, 'c4');
      for (const name of ['A', 'A2', 'A3', 'B3', 'B4', 'B5', 'B6', 'D1', 'D2', 'D3', 'D4', 'E2', 'E3'] as const) {
        within(got[name], wanted[name], 1e-9, name);
      }
    };
  }
  if (one.id === 'closed-forms') {
    return ({ expect: wanted }) => {
      near(rangeConstants(2).d2, wanted['d2(2)'], 1e-13);
      near(meanMovingRangeFactor, wanted['d2(2)'], 1e-14);
      near(rangeConstants(3).d2, wanted['d2(3)'], 1e-12);
      near(rangeConstants(2).d3, wanted['d3(2)'], 1e-10);
      near(c4(2), wanted['c4(2)'], 1e-14);
      near(c4(3), wanted['c4(3)'], 1e-14);
    };
  }
  if (one.id === 'rounded-table-discrepancies') {
    return ({ expect: wanted }) => {
      for (const text of wanted.entries_that_do_not_round_to_the_printed_value as string[]) {
        const found = /^(\w+)\(n=(\d+)\): table [\d.]+, computed ([\d.]+)$/.exec(text);
        if (!found) throw new Error(text);
        const [, name = '', n = '', computed = ''] = found;
        // The names in the file are keys of the constants.
        within(chartConstants(Number(n))[name as 'D4' | 'D3' | 'd3'], Number(computed), 1e-6, text);
      }
    };
  }
  if (one.id === 'nist-xbar-r-table') {
    return ({ input, expect: wanted }) => {
      input.n.forEach((n: number, i: number) => {
        const got = chartConstants(n);
        // The printed table carries rounded intermediate values: one unit of the last place.
        for (const name of ['A2', 'D3', 'D4'] as const) within(got[name], wanted[name][i], 1.001e-3, `${name}(${n})`);
        expect(got.D3 === 0).toBe(wanted.D3[i] === 0);
      });
    };
  }
  return null;
});

/** Grubbs and generalised ESD against NIST e-Handbook and 40-digit arithmetic (tests/reference/outliers.json). */
import { expect } from 'vitest';
import { generalisedEsd, grubbsCritical, grubbsTest } from '#core/stats/outlier-tests.ts';
import { madFactor, medianAbsoluteDeviation, medianOfSorted, sortedCopy } from '#core/stats/quantiles.ts';
import { near, runCases, valuesOf, within } from './reference-cases.ts';

const grubbs = (values: readonly number[]) => {
  const found = grubbsTest(values);
  if (!found.ok) throw new Error('no Grubbs');
  return found.value;
};

runCases('outliers.json', (one) => {
  const { id } = one;
  if (id === 'nist-grubbs') {
    return ({ input, expect: wanted }) => {
      const got = grubbs(input.values);
      // G is printed truncated: 2.4687(6).
      within(got.statistic, wanted.G, 1e-4);
      within(grubbsCritical(8, input.alpha, 1), wanted.critical, 6e-4);
      expect(input.values[got.position]).toBe(wanted.outlier);
    };
  }
  if (/-grubbs(-exact)?$/.test(id)) {
    return ({ expect: wanted }) => {
      const got = grubbs(valuesOf(one));
      near(got.statistic, wanted.G_two_sided, 1e-10);
      near(got.critical, wanted.crit_two_sided, 1e-10);
      near(grubbsCritical(wanted.n, wanted.alpha, 1), wanted.crit_one_sided, 1e-10);
      expect(got.position + 1).toBe(wanted.index_1_based);
    };
  }
  if (id === 'grubbs-critical-table') {
    return ({ expect: wanted }) => {
      for (const row of wanted.rows) {
        for (const alpha of [0.05, 0.01]) {
          near(grubbsCritical(row.n, alpha, 1), row[`one_${alpha}`], 1e-11, `n ${row.n}`);
          near(grubbsCritical(row.n, alpha, 2), row[`two_${alpha}`], 1e-11, `n ${row.n}`);
        }
      }
    };
  }
  if (id === 'nist-gesd-rosner') {
    return ({ input, expect: wanted }) => {
      const got = generalisedEsd(input.values, input.max_outliers, input.alpha);
      if (!got.ok) throw new Error('no ESD');
      wanted.R.forEach((r: number, i: number) => {
        within(got.value.statistics[i], r, 1e-3);
        within(got.value.critical[i], wanted.lambda[i], 1e-3);
      });
      expect(got.value.outliers).toBe(wanted.n_outliers);
    };
  }
  if (/gesd-exact$/.test(id)) {
    return ({ input, expect: wanted }) => {
      const values = valuesOf(one);
      const got = generalisedEsd(values, input.max_outliers, input.alpha);
      if (!got.ok) throw new Error('no ESD');
      wanted.rows.forEach((row: Record<string, number>, i: number) => {
        near(got.value.statistics[i], row.R!, 1e-10);
        near(got.value.critical[i], row.lambda!, 1e-10);
        expect(values[got.value.positions[i]!]).toBe(row.removed_value);
      });
      expect(got.value.outliers).toBe(wanted.n_outliers);
    };
  }
  if (id.startsWith('modified-z-')) {
    // The modified z itself is no figure; its median absolute deviation is.
    return ({ expect: wanted }) => {
      const values = valuesOf(one);
      near(medianOfSorted(sortedCopy(values)), wanted.median, 1e-12);
      near(medianAbsoluteDeviation(values) / madFactor, wanted.mad_raw, 1e-12);
    };
  }
  return null;
});

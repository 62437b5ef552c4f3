/** Normality tests and moments against R 4.2.2, SciPy and Royston's example (tests/reference/normality.json). */
import { expect } from 'vitest';
import { andersonDarlingNormal, andersonDarlingStatistic } from '#core/stats/anderson-darling.ts';
import { normalLogCdf, normalQuantile } from '#core/stats/normal-distribution.ts';
import { fillibenPosition } from '#core/stats/probability-plot.ts';
import {
  madFactor,
  medianAbsoluteDeviation,
  medianOfSorted,
  quantileType6,
  quantileType7,
  sortedCopy,
} from '#core/stats/quantiles.ts';
import { sampleMoments, skewnessG1 } from '#core/stats/sample-moments.ts';
import { shapiroWilk } from '#core/stats/shapiro-wilk.ts';
import { near, runCases, valuesOf, within } from './reference-cases.ts';

runCases('normality.json', (one) => {
  const { id } = one;
  if (one.expect?.moments) {
    // D'Agostino's K2, Jarque-Bera, kurtosis and type 8 quantiles of the case are no figures of the definitions.
    return ({ expect: wanted }) => {
      const values = valuesOf(one);
      const sorted = sortedCopy(values);
      const moments = sampleMoments(values)!;
      const m = wanted.moments;
      expect(moments.n).toBe(m.n);
      near(moments.mean, m.mean, 1e-12, 'mean');
      near(moments.standardDeviation, m.sd, 1e-10, 'sd');
      near(medianOfSorted(sorted), m.median, 1e-12, 'median');
      near(medianAbsoluteDeviation(values) / madFactor, m.mad_raw, 1e-9, 'mad');
      near(quantileType7(sorted, 0.25), m.q1_type7, 1e-12, 'q1');
      near(quantileType7(sorted, 0.75), m.q3_type7, 1e-12, 'q3');
      near(quantileType6(sorted, 0.25), m.q1_type6, 1e-12, 'q1 type 6');
      near(quantileType6(sorted, 0.75), m.q3_type6, 1e-12, 'q3 type 6');
      within(skewnessG1(values), m.G1, 1e-9 * Math.max(1, Math.abs(m.G1)), 'G1');
      const ad = andersonDarlingNormal(sorted);
      if (!ad.ok) throw new Error('no Anderson-Darling');
      near(ad.value.statistic, wanted.anderson_darling.A2, 1e-9, 'A2');
      near(ad.value.adjusted, wanted.anderson_darling.A2star, 1e-9, 'A2*');
      if (ad.value.atMost) expect(ad.value.p).toBe(1e-20);
      else near(ad.value.p, wanted.anderson_darling.p, 1e-7, 'p of A2');
      const sw = shapiroWilk(sorted);
      if (!sw.ok) throw new Error('no Shapiro-Wilk');
      near(sw.value.statistic, wanted.shapiro_wilk.W, 1e-8, 'W');
      near(sw.value.p, wanted.shapiro_wilk.p, 1e-5, 'p of W');
    };
  }
  if (id.startsWith('shapiro-')) {
    return ({ expect: wanted }) => {
      const got = shapiroWilk(sortedCopy(valuesOf(one)), 3);
      if (!got.ok) throw new Error('no Shapiro-Wilk');
      within(got.value.statistic, wanted.W, printedTo(wanted.W), 'W');
      if (wanted.p !== undefined) within(got.value.p, wanted.p, printedTo(wanted.p), 'p');
    };
  }
  if (id === 'ad-scipy-nortest') {
    return ({ input, expect: wanted }) => {
      const sorted = sortedCopy(input.values);
      const { mean, standardDeviation } = sampleMoments(sorted)!;
      const z = (x: number): number => (x - mean) / standardDeviation!;
      near(
        andersonDarlingStatistic(
          sorted,
          (x) => normalLogCdf(z(x)),
          (x) => normalLogCdf(-z(x)),
        ),
        wanted.A2,
        1e-6,
      );
    };
  }
  if (id.startsWith('probplot-')) {
    return ({ expect: wanted }) => {
      const sorted = sortedCopy(valuesOf(one));
      const scores = Array.from(sorted, (_, i) => normalQuantile(fillibenPosition(i + 1, sorted.length)));
      within(correlation(sorted, scores), wanted.ppcc_filliben, 1e-12);
    };
  }
  return null;
});

/** Half a unit of the last printed place; sources that print more than six decimals assert six. */
function printedTo(value: number): number {
  const decimals = String(value).split('.')[1]?.length ?? 0;
  return 0.6 * 10 ** -Math.min(6, decimals) + (decimals > 6 ? 1e-6 : 0);
}

function correlation(x: ArrayLike<number>, y: ArrayLike<number>): number {
  const mx = sampleMoments(x)!;
  const my = sampleMoments(y)!;
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += (x[i]! - mx.mean) * (y[i]! - my.mean);
  return sum / Math.sqrt(mx.sumOfSquares * my.sumOfSquares);
}

import { describe, expect, test } from 'vitest';
import { baselineEwma, movingRangeConstant, movingRanges } from '#core/stats/baseline-charts.ts';
import { benjaminiHochberg } from '#core/stats/benjamini-hochberg.ts';
import { mannKendall } from '#core/stats/mann-kendall.ts';
import { pettitt } from '#core/stats/pettitt.ts';
import { stepAndRamp } from '#core/stats/step-and-ramp.ts';
import { theilSen } from '#core/stats/theil-sen.ts';
import { expectNear, referenceCase, referenceCases } from './reference.ts';

const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length;

function blockSeries(id: string): { x: number[]; y: number[] } {
  const { input } = referenceCase('definitions-drift.json', id);
  let before = 0;
  const x = input.readings_in_block.map((n: number) => {
    before += n;
    return (before - n / 2) / 1000;
  });
  return { x, y: input.value_percent };
}

// Source: R 4.2.2 and SciPy 1.10.1, computed apart from each other (tests/reference, README there).
describe('one tool over time, against R and SciPy', () => {
  for (const name of ['trend-pin_step40', 'trend-pin_kink40', 'trend-pin_auto30']) {
    test(`definitions-drift.json#${name}`, () => {
      const { expect: want } = referenceCase('definitions-drift.json', name);
      const { x, y } = blockSeries(name);
      const trend = theilSen(x, y);
      if (!trend.ok) throw new Error('no trend');
      expectNear(trend.value.slope, want.theil.slope);
      expectNear(trend.value.low95, want.theil.low95);
      expectNear(trend.value.high95, want.theil.high95);
      const plain = mannKendall(y);
      expect(plain.s).toBe(want.mannKendall.S);
      expectNear(plain.varS, want.mannKendall.varS);
      expectNear(plain.z, want.mannKendall.Z);
      expectNear(plain.p, want.mannKendall.p);
      const corrected = mannKendall(y, { x, slope: trend.value.slope });
      expectNear(corrected.factor, want.hamedRao.factor);
      expectNear(corrected.z, want.hamedRao.Z);
      expectNear(corrected.p, want.hamedRao.p);
      const change = pettitt(y);
      expect(change.k).toBe(want.pettitt.K);
      expect(change.after).toBe(want.pettitt.after);
      expectNear(change.p, want.pettitt.p);
    });
  }
  for (const name of ['pin_step40', 'pin_kink40']) {
    test(`definitions-drift.json#change-${name}`, () => {
      const { expect: want } = referenceCase('definitions-drift.json', `change-${name}`);
      const got = stepAndRamp(blockSeries(`trend-${name}`).y);
      if (!got) throw new Error('no change fit');
      expect(got.shape).toBe(want.shape);
      expectNear(got.bicStep - got.bicRamp, want.bicStep - want.bicRamp);
      expect([got.stepAfter, got.rampAfter]).toEqual([want.stepAfter, want.rampAfter]);
      expect([got.stepSet, got.rampSet, got.interval]).toEqual([want.stepSet, want.rampSet, want.interval]);
    });
  }
  test('definitions-drift.json#ewma-pin_step40', () => {
    const { expect: want } = referenceCase('definitions-drift.json', 'ewma-pin_step40');
    const { y } = blockSeries('trend-pin_step40');
    const own = movingRanges(y, 0, 10);
    const all = [...own, ...movingRanges(blockSeries('trend-pin_kink40').y, 0, 10)];
    const sigmaOwn = mean(own) / movingRangeConstant;
    const sigmaAll = mean(all) / movingRangeConstant;
    expectNear(sigmaOwn, want.sigma_own);
    expectNear(sigmaAll, want.sigma_all);
    const chart = baselineEwma(y, 0, 10, Math.max(sigmaOwn, sigmaAll));
    expectNear(chart.baseline, want.baseline);
    want.z.forEach((z: number, i: number) => {
      expectNear(chart.ewma[i]!, z);
      expectNear(chart.limit[i]!, want.limit[i]);
    });
    expect(chart.alarm).toBe(want.alarm - 1);
  });
  test('definitions-drift.json#ewma-pin_step40-span', () => {
    const { expect: want } = referenceCase('definitions-drift.json', 'ewma-pin_step40-span');
    const { y } = blockSeries('trend-pin_step40');
    const chart = baselineEwma(y, 10, 20, mean(movingRanges(y, 10, 20)) / movingRangeConstant);
    expectNear(chart.baseline, want.baseline);
    want.z.forEach((z: number, i: number) => {
      expectNear(chart.ewma[i]!, z);
      expectNear(chart.limit[i]!, want.limit[i]);
    });
    expect(chart.alarm).toBe(want.alarm === null ? null : want.alarm - 1);
  });
  test('definitions-drift.json#lane-moved: adjusted p as R p.adjust', () => {
    const { input, expect: want } = referenceCase('definitions-drift.json', 'lane-moved');
    benjaminiHochberg(input.pettitt).forEach((p, i) => {
      expectNear(p, want.adjusted[i]);
    });
  });
});

// Source: R 4.2.2 on public series (Nile, Lake Huron ...), and hand arithmetic; tests/reference/trend.json names each.
describe('trend.json', () => {
  const cases = referenceCases('trend.json');
  for (const one of cases.filter((c) => c.expect.mann_kendall)) {
    test(`trend.json#${one.id}`, () => {
      const y: number[] = one.input.values;
      const got = mannKendall(y);
      expect(got.s).toBe(one.expect.mann_kendall.S);
      expectNear(got.varS, one.expect.mann_kendall.varS);
      expectNear(got.z, one.expect.mann_kendall.Z);
      expectNear(got.p, one.expect.mann_kendall.p_two_sided);
      const slope = theilSen(
        y.map((_, i) => i),
        y,
      );
      if (!slope.ok) throw new Error('no slope');
      expectNear(slope.value.slope, one.expect.theil_sen.slope);
      const change = pettitt(y);
      expect(change.k).toBe(one.expect.pettitt.K);
      expect(change.after).toBe(one.expect.pettitt.index);
      expectNear(change.p, one.expect.pettitt.p_approx);
    });
  }
  for (const id of ['mk-strictly-increasing-10', 'mk-all-equal-8', 'mk-ties', 'mk-decreasing-5']) {
    test(`trend.json#${id}`, () => {
      const { input, expect: want } = referenceCase('trend.json', id);
      const got = mannKendall(input.values);
      expect(got.s).toBe(want.S);
      expectNear(got.varS, want.varS, 1e-12);
      expectNear(got.z, want.Z, 1e-12);
      expectNear(got.p, want.p_two_sided, 1e-12);
    });
  }
  test('trend.json#nile-pettitt-1898: the change usually reported for the Nile', () => {
    const { expect: want } = referenceCase('trend.json', 'nile-pettitt-1898');
    expect(1871 + pettitt(referenceCase('trend.json', 'nile').input.values).after - 1).toBe(
      want.last_year_before_change,
    );
  });
});

describe('what a series cannot tell', () => {
  test('all values equal: no trend and no change, and no NaN', () => {
    const y = new Array<number>(25).fill(1.5);
    expect(stepAndRamp(y)).toBeNull();
    expect(mannKendall(y).p).toBe(1);
    expect(pettitt(y).p).toBe(1);
  });
  test('a perfect step is dated exactly', () => {
    const y = [...new Array<number>(12).fill(0), ...new Array<number>(10).fill(2)];
    const got = stepAndRamp(y);
    expect(got?.shape).toBe('step');
    expect(got?.interval).toEqual([12, 12]);
  });
});

/** Laws the statistics obey whatever the data, and the examples of their docstrings. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ascendingValues, countedValues } from '#core/stats/ascending-values.ts';
import { bissellInterval, nearerLimitIndex, potentialIndex } from '#core/stats/capability-indices.ts';
import { decimalStep, displayStep } from '#core/stats/display-step.ts';
import { fitModel } from '#core/stats/fit-model.ts';
import { histogramBins, histogramWidth } from '#core/stats/histogram.ts';
import { quantileType6, quantileType7, sortedCopy } from '#core/stats/quantiles.ts';
import { judgeInterval } from '#core/stats/requirement-verdict.ts';
import { runRuleNames, runSignals } from '#core/stats/run-rules.ts';
import { countedMoments, sampleMoments } from '#core/stats/sample-moments.ts';
import { formSubgroups, groupFigures } from '#core/stats/subgroups.ts';
import { movingRanges } from '#core/stats/within-sigma.ts';
import { newtonMetresPer } from '#core/units/torque-unit.ts';

/** Readings with two decimals, as a display shows them. */
const hundredths = fc.integer({ min: 1000, max: 6000 }).map((value) => value / 100);
const readings = fc.array(hundredths, { minLength: 2, maxLength: 200 });

test('examples of the docstrings', () => {
  expect(sampleMoments([2, 4, 6])?.standardDeviation).toBe(2);
  expect(displayStep([24.0, 24.02, 24.06], 2)).toBe(0.02);
  expect(histogramWidth(0.232, 0.01, 0.01)).toBe(0.2);
});

test('mean and deviation do not depend on the order of the readings, and follow shift and scale', () => {
  fc.assert(
    fc.property(
      readings,
      fc.integer({ min: -50, max: 50 }),
      fc.integer({ min: 1, max: 20 }),
      (values, shift, scale) => {
        const own = sampleMoments(values)!;
        const turned = sampleMoments([...values].reverse())!;
        expect(turned.mean).toBeCloseTo(own.mean, 11);
        expect(turned.standardDeviation!).toBeCloseTo(own.standardDeviation!, 10);
        const moved = sampleMoments(values.map((value) => value * scale + shift))!;
        expect(moved.mean).toBeCloseTo(own.mean * scale + shift, 9);
        expect(moved.standardDeviation!).toBeCloseTo(own.standardDeviation! * scale, 8);
      },
    ),
  );
});

test('counted values give what the readings one by one give', () => {
  fc.assert(
    fc.property(readings, (values) => {
      const sorted = ascendingValues(values, 2);
      expect(Array.from(sorted)).toEqual(Array.from(Float64Array.from(values).sort()));
      const counted = countedValues(sorted);
      if (!counted) return;
      const one = sampleMoments(values)!;
      const many = countedMoments(counted.values, counted.weights)!;
      expect(many.n).toBe(one.n);
      expect(many.mean).toBeCloseTo(one.mean, 11);
      expect(many.sumOfSquares).toBeCloseTo(one.sumOfSquares, 7);
    }),
  );
});

test('fits by distinct value equal fits by reading', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 2300, max: 2330 }), { minLength: 140, maxLength: 160 }), (steps) => {
      const sorted = ascendingValues(
        steps.map((step) => step / 100),
        2,
      );
      const counted = countedValues(sorted)!;
      for (const name of ['normal', 'lognormal', 'weibull', 'gamma'] as const) {
        const one = fitModel(name, sorted, 0.01)!;
        const many = fitModel(name, counted.values, 0.01, counted.weights)!;
        expect(many.logLikelihood!).toBeCloseTo(one.logLikelihood!, 6);
        for (const [key, value] of Object.entries(one.parameters)) {
          expect(Math.abs(many.parameters[key]! / value - 1)).toBeLessThan(1e-6);
        }
      }
    }),
    { numRuns: 20 },
  );
});

test('indices do not depend on the unit, and their interval holds them', () => {
  fc.assert(
    fc.property(
      readings,
      fc.constantFrom(newtonMetresPer['lbf.ft'], newtonMetresPer['lbf.in'], newtonMetresPer['kgf.m']),
      (values, unit) => {
        const { mean, standardDeviation: s } = sampleMoments(values)!;
        if (!s) return;
        const limits = { low: 20, target: 30, high: 40 };
        const scaled = { low: 20 * unit, target: 30 * unit, high: 40 * unit };
        expect(nearerLimitIndex(scaled, mean * unit, s * unit)).toBeCloseTo(nearerLimitIndex(limits, mean, s)!, 9);
        expect(potentialIndex(scaled, s * unit)).toBeCloseTo(potentialIndex(limits, s)!, 9);
        const interval = bissellInterval(nearerLimitIndex(limits, mean, s)!, values.length, values.length - 1);
        expect(interval.low95).toBeLessThan(interval.value);
        expect(interval.high95).toBeGreaterThan(interval.value);
      },
    ),
  );
});

test('no reading lies on an edge of the histogram, and every one is counted', () => {
  fc.assert(
    fc.property(fc.array(hundredths, { minLength: 40, maxLength: 200 }), hundredths, (values, anchor) => {
      // Two neighbours see to it that the display step is a hundredth.
      const sorted = sortedCopy([...values.slice(1), 30, 30.01].slice(-values.length));
      const step = displayStep(sorted, 2);
      const bins = histogramBins(sorted, step, decimalStep(2), anchor)!;
      expect(bins.counts.reduce((a, b) => a + b, 0)).toBe(values.length);
      // A step taken from two far values alone is no grid that the values lie on.
      if (step !== 0.01) return;
      for (const edge of bins.edges) {
        for (const value of sorted) expect(Math.abs(value - edge)).toBeGreaterThan(step / 100);
      }
    }),
    { numRuns: 60 },
  );
});

test('quantiles rise with p and stay inside the sample', () => {
  fc.assert(
    fc.property(
      readings,
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (values, p, q) => {
        const sorted = sortedCopy(values);
        for (const quantile of [quantileType6, quantileType7]) {
          const low = quantile(sorted, Math.min(p, q));
          const high = quantile(sorted, Math.max(p, q));
          expect(low).toBeLessThanOrEqual(high + 1e-12);
          expect(low).toBeGreaterThanOrEqual(sorted[0]!);
          expect(high).toBeLessThanOrEqual(sorted[sorted.length - 1]!);
        }
      },
    ),
  );
});

test('groups stay inside their stratum, are full, and are formed in order', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 0, max: 3 }), { minLength: 1, maxLength: 120 }),
      fc.integer({ min: 1, max: 7 }),
      (labels, size) => {
        const names = [...new Set(labels)];
        const strata = labels.map((label) => names.indexOf(label));
        const { groupOf, count } = formSubgroups(strata, size);
        for (let g = 0; g < count; g++) {
          const members = labels.map((_, i) => i).filter((i) => groupOf[i] === g);
          expect(members).toHaveLength(size);
          expect(new Set(members.map((i) => strata[i])).size).toBe(1);
        }
        names.forEach((_, stratum) => {
          const rest = labels.filter((_, i) => strata[i] === stratum && groupOf[i] === -1).length;
          expect(rest).toBeLessThan(size);
        });
      },
    ),
  );
});

test('figures of groups equal those of each group by itself', () => {
  fc.assert(
    fc.property(readings, fc.integer({ min: 2, max: 6 }), (values, size) => {
      const { groupOf, count } = formSubgroups(new Int32Array(values.length), size);
      const figures = groupFigures(values, groupOf, count);
      for (let g = 0; g < count; g++) {
        const own = sampleMoments(values.slice(g * size, (g + 1) * size))!;
        expect(figures.mean[g]).toBeCloseTo(own.mean, 10);
        expect(figures.sumOfSquares[g]).toBeCloseTo(own.sumOfSquares, 7);
        expect(figures.range[g]).toBeCloseTo(own.greatest - own.least, 10);
      }
    }),
  );
});

test('moving ranges never cross from one run into another', () => {
  fc.assert(
    fc.property(readings, (values) => {
      const half = Math.floor(values.length / 2);
      const runs = values.map((_, i) => (i < half ? 0 : 1));
      const { ranges } = movingRanges(values, runs);
      expect(ranges.length).toBe(Math.max(0, half - 1) + Math.max(0, values.length - half - 1));
    }),
  );
});

test('turning the chart upside down turns no signal away', () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: -4, max: 4, noNaN: true }), { maxLength: 80 }), (scores) => {
      const places = (list: readonly number[]) => runSignals(list, runRuleNames).map((one) => `${one.rule}@${one.at}`);
      expect(places(scores.map((score) => -score))).toEqual(places(scores));
    }),
  );
});

test('a requirement that is shown stays shown when it is lowered', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0, max: 2, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0.5, max: 2, noNaN: true }),
      (low, width, required) => {
        if (judgeInterval(low, low + width, required) === 'shown') {
          expect(judgeInterval(low, low + width, required * 0.9)).toBe('shown');
        }
      },
    ),
  );
});

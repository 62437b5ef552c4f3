/** Control charts against NIST e-Handbook, textbook data and brute force (tests/reference/charts.json). */
import { expect } from 'vitest';
import { deviationLimits, locationLimits, rangeLimits } from '#core/stats/control-limits.ts';
import { cusumChart } from '#core/stats/cusum.ts';
import { ewmaChart } from '#core/stats/ewma.ts';
import { type RunRuleName, runRuleNames, runSignals } from '#core/stats/run-rules.ts';
import { formSubgroups, groupFigures } from '#core/stats/subgroups.ts';
import { movingRanges, withinSigmaOfGroups, withinSigmaOfRanges } from '#core/stats/within-sigma.ts';
import { caseOf, near, nearAll, type ReferenceCase, runCases, within } from './reference-cases.ts';
import { cusumArl, ewmaArl, rulesArl, shewhartArl } from './run-length-check.ts';

function individuals(values: readonly number[]) {
  const moving = movingRanges(values, new Int32Array(values.length));
  const sigma = withinSigmaOfRanges(moving, 'mr-bar');
  if (!sigma.ok) throw new Error('no sigma');
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  return {
    moving,
    mean,
    sigma: sigma.value,
    limits: locationLimits(mean, sigma.value.sigma, 1),
    mr: rangeLimits(sigma.value.statistic, 2),
  };
}

const rowsOf = (one: ReferenceCase): number[][] =>
  one.input.subgroups ?? caseOf(String(one.input.data_ref).split(' ')[0]!).input.subgroups;

function grouped(rows: number[][]) {
  const values = rows.flat();
  const size = rows[0]!.length;
  const { groupOf, count } = formSubgroups(new Int32Array(values.length), size);
  const figures = groupFigures(values, groupOf, count);
  const center = values.reduce((a, b) => a + b, 0) / values.length;
  const byS = withinSigmaOfGroups(figures, 's-bar');
  const byR = withinSigmaOfGroups(figures, 'r-bar');
  if (!byS.ok || !byR.ok) throw new Error('no sigma');
  const sds = Array.from(figures.sumOfSquares, (squares) => Math.sqrt(squares / (size - 1)));
  return { figures, size, center, byS: byS.value, byR: byR.value, sds };
}

/** 1-based places beyond limits. */
const beyond = (values: ArrayLike<number>, lower: number, upper: number): number[] =>
  Array.from(values, (value, i) => (value > upper || value < lower ? i + 1 : 0)).filter((i) => i > 0);

const ruleKeys: [string, RunRuleName][] = [
  ['W1_beyond_3s', 'beyond-3-sigma'],
  ['W2_2of3_beyond_2s', '2-of-3-beyond-2-sigma'],
  ['W3_4of5_beyond_1s', '4-of-5-beyond-1-sigma'],
  ['N2_9_same_side', '9-on-one-side'],
  ['N3_6_points_monotone', '6-rising-or-falling'],
  ['N4_14_alternating', '14-alternating'],
  ['N7_15_within_1s', '15-within-1-sigma'],
  ['N8_8_outside_1s', '8-beyond-1-sigma'],
];

runCases('charts.json', (one) => {
  const { id } = one;
  if (id === 'nist-individuals') {
    return ({ input, expect: wanted }) => {
      const got = individuals(input.values);
      within(got.mean, wanted.mean, 5e-5);
      within(got.sigma.statistic, wanted.mr_bar, 5e-5);
      // The handbook divides by the rounded 1.128: 2e-3 of 3 sigma.
      within(got.limits.upper, wanted.UCL, 2.5e-3);
      within(got.limits.lower, wanted.LCL, 2.5e-3);
      const rounded = locationLimits(got.mean, got.sigma.statistic / input.d2, 1);
      within(rounded.upper, wanted.UCL, 6e-5);
      within(rounded.lower, wanted.LCL, 6e-5);
      expect(beyond(input.values, got.limits.lower, got.limits.upper)).toEqual(wanted.signals);
    };
  }
  if (id === 'montgomery-mortgage-imr') {
    return ({ input, expect: wanted }) => {
      const got = individuals(input.values);
      within(got.mean, wanted.mean, 5e-3);
      within(got.sigma.statistic, wanted.mr_bar, 5e-3);
      within(got.limits.upper, wanted.UCL, 1.5e-2);
      within(got.limits.lower, wanted.LCL, 1.5e-2);
      within(got.mr.upper, wanted.MR_UCL, 1e-2);
    };
  }
  if (id === 'nist-individuals-exact' || /^imr-/.test(id)) {
    return ({ input, expect: wanted }) => {
      const got = individuals(input.values);
      near(got.mean, wanted.mean, 1e-11);
      nearAll(got.moving.ranges, wanted.moving_ranges, 1e-10, 'ranges');
      near(got.sigma.statistic, wanted.mr_bar, 1e-11);
      near(got.sigma.sigma, wanted.sigma_hat, 1e-11);
      near(got.limits.upper, wanted.UCL, 1e-11);
      near(got.limits.lower, wanted.LCL, 1e-11);
      near(got.mr.upper, wanted.MR_UCL, 1e-10);
      expect(beyond(input.values, got.limits.lower, got.limits.upper)).toEqual(wanted.signals_individuals);
      // A moving range is named by its later point.
      const high = beyond(got.moving.ranges, 0, got.mr.upper).map((i) => got.moving.at[i - 1]! + 1);
      expect(high).toEqual(wanted.signals_mr);
    };
  }
  if (id === 'montgomery-flow-width-xbar-r') {
    return ({ input, expect: wanted }) => {
      const got = grouped(rowsOf(one));
      within(got.center, wanted.xbarbar, 5e-5);
      within(got.byR.statistic, wanted.rbar, 5e-6);
      const limits = locationLimits(got.center, got.byR.sigma, got.size);
      // Printed with A2 = 0.577 and D4 = 2.114, each rounded.
      within(limits.upper, wanted.Xbar_UCL, 1.5e-4);
      within(limits.lower, wanted.Xbar_LCL, 1.5e-4);
      within(rangeLimits(got.byR.statistic, got.size).upper, wanted.R_UCL, 2.5e-4);
      expect(beyond(got.figures.mean, limits.lower, limits.upper)).toEqual(wanted.signals);
      expect(input.D3).toBe(0);
    };
  }
  if (id === 'montgomery-piston-xbar-s') {
    return ({ expect: wanted }) => {
      const got = grouped(rowsOf(one));
      within(got.center, wanted.xbarbar, 5e-4);
      within(got.byS.statistic, wanted.sbar, 5e-5);
      const limits = locationLimits(got.center, got.byS.sigma, got.size);
      within(limits.upper, wanted.Xbar_UCL, 1e-3);
      within(limits.lower, wanted.Xbar_LCL, 1e-3);
      within(deviationLimits(got.byS.statistic, got.size).upper, wanted.S_UCL, 5e-5);
      expect(deviationLimits(got.byS.statistic, got.size).lower).toBe(wanted.S_LCL);
      expect(beyond(got.figures.mean, limits.lower, limits.upper)).toEqual(wanted.signals);
    };
  }
  if (/xbar-(r|s)(-exact)?$/.test(id)) {
    const isR = /xbar-r/.test(id);
    return ({ expect: wanted }) => {
      const got = grouped(rowsOf(one));
      const sigma = isR ? got.byR : got.byS;
      near(got.center, wanted.xbarbar, 1e-10);
      near(sigma.statistic, isR ? wanted.rbar : wanted.sbar, 1e-10);
      near(sigma.sigma, wanted.sigma_hat, 1e-10);
      const limits = locationLimits(got.center, sigma.sigma, got.size);
      near(limits.upper, wanted.Xbar_UCL, 1e-10);
      near(limits.lower, wanted.Xbar_LCL, 1e-10);
      const spread = isR ? rangeLimits(sigma.statistic, got.size) : deviationLimits(sigma.statistic, got.size);
      near(spread.upper, isR ? wanted.R_UCL : wanted.S_UCL, 1e-10);
      near(spread.lower, isR ? wanted.R_LCL : wanted.S_LCL, 1e-10);
      nearAll(got.figures.mean, wanted.means, 1e-10, 'means');
      const plotted = isR ? got.figures.range : got.sds;
      nearAll(plotted, isR ? wanted.ranges : wanted.sds, 1e-9, 'spread');
      expect(beyond(got.figures.mean, limits.lower, limits.upper)).toEqual(wanted.signals_mean);
      expect(beyond(plotted, spread.lower, spread.upper)).toEqual(isR ? wanted.signals_r : wanted.signals_s);
    };
  }
  if (id === 'nist-ewma') {
    return ({ input, expect: wanted }) => {
      const got = ewmaChart(input.values, input.z0, input.s, input.lambda, input.k, true);
      wanted.ewma.forEach((z: number, i: number) => {
        within(got.z[i], z, 6e-3, `z${i + 1}`);
      });
      within(got.upper[0], wanted.UCL, 5e-4);
      within(got.lower[0], wanted.LCL, 5e-4);
      expect(got.signals).toEqual(wanted.signals);
    };
  }
  if (id === 'montgomery-ewma') {
    return ({ input, expect: wanted }) => {
      const got = ewmaChart(input.values, input.z0, input.s, input.lambda, input.L);
      within(got.z[0], wanted.z1, 5e-4);
      within(got.z[1], wanted.z2, 5e-5);
      within(got.upper[0], wanted.UCL1, 5e-3);
      within(got.lower[0], wanted.LCL1, 5e-3);
      within(got.upper[got.upper.length - 1], wanted.steady_UCL, 5e-3);
    };
  }
  if (/ewma-(exact|timevarying)$/.test(id)) {
    return ({ input, expect: wanted }) => {
      const got = ewmaChart(
        input.values,
        input.z0,
        input.s,
        input.lambda,
        input.L,
        input.time_varying_limits === false,
      );
      nearAll(got.z, wanted.z, 1e-12, 'z');
      nearAll(got.upper, wanted.UCL, 1e-12, 'upper');
      nearAll(got.lower, wanted.LCL, 1e-12, 'lower');
      if (wanted.signals) expect(got.signals.map((i) => i + 1)).toEqual(wanted.signals);
    };
  }
  if (id === 'nist-cusum' || id === 'montgomery-cusum') {
    return ({ input, expect: wanted }) => {
      const got = cusumChart(
        input.values.map((y: number) => y - input.target),
        input.k,
        input.h,
      );
      expect(got.signals[0]! + 1).toBe(wanted.first_signal);
      if (wanted.S_hi_1_to_29) {
        wanted.S_hi_1_to_29.forEach((s: number, i: number) => {
          within(got.high[i], s, 6e-3, `S${i + 1}`);
        });
      }
    };
  }
  if (/cusum-(exact|fir)$/.test(id)) {
    return ({ input, expect: wanted }) => {
      const scores = input.values.map((y: number) => y - input.target);
      const got = cusumChart(scores, input.k, input.h, input.headstart !== undefined, false);
      expect(input.headstart ?? input.h / 2).toBe(input.h / 2);
      got.high.forEach((s, i) => {
        within(s, wanted.S_hi[i], 1e-9, `S+${i + 1}`);
        within(got.low[i], wanted.S_lo[i], 1e-9, `S-${i + 1}`);
      });
      const places = (sums: Float64Array): number[] => beyond(sums, -1, input.h);
      expect(places(got.high)).toEqual(wanted.signals_hi);
      expect(places(got.low)).toEqual(wanted.signals_lo);
    };
  }
  if (/^rules-seq-/.test(id)) {
    return ({ input, expect: wanted }) => {
      const hits = wanted.hits_1_based_at_last_point;
      for (const [key, rule] of ruleKeys) {
        const got = runSignals(input.z, [rule]).map((signal) => signal.at + 1);
        // A run on one side and a trend are one signal however long (definitions 12): only the first of each row of hits.
        const once = rule === '9-on-one-side' || rule === '6-rising-or-falling';
        const goal = hits[key].filter((at: number, i: number) => !once || at !== hits[key][i - 1] + 1);
        expect(got, key).toEqual(goal);
      }
      expect(runRuleNames).toHaveLength(ruleKeys.length);
    };
  }
  if (/^arl-/.test(id) || id === 'cusum-h-for-arl370') return runLengths(one);
  return null;
});

/** Run lengths by the charts' own code: simulated, seeded, within Monte Carlo error (4 standard errors) of the table. */
function runLengths(one: ReferenceCase): ((one: ReferenceCase) => void) | null {
  const { id } = one;
  // Long runs cost most: shifts whose run length is above 150 are left to the other cases of the same chart.
  const shifts = (input: ReferenceCase['input'], arl: readonly number[]): number[] =>
    input.shift_sigma.map((_: number, i: number) => i).filter((i: number) => arl[i]! <= 160);
  if (id === 'arl-shewhart-3sigma') {
    return ({ input, expect: wanted }) => {
      for (const i of shifts(input, wanted.arl)) shewhartArl(input.shift_sigma[i], wanted.arl[i]);
    };
  }
  if (/^arl-cusum-k0.5-h[45](-printed)?$/.test(id)) {
    return ({ input, expect: wanted }) => {
      const arl: number[] = wanted.arl_two_sided ?? wanted.arl;
      for (const i of shifts(input, arl))
        cusumArl(input.k, input.h, input.shift_sigma[i], arl[i]!, 2, rounding(wanted));
    };
  }
  if (id === 'arl-cusum-nist-one-sided') {
    return ({ input, expect: wanted }) => {
      input.h.forEach((h: number, i: number) => {
        cusumArl(input.k, h, 1, wanted.arl_shift_1sigma[i], 1, 0.005);
      });
      cusumArl(input.k, 4, 0, wanted.arl_shift_0[0], 1, 0.005);
    };
  }
  if (id === 'cusum-h-for-arl370') {
    return ({ input, expect: wanted }) => {
      // h has two decimals, so the run length is only near 370: 2 % beside Monte Carlo error.
      input.k.forEach((k: number, i: number) => {
        cusumArl(k, wanted.h[i], 0, wanted.nominal_arl0, 2, 0.02);
      });
    };
  }
  if (/^arl-weco-[123]+$/.test(id)) {
    const names = { '1': 'beyond-3-sigma', '2': '2-of-3-beyond-2-sigma', '3': '4-of-5-beyond-1-sigma' } as const;
    return ({ input, expect: wanted }) => {
      const rules = input.rules.map((rule: keyof typeof names) => names[rule]);
      for (const i of shifts(input, wanted.arl)) rulesArl(rules, input.shift_sigma[i], wanted.arl[i]);
    };
  }
  if (/^arl-ewma-/.test(id)) {
    return ({ input, expect: wanted }) => {
      for (const i of shifts(input, wanted.arl)) {
        ewmaArl(input.lambda, input.L, input.shift_sigma[i], wanted.arl[i], rounding(wanted, id));
      }
    };
  }
  return null;
}

/** Printed tables carry three significant digits, EWMA ones two. */
function rounding(wanted: ReferenceCase['expect'], id = ''): number {
  if (wanted.arl_two_sided) return 0;
  return id.endsWith('printed') ? 0.025 : id.includes('ewma') ? 0 : 0.005;
}

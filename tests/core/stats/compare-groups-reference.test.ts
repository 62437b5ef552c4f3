/** Comparisons of groups against R 4.2.2, SciPy's tests and NIST e-Handbook (tests/reference/anova-gauge.json). */

import type { Computed } from '#core/outcome.ts';
import { brownForsythe, kruskalWallis, meanDifference, oneWayAnova, welchAnova } from '#core/stats/compare-groups.ts';
import { sampleMoments } from '#core/stats/sample-moments.ts';
import { studentTwoSidedP } from '#core/stats/student-distribution.ts';
import { caseOf, near, nearAll, type ReferenceCase, runCases, within } from './reference-cases.ts';

const groupsOf = (one: ReferenceCase): number[][] =>
  one.input.groups ?? caseOf(String(one.input.data_ref).split(' ')[0]!).input.groups;

function got<T>(outcome: Computed<T>): T {
  if (!outcome.ok) throw new Error(outcome.reason);
  return outcome.value;
}

runCases('anova-gauge.json', (one) => {
  const { id } = one;
  if (one.expect?.kruskal) {
    // Bartlett, Levene about means and Fligner of the case are no figures of the definitions.
    return ({ expect: wanted }) => {
      const groups = groupsOf(one);
      nearAll(
        groups.map((group) => sampleMoments(group)!.mean),
        wanted.means,
        1e-12,
        'means',
      );
      nearAll(
        groups.map((group) => sampleMoments(group)!.standardDeviation!),
        wanted.sds,
        1e-10,
        'sds',
      );
      const anova = got(oneWayAnova(groups));
      near(anova.betweenSum, wanted.anova.ss[0], 1e-9, 'ss between');
      near(anova.withinSum, wanted.anova.ss[1], 1e-9, 'ss within');
      near(anova.F, wanted.anova.F, 1e-9, 'F');
      near(anova.p, wanted.anova.p, 1e-9, 'p');
      const welch = got(welchAnova(groups));
      near(welch.statistic, wanted.welch.F, 1e-9, 'Welch');
      near(welch.df2, wanted.welch.df2, 1e-9, 'Welch df');
      near(welch.p, wanted.welch.p, 1e-9, 'Welch p');
      const kruskal = got(kruskalWallis(groups));
      near(kruskal.statistic, wanted.kruskal.H, 1e-9, 'H');
      near(kruskal.p, wanted.kruskal.p, 1e-9, 'H p');
      const spread = got(brownForsythe(groups));
      near(spread.F, wanted.brown_forsythe_median.F, 1e-9, 'Brown-Forsythe');
      near(spread.p, wanted.brown_forsythe_median.p, 1e-9, 'Brown-Forsythe p');
    };
  }
  if (id === 'scipy-bartlett-gear') {
    return ({ expect: wanted }) => {
      const spread = got(brownForsythe(groupsOf(one)));
      within(spread.F, wanted.levene_median_W, 1e-7);
      within(spread.p, wanted.levene_p, 1e-7);
    };
  }
  if (id === 'nist-levene-gear') {
    return ({ expect: wanted }) => within(got(brownForsythe(groupsOf(one))).F, wanted.W, 1e-4);
  }
  if (id === 'nist-anova-gear') {
    return ({ expect: wanted }) => {
      const anova = got(oneWayAnova(groupsOf(one)));
      within(anova.betweenSum, wanted.ss_between, 1e-6);
      within(anova.withinSum, wanted.ss_within, 1e-6);
      within(anova.F, wanted.F, 1e-4);
    };
  }
  if (id === 'nist-anova-7.4.3.3') {
    return ({ expect: wanted }) => {
      const anova = got(oneWayAnova(groupsOf(one)));
      within(anova.betweenSum, wanted.ss_treatments, 6e-4);
      within(anova.withinSum, wanted.ss_error, 6e-4);
      within(anova.betweenMean, wanted.ms_treatments, 6e-4);
      within(anova.withinMean, wanted.ms_error, 6e-4);
      within(anova.F, wanted.F, 6e-3);
    };
  }
  if (id === 'ttests-sleep') {
    // Pooled and paired tests of the case are no figures of the definitions.
    return ({ input, expect: wanted }) => {
      const difference = meanDifference(input.g1, input.g2)!;
      near(difference.low, wanted.welch.ci[0], 1e-10);
      near(difference.high, wanted.welch.ci[1], 1e-10);
      near(difference.df, wanted.welch.df, 1e-10);
      near(studentTwoSidedP(wanted.welch.t, difference.df), wanted.welch.p, 1e-10);
    };
  }
  return null;
});

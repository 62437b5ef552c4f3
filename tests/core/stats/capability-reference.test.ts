/** Indices, intervals, percentile method against tests/reference/capability.json (NIST e-Handbook, R 4.2.2, SciPy). */
import { expect } from 'vitest';
import {
  bissellInterval,
  chiSquareInterval,
  cpmIndex,
  type Limits,
  nearerLimitIndex,
  potentialIndex,
} from '#core/stats/capability-indices.ts';
import { rangeConstants } from '#core/stats/control-constants.ts';
import { expectedShareNormal } from '#core/stats/expected-share.ts';
import { gammaModel } from '#core/stats/fit-gamma.ts';
import { fitLognormal } from '#core/stats/fit-lognormal.ts';
import { fitWeibull, weibullModel } from '#core/stats/fit-weibull.ts';
import type { FittedModel } from '#core/stats/fitted-model.ts';
import { normalQuantile, normalSurvival } from '#core/stats/normal-distribution.ts';
import { percentileIndices, percentilePoints } from '#core/stats/percentile-indices.ts';
import { sampleMoments } from '#core/stats/sample-moments.ts';
import { formSubgroups, groupFigures } from '#core/stats/subgroups.ts';
import { withinSigmaOfGroups } from '#core/stats/within-sigma.ts';
import { caseOf, near, type ReferenceCase, runCases, valuesOf, within } from './reference-cases.ts';

const limitsOf = (input: ReferenceCase['input']): Limits => ({
  low: input.LSL ?? null,
  target: input.target ?? null,
  high: input.USL ?? null,
});

/** Every index of one mean and sigma against the printed block; ppm parts of the block are one-sided shares. */
function block(limits: Limits, mean: number, sigma: number, wanted: Record<string, number>, relative: number): void {
  const { low, high, target } = limits;
  const up: Limits = { low: null, target: null, high };
  const down: Limits = { low, target: null, high: null };
  if ('Cp' in wanted) near(potentialIndex(limits, sigma), wanted.Cp!, relative, 'Cp');
  if ('Cpu' in wanted) near(nearerLimitIndex(up, mean, sigma), wanted.Cpu!, relative, 'Cpu');
  if ('Cpl' in wanted) near(nearerLimitIndex(down, mean, sigma), wanted.Cpl!, relative, 'Cpl');
  if ('Cpk' in wanted) near(nearerLimitIndex(limits, mean, sigma), wanted.Cpk!, relative, 'Cpk');
  if ('Cpm' in wanted && low !== null && high !== null && target !== null) {
    // The reference computes Cpm for any target; the figure itself is given only for a target in the middle.
    const middle: Limits = { low: target - (high - low) / 2, target, high: target + (high - low) / 2 };
    near(cpmIndex(middle, mean, sigma, 50)?.value, wanted.Cpm!, relative, 'Cpm');
  }
  const ppm = (of: Limits): number => expectedShareNormal(of, mean, sigma, 50).value * 1e6;
  if ('expected_ppm_total' in wanted) near(ppm(limits), wanted.expected_ppm_total!, relative * 100, 'total');
  if ('expected_ppm_below' in wanted && low !== null)
    near(ppm(down), wanted.expected_ppm_below!, relative * 100, 'below');
  if ('expected_ppm_above' in wanted && high !== null)
    near(ppm(up), wanted.expected_ppm_above!, relative * 100, 'above');
}

function subgroupsOf(name: string): { values: number[]; figures: ReturnType<typeof groupFigures> } {
  const rows: number[][] = caseOf(name).input.subgroups;
  const values = rows.flat();
  const { groupOf, count } = formSubgroups(new Int32Array(values.length), rows[0]!.length);
  return { values, figures: groupFigures(values, groupOf, count) };
}

const sigmaOf = (figures: ReturnType<typeof groupFigures>, method: 'pooled' | 's-bar' | 'r-bar'): number => {
  const found = withinSigmaOfGroups(figures, method);
  if (!found.ok) throw new Error(method);
  return found.value.sigma;
};

runCases('capability.json', (one) => {
  const { id } = one;
  if (id === 'nist-6.1.6') {
    return ({ input, expect: wanted }) => {
      within(potentialIndex(limitsOf(input), input.sd), wanted.Cp, 5e-5);
      within(nearerLimitIndex(limitsOf(input), input.mean, input.sd), wanted.Cpk, 5e-5);
      within(nearerLimitIndex({ low: null, target: null, high: 20 }, input.mean, input.sd), wanted.Cpu, 5e-5);
      within(nearerLimitIndex({ low: 8, target: null, high: null }, input.mean, input.sd), wanted.Cpl, 5e-5);
      within(cpmIndex(limitsOf(input), input.mean, input.sd, 50)?.value, wanted.Cpm, 5e-5);
    };
  }
  if (id === 'nist-6.1.6-exact' || id === 'mean-outside-limits') {
    return ({ input, expect: wanted }) => block(limitsOf(input), input.mean, input.sd, wanted, 1e-13);
  }
  if (id === 'cp-reject-rate') {
    return ({ input, expect: wanted }) => {
      input.Cp.forEach((cp: number, i: number) => {
        const share = expectedShareNormal({ low: -3 * cp, target: 0, high: 3 * cp }, 0, 1, 50).value;
        near(share * 1e6, wanted.exact_total_ppm[i], 1e-10, `Cp ${cp}`);
      });
    };
  }
  if (id.startsWith('ppm-one-sided-')) {
    return ({ input, expect: wanted }) => {
      near(normalSurvival(3 * input.C) * 1e6, wanted.ppm_one_sided, 1e-12);
      const both = expectedShareNormal({ low: -3 * input.C, target: null, high: 3 * input.C }, 0, 1, 50).value;
      near(both * 1e6, wanted.ppm_two_sided_centred, 1e-12);
    };
  }
  if (id === 'montgomery-cpk-ci') {
    return ({ input, expect: wanted }) => {
      const got = bissellInterval(input.Cpk_hat, input.n, input.n - 1);
      near(got.low95, wanted.ci_from_formula[0], 1e-12);
      near(got.high95, wanted.ci_from_formula[1], 1e-12);
    };
  }
  if (id === 'montgomery-flow-width-cp') {
    return ({ input, expect: wanted }) => {
      within(input.Rbar / rangeConstants(5).d2, wanted.sigma_hat, 5e-5);
      within(potentialIndex(limitsOf(input), input.Rbar / rangeConstants(5).d2), wanted.Cp, 5e-4);
    };
  }
  if (id === 'flow-width-full') {
    return ({ input, expect: wanted }) => {
      const { values, figures } = subgroupsOf('charts.json#montgomery-flow-width-xbar-r');
      const moments = sampleMoments(values)!;
      near(sigmaOf(figures, 'r-bar'), wanted.sigma_within_Rbar_d2, 1e-10);
      near(sigmaOf(figures, 'pooled'), wanted.sigma_within_pooled, 1e-10);
      near(sigmaOf(figures, 's-bar'), wanted.sigma_within_sbar_c4, 1e-10);
      near(moments.standardDeviation, wanted.sigma_overall, 1e-10);
      block(limitsOf(input), moments.mean, sigmaOf(figures, 'r-bar'), wanted.within_Rbar_d2, 1e-10);
      block(limitsOf(input), moments.mean, sigmaOf(figures, 'pooled'), wanted.within_pooled, 1e-10);
      if (wanted.overall) block(limitsOf(input), moments.mean, moments.standardDeviation!, wanted.overall, 1e-10);
    };
  }
  if (id === 'piston-ring-full') {
    return ({ input, expect: wanted }) => {
      const { values, figures } = subgroupsOf('charts.json#montgomery-piston-xbar-s');
      const moments = sampleMoments(values)!;
      near(sigmaOf(figures, 'r-bar'), wanted.sigma_within_Rbar_d2, 1e-9);
      block(limitsOf(input), moments.mean, sigmaOf(figures, 'r-bar'), wanted.within, 1e-9);
      near(moments.standardDeviation, wanted.sigma_overall, 1e-9);
      block(limitsOf(input), moments.mean, moments.standardDeviation!, wanted.overall, 1e-9);
    };
  }
  if (/^zarr13-(two-sided|usl-only|lsl-only)$/.test(id)) {
    return ({ input, expect: wanted }) => {
      const moments = sampleMoments(valuesOf(one))!;
      block(limitsOf(input), moments.mean, moments.standardDeviation!, wanted, 1e-11);
      if (input.LSL === null || input.USL === null) {
        expect(potentialIndex(limitsOf(input), moments.standardDeviation!)).toBeNull();
      }
    };
  }
  if (id === 'machine-cm-cmk-50') {
    return ({ input, expect: wanted }) => {
      const moments = sampleMoments(input.values)!;
      near(moments.standardDeviation, wanted.s, 1e-11);
      near(potentialIndex(limitsOf(input), moments.standardDeviation!), wanted.Cm, 1e-11);
      near(nearerLimitIndex(limitsOf(input), moments.mean, moments.standardDeviation!), wanted.Cmk, 1e-11);
    };
  }
  if (/^ci-n\d+-c[\d.]+-[\d.]+$/.test(id)) {
    // The one-sided bounds of the case are no figure of the definitions (intervals are two-sided, equal tails).
    return ({ input, expect: wanted }) => {
      const cp = chiSquareInterval(input.index_hat, input.n - 1, input.confidence);
      near(cp.low95, wanted.cp_two_sided_chi2[0], 1e-10);
      near(cp.high95, wanted.cp_two_sided_chi2[1], 1e-10);
      const cpk = bissellInterval(input.index_hat, input.n, input.n - 1, input.confidence);
      near(cpk.low95, wanted.cpk_two_sided_bissell[0], 1e-10);
      near(cpk.high95, wanted.cpk_two_sided_bissell[1], 1e-10);
    };
  }
  if (id === 'cpm-ci-boyles') {
    return ({ input, expect: wanted }) => {
      const got = cpmIndex(limitsOf(input), input.mean, input.sd, input.n);
      near(got?.value, wanted.Cpm, 1e-10);
      near(got?.low95, wanted.ci[0], 1e-10);
      near(got?.high95, wanted.ci[1], 1e-10);
    };
  }
  if (id.startsWith('percentile-')) {
    return ({ input, expect: wanted }) => {
      const model = modelOf(input.distribution);
      percentilePoints.forEach((p) => {
        near(model.quantile(p), wanted[`x${p}`], 1e-11, `x${p}`);
      });
      const got = percentileIndices(model, limitsOf(input));
      if (wanted.Pp !== undefined) near(got?.Pp, wanted.Pp, 1e-11);
      near(got?.Ppk, wanted.Ppk, 1e-11);
    };
  }
  if (id === 'weibull-mle-wind') {
    return ({ expect: wanted }) => {
      const fitted = fitWeibull(valuesOf(one))!;
      near(fitted.parameters.shape, wanted.shape, 1e-7);
      near(fitted.parameters.scale, wanted.scale, 1e-7);
      near(fitted.logLikelihood, wanted.loglik, 1e-9);
      percentilePoints.forEach((p, i) => {
        near(fitted.quantile(p), wanted.q[i], 1e-7);
      });
    };
  }
  if (id === 'lognormal-mle-wind') {
    return ({ expect: wanted }) => {
      const fitted = fitLognormal(valuesOf(one))!;
      near(fitted.parameters.meanlog, wanted.meanlog, 1e-11);
      near(fitted.parameters.sdlog, wanted.sdlog_mle, 1e-11);
      percentilePoints.forEach((p, i) => {
        near(fitted.quantile(p), wanted.q_mle[i], 1e-11);
      });
    };
  }
  return null;
});

/** A model written as the R quantile call that made the case. */
function modelOf(call: string): FittedModel {
  const parameter = (name: string): number => {
    const text = new RegExp(`${name}=([^,)]+(?:\\([^)]*\\))?)`).exec(call)?.[1] ?? '';
    const root = /^([\d.]+)\*sqrt\((\d+)\)?$/.exec(text);
    return root ? Number(root[1]) * Math.sqrt(Number(root[2])) : Number(text);
  };
  if (call.startsWith('qweibull')) return weibullModel(parameter('shape'), parameter('scale'), null);
  if (call.startsWith('qgamma')) return gammaModel(parameter('shape'), 1 / parameter('rate'), null);
  const quantile: (p: number) => number = call.startsWith('qlnorm')
    ? (p) => Math.exp(parameter('meanlog') + parameter('sdlog') * normalQuantile(p))
    : (p) => parameter('mean') + parameter('sd') * normalQuantile(p);
  // Only quantiles are asked for here.
  return { quantile } as FittedModel;
}

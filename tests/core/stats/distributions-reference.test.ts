/** Distribution functions and proportion intervals against R 4.2.2 and mpmath (tests/reference/distributions.json). */

import beta from '@stdlib/stats-base-dists-beta';
import f from '@stdlib/stats-base-dists-f';
import { expect } from 'vitest';
import { betaQuantile } from '#core/stats/beta-distribution.ts';
import { chiSquareCdf, chiSquareQuantile, chiSquareSurvival } from '#core/stats/chi-square-distribution.ts';
import { binomialQuantile, poissonQuantile } from '#core/stats/counting-distributions.ts';
import { fCdf, fSurvival } from '#core/stats/f-distribution.ts';
import { weibullModel } from '#core/stats/fit-weibull.ts';
import { gammaCdf, gammaQuantile, gammaSurvival } from '#core/stats/gamma-distribution.ts';
import {
  normalCdf,
  normalDensity,
  normalLogCdf,
  normalQuantile,
  normalSurvival,
} from '#core/stats/normal-distribution.ts';
import { clopperPearsonInterval, wilsonInterval } from '#core/stats/proportion-interval.ts';
import { studentSurvival, studentUpperQuantile } from '#core/stats/student-distribution.ts';
import { type Check, near, numberOf, type ReferenceCase, runCases } from './reference-cases.ts';

/** Digits that R documents; subnormal results are compared absolutely by nature. */
const relative = 1e-11;

runCases('distributions.json', (one) => {
  if (one.id.startsWith('propci-')) return proportion;
  const call = /^([dpq])(\w+)\(x(?:, (.*))?\)$/.exec(one.input?.function ?? '');
  if (!call) return null;
  const [, kind, name = '', rest = ''] = call;
  const upper = /lower.tail=FALSE/.test(rest);
  const log = /log.p=TRUE/.test(rest);
  const args = rest
    .replace(/,? ?(lower\.tail=FALSE|log\.p=TRUE)/, '')
    .split(', ')
    .filter(Boolean)
    .map((part) => Number(part.replace(/.*=/, '')));
  const [a = 0, b = 0] = args;
  if (/ncp=/.test(rest)) return null;
  const key = `${kind}${name}${upper ? '-upper' : ''}${log ? '-log' : ''}`;
  const functions: Record<string, (x: number) => number> = {
    dnorm: normalDensity,
    pnorm: normalCdf,
    'pnorm-upper': normalSurvival,
    'pnorm-log': normalLogCdf,
    qnorm: normalQuantile,
    pchisq: (x) => chiSquareCdf(x, a),
    'pchisq-upper': (x) => chiSquareSurvival(x, a),
    qchisq: (p) => chiSquareQuantile(p, a),
    pt: (x) => studentSurvival(-x, a),
    qt: (p) => -studentUpperQuantile(p, a),
    pf: (x) => fCdf(x, a, b),
    'pf-upper': (x) => fSurvival(x, a, b),
    qf: (p) => f.quantile(p, a, b),
    pbeta: (x) => beta.cdf(x, a, b),
    qbeta: (p) => betaQuantile(p, a, b),
    pgamma: (x) => gammaCdf(x, a, 1),
    'pgamma-upper': (x) => gammaSurvival(x, a, 1),
    qgamma: (p) => gammaQuantile(p, a, 1),
    pweibull: (x) => weibullModel(a, b, null).cdf(x),
    qweibull: (p) => weibullModel(a, b, null).quantile(p),
    plnorm: (x) => normalCdf((Math.log(x) - a) / b),
    qlnorm: (p) => Math.exp(a + b * normalQuantile(p)),
  };
  const made = functions[key];
  if (made) return grid(made, relative);
  if (key === 'pbinom') return counting((p) => binomialQuantile(p, a, b));
  if (key === 'ppois') return counting((p) => poissonQuantile(p, a));
  return null;
});

function grid(made: (x: number) => number, tolerance: number): Check {
  return (one) => {
    one.input.x.forEach((x: number | string, i: number) => {
      const wanted = numberOf(one.expect.value[i]);
      const got = made(numberOf(x));
      // Below the normal range of doubles digits are lost by the format itself.
      if (Math.abs(wanted) < 1e-290) expect(Math.abs(got - wanted)).toBeLessThan(1e-290);
      else near(got, wanted, tolerance, `at ${x}`);
    });
  };
}

/** Counts: the least k whose cumulative probability reaches p is what the studies use; at each step it must turn. */
function counting(quantile: (p: number) => number): Check {
  return (one) => {
    one.input.x.forEach((k: number, i: number) => {
      const p = numberOf(one.expect.value[i]);
      expect(quantile(p * (1 - 1e-9)), `just below P(X <= ${k})`).toBe(k);
      expect(quantile(Math.min(1 - 1e-15, p * (1 + 1e-9))), `just above P(X <= ${k})`).toBe(k + 1);
    });
  };
}

function proportion(one: ReferenceCase): void {
  const { x, n, confidence } = one.input;
  const exact = clopperPearsonInterval(x, n, confidence);
  const wilson = wilsonInterval(x, n, confidence);
  expect(Math.abs(exact.low - one.expect.clopper_pearson[0])).toBeLessThan(1e-10);
  expect(Math.abs(exact.high - one.expect.clopper_pearson[1])).toBeLessThan(1e-10);
  expect(Math.abs(wilson.low - one.expect.wilson[0])).toBeLessThan(1e-10);
  expect(Math.abs(wilson.high - one.expect.wilson[1])).toBeLessThan(1e-10);
}

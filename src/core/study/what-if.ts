import type { StudyChoices } from '../contract/calls.ts';
import type { IndexRow, WhatIf } from '../contract/models/study-model.ts';
import {
  bissellInterval,
  chiSquareInterval,
  type Limits,
  leastForIndices,
  nearerLimitIndex,
  potentialIndex,
} from '../stats/capability-indices.ts';
import { expectedShareNormal } from '../stats/expected-share.ts';
import { modelShareOutside, percentileIndices } from '../stats/percentile-indices.ts';
import { said } from '../text/said.ts';
import { countOutside } from './compute-study.ts';
import type { Study } from './study.ts';

/** Indices at limits tried out: normal or percentile as chosen, percentile without interval. */
export function whatIfOf(study: Study, choices: StudyChoices, unit: string): WhatIf | null {
  if (!choices.whatIf) return null;
  const { moments } = study;
  const limits: Limits = { low: choices.whatIf.low, target: study.readings.limits.target, high: choices.whatIf.high };
  const valid = limits.low === null || limits.high === null || limits.low < limits.high;
  const s = moments?.standardDeviation ?? null;
  const n = study.values.length;
  const rows: IndexRow[] = [];
  const add = (
    name: IndexRow['name'],
    interval: { value: number; low95: number | null; high95: number | null } | null,
  ): void => {
    rows.push({
      name,
      value: interval?.value ?? null,
      low95: interval?.low95 ?? null,
      high95: interval?.high95 ?? null,
      method: choices.model === 'normal' ? 'normal' : 'percentile',
      required: study.requirement?.index === name ? study.requirement.value : null,
      note: interval ? null : valid ? said('study.needs-two-limits', {}) : said('study.limits-equal', {}),
      holds: true,
    });
  };
  let expectedPpm: number | null = null;
  if (valid && moments && s !== null && s > 0 && n >= leastForIndices) {
    const pair = (
      sigma: number,
      nu: number,
    ): [ReturnType<typeof chiSquareInterval> | null, ReturnType<typeof bissellInterval> | null] => {
      const potential = potentialIndex(limits, sigma);
      const nearer = nearerLimitIndex(limits, moments.mean, sigma);
      return [
        potential === null ? null : chiSquareInterval(potential, nu),
        nearer === null ? null : bissellInterval(nearer, n, nu),
      ];
    };
    if (choices.model === 'normal') {
      const [Pp, Ppk] = pair(s, n - 1);
      add('Ppk', Ppk);
      add('Pp', Pp);
      if (study.withinSigma.ok) {
        const [Cp, Cpk] = pair(study.withinSigma.value.sigma, study.withinSigma.value.degreesOfFreedom);
        add('Cpk', Cpk);
        add('Cp', Cp);
      }
      expectedPpm = expectedShareNormal(limits, moments.mean, s, n).value * 1e6;
    } else if (study.chosenFit) {
      const indices = percentileIndices(study.chosenFit, limits);
      const bare = (value: number | null | undefined) =>
        value === null || value === undefined ? null : { value, low95: null, high95: null };
      add('Ppk', bare(indices?.Ppk));
      add('Pp', bare(indices?.Pp));
      expectedPpm = modelShareOutside(study.chosenFit, limits) * 1e6;
    }
  }
  return {
    hypothetical: true,
    low: limits.low,
    high: limits.high,
    indices: rows,
    outsideCount: countOutside(study.values, limits),
    expectedPpm,
    said: said('study.what-if', { low: limits.low, high: limits.high, unit, decimals: study.readings.decimals }),
  };
}

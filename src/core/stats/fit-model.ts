/** Fits any of the offered distributions. */
import { andersonDarlingStatistic } from './anderson-darling.ts';
import { fitGamma } from './fit-gamma.ts';
import { fitLognormal, fitMirroredLognormal, fitThresholdLognormal } from './fit-lognormal.ts';
import { fitNormal } from './fit-normal.ts';
import { fitWeibull } from './fit-weibull.ts';
import type { FittedModel, ModelName } from './fitted-model.ts';
import { quantileType7, sortedCopy } from './quantiles.ts';

/** Least n at which a 97.5 % distribution-free bound for the 0.135 % point exists: 0.99865^n <= 0.025. */
export const leastForEmpirical = 2731;

/** Every model a study offers, in the order in which they are listed. */
export const modelNames: readonly ModelName[] = [
  'normal',
  'lognormal',
  'weibull',
  'gamma',
  'lognormal-threshold',
  'lognormal-mirrored',
  'empirical',
];

/**
 * Fits a model by maximum likelihood; null when it does not fit or may not be used (values not positive, no interior
 * maximum, no spread, too few for the empirical one).
 *
 * @param step display step h, which bounds the search for a threshold
 * @param weights how many readings have each value; null: one each
 */
export function fitModel(
  name: ModelName,
  values: ArrayLike<number>,
  step: number,
  weights: ArrayLike<number> | null = null,
): FittedModel | null {
  const model = maximumLikelihood(name, values, step, weights);
  if (model === null) return null;
  const finite =
    Object.values(model.parameters).every(Number.isFinite) &&
    (model.logLikelihood === null || Number.isFinite(model.logLikelihood));
  return finite ? model : null;
}

function maximumLikelihood(
  name: ModelName,
  values: ArrayLike<number>,
  step: number,
  weights: ArrayLike<number> | null,
): FittedModel | null {
  switch (name) {
    case 'normal':
      return fitNormal(values, weights);
    case 'lognormal':
      return fitLognormal(values, weights);
    case 'weibull':
      return fitWeibull(values, weights);
    case 'gamma':
      return fitGamma(values, weights);
    case 'lognormal-threshold':
      return fitThresholdLognormal(values, step, weights);
    case 'lognormal-mirrored':
      return fitMirroredLognormal(values, step, weights);
    case 'empirical':
      // Quantiles of the sample need every reading: the caller gives no weights here.
      return values.length < leastForEmpirical ? null : empiricalModel(sortedCopy(values));
  }
}

/** The sample itself as a model: type 7 quantiles, shares by count. It says nothing beyond its ends. */
function empiricalModel(sorted: Float64Array): FittedModel | null {
  const n = sorted.length;
  if (sorted[0] === sorted[n - 1]) return null;
  const below = (x: number, orEqual: boolean): number => {
    let low = 0;
    let high = n;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (sorted[middle]! < x || (orEqual && sorted[middle]! === x)) low = middle + 1;
      else high = middle;
    }
    return low;
  };
  return {
    name: 'empirical',
    parameters: {},
    parameterCount: 0,
    logLikelihood: null,
    quantile: (p) => quantileType7(sorted, p),
    // Below a limit and above a limit: a value on the limit is inside.
    cdf: (x) => below(x, false) / n,
    survival: (x) => (n - below(x, true)) / n,
    logCdf: (x) => Math.log((below(x, true) - 0.5) / n),
    logSurvival: (x) => Math.log((n - below(x, false) - 0.5) / n),
    density: () => 0,
  };
}

/** Anderson-Darling statistic of a fitted model; null for the empirical one. */
export function modelAndersonDarling(model: FittedModel, sorted: ArrayLike<number>): number | null {
  if (model.name === 'empirical') return null;
  const statistic = andersonDarlingStatistic(sorted, model.logCdf, model.logSurvival);
  return Number.isFinite(statistic) ? statistic : null;
}

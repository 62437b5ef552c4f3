/** The normal model. */
import type { FittedModel } from './fitted-model.ts';
import { normalCdf, normalDensity, normalLogCdf, normalQuantile, normalSurvival } from './normal-distribution.ts';
import { countedMoments } from './sample-moments.ts';

/** Mean and standard deviation with n - 1; the log-likelihood is the maximum (divisor n). Null without spread. */
export function fitNormal(values: ArrayLike<number>, weights: ArrayLike<number> | null = null): FittedModel | null {
  const moments = countedMoments(values, weights);
  const sd = moments?.standardDeviation ?? 0;
  if (!moments || !(sd > 0)) return null;
  const { mean, n, sumOfSquares } = moments;
  return {
    name: 'normal',
    parameters: { mean, sd },
    parameterCount: 2,
    logLikelihood: (-n / 2) * (Math.log((2 * Math.PI * sumOfSquares) / n) + 1),
    quantile: (p) => mean + sd * normalQuantile(p),
    cdf: (x) => normalCdf((x - mean) / sd),
    survival: (x) => normalSurvival((x - mean) / sd),
    logCdf: (x) => normalLogCdf((x - mean) / sd),
    logSurvival: (x) => normalLogCdf((mean - x) / sd),
    density: (x) => normalDensity((x - mean) / sd) / sd,
  };
}

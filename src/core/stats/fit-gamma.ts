/** The gamma model by shape and scale. */
import digamma from '@stdlib/math-base-special-digamma';
import gammaln from '@stdlib/math-base-special-gammaln';
import trigamma from '@stdlib/math-base-special-trigamma';
import type { FittedModel } from './fitted-model.ts';
import { gammaCdf, gammaQuantile, gammaSurvival } from './gamma-distribution.ts';
import { countedMoments } from './sample-moments.ts';

/** Maximum likelihood by Newton's method on log a - digamma(a) = log mean - mean log. Null unless positive and differing. */
export function fitGamma(values: ArrayLike<number>, weights: ArrayLike<number> | null = null): FittedModel | null {
  const length = values.length;
  const moments = countedMoments(values, weights);
  if (!moments || !(moments.least > 0) || !(moments.sumOfSquares > 0)) return null;
  const { n } = moments;
  const logs = new Float64Array(length);
  // Logarithms of value / mean: log mean - mean log without the cancellation of two large logarithms.
  for (let i = 0; i < length; i++) logs[i] = Math.log1p((values[i]! - moments.mean) / moments.mean);
  const s = -(countedMoments(logs, weights)?.mean ?? 0);
  if (!(s > 0)) return null;
  let shape = (3 - s + Math.sqrt((s - 3) ** 2 + 24 * s)) / (12 * s);
  for (let step = 0; step < 60; step++) {
    const value = Math.log(shape) - digamma(shape) - s;
    const next = shape - value / (1 / shape - trigamma(shape));
    if (!(next > 0)) return null;
    const move = Math.abs(next - shape);
    shape = next;
    if (move <= 1e-14 * shape || (step > 10 && move <= 1e-9 * shape)) break;
  }
  const scale = moments.mean / shape;
  const meanLog = Math.log(moments.mean) - s;
  const logLikelihood = n * ((shape - 1) * meanLog - shape - shape * Math.log(scale) - gammaln(shape));
  return gammaModel(shape, scale, logLikelihood);
}

/** The model of given shape and scale. */
export function gammaModel(shape: number, scale: number, logLikelihood: number | null): FittedModel {
  return {
    name: 'gamma',
    parameters: { shape, scale },
    parameterCount: 2,
    logLikelihood,
    quantile: (p) => gammaQuantile(p, shape, scale),
    cdf: (x) => gammaCdf(x, shape, scale),
    survival: (x) => gammaSurvival(x, shape, scale),
    logCdf: (x) => Math.log(gammaCdf(x, shape, scale)),
    logSurvival: (x) => Math.log(gammaSurvival(x, shape, scale)),
    density: (x) => (x > 0 ? Math.exp((shape - 1) * Math.log(x / scale) - x / scale - gammaln(shape)) / scale : 0),
  };
}

/** The two-parameter Weibull model. */
import { findRoot } from './find-root.ts';
import type { FittedModel } from './fitted-model.ts';
import { countedMoments } from './sample-moments.ts';

/**
 * Maximum likelihood: the shape solves the profile equation (Newton, else bracketed), the scale follows.
 * Null unless all values are positive and differ.
 */
export function fitWeibull(values: ArrayLike<number>, weights: ArrayLike<number> | null = null): FittedModel | null {
  const length = values.length;
  const logs = new Float64Array(length);
  for (let i = 0; i < length; i++) {
    if (!(values[i]! > 0)) return null;
    logs[i] = Math.log(values[i]!);
  }
  const moments = countedMoments(logs, weights);
  const spread = moments?.standardDeviation ?? 0;
  if (!moments || !(spread > 0)) return null;
  const { n } = moments;
  const top = moments.greatest;
  // Sums of w, w l and w l^2 with w = exp(k (l - top)), which cannot overflow.
  const sums = (k: number): [number, number, number] => {
    let a = 0;
    let b = 0;
    let c = 0;
    for (let i = 0; i < length; i++) {
      const l = logs[i]!;
      const w = (weights === null ? 1 : weights[i]!) * Math.exp(k * (l - top));
      a += w;
      b += w * (l - top);
      c += w * (l - top) * (l - top);
    }
    return [a, b, c];
  };
  const equation = (k: number): number => {
    const [a, b] = sums(k);
    return b / a + top - 1 / k - moments.mean;
  };
  let shape = 1.2 / spread;
  let settled = false;
  for (let step = 0; step < 60; step++) {
    const [a, b, c] = sums(shape);
    const value = b / a + top - 1 / shape - moments.mean;
    const rise = c / a - (b / a) ** 2 + 1 / (shape * shape);
    const next = shape - value / rise;
    if (!(next > 0)) break;
    const move = Math.abs(next - shape);
    shape = next;
    if (move <= 4e-16 * shape) {
      settled = true;
      break;
    }
    if (step > 20 && move <= 1e-13 * shape) {
      settled = true;
      break;
    }
  }
  if (!settled) {
    const root = findRoot(equation, 0.01 / spread, 100 / spread, 1e-14);
    if (root === null) return null;
    shape = root;
  }
  const scale = Math.exp(top + Math.log(sums(shape)[0] / n) / shape);
  const k = shape;
  const logLikelihood = n * (Math.log(k) - k * Math.log(scale)) + (k - 1) * moments.mean * n - n;
  return weibullModel(k, scale, logLikelihood);
}

/** The model of given shape and scale. */
export function weibullModel(shape: number, scale: number, logLikelihood: number | null): FittedModel {
  const power = (x: number): number => (x > 0 ? (x / scale) ** shape : 0);
  return {
    name: 'weibull',
    parameters: { shape, scale },
    parameterCount: 2,
    logLikelihood,
    quantile: (p) => scale * (-Math.log1p(-p)) ** (1 / shape),
    cdf: (x) => -Math.expm1(-power(x)),
    survival: (x) => Math.exp(-power(x)),
    logCdf: (x) => Math.log(-Math.expm1(-power(x))),
    logSurvival: (x) => -power(x),
    density: (x) => (x > 0 ? (shape / scale) * (x / scale) ** (shape - 1) * Math.exp(-power(x)) : 0),
  };
}

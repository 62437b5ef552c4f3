/** What every fitted distribution can answer. Probabilities far out keep their digits. */
export type ModelName =
  | 'normal'
  | 'lognormal'
  | 'weibull'
  | 'gamma'
  | 'lognormal-threshold'
  | 'lognormal-mirrored'
  | 'empirical';

export interface FittedModel {
  readonly name: ModelName;
  readonly parameters: Readonly<Record<string, number>>;
  /** Number of fitted parameters, thresholds included; 0 for the empirical model. */
  readonly parameterCount: number;
  /** Maximised log-likelihood; null for the empirical model. */
  readonly logLikelihood: number | null;
  quantile(p: number): number;
  cdf(x: number): number;
  survival(x: number): number;
  logCdf(x: number): number;
  logSurvival(x: number): number;
  density(x: number): number;
}

/** AICc = -2 l + 2 k + 2 k (k + 1) / (n - k - 1); null where it does not exist. */
export function aicc(model: FittedModel, n: number): number | null {
  const k = model.parameterCount;
  if (model.logLikelihood === null || n - k - 1 <= 0) return null;
  return -2 * model.logLikelihood + 2 * k + (2 * k * (k + 1)) / (n - k - 1);
}

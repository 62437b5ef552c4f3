/**
 * Parametric bootstrap of the percentile indices and the expected share (definitions 9).
 *
 * x = F^-1(u) with one uniform a value, replicate after replicate, the same fit each time; ends by type 6 quantiles.
 * It does not contain the doubt about the model.
 */
import type { Limits } from './capability-indices.ts';
import { fitModel } from './fit-model.ts';
import type { FittedModel, ModelName } from './fitted-model.ts';
import { mersenneTwister } from './mersenne-twister.ts';
import { modelShareOutside, percentileIndices } from './percentile-indices.ts';
import { quantileType6 } from './quantiles.ts';

/** Replicates of a study. */
export const studyReplicates = 1999;

/**
 * Most readings for which a study makes a bootstrap. O(replicates x n), times the cost of a fit: beyond these a
 * refit takes longer than a few seconds, and the interval is left out with a sentence.
 */
export const mostForBootstrap: Readonly<Record<Exclude<ModelName, 'normal'>, number>> = {
  lognormal: 10_000,
  weibull: 4000,
  gamma: 1000,
  'lognormal-threshold': 1500,
  'lognormal-mirrored': 1500,
  empirical: 5000,
};

export interface BootstrapEnds {
  readonly low95: number;
  readonly high95: number;
}

export interface BootstrapResult {
  readonly replicates: number;
  readonly failed: number;
  /** Null: more than 1 % of the fits failed, or the figure does not exist. */
  readonly Pp: BootstrapEnds | null;
  readonly Ppk: BootstrapEnds | null;
  /** Share, 0..1. */
  readonly share: BootstrapEnds | null;
  /** Pp, Ppk and share of the first replicate that fitted, for following the draws. */
  readonly first: readonly [number | null, number | null, number] | null;
}

/**
 * Bootstraps a fitted model.
 *
 * @param seed 0 .. 2^32 - 1, of the Mersenne twister
 */
export function parametricBootstrap(
  model: FittedModel,
  n: number,
  limits: Limits,
  replicates: number,
  seed: number,
  step: number,
): BootstrapResult {
  const uniform = mersenneTwister(seed);
  const values = new Float64Array(n);
  const pp: number[] = [];
  const ppk: number[] = [];
  const shares: number[] = [];
  let failed = 0;
  let first: BootstrapResult['first'] = null;
  for (let b = 0; b < replicates; b++) {
    for (let i = 0; i < n; i++) values[i] = model.quantile(uniform.next());
    const fitted = values.every(Number.isFinite) ? fitModel(model.name, values, step) : null;
    const indices = fitted && percentileIndices(fitted, limits);
    if (!fitted || !indices) {
      failed++;
      continue;
    }
    const share = modelShareOutside(fitted, limits);
    first ??= [indices.Pp, indices.Ppk, share];
    if (indices.Pp !== null) pp.push(indices.Pp);
    if (indices.Ppk !== null) ppk.push(indices.Ppk);
    shares.push(share);
  }
  const usable = !tooManyFailed(failed, replicates);
  const ends = (list: number[]): BootstrapEnds | null => {
    if (!usable || list.length === 0) return null;
    const sorted = Float64Array.from(list).sort();
    return { low95: quantileType6(sorted, 0.025), high95: quantileType6(sorted, 0.975) };
  };
  return { replicates, failed, Pp: ends(pp), Ppk: ends(ppk), share: ends(shares), first };
}

/** Whether so many failed fits leave no interval: more than 1 %. */
export function tooManyFailed(failed: number, replicates: number): boolean {
  return failed > 0.01 * replicates;
}

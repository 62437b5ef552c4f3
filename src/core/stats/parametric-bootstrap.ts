/**
 * Parametric bootstrap of the percentile indices and the expected share (definitions 9).
 *
 * x = F^-1(u) with one uniform a value, replicate after replicate, the same fit each time; ends by type 6 quantiles.
 * It does not contain the doubt about the model.
 */
import { finished, type Steps } from '../steps.ts';
import type { Limits } from './capability-indices.ts';
import { fitModel, modelAndersonDarling } from './fit-model.ts';
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
  /** Goodness of the fit, when it was asked for. */
  readonly goodness: BootstrapGoodness | null;
}

/** p of A² by the bootstrap with refitting; the table of the normal does not apply to other models (definitions 9). */
export interface BootstrapGoodness {
  /** A² of the readings. */
  readonly observed: number;
  /** Replicates whose A² is at least that. */
  readonly atLeast: number;
  /** (1 + atLeast) / (B + 1), B the replicates that fitted; null: more than 1 % of the fits failed. */
  readonly p: number | null;
}

/**
 * Bootstraps a fitted model.
 *
 * @param seed 0 .. 2^32 - 1, of the Mersenne twister
 * @param observedA2 A² of the readings, when the p of the fit is wanted as well; it costs a sort a replicate and draws
 *   nothing, so the intervals stay the same
 */
export function parametricBootstrap(
  model: FittedModel,
  n: number,
  limits: Limits,
  replicates: number,
  seed: number,
  step: number,
  observedA2: number | null = null,
): BootstrapResult {
  return finished(bootstrapSteps(model, n, limits, replicates, seed, step, observedA2));
}

/** The same in steps: one a replicate. */
export function* bootstrapSteps(
  model: FittedModel,
  n: number,
  limits: Limits,
  replicates: number,
  seed: number,
  step: number,
  observedA2: number | null,
): Steps<BootstrapResult> {
  const uniform = mersenneTwister(seed);
  const values = new Float64Array(n);
  const pp: number[] = [];
  const ppk: number[] = [];
  const shares: number[] = [];
  let failed = 0;
  let first: BootstrapResult['first'] = null;
  let atLeast = 0;
  for (let b = 0; b < replicates; b++) {
    yield { done: b, total: replicates };
    let allFinite = true;
    for (let i = 0; i < n; i++) {
      const value = model.quantile(uniform.next());
      values[i] = value;
      if (!Number.isFinite(value)) allFinite = false;
    }
    const fitted = allFinite ? fitModel(model.name, values, step) : null;
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
    if (observedA2 !== null) {
      // A replicate whose statistic overflows lies as far off as can be.
      const statistic = modelAndersonDarling(fitted, values.slice().sort());
      if (statistic === null || statistic >= observedA2) atLeast++;
    }
  }
  const usable = !tooManyFailed(failed, replicates);
  const ends = (list: number[]): BootstrapEnds | null => {
    if (!usable || list.length === 0) return null;
    const sorted = Float64Array.from(list).sort();
    return { low95: quantileType6(sorted, 0.025), high95: quantileType6(sorted, 0.975) };
  };
  const goodness: BootstrapGoodness | null =
    observedA2 === null
      ? null
      : { observed: observedA2, atLeast, p: usable ? (1 + atLeast) / (replicates - failed + 1) : null };
  return { replicates, failed, Pp: ends(pp), Ppk: ends(ppk), share: ends(shares), first, goodness };
}

/** Whether so many failed fits leave no interval: more than 1 %. */
export function tooManyFailed(failed: number, replicates: number): boolean {
  return failed > 0.01 * replicates;
}

/** What the tools of a study can prove of its readings. */
import type { Plant } from '../readings/plant.ts';
import { type Limits, leastForIndices } from '../stats/capability-indices.ts';
import { fitModel } from '../stats/fit-model.ts';
import type { FittedModel, ModelName } from '../stats/fitted-model.ts';
import {
  accuracyRatio,
  indexAtPermittedError,
  type ProofBounds,
  proofBounds,
  proofWithin,
  provedWindow,
} from '../stats/guard-band.ts';
import { percentileIndices } from '../stats/percentile-indices.ts';
import type { SampleMoments } from '../stats/sample-moments.ts';
import type { Study } from './study.ts';
import type { StudyReadings } from './study-readings.ts';
import { certificateOf, ratioOfCertificate } from './tool-certificate.ts';
import type { UsedOrigin } from './used-origin.ts';

/** Tools, permitted error, ratios, guard band, Ppk at the permitted error and proofs; torque only. */
export function measurementOf(
  plant: Plant,
  readings: StudyReadings,
  values: Float64Array,
  moments: SampleMoments | null,
  origin: UsedOrigin,
  step: number,
  model: { readonly name: ModelName; readonly fit: FittedModel | null } | null,
): Study['measurement'] {
  const { positions, countOfTool, lastOfTool } = origin;
  const tools = [...origin.tools].sort((a, b) => countOfTool[b + 1]! - countOfTool[a + 1]!);
  const none: Study['measurement'] = {
    tools,
    permissible: null,
    several: tools.length > 1,
    accuracyRatio: null,
    uncertaintyRatio: null,
    certificate: null,
    guardLow: null,
    guardHigh: null,
    provable: true,
    atError: null,
    proof: null,
  };
  // The permissible deviation is of torque.
  if (readings.unit === 'deg' || tools.length === 0) return none;
  const { limits } = readings;
  const lastTimeOf = (tool: number): number => {
    const last = lastOfTool[tool + 1]!;
    return Number.isFinite(last) ? last : Number.POSITIVE_INFINITY;
  };
  const known = tools.map((tool) => ({
    tool,
    percent: plant.register.tools[tool]?.permissibleDeviationPercent ?? null,
    certificate: certificateOf(plant, tool, limits, readings.unit, lastTimeOf(tool)),
  }));
  const single = known.length === 1 ? known[0] : undefined;
  const percents = known.map((one) => one.percent);
  const hasLimits = limits.low !== null || limits.high !== null;
  const bounds = known.map((one) =>
    proofBounds(limits, one.percent === null ? null : one.percent / 100, step, one.certificate),
  );
  const window = single
    ? provedWindow(limits, single.percent === null ? null : single.percent / 100, step, single.certificate)
    : null;
  const toolsOf = (k: number): number => plant.readings.tool[positions[k]!]!;
  const common: Study['measurement'] = {
    ...none,
    certificate: single?.certificate ?? null,
    uncertaintyRatio: single?.certificate ? ratioOfCertificate(limits, single.certificate) : null,
    guardLow: window?.low ?? null,
    guardHigh: window?.high ?? null,
    provable: window?.possible ?? true,
    proof:
      hasLimits && bounds.every((one) => one !== null)
        ? countProofs(values, toolsOf, boundsByTool(tools, bounds))
        : null,
  };
  if (percents.some((percent) => percent === null)) return common;
  const same = percents.every((percent) => percent === percents[0]);
  const permissible = same && percents[0] !== null && percents[0] !== undefined ? percents[0] / 100 : null;
  const each = permissible ?? permissibleOfEach(known, values.length, toolsOf, countOfTool.length);
  return {
    ...common,
    permissible,
    accuracyRatio: permissible === null ? null : accuracyRatio(limits, permissible),
    atError:
      values.length < leastForIndices
        ? null
        : model === null
          ? indexAtPermittedError(values, each, limits, moments)
          : percentileAtPermittedError(values, each, limits, step, model),
  };
}

/** Above so many readings of tools with different permitted errors a model is not fitted again to the applied torque. */
const mostForRefit = 50_000;

/**
 * Percentile Ppk of x/(1 + a) and x/(1 - a). With one permitted error for all the quantiles scale with it (every offered
 * model does); with several the model is fitted again.
 */
function percentileAtPermittedError(
  values: Float64Array,
  permissible: number | Float64Array,
  limits: Limits,
  step: number,
  model: { readonly name: ModelName; readonly fit: FittedModel | null },
): { high: number; low: number; smaller: number } | null {
  const { fit } = model;
  if (!fit || (typeof permissible !== 'number' && values.length > mostForRefit)) return null;
  const edge = (sign: 1 | -1): number | null => {
    const applied: FittedModel | null =
      typeof permissible === 'number'
        ? { ...fit, quantile: (p) => fit.quantile(p) / (1 + sign * permissible) }
        : fitModel(
            model.name,
            values.map((value, k) => value / (1 + sign * permissible[k]!)),
            step,
          );
    return applied ? (percentileIndices(applied, limits)?.Ppk ?? null) : null;
  };
  const high = edge(1);
  const low = edge(-1);
  return high === null || low === null ? null : { high, low, smaller: Math.min(high, low) };
}

/** Permitted error of each reading, by its tool. */
function permissibleOfEach(
  known: readonly { readonly tool: number; readonly percent: number | null }[],
  n: number,
  toolOf: (k: number) => number,
  tools: number,
): Float64Array {
  const byTool = new Float64Array(tools);
  for (const one of known) byTool[one.tool + 1] = (one.percent ?? 0) / 100;
  const each = new Float64Array(n);
  for (let k = 0; k < n; k++) each[k] = byTool[toolOf(k) + 1]!;
  return each;
}

/** By position + 1. */
function boundsByTool(tools: readonly number[], bounds: readonly (ProofBounds | null)[]): (ProofBounds | null)[] {
  const byTool: (ProofBounds | null)[] = [];
  tools.forEach((tool, k) => {
    byTool[tool + 1] = bounds[k] ?? null;
  });
  return byTool;
}

function countProofs(
  values: Float64Array,
  toolOf: (k: number) => number,
  byTool: readonly (ProofBounds | null)[],
): { inside: number; outside: number; neither: number } {
  let inside = 0;
  let outside = 0;
  for (let k = 0; k < values.length; k++) {
    const own = byTool[toolOf(k) + 1];
    if (!own) continue;
    const proof = proofWithin(values[k]!, own);
    if (proof === 'inside') inside++;
    else if (proof === 'outside') outside++;
  }
  return { inside, outside, neither: values.length - inside - outside };
}

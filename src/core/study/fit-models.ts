/** The distributions fitted in a study, and the one recommended. */
import type { Computed } from '../outcome.ts';
import type { AndersonDarling } from '../stats/anderson-darling.ts';
import { countedValues } from '../stats/ascending-values.ts';
import { leastForIndices } from '../stats/capability-indices.ts';
import { fitModel, leastForEmpirical, modelAndersonDarling, modelNames } from '../stats/fit-model.ts';
import { aicc, type ModelName } from '../stats/fitted-model.ts';
import type { Steps } from '../steps.ts';
import type { ModelFit } from './study.ts';

/** Above so many distinct values models that search for a threshold are not fitted unless they are the chosen one. */
const mostForThresholdSearch = 20_000;

/** Fits every offered distribution, one a step; one that does not fit says why. */
export function* fitAll(sorted: Float64Array, step: number, chosen: ModelName, hasSpread: boolean): Steps<ModelFit[]> {
  const n = sorted.length;
  // Rounded readings come in few distinct values: the fits then cost by these, not by the readings.
  const counted = countedValues(sorted);
  const distinct = counted?.values.length ?? n;
  const fitOf = (name: ModelName): ModelFit => {
    const none = (why: ModelFit['why']): ModelFit => ({ name, model: null, aicc: null, ad: null, why });
    if (n < leastForIndices) return none('study.model-needs-25');
    if (!hasSpread) return none('study.model-no-spread');
    if (name === 'empirical' && n < leastForEmpirical) return none('study.model-needs-many');
    const positive = name === 'lognormal' || name === 'weibull' || name === 'gamma';
    if (positive && !(sorted[0]! > 0)) return none('study.model-needs-positive');
    const search = name === 'lognormal-threshold' || name === 'lognormal-mirrored';
    if (search && distinct > mostForThresholdSearch && name !== chosen) return none('study.model-too-many');
    const model =
      counted && name !== 'empirical'
        ? fitModel(name, counted.values, step, counted.weights)
        : fitModel(name, sorted, step);
    if (!model) return none(search ? 'study.model-no-maximum' : 'study.model-no-spread');
    return { name, model, aicc: aicc(model, n), ad: modelAndersonDarling(model, sorted), why: null };
  };
  const fits: ModelFit[] = [];
  for (const name of modelNames) {
    fits.push(fitOf(name));
    yield;
  }
  return fits;
}

/** Another model than normal only if normality is rejected (p < 0.01) and AICc is better by 10. */
export function recommend(fits: readonly ModelFit[], normality: Computed<AndersonDarling>): ModelName | null {
  const normal = fits.find((fit) => fit.name === 'normal');
  if (!normal || normal.aicc === null || !normality.ok) return null;
  if (!(normality.value.p < 0.01)) return 'normal';
  let best = normal;
  for (const fit of fits) if (fit.aicc !== null && fit.aicc < (best.aicc ?? Number.POSITIVE_INFINITY)) best = fit;
  return best !== normal && (best.aicc ?? 0) <= normal.aicc - 10 ? best.name : 'normal';
}

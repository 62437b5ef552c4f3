import type { OfferedModel } from '../contract/models/study-model.ts';
import type { Study } from './study.ts';
import { modelTitle } from './study-sentences.ts';

/** Every distribution a study may be based on, and why not where it is not offered. */
export function offeredModels(study: Study): OfferedModel[] {
  return study.fits.map((fit) => ({
    name: fit.name,
    title: modelTitle(fit.name),
    // One that was not tried because it is slow may still be chosen.
    offered: fit.model !== null || fit.why === 'study.model-too-many',
    why: fit.why === null ? null : { key: fit.why, args: {} },
    aicc: fit.aicc,
    ad: fit.ad,
    logLikelihood: fit.model?.logLikelihood ?? null,
    parameters: fit.model?.parameters ?? null,
    chosen: fit.name === study.choices.model,
    recommended: fit.name === study.recommended,
    fitP: fit.name === study.choices.model ? (study.bootstrap?.goodness?.p ?? null) : null,
  }));
}

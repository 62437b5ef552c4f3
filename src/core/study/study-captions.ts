/** Sentences that stand under the distribution and the indices of a study. */
import { roundedText } from '../text/format.ts';
import { type Said, said } from '../text/said.ts';
import type { Study } from './study.ts';
import { modelTitle, stabilitySentence } from './study-sentences.ts';

/** The distribution the study rests on, what the test of normality says, and what is recommended instead. */
export function distributionSentence(study: Study): Said {
  const normality = study.andersonDarling;
  const recommended = study.recommended;
  return said('study.distribution', {
    model: modelTitle(study.choices.model),
    normal: study.choices.model === 'normal',
    p: normality.ok ? normality.value.p : null,
    atMost: normality.ok && normality.value.atMost,
    recommended:
      recommended !== null && recommended !== 'normal' && recommended !== study.choices.model
        ? modelTitle(recommended)
        : null,
  });
}

/** What the indices rest on, what the permitted error of the tool makes of them, and the share expected outside. */
export function captionOf(study: Study, unit: string): Said {
  const { expected, measurement, readings } = study;
  const within = study.withinSigma.ok ? study.withinSigma.value : null;
  const shown = study.indices.Ppk.ok;
  return said('study.indices-caption', {
    s: shown ? (study.moments?.standardDeviation ?? null) : null,
    within: study.indices.Cpk.ok ? (within?.sigma ?? null) : null,
    nu: within ? Number(roundedText(within.degreesOfFreedom, 1)) : null,
    method: study.within,
    unit,
    decimals: readings.decimals,
    holds: study.chart.stability?.status !== 'not-stable',
    beyond: study.chart.stability?.status === 'not-stable' ? stabilitySentence(study) : null,
    percent: measurement.permissible === null ? null : Number((measurement.permissible * 100).toPrecision(12)),
    atError: measurement.atError?.smaller ?? null,
    ppm: expected ? expected.value * 1e6 : null,
    ppmLow: expected?.low95 == null ? null : expected.low95 * 1e6,
    ppmHigh: expected?.high95 == null ? null : expected.high95 * 1e6,
    far: expected !== null && expected.value * study.values.length < 1,
    percentile: study.percentile ? modelTitle(study.choices.model) : null,
    sides: readings.limits.low !== null && readings.limits.high !== null ? 2 : 1,
  });
}

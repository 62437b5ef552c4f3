/** The indices of a study as rows, and those of the best other distribution beside them. */
import type { IndexRow, StudyModel } from '../contract/models/study-model.ts';
import { percentileIndices } from '../stats/percentile-indices.ts';
import { said } from '../text/said.ts';
import type { Study } from './study.ts';
import { indexOrder, modelTitle, whyNot } from './study-sentences.ts';

/** One row an index, with the reason where there is no value. */
export function indexRows(study: Study, stable: boolean): IndexRow[] {
  const { requirement } = study;
  return indexOrder.map((name): IndexRow => {
    const figure = study.indices[name];
    const ofWithin = name === 'Cpk' || name === 'Cp';
    return {
      name,
      value: figure.ok ? figure.value.value : null,
      low95: figure.ok ? figure.value.low95 : null,
      high95: figure.ok ? figure.value.high95 : null,
      method: figure.ok ? figure.value.method : study.choices.model === 'normal' ? 'normal' : 'percentile',
      required: requirement?.index === name ? requirement.value : null,
      note: figure.ok ? (ofWithin && !stable ? said('study.would-hold-if-stable', {}) : null) : whyNot(figure),
      holds: !(ofWithin && !stable),
    };
  });
}

/** Percentile results of the best other model beside the normal ones, where Ppk differs by more than 0.05. */
export function besideOf(study: Study): StudyModel['beside'] {
  if (!study.indices.Ppk.ok) return null;
  let best: (typeof study.fits)[number] | null = null;
  for (const fit of study.fits) {
    if (fit.aicc === null || fit.name === study.choices.model || !fit.model) continue;
    if (best === null || fit.aicc < (best.aicc ?? Number.POSITIVE_INFINITY)) best = fit;
  }
  if (!best?.model) return null;
  const other = percentileIndices(best.model, study.readings.limits);
  const own = study.indices.Ppk.value.value;
  if (!other || other.Ppk === null || Math.abs(other.Ppk - own) <= 0.05) return null;
  return {
    model: best.name,
    Pp: other.Pp,
    Ppk: other.Ppk,
    said: said('study.beside', { model: modelTitle(best.name), ppk: other.Ppk, other: own }),
  };
}

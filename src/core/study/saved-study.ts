/** Saved studies: the figures kept with one, and what differs when it is run again. */
import type { IndexName, SavedStudy, StudyChange, StudyFigures, StudyModel } from '../contract/models/study-model.ts';
import { said } from '../text/said.ts';
import type { Study } from './compute-study.ts';

/** Figures to keep with a saved study, unrounded: the same data give the same to the last digit. */
export function figuresOf(study: Study): StudyFigures {
  const figures: Record<string, number | string | null> = {
    n: study.values.length,
    leftOut: study.readings.positions.length - study.values.length,
    low: study.readings.limits.low,
    target: study.readings.limits.target,
    high: study.readings.limits.high,
    mean: study.moments?.mean ?? null,
    overall: study.moments?.standardDeviation ?? null,
    within: study.withinSigma.ok ? study.withinSigma.value.sigma : null,
  };
  for (const name of ['Ppk', 'Pp', 'Cpk', 'Cp', 'Cpm', 'Cm', 'Cmk'] satisfies IndexName[]) {
    const figure = study.indices[name];
    figures[name] = figure.ok ? figure.value.value : null;
    figures[`${name}.low95`] = figure.ok ? figure.value.low95 : null;
    figures[`${name}.high95`] = figure.ok ? figure.value.high95 : null;
  }
  figures.expectedPpm = study.expected ? study.expected.value * 1e6 : null;
  figures.stability = study.chart.stability?.status ?? null;
  figures.outcome = study.outcome;
  return figures;
}

/** What has changed between a saved study and its run today. */
export function changesSince(
  saved: SavedStudy,
  now: Pick<StudyModel, 'figures' | 'fingerprint' | 'programVersion'>,
): StudyChange {
  const names = new Set([...Object.keys(saved.figures), ...Object.keys(now.figures)]);
  const changed = [...names].flatMap((figure) => {
    const before = saved.figures[figure] ?? null;
    const after = now.figures[figure] ?? null;
    return Object.is(before, after) ? [] : [{ figure, before, now: after }];
  });
  if (saved.fingerprint !== now.fingerprint) {
    const count = (figures: StudyFigures): number => (typeof figures.n === 'number' ? figures.n : 0);
    return {
      same: false,
      said: said('study.saved.readings-changed', { before: count(saved.figures), now: count(now.figures) }),
      changed,
    };
  }
  return changed.length === 0
    ? { same: true, said: said('study.saved.same', {}), changed }
    : {
        same: false,
        said: said('study.saved.program-changed', { before: saved.programVersion, now: now.programVersion }),
        changed,
      };
}

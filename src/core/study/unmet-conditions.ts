/** Conditions of the figures of a study that the data do not meet, as their workings say them. */
import { type Said, said } from '../text/said.ts';
import type { IndexFigure, Study } from './study.ts';

/** Conditions of indices and sigmas that the data do not meet. */
export function stabilityUnmet(study: Study): Said[] {
  const status = study.chart.stability?.status ?? null;
  if (status === 'not-stable') return [said('study.work.unmet.not-stable', {})];
  return status === null ? [said('study.work.unmet.not-judged', {})] : [];
}

/** Conditions of an index: stability, normality, independence, the coverage of its interval. */
export function indexUnmet(study: Study, figure: IndexFigure): Said[] {
  const unmet = stabilityUnmet(study);
  if (figure.method === 'normal' && study.andersonDarling.ok && study.andersonDarling.value.p < 0.05) {
    unmet.push(said('study.work.unmet.not-normal', { p: study.andersonDarling.value.p }));
  }
  if (study.betweenGroupsP !== null && study.betweenGroupsP < 0.01)
    unmet.push(said('study.work.unmet.groups-differ', {}));
  if (figure.method === 'percentile') {
    unmet.push(
      said('study.work.unmet.coverage', {
        nominal: '95 %',
        found: '94.1 % at n = 50, 94.7 % at n = 125 (lognormal Ppk)',
      }),
    );
  } else if (study.within === 'mr-median') unmet.push(said('study.caution.mr-median', {}));
  if (study.readings.unit !== 'deg') unmet.push(said('study.work.unmet.permissible', {}));
  return unmet;
}

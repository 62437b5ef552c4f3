import type { Histogram } from '../contract/models/study-model.ts';
import { histogramBins } from '../stats/histogram.ts';
import type { Study } from './study.ts';

/** Bars and the curve of the chosen distribution at the same scale; null: there is nothing to count. */
export function histogramOf(study: Study): Histogram | null {
  const { limits } = study.readings;
  const anchor = limits.low ?? limits.high ?? study.moments?.mean ?? 0;
  const bins = histogramBins(study.sorted, study.step, study.decimalStep, anchor);
  if (!bins) return null;
  const model = study.chosenFit;
  const curve: { x: number; y: number }[] = [];
  if (model && model.name !== 'empirical') {
    const from = model.quantile(1e-5);
    const to = model.quantile(1 - 1e-5);
    const points = 160;
    for (let k = 0; k <= points; k++) {
      const x = from + ((to - from) * k) / points;
      const y = model.density(x) * study.values.length * bins.width;
      if (Number.isFinite(x) && Number.isFinite(y)) curve.push({ x, y });
    }
  }
  return { width: bins.width, edges: bins.edges, counts: bins.counts, curve };
}

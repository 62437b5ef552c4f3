import type { FittedModel } from '../stats/fitted-model.ts';
import { normalQuantile } from '../stats/normal-distribution.ts';
import { generalisedEsd, grubbsTest, mostOutliers } from '../stats/outlier-tests.ts';
import type { Study } from './study.ts';

/** Above so many readings outlier tests are left out. */
const mostForOutliers = 5000;

/** Outliers by Grubbs and by generalised ESD, on normal scores of the chosen model; none without a model. */
export function findOutliers(
  values: Float64Array,
  orderOf: Int32Array,
  model: FittedModel | null,
  enough: boolean,
): Pick<Study, 'outliers' | 'grubbs'> {
  if (!enough || !model || values.length > mostForOutliers) return { outliers: [], grubbs: null };
  const scores = Float64Array.from(values, (x) => {
    const below = model.cdf(x);
    const score = below < 0.5 ? normalQuantile(below) : -normalQuantile(model.survival(x));
    return Math.min(38, Math.max(-38, score));
  });
  const found: { order: number; test: 'grubbs' | 'esd' }[] = [];
  const grubbs = grubbsTest(scores);
  if (grubbs.ok && grubbs.value.statistic > grubbs.value.critical) {
    found.push({ order: orderOf[grubbs.value.position]!, test: 'grubbs' });
  }
  const esd = generalisedEsd(scores, mostOutliers(values.length));
  if (esd.ok) {
    for (const position of esd.value.positions.slice(0, esd.value.outliers)) {
      found.push({ order: orderOf[position]!, test: 'esd' });
    }
  }
  return {
    outliers: found,
    grubbs: grubbs.ok ? { statistic: grubbs.value.statistic, critical: grubbs.value.critical } : null,
  };
}

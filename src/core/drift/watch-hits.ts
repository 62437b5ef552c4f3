/** Thresholds chosen for a tool that its lanes or its latest check exceed. */
import type { CheckRow, Lane, WatchHit } from '../contract/models/drift-model.ts';
import type { DriftOptions } from './analysis.ts';

/** The exceeded thresholds of one tool; none where no thresholds are set. */
export function watchHits(
  thresholds: DriftOptions['thresholds'][string] | undefined,
  own: Lane,
  response: Lane,
  latest: CheckRow | null,
): WatchHit[] {
  if (!thresholds) return [];
  const newest = (lane: Lane): number | null => {
    const { ewma, baseline } = lane.series;
    const last = ewma[ewma.length - 1];
    return last === null || last === undefined || baseline === null ? null : last - baseline;
  };
  const hits: WatchHit[] = [];
  const consider = (lane: WatchHit['lane'], threshold: number | null, percent: number | null): void => {
    if (threshold !== null && percent !== null && Math.abs(percent) > threshold) {
      hits.push({ lane, thresholdPercent: threshold, percent });
    }
  };
  consider('own', thresholds.ownPercent, newest(own));
  consider('response', thresholds.responsePercent, newest(response));
  consider('check', thresholds.checkPercent, latest?.deviationPercent ?? null);
  return hits;
}

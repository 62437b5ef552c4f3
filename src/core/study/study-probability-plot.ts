import type { ProbabilityPlot } from '../contract/models/study-model.ts';
import { normalCdf, normalQuantile } from '../stats/normal-distribution.ts';
import { fillibenPosition, orderStatisticBand } from '../stats/probability-plot.ts';
import type { Steps } from '../steps.ts';
import type { Study } from './study.ts';

/** Points of a probability plot; thinned evenly in the middle above this, the ends always kept. */
const plotPointsMost = 1000;

const plotEnds = 100;

/** Points, line and band of the probability plot of the chosen model; null without a model or below three readings. */
export function* probabilityPlotOf(study: Study): Steps<ProbabilityPlot | null> {
  const model = study.chosenFit;
  const n = study.sorted.length;
  if (!model || n < 3) return null;
  const keep: number[] = [];
  if (n <= plotPointsMost) for (let i = 0; i < n; i++) keep.push(i);
  else {
    const middle = plotPointsMost - 2 * plotEnds;
    for (let i = 0; i < plotEnds; i++) keep.push(i);
    for (let k = 0; k < middle; k++) keep.push(plotEnds + Math.floor((k * (n - 2 * plotEnds)) / middle));
    for (let i = n - plotEnds; i < n; i++) keep.push(i);
  }
  const places = placesOfRanks(study, keep);
  yield;
  const points = keep.map((i) => ({
    score: normalQuantile(fillibenPosition(i + 1, n)),
    value: study.sorted[i]!,
    position: study.readings.positions[study.orderOf[places.get(i) ?? 0]!]!,
  }));
  const first = points[0]!.score;
  const last = points[points.length - 1]!.score;
  // The band at 61 of the points is as smooth as any line drawn through all of them.
  const bandAt = keep.filter((_, k) => k % Math.max(1, Math.floor(keep.length / 60)) === 0 || k === keep.length - 1);
  const band = bandAt.flatMap((i) => {
    const ends = orderStatisticBand(i + 1, n);
    const low = model.quantile(ends.low);
    const high = model.quantile(ends.high);
    const score = normalQuantile(fillibenPosition(i + 1, n));
    return Number.isFinite(low) && Number.isFinite(high) ? [{ score, low, high }] : [];
  });
  yield;
  const line: { score: number; value: number }[] = [];
  const steps = 60;
  for (let k = 0; k <= steps; k++) {
    const score = first * 1.05 + ((last * 1.05 - first * 1.05) * k) / steps;
    const value = model.quantile(normalCdf(score));
    if (Number.isFinite(value)) line.push({ score, value });
  }
  return { model: model.name, points, line, band, thinned: n > plotPointsMost };
}

/**
 * Places among the used values of some ranks in ascending order; equal values in order of time. One pass: sorting a
 * million places to draw a thousand of them would take longer than the whole study.
 */
function placesOfRanks(study: Study, ranks: readonly number[]): Map<number, number> {
  const { sorted, values } = study;
  const wanted = new Map<number, Wanted>();
  let firstOfValue = 0;
  for (const rank of ranks) {
    const value = sorted[rank]!;
    if (sorted[firstOfValue] !== value) {
      firstOfValue = rank;
      while (firstOfValue > 0 && sorted[firstOfValue - 1] === value) firstOfValue--;
    }
    const known = wanted.get(value);
    const entry = { rank, occurrence: rank - firstOfValue };
    if (known) known.list.push(entry);
    else wanted.set(value, { value, seen: 0, next: 0, list: [entry] });
  }
  const find = finder(wanted, sorted, study.readings.decimals);
  const places = new Map<number, number>();
  for (let k = 0; k < values.length && places.size < ranks.length; k++) {
    const ofValue = find(values[k]!);
    if (!ofValue) continue;
    const next = ofValue.list[ofValue.next];
    if (next && next.occurrence === ofValue.seen) {
      places.set(next.rank, k);
      ofValue.next++;
    }
    ofValue.seen++;
  }
  return places;
}

interface Wanted {
  readonly value: number;
  /** Readings of the value so far, and the place in the list of the one waited for. */
  seen: number;
  next: number;
  readonly list: { readonly rank: number; readonly occurrence: number }[];
}

/** Entries of a table by decimal step at most; above, and for values that are no decimals, a map is asked. */
const mostSteps = 2_000_000;

function finder(
  wanted: ReadonlyMap<number, Wanted>,
  sorted: Float64Array,
  decimals: number,
): (value: number) => Wanted | undefined {
  const scale = 10 ** decimals;
  const first = Math.round(sorted[0]! * scale);
  const steps = Math.round(sorted[sorted.length - 1]! * scale) - first + 1;
  if (!(steps <= mostSteps)) return (value) => wanted.get(value);
  const list = [...wanted.values()];
  const placeOf = new Int32Array(steps).fill(-1);
  for (const [place, { value }] of list.entries()) {
    const step = Math.round(value * scale) - first;
    // Two values in one step: these are no decimals.
    if (placeOf[step] !== -1) return (other) => wanted.get(other);
    placeOf[step] = place;
  }
  return (value) => {
    const found = list[placeOf[Math.round(value * scale) - first]!];
    return found?.value === value ? found : undefined;
  };
}

/** Histogram bins that follow the display step, so that no reading lies on an edge (definitions 6). */
import { quantileType7 } from './quantiles.ts';

/** Bins are never more than this; a wider width is taken then. */
const mostBins = 500;

/**
 * Width: Freedman-Diaconis 2 IQR n^(-1/3), moved to the nearest in ratio of 1, 2 or 5 x 10^j that is a whole number of h.
 *
 * If h is not itself such a number the decimal step takes its place in this rule; width h when the IQR is 0.
 *
 * @param freedmanDiaconis 2 IQR n^(-1/3), 0 when the IQR is 0
 * @param step display step h
 * @param decimalStep 10^-decimals
 * @example histogramWidth(0.232, 0.01, 0.01) // => 0.2
 */
export function histogramWidth(freedmanDiaconis: number, step: number, decimalStep: number): number {
  if (freedmanDiaconis <= 0) return step;
  const unit = roundNumber(step) ? step : decimalStep;
  let best = unit;
  let bestRatio = Number.POSITIVE_INFINITY;
  for (let power = -9; power < 10; power++) {
    for (const lead of [1, 2, 5]) {
      const width = Number(`${lead}e${power}`);
      const steps = width / unit;
      if (steps < 1 - 1e-9 || Math.abs(steps - Math.round(steps)) > 1e-9 * steps) continue;
      const ratio = Math.abs(Math.log(width / freedmanDiaconis));
      if (ratio < bestRatio) {
        best = width;
        bestRatio = ratio;
      }
    }
  }
  return best;
}

/** Whether a number is 1, 2 or 5 times a power of ten. */
function roundNumber(value: number): boolean {
  const lead = Number(value.toExponential(9).split('e')[0]);
  return lead === 1 || lead === 2 || lead === 5;
}

export interface HistogramBins {
  readonly width: number;
  readonly edges: number[];
  readonly counts: number[];
}

/**
 * Bins of sorted values. Edges at g + j width - h/2, g the multiple of h nearest the anchor.
 *
 * @param anchor the low limit, else the high limit, else the mean
 */
export function histogramBins(
  sorted: ArrayLike<number>,
  step: number,
  decimalStep: number,
  anchor: number,
): HistogramBins | null {
  const n = sorted.length;
  if (n === 0) return null;
  const iqr = quantileType7(sorted, 0.75) - quantileType7(sorted, 0.25);
  let width = histogramWidth(2 * iqr * n ** (-1 / 3), step, decimalStep);
  const least = sorted[0]!;
  const greatest = sorted[n - 1]!;
  // A far-off value must not make a million bins: widen, in whole multiples so that edges still avoid the values.
  if ((greatest - least) / width > mostBins) width *= Math.ceil((greatest - least) / width / mostBins);
  const origin = Math.round(anchor / step) * step - step / 2;
  const first = Math.floor((least - origin) / width);
  const last = Math.floor((greatest - origin) / width);
  const edges: number[] = [];
  for (let j = first; j <= last + 1; j++) edges.push(Number((origin + j * width).toPrecision(12)));
  const counts = new Array<number>(last - first + 1).fill(0);
  for (let i = 0; i < n; i++) {
    const bin = Math.min(last, Math.max(first, Math.floor((sorted[i]! - origin) / width))) - first;
    counts[bin]!++;
  }
  return { width, edges, counts };
}

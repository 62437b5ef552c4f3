/** Quantiles of the binomial and Poisson distributions: the least count whose cumulative probability reaches p. */
import beta from '@stdlib/stats-base-dists-beta';
import { regularisedGammaQ } from './incomplete-gamma.ts';
import { normalQuantile } from './normal-distribution.ts';

/** Least k with P(count <= k) >= p in n trials of probability `share`. */
export function binomialQuantile(p: number, n: number, share: number): number {
  if (n <= 0 || share <= 0) return 0;
  const start = n * share + normalQuantile(p) * Math.sqrt(n * share * (1 - share));
  // P(count <= k) = I(1 - share; n - k, k + 1).
  return leastCount(p, Math.min(n, start), n, (k) => (k >= n ? 1 : beta.cdf(1 - share, n - k, k + 1)));
}

/** Least k with P(count <= k) >= p at mean count `mean`. */
export function poissonQuantile(p: number, mean: number): number {
  if (mean <= 0) return 0;
  const start = mean + normalQuantile(p) * Math.sqrt(mean);
  return leastCount(p, start, Number.POSITIVE_INFINITY, (k) => regularisedGammaQ(k + 1, mean));
}

/** Walks from a normal approximation to the least count; a few steps. */
function leastCount(p: number, start: number, most: number, cdf: (k: number) => number): number {
  let k = Math.max(0, Math.floor(start));
  while (k < most && cdf(k) < p) k++;
  while (k > 0 && cdf(k - 1) >= p) k--;
  return k;
}

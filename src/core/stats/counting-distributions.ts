/** Quantiles of the binomial and Poisson distributions: the least count whose cumulative probability reaches p. */
import binomial from '@stdlib/stats-base-dists-binomial';
import poisson from '@stdlib/stats-base-dists-poisson';

/** Least k with P(count <= k) >= p in n trials of probability `share`. */
export function binomialQuantile(p: number, n: number, share: number): number {
  return binomial.quantile(p, n, share);
}

/** Least k with P(count <= k) >= p at mean count `mean`. */
export function poissonQuantile(p: number, mean: number): number {
  return mean <= 0 ? 0 : poisson.quantile(p, mean);
}

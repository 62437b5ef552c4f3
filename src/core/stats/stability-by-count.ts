/** Stability judged by the number of signals that chance allows (definitions 12). */
import { binomialQuantile, poissonQuantile } from './counting-distributions.ts';

export type StabilityStatus = 'stable' | 'as-chance' | 'not-stable';

export interface StabilityCount {
  readonly status: StabilityStatus;
  /** 99 % points: so many may occur. Up to 25 points one signal is too many. */
  readonly beyondAllowed: number;
  readonly runsAllowed: number;
}

/** From how many points stability is judged by count; below, any signal counts. */
export const leastForCount = 26;

/**
 * More points beyond 3 sigma than the 99 % point of Binomial(m, 0.0027), or more runs of 9 than that of Poisson(m/512),
 * make "not stable"; for m <= 25 one signal does. Without this nothing with 10 000 points is ever stable.
 */
export function stabilityByCount(points: number, beyond: number, runs: number): StabilityCount {
  const beyondAllowed = points < 1 ? 0 : binomialQuantile(0.99, points, 0.0027);
  const runsAllowed = poissonQuantile(0.99, points / 512);
  const bad = points < leastForCount ? beyond + runs > 0 : beyond > beyondAllowed || runs > runsAllowed;
  return {
    status: bad ? 'not-stable' : beyond + runs > 0 ? 'as-chance' : 'stable',
    beyondAllowed,
    runsAllowed,
  };
}

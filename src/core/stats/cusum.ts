/**
 * Tabular CUSUM, two-sided.
 *
 * S+ = max(0, S+ + y - k), S- = max(0, S- - y - k), y in sigma from the target; signal strictly above h. With the fast
 * initial response both start at h/2, and again after each alarm. Source: ISO 7870-4:2021 (public excerpts),
 * NIST/SEMATECH e-Handbook 6.3.2.3; Lucas & Crosier, Technometrics 24 (1982) 199 for the head start.
 */
export interface CusumChart {
  readonly high: Float64Array;
  readonly low: Float64Array;
  readonly signals: readonly number[];
}

/**
 * CUSUM of values already in sigma from their target.
 *
 * @param restart set both sums back after a signal (to h/2 with a head start, else to 0); false: let them run on
 */
export function cusumChart(
  scores: ArrayLike<number>,
  k: number,
  h: number,
  headStart = false,
  restart = headStart,
): CusumChart {
  const n = scores.length;
  const high = new Float64Array(n);
  const low = new Float64Array(n);
  const signals: number[] = [];
  const from = headStart ? h / 2 : 0;
  let up = from;
  let down = from;
  for (let i = 0; i < n; i++) {
    up = Math.max(0, up + scores[i]! - k);
    down = Math.max(0, down - scores[i]! - k);
    high[i] = up;
    low[i] = down;
    if (up > h || down > h) {
      signals.push(i);
      if (restart) {
        up = from;
        down = from;
      }
    }
  }
  return { high, low, signals };
}

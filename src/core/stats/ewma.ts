/**
 * Exponentially weighted moving average with exact limits.
 *
 * z_0 = mean, z_i = lambda y_i + (1 - lambda) z_(i-1); limits mean +- L sigma sqrt(lambda/(2 - lambda) (1 - (1 - lambda)^(2i))).
 * Source: NIST/SEMATECH e-Handbook 6.3.2.4; ISO 7870-6:2016 (public excerpts).
 */
export interface EwmaChart {
  readonly z: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  /** Places strictly beyond a limit. */
  readonly signals: readonly number[];
}

/** EWMA of values; the two limits may also be the fixed ones of the steady state. */
export function ewmaChart(
  values: ArrayLike<number>,
  mean: number,
  sigma: number,
  lambda: number,
  width: number,
  steadyState = false,
): EwmaChart {
  const n = values.length;
  const z = new Float64Array(n);
  const lower = new Float64Array(n);
  const upper = new Float64Array(n);
  const signals: number[] = [];
  let last = mean;
  let grown = 0;
  let half = 0;
  for (let i = 0; i < n; i++) {
    last = lambda * values[i]! + (1 - lambda) * last;
    z[i] = last;
    // After some points the limits have reached the steady state, to the last bit.
    if (grown !== 1) {
      grown = steadyState ? 1 : -Math.expm1(2 * (i + 1) * Math.log1p(-lambda));
      half = width * sigma * Math.sqrt((lambda / (2 - lambda)) * grown);
    }
    lower[i] = mean - half;
    upper[i] = mean + half;
    if (last > upper[i]! || last < lower[i]!) signals.push(i);
  }
  return { z, lower, upper, signals };
}

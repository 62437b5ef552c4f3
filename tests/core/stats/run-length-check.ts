/** Simulated run lengths of the charts, seeded and light: a table value must lie within Monte Carlo error. */
import { expect } from 'vitest';
import { cusumChart } from '#core/stats/cusum.ts';
import { ewmaChart } from '#core/stats/ewma.ts';
import { mersenneTwister } from '#core/stats/mersenne-twister.ts';
import { type RunRuleName, runSignals } from '#core/stats/run-rules.ts';

/** Charts simulated a run length; the standard error of a mean run length is about its size over the root of this. */
const runs = 600;

/** Values go through the chart in pieces of this size until it signals. */
function meanRunLength(
  seed: number,
  shift: number,
  expected: number,
  first: (values: Float64Array) => number | null,
): { mean: number; error: number } {
  const uniform = mersenneTwister(seed);
  const spare: number[] = [];
  // Normals in pairs (Box-Muller) from the same uniforms: faster than quantiles, exact in distribution.
  const normal = (): number => {
    const kept = spare.pop();
    if (kept !== undefined) return kept;
    const radius = Math.sqrt(-2 * Math.log(1 - uniform.next()));
    const angle = 2 * Math.PI * uniform.next();
    spare.push(radius * Math.sin(angle));
    return radius * Math.cos(angle);
  };
  let sum = 0;
  let squares = 0;
  for (let run = 0; run < runs; run++) {
    let values = new Float64Array(0);
    let length: number | null = null;
    // The whole stretch is charted anew when it was too short: the chart code under test has no memory of its own.
    for (let size = Math.ceil(3 * expected) + 20; length === null; size *= 2) {
      const longer = new Float64Array(size);
      longer.set(values);
      for (let i = values.length; i < size; i++) longer[i] = shift + normal();
      values = longer;
      length = first(values);
    }
    sum += length;
    squares += length * length;
  }
  const mean = sum / runs;
  return { mean, error: Math.sqrt((squares / runs - mean * mean) / runs) };
}

function agrees(got: { mean: number; error: number }, wanted: number, rounding: number, what: string): void {
  const bound = 4 * got.error + rounding * wanted + 1e-9;
  expect(Math.abs(got.mean - wanted) <= bound, `${what}: ${got.mean} +- ${got.error} against ${wanted}`).toBe(true);
}

/** Shewhart: first point beyond 3 sigma. */
export function shewhartArl(shift: number, wanted: number): void {
  const got = meanRunLength(101 + Math.round(shift * 100), shift, wanted, (values) => {
    const signal = runSignals(values, ['beyond-3-sigma'])[0];
    return signal ? signal.at + 1 : null;
  });
  agrees(got, wanted, 0, `Shewhart, shift ${shift}`);
}

/** Several run rules together: the first point that completes any of them. */
export function rulesArl(rules: readonly RunRuleName[], shift: number, wanted: number): void {
  const got = meanRunLength(404 + Math.round(shift * 100) + rules.length, shift, wanted, (values) => {
    const signals = runSignals(values, rules);
    return signals.length === 0 ? null : Math.min(...signals.map((signal) => signal.at)) + 1;
  });
  agrees(got, wanted, 0, `${rules.join(', ')}, shift ${shift}`);
}

/** CUSUM from zero state, one- or two-sided. */
export function cusumArl(k: number, h: number, shift: number, wanted: number, sides: 1 | 2, rounding: number): void {
  const got = meanRunLength(202 + Math.round(shift * 100 + h * 1000), shift, wanted, (values) => {
    const chart = cusumChart(values, k, h);
    if (sides === 2) return chart.signals.length > 0 ? chart.signals[0]! + 1 : null;
    const at = chart.high.findIndex((s) => s > h);
    return at < 0 ? null : at + 1;
  });
  agrees(got, wanted, rounding, `CUSUM k ${k} h ${h} shift ${shift}`);
}

/** EWMA with the fixed limits of the steady state, as the tables have it. */
export function ewmaArl(lambda: number, width: number, shift: number, wanted: number, rounding: number): void {
  const got = meanRunLength(303 + Math.round(shift * 100 + lambda * 10_000), shift, wanted, (values) => {
    const chart = ewmaChart(values, 0, 1, lambda, width, true);
    return chart.signals.length > 0 ? chart.signals[0]! + 1 : null;
  });
  agrees(got, wanted, rounding, `EWMA lambda ${lambda} shift ${shift}`);
}

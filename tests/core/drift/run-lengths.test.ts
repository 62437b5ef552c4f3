import { describe, expect, test } from 'vitest';
import { baselineCusumAlarm, baselineEwma } from '#core/stats/baseline-charts.ts';
import { simulationRandom } from '../../bench/simulated-plant.ts';
import { referenceCase } from './reference.ts';

/** Mean run length of a chart and its standard error; a run that outlives `longest` counts as `longest`. */
function runLengths(
  runs: number,
  longest: number,
  seed: number,
  alarm: (values: Float64Array) => number | null,
  shift: number,
): { mean: number; error: number } {
  const { normal } = simulationRandom(seed);
  let sum = 0;
  let squares = 0;
  const values = new Float64Array(longest);
  for (let run = 0; run < runs; run++) {
    for (let i = 0; i < longest; i++) values[i] = shift + normal();
    const at = alarm(values);
    const length = at === null ? longest : at + 1;
    sum += length;
    squares += length * length;
  }
  const mean = sum / runs;
  return { mean, error: Math.sqrt((squares / runs - mean * mean) / runs) };
}

const cusum =
  (h: number) =>
  (values: Float64Array): number | null =>
    baselineCusumAlarm(values, 0, 0, 1, 0.5, h);

describe('CUSUM run lengths against the tables', () => {
  // Sources: Montgomery, Table 9.3 (from memory), and the integral equation solved apart in NumPy.
  for (const h of [4, 5]) {
    const computed = referenceCase('charts.json', `arl-cusum-k0.5-h${h}`);
    const printed = referenceCase('charts.json', `arl-cusum-k0.5-h${h}-printed`);
    for (const shift of [0, 0.5, 1, 2]) {
      test(`charts.json#${computed.id} and its printed table, shift ${shift}`, () => {
        const k = computed.input.shift_sigma.indexOf(shift);
        const want = computed.expect.arl_two_sided[k];
        const got = runLengths(shift === 0 ? 3000 : 6000, shift === 0 ? 6000 : 600, 17, cusum(h), shift);
        expect(Math.abs(got.mean - want)).toBeLessThan(3.5 * got.error);
        const table = printed.expect.arl[printed.input.shift_sigma.indexOf(shift)];
        expect(Math.abs(got.mean - table)).toBeLessThan(3.5 * got.error + 0.005 * table);
      });
    }
  }
});

describe('EWMA run lengths against the tables', () => {
  const baseline = 20_000;
  const quiet = 60;
  /**
   * Our chart as the tables have it: a baseline so long that its mean is known, then values exactly on it until the limits
   * are steady, while the EWMA still starts from the mean.
   */
  const chart = (lambda: number, limitFactor: number) => {
    let held = new Float64Array(0);
    return (values: Float64Array): number | null => {
      if (held.length !== baseline + quiet + values.length) held = new Float64Array(baseline + quiet + values.length);
      held.set(values, baseline + quiet);
      const { alarm } = baselineEwma(held, 0, baseline, 1, lambda, limitFactor);
      return alarm === null ? null : alarm - baseline - quiet;
    };
  };
  // Sources: Lucas & Saccucci 1990 in Montgomery, Table 9.11 (from memory), and the integral equation solved apart in NumPy.
  for (const lambda of ['0.2', '0.1']) {
    const computed = referenceCase('charts.json', `arl-ewma-lambda${lambda}`);
    const printed = referenceCase('charts.json', `arl-ewma-lambda${lambda}-printed`);
    for (const shift of [0, 0.5, 1, 2]) {
      test(`charts.json#${computed.id} and its printed table, shift ${shift}`, () => {
        const { input, expect: want } = computed;
        const run = chart(input.lambda, input.L);
        const got = runLengths(shift === 0 ? 600 : 1000, shift === 0 ? 4000 : 400, 23, run, shift);
        const k = input.shift_sigma.indexOf(shift);
        expect(Math.abs(got.mean - want.arl[k])).toBeLessThan(3.5 * got.error);
        const table = printed.expect.arl[printed.input.shift_sigma.indexOf(shift)];
        expect(Math.abs(got.mean - table)).toBeLessThan(3.5 * got.error + 0.01 * table);
      });
    }
  }
  test('weight 0.2 and L 3: one false alarm in about 560 blocks (definitions 15)', () => {
    const got = runLengths(600, 5000, 37, chart(0.2, 3), 0);
    expect(Math.abs(got.mean - 560)).toBeLessThan(3.5 * got.error);
  });
  test('the doubt of a baseline of 10 keeps false alarms within 40 blocks rare (definitions 15: 4 %)', () => {
    const { normal } = simulationRandom(31);
    const runs = 4000;
    let withDoubt = 0;
    let textbook = 0;
    for (let run = 0; run < runs; run++) {
      // Six tools; the spread is the larger of the tool's own and that of all, from moving ranges.
      const tools = Array.from({ length: 6 }, () => Float64Array.from({ length: 50 }, normal));
      const ranges = tools.map((tool) => {
        let sum = 0;
        for (let i = 1; i < 10; i++) sum += Math.abs(tool[i]! - tool[i - 1]!);
        return sum / 9 / 1.128379167095513;
      });
      const all = ranges.reduce((sum, v) => sum + v, 0) / 6;
      const sigma = Math.max(ranges[0]!, all);
      if (baselineEwma(tools[0]!, 0, 10, sigma).alarm !== null) withDoubt++;
      // Textbook limits: baseline mean and own spread taken as known.
      const mean = tools[0]!.subarray(0, 10).reduce((sum, v) => sum + v, 0) / 10;
      let z = mean;
      for (let i = 1; i <= 40; i++) {
        z = 0.2 * tools[0]![9 + i]! + 0.8 * z;
        const limit = 3 * ranges[0]! * Math.sqrt((0.2 / 1.8) * (1 - 0.8 ** (2 * i)));
        if (Math.abs(z - mean) > limit) {
          textbook++;
          break;
        }
      }
    }
    expect(withDoubt / runs).toBeGreaterThan(0.02);
    expect(withDoubt / runs).toBeLessThan(0.06);
    expect(textbook / runs).toBeGreaterThan(0.3);
    expect(textbook / runs).toBeLessThan(0.42);
  });
});

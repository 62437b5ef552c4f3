/** Long work of the core in slices: same result, others answered in between, dropped when nobody wants it any more. */
import { describe, expect, it } from 'vitest';
import type { Progress } from '../../../src/core/contract/events.ts';
import { ProblemError } from '../../../src/core/contract/problems.ts';
import { fitModel } from '../../../src/core/stats/fit-model.ts';
import { mersenneTwister } from '../../../src/core/stats/mersenne-twister.ts';
import { bootstrapSteps, parametricBootstrap } from '../../../src/core/stats/parametric-bootstrap.ts';
import { finished, type Steps } from '../../../src/core/steps.ts';
import { said } from '../../../src/core/text/said.ts';
import { inSlices } from '../../../src/main/engine/in-slices.ts';

const uniform = mersenneTwister(7);
const values = Float64Array.from({ length: 60 }, () => 20 + 5 * uniform.next());
const limits = { low: 18, target: null, high: 28 };
const model = fitModel('weibull', values, 0.01);
const bootstrap = () => {
  if (!model) throw new Error('no fit');
  return bootstrapSteps(model, values.length, limits, 1999, 42, 0.01, null);
};

/** Busy for so many ms a step. */
function* busy(steps: number, ms: number): Steps<string> {
  for (let k = 0; k < steps; k++) {
    const until = performance.now() + ms;
    while (performance.now() < until);
    yield { done: k, total: steps };
  }
  return 'done';
}

/** Processor time of this process: unlike the clock, it stands still while another program has the core. */
function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

describe('inSlices', () => {
  it('gives the bootstrap draw for draw, as without slices', async () => {
    if (!model) throw new Error('no fit');
    const whole = parametricBootstrap(model, values.length, limits, 1999, 42, 0.01);
    expect(await inSlices(bootstrap(), {})).toEqual(whole);
    expect(finished(bootstrap())).toEqual(whole);
  });

  it('lets others run between slices, none of which is much longer than 30 ms', async () => {
    let turns = 0;
    let longest = 0;
    let last = processorMs();
    const beat = setInterval(() => {
      turns++;
      longest = Math.max(longest, processorMs() - last);
      last = processorMs();
    }, 1);
    const progress: Progress[] = [];
    expect(await inSlices(busy(100, 5), { onProgress: (one) => progress.push(one) })).toBe('done');
    clearInterval(beat);
    expect(turns).toBeGreaterThanOrEqual(8);
    // 30 ms and one step of 5, in time of our own: what other programs take of the clock is not ours to bound.
    expect(longest).toBeLessThan(100);
    expect(progress[0]).toMatchObject({ phase: 'computing', total: 100, unit: 'steps' });
  });

  it('stops after the slice in which it was cancelled, with the reason it was given', async () => {
    const stop = new AbortController();
    setTimeout(() => stop.abort(), 20);
    const from = performance.now();
    await expect(inSlices(busy(1000, 5), { signal: stop.signal })).rejects.toMatchObject({
      problem: { kind: 'cancelled' },
    });
    expect(performance.now() - from).toBeLessThan(1000);
    const replaced = new AbortController();
    replaced.abort(new ProblemError('superseded', said('problem.superseded', {})));
    await expect(inSlices(busy(1000, 5), { signal: replaced.signal })).rejects.toMatchObject({
      problem: { kind: 'superseded' },
    });
  });
});

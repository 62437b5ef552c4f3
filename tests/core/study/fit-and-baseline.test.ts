/** Choices beyond the usual ones: p of a fit by bootstrap, a baseline chosen by hand, a certificate for the guard band. */
import { describe, expect, test } from 'vitest';
import type { CheckPull } from '#core/register/register.ts';
import { studyAnswer } from '#core/study/study-answer.ts';
import { studyModel } from '#core/study/study-model.ts';
import { say } from '#core/text/said.ts';
import { caseOf, near } from '../stats/reference-cases.ts';
import { choices, joint, plantOf, type Row, start, strangeNumbers, tool, tools } from './plant-of.ts';

const torque125: number[] = caseOf('definitions-study.json#quantiles').input.torque125;
const day = 86_400_000;
const daysOfFive = (values: readonly number[]): Row[] =>
  values.map((value, i) => ({ value, at: start + Math.floor(i / 5) * day + (i % 5) * 150_000 }));
const plant = plantOf(daysOfFive(torque125));

describe('p of a fitted model, on request', () => {
  // NumPy 1.24 and SciPy 1.10 by a script of eleven lines: RandomState(seed).random_sample draw for draw, closed-form fit
  // (n in the deviation), A² from log_ndtr; 1999 replicates.
  test.each([
    [20_261_126, 37],
    [1, 59],
  ])('with seed %i counts the same replicates as NumPy and SciPy do', (seed, atLeast) => {
    const answer = studyAnswer(plant, choices({ model: 'lognormal', fitP: true, seed }), tools);
    near(answer.model.fit?.statistic, 0.8996857027709666, 1e-9);
    expect(answer.model.fit?.replicates).toBe(1999);
    near(answer.model.fit?.p, (1 + atLeast) / 2000, 1e-15);
    expect(answer.working.model?.withNumbers).toContain(`(1 + ${atLeast})/(1999 + 1)`);
  });

  test('leaves indices and intervals as they are without it, draw for draw', () => {
    const without = studyAnswer(plant, choices({ model: 'weibull' }), tools);
    const asked = studyAnswer(plant, choices({ model: 'weibull', fitP: true }), tools);
    expect(asked.indices).toEqual(without.indices);
    expect(asked.outside).toEqual(without.outside);
    expect(without.model.fit).toBeNull();
    expect(asked.model.fit?.p).toBeGreaterThan(0);
  });

  test('is refused in a sentence for the normal, for the readings themselves, and for too many readings', () => {
    const caution = (more: Parameters<typeof choices>[0], of = plant) =>
      studyAnswer(of, choices({ fitP: true, ...more }), tools).cautions.join(' ');
    expect(caution({})).toContain('The p of the normal comes from its table');
    expect(caution({ model: 'empirical' })).toContain('cannot be tested against the readings');
    const many = plantOf(Array.from({ length: 1100 }, (_, i) => ({ value: 24 + (i % 100) / 100 })));
    expect(caution({ model: 'gamma' }, many)).toContain(
      'No p for this distribution: its bootstrap is made up to 1000 readings',
    );
    expect(studyAnswer(many, choices({ model: 'gamma', fitP: true }), tools).model.fit).toBeNull();
  });
});

describe('a baseline chosen by hand', () => {
  // The first 15 days hold 75 readings in 15 groups; after that everything lies 1 N·m higher.
  const moved = plantOf(daysOfFive(torque125.map((value, i) => (i < 75 ? value : value + 1))));
  const baseline = { from: null, to: start + 15 * day - 7_200_000 };
  const held = studyAnswer(moved, choices({ baseline }), tools);

  test('gives centre and limits of its groups alone: those of a study of these readings', () => {
    const alone = studyAnswer(plantOf(daysOfFive(torque125.slice(0, 75))), choices(), tools);
    near(held.stability.center, alone.stability.center ?? 0, 1e-12);
    near(held.stability.lower, alone.stability.lower ?? 0, 1e-12);
    near(held.stability.upper, alone.stability.upper ?? 0, 1e-12);
    expect(held.stability.baseline).toEqual({ from: null, to: '2026-11-17T04:01:00', points: 15 });
  });

  test('leaves the indices those of all readings, and shows the later groups outside', () => {
    const whole = studyAnswer(moved, choices(), tools);
    expect(held.indices).toEqual(whole.indices);
    expect(held.stability.signals.length).toBeGreaterThan(whole.stability.signals.length);
    expect(held.verdict.outcome).toBe('not-stable');
  });

  test('is part of the fingerprint, said among the cautions and the notes, and printed in the working', () => {
    const whole = studyAnswer(moved, choices(), tools);
    expect(held.fingerprint).not.toBe(whole.fingerprint);
    expect(held.cautions.join(' ')).toContain('come from 15 of 25 points, those of before');
    const model = studyModel(moved, choices({ baseline }), tools);
    expect(model.methodNotes.map((one) => say(one)).join(' ')).toContain('Baseline of the control chart');
    expect(strangeNumbers(model)).toEqual([]);
  });

  test('with under ten groups in it stability is not judged, in a sentence', () => {
    const few = studyModel(moved, choices({ baseline: { from: null, to: start + 4 * day } }), tools);
    expect(few.chart.upper).toBeNull();
    expect(few.chart.status).toBeNull();
    expect(few.chart.baseline?.points).toBe(4);
    expect(strangeNumbers(few)).toEqual([]);
    const none = studyModel(moved, choices({ baseline: { from: 0, to: 1 }, subgroup: 1 }), tools);
    expect(none.chart.center).toBeNull();
    expect(strangeNumbers(none)).toEqual([]);
  });

  test('of single readings takes their moving ranges alone', () => {
    const singles = studyAnswer(moved, choices({ subgroup: 1, baseline }), tools);
    const alone = studyAnswer(plantOf(daysOfFive(torque125.slice(0, 75))), choices({ subgroup: 1 }), tools);
    near(singles.stability.upper, alone.stability.upper ?? 0, 1e-12);
    near(singles.stability.center, alone.stability.center ?? 0, 1e-12);
  });
});

describe('phases', () => {
  test('a calibration between the readings is said, and the limits stay those of all', () => {
    const calibrated = plantOf(daysOfFive(torque125), {
      tools: [tool('T-1', { events: [{ at: start + 10 * day, kind: 'calibration', note: null }] })],
    });
    const answer = studyAnswer(calibrated, choices(), tools);
    expect(answer.cautions.join(' ')).toContain('2 phases');
    expect(answer.stability.center).toBe(studyAnswer(plant, choices(), tools).stability.center);
  });
});

describe('guard band by a certificate (definitions 13)', () => {
  const pull = (more: Partial<CheckPull>): CheckPull => ({
    tool: 0,
    at: start - 30 * day,
    nominal: 24,
    reference: 24,
    shown: 24,
    unit: 'N.m',
    kind: 'as-left',
    uncertaintyPercent: 1,
    ...more,
  });
  const measured = (checks: readonly CheckPull[], more: Parameters<typeof plantOf>[1] = {}) =>
    studyAnswer(plantOf(daysOfFive(torque125), { checks: [...checks], ...more }), choices(), tools).measurement;

  test('half its expanded uncertainty stands instead of the permissible deviation', () => {
    // definitions-tool.json#guard-band-certificate: u 0.12 N·m at 26 gives 0.19745710979433823; here U = 2 x 0.12 / 26.
    const found = measured([pull({ uncertaintyPercent: (100 * 0.24) / 26 })]);
    near(found.guardHigh, 26 - 0.19745710979433823, 1e-12);
    // Against 24.99 by the permissible deviation alone.
    expect(found.guardHigh).toBeGreaterThan(25.7);
    near(found.uncertaintyRatio, 4 / (2 * 24 * (0.24 / 26)), 1e-12);
  });

  test('its deviation is taken out: a tool that shows 2 % too much proves less at the low limit', () => {
    const found = measured([pull({ shown: 24.48 })]);
    near(found.guardLow, (22 + 1.645 * Math.sqrt((0.005 * 22) ** 2 + 0.01 ** 2 / 12)) * 1.02, 1e-12);
    near(found.guardHigh, (26 - 1.645 * Math.sqrt((0.005 * 26) ** 2 + 0.01 ** 2 / 12)) * 1.02, 1e-12);
    expect(found.certificate).toEqual({
      at: '2026-10-03T06:01:00',
      expandedPercent: 1,
      deviationPercent: expect.closeTo(2, 10),
    });
  });

  test('is that of the nominal nearest to the joint, of the newest check up to the last reading', () => {
    const found = measured([
      pull({ nominal: 10, reference: 10, shown: 10.3 }),
      pull({ nominal: 25, reference: 25, shown: 25.25 }),
      pull({ at: start + 400 * day, shown: 24.9 }),
    ]);
    expect(found.certificate?.deviationPercent).toBeCloseTo(1, 10);
  });

  test('a check without an uncertainty, or one that failed, leaves the permissible deviation', () => {
    for (const check of [pull({ uncertaintyPercent: null }), pull({ shown: 26 })]) {
      const found = measured([pull({ at: start - 60 * day }), check]);
      expect(found.certificate).toBeNull();
      near(found.guardLow, 22.835785740211968, 1e-12);
    }
  });

  test('a calibration or repair after it sets it aside; its own as-left check stands', () => {
    const serviced = (at: number) => ({
      tools: [tool('T-1', { events: [{ at, kind: 'calibration' as const, note: null }] })],
    });
    expect(measured([pull({})], serviced(start + 5 * day)).certificate).toBeNull();
    expect(measured([pull({})], serviced(start - 30 * day)).certificate).not.toBeNull();
    expect(measured([pull({})], serviced(start + 500 * day)).certificate).not.toBeNull();
  });

  test('a tool whose permissible deviation is not known has a guard band by its certificate', () => {
    const found = measured([pull({})], { tools: [tool('T-1', { permissibleDeviationPercent: null })] });
    expect(found.guardLow).toBeGreaterThan(22);
    expect(found.accuracyRatio).toBeNull();
    expect(found.ppkAtPermittedError).toBeNull();
    expect(found.proof?.inside).toBeGreaterThan(0);
  });

  test('an angle, a joint without limits, one side only: nothing strange', () => {
    for (const joints of [[joint({ high: null, target: null })], [joint({}, { revisions: [] })]]) {
      const one = plantOf(daysOfFive(torque125), { joints, checks: [pull({})] });
      expect(strangeNumbers(studyModel(one, choices(), tools))).toEqual([]);
      expect(strangeNumbers(studyModel(one, choices({ of: 'angle' }), tools))).toEqual([]);
    }
  });
});

/** Degenerate data in every form that leaves the program: a sentence, not a number; never NaN, Infinity or undefined. */
import { describe, expect, it } from 'vitest';
import { ProblemError } from '#core/contract/problems.ts';
import { mersenneTwister } from '#core/stats/mersenne-twister.ts';
import { normalQuantile } from '#core/stats/normal-distribution.ts';
import { studyAnswer } from '#core/study/study-answer.ts';
import { studyModel } from '#core/study/study-model.ts';
import { say } from '#core/text/said.ts';
import { studyFile } from '../../../src/main/report/study-file.ts';
import { choices, joint, plantOf, type Row, start, strangeNumbers, tools } from '../../core/study/plant-of.ts';

const facts = { madeMs: Date.UTC(2026, 10, 26, 9, 12), by: 'A. Solheim', plantName: null };
const uniform = mersenneTwister(11);
const drawn = (n: number, mean: number, s: number): Row[] =>
  Array.from({ length: n }, () => ({
    value: Math.round((mean + s * normalQuantile(uniform.next())) * 100) / 100,
    angle: Math.round(10 * (40 + 4 * normalQuantile(uniform.next()))) / 10,
  }));
const angles = { angleLowDeg: 30, angleTargetDeg: 40, angleHighDeg: 50 };

const cases: [
  name: string,
  rows: readonly Row[],
  chosen: Parameters<typeof choices>[0],
  register: Parameters<typeof plantOf>[1],
  says: string,
][] = [
  ['n = 0', [], {}, {}, 'No readings of J1'],
  ['n = 1', [{ value: 24 }], {}, {}, 'needs at least 25'],
  ['n = 2', [{ value: 24 }, { value: 24.1 }], {}, {}, 'needs at least 25'],
  ['n = 2, single readings', [{ value: 24 }, { value: 24.1 }], { subgroup: 1 }, {}, 'needs at least 25'],
  ['all equal', Array.from({ length: 60 }, () => ({ value: 24 })), {}, {}, 'Not computed'],
  [
    'all equal, single readings',
    Array.from({ length: 60 }, () => ({ value: 24 })),
    { subgroup: 1 },
    {},
    'Not computed',
  ],
  [
    'three levels',
    Array.from({ length: 90 }, (_, i) => ({ value: 24 + (i % 3) / 10 })),
    {},
    {},
    'only three different values',
  ],
  ['low limit only', drawn(60, 24, 0.4), {}, { joints: [joint({ high: null, target: null })] }, 'One limit only'],
  ['high limit only', drawn(60, 24, 0.4), {}, { joints: [joint({ low: null, target: null })] }, 'One limit only'],
  ['limits equal', drawn(60, 24, 0.4), {}, { joints: [joint({ low: 24, high: 24 })] }, 'limit are equal'],
  ['joint without limits', drawn(60, 24, 0.4), {}, { joints: [joint({}, { revisions: [] })] }, 'has no limits'],
  ['joint without class', drawn(60, 24, 0.4), {}, { joints: [joint({}, { class: null })] }, 'nothing to judge against'],
  ['angle as characteristic', drawn(60, 24, 0.4), { of: 'angle' }, { joints: [joint(angles)] }, 'shown angle'],
  ['angle without limits of angle', drawn(60, 24, 0.4), { of: 'angle' }, {}, 'has no limits'],
  ['no angles at all', drawn(60, 24, 0.4).map(({ value }) => ({ value })), { of: 'angle' }, {}, 'only pass or fail'],
  ['joint stopped by angle', drawn(60, 24, 0.4), {}, { joints: [joint(angles, { stopsBy: 'angle' })] }, 'Ppk'],
  ['no times', drawn(60, 24, 0.4).map((row) => ({ ...row, at: Number.NaN })), {}, {}, 'have no time'],
  ['all left out', drawn(30, 24, 0.4).map((row) => ({ ...row, leftOut: 'wrong joint' })), {}, {}, 'are left out'],
  ['all far outside', drawn(60, 40, 0.4), {}, {}, 'Not met'],
  ['a model that needs positive values', [...drawn(60, 24, 0.4), { value: 0 }], { model: 'gamma' }, {}, 'does not fit'],
  ['too few for the readings themselves', drawn(60, 24, 0.4), { model: 'empirical' }, {}, 'does not fit'],
  ['a baseline without a reading', drawn(60, 24, 0.4), { baseline: { from: 0, to: 1 } }, {}, 'Stability not judged'],
  [
    'groups that never fill',
    drawn(60, 24, 0.4).map((row, i) => ({ ...row, at: start + i * 86_400_000 })),
    { subgroup: 25 },
    {},
    'no group holds two',
  ],
];

const decoder = new TextDecoder();

describe.each(cases)('%s', (_name, rows, chosen, register, says) => {
  const plant = plantOf(rows, register);
  const model = studyModel(plant, choices(chosen), tools);

  it('screen model and answer hold finite numbers or nulls', () => {
    expect(strangeNumbers(model)).toEqual([]);
    expect(strangeNumbers(model.answer)).toEqual([]);
    for (const row of model.indices) if (row.value === null) expect(say(row.note!)).toMatch(/^Not computed: .*\.$/);
  });

  it('page, CSV and JSON say what is missing in words', async () => {
    const page = decoder.decode((await studyFile(model, 'html', facts)).bytes);
    const csv = decoder.decode((await studyFile(model, 'csv', facts)).bytes);
    const json = decoder.decode((await studyFile(model, 'json', facts)).bytes);
    for (const text of [page, csv, json]) expect(text).not.toMatch(/NaN|Infinity|\bundefined\b/);
    expect(plain(page)).toContain(says);
  });
});

/** Words of a page, without drawings and markup. */
const plain = (html: string): string =>
  html
    .replace(/<style>.*?<\/style>|<svg.*?<\/svg>/gs, ' ')
    .replace(/<[^>]+>/g, ' ')
    .replace(/\s+/g, ' ');

it('an unknown joint is refused in a sentence, not answered with empty figures', () => {
  try {
    studyAnswer(plantOf([]), choices({ joint: 'nowhere' }), tools);
    expect.unreachable();
  } catch (thrown) {
    expect(thrown).toBeInstanceOf(ProblemError);
    expect(String(thrown)).toContain('no joint named');
  }
});

it('a million readings: a study of them all, finite in every form', { timeout: 120_000 }, async () => {
  const many = Array.from({ length: 1_000_000 }, (_, i) => ({
    value: 24 + ((i * 7919) % 997) / 1000 - 0.5,
    at: start + i * 180_000,
  }));
  const model = studyModel(plantOf(many), choices(), tools);
  expect(model.answer?.n).toBe(1_000_000);
  expect(model.marks.length + model.bands.length).toBeLessThanOrEqual(4400);
  expect(strangeNumbers(model)).toEqual([]);
  expect(decoder.decode((await studyFile(model, 'html', facts)).bytes)).not.toMatch(/NaN|Infinity|\bundefined\b/);
});

/** The JSON document of `study --json` has exactly the fields the command line promises, and those added since. */
import { expect, test } from 'vitest';
import { studyAnswer } from '#core/study/study-answer.ts';
import { caseOf } from '../stats/reference-cases.ts';
import { choices, plantOf, start, tools } from './plant-of.ts';

const torque125: number[] = caseOf('definitions-study.json#quantiles').input.torque125;

/** Fields of the contract; a list stands for the fields of its first entry. */
const contract = {
  top: 'joint characteristic attempts unit n subgroups excluded limits location spread indices measurement moreReadings model normality outside stability outliers verdict cautions working',
  subgroups: 'size count leftOver',
  excluded: 'reading reason by at',
  limits: 'low target high',
  location: 'mean median',
  spread: 'overall within withinMethod degreesOfFreedom',
  degreesOfFreedom: 'overall within',
  indices: 'Cp Cpk Pp Ppk Cpm Cm Cmk',
  index: 'value low95 high95 method',
  measurement: 'permissiblePercent accuracyRatio uncertaintyRatio guardLow guardHigh ppkAtPermittedError',
  moreReadings: 'evenOdds ninetyPercent',
  model: 'name parameters ranked',
  ranked: 'name aicc ad',
  normality: 'andersonDarling shapiroWilk',
  test: 'statistic p',
  outside: 'observed expectedPpm',
  observed: 'count share low95 high95',
  expectedPpm: 'value low95 high95',
  stability: 'status signals center lower upper',
  signal: 'rule readings',
  outlier: 'reading test',
  verdict: 'requirement judged outcome withoutStability met because',
  requirement: 'index value',
  working: 'symbol value formula withNumbers inputs method source unmet',
} as const;

function holds(value: unknown, part: keyof typeof contract): void {
  expect(value, part).toBeTypeOf('object');
  for (const key of contract[part].split(' ')) expect(Object.keys(value as object), part).toContain(key);
}

test('every promised field is there under its name', () => {
  const rows = torque125.map((value, i) => ({
    value: i === 40 ? 29 : i >= 60 && i < 65 ? 25.2 : value,
    at: start + Math.floor(i / 5) * 86_400_000 + (i % 5) * 150_000,
    ...(i === 7 ? { leftOut: 'wrong bolt' } : {}),
  }));
  // Through JSON, as a caller gets it.
  const answer = JSON.parse(
    JSON.stringify(studyAnswer(plantOf(rows), choices({ requirement: { index: 'Ppk', value: 0.8 } }), tools)),
  );
  holds(answer, 'top');
  for (const part of [
    'subgroups',
    'limits',
    'location',
    'spread',
    'indices',
    'measurement',
    'model',
    'normality',
    'outside',
    'stability',
    'verdict',
  ] as const) {
    holds(answer[part], part);
  }
  holds(answer.excluded[0], 'excluded');
  holds(answer.spread.degreesOfFreedom, 'degreesOfFreedom');
  holds(answer.indices.Ppk, 'index');
  holds(answer.model.ranked[0], 'ranked');
  holds(answer.normality.andersonDarling, 'test');
  holds(answer.normality.shapiroWilk, 'test');
  holds(answer.outside.observed, 'observed');
  holds(answer.outside.expectedPpm, 'expectedPpm');
  holds(answer.stability.signals[0], 'signal');
  holds(answer.outliers[0], 'outlier');
  holds(answer.verdict.requirement, 'requirement');
  holds(answer.working.Ppk, 'working');
  if (answer.moreReadings) holds(answer.moreReadings, 'moreReadings');
  expect(['normal', 'percentile']).toContain(answer.indices.Ppk.method);
  expect(['stable', 'as-chance', 'not-stable', null]).toContain(answer.stability.status);
  expect(answer.cautions.every((caution: unknown) => typeof caution === 'string')).toBe(true);
});

test('Pp, Cp and percentile indices have no plan for more readings; Ppk and Cpk have (definitions 10)', () => {
  const rows = torque125.map((value, i) => ({ value, at: start + Math.floor(i / 5) * 86_400_000 + (i % 5) * 150_000 }));
  const plant = plantOf(rows);
  const plan = (index: 'Pp' | 'Cp' | 'Ppk' | 'Cpk', value: number, model: 'normal' | 'lognormal' = 'normal') =>
    studyAnswer(plant, choices({ requirement: { index, value }, model }), tools).moreReadings;
  expect(plan('Pp', 1.5)).toBeNull();
  expect(plan('Cp', 1.4)).toBeNull();
  expect(plan('Ppk', 1.4, 'lognormal')).toBeNull();
  expect(plan('Ppk', 1.4)).not.toBeNull();
  expect(plan('Cpk', 1.3)).not.toBeNull();
  expect(plan('Ppk', 1.2), 'already shown').toBeNull();
});

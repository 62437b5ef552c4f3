/**
 * The study of every joint of the sample scenario against a second computation made outside the project
 * (tests/reference/second-computation: base R 4.2.2, from the definitions, sharing no code).
 */
import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type CallName, type Replies, type RequestInput, requestSchemas } from '#core/contract/calls.ts';
import type { StudyAnswer, StudyChoices, StudyModel } from '#core/contract/models/study-model.ts';
import { weibullModel } from '#core/stats/fit-weibull.ts';
import type { FittedModel } from '#core/stats/fitted-model.ts';
import { normalQuantile } from '#core/stats/normal-distribution.ts';
import { percentileIndices } from '#core/stats/percentile-indices.ts';
import { type Engine, openEngine } from '../../../src/main/engine/engine.ts';
import { type ExportedReading, readingsCsv } from '../../reference/second-computation/to-csv.ts';
import { near } from '../stats/reference-cases.ts';

const lines = readFileSync(new URL('../../reference/second-computation/r-figures.csv', import.meta.url), 'utf8')
  .trim()
  .split('\n');
const rows = lines.slice(2).map((line) => {
  const found = /^"([^"]*)",([^,]*),([^,]*),(.*)$/.exec(line);
  if (!found) throw new Error(line);
  const [, joint = '', within = '', figure = '', value = ''] = found;
  return { joint, within, figure, value: Number(value) };
});
const joints = [...new Set(rows.map((row) => row.joint))];
/** The whole plant, as the schema wants it. */
const wholePlant = { from: null, to: null, shifts: [], joints: [], tools: [], operators: [] };
const methods = ['pooled', 's-bar', 'r-bar', 'mr-bar', 'mr-median'] as const;

let folder = '';
let engine: Engine;
const ask = <C extends CallName>(call: C, body: RequestInput<C>): Promise<Replies[C]> =>
  // The schema of this very call.
  engine.serve(call, requestSchemas[call].parse(body) as never);

beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), 'tightbook-second-'));
  engine = await openEngine({
    storePath: path.join(folder, 'plant.tightbook'),
    clock: () => Date.UTC(2026, 10, 26, 8),
    programVersion: '0.0.0-test',
    sampleFolder: fileURLToPath(new URL('../../../sample-data/', import.meta.url)),
    who: 'test',
  });
  await ask('demo:load', {});
}, 120_000);

afterAll(async () => {
  await engine.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Figures of an answer under the names of the second computation. */
function figures(answer: StudyAnswer, model: StudyModel): Record<string, number | null> {
  const found: Record<string, number | null> = {
    n: answer.n,
    groups: answer.subgroups.count,
    leftOver: answer.subgroups.leftOver,
    mean: answer.location.mean,
    median: answer.location.median,
    overall: answer.spread.overall,
    within: answer.spread.within,
    nu: answer.spread.degreesOfFreedom.within,
    center: answer.stability.center,
    lower: answer.stability.lower,
    upper: answer.stability.upper,
    beyond: model.chart.counts.beyond,
    A2: answer.normality.andersonDarling?.statistic ?? null,
    W: answer.normality.shapiroWilk?.statistic ?? null,
    observed: answer.outside.observed.count,
    'observed.low95': answer.outside.observed.low95,
    'observed.high95': answer.outside.observed.high95,
    expectedPpm: answer.outside.expectedPpm?.value ?? null,
    'expectedPpm.low95': answer.outside.expectedPpm?.low95 ?? null,
    'expectedPpm.high95': answer.outside.expectedPpm?.high95 ?? null,
    ppkAtPermittedError: answer.measurement.ppkAtPermittedError,
    ...answer.model.parameters,
  };
  for (const [name, index] of Object.entries(answer.indices)) {
    found[name] = index?.value ?? null;
    found[`${name}.low95`] = index?.low95 ?? null;
    found[`${name}.high95`] = index?.high95 ?? null;
  }
  return found;
}

/**
 * Agreement asked for. A2 and expected shares far out multiply rounding of mean and s; iterative fits 1e-6 on
 * parameters (definitions 9); d3 by R's `integrate` 1e-8.
 */
function tolerance(row: { within: string; figure: string }): number {
  if (row.within === 'weibull') return 1e-6;
  if (row.within === 'r-bar') return 1e-8;
  if (/^expectedPpm/.test(row.figure)) return 1e-8;
  return 1e-9;
}

async function compare(
  joint: string,
  choices: Partial<StudyChoices>,
  wanted: readonly (typeof rows)[number][],
): Promise<void> {
  const model = await ask('study:read', { joint, scope: wholePlant, ...choices });
  if (!model.answer) throw new Error(`no answer for ${joint}`);
  const got = figures(model.answer, model);
  for (const row of wanted) near(got[row.figure], row.value, tolerance(row), `${joint} ${row.within} ${row.figure}`);
  expect(wanted.length).toBeGreaterThan(0);
}

test('the readings are those of the second computation', async () => {
  const answer = await ask('readings:answer', { scope: wholePlant, offset: 0, limit: 100_000 });
  // The document of the command line contract.
  const text = readingsCsv(answer.readings as ExportedReading[]);
  const md5 = createHash('md5').update(text, 'utf8').digest('hex');
  expect(
    lines[0],
    'the sample has changed: make r-figures.csv anew (tests/reference/second-computation/README.md)',
  ).toContain(md5);
});

describe.each(joints)('%s', (joint) => {
  const own = rows.filter((row) => row.joint === joint);
  test('description, overall indices, normality, shares, permitted error', () =>
    compare(
      joint,
      {},
      own.filter((row) => row.within === ''),
    ));
  for (const method of methods) {
    const wanted = own.filter((row) => row.within === method);
    if (wanted.length > 0)
      test(`${method}: sigma, degrees of freedom, Cp, Cpk`, () => compare(joint, { within: method }, wanted));
  }
  for (const name of ['lognormal', 'weibull'] as const) {
    const wanted = own.filter((row) => row.within === name);
    if (wanted.length === 0) continue;
    // From the list of fits: choosing the model would make its bootstrap as well, which takes a second a joint.
    test(`${name}: parameters and Ppk`, async () => {
      const model = await ask('study:read', { joint, scope: wholePlant });
      const parameters = model.models.find((fit) => fit.name === name)?.parameters ?? {};
      const { meanlog = 0, sdlog = 0, shape = 0, scale = 0 } = parameters;
      const quantile =
        name === 'lognormal'
          ? (p: number) => Math.exp(meanlog + sdlog * normalQuantile(p))
          : weibullModel(shape, scale, null).quantile;
      // Only quantiles are asked of it.
      const Ppk = percentileIndices({ quantile } as FittedModel, model.limits)?.Ppk ?? null;
      for (const row of wanted) {
        near(row.figure === 'Ppk' ? Ppk : parameters[row.figure], row.value, tolerance(row), `${joint} ${row.figure}`);
      }
    });
  }
});

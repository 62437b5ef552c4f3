/** The cases that pin the definitions of a study, computed twice outside (R 4.2.2; NumPy and SciPy). */
import { createHash } from 'node:crypto';
import { expect } from 'vitest';
import { andersonDarlingNormal } from '#core/stats/anderson-darling.ts';
import { cpmIndex, indexPair, type Limits, machineIndicesApply } from '#core/stats/capability-indices.ts';
import { varianceComponents } from '#core/stats/compare-groups.ts';
import { chartConstants } from '#core/stats/control-constants.ts';
import { expectedShareNormal } from '#core/stats/expected-share.ts';
import { fitModel, modelAndersonDarling } from '#core/stats/fit-model.ts';
import { aicc, type FittedModel, type ModelName } from '#core/stats/fitted-model.ts';
import {
  accuracyRatio,
  guardBand,
  indexAtPermittedError,
  proofOf,
  provedWindow,
  uncertaintyRatio,
} from '#core/stats/guard-band.ts';
import { histogramBins, histogramWidth } from '#core/stats/histogram.ts';
import { mersenneTwister } from '#core/stats/mersenne-twister.ts';
import { moreReadings } from '#core/stats/more-readings.ts';
import { normalQuantile } from '#core/stats/normal-distribution.ts';
import { generalisedEsd, grubbsTest, mostOutliers } from '#core/stats/outlier-tests.ts';
import { parametricBootstrap, tooManyFailed } from '#core/stats/parametric-bootstrap.ts';
import { modelShareOutside, percentileIndices } from '#core/stats/percentile-indices.ts';
import { fillibenPosition, orderStatisticBand } from '#core/stats/probability-plot.ts';
import { medianAbsoluteDeviation, quantileType6, quantileType7, sortedCopy } from '#core/stats/quantiles.ts';
import { judgeEstimate, judgeInterval, metBy } from '#core/stats/requirement-verdict.ts';
import { type RunRuleName, runRuleNames, runSignals } from '#core/stats/run-rules.ts';
import { sampleMoments, skewnessG1 } from '#core/stats/sample-moments.ts';
import { shapiroWilk } from '#core/stats/shapiro-wilk.ts';
import { stabilityByCount } from '#core/stats/stability-by-count.ts';
import { formSubgroups, groupFigures } from '#core/stats/subgroups.ts';
import {
  movingRanges,
  type WithinMethod,
  type WithinSigma,
  withinDefaults,
  withinSigmaOfGroups,
  withinSigmaOfRanges,
} from '#core/stats/within-sigma.ts';
import { fingerprintSeed, fingerprintText } from '#core/study/fingerprint.ts';
import { caseOf, near, nearAll, type ReferenceCase, runCases } from './reference-cases.ts';

const torque125: number[] = caseOf('definitions-study.json#quantiles').input.torque125;
const angle60: number[] = caseOf('definitions-study.json#model-normal').input.angle60;
const stop80: number[] = caseOf('definitions-study.json#stop-normal').input.stop80;

interface StudyRow {
  readonly tool: string;
  readonly shift: string;
  readonly torque: number;
  readonly excluded: boolean;
}
const studyRows: StudyRow[] = caseOf('definitions-study.json#subgroups').input.readings;

/** Numbers labels from 0 in order of first appearance. */
function numbered(labels: readonly string[]): Int32Array {
  const known = new Map<string, number>();
  return Int32Array.from(labels, (label) => {
    const found = known.get(label) ?? known.size;
    known.set(label, found);
    return found;
  });
}

function sigmaOf(
  values: readonly number[],
  groupOf: Int32Array,
  count: number,
  runOf: Int32Array,
  method: WithinMethod,
): WithinSigma {
  const found =
    method === 'mr-bar' || method === 'mr-median'
      ? withinSigmaOfRanges(movingRanges(values, runOf), method)
      : withinSigmaOfGroups(groupFigures(values, groupOf, count), method);
  if (!found.ok) throw new Error(method);
  return found.value;
}

const limitsOf = (list: readonly (number | null)[]): Limits => ({
  low: list[0] ?? null,
  target: list[1] ?? null,
  high: list[2] ?? null,
});

type Wanted = Record<string, { value: number; low95: number; high95: number }>;

/** Every index of the case; one that is not in it must be null. */
function indicesAgree(
  limits: Limits,
  mean: number,
  n: number,
  s: number,
  within: number,
  nu: number,
  wanted: Wanted,
): void {
  const overall = indexPair(limits, mean, n, s, n - 1);
  const inside = indexPair(limits, mean, n, within, nu);
  const got = {
    Pp: overall.potential,
    Ppk: overall.nearer,
    Cp: inside.potential,
    Cpk: inside.nearer,
    Cpm: cpmIndex(limits, mean, s, n),
  };
  for (const [name, interval] of Object.entries(got)) {
    const goal = wanted[name];
    if (!goal) {
      expect(interval, name).toBeNull();
      continue;
    }
    near(interval?.value, goal.value, 1e-9, name);
    near(interval?.low95, goal.low95, 1e-8, `${name}.low95`);
    near(interval?.high95, goal.high95, 1e-8, `${name}.high95`);
  }
}

const study: Record<string, (one: ReferenceCase) => void> = {
  quantiles: ({ input, expect: wanted }) => {
    input.p_ten.forEach((p: number, i: number) => {
      near(quantileType7(input.ten, p), wanted.ten[i], 1e-12);
    });
    const sorted = sortedCopy(torque125);
    input.p_torque125.forEach((p: number, i: number) => {
      near(quantileType7(sorted, p), wanted.torque125[i], 1e-12);
    });
    const ends = Array.from({ length: 1999 }, (_, i) => i + 1);
    expect([quantileType6(ends, 0.025), quantileType6(ends, 0.975)]).toEqual(wanted.ends6);
    near(medianAbsoluteDeviation(torque125), wanted.mad, 1e-9);
    near(skewnessG1(torque125), wanted.G1, 1e-9);
  },
  'probability-plot-7': ({ input, expect: wanted }) => {
    const at = (p: number): number => input.mean + input.sd * normalQuantile(p);
    for (let i = 1; i <= input.n; i++) {
      near(fillibenPosition(i, input.n), wanted.positions[i - 1], 1e-12);
      const band = orderStatisticBand(i, input.n);
      near(at(band.low), wanted.band_low[i - 1], 1e-8);
      near(at(band.high), wanted.band_high[i - 1], 1e-8);
    }
  },
  'histogram-torque125': ({ input, expect: wanted }) => {
    const sorted = sortedCopy(torque125);
    const bins = histogramBins(sorted, input.h, 0.01, input.low)!;
    near(
      2 * (quantileType7(sorted, 0.75) - quantileType7(sorted, 0.25)) * 125 ** (-1 / 3),
      wanted.freedman_diaconis,
      1e-9,
    );
    expect(bins.width).toBe(wanted.width);
    near(bins.edges[0], wanted.first_edge_at_or_below_min, 1e-12);
    expect(bins.counts.reduce((a, b) => a + b, 0)).toBe(125);
  },
  'histogram-width': ({ input, expect: wanted }) => {
    input.forEach((row: Record<string, number>, i: number) => {
      near(histogramWidth(row.freedman_diaconis!, row.h!, row.decimal_step!), wanted[i], 1e-12);
    });
  },
  subgroups: ({ input, expect: wanted }) => {
    const strata = numbered(studyRows.map((row) => `${row.tool}/${row.shift}`));
    const { groupOf, count } = formSubgroups(strata, input.subgroup);
    expect(Array.from(groupOf, (g) => (g < 0 ? null : g + 1))).toEqual(wanted.group);
    expect(groupOf.filter((g) => g < 0)).toHaveLength(wanted.remainder);
    const used = studyRows.flatMap((row, i) => (row.excluded ? [] : [{ value: row.torque, group: groupOf[i]! }]));
    const figures = groupFigures(
      used.map((row) => row.value),
      used.map((row) => row.group),
      count,
    );
    expect(Array.from(figures.n)).toEqual(wanted.sizes);
    const moments = sampleMoments(used.map((row) => row.value))!;
    expect(moments.n).toBe(wanted.used);
    near(moments.mean, wanted.mean, 1e-12);
    near(moments.standardDeviation, wanted.sd, 1e-12);
  },
  'within-defaults': ({ input, expect: wanted }) => {
    input.forEach((row: { subgroup: number | null }, i: number) => {
      expect(withinDefaults(null, row.subgroup)).toEqual(wanted[i]);
    });
  },
  'nu-25x5': ({ expect: wanted }) => {
    const values = torque125;
    const { groupOf, count } = formSubgroups(new Int32Array(125), 5);
    const runs = new Int32Array(125);
    near(sigmaOf(values, groupOf, count, runs, 's-bar').degreesOfFreedom, wanted['s-bar'], 1e-8);
    near(sigmaOf(values, groupOf, count, runs, 'r-bar').degreesOfFreedom, wanted['r-bar'], 1e-8);
    near(sigmaOf(values, groupOf, count, runs, 'mr-bar').degreesOfFreedom, wanted.mr124, 1e-8);
  },
  'cpm-target-off-middle': ({ input, expect: wanted }) => {
    indicesAgree(limitsOf(input.limits), input.mean, input.n, input.s, input.within, input.nu, wanted);
  },
  'one-sided': ({ input, expect: wanted }) => {
    const { mean, standardDeviation } = sampleMoments(torque125)!;
    indicesAgree(limitsOf(input.limits), mean, 125, standardDeviation!, standardDeviation!, 124, wanted);
  },
  mt19937: ({ input, expect: wanted }) => {
    for (const seed of input.seeds) {
      const uniform = mersenneTwister(seed);
      for (let i = 0; i < input.draws; i++) expect(uniform.next()).toBe(wanted[`seed_${seed}`][i]);
    }
    const key = Object.keys(wanted).find((name) => name.startsWith('normal'));
    const uniform = mersenneTwister(1);
    for (const z of key ? wanted[key] : []) near(normalQuantile(uniform.next()), z, 1e-12);
    expect(key).toBeDefined();
  },
  'ppm-probit': ({ input, expect: wanted }) => {
    for (const [name, row] of Object.entries<Record<string, number>>(input)) {
      const got = expectedShareNormal(
        { low: row.low ?? null, target: null, high: row.high ?? null },
        row.mean!,
        row.s!,
        row.n!,
      );
      const [value, low, high] = wanted[name];
      near(got.value * 1e6, value, 1e-8, name);
      if (low === null) expect([got.low95, got.high95], name).toEqual([null, null]);
      else {
        near((got.low95 ?? 0) * 1e6, low, 1e-8, name);
        near((got.high95 ?? 0) * 1e6, high, 1e-8, name);
      }
    }
  },
  'more-readings': ({ input, expect: wanted }) => {
    for (const [name, row] of Object.entries<Record<string, number>>(input)) {
      expect(moreReadings(row.estimate!, row.requirement!, row.n!, row.nu ?? null), name).toEqual(wanted[name]);
    }
  },
  normality: ({ expect: wanted }) => {
    for (const [name, values] of [
      ['torque125', torque125],
      ['angle60', angle60],
      ['stop80', stop80],
    ] as const) {
      normalityAgrees(values, wanted[name]);
    }
  },
  'normality-edges': ({ input, expect: wanted }) => {
    normalityAgrees(input.eight, wanted.eight);
    // The file describes the values in words: 60 of 10 and 60 of 20, each plus 0.001 ... 0.012 in turn.
    const beyond = [10, 20].flatMap((base) => Array.from({ length: 60 }, (_, i) => base + ((i % 12) + 1) / 1000));
    const got = andersonDarlingNormal(sortedCopy(beyond));
    if (!got.ok) throw new Error('none');
    near(got.value.statistic, wanted.beyond_table.A2, 1e-8);
    near(got.value.adjusted, wanted.beyond_table.Astar, 1e-8);
    expect(got.value.p).toBe(wanted.beyond_table.p);
    expect(got.value.atMost).toBe(true);
  },
  'normality-seven': ({ input, expect: wanted }) => {
    expect(andersonDarlingNormal(sortedCopy(input.values)).ok).toBe(wanted.andersonDarling !== null);
    expect(shapiroWilk(sortedCopy(input.values)).ok).toBe(wanted.shapiroWilk !== null);
  },
  'normality-constant': ({ input, expect: wanted }) => {
    expect(andersonDarlingNormal(sortedCopy(input.values)).ok).toBe(wanted.andersonDarling !== null);
    expect(shapiroWilk(sortedCopy(input.values)).ok).toBe(wanted.shapiroWilk !== null);
  },
  'normality-5001': ({ input, expect: wanted }) => {
    const values = Float64Array.from({ length: input.n }, (_, i) => normalQuantile((i + 0.5) / input.n));
    expect(andersonDarlingNormal(values).ok).toBe(wanted.andersonDarling === 'given');
    expect(shapiroWilk(values).ok).toBe(wanted.shapiroWilk !== null);
  },
  outliers: ({ input, expect: wanted }) => {
    const values = [...torque125];
    for (const [place, value] of Object.entries<number>(input.replace)) values[Number(place) - 1] = value;
    const grubbs = grubbsTest(values);
    if (!grubbs.ok) throw new Error('no Grubbs');
    near(grubbs.value.statistic, wanted.grubbs.G, 1e-8);
    near(grubbs.value.critical, wanted.grubbs.critical, 1e-8);
    expect(grubbs.value.position + 1).toBe(wanted.grubbs.position);
    esdAgrees(values, wanted.esd);
    const model = fitModel('lognormal', angle60, 0.1)!;
    esdAgrees(
      angle60.map((x) => normalQuantile(model.cdf(x))),
      wanted.lognormal_esd,
    );
  },
  'stability-by-count': ({ input, expect: wanted }) => {
    input.points_beyond_runs9.forEach(([points, beyond, runs]: number[], i: number) => {
      const got = stabilityByCount(points!, beyond!, runs!);
      expect(got.status, `${points} points`).toBe(wanted[i].status);
      expect(got.beyondAllowed).toBe(wanted[i].limitBeyond);
      expect(got.runsAllowed).toBe(wanted[i].limitRuns);
    });
  },
  'mr-chart-factor': ({ expect: wanted }) => near(chartConstants(2).D4, wanted.D4_2, 1e-8),
  'variance-components-unequal': ({ expect: wanted }) => {
    const cells: { tool: string; meanPercent: number }[] = caseOf('definitions-drift.json#effects').input.cells;
    const byTool = new Map<string, number[]>();
    for (const cell of cells) byTool.set(cell.tool, [...(byTool.get(cell.tool) ?? []), cell.meanPercent]);
    const got = varianceComponents([...byTool.values()]);
    if (!got.ok) throw new Error(got.reason);
    near(got.value.betweenMean, wanted.MSA, 1e-9);
    near(got.value.withinMean, wanted.MSE, 1e-9);
    near(got.value.n0, wanted.n0, 1e-9);
    near(got.value.between, wanted.between, 1e-9);
  },
  fingerprint: ({ input, expect: wanted }) => {
    const rows = [
      { line: 2, value: 24 },
      { line: 3, value: 23.95 },
      { line: 7, value: 24.1 },
    ].map((row) => ({ source: 'ab'.repeat(32), ...row }));
    const text = fingerprintText(rows, {
      joint: 'J1',
      of: 'torque',
      attempts: 'first',
      within: 'pooled',
      subgroup: 5,
      model: 'normal',
      limits: { low: 22, target: null, high: 26 },
      requirement: { index: 'Ppk', value: 1.33 },
    });
    expect(text).toBe(input.text);
    const sha = createHash('sha256').update(text, 'utf8').digest('hex');
    expect(sha).toBe(wanted.sha256);
    expect(fingerprintSeed(sha)).toBe(wanted.seed);
  },
};

function withinCase(method: WithinMethod, ofStudy: boolean) {
  return ({ input, expect: wanted }: ReferenceCase): void => {
    let values: number[];
    let groups: Int32Array;
    let runs: Int32Array;
    let count: number;
    if (ofStudy) {
      const strata = numbered(studyRows.map((row) => `${row.tool}/${row.shift}`));
      const formed = formSubgroups(strata, 5);
      const toolRun = numbered(studyRows.map((row) => row.tool));
      const used = studyRows.flatMap((row, i) => (row.excluded ? [] : [i]));
      values = used.map((i) => studyRows[i]!.torque);
      groups = Int32Array.from(used, (i) => formed.groupOf[i]!);
      runs = Int32Array.from(used, (i) => toolRun[i]!);
      count = formed.count;
    } else {
      const formed = formSubgroups(new Int32Array(125), 5);
      values = torque125;
      groups = formed.groupOf;
      runs = new Int32Array(125);
      count = formed.count;
    }
    const got = sigmaOf(values, groups, count, runs, method);
    near(got.sigma, wanted.sigma, 1e-8);
    near(got.degreesOfFreedom, wanted.nu, 1e-8);
    if (wanted.groups !== undefined) expect(got.parts).toBe(wanted.groups);
    if (wanted.ranges !== undefined) {
      expect(got.parts).toBe(wanted.ranges);
      expect(got.runs).toBe(wanted.runs);
    }
    const moments = sampleMoments(values)!;
    indicesAgree(
      limitsOf(input.limits),
      moments.mean,
      moments.n,
      moments.standardDeviation!,
      got.sigma,
      got.degreesOfFreedom,
      wanted.indices,
    );
  };
}

/** The values and name of a model case. */
function modelInput(one: ReferenceCase): { name: ModelName; values: number[]; step: number; limits: Limits } {
  const name = /(normal|lognormal-threshold|lognormal-mirrored|lognormal|weibull|gamma)(-\d+)?$/.exec(one.id)?.[1];
  const stop = one.id.startsWith('stop') || String(one.input.data_ref).includes('#stop');
  const values = one.input.transform ? stop80.map((x) => 80 - x) : stop ? stop80 : angle60;
  return {
    // The pattern lists the names.
    name: (one.input.model ?? name) as ModelName,
    values,
    step: one.input.h ?? (stop ? 0.01 : 0.1),
    limits: { low: one.input.low ?? null, target: null, high: one.input.high ?? null },
  };
}

function fitted(one: ReferenceCase): { model: FittedModel; values: number[]; limits: Limits; step: number } {
  const { name, values, step, limits } = modelInput(one);
  const model = fitModel(name, values, step);
  if (!model) throw new Error(`${name} does not fit`);
  return { model, values, limits: stopLimits(one, limits), step };
}

/** The first stop case has no limits of its own: those of its twin hold. */
function stopLimits(one: ReferenceCase, limits: Limits): Limits {
  if (limits.low !== null) return limits;
  return one.id.startsWith('stop') ? { low: 39.5, target: null, high: 42.5 } : { low: 40, target: null, high: 90 };
}

function modelCase(one: ReferenceCase): void {
  const wanted = one.expect;
  const { model, values, limits } = fitted(one);
  const closed = model.name === 'normal' || model.name === 'lognormal';
  const tolerance = closed ? 1e-9 : 1e-6;
  expect(Object.keys(model.parameters).sort()).toEqual(Object.keys(wanted.parameters).sort());
  for (const [name, value] of Object.entries<number>(wanted.parameters))
    near(model.parameters[name], value, tolerance, name);
  near(model.logLikelihood, wanted.logLik, 1e-9, 'log-likelihood');
  near(aicc(model, values.length), wanted.aicc, 1e-9, 'AICc');
  near(modelAndersonDarling(model, sortedCopy(values)), wanted.ad, tolerance, 'A2');
  const got = percentileIndices(model, limits);
  nearAll(got?.quantiles ?? [], wanted.X, tolerance, 'X');
  near(got?.Pp, wanted.Pp, tolerance, 'Pp');
  near(got?.Ppk, wanted.Ppk, tolerance, 'Ppk');
  near(modelShareOutside(model, limits) * 1e6, wanted.ppm, Math.max(tolerance, 1e-8), 'ppm');
}

function bootstrapCase(one: ReferenceCase): void {
  const wanted = one.expect;
  const { model, values, limits, step } = fitted(one);
  const uniform = mersenneTwister(one.input.seed);
  for (const u of wanted.u) expect(uniform.next()).toBe(u);
  const got = parametricBootstrap(model, values.length, limits, one.input.B, one.input.seed, step);
  const tolerance = 1e-6;
  expect(got.failed).toBe(wanted.failed);
  near(got.first?.[0], wanted.first[0], tolerance, 'first Pp');
  near(got.first?.[1], wanted.first[1], tolerance, 'first Ppk');
  near((got.first?.[2] ?? 0) * 1e6, wanted.first[2], tolerance, 'first ppm');
  for (const [name, ends, scale] of [
    ['Pp', got.Pp, 1],
    ['Ppk', got.Ppk, 1],
    ['ppm', got.share, 1e6],
  ] as const) {
    near((ends?.low95 ?? 0) * scale, wanted[name][0], tolerance, `${name} low`);
    near((ends?.high95 ?? 0) * scale, wanted[name][1], tolerance, `${name} high`);
  }
}

function moreReadingsNull({ input, expect: wanted }: ReferenceCase): void {
  expect(wanted.moreReadings).toBeNull();
  expect(['Pp', 'Cp', 'Ppk of a percentile model']).toContain(input.index);
}

function ruleCase({ input, expect: wanted }: ReferenceCase): void {
  const names: Record<string, RunRuleName> = {
    '9 on one side': '9-on-one-side',
    'beyond 3 sigma': 'beyond-3-sigma',
    '6 rising or falling': '6-rising-or-falling',
    '14 alternating': '14-alternating',
    '2 of 3 beyond 2 sigma, one side': '2-of-3-beyond-2-sigma',
    '4 of 5 beyond 1 sigma, one side': '4-of-5-beyond-1-sigma',
    '15 within 1 sigma': '15-within-1-sigma',
    '8 beyond 1 sigma on either side': '8-beyond-1-sigma',
  };
  const rule = names[input.rule];
  if (!rule) throw new Error(input.rule);
  expect(runRuleNames).toContain(rule);
  // Left-out points are no points of the chart: they are taken out before the rules see them.
  const left = new Set<number>(input.left_out ?? []);
  const places = input.points_in_sigma.map((_: number, i: number) => i + 1).filter((i: number) => !left.has(i));
  const scores = places.map((i: number) => input.points_in_sigma[i - 1]);
  const phases = places.map((i: number) => (input.phase_starts_at && i >= input.phase_starts_at ? 1 : 0));
  expect(runSignals(scores, [rule], phases).map((signal) => places[signal.at])).toEqual(wanted.signals_at);
}

function normalityAgrees(values: readonly number[], wanted: Record<string, number>): void {
  const sorted = sortedCopy(values);
  const ad = andersonDarlingNormal(sorted);
  const sw = shapiroWilk(sorted);
  if (!ad.ok || !sw.ok) throw new Error('none');
  near(ad.value.statistic, wanted.A2!, 1e-8, 'A2');
  near(ad.value.adjusted, wanted.Astar!, 1e-8, 'A*');
  near(ad.value.p, wanted.p!, 1e-7, 'p');
  near(sw.value.statistic, wanted.W!, 1e-8, 'W');
  near(sw.value.p, wanted.pW!, 1e-6, 'pW');
}

function esdAgrees(values: readonly number[], wanted: ReferenceCase['expect']): void {
  const got = generalisedEsd(values, mostOutliers(values.length));
  if (!got.ok) throw new Error('no ESD');
  nearAll(got.value.statistics, wanted.R, 1e-8, 'R');
  nearAll(got.value.critical, wanted.lambda, 1e-8, 'lambda');
  expect(got.value.positions.map((i) => i + 1)).toEqual(wanted.position);
  expect(got.value.outliers).toBe(wanted.outliers);
}

runCases('definitions-study.json', (one) => {
  const { id } = one;
  const named = study[id];
  if (named) return named;
  let part = /^within-(pooled|s-bar|r-bar|mr-bar|mr-median)-(study|torque125)$/.exec(id);
  // The pattern lists the methods.
  if (part) return withinCase(part[1] as WithinMethod, part[2] === 'study');
  if (/^within-mr-.*-subgroup-/.test(id)) {
    return ({ input, expect: wanted }) => {
      const got = withinDefaults(input.within, input.subgroup);
      if (wanted.exit === 4) expect(got).toBeNull();
      else expect(got).toEqual({ within: input.within, subgroup: wanted.subgroup });
    };
  }
  if (/^cm-/.test(id)) {
    return ({ input, expect: wanted }) => {
      expect(machineIndicesApply(input.n, input.tools, input.operators, input.blocks)).toBe(wanted.Cm === 'Pp');
    };
  }
  if (/^(model|stop)-/.test(id)) return modelCase;
  part = /^bootstrap-(.*)-(\d+)$/.exec(id);
  if (part && part[1] !== 'failed') return bootstrapCase;
  if (part) {
    return ({ input, expect: wanted }) => {
      expect(tooManyFailed(input.failed, input.B)).toBe(wanted.interval === null);
    };
  }
  if (/^more-readings-none/.test(id)) {
    return ({ input }) => expect(moreReadings(input.Ppk, input.requirement, input.n, null)).toBeNull();
  }
  // That Pp, Cp and percentile indices have no plan is a rule of the study, tested in tests/core/study.
  if (/^more-readings-null/.test(id)) return moreReadingsNull;
  if (/^verdict-/.test(id)) {
    return ({ input, expect: wanted }) => {
      const judged =
        input.judging === 'the estimate'
          ? judgeEstimate(input.value, input.requirement)
          : judgeInterval(input.low95, input.high95, input.requirement);
      const outcome = input.stability === 'not-stable' ? 'not-stable' : judged;
      expect(outcome.replaceAll('-', ' ')).toBe(wanted.verdict);
      expect(metBy(outcome)).toBe(wanted.met);
    };
  }
  if (/^rule-/.test(id)) return ruleCase;
  return null;
});

runCases('definitions-tool.json', (one) => {
  const { id } = one;
  const percent = (input: ReferenceCase['input']): number => input.permissiblePercent / 100;
  if (id === 'guard-band') {
    return ({ input, expect: wanted }) => {
      for (const [limit, key] of [
        [22, 'low22'],
        [26, 'high26'],
      ] as const) {
        const got = guardBand(limit, percent(input), input.h);
        near(got.uncertainty, wanted[key][0], 1e-12);
        near(got.width, wanted[key][1], 1e-12);
      }
      const window = provedWindow({ low: 22, target: 24, high: 26 }, percent(input), input.h);
      near(window.low, wanted.guardLow, 1e-12);
      near(window.high, wanted.guardHigh, 1e-12);
    };
  }
  if (id === 'guard-band-certificate') {
    return ({ input, expect: wanted }) => {
      const got = guardBand(26, 0.04, input.h, input.u_certificate_N_m);
      near(got.uncertainty, wanted.cert26[0], 1e-12);
      near(got.width, wanted.cert26[1], 1e-12);
    };
  }
  if (id === 'proof-impossible') {
    return ({ input, expect: wanted }) => {
      const window = provedWindow({ low: input.low, target: null, high: input.high }, percent(input), input.h);
      near(window.low, wanted.low_plus_g, 1e-12);
      near(window.high, wanted.high_minus_g, 1e-12);
      expect(window.possible).toBe(false);
    };
  }
  if (id.startsWith('proof-')) {
    return ({ input, expect: wanted }) => {
      const proof = proofOf(input.torque, { low: input.low, target: null, high: input.high }, percent(input), input.h);
      const texts = { inside: 'proved inside', outside: 'proved outside', neither: 'not proved either way' };
      expect(texts[proof]).toBe(wanted.proof);
    };
  }
  if (id === 'accuracy-ratio') {
    return ({ input, expect: wanted }) => {
      near(accuracyRatio(limitsOf(input.ratio.limits), percent(input.ratio)), wanted.ratio, 1e-12);
      near(accuracyRatio(limitsOf(input.middle.limits), percent(input.middle)), wanted.middle, 1e-12);
      near(uncertaintyRatio(limitsOf(input.uncertainty.limits), input.uncertainty.U95_N_m), wanted.uncertainty, 1e-12);
    };
  }
  if (id === 'ppk-at-permitted-error') {
    return ({ input, expect: wanted }) => {
      for (const name of ['torque125', 'angle_free'] as const) {
        const got = indexAtPermittedError(torque125, percent(input[name]), limitsOf(input[name].limits));
        near(got?.high, wanted[name][0], 1e-9, name);
        near(got?.low, wanted[name][1], 1e-9, name);
        expect(got?.smaller).toBe(Math.min(got!.high, got!.low));
      }
    };
  }
  return null;
});

/** Everything a study computes, as numbers; sentences and figure data are made from it elsewhere. */
import type { StudyChoices } from '../contract/calls.ts';
import type { CheckRow } from '../contract/models/drift-model.ts';
import type { IndexName, StudyUnit, WithinMethod } from '../contract/models/study-model.ts';
import { checkResults } from '../drift/check-results.ts';
import type { CannotSay, Computed } from '../outcome.ts';
import { notDefined, tooFewValues, valueOrNull } from '../outcome.ts';
import type { Plant } from '../readings/plant.ts';
import { type AndersonDarling, andersonDarlingNormal } from '../stats/anderson-darling.ts';
import { ascendingValues, countedValues } from '../stats/ascending-values.ts';
import {
  bissellInterval,
  chiSquareInterval,
  cpmIndex,
  indexPair,
  type Limits,
  leastForIndices,
  leastForMachine,
  machineIndicesApply,
  nearerLimitIndex,
  potentialIndex,
} from '../stats/capability-indices.ts';
import { deviationLimits, locationLimits, rangeLimits } from '../stats/control-limits.ts';
import { cusumChart } from '../stats/cusum.ts';
import { decimalStep, displayStep } from '../stats/display-step.ts';
import { ewmaChart } from '../stats/ewma.ts';
import { expectedShareNormal } from '../stats/expected-share.ts';
import { fSurvival } from '../stats/f-distribution.ts';
import { fitModel, leastForEmpirical, modelAndersonDarling, modelNames } from '../stats/fit-model.ts';
import { aicc, type FittedModel, type ModelName } from '../stats/fitted-model.ts';
import {
  accuracyRatio,
  type Certificate,
  indexAtPermittedError,
  type ProofBounds,
  proofBounds,
  proofWithin,
  provedWindow,
  uncertaintyRatio,
} from '../stats/guard-band.ts';
import { type MoreReadings, moreReadings } from '../stats/more-readings.ts';
import { normalQuantile } from '../stats/normal-distribution.ts';
import { generalisedEsd, grubbsTest, mostOutliers } from '../stats/outlier-tests.ts';
import {
  type BootstrapResult,
  bootstrapSteps,
  mostForBootstrap,
  studyReplicates,
} from '../stats/parametric-bootstrap.ts';
import { modelShareOutside, type PercentileIndices, percentileIndices } from '../stats/percentile-indices.ts';
import { clopperPearsonInterval } from '../stats/proportion-interval.ts';
import { medianOfSorted } from '../stats/quantiles.ts';
import { type Judgement, judgeEstimate, judgeInterval, metBy } from '../stats/requirement-verdict.ts';
import { defaultRunRules, type RunSignal, runSignals } from '../stats/run-rules.ts';
import { type SampleMoments, sampleMoments } from '../stats/sample-moments.ts';
import { shapiroWilk } from '../stats/shapiro-wilk.ts';
import { type StabilityCount, stabilityByCount } from '../stats/stability-by-count.ts';
import { formSubgroups, type GroupFigures, groupFigures } from '../stats/subgroups.ts';
import {
  type MovingRanges,
  movingRanges,
  type WithinSigma,
  withinDefaults,
  withinSigmaOfGroups,
  withinSigmaOfRanges,
} from '../stats/within-sigma.ts';
import { finished, type Steps } from '../steps.ts';
import { convertTorque } from '../units/torque-unit.ts';
import { fingerprintParts, fingerprintSeed, usedReadings } from './fingerprint.ts';
import { type StudyReadings, studyReadings, toolPhaseStarts } from './study-readings.ts';

/** What the environment provides: core itself has no hash. */
export interface StudyTools {
  sha256Hex(utf8Text: string): string;
  /** The same part by part, for texts too long to hold; without it the text is made as a whole. */
  startSha256?(): { update(utf8Text: string): void; hex(): string };
  readonly programVersion: string;
  /** Operators under numbers instead of names, wherever a study names them. */
  readonly anonymousOperators?: boolean;
}

export interface IndexFigure {
  readonly value: number;
  readonly low95: number | null;
  readonly high95: number | null;
  readonly method: 'normal' | 'percentile';
}

export interface ModelFit {
  readonly name: ModelName;
  readonly model: FittedModel | null;
  readonly aicc: number | null;
  readonly ad: number | null;
  /** Catalogue key of the reason when it does not fit or is not offered. */
  readonly why:
    | null
    | 'study.model-needs-positive'
    | 'study.model-no-maximum'
    | 'study.model-needs-many'
    | 'study.model-too-many'
    | 'study.model-needs-25'
    | 'study.model-no-spread';
}

/** One point of the control chart. */
export interface ChartPoint {
  /** Group number; with single readings the place among the used ones. */
  readonly group: number;
  readonly n: number;
  readonly mean: number;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly phase: number;
  /** First place in the sequence. */
  readonly fromOrder: number;
}

/** The groups that set centre and limits, where the user chose a span for them. */
export interface ChartBaseline {
  readonly from: number | null;
  readonly to: number | null;
  /** Points in it. */
  readonly points: number;
}

export interface ChartFigures {
  /** Groups, or single readings. */
  readonly singles: boolean;
  /** Null: every point is in the baseline. */
  readonly baseline: ChartBaseline | null;
  /** Sigma within groups that the limits rest on: that of the study, or of the baseline. Null: too few points. */
  readonly sigma: number | null;
  readonly points: readonly ChartPoint[];
  readonly center: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly spreadKind: 's' | 'range' | 'moving-range';
  readonly spreadCenter: number | null;
  readonly spreadLower: number | null;
  readonly spreadUpper: number | null;
  readonly signals: readonly RunSignal[];
  readonly stability: StabilityCount | null;
  readonly beyond: number;
  readonly runs: number;
  readonly ewma: ReturnType<typeof ewmaChart> | null;
  readonly cusum: ReturnType<typeof cusumChart> | null;
  /** Mean moving range of the points / 1.128: sigma of EWMA and CUSUM. */
  readonly pointSigma: number | null;
}

export interface Study {
  readonly choices: StudyChoices;
  readonly readings: StudyReadings;
  readonly within: WithinMethod;
  readonly subgroup: number;
  readonly requirement: { readonly index: IndexName; readonly value: number; readonly from: 'class' | 'chosen' } | null;
  /** Values used, in order. */
  readonly values: Float64Array;
  /** Place in the sequence of each used value. */
  readonly orderOf: Int32Array;
  readonly sorted: Float64Array;
  readonly moments: SampleMoments | null;
  readonly median: number | null;
  readonly step: number;
  readonly decimalStep: number;
  /** 6 s / h. */
  readonly resolution: number | null;
  readonly groupOf: Int32Array;
  readonly groupCount: number;
  readonly leftOver: number;
  readonly shortened: number;
  readonly groups: GroupFigures;
  readonly moving: MovingRanges;
  readonly withinSigma: Computed<WithinSigma>;
  readonly indices: Readonly<Record<IndexName, Computed<IndexFigure>>>;
  readonly fits: readonly ModelFit[];
  readonly chosenFit: FittedModel | null;
  readonly recommended: ModelName | null;
  readonly percentile: PercentileIndices | null;
  readonly bootstrap: BootstrapResult | null;
  readonly bootstrapBound: number | null;
  readonly andersonDarling: Computed<AndersonDarling>;
  readonly shapiroWilk: Computed<{ statistic: number; p: number }>;
  readonly outsideCount: number;
  readonly outsideInterval: { low: number; high: number } | null;
  readonly expected: { value: number; low95: number | null; high95: number | null } | null;
  readonly chart: ChartFigures;
  /** One-way F between groups: p, for the independence of readings. */
  readonly betweenGroupsP: number | null;
  readonly outliers: readonly { order: number; test: 'grubbs' | 'esd' }[];
  /** Grubbs' statistic on normal scores of the chosen model; null: not tested. */
  readonly grubbs: { readonly statistic: number; readonly critical: number } | null;
  readonly measurement: {
    /** Positions of the tools in the register. */
    readonly tools: readonly number[];
    readonly permissible: number | null;
    readonly several: boolean;
    readonly accuracyRatio: number | null;
    readonly uncertaintyRatio: number | null;
    /** Of the one tool of the study: it stands instead of the permissible deviation in the guard band. */
    readonly certificate: StudyCertificate | null;
    readonly guardLow: number | null;
    readonly guardHigh: number | null;
    /** False: the tool cannot prove this window. */
    readonly provable: boolean;
    readonly atError: { high: number; low: number; smaller: number } | null;
    /** Readings that their own tool's permitted error leaves proved inside, proved outside, or neither; null: not known. */
    readonly proof: { readonly inside: number; readonly outside: number; readonly neither: number } | null;
  };
  readonly more: MoreReadings | null;
  readonly judgement: Judgement | null;
  readonly outcome: Judgement | 'not-stable' | 'not-computed';
  readonly met: boolean | null;
  readonly fingerprint: string;
  readonly seed: number | null;
}

/** Above so many readings outlier tests are left out. */
const mostForOutliers = 5000;
/** Above so many distinct values models that search for a threshold are not fitted unless they are the chosen one. */
const mostForThresholdSearch = 20_000;

const kept = new WeakMap<Plant, Map<string, Study | null>>();
const keepAtMost = 8;

/**
 * Computes a study. Cached per plant and choices; limits tried out (`whatIf`) are no part of it.
 *
 * Cost: O(n log n) for one sort; a bootstrap, outlier tests and threshold searches are bounded in n and say so.
 *
 * @returns null when the joint is not in the register
 * @throws RangeError when within method and subgroup size contradict each other: the caller checks with `withinDefaults`
 */
export function computeStudy(plant: Plant, choices: StudyChoices, tools: StudyTools): Study | null {
  return finished(computeStudySteps(plant, choices, tools));
}

/** The same in steps; a study dropped half way leaves nothing behind. */
export function* computeStudySteps(plant: Plant, choices: StudyChoices, tools: StudyTools): Steps<Study | null> {
  let ofPlant = kept.get(plant);
  if (!ofPlant) {
    ofPlant = new Map();
    kept.set(plant, ofPlant);
  }
  const key = JSON.stringify({ ...choices, whatIf: null });
  const known = ofPlant.get(key);
  if (known !== undefined) return known;
  const readings = studyReadings(plant, choices);
  yield;
  const study = readings && (yield* computeSteps(plant, choices, tools, readings));
  const oldest = ofPlant.keys().next();
  if (ofPlant.size >= keepAtMost && !oldest.done) ofPlant.delete(oldest.value);
  ofPlant.set(key, study);
  return study;
}

/**
 * Computes a study of given readings, whatever the cache holds.
 *
 * @param estimatesOnly leaves out bootstrap and fingerprint: for "with both put back, Ppk would be ..."
 */
export function compute(
  plant: Plant,
  choices: StudyChoices,
  tools: StudyTools,
  readings: StudyReadings,
  estimatesOnly = false,
): Study {
  return finished(computeSteps(plant, choices, tools, readings, estimatesOnly));
}

function* computeSteps(
  plant: Plant,
  choices: StudyChoices,
  tools: StudyTools,
  readings: StudyReadings,
  estimatesOnly = false,
): Steps<Study> {
  const defaults = withinDefaults(choices.within, choices.subgroup);
  if (!defaults) throw new RangeError(`within ${choices.within} does not go with subgroups of ${choices.subgroup}`);
  const { within, subgroup } = defaults;
  const { limits } = readings;

  const { values, orderOf } = usedValues(readings);
  const n = values.length;
  const sorted = ascendingValues(values, readings.decimals);
  yield;
  const moments = sampleMoments(values);
  const s = moments?.standardDeviation ?? null;
  const hasSpread = s !== null && s > 0;
  const step = stepOf(readings, sorted);

  // Groups are formed over all readings in their places; left-out ones only shorten them.
  const formed = formSubgroups(readings.strata, subgroup);
  const groupOfUsed = new Int32Array(n);
  const runOfUsed = new Int32Array(n);
  for (let k = 0; k < n; k++) {
    groupOfUsed[k] = formed.groupOf[orderOf[k]!]!;
    runOfUsed[k] = readings.runOf[orderOf[k]!]!;
  }
  const groups = groupFigures(values, groupOfUsed, formed.count);
  // Readings in the remainders of their strata, left-out ones included: they have a place as well.
  let leftOver = 0;
  for (let k = 0; k < formed.groupOf.length; k++) if (formed.groupOf[k]! < 0) leftOver++;
  let shortened = 0;
  for (let g = 0; g < formed.count; g++) if (groups.n[g]! < subgroup) shortened++;
  const moving = movingRanges(values, runOfUsed);
  const withinSigma: Computed<WithinSigma> =
    within === 'mr-bar' || within === 'mr-median'
      ? withinSigmaOfRanges(moving, within)
      : withinSigmaOfGroups(groups, within);
  yield;

  const fits = yield* fitAll(sorted, step, choices.model, hasSpread);
  const chosenFit = fits.find((fit) => fit.name === choices.model)?.model ?? null;
  const andersonDarling = andersonDarlingNormal(sorted);
  yield;
  const recommended = recommend(fits, andersonDarling);

  const requirement = requirementOf(readings.joint.class, choices);
  const fingerprint = estimatesOnly
    ? ''
    : yield* fingerprintOf(
        tools,
        fingerprintParts(usedReadings(plant, readings.positions, readings.used, readings.ownValues), {
          joint: readings.joint.name,
          of: choices.of,
          attempts: choices.attempts,
          within,
          subgroup,
          model: choices.model,
          limits: readings.ownLimits,
          requirement,
          baseline: choices.baseline,
        }),
      );

  const normal = choices.model === 'normal';
  const seed = normal ? null : (choices.seed ?? fingerprintSeed(fingerprint));
  const enough = n >= leastForIndices;
  const percentile = !normal && enough && chosenFit ? percentileIndices(chosenFit, limits) : null;
  const hasLimits = limits.low !== null || limits.high !== null;
  const bound = choices.model === 'normal' ? null : mostForBootstrap[choices.model];
  // A model of the readings themselves has nothing to be tested against.
  const observedA2 = choices.fitP ? (fits.find((fit) => fit.name === choices.model)?.ad ?? null) : null;
  const wanted = hasLimits || observedA2 !== null;
  const bootstrap =
    !estimatesOnly && percentile && chosenFit && wanted && seed !== null && bound !== null && n <= bound
      ? yield* bootstrapSteps(chosenFit, n, limits, studyReplicates, seed, step, observedA2)
      : null;

  const machine = machineFacts(plant, readings, n);
  const indices = allIndices({
    limits,
    moments,
    hasSpread,
    n,
    withinSigma,
    normal,
    percentile,
    bootstrap,
    fitted: chosenFit !== null,
    machine,
  });

  yield;
  const chart = yield* chartFigures(plant, {
    readings,
    values,
    orderOf,
    groups,
    grouping: formed.groupOf,
    groupCount: formed.count,
    size: subgroup,
    within,
    withinSigma,
    moving,
    runOf: runOfUsed,
    baseline: choices.baseline,
  });
  yield;
  const outsideCount = countOutside(values, limits);
  const expected = !hasLimits || !enough || !hasSpread ? null : expectedShare(normal);
  function expectedShare(isNormal: boolean): Study['expected'] {
    if (!moments || s === null) return null;
    if (isNormal) return expectedShareNormal(limits, moments.mean, s, n);
    if (!chosenFit) return null;
    return {
      value: modelShareOutside(chosenFit, limits),
      low95: bootstrap?.share?.low95 ?? null,
      high95: bootstrap?.share?.high95 ?? null,
    };
  }

  const required = requirement ? valueOrNull(indices[requirement.index]) : null;
  let judgement: Judgement | null = null;
  if (requirement && required) {
    if (choices.judge === 'estimate') judgement = judgeEstimate(required.value, requirement.value);
    else if (required.low95 !== null && required.high95 !== null) {
      judgement = judgeInterval(required.low95, required.high95, requirement.value);
    }
  }
  const outcome: Study['outcome'] =
    requirement === null || judgement === null
      ? 'not-computed'
      : chart.stability?.status === 'not-stable'
        ? 'not-stable'
        : judgement;
  const more = planned(requirement, required, n, withinSigma);
  const outlierTests = findOutliers(values, orderOf, chosenFit, enough);
  yield;
  const measurement = measurementOf(
    plant,
    readings,
    values,
    orderOf,
    step,
    normal ? null : { name: choices.model, fit: chosenFit },
  );
  yield;

  return {
    choices,
    readings,
    within,
    subgroup,
    requirement,
    values,
    orderOf,
    sorted,
    moments,
    median: n > 0 ? medianOfSorted(sorted) : null,
    step,
    decimalStep: decimalStep(readings.decimals),
    resolution: hasSpread ? (6 * s) / step : null,
    groupOf: formed.groupOf,
    groupCount: formed.count,
    leftOver,
    shortened,
    groups,
    moving,
    withinSigma,
    indices,
    fits,
    chosenFit,
    recommended,
    percentile,
    bootstrap,
    bootstrapBound: bound !== null && n > bound ? bound : null,
    andersonDarling,
    shapiroWilk: shapiroWilk(sorted),
    outsideCount,
    outsideInterval: n > 0 && hasLimits ? clopperPearsonInterval(outsideCount, n) : null,
    expected,
    chart,
    betweenGroupsP: subgroup > 1 ? betweenGroups(groups) : null,
    ...outlierTests,
    measurement,
    more,
    judgement,
    outcome,
    met: metBy(outcome),
    fingerprint,
    seed: bootstrap ? seed : null,
  };
}

function* fingerprintOf(tools: StudyTools, parts: Iterable<string>): Steps<string> {
  const hash = tools.startSha256?.();
  if (!hash) return tools.sha256Hex([...parts].join(''));
  for (const part of parts) {
    hash.update(part);
    yield;
  }
  return hash.hex();
}

function usedValues(readings: StudyReadings): { values: Float64Array; orderOf: Int32Array } {
  const { values, used, usedCount } = readings;
  const chosen = new Float64Array(usedCount);
  const orderOf = new Int32Array(usedCount);
  let n = 0;
  for (let k = 0; k < values.length; k++) {
    if (used[k] !== 1) continue;
    chosen[n] = values[k]!;
    orderOf[n++] = k;
  }
  return { values: chosen, orderOf };
}

/** Display step in the unit of the study. */
function stepOf(readings: StudyReadings, sorted: Float64Array): number {
  if (readings.unit === readings.limitsUnit) return displayStep(sorted, readings.decimals);
  const own = ascendingValues(readings.ownValues, readings.decimals);
  const scale = readings.ownValues[0] ? readings.values[0]! / readings.ownValues[0]! : 1;
  return displayStep(own, readings.decimals) * scale;
}

/** Requirement: chosen, else by the joint's class (common practice): A 1.67, B and C 1.33 on Ppk. */
function requirementOf(jointClass: string | null, choices: StudyChoices): Study['requirement'] {
  if (choices.requirement) return { ...choices.requirement, from: 'chosen' };
  if (jointClass === 'A') return { index: 'Ppk', value: 1.67, from: 'class' };
  if (jointClass === 'B' || jointClass === 'C') return { index: 'Ppk', value: 1.33, from: 'class' };
  return null;
}

function* fitAll(sorted: Float64Array, step: number, chosen: ModelName, hasSpread: boolean): Steps<ModelFit[]> {
  const n = sorted.length;
  // Rounded readings come in few distinct values: the fits then cost by these, not by the readings.
  const counted = countedValues(sorted);
  const distinct = counted?.values.length ?? n;
  const fitOf = (name: ModelName): ModelFit => {
    const none = (why: ModelFit['why']): ModelFit => ({ name, model: null, aicc: null, ad: null, why });
    if (n < leastForIndices) return none('study.model-needs-25');
    if (!hasSpread) return none('study.model-no-spread');
    if (name === 'empirical' && n < leastForEmpirical) return none('study.model-needs-many');
    const positive = name === 'lognormal' || name === 'weibull' || name === 'gamma';
    if (positive && !(sorted[0]! > 0)) return none('study.model-needs-positive');
    const search = name === 'lognormal-threshold' || name === 'lognormal-mirrored';
    if (search && distinct > mostForThresholdSearch && name !== chosen) return none('study.model-too-many');
    const model =
      counted && name !== 'empirical'
        ? fitModel(name, counted.values, step, counted.weights)
        : fitModel(name, sorted, step);
    if (!model) return none(search ? 'study.model-no-maximum' : 'study.model-no-spread');
    return { name, model, aicc: aicc(model, n), ad: modelAndersonDarling(model, sorted), why: null };
  };
  const fits: ModelFit[] = [];
  for (const name of modelNames) {
    fits.push(fitOf(name));
    yield;
  }
  return fits;
}

/** Another model than normal only if normality is rejected (p < 0.01) and AICc is better by 10. */
function recommend(fits: readonly ModelFit[], normality: Computed<AndersonDarling>): ModelName | null {
  const normal = fits.find((fit) => fit.name === 'normal');
  if (!normal || normal.aicc === null || !normality.ok) return null;
  if (!(normality.value.p < 0.01)) return 'normal';
  let best = normal;
  for (const fit of fits) if (fit.aicc !== null && fit.aicc < (best.aicc ?? Number.POSITIVE_INFINITY)) best = fit;
  return best !== normal && (best.aicc ?? 0) <= normal.aicc - 10 ? best.name : 'normal';
}

/** Whether the readings come from one tool, one operator, one block, and enough of them. */
function machineFacts(plant: Plant, readings: StudyReadings, n: number): boolean {
  if (n < leastForMachine || readings.positions.length !== n) return false;
  const operators = new Set<number>();
  const tools = new Set<number>();
  for (const i of readings.positions) {
    operators.add(plant.readings.operator[i]!);
    tools.add(plant.readings.tool[i]!);
    if (operators.size > 1 || tools.size > 1) return false;
  }
  return machineIndicesApply(n, tools.size, operators.size, readings.strataCount);
}

interface IndexInputs {
  readonly limits: Limits;
  readonly moments: SampleMoments | null;
  readonly hasSpread: boolean;
  readonly n: number;
  readonly withinSigma: Computed<WithinSigma>;
  readonly normal: boolean;
  readonly percentile: PercentileIndices | null;
  readonly bootstrap: BootstrapResult | null;
  readonly fitted: boolean;
  readonly machine: boolean;
}

function allIndices(input: IndexInputs): Record<IndexName, Computed<IndexFigure>> {
  const { limits, moments, n, withinSigma } = input;
  const every = (why: CannotSay): Record<IndexName, Computed<IndexFigure>> => ({
    Cp: why,
    Cpk: why,
    Pp: why,
    Ppk: why,
    Cpm: why,
    Cm: why,
    Cmk: why,
  });
  if (limits.low === null && limits.high === null) return every(notDefined('study.no-limits'));
  if (limits.low !== null && limits.high !== null && !(limits.low < limits.high)) {
    return every(notDefined('study.limits-equal'));
  }
  if (!moments || n < leastForIndices) return every(tooFewValues(leastForIndices, n));
  const s = moments.standardDeviation;
  if (!input.hasSpread || s === null) return every({ ok: false, reason: 'no-spread' });
  const { mean } = moments;
  const twoSided = limits.low !== null && limits.high !== null;
  const give = (
    interval: { value: number; low95: number; high95: number } | null,
    missing: CannotSay,
  ): Computed<IndexFigure> => (interval ? { ok: true, value: { ...interval, method: 'normal' } } : missing);
  const oneSided = notDefined('study.needs-two-limits');

  let Pp: Computed<IndexFigure>;
  let Ppk: Computed<IndexFigure>;
  if (input.normal) {
    const pair = indexPair(limits, mean, n, s, n - 1);
    Pp = give(pair.potential, oneSided);
    Ppk = give(pair.nearer, oneSided);
  } else if (!input.fitted || !input.percentile) {
    Pp = notDefined('study.model-does-not-fit');
    Ppk = Pp;
  } else {
    const figure = (value: number | null, ends: { low95: number; high95: number } | null): Computed<IndexFigure> =>
      value === null
        ? oneSided
        : {
            ok: true,
            value: { value, low95: ends?.low95 ?? null, high95: ends?.high95 ?? null, method: 'percentile' },
          };
    Pp = figure(input.percentile.Pp, input.bootstrap?.Pp ?? null);
    Ppk = figure(input.percentile.Ppk, input.bootstrap?.Ppk ?? null);
  }

  const notNormal = notDefined('study.within-needs-normal');
  let Cp: Computed<IndexFigure> = notNormal;
  let Cpk: Computed<IndexFigure> = notNormal;
  if (input.normal) {
    if (withinSigma.ok) {
      const { sigma, degreesOfFreedom } = withinSigma.value;
      const potential = potentialIndex(limits, sigma);
      const nearer = nearerLimitIndex(limits, mean, sigma);
      Cp = give(potential === null ? null : chiSquareInterval(potential, degreesOfFreedom), oneSided);
      Cpk = give(nearer === null ? null : bissellInterval(nearer, n, degreesOfFreedom), oneSided);
    } else {
      Cp = withinSigma.reason === 'no-spread' ? withinSigma : notDefined('study.no-groups');
      Cpk = Cp;
    }
  }
  const Cpm = !input.normal
    ? notNormal
    : give(cpmIndex(limits, mean, s, n), twoSided ? notDefined('study.target-not-middle') : oneSided);
  const noMachine = n < leastForMachine ? tooFewValues(leastForMachine, n) : notDefined('study.not-a-machine-run');
  return { Cp, Cpk, Pp, Ppk, Cpm, Cm: input.machine ? Pp : noMachine, Cmk: input.machine ? Ppk : noMachine };
}

function planned(
  requirement: Study['requirement'],
  figure: IndexFigure | null,
  n: number,
  withinSigma: Computed<WithinSigma>,
): MoreReadings | null {
  if (!requirement || !figure || figure.method !== 'normal') return null;
  switch (requirement.index) {
    case 'Ppk':
    case 'Cmk':
      return moreReadings(figure.value, requirement.value, n, null);
    case 'Cpk':
      return withinSigma.ok
        ? moreReadings(figure.value, requirement.value, n, withinSigma.value.degreesOfFreedom)
        : null;
    default:
      return null;
  }
}

/** Readings used outside the limits; a value on a limit is inside, 1e-9 of the limit absorbs floating point. */
export function countOutside(values: ArrayLike<number>, limits: Limits): number {
  const low = limits.low === null ? Number.NEGATIVE_INFINITY : limits.low - 1e-9 * Math.abs(limits.low);
  const high = limits.high === null ? Number.POSITIVE_INFINITY : limits.high + 1e-9 * Math.abs(limits.high);
  let count = 0;
  for (let i = 0; i < values.length; i++) if (values[i]! < low || values[i]! > high) count++;
  return count;
}

/** Least number of groups, or of single readings, for a control chart. */
export const leastGroups = 10;
export const leastSingles = 20;

interface ChartInput {
  readonly readings: StudyReadings;
  readonly values: Float64Array;
  readonly orderOf: Int32Array;
  readonly groups: GroupFigures;
  /** Group of every reading in its place, left-out ones included. */
  readonly grouping: Int32Array;
  readonly groupCount: number;
  readonly size: number;
  readonly within: WithinMethod;
  readonly withinSigma: Computed<WithinSigma>;
  readonly moving: MovingRanges;
  readonly runOf: Int32Array;
  readonly baseline: StudyChoices['baseline'];
}

/**
 * The control chart of a study.
 *
 * One baseline for all phases: centre and limits come from every charted reading, or from those of the span the user
 * chose. They do not step at a calibration, a repair or a limit revision, because the indices are of all readings
 * together, and a level that moves there must show; rules that look back do not cross a phase.
 */
function* chartFigures(plant: Plant, input: ChartInput): Steps<ChartFigures> {
  const { readings, values, orderOf, size, within, runOf } = input;
  const n = values.length;
  const singles = size === 1;
  const raw: { group: number; n: number; mean: number; phase: number; fromOrder: number }[] = [];
  if (singles) {
    for (let k = 0; k < n; k++) {
      raw.push({ group: k, n: 1, mean: values[k]!, phase: readings.phase[orderOf[k]!]!, fromOrder: orderOf[k]! });
    }
  } else {
    const firstOrder = new Int32Array(input.groupCount).fill(-1);
    for (let k = 0; k < input.grouping.length; k++) {
      const g = input.grouping[k]!;
      if (g >= 0 && firstOrder[g] === -1) firstOrder[g] = k;
    }
    for (let g = 0; g < input.groupCount; g++) {
      const from = firstOrder[g]!;
      if (input.groups.n[g] === 0) continue;
      raw.push({
        group: g,
        n: input.groups.n[g]!,
        mean: input.groups.mean[g]!,
        phase: readings.phase[from]!,
        fromOrder: from,
      });
    }
  }
  const span = input.baseline;
  const inSpan = (point: { fromOrder: number }): boolean => {
    if (span === null) return true;
    const at = plant.readings.at[readings.positions[point.fromOrder]!]!;
    return at >= (span.from ?? Number.NEGATIVE_INFINITY) && at < (span.to ?? Number.POSITIVE_INFINITY);
  };
  const base = span === null ? raw : raw.filter(inSpan);
  const own = span === null ? input : baselineParts(input, base, runOf);
  // Centre line: the mean of the charted readings, so that shortened groups count by their readings.
  let sum = 0;
  let count = 0;
  for (const point of base) {
    sum += point.mean * point.n;
    count += point.n;
  }
  const center = count > 0 ? sum / count : null;
  const enough = base.length >= (singles ? leastSingles : leastGroups);
  const sigma = own.withinSigma.ok && enough ? own.withinSigma.value.sigma : null;
  const limitsOf = (points: number) =>
    sigma === null || center === null ? null : locationLimits(center, sigma, points);
  const points: ChartPoint[] = raw.map((point) => {
    const limits = limitsOf(point.n);
    return { ...point, lower: limits?.lower ?? null, upper: limits?.upper ?? null };
  });
  const full = limitsOf(size);
  yield;
  const spread = spreadFigures(own.groups, own.moving, size, within);
  let signals: readonly RunSignal[] = [];
  let stability: StabilityCount | null = null;
  let beyond = 0;
  let runs = 0;
  let ewma: ChartFigures['ewma'] = null;
  let cusum: ChartFigures['cusum'] = null;
  let pointSigma: number | null = null;
  if (sigma !== null && center !== null) {
    const scores = new Float64Array(points.length);
    const means = new Float64Array(points.length);
    const phases = new Int32Array(points.length);
    for (let p = 0; p < points.length; p++) {
      const point = points[p]!;
      scores[p] = ((point.mean - center) * Math.sqrt(point.n)) / sigma;
      means[p] = point.mean;
      phases[p] = point.phase;
    }
    signals = runSignals(scores, defaultRunRules, phases, means);
    for (const signal of signals) {
      if (signal.rule === 'beyond-3-sigma') beyond++;
      else if (signal.rule === '9-on-one-side') runs++;
    }
    stability = stabilityByCount(points.length, beyond, runs);
    yield;
    // EWMA and CUSUM take mean and sigma of the plotted statistic itself, from the baseline (definitions 12).
    const baseMeans = span === null ? means : Float64Array.from(base, (point) => point.mean);
    const basePhases = span === null ? phases : Int32Array.from(base, (point) => point.phase);
    const ofPoints = movingRanges(
      baseMeans,
      basePhases.map((phase) => phaseNumber(basePhases, phase)),
    );
    const plotted = withinSigmaOfRanges(ofPoints, 'mr-bar');
    if (plotted.ok) {
      pointSigma = plotted.value.sigma;
      const middle = sampleMoments(baseMeans)?.mean ?? center;
      ewma = ewmaChart(means, middle, pointSigma, 0.2, 3);
      const standard = pointSigma;
      cusum = cusumChart(
        means.map((value) => (value - middle) / standard),
        0.5,
        5,
      );
    }
  }
  return {
    singles,
    baseline: span === null ? null : { from: span.from, to: span.to, points: base.length },
    sigma,
    points,
    center,
    lower: full?.lower ?? null,
    upper: full?.upper ?? null,
    ...spread,
    signals,
    stability,
    beyond,
    runs,
    ewma,
    cusum,
    pointSigma,
  };
}

/** Groups, moving ranges and sigma of the points of a chosen baseline alone. */
function baselineParts(
  input: ChartInput,
  base: readonly { readonly group: number; readonly fromOrder: number }[],
  runOf: Int32Array,
): Pick<ChartInput, 'groups' | 'moving' | 'withinSigma'> {
  const { groups, values, within } = input;
  if (input.size === 1) {
    const runInBase = new Int32Array(values.length).fill(-1);
    for (const point of base) runInBase[point.group] = runOf[point.group]!;
    const moving = movingRanges(values, runInBase);
    const method = within === 'mr-median' ? 'mr-median' : 'mr-bar';
    return { groups, moving, withinSigma: withinSigmaOfRanges(moving, method) };
  }
  const n = new Int32Array(groups.n.length);
  for (const point of base) n[point.group] = groups.n[point.group]!;
  const inBase = { ...groups, n };
  return {
    groups: inBase,
    moving: input.moving,
    withinSigma: withinSigmaOfGroups(inBase, within === 's-bar' || within === 'r-bar' ? within : 'pooled'),
  };
}

const phaseIndex = new WeakMap<Int32Array, Map<number, number>>();
/** Numbers phases from 0, as `movingRanges` needs them. */
function phaseNumber(phases: Int32Array, phase: number): number {
  let map = phaseIndex.get(phases);
  if (!map) {
    map = new Map();
    phaseIndex.set(phases, map);
  }
  let number = map.get(phase);
  if (number === undefined) {
    number = map.size;
    map.set(phase, number);
  }
  return number;
}

/** Centre and limits of the chart of spread, for a full group. */
function spreadFigures(
  groups: GroupFigures,
  moving: MovingRanges,
  size: number,
  within: WithinMethod,
): Pick<ChartFigures, 'spreadKind' | 'spreadCenter' | 'spreadLower' | 'spreadUpper'> {
  if (size === 1) {
    let sum = 0;
    for (const range of moving.ranges) sum += range;
    const mean = moving.ranges.length > 0 ? sum / moving.ranges.length : null;
    const limits = mean === null ? null : rangeLimits(mean, 2);
    return {
      spreadKind: 'moving-range',
      spreadCenter: mean,
      spreadLower: limits ? 0 : null,
      spreadUpper: limits?.upper ?? null,
    };
  }
  const spreadKind = within === 'r-bar' ? 'range' : 's';
  let sum = 0;
  let count = 0;
  for (let g = 0; g < groups.n.length; g++) {
    if (groups.n[g]! < 2) continue;
    sum += spreadKind === 'range' ? groups.range[g]! : Math.sqrt(groups.sumOfSquares[g]! / (groups.n[g]! - 1));
    count++;
  }
  if (count === 0) return { spreadKind, spreadCenter: null, spreadLower: null, spreadUpper: null };
  const mean = sum / count;
  const limits = spreadKind === 'range' ? rangeLimits(mean, size) : deviationLimits(mean, size);
  return { spreadKind, spreadCenter: mean, spreadLower: limits.lower, spreadUpper: limits.upper };
}

/** p of the one-way F between groups, from their sums. */
function betweenGroups(groups: GroupFigures): number | null {
  const members: number[][] = [];
  let total = 0;
  for (let g = 0; g < groups.n.length; g++) {
    const n = groups.n[g]!;
    if (n < 2) continue;
    total++;
    members.push([groups.mean[g]!, n, groups.sumOfSquares[g]!]);
  }
  if (total < 2) return null;
  return anovaP(members);
}

/** One-way F from (mean, n, sum of squares) of each group. */
function anovaP(groups: readonly (readonly number[])[]): number | null {
  let n = 0;
  let sum = 0;
  let withinSum = 0;
  for (const [mean = 0, size = 0, squares = 0] of groups) {
    n += size;
    sum += mean * size;
    withinSum += squares;
  }
  const grand = sum / n;
  let betweenSum = 0;
  for (const [mean = 0, size = 0] of groups) betweenSum += size * (mean - grand) ** 2;
  const df1 = groups.length - 1;
  const df2 = n - groups.length;
  if (!(withinSum > 0) || df2 < 1) return null;
  return fSurvival(betweenSum / df1 / (withinSum / df2), df1, df2);
}

function findOutliers(
  values: Float64Array,
  orderOf: Int32Array,
  model: FittedModel | null,
  enough: boolean,
): Pick<Study, 'outliers' | 'grubbs'> {
  if (!enough || !model || values.length > mostForOutliers) return { outliers: [], grubbs: null };
  const scores = Float64Array.from(values, (x) => {
    const below = model.cdf(x);
    const score = below < 0.5 ? normalQuantile(below) : -normalQuantile(model.survival(x));
    return Math.min(38, Math.max(-38, score));
  });
  const found: { order: number; test: 'grubbs' | 'esd' }[] = [];
  const grubbs = grubbsTest(scores);
  if (grubbs.ok && grubbs.value.statistic > grubbs.value.critical) {
    found.push({ order: orderOf[grubbs.value.position]!, test: 'grubbs' });
  }
  const esd = generalisedEsd(scores, mostOutliers(values.length));
  if (esd.ok) {
    for (const position of esd.value.positions.slice(0, esd.value.outliers)) {
      found.push({ order: orderOf[position]!, test: 'esd' });
    }
  }
  return {
    outliers: found,
    grubbs: grubbs.ok ? { statistic: grubbs.value.statistic, critical: grubbs.value.critical } : null,
  };
}

function measurementOf(
  plant: Plant,
  readings: StudyReadings,
  values: Float64Array,
  orderOf: Int32Array,
  step: number,
  model: { readonly name: ModelName; readonly fit: FittedModel | null } | null,
): Study['measurement'] {
  const counts = new Map<number, number>();
  const lastAt = new Map<number, number>();
  for (const order of orderOf) {
    const i = readings.positions[order]!;
    const tool = plant.readings.tool[i]!;
    counts.set(tool, (counts.get(tool) ?? 0) + 1);
    const at = plant.readings.at[i]!;
    if (!Number.isNaN(at)) lastAt.set(tool, Math.max(at, lastAt.get(tool) ?? at));
  }
  const tools = [...counts.keys()].sort((a, b) => (counts.get(b) ?? 0) - (counts.get(a) ?? 0));
  const none: Study['measurement'] = {
    tools,
    permissible: null,
    several: tools.length > 1,
    accuracyRatio: null,
    uncertaintyRatio: null,
    certificate: null,
    guardLow: null,
    guardHigh: null,
    provable: true,
    atError: null,
    proof: null,
  };
  // The permissible deviation is of torque.
  if (readings.unit === 'deg' || tools.length === 0) return none;
  const { limits } = readings;
  const known = tools.map((tool) => ({
    tool,
    percent: plant.register.tools[tool]?.permissibleDeviationPercent ?? null,
    certificate: certificateOf(plant, tool, limits, readings.unit, lastAt.get(tool) ?? Number.POSITIVE_INFINITY),
  }));
  const single = known.length === 1 ? known[0] : undefined;
  const percents = known.map((one) => one.percent);
  const hasLimits = limits.low !== null || limits.high !== null;
  const bounds = known.map((one) =>
    proofBounds(limits, one.percent === null ? null : one.percent / 100, step, one.certificate),
  );
  const window = single
    ? provedWindow(limits, single.percent === null ? null : single.percent / 100, step, single.certificate)
    : null;
  const toolOf = (order: number): number => plant.readings.tool[readings.positions[order]!]!;
  const common: Study['measurement'] = {
    ...none,
    certificate: single?.certificate ?? null,
    uncertaintyRatio: single?.certificate ? ratioOfCertificate(limits, single.certificate) : null,
    guardLow: window?.low ?? null,
    guardHigh: window?.high ?? null,
    provable: window?.possible ?? true,
    proof:
      hasLimits && bounds.every((one) => one !== null)
        ? countProofs(values, orderOf, toolOf, new Map(tools.map((tool, k) => [tool, bounds[k]!])))
        : null,
  };
  if (percents.some((percent) => percent === null)) return common;
  const same = percents.every((percent) => percent === percents[0]);
  const permissible = same && percents[0] !== null && percents[0] !== undefined ? percents[0] / 100 : null;
  const percentOf = new Map(known.map((one) => [one.tool, (one.percent ?? 0) / 100]));
  const each = permissible ?? Float64Array.from(orderOf, (order) => percentOf.get(toolOf(order)) ?? 0);
  return {
    ...common,
    permissible,
    accuracyRatio: permissible === null ? null : accuracyRatio(limits, permissible),
    atError:
      values.length < leastForIndices
        ? null
        : model === null
          ? indexAtPermittedError(values, each, limits)
          : percentileAtPermittedError(values, each, limits, step, model),
  };
}

/** Above so many readings of tools with different permitted errors a model is not fitted again to the applied torque. */
const mostForRefit = 50_000;

/**
 * Percentile Ppk of x/(1 + a) and x/(1 - a). With one permitted error for all the quantiles scale with it (every offered
 * model does); with several the model is fitted again.
 */
function percentileAtPermittedError(
  values: Float64Array,
  permissible: number | Float64Array,
  limits: Limits,
  step: number,
  model: { readonly name: ModelName; readonly fit: FittedModel | null },
): { high: number; low: number; smaller: number } | null {
  const { fit } = model;
  if (!fit || (typeof permissible !== 'number' && values.length > mostForRefit)) return null;
  const edge = (sign: 1 | -1): number | null => {
    const applied: FittedModel | null =
      typeof permissible === 'number'
        ? { ...fit, quantile: (p) => fit.quantile(p) / (1 + sign * permissible) }
        : fitModel(
            model.name,
            values.map((value, k) => value / (1 + sign * permissible[k]!)),
            step,
          );
    return applied ? (percentileIndices(applied, limits)?.Ppk ?? null) : null;
  };
  const high = edge(1);
  const low = edge(-1);
  return high === null || low === null ? null : { high, low, smaller: Math.min(high, low) };
}

function countProofs(
  values: Float64Array,
  orderOf: Int32Array,
  toolOf: (order: number) => number,
  bounds: ReadonlyMap<number, ProofBounds>,
): { inside: number; outside: number; neither: number } {
  let inside = 0;
  let outside = 0;
  const only = bounds.size === 1 ? [...bounds.values()][0] : undefined;
  for (let k = 0; k < values.length; k++) {
    const own = only ?? bounds.get(toolOf(orderOf[k]!));
    if (!own) continue;
    const proof = proofWithin(values[k]!, own);
    if (proof === 'inside') inside++;
    else if (proof === 'outside') outside++;
  }
  return { inside, outside, neither: values.length - inside - outside };
}

export interface StudyCertificate extends Certificate {
  readonly at: number;
}

/**
 * What the tool's certificate says: the newest check up to its last reading here (or its first check, if that came
 * later), with the expanded uncertainty that was entered, and its mean deviation at the nominal nearest to the joint's
 * torque. Null without an uncertainty, where the check failed, and where the tool was calibrated or repaired between the
 * check and its last reading: then its deviation says nothing of the readings.
 */
function certificateOf(
  plant: Plant,
  tool: number,
  limits: Limits,
  unit: StudyUnit,
  lastAt: number,
): StudyCertificate | null {
  const entry = plant.register.tools[tool];
  const aim = limits.target ?? meanOf(limits.low, limits.high);
  if (!entry || aim === null || unit === 'deg') return null;
  const checks = checkResults(plant.register.checks, tool, entry);
  const newest = checks.findLast((check) => check.at <= lastAt) ?? checks[0];
  if (!newest || toolPhaseStarts(entry).some((at) => at > newest.at && at <= lastAt)) return null;
  const distance = (check: CheckRow): number => Math.abs(convertTorque(check.nominal, check.unit, unit) - aim);
  let nearest = newest;
  for (const check of checks) {
    if (check.at === newest.at && check.kind === newest.kind && distance(check) < distance(nearest)) nearest = check;
  }
  return nearest.uncertaintyPercent === null || nearest.passed === false
    ? null
    : { at: nearest.at, expanded: nearest.uncertaintyPercent / 100, deviation: nearest.deviationPercent / 100 };
}

/** The middle of two limits, or the one there is. */
function meanOf(low: number | null, high: number | null): number | null {
  return low === null || high === null ? (low ?? high) : (low + high) / 2;
}

/** The uncertainty ratio, with the expanded uncertainty at the target (or middle). */
function ratioOfCertificate(limits: Limits, certificate: Certificate): number | null {
  const at = limits.target ?? meanOf(limits.low, limits.high);
  return at === null ? null : uncertaintyRatio(limits, certificate.expanded * at);
}

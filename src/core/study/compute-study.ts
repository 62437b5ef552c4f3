/** Everything a study computes, as numbers; sentences and figure data are made from it elsewhere. */
import type { StudyChoices } from '../contract/calls.ts';
import { type Computed, valueOrNull } from '../outcome.ts';
import type { Plant } from '../readings/plant.ts';
import { selectReadings } from '../readings/select-readings.ts';
import { fastenerChains } from '../review/chains.ts';
import { andersonDarlingNormal } from '../stats/anderson-darling.ts';
import { ascendingValues } from '../stats/ascending-values.ts';
import { type Limits, leastForIndices } from '../stats/capability-indices.ts';
import { decimalStep, displayStep } from '../stats/display-step.ts';
import { expectedShareNormal } from '../stats/expected-share.ts';
import { type MoreReadings, moreReadings } from '../stats/more-readings.ts';
import { bootstrapSteps, mostForBootstrap, studyReplicates } from '../stats/parametric-bootstrap.ts';
import { modelShareOutside, percentileIndices } from '../stats/percentile-indices.ts';
import { clopperPearsonInterval } from '../stats/proportion-interval.ts';
import { medianOfSorted } from '../stats/quantiles.ts';
import { type Judgement, judgeEstimate, judgeInterval, metBy } from '../stats/requirement-verdict.ts';
import { sampleMoments } from '../stats/sample-moments.ts';
import { shapiroWilk } from '../stats/shapiro-wilk.ts';
import { formSubgroups, groupFigures } from '../stats/subgroups.ts';
import {
  movingRanges,
  type WithinSigma,
  withinDefaults,
  withinSigmaOfGroups,
  withinSigmaOfRanges,
} from '../stats/within-sigma.ts';
import { finished, type Steps } from '../steps.ts';
import { betweenGroups } from './between-groups.ts';
import { chartFigures } from './chart-figures.ts';
import { findOutliers } from './find-outliers.ts';
import {
  type FingerprintChoices,
  fingerprintParts,
  fingerprintSeed,
  fingerprintText,
  usedReadings,
} from './fingerprint.ts';
import { fitAll, recommend } from './fit-models.ts';
import type { IndexFigure, Study } from './study.ts';
import { allIndices, machineFacts } from './study-indices.ts';
import { measurementOf } from './study-measurement.ts';
import { type StudyReadings, studyReadings, studyScope } from './study-readings.ts';
import { usedOrigin } from './used-origin.ts';

/** What the environment provides: core itself has no hash. */
export interface StudyTools {
  sha256Hex(utf8Text: string): string;
  /** The same part by part, for texts too long to hold; without it the text is made as a whole. */
  startSha256?(): { update(part: Uint8Array | string): void; hex(): string };
  readonly programVersion: string;
  /** Operators under numbers instead of names, wherever a study names them. */
  readonly anonymousOperators?: boolean;
}

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
  // Both are kept with the plant: asked here, each is a step of its own.
  selectReadings(plant, studyScope(choices));
  yield;
  fastenerChains(plant);
  yield;
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
  yield;
  const origin = usedOrigin(plant, readings, orderOf);
  yield;
  const sorted = ascendingValues(values, readings.decimals);
  yield;
  const moments = sampleMoments(values);
  const s = moments?.standardDeviation ?? null;
  const hasSpread = s !== null && s > 0;
  const step = stepOf(readings, sorted);

  // Groups are formed over all readings in their places; left-out ones only shorten them.
  const formed = formSubgroups(readings.strata, subgroup);
  yield;
  const groupOfUsed = ofUsed(formed.groupOf, orderOf);
  const runOfUsed = ofUsed(readings.runOf, orderOf);
  const groups = groupFigures(values, groupOfUsed, formed.count);
  // Readings in the remainders of their strata, left-out ones included: they have a place as well.
  let leftOver = 0;
  for (let k = 0; k < formed.groupOf.length; k++) if (formed.groupOf[k]! < 0) leftOver++;
  let shortened = 0;
  for (let g = 0; g < formed.count; g++) if (groups.n[g]! < subgroup) shortened++;
  yield;
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
    : yield* fingerprintOf(plant, tools, readings, {
        joint: readings.joint.name,
        of: choices.of,
        attempts: choices.attempts,
        within,
        subgroup,
        model: choices.model,
        limits: readings.ownLimits,
        requirement,
        baseline: choices.baseline,
      });

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
    moments,
    origin,
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
    origin,
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

function* fingerprintOf(
  plant: Plant,
  tools: StudyTools,
  { positions, used, ownValues: values, decimals }: StudyReadings,
  choices: FingerprintChoices,
): Steps<string> {
  const hash = tools.startSha256?.();
  if (!hash) return tools.sha256Hex(fingerprintText(usedReadings(plant, positions, used, values), choices));
  for (const part of fingerprintParts(plant, { positions, used, values }, decimals, choices)) {
    hash.update(part);
    yield;
  }
  return hash.hex();
}

function usedValues(readings: StudyReadings): { values: Float64Array; orderOf: Int32Array } {
  const { values, used, usedCount } = readings;
  const orderOf = new Int32Array(usedCount);
  if (usedCount === values.length) {
    for (let k = 0; k < usedCount; k++) orderOf[k] = k;
    return { values, orderOf };
  }
  const chosen = new Float64Array(usedCount);
  let n = 0;
  for (let k = 0; k < values.length; k++) {
    if (used[k] !== 1) continue;
    chosen[n] = values[k]!;
    orderOf[n++] = k;
  }
  return { values: chosen, orderOf };
}

/** A column of all readings, for those used. */
function ofUsed(column: Int32Array, orderOf: Int32Array): Int32Array {
  if (orderOf.length === column.length) return column;
  const chosen = new Int32Array(orderOf.length);
  for (let k = 0; k < chosen.length; k++) chosen[k] = column[orderOf[k]!]!;
  return chosen;
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

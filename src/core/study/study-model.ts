/** What the study screen and the report are sent. */
import type { StudyChoices } from '../contract/calls.ts';
import {
  type ControlChart,
  type Histogram,
  type IndexRow,
  type LeftOutRow,
  type ListedGroup,
  type OfferedModel,
  type ProbabilityPlot,
  type StudyModel,
  type StudySource,
  studyListedMost,
  studyMarksMost,
  type WhatIf,
} from '../contract/models/study-model.ts';
import { operatorLabels } from '../drift/operator-labels.ts';
import { timeStepsMs } from '../readings/columns.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { selectReadings } from '../readings/select-readings.ts';
import {
  bissellInterval,
  chiSquareInterval,
  type Limits,
  leastForIndices,
  nearerLimitIndex,
  potentialIndex,
} from '../stats/capability-indices.ts';
import { expectedShareNormal } from '../stats/expected-share.ts';
import { histogramBins } from '../stats/histogram.ts';
import { normalCdf, normalQuantile } from '../stats/normal-distribution.ts';
import { modelShareOutside, percentileIndices } from '../stats/percentile-indices.ts';
import { fillibenPosition, orderStatisticBand } from '../stats/probability-plot.ts';
import { defaultRunRules, runRuleNames } from '../stats/run-rules.ts';
import { finished, type Steps } from '../steps.ts';
import { roundedText } from '../text/format.ts';
import { type Said, said } from '../text/said.ts';
import { compute, computeStudySteps, countOutside, type StudyTools } from './compute-study.ts';
import { figuresOf } from './saved-study.ts';
import type { Study } from './study.ts';
import { answerOf, checkChoices, readingsOfSignal } from './study-answer.ts';
import { studyGroups, studyMarks } from './study-marks.ts';
import {
  becauseSentence,
  cautions,
  headline,
  indexOrder,
  isOwnExclusion,
  measurementSentence,
  methodNotes,
  modelTitle,
  nextSentence,
  stabilitySentence,
  unitSymbol,
  whyNot,
} from './study-sentences.ts';
import { studyStrataSteps } from './study-strata.ts';
import { studyWorkings } from './study-workings.ts';
import { toolsInStudy } from './tools-in-study.ts';

/** Joints offered at most. */
const jointsMost = 200;
/** Signals listed at most. */
const signalsMost = 200;

/**
 * The study of one joint under the given choices.
 *
 * Always gives a model: where there is nothing to compute, `state` says why and the figures are empty.
 *
 * @throws ProblemError `wrong-request` when within method and group size contradict each other
 */
export function studyModel(plant: Plant, choices: StudyChoices, tools: StudyTools): StudyModel {
  return finished(studyModelSteps(plant, choices, tools));
}

/** The same in steps, each short enough that other questions can be answered in between. */
export function* studyModelSteps(plant: Plant, choices: StudyChoices, tools: StudyTools): Steps<StudyModel> {
  checkChoices(choices);
  const study = yield* computeStudySteps(plant, choices, tools);
  if (!study) return chooseJoint(plant, choices, tools.programVersion);
  return yield* modelSteps(plant, choices, study, tools);
}

function* modelSteps(plant: Plant, choices: StudyChoices, study: Study, tools: StudyTools): Steps<StudyModel> {
  const { readings, chart, requirement } = study;
  const unit = unitSymbol(readings.unit);
  const n = study.values.length;
  const toolList = toolsInStudy(plant, study);
  yield;
  const labels = operatorLabels(plant.register, tools.anonymousOperators === true);
  yield;
  const strata = yield* studyStrataSteps(plant, study, tools.anonymousOperators);
  const stable = chart.stability?.status !== 'not-stable';
  const required = requirement ? study.indices[requirement.index] : null;
  const { marks, bands } = studyMarks(plant, study, labels);
  yield;
  const { groups, thinned } = studyGroups(plant, study);
  yield;
  const leftOut = leftOutRows(plant, study);
  const times = spanOf(plant, study);
  const sources = sourcesOf(plant, study);
  yield;
  const probabilityPlot = yield* probabilityPlotOf(study);
  yield;
  const joints = jointsOffered(plant, choices);
  yield;
  const offered = toolsOffered(plant, choices);
  yield;
  const answer = answerOf(plant, study, tools);
  yield;
  const working = studyWorkings(study, unit);
  yield;
  const effect = leftOutEffect(plant, choices, study, tools);
  yield;
  const operators = operatorsOf(plant, study, labels);
  yield;
  const cautioned = cautions(plant, study, toolList, strata);
  yield;
  return {
    choices,
    state: stateOf(study),
    joints,
    toolsOffered: offered,
    answer,
    unit: readings.unit,
    decimals: readings.decimals,
    verdict: {
      outcome: study.outcome,
      headline: headline(study),
      because: becauseSentence(study),
      next: nextSentence(plant, study),
      measurement: measurementSentence(study, toolList),
      glyph:
        requirement && required?.ok
          ? {
              value: required.value.value,
              low95: required.value.low95,
              high95: required.value.high95,
              required: requirement.value,
            }
          : null,
    },
    cautions: cautioned,
    scopeFacts: {
      joint: readings.joint.name,
      jointClass: readings.joint.class,
      from: times.from,
      to: times.to,
      shifts: choices.scope.shifts,
      tools: toolList,
      operators,
      counts: {
        inScope: readings.counts.inScope,
        used: n,
        leftOut: readings.positions.length - n,
        otherRevisions: readings.counts.otherRevisions,
        furtherTries: readings.counts.furtherTries,
        noValue: readings.counts.noValue,
        otherDirection: readings.counts.otherDirection,
      },
      limitsRevision: readings.revision ? { label: readings.revision.label, from: readings.revision.from } : null,
      requirement,
      said: {
        limits: said('study.limits', {
          class: readings.joint.class,
          low: readings.limits.low,
          high: readings.limits.high,
          unit,
          decimals: readings.decimals,
          revision: readings.revision?.label ?? null,
          other: readings.counts.otherRevisions,
        }),
        groups: said('study.groups', {
          count: study.groupCount,
          size: study.subgroup,
          shortened: study.shortened,
          leftOver: study.leftOver,
          singles: chart.singles,
        }),
        distribution: distributionSentence(study),
        indicesCaption: captionOf(study, unit),
      },
    },
    limits: readings.limits,
    chart: controlChart(plant, study),
    marks,
    bands,
    groups,
    groupsThinned: thinned,
    histogram: histogramOf(study),
    probabilityPlot,
    indices: indexRows(study, stable),
    beside: besideOf(study),
    models: offeredModels(study),
    strata,
    outliers: study.outliers.map((one) => {
      const position = readings.positions[one.order]!;
      return {
        id: readingName(plant.readings, position),
        position,
        value: readings.values[one.order]!,
        test: one.test,
      };
    }),
    leftOut,
    leftOutEffect: effect,
    whatIf: whatIfOf(study, choices, unit),
    working,
    listed: listedReadings(plant, study),
    sources,
    fingerprint: study.fingerprint,
    seed: study.seed,
    replicates: study.bootstrap?.replicates ?? null,
    programVersion: tools.programVersion,
    methodNotes: methodNotes(study),
    figures: figuresOf(study, sources),
  };
}

function stateOf(study: Study): StudyModel['state'] {
  const { readings, choices } = study;
  const n = study.values.length;
  if (n === 0) {
    if (readings.positions.length > 0) {
      return { kind: 'nothing', said: said('study.all-left-out', { count: readings.positions.length }) };
    }
    if (readings.counts.noValue > 0 && readings.counts.otherRevisions === 0) {
      return {
        kind: 'attribute-only',
        said: said('study.attribute-only', { joint: readings.joint.name, of: choices.of }),
      };
    }
    return { kind: 'nothing', said: said('study.no-readings', { joint: readings.joint.name }) };
  }
  if (n < leastForIndices) {
    return { kind: 'too-few', said: said('study.too-few', { needed: leastForIndices, got: n }) };
  }
  if (study.moments?.sumOfSquares === 0) return { kind: 'too-few', said: said('common.no-spread', {}) };
  return { kind: 'ready' };
}

/** Joints with readings in the scope, most first. */
function jointsOffered(plant: Plant, choices: StudyChoices): StudyModel['joints'] {
  const counts = new Int32Array(plant.register.joints.length);
  for (const i of selectReadings(plant, { ...choices.scope, joints: [] })) {
    const joint = plant.readings.joint[i]!;
    if (joint >= 0) counts[joint]!++;
  }
  return plant.register.joints
    .map((joint, j) => ({ name: joint.name, readings: counts[j]!, class: joint.class }))
    .filter((joint) => joint.readings > 0)
    .sort((a, b) => b.readings - a.readings || (a.name < b.name ? -1 : 1))
    .slice(0, jointsMost);
}

function toolsOffered(plant: Plant, choices: StudyChoices): StudyModel['toolsOffered'] {
  const counts = new Int32Array(plant.register.tools.length);
  for (const i of selectReadings(plant, { ...choices.scope, tools: [], joints: [choices.joint] })) {
    const tool = plant.readings.tool[i]!;
    if (tool >= 0) counts[tool]!++;
  }
  return plant.register.tools
    .map((tool, t) => ({ serial: tool.serial, readings: counts[t]! }))
    .filter((tool) => tool.readings > 0)
    .sort((a, b) => b.readings - a.readings || (a.serial < b.serial ? -1 : 1))
    .slice(0, jointsMost);
}

function operatorsOf(plant: Plant, study: Study, labels: readonly string[]): string[] {
  const seen = new Uint8Array(plant.register.operators.length);
  for (const order of study.orderOf) {
    const operator = plant.readings.operator[study.readings.positions[order]!]!;
    if (operator >= 0) seen[operator] = 1;
  }
  return labels.filter((_, operator) => seen[operator] === 1).sort();
}

function spanOf(plant: Plant, study: Study): { from: number | null; to: number | null } {
  let from = Number.POSITIVE_INFINITY;
  let to = Number.NEGATIVE_INFINITY;
  for (const order of study.orderOf) {
    const at = plant.readings.at[study.readings.positions[order]!]!;
    if (at < from) from = at;
    if (at > to) to = at;
  }
  return Number.isFinite(from) ? { from, to } : { from: null, to: null };
}

function distributionSentence(study: Study): Said {
  const normality = study.andersonDarling;
  const recommended = study.recommended;
  return said('study.distribution', {
    model: modelTitle(study.choices.model),
    normal: study.choices.model === 'normal',
    p: normality.ok ? normality.value.p : null,
    atMost: normality.ok && normality.value.atMost,
    recommended:
      recommended !== null && recommended !== 'normal' && recommended !== study.choices.model
        ? modelTitle(recommended)
        : null,
  });
}

function captionOf(study: Study, unit: string): Said {
  const { expected, measurement, readings } = study;
  const within = study.withinSigma.ok ? study.withinSigma.value : null;
  const shown = study.indices.Ppk.ok;
  return said('study.indices-caption', {
    s: shown ? (study.moments?.standardDeviation ?? null) : null,
    within: study.indices.Cpk.ok ? (within?.sigma ?? null) : null,
    nu: within ? Number(roundedText(within.degreesOfFreedom, 1)) : null,
    method: study.within,
    unit,
    decimals: readings.decimals,
    holds: study.chart.stability?.status !== 'not-stable',
    beyond: study.chart.stability?.status === 'not-stable' ? stabilitySentence(study) : null,
    percent: measurement.permissible === null ? null : Number((measurement.permissible * 100).toPrecision(12)),
    atError: measurement.atError?.smaller ?? null,
    ppm: expected ? expected.value * 1e6 : null,
    ppmLow: expected?.low95 == null ? null : expected.low95 * 1e6,
    ppmHigh: expected?.high95 == null ? null : expected.high95 * 1e6,
    far: expected !== null && expected.value * study.values.length < 1,
    percentile: study.percentile ? modelTitle(study.choices.model) : null,
    sides: readings.limits.low !== null && readings.limits.high !== null ? 2 : 1,
  });
}

function controlChart(plant: Plant, study: Study): ControlChart {
  const { chart, readings } = study;
  const groupIndex = (p: number): number => {
    const point = chart.points[p]!;
    return chart.singles ? point.fromOrder : point.group;
  };
  const short = chart.points.length <= studyMarksMost;
  return {
    kind: chart.singles ? 'singles' : 'means',
    size: study.subgroup,
    groupCount: study.groupCount,
    leftOver: study.leftOver,
    shortened: study.shortened,
    center: chart.center,
    lower: chart.lower,
    upper: chart.upper,
    spread: {
      kind: chart.spreadKind,
      center: chart.spreadCenter,
      lower: chart.spreadLower,
      upper: chart.spreadUpper,
    },
    status: chart.stability?.status ?? null,
    baseline: chart.baseline,
    signals: chart.signals.slice(0, signalsMost).map((signal) => {
      const value = chart.points[signal.at]!.mean;
      return {
        rule: signal.rule,
        group: groupIndex(signal.at),
        value,
        readings: readingsOfSignal(study, signal.from, signal.at)
          .slice(0, 100)
          .map((order) => readingName(plant.readings, readings.positions[order]!)),
        said: said('study.signal', { rule: signal.rule, value, decimals: readings.decimals, singles: chart.singles }),
      };
    }),
    signalCount: chart.signals.length,
    rulesOn: runRuleNames.filter((rule) => defaultRunRules.includes(rule)),
    counts: {
      points: chart.points.length,
      beyond: chart.beyond,
      beyondAllowed: chart.stability?.beyondAllowed ?? 0,
      runs: chart.runs,
      runsAllowed: chart.stability?.runsAllowed ?? 0,
    },
    ewma:
      chart.ewma && short
        ? {
            lambda: 0.2,
            width: 3,
            group: chart.points.map((_, p) => groupIndex(p)),
            value: Array.from(chart.ewma.z),
            lower: Array.from(chart.ewma.lower),
            upper: Array.from(chart.ewma.upper),
            signalAt: chart.ewma.signals.map(groupIndex),
          }
        : null,
    cusum:
      chart.cusum && short
        ? {
            k: 0.5,
            h: 5,
            group: chart.points.map((_, p) => groupIndex(p)),
            high: Array.from(chart.cusum.high),
            low: Array.from(chart.cusum.low),
            signalAt: chart.cusum.signals.map(groupIndex),
          }
        : null,
  };
}

function histogramOf(study: Study): Histogram | null {
  const { limits } = study.readings;
  const anchor = limits.low ?? limits.high ?? study.moments?.mean ?? 0;
  const bins = histogramBins(study.sorted, study.step, study.decimalStep, anchor);
  if (!bins) return null;
  const model = study.chosenFit;
  const curve: { x: number; y: number }[] = [];
  if (model && model.name !== 'empirical') {
    const from = model.quantile(1e-5);
    const to = model.quantile(1 - 1e-5);
    const points = 160;
    for (let k = 0; k <= points; k++) {
      const x = from + ((to - from) * k) / points;
      const y = model.density(x) * study.values.length * bins.width;
      if (Number.isFinite(x) && Number.isFinite(y)) curve.push({ x, y });
    }
  }
  return { width: bins.width, edges: bins.edges, counts: bins.counts, curve };
}

/** Points of a probability plot; thinned evenly in the middle above this, the ends always kept. */
const plotPointsMost = 1000;
const plotEnds = 100;

function* probabilityPlotOf(study: Study): Steps<ProbabilityPlot | null> {
  const model = study.chosenFit;
  const n = study.sorted.length;
  if (!model || n < 3) return null;
  const keep: number[] = [];
  if (n <= plotPointsMost) for (let i = 0; i < n; i++) keep.push(i);
  else {
    const middle = plotPointsMost - 2 * plotEnds;
    for (let i = 0; i < plotEnds; i++) keep.push(i);
    for (let k = 0; k < middle; k++) keep.push(plotEnds + Math.floor((k * (n - 2 * plotEnds)) / middle));
    for (let i = n - plotEnds; i < n; i++) keep.push(i);
  }
  const places = placesOfRanks(study, keep);
  yield;
  const points = keep.map((i) => ({
    score: normalQuantile(fillibenPosition(i + 1, n)),
    value: study.sorted[i]!,
    position: study.readings.positions[study.orderOf[places.get(i) ?? 0]!]!,
  }));
  const first = points[0]!.score;
  const last = points[points.length - 1]!.score;
  // The band at 61 of the points is as smooth as any line drawn through all of them.
  const bandAt = keep.filter((_, k) => k % Math.max(1, Math.floor(keep.length / 60)) === 0 || k === keep.length - 1);
  const band = bandAt.flatMap((i) => {
    const ends = orderStatisticBand(i + 1, n);
    const low = model.quantile(ends.low);
    const high = model.quantile(ends.high);
    const score = normalQuantile(fillibenPosition(i + 1, n));
    return Number.isFinite(low) && Number.isFinite(high) ? [{ score, low, high }] : [];
  });
  yield;
  const line: { score: number; value: number }[] = [];
  const steps = 60;
  for (let k = 0; k <= steps; k++) {
    const score = first * 1.05 + ((last * 1.05 - first * 1.05) * k) / steps;
    const value = model.quantile(normalCdf(score));
    if (Number.isFinite(value)) line.push({ score, value });
  }
  return { model: model.name, points, line, band, thinned: n > plotPointsMost };
}

/**
 * Places among the used values of some ranks in ascending order; equal values in order of time. One pass: sorting a
 * million places to draw a thousand of them would take longer than the whole study.
 */
function placesOfRanks(study: Study, ranks: readonly number[]): Map<number, number> {
  const { sorted, values } = study;
  const wanted = new Map<number, { seen: number; next: number; list: { rank: number; occurrence: number }[] }>();
  let firstOfValue = 0;
  for (const rank of ranks) {
    const value = sorted[rank]!;
    if (sorted[firstOfValue] !== value) {
      firstOfValue = rank;
      while (firstOfValue > 0 && sorted[firstOfValue - 1] === value) firstOfValue--;
    }
    const known = wanted.get(value);
    const entry = { rank, occurrence: rank - firstOfValue };
    if (known) known.list.push(entry);
    else wanted.set(value, { seen: 0, next: 0, list: [entry] });
  }
  const places = new Map<number, number>();
  for (let k = 0; k < values.length && places.size < ranks.length; k++) {
    const ofValue = wanted.get(values[k]!);
    if (!ofValue) continue;
    const next = ofValue.list[ofValue.next];
    if (next && next.occurrence === ofValue.seen) {
      places.set(next.rank, k);
      ofValue.next++;
    }
    ofValue.seen++;
  }
  return places;
}

function indexRows(study: Study, stable: boolean): IndexRow[] {
  const { requirement } = study;
  return indexOrder.map((name): IndexRow => {
    const figure = study.indices[name];
    const ofWithin = name === 'Cpk' || name === 'Cp';
    return {
      name,
      value: figure.ok ? figure.value.value : null,
      low95: figure.ok ? figure.value.low95 : null,
      high95: figure.ok ? figure.value.high95 : null,
      method: figure.ok ? figure.value.method : study.choices.model === 'normal' ? 'normal' : 'percentile',
      required: requirement?.index === name ? requirement.value : null,
      note: figure.ok ? (ofWithin && !stable ? said('study.would-hold-if-stable', {}) : null) : whyNot(figure),
      holds: !(ofWithin && !stable),
    };
  });
}

/** Percentile results of the best other model beside the normal ones, where Ppk differs by more than 0.05. */
function besideOf(study: Study): StudyModel['beside'] {
  if (!study.indices.Ppk.ok) return null;
  let best: (typeof study.fits)[number] | null = null;
  for (const fit of study.fits) {
    if (fit.aicc === null || fit.name === study.choices.model || !fit.model) continue;
    if (best === null || fit.aicc < (best.aicc ?? Number.POSITIVE_INFINITY)) best = fit;
  }
  if (!best?.model) return null;
  const other = percentileIndices(best.model, study.readings.limits);
  const own = study.indices.Ppk.value.value;
  if (!other || other.Ppk === null || Math.abs(other.Ppk - own) <= 0.05) return null;
  return {
    model: best.name,
    Pp: other.Pp,
    Ppk: other.Ppk,
    said: said('study.beside', { model: modelTitle(best.name), ppk: other.Ppk, other: own }),
  };
}

function offeredModels(study: Study): OfferedModel[] {
  return study.fits.map((fit) => ({
    name: fit.name,
    title: modelTitle(fit.name),
    // One that was not tried because it is slow may still be chosen.
    offered: fit.model !== null || fit.why === 'study.model-too-many',
    why: fit.why === null ? null : { key: fit.why, args: {} },
    aicc: fit.aicc,
    ad: fit.ad,
    logLikelihood: fit.model?.logLikelihood ?? null,
    parameters: fit.model?.parameters ?? null,
    chosen: fit.name === study.choices.model,
    recommended: fit.name === study.recommended,
    fitP: fit.name === study.choices.model ? (study.bootstrap?.goodness?.p ?? null) : null,
  }));
}

function leftOutRows(plant: Plant, study: Study): LeftOutRow[] {
  const { positions, used, values } = study.readings;
  const rows: LeftOutRow[] = [];
  for (let k = 0; k < positions.length; k++) {
    const i = positions[k]!;
    const left = used[k] === 1 ? undefined : plant.leftOut.get(i);
    if (!left) continue;
    const at = plant.readings.at[i]!;
    rows.push({
      id: readingName(plant.readings, i),
      position: i,
      value: values[k]!,
      at: Number.isNaN(at) ? null : at,
      atStepMs: timeStepsMs[plant.readings.atStep[i]! as 0 | 1 | 2 | 3 | 4] ?? 0,
      reason: left.reason,
      by: left.by,
      decidedMs: left.decidedMs,
      change: left.change,
      byOwnOperator: isOwnExclusion(plant, i),
    });
  }
  return rows;
}

/** "With both put back, Ppk would be 1.32": the judged index over all readings, by the same model. */
function leftOutEffect(plant: Plant, choices: StudyChoices, study: Study, tools: StudyTools): Said | null {
  const { readings } = study;
  const count = readings.positions.length - study.values.length;
  if (count === 0) return null;
  const index = study.requirement?.index ?? 'Ppk';
  const all = compute(
    plant,
    choices,
    tools,
    {
      ...readings,
      used: new Uint8Array(readings.positions.length).fill(1),
      usedCount: readings.positions.length,
    },
    true,
  );
  const figure = all.indices[index];
  return said('study.left-out-effect', { count, index, value: figure.ok ? figure.value.value : null });
}

/** Indices at limits tried out: normal or percentile as chosen, percentile without interval. */
function whatIfOf(study: Study, choices: StudyChoices, unit: string): WhatIf | null {
  if (!choices.whatIf) return null;
  const { moments } = study;
  const limits: Limits = { low: choices.whatIf.low, target: study.readings.limits.target, high: choices.whatIf.high };
  const valid = limits.low === null || limits.high === null || limits.low < limits.high;
  const s = moments?.standardDeviation ?? null;
  const n = study.values.length;
  const rows: IndexRow[] = [];
  const add = (
    name: IndexRow['name'],
    interval: { value: number; low95: number | null; high95: number | null } | null,
  ): void => {
    rows.push({
      name,
      value: interval?.value ?? null,
      low95: interval?.low95 ?? null,
      high95: interval?.high95 ?? null,
      method: choices.model === 'normal' ? 'normal' : 'percentile',
      required: study.requirement?.index === name ? study.requirement.value : null,
      note: interval ? null : valid ? said('study.needs-two-limits', {}) : said('study.limits-equal', {}),
      holds: true,
    });
  };
  let expectedPpm: number | null = null;
  if (valid && moments && s !== null && s > 0 && n >= leastForIndices) {
    const pair = (
      sigma: number,
      nu: number,
    ): [ReturnType<typeof chiSquareInterval> | null, ReturnType<typeof bissellInterval> | null] => {
      const potential = potentialIndex(limits, sigma);
      const nearer = nearerLimitIndex(limits, moments.mean, sigma);
      return [
        potential === null ? null : chiSquareInterval(potential, nu),
        nearer === null ? null : bissellInterval(nearer, n, nu),
      ];
    };
    if (choices.model === 'normal') {
      const [Pp, Ppk] = pair(s, n - 1);
      add('Ppk', Ppk);
      add('Pp', Pp);
      if (study.withinSigma.ok) {
        const [Cp, Cpk] = pair(study.withinSigma.value.sigma, study.withinSigma.value.degreesOfFreedom);
        add('Cpk', Cpk);
        add('Cp', Cp);
      }
      expectedPpm = expectedShareNormal(limits, moments.mean, s, n).value * 1e6;
    } else if (study.chosenFit) {
      const indices = percentileIndices(study.chosenFit, limits);
      const bare = (value: number | null | undefined) =>
        value === null || value === undefined ? null : { value, low95: null, high95: null };
      add('Ppk', bare(indices?.Ppk));
      add('Pp', bare(indices?.Pp));
      expectedPpm = modelShareOutside(study.chosenFit, limits) * 1e6;
    }
  }
  return {
    hypothetical: true,
    low: limits.low,
    high: limits.high,
    indices: rows,
    outsideCount: countOutside(study.values, limits),
    expectedPpm,
    said: said('study.what-if', { low: limits.low, high: limits.high, unit, decimals: study.readings.decimals }),
  };
}

/** Every reading in its group, for the report's second page; empty above `studyListedMost`. */
function listedReadings(plant: Plant, study: Study): ListedGroup[] {
  const { positions, values, used } = study.readings;
  const n = positions.length;
  if (n === 0 || n > studyListedMost) return [];
  const entry = (k: number): ListedGroup['values'][number] => ({
    text: roundedText(values[k]!, study.readings.decimals),
    value: values[k]!,
    leftOut: used[k] !== 1,
    id: readingName(plant.readings, positions[k]!),
  });
  if (study.chart.singles) {
    return [
      {
        group: null,
        values: Array.from({ length: n }, (_, k) => entry(k)),
        mean: study.moments?.mean ?? null,
        s: study.moments?.standardDeviation ?? null,
        signal: false,
      },
    ];
  }
  const signalled = new Set(study.chart.signals.map((signal) => study.chart.points[signal.at]!.group));
  const byGroup = new Map<number, ListedGroup['values'][number][]>();
  for (let k = 0; k < n; k++) {
    const g = study.groupOf[k]!;
    const list = byGroup.get(g);
    if (list) list.push(entry(k));
    else byGroup.set(g, [entry(k)]);
  }
  const rows: ListedGroup[] = [];
  for (const [g, list] of [...byGroup].sort((a, b) => (a[0] < 0 ? 1 : b[0] < 0 ? -1 : a[0] - b[0]))) {
    const size = g < 0 ? 0 : study.groups.n[g]!;
    rows.push({
      group: g < 0 ? null : g,
      values: list,
      mean: size > 0 ? study.groups.mean[g]! : null,
      s: size > 1 ? Math.sqrt(study.groups.sumOfSquares[g]! / (size - 1)) : null,
      signal: signalled.has(g),
    });
  }
  return rows;
}

function sourcesOf(plant: Plant, study: Study): StudySource[] {
  const counts = new Map<number, number>();
  for (const order of study.orderOf) {
    const source = plant.readings.source[study.readings.positions[order]!]!;
    counts.set(source, (counts.get(source) ?? 0) + 1);
  }
  return plant.sources
    .filter((source) => counts.has(source.id))
    .map((source) => ({
      id: source.id,
      name: source.name,
      sha256: source.sha256,
      readings: counts.get(source.id) ?? 0,
    }));
}

/** The model where no joint is chosen or the chosen one is unknown. */
function chooseJoint(plant: Plant, choices: StudyChoices, programVersion: string): StudyModel {
  const none = said('study.choose-joint', { name: choices.joint });
  return {
    choices,
    state: { kind: 'choose-joint', said: none },
    joints: jointsOffered(plant, choices),
    toolsOffered: [],
    answer: null,
    unit: choices.of === 'angle' ? 'deg' : (choices.unit ?? 'N.m'),
    decimals: 2,
    verdict: {
      outcome: 'not-computed',
      headline: none,
      because: none,
      next: null,
      measurement: said('study.measurement.none', {}),
      glyph: null,
    },
    cautions: [],
    scopeFacts: {
      joint: choices.joint,
      jointClass: null,
      from: choices.scope.from,
      to: choices.scope.to,
      shifts: choices.scope.shifts,
      tools: [],
      operators: [],
      counts: { inScope: 0, used: 0, leftOut: 0, otherRevisions: 0, furtherTries: 0, noValue: 0, otherDirection: 0 },
      limitsRevision: null,
      requirement: null,
      said: { limits: none, groups: none, distribution: none, indicesCaption: none },
    },
    limits: { low: null, target: null, high: null },
    chart: {
      kind: 'means',
      size: 5,
      groupCount: 0,
      leftOver: 0,
      shortened: 0,
      center: null,
      lower: null,
      upper: null,
      spread: { kind: 's', center: null, lower: null, upper: null },
      status: null,
      baseline: null,
      signals: [],
      signalCount: 0,
      rulesOn: runRuleNames.filter((rule) => defaultRunRules.includes(rule)),
      counts: { points: 0, beyond: 0, beyondAllowed: 0, runs: 0, runsAllowed: 0 },
      ewma: null,
      cusum: null,
    },
    marks: [],
    bands: [],
    groups: [],
    groupsThinned: false,
    histogram: null,
    probabilityPlot: null,
    indices: [],
    beside: null,
    models: [],
    strata: [],
    outliers: [],
    leftOut: [],
    leftOutEffect: null,
    whatIf: null,
    working: {},
    listed: [],
    sources: [],
    fingerprint: null,
    seed: null,
    replicates: null,
    programVersion,
    methodNotes: [],
    figures: {},
  };
}

/** What the study screen and the report are sent. */
import type { StudyChoices } from '../contract/calls.ts';
import type { StudyModel } from '../contract/models/study-model.ts';
import { operatorLabels } from '../drift/operator-labels.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { leastForIndices } from '../stats/capability-indices.ts';
import { finished, type Steps } from '../steps.ts';
import { said } from '../text/said.ts';
import { chooseJoint } from './choose-joint.ts';
import { computeStudySteps, type StudyTools } from './compute-study.ts';
import { controlChart } from './control-chart.ts';
import { besideOf, indexRows } from './index-rows.ts';
import { leftOutEffect, leftOutRows } from './left-out-rows.ts';
import { listedGroups } from './listed-groups.ts';
import { jointsOffered, toolsOffered } from './offered-in-study.ts';
import { offeredModels } from './offered-models.ts';
import { figuresOf } from './saved-study.ts';
import type { Study } from './study.ts';
import { answerOf, checkChoices } from './study-answer.ts';
import { captionOf, distributionSentence } from './study-captions.ts';
import { histogramOf } from './study-histogram.ts';
import { studyGroups, studyMarks } from './study-marks.ts';
import { operatorsOf, sourcesOf, spanOf } from './study-origin.ts';
import { probabilityPlotOf } from './study-probability-plot.ts';
import {
  becauseSentence,
  cautions,
  headline,
  measurementSentence,
  methodNotes,
  nextSentence,
  unitSymbol,
} from './study-sentences.ts';
import { studyStrataSteps } from './study-strata.ts';
import { studyWorkings } from './study-workings.ts';
import { toolsInStudy } from './tools-in-study.ts';
import { whatIfOf } from './what-if.ts';

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
  const times = spanOf(study);
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
  const operators = operatorsOf(study, labels);
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
    listed: listedGroups(plant, study),
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

/** The JSON document of a study (command line contract). */
import type { StudyChoices } from '../contract/calls.ts';
import type { IndexAnswer, IndexName, StudyAnswer, Working, WorkingAnswer } from '../contract/models/study-model.ts';
import { ProblemError } from '../contract/problems.ts';
import type { Plant } from '../readings/plant.ts';
import { readingName } from '../readings/plant.ts';
import { withinDefaults } from '../stats/within-sigma.ts';
import { finished, type Steps } from '../steps.ts';
import { said, say } from '../text/said.ts';
import { civilText } from '../time/civil-time.ts';
import { computeStudySteps, type StudyTools } from './compute-study.ts';
import { mathText } from './math-node.ts';
import type { Study } from './study.ts';
import { becauseSentence, cautions, headline, unitSymbol, whyNot } from './study-sentences.ts';
import { studyStrata } from './study-strata.ts';
import { studyWorkings } from './study-workings.ts';
import { toolsInStudy } from './tools-in-study.ts';

/**
 * Answers `study --json`.
 *
 * @throws ProblemError `not-found` for an unknown joint, `wrong-request` when within method and group size contradict
 */
export function studyAnswer(plant: Plant, choices: StudyChoices, tools: StudyTools): StudyAnswer {
  return finished(studyAnswerSteps(plant, choices, tools));
}

/** The same in steps. */
export function* studyAnswerSteps(plant: Plant, choices: StudyChoices, tools: StudyTools): Steps<StudyAnswer> {
  checkChoices(choices);
  const study = yield* computeStudySteps(plant, choices, tools);
  if (!study) throw new ProblemError('not-found', said('study.choose-joint', { name: choices.joint }));
  return answerOf(plant, study, tools);
}

/** Refuses choices that contradict each other. */
export function checkChoices(choices: StudyChoices): void {
  if (withinDefaults(choices.within, choices.subgroup)) return;
  throw new ProblemError(
    'wrong-request',
    said('study.within-wrong', { within: choices.within ?? 'pooled', subgroup: choices.subgroup ?? 1 }),
  );
}

/** At most so many readings are named with one signal. */
const namedMost = 100;

/** The document of a computed study. */
export function answerOf(plant: Plant, study: Study, tools: StudyTools): StudyAnswer {
  const { readings, moments, measurement, chart } = study;
  const nameAt = (order: number): string => readingName(plant.readings, readings.positions[order]!);
  const toolList = toolsInStudy(plant, study);
  const strata = studyStrata(plant, study, tools.anonymousOperators);
  const n = study.values.length;
  const within = study.withinSigma.ok ? study.withinSigma.value : null;
  const workings = studyWorkings(study, unitSymbol(readings.unit));
  const goodness = study.bootstrap?.goodness ?? null;
  const civil = (at: number | null): string | null => (at === null ? null : civilText(at, 1000));
  const excluded: StudyAnswer['excluded'][number][] = [];
  for (let k = 0; k < readings.positions.length; k++) {
    const left = readings.used[k] === 1 ? undefined : plant.leftOut.get(readings.positions[k]!);
    if (left) {
      excluded.push({
        reading: nameAt(k),
        reason: left.reason,
        by: left.by,
        at: isoUtc(left.decidedMs),
      });
    }
  }
  const indices = Object.fromEntries(
    (Object.keys(study.indices) as IndexName[]).map((name): [IndexName, IndexAnswer | null] => {
      const figure = study.indices[name];
      return [name, figure.ok ? figure.value : null];
    }),
    // Every index name is a key of study.indices.
  ) as Record<IndexName, IndexAnswer | null>;
  return {
    joint: readings.joint.name,
    characteristic: study.choices.of,
    attempts: study.choices.attempts,
    unit: readings.unit,
    n,
    subgroups: { size: study.subgroup, count: study.groupCount, leftOver: study.leftOver },
    excluded,
    limits: readings.limits,
    location: { mean: moments?.mean ?? null, median: study.median },
    spread: {
      overall: moments?.standardDeviation ?? null,
      within: within?.sigma ?? null,
      withinMethod: study.within,
      degreesOfFreedom: { overall: n >= 2 ? n - 1 : null, within: within?.degreesOfFreedom ?? null },
    },
    indices,
    measurement: {
      permissiblePercent:
        measurement.permissible === null ? null : Number((measurement.permissible * 100).toPrecision(12)),
      accuracyRatio: measurement.accuracyRatio,
      uncertaintyRatio: measurement.uncertaintyRatio,
      guardLow: measurement.guardLow,
      guardHigh: measurement.guardHigh,
      certificate: measurement.certificate
        ? {
            at: civilText(measurement.certificate.at, 1000),
            expandedPercent: Number((measurement.certificate.expanded * 100).toPrecision(12)),
            deviationPercent: measurement.certificate.deviation * 100,
          }
        : null,
      ppkAtPermittedError: measurement.atError?.smaller ?? null,
      proof: measurement.proof,
    },
    moreReadings: study.more,
    model: {
      name: study.choices.model,
      parameters: study.chosenFit?.parameters ?? {},
      ranked: study.fits
        .map((fit) => ({
          name: fit.name,
          aicc: fit.aicc,
          ad: fit.ad,
          why: fit.why === null ? null : say({ key: fit.why, args: {} }),
        }))
        .sort((a, b) => (a.aicc ?? Number.POSITIVE_INFINITY) - (b.aicc ?? Number.POSITIVE_INFINITY) || 0),
      fit:
        goodness && goodness.p !== null && study.bootstrap
          ? {
              statistic: goodness.observed,
              p: goodness.p,
              replicates: study.bootstrap.replicates - study.bootstrap.failed,
            }
          : null,
    },
    normality: {
      andersonDarling: study.andersonDarling.ok
        ? {
            statistic: study.andersonDarling.value.statistic,
            p: study.andersonDarling.value.p,
            atMost: study.andersonDarling.value.atMost,
          }
        : null,
      shapiroWilk: study.shapiroWilk.ok ? study.shapiroWilk.value : null,
    },
    outside: {
      observed: {
        count: study.outsideCount,
        share: study.outsideInterval ? study.outsideCount / n : null,
        low95: study.outsideInterval?.low ?? null,
        high95: study.outsideInterval?.high ?? null,
      },
      expectedPpm: study.expected
        ? {
            value: study.expected.value * 1e6,
            low95: study.expected.low95 === null ? null : study.expected.low95 * 1e6,
            high95: study.expected.high95 === null ? null : study.expected.high95 * 1e6,
          }
        : null,
    },
    stability: {
      status: chart.stability?.status ?? null,
      signals: chart.signals.map((signal) => ({
        rule: signal.rule,
        readings: readingsOfSignal(study, signal.from, signal.at).slice(0, namedMost).map(nameAt),
      })),
      center: chart.center,
      lower: chart.lower,
      upper: chart.upper,
      baseline: chart.baseline
        ? { from: civil(chart.baseline.from), to: civil(chart.baseline.to), points: chart.baseline.points }
        : null,
    },
    outliers: study.outliers.map((one) => ({ reading: nameAt(one.order), test: one.test })),
    verdict: {
      requirement: study.requirement ? { index: study.requirement.index, value: study.requirement.value } : null,
      judged: study.choices.judge,
      outcome: study.outcome,
      withoutStability: study.outcome === 'not-computed' ? null : study.judgement,
      met: study.met,
      headline: say(headline(study)),
      because: say(becauseSentence(study)),
    },
    cautions: cautions(plant, study, toolList, strata).map((caution) => say(caution)),
    working: Object.fromEntries(Object.entries(workings).map(([name, working]) => [name, workingText(working)])),
    fingerprint: study.fingerprint,
    seed: study.seed,
    replicates: study.bootstrap?.replicates ?? null,
    programVersion: tools.programVersion,
    // Why figures are missing, by name: an addition to the contract.
    notComputed: Object.fromEntries(
      (Object.keys(study.indices) as IndexName[]).flatMap((name) => {
        const figure = study.indices[name];
        return figure.ok ? [] : [[name, say(whyNot(figure))]];
      }),
    ),
  };
}

/** Places in the sequence of the readings used in the points from one to another. */
export function readingsOfSignal(study: Study, from: number, at: number): number[] {
  const { chart } = study;
  const orders: number[] = [];
  for (let p = Math.max(0, from); p <= at; p++) orders.push(...readingsOfPoint(study, chart.points.group[p]!));
  return orders;
}

const members = new WeakMap<Study, { start: Int32Array; orders: Int32Array }>();

/** Places in the sequence of the readings used in one point of the chart. */
export function readingsOfPoint(study: Study, group: number): Int32Array {
  if (study.chart.singles) return study.orderOf.subarray(group, group + 1);
  let sorted = members.get(study);
  if (!sorted) {
    // A counting sort by group, once a study: asking for each signal must not go over all readings again.
    const start = new Int32Array(study.groupCount + 1);
    for (let g = 0; g < study.groupCount; g++) start[g + 1] = start[g]! + study.groups.n[g]!;
    const next = start.slice();
    const orders = new Int32Array(start[study.groupCount]!);
    for (const order of study.orderOf) {
      const g = study.groupOf[order]!;
      if (g >= 0) orders[next[g]!++] = order;
    }
    sorted = { start, orders };
    members.set(study, sorted);
  }
  return sorted.orders.subarray(sorted.start[group]!, sorted.start[group + 1]!);
}

/** A working as text. */
export function workingText(working: Working): WorkingAnswer {
  return {
    symbol: mathText(working.symbol),
    value: working.value,
    formula: working.lines.map((line) => mathText(line.formula)).join('; '),
    withNumbers: working.lines.map((line) => mathText(line.withNumbers)).join('; '),
    inputs: Object.fromEntries(
      working.inputs.map((one) => [mathText(one.symbol), `${one.text} (${say(one.meaning)})`]),
    ),
    method: say(working.method),
    source: say(working.source),
    unmet: working.unmet.map((condition) => say(condition)),
  };
}

/** ISO 8601 of a real time in UTC, by arithmetic (core has no clock and needs none here). */
function isoUtc(ms: number): string {
  return new Date(ms).toISOString();
}

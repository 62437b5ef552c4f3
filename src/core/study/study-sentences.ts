/** The sentences of a study: verdict, tool, cautions, notes. */
import type { IndexName, StrataTable, StudyUnit, ToolInStudy } from '../contract/models/study-model.ts';
import type { CannotSay, Computed } from '../outcome.ts';
import type { Plant } from '../readings/plant.ts';
import { leastForIndices } from '../stats/capability-indices.ts';
import { mostOutliers } from '../stats/outlier-tests.ts';
import { type Said, said } from '../text/said.ts';
import { torqueUnitSymbols } from '../units/torque-unit.ts';
import { leastGroups, leastSingles } from './chart-figures.ts';
import type { IndexFigure, Study } from './study.ts';
import { decimalsBeside } from './working-numbers.ts';

/** Unit of a study as it is printed. */
export function unitSymbol(unit: StudyUnit): string {
  return unit === 'deg' ? '°' : torqueUnitSymbols[unit];
}

/** Why a figure is not there, as a sentence. */
export function whyNot(reason: CannotSay): Said {
  switch (reason.reason) {
    case 'too-few-values':
      return said('study.needs-values', { needed: reason.needed, got: reason.got });
    case 'no-spread':
      return said('common.no-spread', {});
    case 'not-defined':
      // The keys are those given to `notDefined` in study-indices and stats: phrases without arguments.
      return { key: reason.key as Said['key'], args: {} };
  }
}

export function stabilitySentence(study: Study): Said {
  const { chart } = study;
  const { stability, points, singles } = chart;
  if (!stability) {
    const needed = singles ? leastSingles : leastGroups;
    const got = chart.baseline?.points ?? points.length;
    return got < needed
      ? said('study.chart-needs', { needed, got, singles, baseline: chart.baseline !== null })
      : said('study.chart-no-sigma', {});
  }
  switch (stability.status) {
    case 'not-stable':
      return said('study.unstable', {
        beyond: chart.beyond,
        beyondAllowed: stability.beyondAllowed,
        runs: chart.runs,
        points: points.length,
        singles,
      });
    case 'as-chance':
      return said('study.as-chance', { signals: chart.beyond + chart.runs, points: points.length });
    case 'stable':
      return said('study.stable', { points: points.length, singles });
  }
}

function figureOf(study: Study): Computed<IndexFigure> | null {
  return study.requirement ? study.indices[study.requirement.index] : null;
}

/** Decimals at which an index and its interval can be told from the requirement. */
function indexDecimals(figure: IndexFigure, required: number): number {
  return Math.max(
    decimalsBeside(figure.value, required, 2),
    decimalsBeside(figure.low95 ?? figure.value, required, 2),
    decimalsBeside(figure.high95 ?? figure.value, required, 2),
  );
}

/** What the index says about the requirement, stability aside. */
function indexSentence(study: Study): Said {
  const { requirement, choices } = study;
  const figure = figureOf(study);
  if (!requirement || !figure) return said('study.verdict.no-requirement', {});
  if (!figure.ok) return said('study.verdict.not-computed', { index: requirement.index, why: whyNot(figure) });
  const { value, low95, high95 } = figure.value;
  const decimals = indexDecimals(figure.value, requirement.value);
  const outcome = study.judgement ?? 'not-computed';
  if (choices.judge === 'estimate') {
    return said('study.verdict.estimate', {
      index: requirement.index,
      value,
      required: requirement.value,
      decimals,
      outcome,
    });
  }
  if (low95 === null || high95 === null) return said('study.verdict.no-interval', { index: requirement.index, value });
  return said('study.verdict.interval', {
    index: requirement.index,
    value,
    low95,
    high95,
    required: requirement.value,
    decimals,
    outcome,
  });
}

/** Why the verdict is what it is: instability first. */
export function becauseSentence(study: Study): Said {
  const index = indexSentence(study);
  const status = study.chart.stability?.status ?? null;
  // An index that stands without a word on stability would pass for more than it is.
  const unjudged = status === null && figureOf(study)?.ok === true;
  const sentence =
    status === 'not-stable' || status === 'as-chance' || unjudged
      ? said('study.verdict.with-stability', { stability: stabilitySentence(study), index })
      : index;
  const doubt = contradicted(study) ?? tooFewLevels(study);
  return doubt ? said('study.verdict.contradicted', { first: sentence, second: doubt }) : sentence;
}

/** Readings of so few different values carry no shape: an index of theirs must not stand without that word. */
function tooFewLevels(study: Study): Said | null {
  const levels = distinctUpTo(study.sorted, 5);
  const computed = figureOf(study)?.ok === true;
  return computed && levels !== null ? said('study.caution.levels', { levels }) : null;
}

/** The readings outside are surely more than the chosen distribution expects: the index would hide them. */
function contradicted(study: Study): Said | null {
  const { expected, outsideInterval, outsideCount } = study;
  const n = study.values.length;
  if (!expected || !outsideInterval || outsideInterval.low <= (expected.high95 ?? expected.value)) return null;
  return said('study.caution.contradicted', { count: outsideCount, n, expected: expected.value * n });
}

export function headline(study: Study): Said {
  return said('study.headline', {
    outcome: study.outcome,
    without: study.judgement,
    requirement: study.requirement !== null,
    contradicted: contradicted(study) !== null,
  });
}

/** What to do next; null when nothing is to be added. */
export function nextSentence(plant: Plant, study: Study): Said | null {
  const { requirement, more } = study;
  const figure = figureOf(study);
  let plan: Said | null = null;
  if (requirement && figure?.ok && study.judgement !== 'shown') {
    if (more) plan = said('study.next.more', { evenOdds: more.evenOdds, ninetyPercent: more.ninetyPercent });
    else if (figure.value.value <= requirement.value) plan = said('study.next.none', { index: requirement.index });
  }
  if (study.chart.stability?.status !== 'not-stable') return plan;
  const signal = study.chart.signals[0];
  const order = signal && study.chart.points.fromOrder[signal.at];
  const at = order === undefined ? Number.NaN : plant.readings.at[study.readings.positions[order]!]!;
  const find = said('study.next.find', { at: Number.isNaN(at) ? null : at });
  return plan ? said('study.next.both', { first: find, second: plan }) : find;
}

/** Whose display it was and what its permitted error leaves. */
export function measurementSentence(study: Study, tools: readonly ToolInStudy[]): Said {
  if (study.readings.unit === 'deg') return said('study.measurement.angle', {});
  if (tools.length === 0) return said('study.measurement.none', {});
  const { measurement } = study;
  const only = tools.length === 1 ? tools[0] : undefined;
  return said('study.measurement', {
    tools: tools.map((tool) => tool.serial),
    percent: measurement.permissible === null ? null : Number((measurement.permissible * 100).toPrecision(12)),
    ratio: measurement.accuracyRatio,
    atError: measurement.atError?.smaller ?? null,
    checkAt: only?.latestCheck?.at ?? null,
    checkPercent: only?.latestCheck?.deviationPercent ?? null,
    guardLow: measurement.guardLow,
    guardHigh: measurement.guardHigh,
    provable: measurement.provable,
    certificate: measurement.certificate
      ? {
          at: measurement.certificate.at,
          expanded: Number((measurement.certificate.expanded * 100).toPrecision(12)),
          deviation: measurement.certificate.deviation * 100,
        }
      : null,
    neither: measurement.several ? (measurement.proof?.neither ?? null) : null,
    n: study.values.length,
    decimals: study.readings.decimals,
  });
}

/** Cautions, gravest first. */
export function cautions(
  plant: Plant,
  study: Study,
  tools: readonly ToolInStudy[],
  strata: readonly StrataTable[],
): Said[] {
  const found: Said[] = [];
  const unit = unitSymbol(study.readings.unit);
  const n = study.values.length;
  for (const tool of tools) {
    if (tool.latestCheck?.passed === false) {
      found.push(
        said('study.caution.check-failed', {
          tool: tool.serial,
          at: tool.latestCheck.at,
          percent: tool.latestCheck.deviationPercent,
        }),
      );
    }
    if (tool.status !== 'in-use')
      found.push(said('study.caution.tool-status', { tool: tool.serial, status: tool.status }));
    if (tool.overdue) found.push(said('study.caution.tool-overdue', { tool: tool.serial }));
  }
  // That the distribution is contradicted stands in the verdict itself.
  const contradiction = contradicted(study);
  if (!study.measurement.provable) found.push(said('study.caution.cannot-prove', {}));
  const { counts } = study.readings;
  const leftOut = study.readings.positions.length - n;
  if (leftOut > 0) found.push(said('study.caution.left-out', { count: leftOut }));
  const own = ownExclusions(plant, study);
  if (own > 0) found.push(said('study.caution.own-exclusion', { count: own }));
  if (study.choices.attempts !== 'first') found.push(said('study.caution.tries', { attempts: study.choices.attempts }));
  if (counts.otherRevisions > 0) found.push(said('study.caution.other-revisions', { count: counts.otherRevisions }));
  for (const table of strata) {
    if (!table.mixture || !table.largest) continue;
    const meansDiffer = table.welchP !== null && table.welchP < 0.01;
    found.push(
      said('study.caution.mixture', {
        by: table.by,
        first: table.largest.first,
        second: table.largest.second,
        difference: table.largest.difference,
        unit,
        decimals: study.readings.decimals + 1,
        spread: !meansDiffer,
      }),
    );
  }
  if (study.betweenGroupsP !== null && study.betweenGroupsP < 0.01) {
    found.push(said('study.caution.between-groups', { p: study.betweenGroupsP }));
  }
  const levels = distinctUpTo(study.sorted, 10);
  // With fewer still it stands in the verdict itself.
  if (n >= leastForIndices && levels !== null && levels < 10 && !(figureOf(study)?.ok && levels < 5)) {
    found.push(said('study.caution.levels', { levels }));
  }
  if (study.resolution !== null && study.resolution < 10 && n >= 2) {
    found.push(said('study.caution.resolution', { resolution: study.resolution, step: study.step, unit }));
  }
  if (n > 1000 && study.andersonDarling.ok && study.andersonDarling.value.p < 0.05) {
    found.push(said('study.caution.large-n', { n }));
  }
  if (study.outliers.length > 0) {
    const count = new Set(study.outliers.map((one) => one.order)).size;
    // The search ends at a fixed number: reaching it, there may be more.
    const atLeast = study.outliers.filter((one) => one.test === 'esd').length >= mostOutliers(n);
    found.push(said('study.caution.outliers', { count, atLeast }));
  }
  if (study.expected && study.expected.value * n < 1 && !contradiction)
    found.push(said('study.caution.far-outside', {}));
  if (study.choices.model !== 'normal') {
    const { bootstrap, bootstrapBound, seed } = study;
    if (bootstrapBound !== null) found.push(said('study.caution.bootstrap-bound', { most: bootstrapBound }));
    if (bootstrap && seed !== null) {
      found.push(
        bootstrap.Ppk === null && bootstrap.failed > 0
          ? said('study.caution.bootstrap-failed', { failed: bootstrap.failed, replicates: bootstrap.replicates })
          : said('study.caution.bootstrap', { replicates: bootstrap.replicates, seed, failed: bootstrap.failed }),
      );
    }
    if (study.recommended === 'normal') {
      found.push(said('study.caution.chosen-not-recommended', { model: modelTitle(study.choices.model) }));
    }
  }
  if (study.choices.fitP) found.push(fitSentence(study));
  const { baseline } = study.chart;
  if (baseline) found.push(said('study.caution.baseline', { ...baseline, of: study.chart.points.length }));
  else {
    const phases = phasesOf(study);
    if (phases > 1) found.push(said('study.caution.phases', { count: phases }));
  }
  if (study.within === 'mr-median') found.push(said('study.caution.mr-median', {}));
  if (study.indices.Cmk.ok) found.push(said('study.caution.machine', {}));
  const { low, high } = study.readings.limits;
  if ((low === null) !== (high === null)) found.push(said('study.caution.one-sided', {}));
  const { withoutTime } = study.origin;
  if (withoutTime > 0) found.push(said('study.caution.no-time', { count: withoutTime }));
  return found;
}

/** What the bootstrap says of the chosen model's fit, or why there is no p. */
function fitSentence(study: Study): Said {
  const { choices, bootstrap, bootstrapBound } = study;
  if (choices.model === 'normal') return said('study.fit.normal', {});
  if (choices.model === 'empirical') return said('study.fit.empirical', {});
  if (bootstrapBound !== null) return said('study.fit.too-many', { most: bootstrapBound });
  const goodness = bootstrap?.goodness ?? null;
  if (!bootstrap || !goodness) return said('study.fit.none', {});
  if (goodness.p === null) {
    return said('study.caution.bootstrap-failed', { failed: bootstrap.failed, replicates: bootstrap.replicates });
  }
  return said('study.fit.p', {
    model: modelTitle(choices.model),
    statistic: goodness.observed,
    p: goodness.p,
    atLeast: goodness.atLeast,
    replicates: bootstrap.replicates - bootstrap.failed,
    coarse: study.resolution !== null && study.resolution < 30,
  });
}

/** Phases of the charted points: calibrations, repairs and limit revisions between them start new ones. */
function phasesOf(study: Study): number {
  const seen = new Set<number>();
  let last = -1;
  const { length, phase: phases } = study.chart.points;
  for (let p = 0; p < length; p++) {
    const phase = phases[p]!;
    if (phase === last) continue;
    last = phase;
    seen.add(last);
  }
  return seen.size;
}

/** Readings left out by the operator who made them. */
export function isOwnExclusion(plant: Plant, position: number): boolean {
  const left = plant.leftOut.get(position);
  const operator = plant.register.operators[plant.readings.operator[position]!];
  if (!left || !operator) return false;
  const by = left.by.trim().toLowerCase();
  return (
    by === operator.badge.trim().toLowerCase() || (operator.name !== null && by === operator.name.trim().toLowerCase())
  );
}

function ownExclusions(plant: Plant, study: Study): number {
  let count = 0;
  const { positions, used } = study.readings;
  for (let k = 0; k < positions.length; k++) if (used[k] !== 1 && isOwnExclusion(plant, positions[k]!)) count++;
  return count;
}

/** Number of distinct sorted values, or null once there are `most`. */
function distinctUpTo(sorted: ArrayLike<number>, most: number): number | null {
  let count = 0;
  for (let i = 0; i < sorted.length; i++) {
    if (i === 0 || sorted[i] !== sorted[i - 1]) {
      count++;
      if (count >= most) return null;
    }
  }
  return count;
}

export function modelTitle(name: Study['choices']['model']): Said {
  return said(`study.model.${name}`, {});
}

/** Notes on method, in the order of the report. */
export function methodNotes(study: Study): Said[] {
  const status = study.chart.stability?.status ?? null;
  const notes: Said[] = [
    said('study.note.words-automotive', {}),
    said('study.note.words-iso', { stable: status === null ? null : status !== 'not-stable' }),
    said('study.note.judged', { judge: study.choices.judge }),
    study.choices.model === 'normal' ? said('study.note.intervals', {}) : said('study.note.intervals-percentile', {}),
    said('study.note.charts', {}),
    ...(study.chart.baseline ? [said('study.note.baseline', study.chart.baseline)] : []),
    said('study.note.normality', {}),
    study.bootstrap && study.seed !== null
      ? said('study.note.random', { seed: study.seed, replicates: study.bootstrap.replicates })
      : said('study.note.no-random', {}),
    said('study.note.sources-not-opened', {}),
  ];
  return notes;
}

/** Names of the indices in the order of the screen. */
export const indexOrder: readonly IndexName[] = ['Ppk', 'Pp', 'Cpk', 'Cp', 'Cpm', 'Cmk', 'Cm'];

/** Saved studies: the figures kept with one, and what differs when it is run again. */
import type {
  IndexName,
  SavedStudy,
  StudyChange,
  StudyFigures,
  StudyModel,
  StudySource,
} from '../contract/models/study-model.ts';
import { type Said, said } from '../text/said.ts';
import type { Study } from './study.ts';

const sourceKey = 'source ';
/** Studies of more files keep no count a file. */
const sourcesMost = 200;

/** Figures to keep with a saved study, unrounded: the same data give the same to the last digit. */
export function figuresOf(study: Study, sources: readonly StudySource[]): StudyFigures {
  const figures: Record<string, number | string | null> = {
    n: study.values.length,
    leftOut: study.readings.positions.length - study.values.length,
    otherRevisions: study.readings.counts.otherRevisions,
    furtherTries: study.readings.counts.furtherTries,
    requirement: study.requirement ? `${study.requirement.index} ${study.requirement.value}` : null,
    low: study.readings.limits.low,
    target: study.readings.limits.target,
    high: study.readings.limits.high,
    mean: study.moments?.mean ?? null,
    overall: study.moments?.standardDeviation ?? null,
    within: study.withinSigma.ok ? study.withinSigma.value.sigma : null,
  };
  for (const name of ['Ppk', 'Pp', 'Cpk', 'Cp', 'Cpm', 'Cm', 'Cmk'] satisfies IndexName[]) {
    const figure = study.indices[name];
    figures[name] = figure.ok ? figure.value.value : null;
    figures[`${name}.low95`] = figure.ok ? figure.value.low95 : null;
    figures[`${name}.high95`] = figure.ok ? figure.value.high95 : null;
  }
  figures.expectedPpm = study.expected ? study.expected.value * 1e6 : null;
  figures.stability = study.chart.stability?.status ?? null;
  figures.outcome = study.outcome;
  // So that a later run can say which file has come, gone, or gives other readings.
  if (sources.length <= sourcesMost) {
    for (const source of sources)
      figures[`${sourceKey}${source.name} (${source.sha256.slice(0, 8)})`] = source.readings;
  }
  return figures;
}

/**
 * What has changed between a saved study and its run today.
 *
 * The joint's name is part of a fingerprint (definitions 18): where the joint has another name since, that is said, and
 * the fingerprint is compared under the name it had.
 */
export function changesSince(
  saved: SavedStudy,
  now: Pick<StudyModel, 'choices' | 'figures' | 'fingerprint' | 'formerFingerprints' | 'programVersion'>,
): StudyChange {
  const names = new Set([...Object.keys(saved.figures), ...Object.keys(now.figures)]);
  const changed = [...names].flatMap((figure) => {
    const before = saved.figures[figure] ?? null;
    const after = now.figures[figure] ?? null;
    return Object.is(before, after) ? [] : [{ figure, before, now: after }];
  });
  const { savedAs } = saved;
  const renamed =
    savedAs === undefined ? null : said('study.saved.renamed', { before: savedAs, now: now.choices.joint });
  const onlyNameDiffers = savedAs !== undefined && now.formerFingerprints?.[savedAs] === saved.fingerprint;
  if (onlyNameDiffers && changed.length === 0) {
    return {
      same: false,
      said: said('study.saved.only-renamed', { before: savedAs, now: now.choices.joint }),
      changed,
    };
  }
  const alsoRenamed = (what: Said): Said =>
    renamed === null ? what : said('review.sentences', { parts: [what, renamed] });
  if (saved.fingerprint !== now.fingerprint && !onlyNameDiffers) {
    const pair = (figure: string) => changed.find((one) => one.figure === figure);
    const count = (figures: StudyFigures, name: string): number =>
      typeof figures[name] === 'number' ? figures[name] : 0;
    const counts = (name: string): { before: number; now: number } | null =>
      pair(name) ? { before: count(saved.figures, name), now: count(now.figures, name) } : null;
    // A study saved without counts a file cannot say which of them changed.
    const knowsSources = Object.keys(saved.figures).some((name) => name.startsWith(sourceKey));
    return {
      same: false,
      said: alsoRenamed(
        said('study.saved.data-changed', {
          readings: counts('n'),
          leftOut: counts('leftOut'),
          limits: ['low', 'target', 'high'].some((name) => pair(name) !== undefined),
          requirement: pair('requirement') !== undefined && 'requirement' in saved.figures,
          sources: knowsSources
            ? changed
                .filter((one) => one.figure.startsWith(sourceKey))
                .map((one) => ({
                  name: one.figure.slice(sourceKey.length),
                  before: count(saved.figures, one.figure),
                  now: count(now.figures, one.figure),
                }))
            : [],
        }),
      ),
      changed,
    };
  }
  return changed.length === 0
    ? { same: true, said: said('study.saved.same', {}), changed }
    : {
        same: false,
        said: alsoRenamed(
          said('study.saved.program-changed', { before: saved.programVersion, now: now.programVersion }),
        ),
        changed,
      };
}

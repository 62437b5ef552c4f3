/** One chart as a file, by name. */
import type { MadeFile } from '#core/contract/calls.ts';
import type { DriftToolModel } from '#core/contract/models/drift-model.ts';
import type { ReviewModel } from '#core/contract/models/review-model.ts';
import type { StudyModel } from '#core/contract/models/study-model.ts';
import { ProblemError } from '#core/contract/problems.ts';
import { driftStrips } from '#core/figures/drift-strips.ts';
import type { Figure } from '#core/figures/figure.ts';
import { indexIntervals, indexIntervalsLayout } from '#core/figures/index-intervals.ts';
import { limitRibbon } from '#core/figures/limit-ribbon.ts';
import { studyAxis } from '#core/figures/study-axis.ts';
import { said } from '#core/text/said.ts';

/** Names of the figures that can be made alone. */
export const figureNames = ['limit-ribbon', 'drift-strips', 'study', 'indices'] as const;
export type FigureName = (typeof figureNames)[number];

/** Models by what they are needed for; only the one that the figure needs is asked for. */
export interface FigureModels {
  review(): Promise<ReviewModel>;
  tool(): Promise<DriftToolModel>;
  study(): Promise<StudyModel>;
}

/** @throws ProblemError `not-found` for a name that is no figure, with the names that are */
export async function figureFile(name: string, format: 'svg' | 'png', models: FigureModels): Promise<MadeFile> {
  const drawn = await figureOf(name, models);
  const { figureSvg } = await import('./svg.ts');
  const svg = figureSvg(drawn.figure, drawn.width, drawn.height);
  if (format === 'svg') return { name: `${name}.svg`, mime: 'image/svg+xml', bytes: new TextEncoder().encode(svg) };
  const { svgPng } = await import('./chromium-print.ts');
  return { name: `${name}.png`, mime: 'image/png', bytes: await svgPng(svg, drawn.width, drawn.height) };
}

async function figureOf(
  name: string,
  models: FigureModels,
): Promise<{ figure: Figure; width: number; height: number }> {
  switch (name) {
    case 'limit-ribbon': {
      const size = { width: 1400, height: 316 };
      return { figure: limitRibbon((await models.review()).ribbon, size), ...size };
    }
    case 'drift-strips': {
      const size = { width: 900, height: 380 };
      return { figure: driftStrips(await models.tool(), size), ...size };
    }
    case 'study': {
      const size = { width: 1100, height: 420 };
      return { figure: studyAxis(await models.study(), size), ...size };
    }
    case 'indices': {
      const rows = (await models.study()).indices.filter((row) => row.value !== null);
      const options = { width: 800, rowHeight: 24 };
      return {
        figure: indexIntervals(rows, options),
        width: options.width,
        height: indexIntervalsLayout(rows, options).height,
      };
    }
    default:
      throw new ProblemError('not-found', said('report.no-figure', { name, known: figureNames }));
  }
}

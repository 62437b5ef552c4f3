/** A study in every form it leaves the program. */
import type { MadeFile } from '#core/contract/calls.ts';
import type { StudyModel } from '#core/contract/models/study-model.ts';
import { studyAxis } from '#core/figures/study-axis.ts';
import { fileName } from '#core/report/file-name.ts';
import type { Paper } from '#core/report/report-document.ts';
import { studyCsv } from '#core/report/study-csv.ts';
import { type ReportFacts, studyReport } from '#core/report/study-report.ts';
import type { ListedReading } from '#core/study/listed-readings.ts';

export type StudyFormat = 'html' | 'pdf' | 'docx' | 'csv' | 'json' | 'svg' | 'png';

export interface StudyFileOptions {
  readonly paper?: Paper;
  /** Every reading of the study, for CSV; without them those that the model draws one by one. */
  readonly readings?: readonly ListedReading[];
}

/** Makes the file; the same study gives the same bytes, apart from the date of making. */
export async function studyFile(
  model: StudyModel,
  format: StudyFormat,
  facts: ReportFacts,
  options: StudyFileOptions = {},
): Promise<MadeFile> {
  const name = fileName(['study', model.scopeFacts.joint, model.choices.of]);
  const text = (ending: string, mime: string, content: string): MadeFile => ({
    name: `${name}.${ending}`,
    mime,
    bytes: new TextEncoder().encode(content),
  });
  switch (format) {
    case 'csv':
      return text('csv', 'text/csv', studyCsv(model, options.readings));
    case 'json':
      return text('json', 'application/json', `${JSON.stringify(model.answer, null, 1)}\n`);
    case 'svg':
    case 'png': {
      const { figureSvg } = await import('./svg.ts');
      const size = { width: 1100, height: 420 };
      const svg = figureSvg(studyAxis(model, size), size.width, size.height);
      if (format === 'svg') return text('svg', 'image/svg+xml', svg);
      const { svgPng } = await import('./chromium-print.ts');
      return { name: `${name}.png`, mime: 'image/png', bytes: await svgPng(svg, size.width, size.height) };
    }
    default: {
      const { makeReport } = await import('./make-report.ts');
      return makeReport(studyReport(model, facts), format, name, facts.madeMs, options.paper);
    }
  }
}

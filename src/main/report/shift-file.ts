/** The shift hand-over in every form it leaves the program. */
import type { MadeFile } from '#core/contract/calls.ts';
import type { ReviewModel } from '#core/contract/models/review-model.ts';
import { fileName } from '#core/report/file-name.ts';
import { shiftCsv, shiftReport } from '#core/report/shift-report.ts';
import type { ReportFacts } from '#core/report/study-report.ts';
import { say } from '#core/text/said.ts';

/** Makes the file. */
export async function shiftFile(
  model: ReviewModel,
  format: 'html' | 'pdf' | 'csv',
  facts: ReportFacts & { readonly programVersion: string },
): Promise<MadeFile> {
  const name = fileName(['shift', say(model.period.said)]);
  if (format === 'csv')
    return { name: `${name}.csv`, mime: 'text/csv', bytes: new TextEncoder().encode(shiftCsv(model)) };
  const { makeReport } = await import('./make-report.ts');
  return makeReport(shiftReport(model, facts), format, name, facts.madeMs);
}

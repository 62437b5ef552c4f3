/** The tool card in the forms it leaves the program. */
import type { MadeFile } from '#core/contract/calls.ts';
import type { DriftToolModel } from '#core/contract/models/drift-model.ts';
import { fileName } from '#core/report/file-name.ts';
import type { ReportFacts } from '#core/report/study-report.ts';
import { toolCard } from '#core/report/tool-card.ts';

/** Makes the file. */
export async function toolFile(
  model: DriftToolModel,
  format: 'html' | 'pdf',
  facts: ReportFacts & { readonly programVersion: string },
): Promise<MadeFile> {
  const { makeReport } = await import('./make-report.ts');
  return makeReport(toolCard(model, facts), format, fileName(['tool', model.row.tool]), facts.madeMs);
}

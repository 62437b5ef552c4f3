/** A report document in the form asked for. */
import type { MadeFile } from '#core/contract/calls.ts';
import type { Paper, ReportDocument } from '#core/report/report-document.ts';
import { reportHtml } from '#core/report/report-html.ts';
import { pagePdf, svgPng } from './chromium-print.ts';
import { installedChromium } from './installed-chromium.ts';
import { figureSvg } from './svg.ts';

/** Writes HTML, PDF or a word-processor file. @throws ProblemError when a PDF is asked for and no browser is there */
export async function makeReport(
  report: ReportDocument,
  format: 'html' | 'pdf' | 'docx',
  name: string,
  madeMs: number,
  paper: Paper = 'A4',
): Promise<MadeFile> {
  if (format === 'docx') {
    const { reportDocx } = await import('./report-docx.ts');
    const draw = installedChromium() !== null;
    const bytes = await reportDocx(
      report,
      async (block) => {
        if (!draw) return null;
        const svg = figureSvg(block.figure, block.width, block.height);
        return { svg, png: await svgPng(svg, block.width, block.height) };
      },
      madeMs,
      paper,
    );
    return {
      name: `${name}.docx`,
      mime: 'application/vnd.openxmlformats-officedocument.wordprocessingml.document',
      bytes,
    };
  }
  // The page itself prints on whatever sheet the printer holds; a PDF is of one.
  const html = reportHtml(
    report,
    (block) => figureSvg(block.figure, block.width, block.height),
    format === 'pdf' ? paper : null,
  );
  if (format === 'pdf') return { name: `${name}.pdf`, mime: 'application/pdf', bytes: await pagePdf(html, madeMs) };
  return { name: `${name}.html`, mime: 'text/html', bytes: new TextEncoder().encode(html) };
}

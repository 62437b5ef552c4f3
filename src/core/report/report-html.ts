/** A report as one self-contained page: no script, no address, prints on A4 and Letter. */
import { escapeMarkup, markedToMarkup } from './escape-markup.ts';
import { mathMl } from './math-ml.ts';
import type { Paper, ReportBlock, ReportDocument, ReportTable } from './report-document.ts';

/**
 * Writes the page.
 *
 * @param drawSvg draws a figure as SVG text; handed in, since drawing needs a chart library that core does not know
 * @param paper sheet to print on; null: that of the printer, so that the page itself prints on A4 and on Letter
 */
export function reportHtml(
  report: ReportDocument,
  drawSvg: (figure: Extract<ReportBlock, { kind: 'figure' }>) => string,
  paper: Paper | null = null,
): string {
  const body = report.blocks.map((block) => blockHtml(block, report, drawSvg)).join('\n');
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<title>${escapeMarkup(report.title)}</title>
<style>${style(report, paper)}</style>
</head>
<body>
<main${report.landscape ? ' class="sheet"' : ''}>
${partHead(report)}
${body}
</main>
</body>
</html>
`;
}

const partHead = (report: ReportDocument): string =>
  `<header class="part"><b>${escapeMarkup(report.owner)}</b><span>${escapeMarkup(report.kindOfReport)}</span></header>`;

function blockHtml(
  block: ReportBlock,
  report: ReportDocument,
  drawSvg: (figure: Extract<ReportBlock, { kind: 'figure' }>) => string,
): string {
  switch (block.kind) {
    case 'title':
      return `<h1>${markedToMarkup(block.text)}</h1>`;
    case 'heading':
      return `<h2>${markedToMarkup(block.text)}${block.note ? ` <small>${markedToMarkup(block.note)}</small>` : ''}</h2>`;
    case 'facts':
      return `<dl class="facts">${block.rows
        .map(([name, value]) => `<div><dt>${markedToMarkup(name)}</dt><dd>${markedToMarkup(value)}</dd></div>`)
        .join('')}</dl>`;
    case 'verdict':
      return `<section class="verdict">${glyph(block.glyph)}<div><p class="say"><b>${markedToMarkup(block.headline)}</b> ${markedToMarkup(block.text)}</p>${block.lines
        .map((line) => `<p class="sub">${markedToMarkup(line)}</p>`)
        .join('')}</div></section>`;
    case 'paragraph':
      return `<p>${block.lead ? `<b>${markedToMarkup(block.lead)}</b> ` : ''}${markedToMarkup(block.text)}</p>`;
    case 'columns':
      return `<div class="columns"${block.widths ? ` style="grid-template-columns:${block.widths.map((part) => `${part}fr`).join(' ')}"` : ''}><div>${block.left.map((b) => blockHtml(b, report, drawSvg)).join('')}</div><div>${block.right
        .map((b) => blockHtml(b, report, drawSvg))
        .join('')}</div></div>`;
    case 'figure':
      return `<figure>${drawSvg(block)}<figcaption>${escapeMarkup(block.figure.summary)}</figcaption></figure>`;
    case 'table':
      return tableHtml(block);
    case 'math':
      return `<div class="working"><div class="label">${markedToMarkup(block.label)}</div><div>${block.lines
        .map((line) => mathMl(line))
        .join('')}${block.note ? `<p class="sub">${markedToMarkup(block.note)}</p>` : ''}</div></div>`;
    case 'caution':
      return `<p class="caution">${markedToMarkup(block.text)}</p>`;
    case 'signatures':
      return `<div class="signatures">${block.labels.map((label) => `<div>${escapeMarkup(label)}</div>`).join('')}</div>`;
    case 'page-break':
      return `<div class="break"></div>${partHead(report)}`;
  }
}

function tableHtml(table: ReportTable): string {
  const cells = (row: readonly string[], tag: 'td' | 'th'): string =>
    row
      .map(
        (cell, i) =>
          `<${tag}${table.numeric[i] ? ' class="r"' : ''}${tag === 'th' ? ' scope="col"' : ''}>${markedToMarkup(cell)}</${tag}>`,
      )
      .join('');
  return `<table${table.small ? ' class="small"' : ''}><caption>${escapeMarkup(table.caption)}</caption><thead><tr>${cells(table.head, 'th')}</tr></thead><tbody>${table.rows
    .map((row) => `<tr>${cells(row, 'td')}</tr>`)
    .join('')}</tbody></table>`;
}

/** The interval against the requirement tick, as on the screen. */
function glyph(g: Extract<ReportBlock, { kind: 'verdict' }>['glyph']): string {
  if (!g) return '';
  const low = g.low95 ?? g.value;
  const high = g.high95 ?? g.value;
  const from = Math.min(low, g.required);
  const to = Math.max(high, g.required);
  const pad = (to - from || 1) * 0.15;
  const x = (v: number): string => (2 + ((v - from + pad) / (to - from + 2 * pad)) * 40).toFixed(1);
  return `<svg class="glyph" width="44" height="24" viewBox="0 0 44 24" role="img" aria-label="interval against the requirement"><path d="M${x(low)} 12H${x(high)}" stroke="currentColor" stroke-width="2.4"/><circle cx="${x(g.value)}" cy="12" r="5" fill="currentColor"/><path d="M${x(g.required)} 1V23" stroke="currentColor" stroke-width="2.4"/></svg>`;
}

/** The `size` of the page rule; none where neither sheet nor direction is asked for. */
function pageSize(report: ReportDocument, paper: Paper | null): string {
  const words = [...(paper ? [paper] : []), ...(report.landscape ? ['landscape'] : [])];
  return words.length > 0 ? `size:${words.join(' ')};` : '';
}

function style(report: ReportDocument, paper: Paper | null): string {
  const foot = report.foot
    .replace(/[\\"]/g, '\\$&')
    .replace(/[\n\r]/g, ' ')
    .replace(/</g, '\\3c ');
  return `
:root{--ink:#000;--ink-2:#333d47;--ink-3:#55616c;--rule:#c4cbd1;--low:#1a5fb4;--high:#b84a00}
@page{${report.landscape ? 'margin:11mm 14mm 13mm' : 'margin:16mm 16mm 18mm'};${pageSize(report, paper)}
@bottom-left{content:"${foot}";font:8.5px "Liberation Sans",Arial,sans-serif;color:#55616c}
@bottom-right{content:"Page " counter(page) " of " counter(pages);font:8.5px "Liberation Sans",Arial,sans-serif;color:#55616c}}
*{box-sizing:border-box}
body{margin:0;background:#fff;color:var(--ink);font:12px/18px "Inter","IBM Plex Sans","Segoe UI","Helvetica Neue","Liberation Sans",Arial,sans-serif;font-variant-numeric:tabular-nums lining-nums}
main{width:${report.landscape ? 1000 : 672}px;max-width:100%;margin:0 auto;padding:24px 0}
@media print{main{width:auto;padding:0}}
.part{display:flex;justify-content:space-between;border-bottom:1px solid var(--ink);padding-bottom:8px;margin-bottom:12px;font-size:11px;color:var(--ink-3)}
.part b{color:var(--ink)}
h1{font:400 25px/30px "Source Serif 4","Charter","Georgia","Liberation Serif",serif;margin:0 0 8px}
h2{font-size:13px;line-height:18px;font-weight:600;margin:12px 0 4px;break-after:avoid}
h2 small{font-weight:400;color:var(--ink-3);margin-left:6px}
p{margin:0 0 6px}
.facts{display:grid;grid-template-columns:1fr 1fr;gap:2px 24px;margin:0 0 12px;padding-bottom:12px;border-bottom:1px solid var(--rule)}
.facts div{display:grid;grid-template-columns:84px 1fr;gap:8px}
.facts dt{color:var(--ink-3)}.facts dd{margin:0;overflow-wrap:anywhere}
.verdict{display:flex;gap:16px;align-items:flex-start;margin:4px 0 10px;padding-bottom:10px;border-bottom:1px solid var(--rule)}
.glyph{flex:none;margin-top:4px}
.say{font:400 16px/21px "Source Serif 4","Charter","Georgia","Liberation Serif",serif}
.sub{color:var(--ink-2);font-size:11px;line-height:16px;margin:0 0 3px}
.columns{font-size:11px;line-height:15px;break-inside:avoid;display:grid;grid-template-columns:1fr 1fr;gap:0 28px;margin-top:8px}
figure{margin:0 0 8px;break-inside:avoid}figure svg{display:block;max-width:100%;height:auto}
figcaption{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
table{border-collapse:collapse;width:100%;font-size:11px;line-height:15px;margin:0 0 10px}
caption{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
th{font-weight:400;color:var(--ink-3);text-align:left;border-bottom:1px solid var(--ink-3);padding:2px 8px 3px 0;vertical-align:bottom}
td{border-bottom:1px solid var(--rule);padding:3px 8px 3px 0;vertical-align:top;overflow-wrap:anywhere}
.small{font-size:10px;line-height:13px}.small td{padding:1px 6px 1px 0}
.r{text-align:right}tr{break-inside:avoid}thead{display:table-header-group}
.working{display:grid;grid-template-columns:130px 1fr;gap:12px;margin:0 0 8px;break-inside:avoid}
.working>div{min-width:0;overflow-wrap:anywhere}.working .label{color:var(--ink-3)}
math{font-family:"STIX Two Math","Cambria Math","Latin Modern Math","DejaVu Math TeX Gyre",math;font-size:13px;display:block math;width:fit-content;margin:0 0 4px}
.caution{border-top:1px solid var(--rule);border-bottom:1px solid var(--rule);padding:8px 0;margin:10px 0}
.signatures{display:grid;grid-template-columns:1fr 1fr 1fr;gap:24px;margin-top:64px;break-inside:avoid}
.signatures div{border-top:1px solid var(--ink);padding-top:4px;color:var(--ink-3);font-size:11px}
.break{break-before:page;height:24px}@media print{.break{height:0}}
.columns>div{min-width:0}
.sheet .part{padding-bottom:4px;margin-bottom:6px}
.sheet h1{font-size:18px;line-height:24px;margin:0 0 2px}
.sheet h2{font-size:11.5px;line-height:15px;margin:6px 0 3px}
.sheet p{font-size:10.5px;line-height:14px;margin:0 0 3px}
.sheet .verdict{margin:0 0 4px;padding:0;border:0}
.sheet .say{font-size:14px;line-height:18px;margin:0 0 2px}.sheet .sub{font-size:10px;line-height:13px;margin:0}
.sheet figure{margin:0 0 2px}.sheet .columns{margin-top:0;gap:0 20px}
.sheet table{margin:0 0 4px}.sheet td{overflow-wrap:break-word}.sheet .caution{padding:4px 0;margin:4px 0 0}
.low{color:var(--low)}.high{color:var(--high)}code{font-family:"IBM Plex Mono","Consolas","Liberation Mono",monospace}
`;
}

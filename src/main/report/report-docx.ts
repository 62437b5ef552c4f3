/** A report as a word-processor file, since that is where reports are put together. */
import {
  AlignmentType,
  BorderStyle,
  Document,
  Footer,
  HeadingLevel,
  ImageRun,
  type ISectionOptions,
  Packer,
  PageNumber,
  PageOrientation,
  Paragraph,
  Table,
  TableCell,
  TableRow,
  TextRun,
  WidthType,
} from 'docx';
import { escapeMarkup } from '#core/report/escape-markup.ts';
import type { Paper, ReportBlock, ReportDocument, ReportTable } from '#core/report/report-document.ts';
import { mathText } from '#core/study/math-node.ts';

/** Draws a figure block as PNG bytes with its SVG; null: pictures cannot be made here. */
export type DrawPicture = (
  block: Extract<ReportBlock, { kind: 'figure' }>,
) => Promise<{ svg: string; png: Uint8Array } | null>;

/** Sheets in twentieths of a point. */
const sheets: Readonly<Record<Paper, { readonly width: number; readonly height: number }>> = {
  A4: { width: 11_906, height: 16_838 },
  letter: { width: 12_240, height: 15_840 },
};
const grey = '55616C';
const rule = { style: BorderStyle.SINGLE, size: 4, color: 'C4CBD1' } as const;
const none = { style: BorderStyle.NONE, size: 0, color: 'FFFFFF' } as const;

/** Writes the file. Figures are pictures (SVG with a PNG for older programs); tables and text can be edited. */
export async function reportDocx(
  report: ReportDocument,
  draw: DrawPicture,
  madeMs: number,
  paper: Paper = 'A4',
): Promise<Uint8Array> {
  const children: (Paragraph | Table)[] = [
    new Paragraph({
      spacing: { after: 120 },
      children: [
        new TextRun({ text: report.owner, bold: true, size: 18 }),
        new TextRun({ text: `   ${report.kindOfReport}`, size: 18, color: grey }),
      ],
    }),
  ];
  let pictures = 0;
  const numbered: DrawPicture = async (block) => {
    pictures += 1;
    return draw(block);
  };
  for (const block of report.blocks) children.push(...(await blockParts(block, numbered, () => pictures)));
  const section: ISectionOptions = {
    properties: {
      page: {
        size: {
          ...sheets[paper],
          orientation: report.landscape ? PageOrientation.LANDSCAPE : PageOrientation.PORTRAIT,
        },
        margin: { top: 907, bottom: 907, left: 907, right: 907 },
      },
    },
    footers: {
      default: new Footer({
        children: [
          new Paragraph({
            children: [
              new TextRun({ text: `${report.foot}   `, size: 14, color: grey }),
              new TextRun({
                children: ['Page ', PageNumber.CURRENT, ' of ', PageNumber.TOTAL_PAGES],
                size: 14,
                color: grey,
              }),
            ],
          }),
        ],
      }),
    },
    children,
  };
  const document = new Document({
    title: report.title,
    creator: 'Tightbook',
    styles: {
      default: {
        document: { run: { font: 'Arial', size: 19 } },
        title: { run: { color: '000000' } },
        heading2: { run: { color: '000000', font: 'Arial' } },
      },
    },
    sections: [section],
  });
  const packed = await Packer.toBuffer(document, undefined, [
    { path: 'docProps/core.xml', data: coreProperties(report, madeMs) },
  ]);
  return datedZip(packed, madeMs);
}

async function blockParts(block: ReportBlock, draw: DrawPicture, number: () => number): Promise<(Paragraph | Table)[]> {
  switch (block.kind) {
    case 'title':
      return [
        new Paragraph({
          heading: HeadingLevel.TITLE,
          spacing: { after: 160 },
          children: runs(block.text, 40, 'Georgia'),
        }),
      ];
    case 'heading':
      return [
        new Paragraph({
          heading: HeadingLevel.HEADING_2,
          keepNext: true,
          spacing: { before: 240, after: 80 },
          children: [...runs(block.text, 22, undefined, true), ...(block.note ? runs(`  ${block.note}`, 18) : [])],
        }),
      ];
    case 'facts':
      return [
        plainTable(
          block.rows.map(([name, value]) => [name, value]),
          [22, 78],
        ),
      ];
    case 'verdict':
      return [
        new Paragraph({
          spacing: { before: 160, after: 80 },
          children: [...runs(block.headline, 28, 'Georgia', true), ...runs(` ${block.text}`, 28, 'Georgia')],
        }),
        ...block.lines.map((line) => new Paragraph({ spacing: { after: 60 }, children: runs(line, 18) })),
      ];
    case 'paragraph':
      return [
        new Paragraph({
          spacing: { after: 80 },
          children: [...(block.lead ? runs(`${block.lead} `, 19, undefined, true) : []), ...runs(block.text, 19)],
        }),
      ];
    case 'columns': {
      const out: (Paragraph | Table)[] = [];
      for (const inner of [...block.left, ...block.right]) out.push(...(await blockParts(inner, draw, number)));
      return out;
    }
    case 'figure': {
      const picture = await draw(block);
      if (!picture) return [new Paragraph({ children: runs(block.figure.summary, 18) })];
      const scale = 640 / block.width;
      const size = { width: 640, height: Math.round(block.height * scale) };
      return [
        new Paragraph({
          children: [
            new ImageRun({
              type: 'svg',
              data: Buffer.from(picture.svg),
              fallback: { type: 'png', data: Buffer.from(picture.png) },
              transformation: size,
              // Without an id of ours the library counts on through all files the process writes.
              altText: {
                id: String(number()),
                name: block.figure.title,
                title: block.figure.title,
                description: block.figure.summary,
              },
            }),
          ],
        }),
      ];
    }
    case 'table':
      return [dataTable(block), new Paragraph({ spacing: { after: 80 }, children: [] })];
    case 'math':
      return [
        new Paragraph({ keepNext: true, spacing: { before: 80 }, children: runs(block.label, 19, undefined, true) }),
        ...block.lines.map(
          (line) =>
            new Paragraph({
              keepNext: true,
              children: [new TextRun({ text: mathText(line), font: 'Cambria Math', size: 20 })],
            }),
        ),
        ...(block.note ? [new Paragraph({ spacing: { after: 100 }, children: runs(block.note, 17) })] : []),
      ];
    case 'caution':
      return [
        new Paragraph({
          border: { top: rule, bottom: rule },
          spacing: { before: 120, after: 120 },
          children: runs(block.text, 19),
        }),
      ];
    case 'signatures':
      return [
        new Paragraph({ spacing: { before: 900 }, children: [] }),
        new Table({
          width: { size: 100, type: WidthType.PERCENTAGE },
          borders: { top: none, bottom: none, left: none, right: none, insideHorizontal: none, insideVertical: none },
          rows: [
            new TableRow({
              children: block.labels.map(
                (label) =>
                  new TableCell({
                    borders: { top: { style: BorderStyle.SINGLE, size: 6, color: '000000' } },
                    children: [new Paragraph({ children: runs(label, 17) })],
                  }),
              ),
            }),
          ],
        }),
      ];
    case 'page-break':
      return [new Paragraph({ pageBreakBefore: true, children: [] })];
  }
}

function dataTable(table: ReportTable): Table {
  const size = table.small ? 16 : 18;
  const widths = columnWidths(table);
  const row = (cells: readonly string[], head: boolean): TableRow =>
    new TableRow({
      tableHeader: head,
      cantSplit: true,
      children: cells.map(
        (cell, i) =>
          new TableCell({
            width: { size: widths[i] ?? 10, type: WidthType.PERCENTAGE },
            margins: { top: 20, bottom: 20, left: 40, right: 60 },
            children: [
              new Paragraph({
                alignment: table.numeric[i] ? AlignmentType.RIGHT : AlignmentType.LEFT,
                children: head ? [new TextRun({ text: cell, size: size - 1, color: grey })] : runs(cell, size),
              }),
            ],
          }),
      ),
    });
  return new Table({
    width: { size: 100, type: WidthType.PERCENTAGE },
    borders: { top: none, left: none, right: none, insideVertical: none, bottom: rule, insideHorizontal: rule },
    rows: [row(table.head, true), ...table.rows.map((cells) => row(cells, false))],
  });
}

/** Shares of the width in percent, by the longest text of each column, so that notes do not stand in a narrow strip. */
function columnWidths(table: ReportTable): number[] {
  const longest = table.head.map((head, i) =>
    Math.min(60, Math.max(head.length, 4, ...table.rows.map((row) => plainLength(row[i] ?? '')))),
  );
  const total = longest.reduce((sum, length) => sum + length + 2, 0);
  return longest.map((length) => Math.max(1, Math.round((100 * (length + 2)) / total)));
}

/** Characters of a cell without its marks. */
const plainLength = (cell: string): number => cell.replace(/\*\*/g, '').replace(/\{\w+\|([^{}]*)\}/g, '$1').length;

function plainTable(rows: readonly (readonly string[])[], widths: readonly number[]): Table {
  return new Table({
    width: { size: 100, type: WidthType.PERCENTAGE },
    borders: { top: none, bottom: rule, left: none, right: none, insideHorizontal: none, insideVertical: none },
    rows: rows.map(
      (cells) =>
        new TableRow({
          children: cells.map(
            (cell, i) =>
              new TableCell({
                width: { size: widths[i] ?? 10, type: WidthType.PERCENTAGE },
                children: [
                  new Paragraph({
                    children: i === 0 ? [new TextRun({ text: cell, size: 18, color: grey })] : runs(cell, 18),
                  }),
                ],
              }),
          ),
        }),
    ),
  });
}

/** Text with the marks of said.ts as runs. */
function runs(text: string, size: number, font?: string, strong = false): TextRun[] {
  const colours: Readonly<Record<string, string>> = { low: '1A5FB4', high: 'B84A00' };
  return text.split(/(\*\*[^*]+\*\*|\{(?:low|high|you|mono)\|[^{}]*\})/).flatMap((piece) => {
    if (piece === '') return [];
    const bold = /^\*\*([^*]+)\*\*$/.exec(piece)?.[1];
    const marked = /^\{(\w+)\|([^{}]*)\}$/.exec(piece);
    const colour = marked?.[1] ? colours[marked[1]] : undefined;
    const face = marked?.[1] === 'mono' ? 'Courier New' : font;
    return [
      new TextRun({
        text: bold ?? marked?.[2] ?? piece,
        size,
        bold: strong || bold !== undefined,
        ...(face ? { font: face } : {}),
        ...(colour ? { color: colour } : {}),
      }),
    ];
  });
}

/** Properties of the file with the report's own date; the library would put the present one. */
function coreProperties(report: ReportDocument, madeMs: number): string {
  const made = new Date(madeMs).toISOString().replace(/\.\d+Z$/, 'Z');
  return `<?xml version="1.0" encoding="UTF-8"?><cp:coreProperties xmlns:cp="http://schemas.openxmlformats.org/package/2006/metadata/core-properties" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"><dc:title>${escapeMarkup(report.title)}</dc:title><dc:creator>Tightbook</dc:creator><cp:revision>1</cp:revision><dcterms:created xsi:type="dcterms:W3CDTF">${made}</dcterms:created><dcterms:modified xsi:type="dcterms:W3CDTF">${made}</dcterms:modified></cp:coreProperties>`;
}

/**
 * Sets the dates of all entries of a zip file, so that the same report gives the same bytes.
 *
 * Walks the central directory (APPNOTE of the zip format, 4.3.12 and 4.3.7); entries themselves are not touched.
 */
export function datedZip(zip: Uint8Array, madeMs: number): Uint8Array {
  const made = new Date(madeMs);
  const date =
    ((Math.max(1980, made.getUTCFullYear()) - 1980) << 9) | ((made.getUTCMonth() + 1) << 5) | made.getUTCDate();
  const time = (made.getUTCHours() << 11) | (made.getUTCMinutes() << 5) | (made.getUTCSeconds() >> 1);
  const out = Buffer.from(zip);
  const end = out.lastIndexOf(Buffer.from([0x50, 0x4b, 0x05, 0x06]));
  if (end < 0) throw new RangeError('this is not a zip file');
  let at = out.readUInt32LE(end + 16);
  for (let entries = out.readUInt16LE(end + 10); entries > 0; entries -= 1) {
    out.writeUInt16LE(time, at + 12);
    out.writeUInt16LE(date, at + 14);
    const local = out.readUInt32LE(at + 42);
    out.writeUInt16LE(time, local + 10);
    out.writeUInt16LE(date, local + 12);
    at += 46 + out.readUInt16LE(at + 28) + out.readUInt16LE(at + 30) + out.readUInt16LE(at + 32);
  }
  return new Uint8Array(out);
}

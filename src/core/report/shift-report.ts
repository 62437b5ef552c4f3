/** The shift as one landscape page to hand over: finding, ribbon, causes, missing fasteners, failing readings with notes. */
import type { FailingRow, ReviewModel } from '../contract/models/review-model.ts';
import { limitRibbon } from '../figures/limit-ribbon.ts';
import { roundedText } from '../text/format.ts';
import { type SaidArgs, type SaidKey, said, say, sayMarked } from '../text/said.ts';
import { civilText } from '../time/civil-time.ts';
import { torqueUnitSymbols } from '../units/torque-unit.ts';
import { csvText } from './csv-text.ts';
import type { ReportBlock, ReportDocument } from './report-document.ts';
import type { ReportFacts } from './study-report.ts';
import { unmarked } from './unmarked.ts';

/** Rows of the failing list that one page holds beside the rest. */
const printedRows = 24;
const words = <K extends SaidKey>(key: K, args: SaidArgs<K>): string => sayMarked(said(key, args));

/** Builds the page. */
export function shiftReport(
  model: ReviewModel,
  facts: ReportFacts & { readonly programVersion: string },
): ReportDocument {
  const title = say(model.period.said, true);
  return {
    title,
    owner: facts.plantName ?? words('report.owner.none', {}),
    kindOfReport: words('report.kind.shift', {}),
    foot: words('report.foot.plain', { version: facts.programVersion, madeMs: facts.madeMs, by: facts.by }),
    landscape: true,
    blocks: [
      { kind: 'title', text: sayMarked(model.period.said) },
      ...finding(model),
      ...ribbon(model),
      { kind: 'columns', left: causes(model), right: fasteners(model) },
      ...failing(model),
      ...notices(model),
      { kind: 'caution', text: words('common.releases-nothing', {}) },
    ],
  };
}

function finding(model: ReviewModel): ReportBlock[] {
  if (model.empty) return [{ kind: 'paragraph', text: sayMarked(model.empty.said) }];
  return [
    {
      kind: 'verdict',
      headline: '',
      text: model.finding.map((sentence) => sayMarked(sentence)).join(' '),
      lines: model.comparison.map((row) => sayMarked(row.said)),
      glyph: null,
    },
  ];
}

function ribbon(model: ReviewModel): ReportBlock[] {
  if (model.empty || model.ribbon.axis.length === 0) return [];
  const size = { width: 1000, height: 280 };
  return [{ kind: 'figure', figure: limitRibbon(model.ribbon, size), ...size }];
}

function causes(model: ReviewModel): ReportBlock[] {
  const heading: ReportBlock = {
    kind: 'heading',
    text: words('report.heading.causes', {}),
    note: sayMarked(model.causes.said),
  };
  if (model.causes.rows.length === 0) return [heading, { kind: 'paragraph', text: words('report.nothing-failed', {}) }];
  return [
    heading,
    {
      kind: 'table',
      caption: words('report.heading.causes', {}),
      head: [words('report.head.cause', {}), words('report.head.count', {}), words('report.head.running', {})],
      numeric: [false, true, true],
      small: true,
      rows: model.causes.rows
        .slice(0, 10)
        .map((row) => [sayMarked(row.said), String(row.count), `${roundedText(row.running * 100, 0)} %`]),
    },
  ];
}

function fasteners(model: ReviewModel): ReportBlock[] {
  const account = model.fasteners;
  const out: ReportBlock[] = [
    { kind: 'heading', text: words('report.heading.fasteners', {}) },
    { kind: 'paragraph', text: sayMarked(account.said) },
  ];
  if (account.incomplete.length > 0) {
    out.push({
      kind: 'table',
      caption: words('report.heading.fasteners', {}),
      head: [
        words('report.head.batch', {}),
        words('report.head.joint', {}),
        words('report.head.tool', {}),
        words('report.head.missing', {}),
      ],
      numeric: [false, false, false, true],
      small: true,
      rows: account.incomplete
        .slice(0, 10)
        .map((row) => [
          unmarked(row.batch ?? (row.from === null ? '–' : civilText(row.from).slice(11, 16))),
          unmarked(row.joint),
          unmarked(row.tool ?? '–'),
          String(row.missing),
        ]),
    });
  }
  out.push({ kind: 'paragraph', text: sayMarked(model.again.said) });
  return out;
}

function failing(model: ReviewModel): ReportBlock[] {
  const { rows, total } = model.failing;
  if (rows.length === 0) return [];
  return [
    { kind: 'heading', text: words('report.heading.failing', {}), note: sayMarked(model.failing.said) },
    {
      kind: 'table',
      caption: words('report.heading.failing', {}),
      head: [
        words('report.head.time', {}),
        words('report.head.joint', {}),
        words('report.head.tool', {}),
        words('report.head.operator', {}),
        words('report.head.torque', {}),
        words('report.head.angle', {}),
        words('report.head.reason', {}),
        words('report.head.try', {}),
        words('report.head.outcome', {}),
      ],
      numeric: [false, false, false, false, true, true, false, true, false],
      small: true,
      rows: rows
        .slice(0, printedRows)
        .map((row) => [
          time(row),
          unmarked([row.joint ?? '–', row.fastener ?? ''].join(' ').trim()),
          unmarked(row.tool ?? '–'),
          unmarked(row.operatorName ?? row.operator ?? '–'),
          row.torque === null ? '–' : `${roundedText(row.torque, row.torqueDecimals)} ${torqueUnitSymbols[row.unit]}`,
          row.angleDeg === null ? '–' : `${roundedText(row.angleDeg, 0)}°`,
          row.reasons.map((reason) => reason.replace('-', ' ')).join(', '),
          row.attempt === null ? '' : String(row.attempt),
          unmarked(
            [row.outcome ? say(row.outcome, true) : '', row.note ?? ''].filter((part) => part !== '').join('; '),
          ),
        ]),
    },
    ...(total > printedRows
      ? [{ kind: 'paragraph', text: words('report.more-rows', { shown: printedRows, total }) } satisfies ReportBlock]
      : []),
  ];
}

function notices(model: ReviewModel): ReportBlock[] {
  if (model.notices.length === 0) return [];
  return [
    { kind: 'heading', text: words('report.heading.notices', {}) },
    ...model.notices.slice(0, 6).map((notice): ReportBlock => ({ kind: 'paragraph', text: sayMarked(notice.said) })),
  ];
}

const time = (row: FailingRow): string =>
  row.at === null ? '–' : civilText(row.at, row.atStepMs).slice(11, 19) || civilText(row.at, row.atStepMs);

/** The failing readings as CSV, all of them that the model holds. */
export function shiftCsv(model: ReviewModel): string {
  return csvText([
    [
      'time',
      'joint',
      'fastener',
      'tool',
      'operator',
      'torque',
      'unit',
      'angle',
      'reasons',
      'try',
      'followed by',
      'note',
      'reading',
    ],
    ...model.failing.rows.map((row) => [
      row.at === null ? null : civilText(row.at, row.atStepMs),
      row.joint,
      row.fastener,
      row.tool,
      row.operator,
      row.torque,
      row.unit,
      row.angleDeg,
      row.reasons.join(' '),
      row.attempt,
      row.outcome ? say(row.outcome) : null,
      row.note,
      row.id,
    ]),
  ]);
}

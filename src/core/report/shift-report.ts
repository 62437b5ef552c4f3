/** The shift as one landscape page to hand over: finding, ribbon, causes, missing fasteners, failing readings with notes. */
import type { FailingRow, ReviewModel } from '../contract/models/review-model.ts';
import { limitRibbon } from '../figures/limit-ribbon.ts';
import { roundedText } from '../text/format.ts';
import { type SaidArgs, type SaidKey, said, say, sayMarked } from '../text/said.ts';
import { civilText, msPerDay } from '../time/civil-time.ts';
import { torqueUnitSymbols } from '../units/torque-unit.ts';
import { csvText } from './csv-text.ts';
import type { ReportBlock, ReportDocument } from './report-document.ts';
import type { ReportFacts } from './study-report.ts';
import { unmarked } from './unmarked.ts';

// What one sheet holds, A4 and Letter, landscape: lines of small print and characters on them, measured on the page.
const ribbonHeight = 226;
const findingWidth = 150;
const linesUnder = 14;
const outcomeWidth = 25;
const jointWidth = 28;
const toolWidth = 19;
const besideWidth = 34;
const mostCauses = 10;
const mostBatches = 4;
/** Finding and comparisons of this many lines leave `linesUnder`; each further one takes one away. */
const usualLines = 3;
const words = <K extends SaidKey>(key: K, args: SaidArgs<K>): string => sayMarked(said(key, args));

/** Builds the sheet: finding and ribbon, under them why, fasteners and what is worth knowing, and the failing readings. */
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
      ...(model.empty
        ? []
        : [
            {
              kind: 'columns',
              widths: [5, 7],
              left: [
                {
                  kind: 'columns',
                  widths: [6, 5],
                  left: causes(model),
                  right: beside(model),
                },
              ],
              right: failing(model),
            } satisfies ReportBlock,
          ]),
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
      lines: model.comparison.map((row) => `**${sayMarked(row.label)}** ${sayMarked(row.said)}`),
      glyph: null,
    },
  ];
}

function ribbon(model: ReviewModel): ReportBlock[] {
  if (model.empty || model.ribbon.axis.length === 0) return [];
  const size = { width: 1000, height: ribbonHeight };
  return [{ kind: 'figure', figure: limitRibbon(model.ribbon, size), ...size }];
}

function causes(model: ReviewModel): ReportBlock[] {
  const heading: ReportBlock = {
    kind: 'heading',
    text: words('report.heading.causes', {}),
    note: sayMarked(model.causes.said),
  };
  const { rows } = model.causes;
  if (rows.length === 0) return [heading, { kind: 'paragraph', text: words('report.nothing-failed', {}) }];
  return [
    heading,
    {
      kind: 'table',
      caption: words('report.heading.causes', {}),
      head: [words('report.head.cause', {}), words('report.head.count', {}), words('report.head.running', {})],
      numeric: [false, true, true],
      small: true,
      rows: rows
        .slice(0, mostCauses)
        .map((row) => [sayMarked(row.said), String(row.count), `${roundedText(row.running * 100, 0)} %`]),
    },
    ...(rows.length > mostCauses
      ? [
          {
            kind: 'paragraph',
            text: words('report.more-rows', { shown: mostCauses, total: rows.length }),
          } satisfies ReportBlock,
        ]
      : []),
  ];
}

function fasteners(model: ReviewModel): ReportBlock[] {
  const account = model.fasteners;
  const out: ReportBlock[] = [
    { kind: 'heading', text: words('report.heading.fasteners', {}) },
    { kind: 'paragraph', text: sayMarked(account.said) },
  ];
  for (const row of account.incomplete.slice(0, mostBatches)) {
    const name = row.batch ?? (row.from === null ? '' : civilText(row.from).slice(11, 16));
    const lead = unmarked([name, row.tool ?? ''].filter((part) => part !== '').join(', '));
    out.push({ kind: 'paragraph', ...(lead === '' ? {} : { lead }), text: sayMarked(row.said) });
  }
  if (account.incompleteTotal > mostBatches) {
    out.push({
      kind: 'paragraph',
      text: words('report.more-rows', { shown: mostBatches, total: account.incompleteTotal }),
    });
  }
  if (model.again.total > 0) {
    out.push({ kind: 'paragraph', lead: words('report.lead.again', {}), text: sayMarked(model.again.said) });
  }
  return out;
}

function failing(model: ReviewModel): ReportBlock[] {
  const { rows, total } = model.failing;
  const heading: ReportBlock = {
    kind: 'heading',
    text: words('report.heading.failing', {}),
    note: sayMarked(model.failing.said),
  };
  if (total === 0 || rows.length === 0)
    return [heading, { kind: 'paragraph', text: words('report.nothing-failed', {}) }];
  const printed = thatFit(rows, linesLeft(model));
  const severalDays = (model.period.to ?? 0) - (model.period.from ?? 0) > msPerDay;
  return [
    heading,
    {
      kind: 'table',
      caption: words('report.heading.failing', {}),
      head: [
        words('report.head.time', {}),
        words('report.head.joint', {}),
        words('report.head.tool', {}),
        words('report.head.value', {}),
        words('report.head.reason', {}),
        words('report.head.outcome', {}),
      ],
      numeric: [false, false, false, true, false, false],
      small: true,
      rows: printed.map((row) => [
        severalDays && row.at !== null ? unbroken(words('report.day-time', { at: row.at })) : time(row),
        onOneLine(jointOf(row), jointWidth),
        onOneLine(toolOf(row), toolWidth),
        unbroken(failedValue(row)),
        row.reasons.map((reason) => unbroken(reason.replace('-', ' '))).join(', '),
        unmarked(outcomeOf(row)),
      ]),
    },
    ...(rows.length > printed.length
      ? [
          {
            kind: 'paragraph',
            text: words('report.more-failing', { shown: printed.length, total: rows.length }),
          } satisfies ReportBlock,
        ]
      : []),
  ];
}

/** The value that failed: torque, or the angle where only that did. */
function failedValue(row: FailingRow): string {
  const byAngle = row.reasons.length > 0 && row.reasons.every((reason) => reason.startsWith('angle'));
  if (byAngle && row.angleDeg !== null) return `${roundedText(row.angleDeg, 0)}°`;
  if (row.torque === null) return '–';
  return `${roundedText(row.torque, row.torqueDecimals).replace('-', '−')} ${torqueUnitSymbols[row.unit]}`;
}

const jointOf = (row: FailingRow): string => [row.joint ?? '–', row.fastener ?? ''].join(' ').trim();
const toolOf = (row: FailingRow): string =>
  [row.tool ?? '–', row.operatorName ?? row.operator ?? ''].filter((part) => part !== '').join(', ');

/** Kept on one line as long as it is short: the last column gets what the others leave. */
const onOneLine = (text: string, most: number): string =>
  // A word joiner after a hyphen: no line ends there.
  unmarked(text.length > most ? text : unbroken(text).replaceAll('-', '-\u2060'));
const unbroken = (text: string): string => text.replaceAll(' ', '\u00a0');

/** What followed, then what a person has decided about it, with name and day. */
function outcomeOf(row: FailingRow): string {
  const by = row.noteBy === null || row.noteMs === null ? '' : `(${row.noteBy}, ${dayOf(row.noteMs)})`;
  const decided = [dispositionWords(row.disposition), row.note ?? ''].filter((part) => part !== '').join(': ');
  return [row.outcome ? say(row.outcome, true) : '', decided === '' ? '' : `${decided} ${by}`.trim()]
    .filter((part) => part !== '')
    .join('; ');
}

/** Notes are made at clock times of the computer; the day is enough on paper. */
const dayOf = (ms: number): string => civilText(ms, msPerDay);

function dispositionWords(disposition: string | null): string {
  switch (disposition) {
    case 'open':
    case 're-checked':
    case 're-tightened':
    case 'replaced':
    case 'cleaned':
    case 'accepted':
      return words(`ui.disposition.${disposition}`, {});
    default:
      return '';
  }
}

/**
 * The rows that one sheet holds, in time order: first those that bear a note, then those not inside yet, then the rest.
 * Each takes as many lines as its longest cell.
 */
function thatFit(rows: readonly FailingRow[], room: number): FailingRow[] {
  const lines = (row: FailingRow): number =>
    Math.max(
      Math.ceil(outcomeOf(row).length / outcomeWidth),
      Math.ceil(jointOf(row).length / jointWidth),
      Math.ceil(toolOf(row).length / toolWidth),
      1,
    );
  /** 0 with a note, 1 not inside yet, 2 the rest. */
  const rank = (row: FailingRow): number =>
    row.note !== null || row.disposition !== null ? 0 : row.outcome?.key !== 'review.outcome-next' ? 1 : 2;
  const chosen = new Set<FailingRow>();
  let left = room;
  for (const row of [0, 1, 2].flatMap((one) => rows.filter((row) => rank(row) === one))) {
    const needed = lines(row);
    // A long note alone must not be left out for its length.
    if (needed > left && chosen.size > 0) continue;
    chosen.add(row);
    left -= needed;
    if (left <= 0) break;
  }
  return rows.filter((row) => chosen.has(row));
}

/** Lines of small print under the ribbon: fewer where finding and comparisons are long. */
function linesLeft(model: ReviewModel): number {
  const text = model.finding.map((sentence) => say(sentence)).join(' ');
  const above = Math.ceil(text.length / findingWidth) + model.comparison.length;
  return linesUnder - Math.max(0, above - usualLines);
}

/** Fasteners and, as far as there is room, what is worth knowing. */
function beside(model: ReviewModel): ReportBlock[] {
  const blocks = fasteners(model);
  const linesOf = (block: ReportBlock): number =>
    block.kind === 'paragraph'
      ? Math.ceil(`${block.lead ?? ''} ${block.text}`.replaceAll('**', '').length / besideWidth)
      : 1.5;
  // A line here is a little lower than a row of the list.
  let left = linesLeft(model) * 1.2 - blocks.reduce((sum, block) => sum + linesOf(block), 0) - 1.5;
  const known: ReportBlock[] = [];
  for (const notice of model.notices) {
    const block: ReportBlock = { kind: 'paragraph', text: sayMarked(notice.said) };
    left -= linesOf(block);
    if (left < 0) break;
    known.push(block);
  }
  if (known.length === 0) return blocks;
  return [...blocks, { kind: 'heading', text: words('report.heading.notices', {}) }, ...known];
}

const time = (row: FailingRow): string =>
  row.at === null ? '–' : civilText(row.at, row.atStepMs).slice(11, 16) || civilText(row.at, row.atStepMs);

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
      'disposition',
      'note',
      'note by',
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
      row.disposition,
      row.note,
      row.noteBy,
      row.id,
    ]),
  ]);
}

/** One tool on one page: finding and caution, three strips, what each lane supports, check log, affected readings. */
import type { DriftToolModel } from '../contract/models/drift-model.ts';
import { driftStrips } from '../figures/drift-strips.ts';
import { roundedText } from '../text/format.ts';
import { type SaidArgs, type SaidKey, said, sayMarked } from '../text/said.ts';
import { civilText } from '../time/civil-time.ts';
import { torqueUnitSymbols } from '../units/torque-unit.ts';
import type { ReportBlock, ReportDocument } from './report-document.ts';
import type { ReportFacts } from './study-report.ts';

const pageWidth = 672;
const words = <K extends SaidKey>(key: K, args: SaidArgs<K>): string => sayMarked(said(key, args));

/** Builds the card. */
export function toolCard(
  model: DriftToolModel,
  facts: ReportFacts & { readonly programVersion: string },
): ReportDocument {
  const { row } = model;
  const size = { width: pageWidth, height: 330 };
  return {
    title: row.tool,
    owner: facts.plantName ?? words('report.owner.none', {}),
    kindOfReport: words('report.kind.tool', {}),
    foot: words('report.foot.plain', { version: facts.programVersion, madeMs: facts.madeMs, by: facts.by }),
    landscape: false,
    blocks: [
      { kind: 'title', text: row.tool },
      {
        kind: 'verdict',
        headline: '',
        text: sayMarked(model.finding),
        lines: [
          ...model.caution.map((line) => sayMarked(line)),
          ...(model.bothSides && !model.findingSaysBothSides ? [sayMarked(model.bothSides)] : []),
        ],
        glyph: null,
      },
      { kind: 'figure', figure: driftStrips(model, size), ...size },
      { kind: 'heading', text: words('report.heading.lanes', {}) },
      ...[model.laneSays.own, model.laneSays.response, model.laneSays.checks].map(
        (line): ReportBlock => ({ kind: 'paragraph', text: sayMarked(line) }),
      ),
      { kind: 'paragraph', text: words('report.affected', { count: row.affected.count, since: row.affected.since }) },
      ...checkLog(model),
      {
        kind: 'signatures',
        labels: [words('report.sign.made', {}), words('report.sign.checked', {}), words('report.sign.date', {})],
      },
    ],
  };
}

function checkLog(model: DriftToolModel): ReportBlock[] {
  if (model.checkLog.length === 0) return [];
  const percent = (value: number): string => (value > 0 ? '+' : '') + roundedText(value, 1).replace('-', '−');
  return [
    { kind: 'heading', text: words('report.heading.checks', {}) },
    {
      kind: 'table',
      caption: words('report.heading.checks', {}),
      head: [
        words('report.head.when', {}),
        words('report.head.shown', {}),
        words('report.head.reference', {}),
        words('report.head.deviation', {}),
        words('report.head.of-pulls', {}),
        words('report.head.passed', {}),
      ],
      numeric: [false, true, true, true, true, false],
      small: true,
      rows: model.checkLog
        .slice(0, 14)
        .map((check) => [
          civilText(check.at, 60_000).replace('T', ' ').slice(0, 16),
          `${roundedText(check.shown, 2)} ${torqueUnitSymbols[check.unit]}`,
          roundedText(check.reference, 2),
          percent(check.deviationPercent),
          `${percent(check.lowestPercent)} to ${percent(check.highestPercent)}, n ${check.pulls}`,
          words('report.check.passed', { passed: check.passed }),
        ]),
    },
  ];
}

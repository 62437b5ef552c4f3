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
// What one sheet holds beside the figure, A4 and Letter.
const mostChecks = 5;
const mostJoints = 6;
const words = <K extends SaidKey>(key: K, args: SaidArgs<K>): string => sayMarked(said(key, args));

/** Builds the card. */
export function toolCard(
  model: DriftToolModel,
  facts: ReportFacts & { readonly programVersion: string },
): ReportDocument {
  const { row } = model;
  const size = { width: pageWidth, height: 272 };
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
        // One paragraph: the card must fit one sheet of either size.
        lines: [
          [...(model.bothSides && !model.findingSaysBothSides ? [model.bothSides] : []), ...model.caution]
            .map((line) => sayMarked(line))
            .join(' '),
        ],
        glyph: null,
      },
      { kind: 'figure', figure: driftStrips(model, size), ...size },
      {
        kind: 'paragraph',
        text: words('drift.card.chart', {
          lambda: model.ewma.lambda,
          factor: model.ewma.limitFactor,
          blocks: model.ewma.baselineBlocks,
        }),
      },
      {
        kind: 'columns',
        left: [
          { kind: 'heading', text: words('report.heading.lanes', {}) },
          ...[model.laneSays.own, model.laneSays.response, model.laneSays.checks].map(
            (line): ReportBlock => ({ kind: 'paragraph', text: sayMarked(line) }),
          ),
        ],
        right: [{ kind: 'heading', text: words('drift.card.doubt', {}) }, ...doubts(model)],
      },
      ...checkLog(model),
      {
        kind: 'signatures',
        labels: [words('report.sign.made', {}), words('report.sign.checked', {}), words('report.sign.date', {})],
      },
    ],
  };
}

/** Due dates, forecast, and readings in doubt with their joints. */
function doubts({ row }: DriftToolModel): ReportBlock[] {
  const { affected, inQuestion, calibrationDue, checkDue } = row;
  const { forecast } = row.checks;
  const lines = [
    words('drift.card.due', {
      calibration: calibrationDue?.on ?? null,
      check: checkDue?.on ?? null,
      overdue: {
        calibration: calibrationDue?.overdue ? calibrationDue.on : null,
        check: checkDue?.overdue ? checkDue.on : null,
      },
    }),
    ...(forecast
      ? [
          words('drift.card.forecast', {
            on: forecast.crossesOn,
            low: forecast.low95,
            high: forecast.high95,
            nominal: forecast.nominal,
            checks: forecast.checks,
          }),
        ]
      : []),
    [
      words('report.affected', { count: affected.count, since: affected.since }),
      ...(affected.byJoint.length > 0
        ? [
            words('drift.card.joints', {
              joints: affected.byJoint.slice(0, mostJoints).map((one) => `${one.joint} ${one.count}`),
            }),
          ]
        : []),
    ].join(' '),
    ...(inQuestion
      ? [
          words('drift.card.question', {
            count: inQuestion.count,
            since: inQuestion.since,
            leave: inQuestion.wouldLeaveLimits,
          }),
        ]
      : []),
  ];
  return lines.map((text): ReportBlock => ({ kind: 'paragraph', text }));
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
        .slice(0, mostChecks)
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

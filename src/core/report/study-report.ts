/** The capability study as a report: what was studied, verdict first, figures, working, every reading, signatures. */
import type { IndexRow, MathNode, StudyModel, Working } from '../contract/models/study-model.ts';
import { indexIntervals, indexIntervalsLayout } from '../figures/index-intervals.ts';
import { studyAxis, studyUnitSymbol } from '../figures/study-axis.ts';
import { roundedText } from '../text/format.ts';
import { type SaidArgs, type SaidKey, said, sayMarked } from '../text/said.ts';
import { civilText } from '../time/civil-time.ts';
import { formulaWidth } from './formula-width.ts';
import type { ReportBlock, ReportDocument, ReportTable } from './report-document.ts';
import { unmarked } from './unmarked.ts';

export interface ReportFacts {
  /** Ms since 1970 UTC: the only thing in a report that is not from the data. */
  readonly madeMs: number;
  readonly by: string;
  readonly plantName: string | null;
}

const pageWidth = 672;
/** Characters that fit a line of the working; wider formulas would shrink the whole page. */
const lineWidth = 70;
const words = <K extends SaidKey>(key: K, args: SaidArgs<K>): string => sayMarked(said(key, args));

/** Builds the report. Needs a model with an answer; without one the report says why there is nothing. */
export function studyReport(model: StudyModel, facts: ReportFacts): ReportDocument {
  const joint = unmarked(model.scopeFacts.joint);
  const { scopeFacts } = model;
  const characteristic = model.choices.of;
  return {
    title: words('report.study.title', { joint, characteristic }),
    owner: facts.plantName ?? words('report.owner.none', {}),
    kindOfReport: words('report.kind.study', {}),
    foot: words('report.foot.study', {
      version: model.programVersion,
      madeMs: facts.madeMs,
      by: facts.by,
      fingerprint: model.fingerprint,
      revision: scopeFacts.limitsRevision?.label ?? null,
    }),
    landscape: false,
    blocks: [
      { kind: 'title', text: words('report.study.title', { joint, characteristic }) },
      { kind: 'facts', rows: factRows(model) },
      ...verdict(model),
      ...figures(model),
      ...notes(model),
      { kind: 'caution', text: words('report.cautions', {}) },
      ...indexPart(model),
      ...working(model),
      ...leftOut(model),
      ...strata(model),
      ...sources(model),
      ...readings(model),
      {
        kind: 'signatures',
        labels: [words('report.sign.made', {}), words('report.sign.checked', {}), words('report.sign.date', {})],
      },
    ],
  };
}

function factRows(model: StudyModel): (readonly [string, string])[] {
  const s = model.scopeFacts;
  const requirement = s.requirement;
  return [
    [
      words('report.fact.joint', {}),
      words('report.fact.joint-text', {
        joint: unmarked(s.joint),
        class: s.jointClass,
      }),
    ],
    [
      words('report.fact.limits', {}),
      words('report.fact.limits-text', {
        low: model.limits.low,
        high: model.limits.high,
        unit: studyUnitSymbol(model.unit),
        decimals: model.decimals,
        revision: s.limitsRevision?.label ?? null,
      }),
    ],
    [
      words('report.fact.tool', {}),
      words('report.fact.tool-text', {
        serials: s.tools.map((tool) => unmarked(tool.serial)),
        permitted: s.tools.flatMap((tool) => (tool.permissiblePercent === null ? [] : [tool.permissiblePercent])),
      }),
    ],
    [words('report.fact.period', {}), words('report.fact.period-text', { from: s.from, to: s.to, shifts: s.shifts })],
    [
      words('report.fact.readings', {}),
      words('report.fact.readings-text', {
        used: s.counts.used,
        candidates: s.counts.used + s.counts.leftOut,
        attempts: model.choices.attempts,
        size: model.chart.size,
      }),
    ],
    [
      words('report.fact.requirement', {}),
      requirement
        ? words('report.fact.requirement-text', { ...requirement, judge: model.choices.judge })
        : words('report.fact.no-requirement', {}),
    ],
  ];
}

function verdict(model: StudyModel): ReportBlock[] {
  if (model.state.kind !== 'ready' && model.state.kind !== 'too-few') {
    return [{ kind: 'paragraph', text: sayMarked(model.state.said) }];
  }
  const v = model.verdict;
  return [
    {
      kind: 'verdict',
      headline: sayMarked(v.headline),
      text: sayMarked(v.because),
      lines: [...(v.next ? [sayMarked(v.next)] : []), sayMarked(v.measurement)],
      glyph: v.glyph,
    },
  ];
}

function figures(model: StudyModel): ReportBlock[] {
  if (!model.answer) return [];
  const height = 284;
  const out: ReportBlock[] = [
    { kind: 'figure', figure: studyAxis(model, { width: pageWidth, height }), width: pageWidth, height },
  ];
  const rows = model.indices.filter((row) => row.value !== null);
  if (rows.length === 0) return out;
  const options = { width: pageWidth, rowHeight: 19 };
  out.push(
    { kind: 'heading', text: words('report.heading.indices', {}) },
    {
      kind: 'figure',
      figure: indexIntervals(rows, options),
      width: pageWidth,
      height: indexIntervalsLayout(rows, options).height,
    },
  );
  return out;
}

function indexPart(model: StudyModel): ReportBlock[] {
  if (!model.answer || model.indices.length === 0) return [];
  return [{ kind: 'heading', text: words('report.heading.index-table', {}) }, indexTable(model.indices)];
}

/** Every index in one table; the same that goes to CSV and to the clipboard. */
export function indexTable(rows: readonly IndexRow[]): ReportTable {
  return {
    kind: 'table',
    caption: words('report.heading.indices', {}),
    head: [
      words('report.head.index', {}),
      words('report.head.value', {}),
      words('report.head.interval', {}),
      words('report.head.method', {}),
      words('report.head.note', {}),
    ],
    numeric: [false, true, true, false, false],
    small: true,
    rows: rows.map((row) => [
      row.name,
      row.value === null ? '–' : roundedText(row.value, 2).replace('-', '−'),
      row.value === null ? '' : words('report.interval', { low: row.low95, high: row.high95, decimals: 2 }),
      row.value === null ? '' : row.method,
      [
        row.required === null ? '' : words('report.required', { value: row.required }),
        row.note ? sayMarked(row.note) : '',
      ]
        .filter((part) => part !== '')
        .join('; '),
    ]),
  };
}

function notes(model: StudyModel): ReportBlock[] {
  if (!model.answer) return [];
  const { counts, kind, status } = model.chart;
  const control: ReportBlock = {
    kind: 'paragraph',
    lead: words('report.note.control', {}),
    text:
      status === null ? words('report.control.none', {}) : words('report.control.counts', { kind, status, ...counts }),
  };
  const left: ReportBlock[] = [
    control,
    {
      kind: 'paragraph',
      lead: words('report.note.distribution', {}),
      text: sayMarked(model.scopeFacts.said.distribution),
    },
  ];
  const right: ReportBlock[] = [
    {
      kind: 'paragraph',
      lead: words('report.note.left-out', {}),
      text: [
        model.leftOut.length === 0
          ? words('report.left-out.none', {})
          : words('report.left-out.count', { count: model.leftOut.length }),
        model.leftOutEffect ? sayMarked(model.leftOutEffect) : '',
      ]
        .join(' ')
        .trim(),
    },
    { kind: 'paragraph', text: sayMarked(model.scopeFacts.said.indicesCaption) },
  ];
  const cautions = model.cautions.map(
    (caution): ReportBlock => ({ kind: 'paragraph', lead: words('report.note.caution', {}), text: sayMarked(caution) }),
  );
  return [{ kind: 'columns', left, right }, ...cautions];
}

function working(model: StudyModel): ReportBlock[] {
  const shown: readonly Working[] = Object.values(model.working);
  if (shown.length === 0) return [];
  return [
    { kind: 'heading', text: words('report.heading.working', {}) },
    ...shown.map(
      (w): ReportBlock => ({
        kind: 'math',
        label: sayMarked(w.title),
        lines: w.lines.flatMap(lineOrTwo),
        note: [sayMarked(w.method), sayMarked(w.source)]
          .filter((part) => part !== '')
          .map(ended)
          .join(' '),
      }),
    ),
    { kind: 'heading', text: words('report.heading.method', {}) },
    ...model.methodNotes.map((note): ReportBlock => ({ kind: 'paragraph', text: sayMarked(note) })),
    ...unmet(shown),
    ...(model.seed === null || model.replicates === null
      ? []
      : [
          {
            kind: 'paragraph',
            text: words('report.seed', { seed: model.seed, replicates: model.replicates }),
          } satisfies ReportBlock,
        ]),
  ];
}

/** Formula and numbers on one line of the page, or on two where one would be too long for it. */
function lineOrTwo(line: Working['lines'][number]): MathNode[] {
  const equals: MathNode = { kind: 'operator', text: '=' };
  const one: MathNode = { kind: 'row', of: [line.formula, equals, line.withNumbers] };
  if (formulaWidth(one) <= lineWidth) return [one];
  return [line.formula, { kind: 'row', of: [equals, line.withNumbers] }];
}

/** Conditions that do not hold, each once, with the figures they concern. */
function unmet(shown: readonly Working[]): ReportBlock[] {
  const concerned = new Map<string, string[]>();
  for (const w of shown) {
    for (const condition of w.unmet) {
      const text = ended(sayMarked(condition));
      concerned.set(text, [...(concerned.get(text) ?? []), sayMarked(w.title)]);
    }
  }
  if (concerned.size === 0) return [];
  return [
    { kind: 'heading', text: words('report.heading.unmet', {}) },
    {
      kind: 'table',
      caption: words('report.heading.unmet', {}),
      head: [words('report.head.condition', {}), words('report.head.concerns', {})],
      numeric: [false, false],
      small: true,
      rows: [...concerned].map(([text, figures]) => [text, figures.join(', ')]),
    },
  ];
}

const ended = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`);

function leftOut(model: StudyModel): ReportBlock[] {
  if (model.leftOut.length === 0) return [];
  return [
    { kind: 'heading', text: words('report.heading.left-out', {}) },
    {
      kind: 'table',
      caption: words('report.heading.left-out', {}),
      head: [
        words('report.head.when', {}),
        words('report.head.value', {}),
        words('report.head.reason', {}),
        words('report.head.decided-by', {}),
      ],
      numeric: [false, true, false, false],
      rows: model.leftOut.map((row) => [
        row.at === null ? '–' : civilText(row.at, row.atStepMs).replace('T', ' '),
        row.value === null ? '–' : roundedText(row.value, model.decimals),
        unmarked(row.reason),
        unmarked(row.by) + (row.byOwnOperator ? words('report.left-out.own', {}) : ''),
      ]),
    },
  ];
}

function strata(model: StudyModel): ReportBlock[] {
  const mixed = model.strata.filter((table) => table.mixture);
  if (mixed.length === 0) return [];
  return [
    { kind: 'heading', text: words('report.heading.strata', {}) },
    ...mixed.flatMap((table): ReportBlock[] => [
      {
        kind: 'table',
        caption: words(`report.by.${table.by}`, {}),
        head: [
          words(`report.by.${table.by}`, {}),
          words('report.head.n', {}),
          words('report.head.mean', {}),
          words('report.head.s', {}),
        ],
        numeric: [false, true, true, true],
        small: true,
        rows: table.rows.map((row) => [
          unmarked(row.name),
          String(row.n),
          roundedText(row.mean, model.decimals + 1),
          row.s === null ? '–' : roundedText(row.s, model.decimals + 1),
        ]),
      },
      {
        kind: 'paragraph',
        text: [
          words('ui.study.strata.tests', {
            welch: table.welchP,
            kruskal: table.kruskalWallisP,
            brown: table.brownForsytheP,
            share: table.shareBetween,
            mixture: table.mixture,
            basis: table.basis.kind,
            count: table.basis.count,
          }),
          table.largest
            ? words('ui.study.strata.largest', {
                first: unmarked(table.largest.first),
                second: unmarked(table.largest.second),
                difference: table.largest.difference,
                low: table.largest.low95,
                high: table.largest.high95,
                unit: studyUnitSymbol(model.unit),
                decimals: model.decimals + 1,
              })
            : '',
        ]
          .join(' ')
          .trim(),
      },
    ]),
  ];
}

function sources(model: StudyModel): ReportBlock[] {
  if (model.sources.length === 0) return [];
  return [
    { kind: 'heading', text: words('report.heading.sources', {}) },
    {
      kind: 'table',
      caption: words('report.heading.sources', {}),
      head: [words('report.head.file', {}), words('report.head.readings', {}), words('report.head.sha', {})],
      numeric: [false, true, false],
      small: true,
      rows: model.sources.map((source) => [unmarked(source.name), String(source.readings), `{mono|${source.sha256}}`]),
    },
  ];
}

function readings(model: StudyModel): ReportBlock[] {
  if (!model.answer) return [];
  const heading: ReportBlock = {
    kind: 'heading',
    text: words('report.heading.readings', { unit: studyUnitSymbol(model.unit) }),
  };
  if (model.listed.length === 0) {
    if (model.answer.n === 0) return [];
    return [
      heading,
      { kind: 'paragraph', text: words('report.readings.attached', { count: model.answer.n, most: 250 }) },
    ];
  }
  const perRow = Math.max(...model.listed.map((group) => group.values.length), 1);
  const single = perRow === 1;
  // Groups of one are printed ten to a line; a table of single columns would run over pages.
  if (single) {
    const lines: string[][] = [];
    const cells = model.listed.flatMap((group) =>
      group.values.map((value) => cell(value) + (group.signal ? ' ○' : '')),
    );
    for (let i = 0; i < cells.length; i += 10) lines.push([String(i + 1), ...pad(cells.slice(i, i + 10), 10)]);
    return [
      heading,
      {
        kind: 'table',
        caption: words('report.heading.readings', { unit: studyUnitSymbol(model.unit) }),
        head: ['', ...Array.from({ length: 10 }, (_, i) => String(i + 1))],
        numeric: Array.from({ length: 11 }, () => true),
        small: true,
        rows: lines,
      },
      { kind: 'paragraph', text: words('report.readings.key', {}) },
    ];
  }
  return [
    heading,
    {
      kind: 'table',
      caption: words('report.heading.readings', { unit: studyUnitSymbol(model.unit) }),
      head: [
        words('report.head.group', {}),
        ...Array.from({ length: perRow }, (_, i) => String(i + 1)),
        words('report.head.mean', {}),
        words('report.head.s', {}),
      ],
      numeric: Array.from({ length: perRow + 3 }, () => true),
      small: true,
      rows: model.listed.map((group) => [
        group.group === null ? words('report.no-group', {}) : String(group.group + 1),
        ...pad(group.values.map(cell), perRow),
        group.mean === null ? '' : `${group.signal ? '○ ' : ''}**${roundedText(group.mean, model.decimals)}**`,
        group.s === null ? '' : roundedText(group.s, model.decimals),
      ]),
    },
    { kind: 'paragraph', text: words('report.readings.key', {}) },
  ];
}

const cell = (value: { readonly text: string; readonly leftOut: boolean }): string =>
  value.leftOut ? `× ${value.text}` : value.text;

const pad = (cells: readonly string[], length: number): string[] => [
  ...cells,
  ...Array.from({ length: Math.max(0, length - cells.length) }, () => ''),
];

/** EWMA and cumulative sums of the charted points of a study, over the same sequence as its run chart. */
import type { StudyModel } from '../contract/models/study-model.ts';
import type { AxisTick, Drawing, Figure, Scale } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import { valueTicks } from './value-ticks.ts';

export interface StudySumsOptions {
  readonly width: number;
  readonly height: number;
}

const left = 46;
const right = 54;
const top = 26;
const bottom = 40;

const nothing: Figure = { title: '', summary: '', panes: [] };

/** The EWMA chart with exact limits, or an empty figure where there is none. */
export function studyEwma(model: StudyModel, options: StudySumsOptions): Figure {
  const { ewma, center } = model.chart;
  if (ewma === null || ewma.group.length === 0) return nothing;
  const y = spanOf([ewma.value, ewma.lower, ewma.upper]);
  const signals = ewma.signalAt.map((group) => ewma.group.indexOf(group)).filter((k) => k >= 0);
  const last = ewma.group.length - 1;
  const drawings: Drawing[] = [
    ...frame(model, y, options, figureText('figure.study.ewma-title', {})),
    { kind: 'band', x: ewma.group, low: ewma.lower, high: ewma.upper, colour: 'band' },
    ...(center === null
      ? []
      : [{ kind: 'rule', across: 'x', at: center, colour: 'rule-2', dash: [1, 3] } satisfies Drawing]),
    { kind: 'line', x: ewma.group, y: ewma.upper, colour: 'ink-2', dash: [4, 3] },
    { kind: 'line', x: ewma.group, y: ewma.lower, colour: 'ink-2', dash: [4, 3] },
    { kind: 'line', x: ewma.group, y: ewma.value, colour: 'ink', width: 1.6 },
    {
      kind: 'marks',
      mark: 'outside-control',
      x: signals.map((k) => ewma.group[k] ?? Number.NaN),
      y: signals.map((k) => ewma.value[k] ?? Number.NaN),
      colour: 'ink',
      size: signals.length > 30 ? 6 : 9,
    },
    ...[ewma.upper[last], ewma.lower[last]].flatMap((value): Drawing[] =>
      value === undefined
        ? []
        : [
            {
              kind: 'text',
              text: figureFormat.number(value, model.decimals),
              x: ewma.group[last] ?? 0,
              y: value,
              dxPx: 8,
              colour: 'ink-3',
            },
          ],
    ),
    note(figureText('figure.study.ewma-note', { lambda: ewma.lambda, width: ewma.width }), model, y),
  ];
  return {
    title: figureText('figure.study.ewma-title', {}),
    summary: figureText('figure.study.ewma-summary', { points: ewma.group.length, signals: ewma.signalAt.length }),
    panes: [pane(model, y, options, drawings)],
    table: {
      head: [
        figureText('figure.table.group', {}),
        figureText('figure.table.ewma', {}),
        figureText('figure.table.low', {}),
        figureText('figure.table.high', {}),
      ],
      numeric: [0, 1, 2, 3],
      rows: ewma.group.map((group, k) => [
        figureFormat.number(group + 1),
        ...[ewma.value[k], ewma.lower[k], ewma.upper[k]].map((value) =>
          value === undefined ? '' : figureFormat.number(value, model.decimals + 1),
        ),
      ]),
    },
  };
}

/** Both one-sided sums, the low one drawn downwards, with their decision value. */
export function studyCusum(model: StudyModel, options: StudySumsOptions): Figure {
  const { cusum } = model.chart;
  if (cusum === null || cusum.group.length === 0) return nothing;
  const low = cusum.low.map((value) => -Math.abs(value));
  const y = spanOf([cusum.high, low, [cusum.h * 1.15, -cusum.h * 1.15]]);
  const signals = cusum.signalAt.map((group) => cusum.group.indexOf(group)).filter((k) => k >= 0);
  const drawings: Drawing[] = [
    ...frame(model, y, options, figureText('figure.study.cusum-title', {})),
    { kind: 'rule', across: 'x', at: 0, colour: 'rule-2' },
    { kind: 'rule', across: 'x', at: cusum.h, colour: 'ink-2', dash: [4, 3] },
    { kind: 'rule', across: 'x', at: -cusum.h, colour: 'ink-2', dash: [4, 3] },
    { kind: 'line', x: cusum.group, y: cusum.high, colour: 'ink', width: 1.6 },
    { kind: 'line', x: cusum.group, y: low, colour: 'inside', width: 1.6, dash: [6, 2] },
    {
      kind: 'marks',
      mark: 'outside-control',
      x: signals.map((k) => cusum.group[k] ?? Number.NaN),
      y: signals.map((k) => ((cusum.high[k] ?? 0) > cusum.h ? (cusum.high[k] ?? 0) : (low[k] ?? 0))),
      colour: 'ink',
      size: signals.length > 30 ? 6 : 9,
    },
    note(figureText('figure.study.cusum-note', { k: cusum.k, h: cusum.h }), model, y),
  ];
  return {
    title: figureText('figure.study.cusum-title', {}),
    summary: figureText('figure.study.cusum-summary', { points: cusum.group.length, signals: cusum.signalAt.length }),
    panes: [pane(model, y, options, drawings)],
    table: {
      head: [
        figureText('figure.table.group', {}),
        figureText('figure.table.high', {}),
        figureText('figure.table.low', {}),
      ],
      numeric: [0, 1, 2],
      rows: cusum.group.map((group, k) => [
        figureFormat.number(group + 1),
        figureFormat.number(cusum.high[k] ?? 0, 2),
        figureFormat.number(low[k] ?? 0, 2),
      ]),
    },
  };
}

function pane(
  model: StudyModel,
  y: Scale,
  options: StudySumsOptions,
  drawings: readonly Drawing[],
): Figure['panes'][number] {
  return {
    left,
    width: Math.max(10, options.width - left - right),
    top,
    height: Math.max(10, options.height - top - bottom),
    x: groupScale(model),
    y,
    drawings,
  };
}

const groupScale = (model: StudyModel): Scale => {
  const last = Math.max(1, ...(model.chart.ewma?.group ?? []), ...(model.chart.cusum?.group ?? []));
  return { min: -0.5, max: last + 0.5 };
};

function frame(model: StudyModel, y: Scale, options: StudySumsOptions, title: string): Drawing[] {
  const x = groupScale(model);
  const rows = valueTicks(y.min, y.max, Math.max(3, Math.floor((options.height - top - bottom) / 26)));
  const columns = valueTicks(1, Math.floor(x.max) + 1, Math.max(3, Math.floor((options.width - left - right) / 60)));
  const ticks: AxisTick[] = columns.values
    .filter((value) => value % 1 === 0)
    .map((value) => ({ at: value - 1, label: figureFormat.number(value) }));
  return [
    { kind: 'text', text: title, x: x.min, y: y.max, dxPx: -left, dyPx: -15, size: 12, strong: true, colour: 'ink' },
    {
      kind: 'axis',
      side: 'left',
      grid: true,
      ticks: rows.values.map((value) => ({ at: value, label: figureFormat.number(value, rows.decimals) })),
    },
    { kind: 'axis', side: 'bottom', line: true, ticks },
  ];
}

const note = (text: string, model: StudyModel, y: Scale): Drawing => ({
  kind: 'text',
  text,
  x: groupScale(model).min,
  y: y.min,
  dyPx: 30,
  colour: 'ink-3',
});

function spanOf(lists: readonly (readonly number[])[]): Scale {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const list of lists) {
    for (const value of list) {
      if (!Number.isFinite(value)) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  if (low > high) return { min: -1, max: 1 };
  const room = high > low ? (high - low) * 0.08 : 1;
  return { min: low - room, max: high + room };
}

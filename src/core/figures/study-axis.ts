/**
 * Run and control chart, histogram turned on its side and probability plot on one axis of the characteristic, with
 * the spread within groups under the run chart.
 */
import type { StudyGroup, StudyMark, StudyModel } from '../contract/models/study-model.ts';
import { civilFields, startOfDay } from '../time/civil-time.ts';
import { torqueUnitSymbols } from '../units/torque-unit.ts';
import type { AxisTick, Drawing, Figure, FigureStop, FigureTable, MarkKind, Pane, Scale } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import type { ColourRole } from './look.ts';
import { valueTicks } from './value-ticks.ts';

export interface StudyAxisOptions {
  readonly width: number;
  readonly height: number;
  /** The probability plot goes under the histogram, on an axis of its own. */
  readonly narrow?: boolean;
  /** Limits tried out, drawn as a person's mark; null: none. */
  readonly tried?: { readonly low: number | null; readonly high: number | null } | null;
}

/** Where the parts lie, in CSS pixels from the figure's edges; the screen puts its handles on it. */
export interface StudyAxisLayout {
  readonly left: number;
  readonly runRight: number;
  readonly histogramLeft: number;
  readonly histogramRight: number;
  readonly plotLeft: number;
  readonly plotRight: number;
  readonly top: number;
  readonly bottom: number;
  readonly plotTop: number;
  readonly plotBottom: number;
  readonly spreadTop: number;
  readonly spreadBottom: number;
  readonly y: Scale;
  readonly x: Scale;
}

/** Standard normal quantiles of the labelled shares (tables of the normal distribution, seven digits). */
const shareScores: readonly (readonly [string, number])[] = [
  ['0.1', -3.0902323],
  ['1', -2.3263479],
  ['10', -1.2815516],
  ['50', 0],
  ['90', 1.2815516],
  ['99', 2.3263479],
  ['99.9', 3.0902323],
];

/** Unit of a study as it is printed. */
export function studyUnitSymbol(unit: StudyModel['unit']): string {
  return unit === 'deg' ? '°' : torqueUnitSymbols[unit];
}

/** Lays the figure out; the value axis holds limits, readings and control limits, whatever lies farthest. */
export function studyAxisLayout(model: StudyModel, options: StudyAxisOptions): StudyAxisLayout {
  const { width, height } = options;
  const narrow = options.narrow === true;
  const left = 58;
  const inner = width - left;
  const runShare = narrow ? 0.68 : 0.55;
  const runRight = left + inner * runShare - 52;
  const histogramLeft = left + inner * runShare + 4;
  const histogramRight = narrow ? width - 8 : histogramLeft + inner * 0.15;
  const plotLeft = narrow ? histogramLeft : histogramRight + 44;
  const top = 32;
  const bottom = narrow ? Math.round(height * 0.56) : height - 104;
  const spreadTop = bottom + 28;
  return {
    left,
    runRight,
    histogramLeft,
    histogramRight,
    plotLeft,
    plotRight: width - 4,
    top,
    bottom,
    plotTop: narrow ? bottom + 78 : top,
    plotBottom: narrow ? height - 50 : bottom,
    spreadTop,
    spreadBottom: narrow ? Math.min(spreadTop + 120, height - 28) : spreadTop + 46,
    y: valueScale(model, options.tried ?? null),
    x: orderScale(model),
  };
}

/**
 * Builds the figure.
 *
 * Every reading is drawn: left-out ones as crosses, ones outside the limits as marks of their own; above the bound of
 * the model, columns with their ends. The control limits belong to the points they are labelled for.
 */
export function studyAxis(model: StudyModel, options: StudyAxisOptions): Figure {
  const at = studyAxisLayout(model, options);
  const unit = studyUnitSymbol(model.unit);
  const across = {
    left: at.left,
    width: (options.narrow ? at.histogramRight : options.width) - at.left,
    top: at.top,
    height: at.bottom - at.top,
    x: { min: 0, max: 1 },
    y: at.y,
  };
  const run: Pane = {
    left: at.left,
    width: at.runRight - at.left,
    top: at.top,
    height: at.bottom - at.top,
    x: at.x,
    y: at.y,
    drawings: runDrawings(model, at),
  };
  const panes: Pane[] = [{ ...across, drawings: sharedDrawings(model, at, options, unit) }, run];
  if (model.chart.spread.center !== null) panes.push(spreadPane(model, at));
  panes.push(histogramPane(model, at, unit, options.narrow === true));
  panes.push(probabilityPane(model, at, options));
  // Dates stand under the lowest strip of the run chart.
  panes.push(datePane(model, at));
  panes.push({ ...across, drawings: limitLabels(model, options) });
  const limit = (value: number | null): string | null =>
    value === null ? null : `${figureFormat.number(value, model.decimals)} ${unit}`;
  return {
    stops: studyStops(model, panes.indexOf(run)),
    table: studyTable(model),
    title: figureText('figure.study.title', {
      joint: model.scopeFacts.joint,
      angle: model.choices.of === 'angle',
    }),
    summary: figureText('figure.study.summary', {
      n: model.scopeFacts.counts.used,
      groups: model.chart.groupCount,
      signals: model.chart.signalCount,
      leftOut: model.scopeFacts.counts.leftOut,
      outside: model.answer?.outside.observed.count ?? model.marks.filter((m) => m.outside !== 0 && !m.leftOut).length,
      low: limit(model.limits.low),
      high: limit(model.limits.high),
    }),
    panes,
  };
}

/** Stops of the arrow keys: signals, readings outside, left-out ones. All other points answer to the pointer only. */
function studyStops(model: StudyModel, pane: number): FigureStop[] {
  const out: FigureStop[] = [];
  const value = (v: number): string => figureFormat.number(v, model.decimals);
  for (const mark of model.marks) {
    out.push({
      id: mark.id,
      pane,
      x: mark.order,
      y: mark.value,
      text: figureText('figure.study.reading-stop', {
        value: value(mark.value),
        unit: studyUnitSymbol(model.unit),
        at: mark.at,
        tool: mark.tool,
        leftOut: mark.leftOut,
        outside: mark.outside,
      }),
      ...(mark.leftOut || mark.outside !== 0 ? {} : { hoverOnly: true }),
    });
  }
  if (model.chart.kind === 'means') {
    for (const group of model.groups) {
      if (group.mean === null) continue;
      out.push({
        id: `group-${group.index}`,
        pane,
        x: middle(group),
        y: group.mean,
        text: figureText('figure.study.group-stop', {
          group: group.index + 1,
          n: group.n,
          mean: value(group.mean),
          s: group.s === null ? null : value(group.s),
          at: group.at,
          signal: group.signals.length > 0,
        }),
        ...(group.signals.length > 0 ? {} : { hoverOnly: true }),
      });
    }
  }
  return out.sort((a, b) => a.x - b.x);
}

function studyTable(model: StudyModel): FigureTable {
  const number = (v: number | null): string => (v === null ? '' : figureFormat.number(v, model.decimals + 1));
  return {
    head: [
      figureText('figure.table.group', {}),
      figureText('figure.table.start', {}),
      figureText('figure.table.readings', {}),
      figureText('figure.table.mean', {}),
      figureText('figure.study.spread', { kind: model.chart.spread.kind }),
      figureText('figure.table.lower-limit', {}),
      figureText('figure.table.upper-limit', {}),
      figureText('figure.table.signal', {}),
    ],
    numeric: [0, 2, 3, 4, 5, 6],
    rows: model.groups.map((group) => [
      figureFormat.number(group.index + 1),
      group.at === null ? '' : figureFormat.dateTime(group.at),
      figureFormat.number(group.n),
      number(group.mean),
      number(
        model.chart.spread.kind === 's'
          ? group.s
          : model.chart.spread.kind === 'range'
            ? group.range
            : group.movingRange,
      ),
      number(group.lower),
      number(group.upper),
      group.signals.map((rule) => figureText('figure.study.rule', { rule })).join('; '),
    ]),
  };
}

// ---- scales -------------------------------------------------------------------------------------------------------

function valueScale(model: StudyModel, tried: StudyAxisOptions['tried']): Scale {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  const take = (value: number | null | undefined): void => {
    if (value === null || value === undefined || !Number.isFinite(value)) return;
    low = Math.min(low, value);
    high = Math.max(high, value);
  };
  for (const mark of model.marks) take(mark.value);
  for (const band of model.bands) {
    take(band.least);
    take(band.greatest);
  }
  for (const group of model.groups) {
    take(group.mean);
    take(group.lower);
    take(group.upper);
  }
  take(model.limits.low);
  take(model.limits.high);
  take(tried?.low);
  take(tried?.high);
  if (low > high) return { min: 0, max: 1 };
  const room = high > low ? (high - low) * 0.075 : Math.max(1, Math.abs(high)) * 0.05;
  return { min: low - room, max: high + room };
}

function orderScale(model: StudyModel): Scale {
  let last = 0;
  const count = (order: number): void => {
    last = Math.max(last, order);
  };
  for (const mark of model.marks) count(mark.order);
  for (const band of model.bands) count(band.toOrder);
  for (const group of model.groups) count(group.toOrder);
  return { min: -0.5 - last * 0.012, max: last + 0.5 + last * 0.012 };
}

const clamp = (value: number, scale: Scale): number => Math.min(scale.max, Math.max(scale.min, value));

// ---- what runs through all three ----------------------------------------------------------------------------------

function sharedDrawings(
  model: StudyModel,
  at: StudyAxisLayout,
  options: StudyAxisOptions,
  unit: string,
): readonly Drawing[] {
  const { low, high } = model.limits;
  const ticks = valueTicks(at.y.min, at.y.max, Math.max(3, Math.floor((at.bottom - at.top) / 38)));
  const out: Drawing[] = [
    {
      kind: 'rects',
      colour: 'band',
      rects: low === null && high === null ? [] : [{ x0: null, x1: null, y0: low, y1: high }],
    },
    {
      kind: 'axis',
      side: 'left',
      ticks: ticks.values.map((value) => ({ at: value, label: figureFormat.number(value, ticks.decimals) })),
    },
    { kind: 'text', text: unit, x: 0, y: at.y.max, dxPx: -6, dyPx: -22, align: 'right', colour: 'ink-2' },
  ];
  for (const value of [high, low]) {
    if (value === null) continue;
    out.push({ kind: 'rule', across: 'x', at: value, colour: 'ink-2' });
  }
  for (const value of [options.tried?.low, options.tried?.high]) {
    if (value === null || value === undefined) continue;
    out.push({ kind: 'rule', across: 'x', at: value, colour: 'you', width: 1.5, dash: [6, 3] });
  }
  if (model.chart.center !== null) {
    out.push({ kind: 'rule', across: 'x', at: model.chart.center, colour: 'rule-2', dash: [1, 3] });
  }
  return out;
}

/** Names of the limits, painted last so that nothing covers them. */
function limitLabels(model: StudyModel, options: StudyAxisOptions): readonly Drawing[] {
  const out: Drawing[] = [];
  const name = (value: number): string => figureFormat.number(value, model.decimals);
  const label = (text: string, value: number, up: boolean): Drawing => ({
    kind: 'text',
    text,
    x: 1,
    y: value,
    dyPx: up ? -8 : 9,
    align: 'right',
    colour: 'ink-2',
    halo: true,
  });
  const { low, high } = model.limits;
  if (high !== null) out.push(label(figureText('figure.study.high-limit', { value: name(high) }), high, true));
  if (low !== null) out.push(label(figureText('figure.study.low-limit', { value: name(low) }), low, false));
  for (const value of [options.tried?.low, options.tried?.high]) {
    if (value === null || value === undefined) continue;
    out.push({
      kind: 'text',
      text: figureText('figure.study.tried-limit', { value: name(value) }),
      x: 0,
      y: value,
      dxPx: 6,
      dyPx: -8,
      colour: 'you',
      strong: true,
      halo: true,
    });
  }
  return out;
}

// ---- run and control chart ----------------------------------------------------------------------------------------

const middle = (group: StudyGroup): number => (group.fromOrder + group.toOrder) / 2;

function runTitle(model: StudyModel): string {
  const n = model.scopeFacts.counts.used;
  if (model.bands.length > 0) {
    return figureText('figure.study.run-pooled', { n, columns: model.bands.length });
  }
  const tries = figureText('figure.study.tries', { attempts: model.choices.attempts });
  return model.chart.kind === 'means'
    ? figureText('figure.study.run-means', { n, tries, groups: model.chart.groupCount })
    : figureText('figure.study.run-singles', { n, tries });
}

function runDrawings(model: StudyModel, at: StudyAxisLayout): readonly Drawing[] {
  const angle = model.choices.of === 'angle';
  const means = model.chart.kind === 'means';
  const out: Drawing[] = [
    {
      kind: 'text',
      text: runTitle(model),
      x: at.x.min,
      y: at.y.max,
      dyPx: -22,
      colour: 'ink',
      strong: true,
    },
  ];
  out.push(...bandDrawings(model, angle));
  const inside = model.marks.filter((m) => !m.leftOut && m.outside === 0);
  if (means || model.groups.length === 0) {
    out.push({
      kind: 'dots',
      x: inside.map((m) => m.order),
      y: inside.map((m) => m.value),
      colour: 'inside',
      radius: inside.length > 1500 ? 1 : 1.5,
      opacity: 0.6,
    });
  }
  out.push(...limitSteps(model));
  out.push(...phaseRules(model, at));
  out.push(...pointDrawings(model, means));
  out.push(...outsideMarks(model.marks, angle));
  out.push(...leftOutDrawings(model, at));
  out.push(...signalDrawings(model, at));
  out.push(...controlLabels(model, at));
  return out;
}

function bandDrawings(model: StudyModel, angle: boolean): readonly Drawing[] {
  const { bands } = model;
  if (bands.length === 0) return [];
  const x = bands.map((b) => (b.fromOrder + b.toOrder) / 2);
  const out: Drawing[] = [
    {
      kind: 'segments',
      x0: x,
      x1: x,
      y0: bands.map((b) => b.least),
      y1: bands.map((b) => b.greatest),
      colour: 'inside',
      opacity: 0.3,
    },
    { kind: 'band', x, low: bands.map((b) => b.low), high: bands.map((b) => b.high), colour: 'inside', opacity: 0.35 },
    { kind: 'line', x, y: bands.map((b) => b.median), colour: 'inside', width: 1.4 },
  ];
  const { low, high } = model.limits;
  const below = low === null ? [] : bands.filter((b) => b.least < low);
  const above = high === null ? [] : bands.filter((b) => b.greatest > high);
  const ends = (
    list: typeof bands,
    mark: MarkKind,
    colour: ColourRole,
    value: (b: (typeof bands)[number]) => number,
  ) =>
    list.length === 0
      ? []
      : [
          {
            kind: 'marks',
            mark,
            x: list.map((b) => (b.fromOrder + b.toOrder) / 2),
            y: list.map(value),
            colour,
            size: 8,
          } satisfies Drawing,
        ];
  return [
    ...out,
    ...ends(below, angle ? 'angle-low' : 'torque-low', 'low', (b) => b.least),
    ...ends(above, angle ? 'angle-high' : 'torque-high', 'high', (b) => b.greatest),
  ];
}

/** Readings outside the joint's limits keep their shape and colour here too. */
function outsideMarks(marks: readonly StudyMark[], angle: boolean): readonly Drawing[] {
  const of = (side: -1 | 1): Drawing[] => {
    const list = marks.filter((m) => !m.leftOut && m.outside === side);
    if (list.length === 0) return [];
    const mark: MarkKind = side < 0 ? (angle ? 'angle-low' : 'torque-low') : angle ? 'angle-high' : 'torque-high';
    return [
      {
        kind: 'marks',
        mark,
        x: list.map((m) => m.order),
        y: list.map((m) => m.value),
        colour: side < 0 ? 'low' : 'high',
        size: 9,
      },
    ];
  };
  return [...of(-1), ...of(1)];
}

/** Limits of every group for its own number of readings: a step where an exclusion shortened it. */
function limitSteps(model: StudyModel): readonly Drawing[] {
  const out: Drawing[] = [];
  for (const side of ['upper', 'lower'] as const) {
    const x: number[] = [];
    const y: number[] = [];
    for (const group of model.groups) {
      const value = group[side];
      x.push(group.fromOrder - 0.5, group.toOrder + 0.5);
      y.push(value ?? Number.NaN, value ?? Number.NaN);
    }
    out.push({ kind: 'line', x, y, colour: 'ink-2', dash: [4, 3] });
  }
  return out;
}

/** A calibration, a repair, new limits or another tool: limits and runs do not cross it. Named while there is room. */
function phaseRules(model: StudyModel, at: StudyAxisLayout): readonly Drawing[] {
  const starts: number[] = [];
  model.groups.forEach((group, k) => {
    const before = model.groups[k - 1];
    if (before && before.phase !== group.phase) starts.push((before.toOrder + group.fromOrder) / 2);
  });
  const named = starts.length <= 4;
  return starts.flatMap((start): Drawing[] => [
    { kind: 'rule', across: 'y', at: start, colour: 'rule-2', dash: [2, 3] },
    ...(named
      ? [
          {
            kind: 'text',
            text: figureText('figure.study.phase', {}),
            x: start,
            y: at.y.min,
            dxPx: start > (at.x.min + at.x.max) / 2 ? -4 : 4,
            dyPx: -7,
            align: start > (at.x.min + at.x.max) / 2 ? 'right' : 'left',
            colour: 'ink-3',
            halo: true,
          } satisfies Drawing,
        ]
      : []),
  ]);
}

/** The charted points, joined within a phase. */
function pointDrawings(model: StudyModel, means: boolean): readonly Drawing[] {
  const x: number[] = [];
  const y: number[] = [];
  let phase: number | null = null;
  for (const group of model.groups) {
    if (phase !== null && group.phase !== phase) {
      x.push(Number.NaN);
      y.push(Number.NaN);
    }
    phase = group.phase;
    if (group.mean === null) continue;
    x.push(middle(group));
    y.push(group.mean);
  }
  const many = model.groups.length > 160;
  const colour: ColourRole = means ? 'ink' : 'inside';
  return [
    { kind: 'line', x, y, colour, width: many ? 0.9 : means ? 1.6 : 1.1 },
    { kind: 'dots', x, y, colour: means ? 'ink' : 'inside', radius: many ? 1.3 : 2.2 },
  ];
}

function leftOutDrawings(model: StudyModel, at: StudyAxisLayout): readonly Drawing[] {
  const list = model.marks.filter((m) => m.leftOut);
  if (list.length === 0) return [];
  const out: Drawing[] = [
    {
      kind: 'marks',
      mark: 'left-out',
      x: list.map((m) => m.order),
      y: list.map((m) => m.value),
      colour: 'you',
    },
  ];
  if (list.length <= 5) {
    for (const m of list) {
      const right = m.order > at.x.min + (at.x.max - at.x.min) * 0.86;
      out.push({
        kind: 'text',
        text: figureText('figure.study.left-out', {}),
        x: m.order,
        y: m.value,
        dxPx: right ? -8 : 8,
        align: right ? 'right' : 'left',
        colour: 'you',
        halo: true,
      });
    }
  }
  return out;
}

interface PlacedLabel {
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
}

/** Hollow circles for every signal; names for those that find room. */
function signalDrawings(model: StudyModel, at: StudyAxisLayout): readonly Drawing[] {
  const out: Drawing[] = [];
  const signals = model.groups.filter((g) => g.signals.length > 0 && g.mean !== null);
  out.push({
    kind: 'marks',
    mark: 'outside-control',
    x: signals.map(middle),
    y: signals.map((g) => g.mean ?? Number.NaN),
    colour: 'ink',
    size: signals.length > 60 ? 6 : 10,
  });
  const kx = (at.runRight - at.left) / (at.x.max - at.x.min);
  const ky = (at.bottom - at.top) / (at.y.max - at.y.min);
  const centre = model.chart.center ?? 0;
  // The caption of the limits stands first: names give way to it.
  const caption = limitsCaption(model, at);
  const placed: PlacedLabel[] = caption === null ? [] : [caption.box];
  const overlap = (a: PlacedLabel, b: PlacedLabel): boolean => a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
  const free = (box: PlacedLabel): boolean => !placed.some((other) => overlap(other, box));
  // No name may hide another signal's circle.
  const circles = signals.map((group): PlacedLabel => {
    const px = at.left + (middle(group) - at.x.min) * kx;
    const py = at.bottom - ((group.mean ?? centre) - at.y.min) * ky;
    return { x0: px - 4, x1: px + 4, y0: py - 4, y1: py + 4 };
  });
  const farthest = [...signals].sort(
    (a, b) => Math.abs((b.mean ?? centre) - centre) - Math.abs((a.mean ?? centre) - centre),
  );
  for (const group of farthest.slice(0, 6)) {
    const mean = group.mean ?? centre;
    const value = figureFormat.number(mean, model.decimals);
    const text = group.signals.includes('beyond-3-sigma')
      ? figureText('figure.study.outside', { value })
      : group.signals.includes('9-on-one-side')
        ? figureText('figure.study.run-of-9', { value })
        : figureText('figure.study.signal', { value });
    const below =
      group.signals.includes('beyond-3-sigma') && model.chart.kind === 'means'
        ? figureText('figure.study.outside-means', {})
        : null;
    const up = mean >= centre;
    const px = at.left + (middle(group) - at.x.min) * kx;
    const py = at.bottom - (mean - at.y.min) * ky;
    const half = Math.max(text.length, below?.length ?? 0) * 3 + 2;
    const align = px - half < at.left ? 'left' : px + half > at.runRight ? 'right' : 'center';
    const x0 = align === 'left' ? px - 4 : align === 'right' ? px - 2 * half : px - half;
    const boxOf = (lines: number): PlacedLabel => {
      const y0 = up ? py - 10 - 13 * lines : py + 8;
      return { x0, x1: x0 + 2 * half, y0, y1: y0 + 13 * lines };
    };
    // Where there is no room for both lines, the first alone says it.
    const second = below !== null && free(boxOf(2)) ? below : null;
    const box = boxOf(second === null ? 1 : 2);
    if (!free(box) || circles.some((circle) => overlap(circle, box))) continue;
    placed.push(box);
    const label = (content: string, strong: boolean, dyPx: number): Drawing => ({
      kind: 'text',
      text: content,
      x: middle(group),
      y: mean,
      dyPx,
      align,
      strong,
      colour: strong ? 'ink' : 'ink-2',
      halo: true,
    });
    if (up) {
      out.push(label(text, true, second === null ? -14 : -27));
      if (second !== null) out.push(label(second, false, -14));
    } else {
      out.push(label(text, true, 14));
      if (second !== null) out.push(label(second, false, 27));
    }
  }
  return out;
}

/** Values of the control limits at their right end, and what they are limits for. */
function controlLabels(model: StudyModel, at: StudyAxisLayout): readonly Drawing[] {
  const { center, lower, upper } = model.chart;
  const out: Drawing[] = [];
  // One decimal more than the readings would claim too much for a label; the working has all digits.
  const label = (value: number, strong: boolean, dyPx: number): Drawing => ({
    kind: 'text',
    text: figureFormat.number(value, model.decimals),
    x: at.x.max,
    y: value,
    dxPx: 8,
    dyPx,
    colour: strong ? 'ink' : 'ink-3',
    halo: true,
  });
  const ky = (at.bottom - at.top) / (at.y.max - at.y.min);
  const push = (value: number, side: -1 | 1): number => {
    const apart = center === null ? 99 : Math.abs(value - center) * ky;
    return apart >= 13 ? 0 : side * (13 - apart);
  };
  if (center !== null) out.push(label(center, true, 0));
  if (upper !== null) out.push(label(upper, false, push(upper, -1)));
  if (lower !== null) out.push(label(lower, false, push(lower, 1)));
  const caption = limitsCaption(model, at);
  if (caption) {
    const { text, y, dxPx, dyPx } = caption;
    out.push({ kind: 'text', text, x: at.x.min, y, dxPx, dyPx, colour: 'ink-3', halo: true });
  }
  return out;
}

/** What the dashed lines are limits for, and the room it takes, in pixels; null: there are none. */
function limitsCaption(
  model: StudyModel,
  at: StudyAxisLayout,
): { text: string; y: number; dxPx: number; dyPx: number; box: PlacedLabel } | null {
  const { lower, upper } = model.chart;
  if (lower === null && upper === null) return null;
  const ky = (at.bottom - at.top) / (at.y.max - at.y.min);
  const low = model.limits.low ?? at.y.min;
  const roomBelow = ((lower ?? at.y.max) - Math.max(low, at.y.min)) * ky > 40;
  const y = roomBelow ? Math.max(low, at.y.min) : at.y.min;
  const text =
    model.chart.kind === 'means'
      ? figureText('figure.study.limits-means', { size: model.chart.size, shortened: model.chart.shortened })
      : figureText('figure.study.limits-singles', {});
  const dxPx = 6;
  const dyPx = roomBelow ? -12 : 9;
  const middleY = at.bottom - (y - at.y.min) * ky + dyPx;
  const x0 = at.left + dxPx;
  return { text, y, dxPx, dyPx, box: { x0, x1: x0 + text.length * 5.6, y0: middleY - 7, y1: middleY + 7 } };
}

// ---- spread within groups -----------------------------------------------------------------------------------------

function spreadPane(model: StudyModel, at: StudyAxisLayout): Pane {
  const { spread } = model.chart;
  const value = (group: StudyGroup): number | null =>
    spread.kind === 's' ? group.s : spread.kind === 'range' ? group.range : group.movingRange;
  let most = spread.upper ?? spread.center ?? 1;
  for (const group of model.groups) most = Math.max(most, value(group) ?? 0, group.spreadUpper ?? 0);
  const y: Scale = { min: 0, max: most > 0 ? most * 1.12 : 1 };
  const drawings: Drawing[] = [
    { kind: 'axis', side: 'left', ticks: [{ at: 0, label: '0' }] },
    {
      kind: 'text',
      text: figureText('figure.study.spread', { kind: spread.kind }),
      x: at.x.min,
      y: y.max,
      dxPx: -6,
      dyPx: 6,
      align: 'right',
      colour: 'ink-2',
    },
    { kind: 'rule', across: 'x', at: 0, colour: 'rule-2' },
  ];
  if (spread.center !== null) {
    drawings.push({ kind: 'rule', across: 'x', at: spread.center, colour: 'rule-2', dash: [1, 3] });
  }
  for (const side of ['spreadUpper', 'spreadLower'] as const) {
    const x: number[] = [];
    const limit: number[] = [];
    for (const group of model.groups) {
      const here = group[side];
      // A lower limit of 0 lies on the axis and says nothing.
      const drawn = here === null || (side === 'spreadLower' && here <= 0) ? Number.NaN : here;
      x.push(group.fromOrder - 0.5, group.toOrder + 0.5);
      limit.push(drawn, drawn);
    }
    drawings.push({ kind: 'line', x, y: limit, colour: 'ink-2', dash: [4, 3] });
  }
  const points = model.groups.filter((group) => value(group) !== null);
  const px = points.map(middle);
  const py = points.map((group) => value(group) ?? Number.NaN);
  const many = points.length > 160;
  drawings.push({ kind: 'line', x: px, y: py, colour: 'inside', width: many ? 0.8 : 1.4 });
  drawings.push({ kind: 'dots', x: px, y: py, colour: 'inside', radius: many ? 1.2 : 2 });
  const beyond = points.filter((group) => {
    const here = value(group) ?? 0;
    return (group.spreadUpper !== null && here > group.spreadUpper) || (group.spreadLower ?? 0) > here;
  });
  drawings.push({
    kind: 'marks',
    mark: 'outside-control',
    x: beyond.map(middle),
    y: beyond.map((group) => value(group) ?? Number.NaN),
    colour: 'inside',
    size: 8,
  });
  const ky = (at.spreadBottom - at.spreadTop) / y.max;
  const label = (v: number, colour: ColourRole, dyPx: number): Drawing => ({
    kind: 'text',
    text: figureFormat.number(v, model.decimals),
    x: at.x.max,
    y: v,
    dxPx: 8,
    dyPx,
    colour,
  });
  if (spread.center !== null) drawings.push(label(spread.center, 'ink', 0));
  if (spread.upper !== null) {
    const apart = spread.center === null ? 99 : (spread.upper - spread.center) * ky;
    drawings.push(label(spread.upper, 'ink-3', apart >= 13 ? 0 : apart - 13));
  }
  return {
    left: at.left,
    width: at.runRight - at.left,
    top: at.spreadTop,
    height: at.spreadBottom - at.spreadTop,
    x: at.x,
    y,
    drawings,
  };
}

/** Days under the run chart: the first point of each day, as many as find room. */
function datePane(model: StudyModel, at: StudyAxisLayout): Pane {
  const kx = (at.runRight - at.left) / (at.x.max - at.x.min);
  const stops: { at: number; order: number }[] =
    model.groups.length > 0
      ? model.groups.flatMap((g) => (g.at === null ? [] : [{ at: g.at, order: middle(g) }]))
      : model.marks.flatMap((m) => (m.at === null ? [] : [{ at: m.at, order: m.order }]));
  const ticks: AxisTick[] = [];
  let day: number | null = null;
  let month: number | null = null;
  let free = Number.NEGATIVE_INFINITY;
  for (const stop of stops) {
    const here = startOfDay(stop.at);
    if (here === day) continue;
    day = here;
    const fields = civilFields(stop.at);
    const label = fields.month === month ? String(fields.day) : figureFormat.dayMonth(stop.at);
    const px = stop.order * kx;
    const half = label.length * 3.2;
    if (px - half < free) continue;
    free = px + half + 10;
    month = fields.month;
    ticks.push({ at: stop.order, label });
  }
  const low = model.chart.spread.center === null ? at.bottom : at.spreadBottom;
  return {
    left: at.left,
    width: at.runRight - at.left,
    top: low - 1,
    height: 1,
    x: at.x,
    y: { min: 0, max: 1 },
    drawings: [{ kind: 'axis', side: 'bottom', ticks, line: true, tickLength: 3 }],
  };
}

// ---- histogram ----------------------------------------------------------------------------------------------------

function modelName(model: StudyModel): string | null {
  const chosen = model.histogram?.curve.length ? model.choices.model : null;
  return chosen === null ? null : figureText('figure.study.model-name', { name: chosen });
}

function histogramPane(model: StudyModel, at: StudyAxisLayout, unit: string, narrow: boolean): Pane {
  const h = model.histogram;
  let most = 1;
  for (const count of h?.counts ?? []) most = Math.max(most, count);
  for (const point of h?.curve ?? []) most = Math.max(most, point.y);
  const x: Scale = { min: 0, max: most * 1.02 };
  const drawings: Drawing[] = [
    {
      kind: 'text',
      text: figureText('figure.study.histogram', {}),
      x: 0,
      y: at.y.max,
      dyPx: -22,
      colour: 'ink',
      strong: true,
    },
  ];
  if (h) {
    const gap = (0.6 * (at.y.max - at.y.min)) / (at.bottom - at.top);
    const thick = h.width > 4 * gap;
    drawings.push({
      kind: 'rects',
      colour: 'inside',
      opacity: 0.5,
      rects: h.counts.flatMap((count, k) => {
        const from = h.edges[k];
        const to = h.edges[k + 1];
        if (count === 0 || from === undefined || to === undefined) return [];
        return [{ x0: 0, x1: count, y0: from + (thick ? gap : 0), y1: to - (thick ? gap : 0) }];
      }),
    });
    const curve = h.curve.filter((p) => p.x >= at.y.min && p.x <= at.y.max && p.y > most * 0.001);
    drawings.push({ kind: 'line', x: curve.map((p) => p.y), y: curve.map((p) => p.x), colour: 'ink', width: 1.6 });
    const ticks = valueTicks(0, most, narrow ? 5 : 3);
    drawings.push({
      kind: 'axis',
      side: 'bottom',
      tickLength: 3,
      ticks: ticks.values.filter((v) => v % 1 === 0).map((v) => ({ at: v, label: figureFormat.number(v) })),
    });
    drawings.push({
      kind: 'text',
      text: figureText('figure.study.per-width', {
        width: widthText(h.width),
        unit,
        model: modelName(model),
      }),
      x: 0,
      y: at.y.min,
      dyPx: 31,
      colour: 'ink-3',
    });
  }
  drawings.push({ kind: 'rule', across: 'y', at: 0, colour: 'rule-2' });
  return {
    left: at.histogramLeft,
    width: at.histogramRight - at.histogramLeft,
    top: at.top,
    height: at.bottom - at.top,
    x,
    y: at.y,
    drawings,
  };
}

/** A bin width is a round number; print it without the noise of its binary form. */
const widthText = (width: number): string => {
  const digits = String(Number(width.toPrecision(6)));
  return figureFormat.number(width, digits.split('.')[1]?.length ?? 0);
};

// ---- probability plot ---------------------------------------------------------------------------------------------

function probabilityPane(model: StudyModel, at: StudyAxisLayout, options: StudyAxisOptions): Pane {
  const p = model.probabilityPlot;
  const narrow = options.narrow === true;
  let reach = 2.6;
  for (const point of p?.points ?? []) reach = Math.max(reach, Math.abs(point.score));
  const x: Scale = { min: -reach * 1.08, max: reach * 1.08 };
  const y = narrow ? plotScale(model) : at.y;
  const drawings: Drawing[] = [
    {
      kind: 'text',
      text: figureText('figure.study.probability', {}),
      x: x.min,
      y: y.max,
      dyPx: narrow ? -12 : -22,
      colour: 'ink',
      strong: true,
    },
  ];
  if (p) {
    drawings.push({
      kind: 'band',
      x: p.band.map((b) => b.score),
      low: p.band.map((b) => clamp(b.low, y)),
      high: p.band.map((b) => clamp(b.high, y)),
      colour: 'rule',
      opacity: 0.85,
    });
    const line = p.line.filter((point) => point.value >= y.min && point.value <= y.max);
    drawings.push({
      kind: 'line',
      x: line.map((point) => point.score),
      y: line.map((point) => point.value),
      colour: 'inside',
      width: 1.4,
    });
    drawings.push({
      kind: 'dots',
      x: p.points.map((point) => point.score),
      y: p.points.map((point) => point.value),
      colour: 'ink',
      radius: p.points.length > 600 ? 1.4 : 1.9,
    });
    const wide = at.plotRight - at.plotLeft > 190;
    drawings.push({
      kind: 'axis',
      side: 'bottom',
      line: true,
      ticks: shareScores
        .filter(([label, score]) => Math.abs(score) < x.max && (wide || !label.includes('.')))
        .map(([label, score]) => ({ at: score, label })),
    });
    drawings.push({
      kind: 'text',
      text: figureText('figure.study.below-band', { short: !wide }),
      x: x.min,
      y: y.min,
      dyPx: 31,
      colour: 'ink-3',
    });
    const fit = fitText(model);
    if (fit !== null) {
      // About 5.6 px a letter at this size: what does not fit under the plot goes on a second line.
      const fits = fit.length * 5.6 <= at.plotRight - at.plotLeft;
      const lines = fits ? [fit] : fit.split(/(?<=:) /);
      lines.forEach((text, i) => {
        drawings.push({ kind: 'text', text, x: x.min, y: y.min, dyPx: 45 + 14 * i, colour: 'ink-2' });
      });
    }
  } else {
    drawings.push({
      kind: 'text',
      text: figureText('figure.study.no-model', {}),
      x: x.min,
      y: (y.min + y.max) / 2,
      colour: 'ink-3',
    });
  }
  if (narrow) {
    const ticks = valueTicks(y.min, y.max, 5);
    drawings.push({
      kind: 'axis',
      side: 'left',
      ticks: ticks.values.map((value) => ({ at: value, label: figureFormat.number(value, ticks.decimals) })),
    });
  }
  return {
    left: at.plotLeft,
    width: at.plotRight - at.plotLeft,
    top: at.plotTop,
    height: at.plotBottom - at.plotTop,
    x,
    y,
    drawings,
  };
}

function plotScale(model: StudyModel): Scale {
  const values = model.probabilityPlot?.points.map((point) => point.value) ?? [];
  if (values.length === 0) return { min: 0, max: 1 };
  const low = Math.min(...values);
  const high = Math.max(...values);
  const room = high > low ? (high - low) * 0.12 : 1;
  return { min: low - room, max: high + room };
}

function fitText(model: StudyModel): string | null {
  const name = model.probabilityPlot?.model ?? 'normal';
  const test = model.answer?.normality.andersonDarling ?? null;
  if (name === 'normal') {
    return test === null
      ? null
      : figureText('figure.study.anderson', {
          statistic: test.statistic,
          p: test.p,
          atMost: test.atMost,
          rejected: test.p < 0.01,
        });
  }
  const fitted = model.models.find((m) => m.name === name);
  return fitted?.ad == null
    ? null
    : figureText('figure.study.fit', {
        model: figureText('figure.study.model-name', { name }),
        statistic: fitted.ad,
      });
}

/** One tool over time: own readings, response, checks, one under the other on one time axis, each in per cent. */
import type { BlockSeries, ChangePoint, CheckRow, DriftToolModel, Lane } from '../contract/models/drift-model.ts';
import { msPerDay } from '../time/civil-time.ts';
import { dateTicks } from './date-ticks.ts';
import type { Drawing, Figure, FigureStop, FigureTable, Pane, Scale, TextStyle } from './figure.ts';
import { figureFormat, figureSay, figureText } from './figure-format.ts';
import { valueTicks } from './value-ticks.ts';

export interface DriftStripsOptions {
  readonly width: number;
  readonly height: number;
  /** Pixels at the right for what each strip says; default 194. */
  readonly wordsWidth?: number;
  /** Stretch of time to show, civil ms; absent: all of it. */
  readonly span?: { readonly from: number; readonly to: number } | null;
}

/** Pixels of the strips from the figure's top, and the shared time scale. */
export interface DriftStripsLayout {
  readonly left: number;
  readonly right: number;
  readonly time: Scale;
  readonly own: { readonly top: number; readonly bottom: number; readonly y: Scale };
  readonly response: { readonly top: number; readonly bottom: number; readonly y: Scale };
  readonly checks: { readonly top: number; readonly bottom: number; readonly y: Scale };
}

/** Room that the words beside a change need. */
const changeWordsPx = 190;
/** The note on the EWMA needs this much beside the title of its strip; else it is left out, and a report says it below. */
const ewmaWordsPx = 610;
const titleHeight = 27;
const firstTop = 24;
const axisHeight = 26;
const left = 40;

/** Lays the strips out. Own and response share one length for a per cent, so that their moves can be compared by eye. */
export function driftStripsLayout(model: DriftToolModel, options: DriftStripsOptions): DriftStripsLayout {
  const right = options.width - (options.wordsWidth ?? 194);
  const { from, to } = options.span ?? wholeSpan(model);
  const span = Math.max(1, to - from);
  const time: Scale = { min: from - span * 0.015, max: to + span * 0.015 };
  const own = stripRange(model.row.own, []);
  const response = stripRange(model.row.response, [model.row.response.since?.percent ?? null]);
  const room = options.height - firstTop - axisHeight - 2 * titleHeight - 6;
  const checksHeight = Math.max(56, Math.round(room * 0.27));
  const forLanes = room - checksHeight;
  const ownSpan = own.max - own.min;
  const responseSpan = response.max - response.min;
  // The smaller strip is given a wider range rather than a larger scale.
  const least = 0.24 * (ownSpan + responseSpan);
  const ownWide = widened(own, Math.max(ownSpan, least));
  const responseWide = widened(response, Math.max(responseSpan, least));
  const perPercent = forLanes / (ownWide.max - ownWide.min + responseWide.max - responseWide.min);
  const ownHeight = (ownWide.max - ownWide.min) * perPercent;
  const responseTop = firstTop + ownHeight + titleHeight;
  const responseBottom = firstTop + forLanes + titleHeight;
  return {
    left,
    right,
    time,
    own: { top: firstTop, bottom: firstTop + ownHeight, y: ownWide },
    response: { top: responseTop, bottom: responseBottom, y: responseWide },
    checks: {
      top: responseBottom + titleHeight,
      bottom: responseBottom + titleHeight + checksHeight,
      y: checksScale(model),
    },
  };
}

/** All that the strips can show. The newest check is what the finding speaks of: in view even after the last reading. */
export function wholeSpan(model: DriftToolModel): { from: number; to: number } {
  return { from: model.from, to: Math.max(model.to, model.row.checks.latest?.at ?? model.to) };
}

/** Shortest stretch of time that zooming leaves. */
const leastSpan = 2 * msPerDay;

/**
 * The next stretch of time when zooming by a factor, about the change where it is in view, else about the middle.
 *
 * @param factor 0.5: half as long; 2: twice
 * @returns null: all of it
 */
export function zoomedSpan(
  model: DriftToolModel,
  shown: { readonly from: number; readonly to: number } | null,
  factor: number,
): { from: number; to: number } | null {
  const whole = wholeSpan(model);
  const { from, to } = shown ?? whole;
  const length = Math.max(leastSpan, (to - from) * factor);
  if (length >= whole.to - whole.from) return null;
  const change = model.change?.at;
  const about = change !== undefined && change >= from && change <= to ? change : (from + to) / 2;
  const start = Math.min(Math.max(whole.from, about - length / 2), whole.to - length);
  return { from: start, to: start + length };
}

/** The model with only what lies in a stretch of time. */
function within(model: DriftToolModel, span: { readonly from: number; readonly to: number }): DriftToolModel {
  const inside = (at: number): boolean => at >= span.from && at <= span.to;
  const lane = (one: Lane): Lane => {
    const { series } = one;
    const keep = series.at.flatMap((at, k) => (inside(at) ? [k] : []));
    const pick = <T>(list: readonly T[]): T[] => keep.flatMap((k) => (list[k] === undefined ? [] : [list[k]]));
    const baseline =
      series.baselineFrom === null || series.baselineTo === null
        ? []
        : keep.flatMap((k, position) => (k >= series.baselineFrom! && k <= series.baselineTo! ? [position] : []));
    return {
      ...one,
      series: {
        ...series,
        at: pick(series.at),
        percent: pick(series.percent),
        readings: pick(series.readings),
        ewma: pick(series.ewma),
        ewmaLow: pick(series.ewmaLow),
        ewmaHigh: pick(series.ewmaHigh),
        baselineFrom: baseline[0] ?? null,
        baselineTo: baseline[baseline.length - 1] ?? null,
      },
    };
  };
  const change =
    model.change && inside(model.change.at)
      ? {
          ...model.change,
          low95: Math.max(span.from, model.change.low95),
          high95: Math.min(span.to, model.change.high95),
        }
      : null;
  return {
    ...model,
    row: { ...model.row, own: lane(model.row.own), response: lane(model.row.response) },
    checks: stripChecks(model).filter((check) => inside(check.at)),
    marks: model.marks.filter((mark) => inside(mark.at)),
    change,
  };
}

function stripRange(lane: Lane, more: readonly (number | null)[]): Scale {
  let low = -0.5;
  let high = 0.5;
  const { series } = lane;
  for (const list of [series.percent, series.ewma, series.ewmaLow, series.ewmaHigh, more]) {
    for (const value of list) {
      if (value === null || !Number.isFinite(value)) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  const room = (high - low) * 0.06;
  return { min: low - room, max: high + room };
}

const widened = (scale: Scale, span: number): Scale => {
  const room = (span - (scale.max - scale.min)) / 2;
  return { min: scale.min - room, max: scale.max + room };
};

/** The checks of the span and the newest one, wherever it lies. */
function stripChecks(model: DriftToolModel): readonly CheckRow[] {
  const known = new Set(model.checks.map(checkName));
  return [...model.checks, ...model.row.checks.recent.filter((c) => c.at > model.to && !known.has(checkName(c)))];
}

const checkName = (check: CheckRow): string => `${check.at} ${check.nominal} ${check.unit} ${check.kind}`;

function checksScale(model: DriftToolModel): Scale {
  let most = model.row.checks.permissiblePercent ?? 1;
  for (const check of stripChecks(model)) {
    most = Math.max(most, Math.abs(check.lowestPercent), Math.abs(check.highestPercent));
  }
  return { min: -most * 1.14, max: most * 1.14 };
}

/** Builds the figure. Blocks, checks and pulls are all drawn; nothing is thinned. */
export function driftStrips(whole: DriftToolModel, options: DriftStripsOptions): Figure {
  const model = options.span ? within(whole, options.span) : whole;
  const at = driftStripsLayout(model, options);
  const strip = (place: { top: number; bottom: number; y: Scale }, drawings: readonly Drawing[]): Pane => ({
    left: at.left,
    width: at.right - at.left,
    top: place.top,
    height: place.bottom - place.top,
    x: at.time,
    y: place.y,
    drawings,
  });
  const all = {
    left: at.left,
    width: at.right - at.left,
    top: firstTop - 4,
    height: at.checks.bottom - firstTop + 4,
    x: at.time,
    y: { min: 0, max: 1 },
  };
  const panes: Pane[] = [{ ...all, drawings: changeSpan(model, at) }];
  panes.push(strip(at.own, laneDrawings(model, model.row.own, 'own', at)));
  panes.push(strip(at.response, laneDrawings(model, model.row.response, 'response', at)));
  panes.push(strip(at.checks, checkDrawings(model, at)));
  panes.push({ ...all, drawings: changeLine(model) });
  // Words last: nothing is drawn over them.
  panes.push(strip(at.own, laneWords(model, model.row.own, 'own', at)));
  panes.push(strip(at.response, laneWords(model, model.row.response, 'response', at)));
  panes.push(strip(at.checks, checkWords(model, at)));
  return {
    stops: stripStops(model),
    table: stripTable(model),
    title: figureText('figure.strips.title', { tool: model.row.tool }),
    summary: figureText('figure.strips.summary', {
      own: figureSay(model.laneSays.own),
      response: figureSay(model.laneSays.response),
      checks: figureSay(model.laneSays.checks),
    }),
    panes,
  };
}

/** Panes by what they hold: the order in which `driftStrips` pushes them. */
const paneOf = { own: 1, response: 2, checks: 3 } as const;

function stripStops(model: DriftToolModel): FigureStop[] {
  const out: FigureStop[] = [];
  for (const which of ['own', 'response'] as const) {
    const { series, alarmAt } = model.row[which];
    series.at.forEach((at, k) => {
      const percent = series.percent[k];
      if (percent === undefined) return;
      const notable = at === alarmAt || at === model.change?.at;
      out.push({
        id: `${which}-${at}`,
        pane: paneOf[which],
        x: at,
        y: percent,
        text: figureText('figure.strips.block', {
          at,
          percent,
          readings: series.readings[k] ?? 0,
          ewma: series.ewma[k] ?? null,
          outside: at === alarmAt,
        }),
        ...(notable ? {} : { hoverOnly: true }),
      });
    });
  }
  for (const check of stripChecks(model)) {
    out.push({
      id: `check-${check.at}-${check.nominal}-${check.kind}`,
      pane: paneOf.checks,
      x: check.at,
      y: check.deviationPercent,
      text: figureText('figure.strips.check-stop', {
        at: check.at,
        percent: check.deviationPercent,
        low: check.lowestPercent,
        high: check.highestPercent,
        pulls: check.pulls,
        passed: check.passed,
      }),
    });
  }
  return out;
}

function stripTable(model: DriftToolModel): FigureTable {
  const { own, response } = model.row;
  const times = [...new Set([...own.series.at, ...response.series.at])].sort((a, b) => a - b);
  const cell = (series: BlockSeries, list: readonly (number | null)[], at: number): string => {
    const k = series.at.indexOf(at);
    const value = k < 0 ? null : list[k];
    return value === null || value === undefined ? '' : figureFormat.signed(value, 2);
  };
  return {
    head: [
      figureText('figure.table.start', {}),
      figureText('figure.table.readings', {}),
      figureText('figure.table.own', {}),
      figureText('figure.table.ewma', {}),
      figureText('figure.table.low', {}),
      figureText('figure.table.high', {}),
      figureText('figure.table.response', {}),
      figureText('figure.table.ewma', {}),
      figureText('figure.table.low', {}),
      figureText('figure.table.high', {}),
    ],
    numeric: [1, 2, 3, 4, 5, 6, 7, 8, 9],
    rows: times.map((at) => [
      figureFormat.dateTime(at),
      figureFormat.number(own.series.readings[own.series.at.indexOf(at)] ?? 0),
      cell(own.series, own.series.percent, at),
      cell(own.series, own.series.ewma, at),
      cell(own.series, own.series.ewmaLow, at),
      cell(own.series, own.series.ewmaHigh, at),
      cell(response.series, response.series.percent, at),
      cell(response.series, response.series.ewma, at),
      cell(response.series, response.series.ewmaLow, at),
      cell(response.series, response.series.ewmaHigh, at),
    ]),
  };
}

function changeSpan(model: DriftToolModel, at: DriftStripsLayout): readonly Drawing[] {
  const { change } = model;
  if (change === null) return [];
  // A span of one shift would be no wider than the line: give it a few pixels.
  const pixel = (at.time.max - at.time.min) / (at.right - at.left);
  return [
    {
      kind: 'rects',
      colour: 'you-wash',
      rects: [
        {
          x0: Math.min(change.low95, change.at) - 2 * pixel,
          x1: Math.max(change.high95, change.at) + 2 * pixel,
          y0: null,
          y1: null,
        },
      ],
    },
  ];
}

function changeLine(model: DriftToolModel): readonly Drawing[] {
  return model.change === null ? [] : [{ kind: 'rule', across: 'y', at: model.change.at, colour: 'you', width: 1.5 }];
}

function laneDrawings(
  model: DriftToolModel,
  lane: Lane,
  which: 'own' | 'response',
  at: DriftStripsLayout,
): readonly Drawing[] {
  void model;
  const { series } = lane;
  const place = at[which];
  const ticks = valueTicks(place.y.min, place.y.max, Math.max(2, Math.floor((place.bottom - place.top) / 20)));
  const out: Drawing[] = [
    {
      kind: 'axis',
      side: 'left',
      grid: true,
      ticks: ticks.values.map((value) => ({
        at: value,
        label: value === 0 ? '0' : figureFormat.signed(value, ticks.decimals),
      })),
    },
    { kind: 'rule', across: 'x', at: 0, colour: 'rule-2', dash: [1, 3] },
  ];
  const limits = limitPoints(series);
  out.push({
    kind: 'band',
    x: limits.map((p) => p.at),
    low: limits.map((p) => p.low),
    high: limits.map((p) => p.high),
    colour: 'band',
    opacity: 0.8,
  });
  for (const side of ['low', 'high'] as const) {
    out.push({
      kind: 'line',
      x: limits.map((p) => p.at),
      y: limits.map((p) => p[side]),
      colour: 'ink-2',
      dash: [4, 3],
    });
  }
  out.push({ kind: 'dots', x: series.at, y: series.percent, colour: 'inside', radius: 2.2, opacity: 0.6 });
  if (series.baseline !== null && series.baselineFrom !== null && series.baselineTo !== null) {
    const from = series.at[series.baselineFrom];
    const to = series.at[series.baselineTo];
    if (from !== undefined && to !== undefined) {
      out.push({ kind: 'rule', across: 'x', at: series.baseline, from, to, colour: 'inside', width: 1.4 });
    }
  }
  const ewma = series.at.flatMap((x, k) => {
    const value = series.ewma[k];
    return value === null || value === undefined ? [] : [{ x, value }];
  });
  out.push({ kind: 'line', x: ewma.map((p) => p.x), y: ewma.map((p) => p.value), colour: 'ink', width: 1.6 });
  const alarm = alarmPoint(lane);
  if (alarm) {
    out.push({ kind: 'marks', mark: 'outside-control', x: [alarm.at], y: [alarm.value], colour: 'ink' });
  }
  return out;
}

const limitPoints = (series: BlockSeries): { at: number; low: number; high: number }[] =>
  series.at.flatMap((at, k) => {
    const low = series.ewmaLow[k];
    const high = series.ewmaHigh[k];
    return low === null || low === undefined || high === null || high === undefined ? [] : [{ at, low, high }];
  });

function alarmPoint(lane: Lane): { at: number; value: number } | null {
  if (lane.alarmAt === null) return null;
  const k = lane.series.at.indexOf(lane.alarmAt);
  const value = lane.series.ewma[k];
  return value === null || value === undefined ? null : { at: lane.alarmAt, value };
}

function laneWords(
  model: DriftToolModel,
  lane: Lane,
  which: 'own' | 'response',
  at: DriftStripsLayout,
): readonly Drawing[] {
  const place = at[which];
  const { min, max } = at.time;
  const out: Drawing[] = [
    {
      kind: 'text',
      text: figureText('figure.strips.quantity', { quantity: lane.quantity, own: which === 'own' }),
      x: min,
      y: place.y.max,
      dxPx: -left,
      dyPx: -13,
      size: 12,
      strong: true,
      colour: 'ink',
      halo: true,
    },
  ];
  if (lane.series.at.length === 0) {
    out.push({
      kind: 'text',
      text: lane.why === null ? figureText('figure.lanes.nothing', {}) : figureSay(lane.why),
      x: min,
      y: (place.y.min + place.y.max) / 2,
      dxPx: 6,
      colour: 'ink-3',
      halo: true,
    });
    return out;
  }
  const alarm = alarmPoint(lane);
  if (alarm) {
    const late = alarm.at > min + (max - min) * 0.8;
    out.push({
      kind: 'text',
      text: figureText('figure.strips.first-outside', { at: alarm.at }),
      x: alarm.at,
      y: alarm.value,
      dxPx: late ? -9 : 9,
      dyPx: alarm.value >= 0 ? 12 : -12,
      align: late ? 'right' : 'left',
      colour: 'ink',
      halo: true,
    });
  }
  const { change } = model;
  if (change !== null && change.lane === which) out.push(...changeWords(change, place.y, at));
  if (which === 'response' && at.right >= ewmaWordsPx && lane.series.ewma.some((v) => v !== null)) {
    out.push({
      kind: 'text',
      text: figureText('figure.strips.ewma', {
        lambda: model.ewma.lambda,
        factor: model.ewma.limitFactor,
        blocks: model.ewma.baselineBlocks,
      }),
      // At the end of the title's line, where no value can lie.
      x: max,
      y: place.y.max,
      dyPx: -13,
      align: 'right',
      colour: 'ink-3',
      halo: true,
    });
  }
  const lines: { text: string; style: TextStyle }[] = [
    {
      text: figureText('figure.strips.state', { moved: lane.moved, percent: lane.since?.percent ?? null }),
      style: { size: 12, strong: true, colour: 'ink' },
    },
  ];
  if (lane.since) {
    lines.push({
      text: figureText('figure.strips.since', {
        low95: lane.since.low95,
        high95: lane.since.high95,
        at: lane.since.at,
      }),
      style: { colour: 'ink-2' },
    });
  } else if (lane.blocks < 20) {
    lines.push({ text: figureText('figure.strips.too-few', { blocks: lane.blocks }), style: { colour: 'ink-2' } });
  }
  if (which === 'response') {
    if (lane.smallestVisible !== null) {
      lines.push({ text: figureText('figure.strips.visible', { percent: lane.smallestVisible }), style: {} });
    }
    if (lane.blind && lane.expectedAtPermitted !== null) {
      lines.push({
        text: figureText('figure.strips.blind', { percent: Math.abs(lane.expectedAtPermitted) }),
        style: {},
      });
    } else if (lane.fromCheck !== null) {
      lines.push({ text: figureText('figure.strips.from-check', { percent: lane.fromCheck }), style: {} });
    }
  }
  out.push(...rightWords(lines, place.y.max, max, 8));
  return out;
}

function changeWords(change: ChangePoint, strip: Scale, at: DriftStripsLayout): readonly Drawing[] {
  // Beside the line, on the side that the values had not reached before the change.
  const down = change.shiftPercent < 0;
  const { time } = at;
  const room = ((change.at - time.min) / (time.max - time.min)) * (at.right - at.left);
  const early = room < changeWordsPx && room < (at.right - at.left) / 2;
  const style = {
    x: early ? Math.max(change.at, change.high95) : change.at,
    y: down ? strip.min : strip.max,
    dxPx: early ? 10 : -9,
    align: early ? 'left' : 'right',
    colour: 'you',
    halo: true,
  } as const;
  return [
    {
      kind: 'text',
      text: figureText('figure.strips.moved-at', { at: change.at }),
      ...style,
      dyPx: down ? -22 : 6,
      size: 12,
      strong: true,
    },
    {
      kind: 'text',
      text: figureText('figure.strips.shape', { shape: change.shape, low: change.low95, high: change.high95 }),
      ...style,
      dyPx: down ? -7 : 21,
    },
  ];
}

const rightWords = (
  lines: readonly { text: string; style: TextStyle }[],
  y: number,
  x: number,
  first: number,
): readonly Drawing[] =>
  lines.map(({ text, style }, k) => ({
    kind: 'text',
    colour: 'ink-3',
    ...style,
    text,
    x,
    y,
    dxPx: 12,
    dyPx: first + 14.5 * k,
  }));

function checkDrawings(model: DriftToolModel, at: DriftStripsLayout): readonly Drawing[] {
  const checks = stripChecks(model);
  const permitted = model.row.checks.permissiblePercent;
  const out: Drawing[] = [];
  const ends = permitted === null ? [0] : [permitted, 0, -permitted];
  out.push({
    kind: 'axis',
    side: 'left',
    ticks: ends.map((value) => ({
      at: value,
      label: value === 0 ? '0' : figureFormat.signed(value, value % 1 === 0 ? 0 : 1),
    })),
  });
  for (const value of ends) {
    out.push({
      kind: 'rule',
      across: 'x',
      at: value,
      colour: value === 0 ? 'rule-2' : 'ink-2',
      dash: value === 0 ? [1, 3] : [2, 3],
    });
  }
  for (const mark of model.marks) {
    if (mark.at < at.time.min || mark.at > at.time.max) continue;
    out.push({ kind: 'rule', across: 'y', at: mark.at, colour: 'rule-2', dash: [2, 2] });
  }
  const seen = checks.filter((check) => check.at >= at.time.min && check.at <= at.time.max);
  const half = (5 * (at.time.max - at.time.min)) / (at.right - at.left);
  const pulls = seen.flatMap((check) => check.pullPercent.map((percent) => ({ at: check.at, percent })));
  out.push({
    kind: 'segments',
    x0: pulls.map((p) => p.at - half),
    x1: pulls.map((p) => p.at + half),
    y0: pulls.map((p) => p.percent),
    y1: pulls.map((p) => p.percent),
    colour: 'ink-3',
    width: 0.8,
  });
  out.push({
    kind: 'marks',
    mark: 'square',
    x: seen.map((check) => check.at),
    y: seen.map((check) => check.deviationPercent),
    colour: 'ink',
  });
  const failing = seen.filter((check) => check.passed === false);
  out.push({
    kind: 'dots',
    x: failing.map((check) => check.at),
    y: failing.map((check) => check.deviationPercent),
    colour: 'ink',
    radius: 2,
  });
  out.push({
    kind: 'axis',
    side: 'bottom',
    line: true,
    ticks: dateTicks(at.time.min, at.time.max, at.right - at.left),
  });
  return out;
}

function checkWords(model: DriftToolModel, at: DriftStripsLayout): readonly Drawing[] {
  const { y } = at.checks;
  const out: Drawing[] = [
    {
      kind: 'text',
      text: figureText('figure.strips.checks', {}),
      x: at.time.min,
      y: y.max,
      dxPx: -left,
      dyPx: -13,
      size: 12,
      strong: true,
      colour: 'ink',
      halo: true,
    },
  ];
  const kx = (at.right - at.left) / (at.time.max - at.time.min);
  let free = Number.NEGATIVE_INFINITY;
  for (const mark of model.marks) {
    if (mark.at < at.time.min || mark.at > at.time.max) continue;
    const text = figureText('figure.strips.mark', { kind: mark.kind, at: mark.at });
    const px = (mark.at - at.time.min) * kx;
    const wide = text.length * 6 + 10;
    if (px < free) continue;
    const late = px + wide > at.right - at.left;
    free = px + (late ? 8 : wide);
    out.push({
      kind: 'text',
      text,
      x: mark.at,
      y: y.max,
      dxPx: late ? -6 : 6,
      dyPx: 14,
      align: late ? 'right' : 'left',
      colour: 'ink-2',
      halo: true,
    });
  }
  const { latest, permissiblePercent } = model.row.checks;
  const lines: { text: string; style: TextStyle }[] = [];
  if (latest === null) {
    lines.push({ text: figureText('figure.lanes.no-checks', {}), style: { size: 12, strong: true, colour: 'ink' } });
  } else {
    lines.push({
      text: figureText('figure.strips.check', { at: latest.at, percent: latest.deviationPercent }),
      style: { size: 12, strong: true, colour: 'ink' },
    });
    lines.push({
      text: figureText('figure.strips.check-side', { percent: latest.deviationPercent }),
      style: { colour: 'ink-2' },
    });
  }
  const { forecast } = model.row.checks;
  if (forecast) {
    lines.push({
      text: figureText('figure.strips.forecast', { on: forecast.crossesOn }),
      style: { colour: 'ink-2' },
    });
    lines.push({
      text: figureText('figure.strips.forecast-span', { low: forecast.low95, high: forecast.high95 }),
      style: { colour: 'ink-2' },
    });
  }
  lines.push({
    text:
      permissiblePercent === null
        ? figureText('figure.strips.no-permitted', {})
        : figureText('figure.strips.permitted', { percent: permissiblePercent }),
    style: {},
  });
  out.push(...rightWords(lines, y.max, at.time.max, 14));
  return out;
}

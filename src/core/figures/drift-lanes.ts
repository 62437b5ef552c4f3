/** The three lanes of evidence of each tool as small multiples, each lane on one scale for all tools. */
import type { DriftModel, DriftToolRow, Lane } from '../contract/models/drift-model.ts';
import type { Drawing, Figure, Pane, Scale } from './figure.ts';
import { figureFormat, figureSay, figureText } from './figure-format.ts';

/** Scales that all rows share; computed from all tools, so that rows can be drawn one by one. */
export interface DriftLaneScales {
  readonly time: Scale;
  readonly own: Scale;
  readonly response: Scale;
  readonly checkTime: Scale;
  readonly checks: Scale;
}

/** The scales over every tool: no interval, limit or check lies outside. */
export function driftLaneScales(model: DriftModel): DriftLaneScales {
  const time = new Reach();
  const own = new Reach();
  const response = new Reach();
  const checkTime = new Reach();
  const checks = new Reach();
  time.take(model.from);
  time.take(model.to);
  response.take(0);
  for (const row of model.tools) {
    const { series } = row.own;
    for (const list of [series.ewma, series.ewmaLow, series.ewmaHigh]) for (const value of list) own.take(value);
    own.take(series.baseline);
    const { since, smallestVisible } = row.response;
    response.take(since?.low95);
    response.take(since?.high95);
    response.take(smallestVisible);
    response.take(smallestVisible === null ? null : -smallestVisible);
    checks.take(row.checks.permissiblePercent);
    for (const check of row.checks.recent) {
      checkTime.take(check.at);
      checks.take(check.deviationPercent);
    }
  }
  return {
    time: time.scale(0, 1),
    own: symmetric(own, 1),
    response: response.widened(0.06, 1),
    checkTime: checkTime.widened(0.06, 86_400_000),
    checks: symmetric(checks, 1),
  };
}

class Reach {
  low = Number.POSITIVE_INFINITY;
  high = Number.NEGATIVE_INFINITY;
  take(value: number | null | undefined): void {
    if (value === null || value === undefined || !Number.isFinite(value)) return;
    this.low = Math.min(this.low, value);
    this.high = Math.max(this.high, value);
  }
  scale(low: number, high: number): Scale {
    return this.low < this.high ? { min: this.low, max: this.high } : { min: low, max: high };
  }
  widened(share: number, least: number): Scale {
    if (this.low > this.high) return { min: -least, max: least };
    const room = Math.max((this.high - this.low) * share, least * 0.1);
    return { min: this.low - room, max: this.high + room };
  }
}

const symmetric = (reach: Reach, least: number): Scale => {
  const most = Math.max(least, Math.abs(reach.low), Math.abs(reach.high));
  const end = (Number.isFinite(most) ? most : least) * 1.08;
  return { min: -end, max: end };
};

export interface DriftLaneRowOptions {
  readonly width: number;
  readonly height: number;
  /** Pixels kept free at the left for the name of the tool. */
  readonly nameWidth?: number;
  /** Without figures beside the lanes (narrow lists; they go to the hover). */
  readonly bare?: boolean;
  /** The row is selected: what is shaded takes the colour of the sheet, so that it stands out of the wash. */
  readonly selected?: boolean;
}

/** One tool's lanes. */
export function driftLaneRow(row: DriftToolRow, scales: DriftLaneScales, options: DriftLaneRowOptions): Figure {
  return {
    title: figureText('figure.lanes.row-title', { tool: row.tool }),
    summary: figureSay(row.line),
    // A rim in the colour of the sheet would show on the wash of a selected row.
    panes: lanePanes(row, scales, options, 0).map((pane) =>
      options.selected
        ? { ...pane, drawings: pane.drawings.map((d) => (d.kind === 'text' ? { ...d, halo: false } : d)) }
        : pane,
    ),
    clear: true,
  };
}

/** Where the three lanes lie across a row, in pixels. */
export function driftLaneColumns(
  width: number,
  nameWidth = 70,
): { own: [number, number]; response: [number, number]; checks: [number, number] } {
  const room = width - nameWidth;
  const own = Math.round(room * 0.33);
  const response = Math.round(room * 0.27);
  const responseAt = nameWidth + own + Math.round(room * 0.08);
  const checksAt = responseAt + response + Math.round(room * 0.07);
  return {
    own: [nameWidth, nameWidth + own],
    response: [responseAt, responseAt + response],
    checks: [checksAt, width - 32],
  };
}

function lanePanes(row: DriftToolRow, scales: DriftLaneScales, options: DriftLaneRowOptions, top: number): Pane[] {
  const columns = driftLaneColumns(options.width, options.nameWidth);
  const how: LaneLook = { bare: options.bare === true, shade: options.selected === true ? 'sheet' : 'band' };
  const place = ([left, right]: [number, number], inset: number) => ({
    left,
    width: right - left,
    top: top + inset,
    height: options.height - 2 * inset,
  });
  return [
    { ...place(columns.own, 4), x: scales.time, y: scales.own, drawings: ownLane(row.own, scales, how) },
    {
      ...place(columns.response, 4),
      x: scales.response,
      y: { min: -1, max: 1 },
      drawings: responseLane(row.response, scales, how),
    },
    { ...place(columns.checks, 5), x: scales.checkTime, y: scales.checks, drawings: checkLane(row, scales, how) },
  ];
}

interface LaneLook {
  readonly bare: boolean;
  readonly shade: 'band' | 'sheet';
}

/** Longest reason that fits into a lane; longer ones are in the hover. */
const shortWhy = 22;

const note = (text: string, x: number): Drawing => ({ kind: 'text', text, x, y: 0, colour: 'ink-3', halo: true });

function ownLane(lane: Lane, scales: DriftLaneScales, { bare, shade }: LaneLook): readonly Drawing[] {
  const { series } = lane;
  const shown = series.at.flatMap((at, k) => {
    const ewma = series.ewma[k];
    return ewma === null || ewma === undefined ? [] : [{ at, ewma, low: series.ewmaLow[k], high: series.ewmaHigh[k] }];
  });
  if (series.at.length === 0) return [note(figureText('figure.lanes.nothing', {}), scales.time.min)];
  const out: Drawing[] = [];
  const limits = shown.filter((p) => p.low !== null && p.high !== null);
  out.push({
    kind: 'band',
    x: limits.map((p) => p.at),
    low: limits.map((p) => p.low ?? Number.NaN),
    high: limits.map((p) => p.high ?? Number.NaN),
    colour: shade,
  });
  out.push({ kind: 'rule', across: 'x', at: 0, colour: 'rule-2', dash: [1, 3] });
  out.push({
    kind: 'dots',
    x: series.at,
    y: series.percent.map((v) => Math.max(scales.own.min, Math.min(scales.own.max, v))),
    colour: 'inside',
    radius: 0.9,
    opacity: 0.5,
  });
  if (shown.length === 0) {
    out.push(note(figureText('figure.lanes.too-few', { blocks: lane.blocks }), scales.time.min));
    return out;
  }
  const moved = lane.moved === true;
  const last = shown[shown.length - 1];
  out.push({
    kind: 'line',
    x: shown.map((p) => p.at),
    y: shown.map((p) => p.ewma),
    colour: moved ? 'ink' : 'inside',
    width: moved ? 1.6 : 1.4,
  });
  if (last) {
    out.push({ kind: 'dots', x: [last.at], y: [last.ewma], colour: moved ? 'ink' : 'inside', radius: 2.4 });
    if (!bare) {
      // Above the end of the line, unless that would leave the lane.
      const high = last.ewma > scales.own.min + 0.78 * (scales.own.max - scales.own.min);
      const dyPx = last.ewma < 0 && moved ? 3 : high ? 11 : -10;
      out.push({
        kind: 'text',
        text: figureText('figure.lanes.lane-value', { percent: last.ewma }),
        x: last.at,
        y: last.ewma,
        dxPx: moved ? -8 : 0,
        dyPx,
        align: 'right',
        strong: moved,
        colour: moved ? 'ink' : 'ink-2',
        halo: true,
      });
    }
  }
  return out;
}

function responseLane(lane: Lane, scales: DriftLaneScales, { bare, shade }: LaneLook): readonly Drawing[] {
  const { since, smallestVisible } = lane;
  const out: Drawing[] = [];
  if (smallestVisible !== null) {
    out.push({
      kind: 'rects',
      colour: shade,
      rects: [{ x0: -smallestVisible, x1: smallestVisible, y0: -0.32, y1: 0.32 }],
    });
  }
  out.push({ kind: 'rule', across: 'y', at: 0, colour: 'rule-2', from: -0.72, to: 0.72 });
  // Roles swap where a joint is stopped by angle; the head of the list names the usual ones.
  if (lane.quantity === 'torque-at-equal-angle' || lane.quantity === 'mixed') {
    out.push({
      kind: 'text',
      text: figureText('figure.lanes.swapped', { mixed: lane.quantity === 'mixed' }),
      x: scales.response.min,
      y: 0.95,
      size: 10,
      colour: 'ink-3',
    });
  }
  if (lane.blind && !bare) {
    out.push({
      kind: 'text',
      text: figureText('figure.lanes.blind', {}),
      x: scales.response.min,
      y: -0.95,
      size: 10,
      colour: 'ink-3',
    });
  }
  if (since === null) {
    const why = lane.why === null ? '' : figureSay(lane.why).replace(/\.$/, '');
    const text =
      lane.series.at.length === 0
        ? why !== '' && why.length <= shortWhy
          ? why
          : figureText('figure.lanes.nothing', {})
        : lane.blocks < 20
          ? figureText('figure.lanes.too-few', { blocks: lane.blocks })
          : figureText('figure.lanes.not-told', {});
    out.push(note(text, scales.response.min));
    return out;
  }
  const moved = lane.moved === true;
  const colour = moved ? 'ink' : 'inside';
  out.push({ kind: 'segments', x0: [since.low95], x1: [since.high95], y0: [0], y1: [0], colour, width: 1.5 });
  out.push({ kind: 'dots', x: [since.percent], y: [0], colour, radius: 3.2 });
  if (bare) return out;
  const text = figureText('figure.lanes.lane-value', { percent: since.percent });
  const right = since.high95 > scales.response.min + 0.7 * (scales.response.max - scales.response.min);
  out.push(
    moved || right
      ? {
          kind: 'text',
          text,
          x: since.percent,
          y: 0,
          dyPx: -12,
          align: 'center',
          strong: moved,
          colour: moved ? 'ink' : 'ink-2',
          halo: true,
        }
      : { kind: 'text', text, x: Math.max(since.high95, 0), y: 0, dxPx: 6, colour: 'ink-2', halo: true },
  );
  return out;
}

function checkLane(row: DriftToolRow, scales: DriftLaneScales, { bare }: LaneLook): readonly Drawing[] {
  const { checks } = row;
  const out: Drawing[] = [];
  // The words of a lane without checks stand where the line would be.
  if (checks.recent.length > 0) out.push({ kind: 'rule', across: 'x', at: 0, colour: 'rule-2' });
  if (checks.permissiblePercent !== null) {
    for (const at of [checks.permissiblePercent, -checks.permissiblePercent]) {
      out.push({ kind: 'rule', across: 'x', at, colour: 'ink-2', dash: [2, 3] });
    }
  }
  if (checks.recent.length === 0) {
    out.push(note(figureText('figure.lanes.no-checks', {}), scales.checkTime.min));
    return out;
  }
  const x = checks.recent.map((check) => check.at);
  const y = checks.recent.map((check) => check.deviationPercent);
  out.push({ kind: 'segments', x0: x, x1: x, y0: x.map(() => 0), y1: y, colour: 'ink', width: 1.2 });
  out.push({ kind: 'marks', mark: 'square', x, y, colour: 'ink', size: 6 });
  out.push({ kind: 'dots', x, y, colour: 'ink', radius: 2 });
  const { latest } = checks;
  if (latest && !bare) {
    const loud = checks.failing || Math.abs(latest.deviationPercent) > (checks.permissiblePercent ?? 4) / 2;
    out.push({
      kind: 'text',
      text: figureText('figure.lanes.lane-value', { percent: latest.deviationPercent }),
      x: scales.checkTime.max,
      y: latest.deviationPercent,
      dxPx: 32,
      align: 'right',
      strong: loud,
      colour: loud ? 'ink' : 'ink-2',
    });
  }
  return out;
}

const rowHeight = 88;
const laneHeight = 66;
const headHeight = 40;

/** Height of the whole list as one figure. */
export function driftLanesHeight(tools: number): number {
  return headHeight + Math.max(1, tools) * rowHeight;
}

/** The whole list as one figure, names and sentences included: for reports and exports. */
export function driftLanes(model: DriftModel, options: { readonly width: number }): Figure {
  const scales = driftLaneScales(model);
  const { width } = options;
  const columns = driftLaneColumns(width);
  const height = driftLanesHeight(model.tools.length);
  const words: Drawing[] = [];
  const heading = (x: number, first: string, second: string): void => {
    words.push({ kind: 'text', text: first, x, y: 8, strong: true, colour: 'ink' });
    words.push({ kind: 'text', text: second, x, y: 23, colour: 'ink-3' });
  };
  heading(columns.own[0], figureText('figure.lanes.own', {}), figureText('figure.lanes.own-unit', {}));
  heading(columns.response[0], figureText('figure.lanes.response', {}), figureText('figure.lanes.response-unit', {}));
  heading(columns.checks[0], figureText('figure.lanes.checks', {}), figureText('figure.lanes.checks-unit', {}));
  model.tools.forEach((row, k) => {
    const top = headHeight + k * rowHeight;
    if (k > 0) words.push({ kind: 'rule', across: 'x', at: top, colour: 'rule' });
    words.push({ kind: 'text', text: row.tool, x: 0, y: top + 18, size: 14, strong: true, colour: 'ink' });
    words.push({
      kind: 'text',
      text: figureSay(row.line),
      x: 0,
      y: top + 76,
      size: 12,
      colour: row.urgency === 'still' || row.urgency === 'too-little' ? 'ink-3' : 'ink',
    });
  });
  const moved = model.tools.filter((row) => row.own.moved === true || row.response.moved === true).length;
  return {
    title: figureText('figure.lanes.title', {}),
    summary: figureText('figure.lanes.summary', { tools: model.tools.length, moved }),
    panes: [
      {
        left: 0,
        width,
        top: 0,
        height,
        x: { min: 0, max: width },
        y: { min: height, max: 0 },
        drawings: words,
      },
      ...model.tools.flatMap((row, k) =>
        lanePanes(row, scales, { width, height: laneHeight }, headHeight + k * rowHeight + 2),
      ),
    ],
  };
}

/** Size of a number as the lanes print it. */
export const lanePercent = (percent: number): string => figureFormat.signed(percent, 1);

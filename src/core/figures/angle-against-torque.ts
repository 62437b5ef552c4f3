/** Angle against shown torque before and since a date, with parallel lines whose vertical step is the finding. */
import type { DriftToolModel, ResponseScatter } from '../contract/models/drift-model.ts';
import { torqueUnitSymbols } from '../units/torque-unit.ts';
import type { Drawing, Figure, Scale } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import { valueTicks } from './value-ticks.ts';

export interface AngleAgainstTorqueOptions {
  readonly width: number;
  readonly height: number;
}

/**
 * Builds the figure, or null where the tool has no pairs of torque and angle.
 *
 * Two parallel lines, never a slope of torque per degree: fasteners differ in snug point, so a slope over fasteners is
 * not the joint's stiffness.
 */
export function angleAgainstTorque(model: DriftToolModel, options: AngleAgainstTorqueOptions): Figure | null {
  const scatter = model.scatter;
  if (scatter === null || scatter.x.length === 0) return null;
  const unit = torqueUnitSymbols[scatter.unit];
  const torqueAcross = scatter.across === 'torque';
  const x = spanOf(scatter.x, []);
  const y = spanOf(scatter.y, lineEnds(scatter, x));
  const left = 34;
  const paneWidth = options.width - left - 6;
  const paneHeight = options.height - 20 - 40;
  const out: Drawing[] = [];
  const yTicks = valueTicks(y.min, y.max, Math.max(3, Math.floor(paneHeight / 34)));
  out.push({
    kind: 'axis',
    side: 'left',
    grid: true,
    ticks: yTicks.values.map((value) => ({ at: value, label: figureFormat.number(value, yTicks.decimals) })),
  });
  out.push({
    kind: 'text',
    text: torqueAcross ? figureText('figure.scatter.angle', {}) : figureText('figure.scatter.torque', { unit }),
    x: x.min,
    y: y.max,
    dxPx: -left,
    dyPx: -12,
    colour: 'ink-2',
  });
  for (const after of [0, 1] as const) {
    const drawn = scatter.after.flatMap((flag, k) => (flag === after ? [k] : []));
    out.push({
      kind: 'dots',
      x: drawn.map((k) => scatter.x[k] ?? Number.NaN),
      y: drawn.map((k) => scatter.y[k] ?? Number.NaN),
      colour: after === 1 ? 'ink' : 'inside',
      radius: after === 1 ? 1.6 : 1.5,
      opacity: after === 1 ? 0.8 : 0.55,
    });
  }
  out.push(...lines(scatter, x, y, model.sinceAt, unit));
  const xTicks = valueTicks(x.min, x.max, Math.max(3, Math.floor(paneWidth / 56)));
  out.push({
    kind: 'axis',
    side: 'bottom',
    line: true,
    ticks: xTicks.values.map((value) => ({ at: value, label: figureFormat.number(value, xTicks.decimals) })),
  });
  out.push({
    kind: 'text',
    text: torqueAcross ? figureText('figure.scatter.torque-end', { unit }) : figureText('figure.scatter.angle-end', {}),
    x: x.max,
    y: y.min,
    dyPx: 29,
    align: 'right',
    colour: 'ink-3',
  });
  return {
    title: figureText('figure.scatter.title', { joint: scatter.joint, across: scatter.across }),
    summary: figureText('figure.scatter.summary', {
      since: model.sinceAt,
      step: scatter.step,
      across: scatter.across,
      unit,
      drawn: scatter.x.length,
    }),
    table: {
      head: [
        torqueAcross ? figureText('figure.scatter.torque', { unit }) : figureText('figure.scatter.angle', {}),
        torqueAcross ? figureText('figure.scatter.angle', {}) : figureText('figure.scatter.torque', { unit }),
        figureText('figure.table.when', {}),
      ],
      numeric: [0, 1],
      rows: Array.from({ length: scatter.x.length }, (_, k) => [
        figureFormat.number(scatter.x[k] ?? Number.NaN, torqueAcross ? 2 : 1),
        figureFormat.number(scatter.y[k] ?? Number.NaN, torqueAcross ? 1 : 2),
        figureText('figure.table.before-since', { since: scatter.after[k] === 1 }),
      ]),
    },
    panes: [{ left, width: paneWidth, top: 20, height: paneHeight, x, y, drawings: out }],
  };
}

function spanOf(values: readonly number[], more: readonly number[]): Scale {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const list of [values, more]) {
    for (const value of list) {
      if (!Number.isFinite(value)) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  if (low > high) return { min: 0, max: 1 };
  const room = high > low ? (high - low) * 0.08 : 1;
  return { min: low - room, max: high + room };
}

const lineEnds = (scatter: ResponseScatter, x: Scale): number[] =>
  [scatter.interceptBefore, scatter.interceptAfter].flatMap((intercept) =>
    intercept === null ? [] : [intercept + scatter.slope * x.min, intercept + scatter.slope * x.max],
  );

function lines(scatter: ResponseScatter, x: Scale, y: Scale, since: number | null, unit: string): readonly Drawing[] {
  const out: Drawing[] = [];
  const from = x.min + (x.max - x.min) * 0.05;
  const to = x.max - (x.max - x.min) * 0.05;
  const line = (intercept: number, after: boolean): Drawing => ({
    kind: 'line',
    x: [from, to],
    y: [intercept + scatter.slope * from, intercept + scatter.slope * to],
    colour: after ? 'ink' : 'inside',
    width: after ? 1.8 : 1.5,
  });
  if (scatter.interceptBefore !== null) {
    out.push(line(scatter.interceptBefore, false));
    out.push({
      kind: 'text',
      text: figureText('figure.scatter.before', {}),
      x: from,
      y: scatter.interceptBefore + scatter.slope * from,
      dyPx: (scatter.step ?? 0) < 0 ? -11 : 12,
      colour: 'ink-2',
      halo: true,
    });
  }
  if (scatter.interceptAfter !== null) out.push(line(scatter.interceptAfter, true));
  if (scatter.step !== null && since !== null) {
    out.push({
      kind: 'text',
      text: figureText('figure.scatter.since', {
        since,
        step: scatter.step,
        across: scatter.across,
        unit,
        decimals: scatter.across === 'torque' ? 1 : 2,
      }),
      x: x.max,
      y: y.max,
      dyPx: 4,
      align: 'right',
      strong: true,
      colour: 'ink',
      halo: true,
    });
  }
  return out;
}

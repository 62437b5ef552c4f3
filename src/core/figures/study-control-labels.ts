/** Names of the control limits, and the room they take. */
import type { StudyModel } from '../contract/models/study-model.ts';
import type { Drawing } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import type { StudyAxisLayout } from './study-axis-layout.ts';

/** The room of a label, in CSS pixels of the figure. */
export interface PlacedLabel {
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
}

/** Values of the control limits at their right end, and what they are limits for. */
export function controlLabels(model: StudyModel, at: StudyAxisLayout): readonly Drawing[] {
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
export function limitsCaption(
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

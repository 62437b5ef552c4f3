/** What runs through all three parts of a study's figure: value axis, limits and their names. */
import type { StudyModel } from '../contract/models/study-model.ts';
import type { Drawing } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import type { StudyAxisLayout, StudyAxisOptions } from './study-axis-layout.ts';
import { valueTicks } from './value-ticks.ts';

/** Value axis, limits, limits tried out and centre line, under everything else. */
export function sharedDrawings(
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
export function limitLabels(model: StudyModel, options: StudyAxisOptions): readonly Drawing[] {
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

import type { StudyModel } from '../contract/models/study-model.ts';
import type { Drawing, Pane, Scale } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import type { StudyAxisLayout } from './study-axis-layout.ts';
import { valueTicks } from './value-ticks.ts';

function modelName(model: StudyModel): string | null {
  const chosen = model.histogram?.curve.length ? model.choices.model : null;
  return chosen === null ? null : figureText('figure.study.model-name', { name: chosen });
}

/** The histogram turned on its side, with the curve of the chosen model. */
export function histogramPane(model: StudyModel, at: StudyAxisLayout, unit: string, narrow: boolean): Pane {
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

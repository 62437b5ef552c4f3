/** How many readings came when: columns of equal time, the failing ones dark at the foot. */
import type { PaceModel } from '../contract/models/review-model.ts';
import { msPerDay } from '../time/civil-time.ts';
import { dateTicks } from './date-ticks.ts';
import type { Figure } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';

/** Builds the figure; nothing is drawn without a first time. */
export function paceColumns(model: PaceModel, size: { readonly width: number; readonly height: number }): Figure {
  const columns = model.counts.length;
  const start = model.from ?? 0;
  const end = start + Math.max(1, columns) * model.stepMs;
  const most = Math.max(1, ...model.counts);
  const bars = (values: Uint32Array): { x0: number; x1: number; y0: number; y1: number }[] =>
    [...values].flatMap((value, index) =>
      value === 0
        ? []
        : [
            {
              x0: start + (index + 0.08) * model.stepMs,
              x1: start + (index + 0.92) * model.stepMs,
              y0: 0,
              y1: value,
            },
          ],
    );
  const words = (index: number): string =>
    figureText('ui.review.pace.readings', { count: model.counts[index] ?? 0, fails: model.fails[index] ?? 0 });
  const when = (index: number): string => {
    const at = start + index * model.stepMs;
    return model.stepMs >= msPerDay ? figureFormat.dayMonth(at) : figureFormat.time(at);
  };
  return {
    title: figureText('ui.review.pace', {}),
    summary: figureText('ui.review.pace.summary', { columns }),
    panes: [
      {
        left: 28,
        right: 8,
        top: 6,
        bottom: 20,
        x: { min: start, max: end },
        y: { min: 0, max: most },
        drawings: [
          { kind: 'rects', rects: bars(model.counts), colour: 'inside', opacity: 0.55 },
          { kind: 'rects', rects: bars(model.fails), colour: 'ink' },
          {
            kind: 'axis',
            side: 'bottom',
            line: true,
            ticks: model.from === null ? [] : dateTicks(start, end, size.width - 36),
          },
          {
            kind: 'axis',
            side: 'left',
            ticks: [
              { at: 0, label: '0' },
              { at: most, label: figureFormat.number(most) },
            ],
          },
        ],
      },
    ],
    stops: [...model.counts].map((count, index) => ({
      id: String(start + index * model.stepMs),
      pane: 0,
      x: start + (index + 0.5) * model.stepMs,
      y: count,
      text: `${when(index)}: ${words(index)}`,
    })),
  };
}

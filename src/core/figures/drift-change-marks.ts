/** The change of a tool, drawn over its strips. */
import type { ChangePoint, DriftToolModel } from '../contract/models/drift-model.ts';
import type { DriftStripsLayout } from './drift-strips-layout.ts';
import type { Drawing, Scale } from './figure.ts';
import { figureText } from './figure-format.ts';

/** Room that the words beside a change need. */
const changeWordsPx = 190;

/** The span in which the change lies with 95 %, through all strips, in pixels; nothing without a change. */
export function changeSpan(model: DriftToolModel, at: DriftStripsLayout): readonly Drawing[] {
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

/** The line at the change, in data units of time; nothing without a change. */
export function changeLine(model: DriftToolModel): readonly Drawing[] {
  return model.change === null ? [] : [{ kind: 'rule', across: 'y', at: model.change.at, colour: 'you', width: 1.5 }];
}

/** When it changed and how, beside the line: on the side that has room. */
export function changeWords(change: ChangePoint, strip: Scale, at: DriftStripsLayout): readonly Drawing[] {
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

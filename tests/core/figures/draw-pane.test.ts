import { describe, expect, it } from 'vitest';
import { drawPane, type PaneElement } from '#core/figures/draw-pane.ts';
import type { Drawing } from '#core/figures/figure.ts';
import { lightLook } from '#core/figures/look.ts';
import { type PathPen, shapeTable } from '#core/figures/shapes.ts';

const rect = { x: 0, y: 0, width: 1000, height: 100 };
const elements = (drawing: Drawing): readonly PaneElement[] =>
  drawPane(
    { left: 0, right: 0, top: 0, height: 100, x: { min: 0, max: 1000 }, y: { min: 0, max: 100 }, drawings: [drawing] },
    rect,
    lightLook,
  ).children ?? [];

/** What a shape of the table draws, as letters and numbers. */
function path(element: PaneElement): string {
  const out: string[] = [];
  const pen: PathPen = {
    moveTo: (x, y) => out.push(`M${x} ${y}`),
    lineTo: (x, y) => out.push(`L${x} ${y}`),
    closePath: () => out.push('Z'),
    arc: () => out.push('A'),
    rect: () => out.push('R'),
  };
  // Its points are what the shape takes.
  shapeTable[element.type]?.(pen, element.shape as never);
  return out.join('');
}

/** Pairs of points, a gap after each. */
const gappy = (pairs: number): { x: number[]; y: number[] } => ({
  x: Array.from({ length: pairs * 3 }, (_, i) => (i % 3 === 2 ? Number.NaN : i)),
  y: Array.from({ length: pairs * 3 }, (_, i) => (i % 3 === 2 ? Number.NaN : 50)),
});

describe('many pieces of one drawing', () => {
  it('few lines stay elements of their own, many become one path with the same points', () => {
    expect(elements({ kind: 'line', ...gappy(5), colour: 'ink' }).map((one) => one.type)).toEqual(
      Array.from({ length: 5 }, () => 'polyline'),
    );
    const [one, ...more] = elements({ kind: 'line', ...gappy(100), colour: 'ink' });
    expect(more).toEqual([]);
    expect(path(one!).startsWith('M0 50L1 50M3 50L4 50M6 50L7 50')).toBe(true);
    expect(path(one!).match(/M/g)).toHaveLength(100);
    expect(one?.style).toMatchObject({ fill: 'none' });
  });

  it('segments and boxes likewise, none left out but those without a place', () => {
    const n = 90;
    const of = (value: (i: number) => number): number[] => Array.from({ length: n }, (_, i) => value(i));
    const [lines] = elements({
      kind: 'segments',
      x0: of((i) => i),
      x1: of((i) => (i === 7 ? Number.NaN : i + 1)),
      y0: of(() => 10),
      y1: of(() => 20),
      colour: 'ink',
    });
    expect(path(lines!).match(/M/g)).toHaveLength(n - 1);
    const boxes = elements({
      kind: 'rects',
      rects: of((i) => i).map((x) => ({ x0: x, x1: x + 0.5, y0: 0, y1: 10 })),
      colour: 'inside',
    });
    expect(boxes).toHaveLength(1);
    expect(path(boxes[0]!).startsWith('M0 100L0.5 100L0.5 90L0 90ZM1 100')).toBe(true);
    expect(path(boxes[0]!).match(/Z/g)).toHaveLength(n);
  });

  it('a band ends where a value is missing and does not bridge the gap', () => {
    const band = elements({
      kind: 'band',
      x: [0, 1, Number.NaN, 5, 6],
      low: [1, 1, Number.NaN, 2, 2],
      high: [3, 3, Number.NaN, 4, 4],
      colour: 'inside',
    });
    expect(band.map((one) => one.shape?.points)).toEqual([
      [
        [0, 97],
        [1, 97],
        [1, 99],
        [0, 99],
      ],
      [
        [5, 96],
        [6, 96],
        [6, 98],
        [5, 98],
      ],
    ]);
  });
});

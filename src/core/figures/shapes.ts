/**
 * Registered shapes: thousands of dots or marks drawn as one path.
 *
 * One shape for all dots draws in 29 ms where as many chart symbols take over 200; the renderer and main/report
 * register this same table with ECharts.
 */
import type { MarkKind } from './figure.ts';

/** The part of a canvas-like path that shapes use. */
export interface PathPen {
  moveTo(x: number, y: number): void;
  lineTo(x: number, y: number): void;
  closePath(): void;
  arc(x: number, y: number, radius: number, from: number, to: number): void;
  rect(x: number, y: number, width: number, height: number): void;
}

/** Pixel points as x, y, x, y ...; a NaN leaves its point out. */
export interface ManyShape {
  readonly points: ArrayLike<number>;
  readonly size: number;
}

/** Many lines or outlines as one path: a NaN ends one and starts the next. */
const runs =
  (closed: boolean) =>
  (pen: PathPen, shape: ManyShape): void => {
    const { points } = shape;
    let open = false;
    for (let i = 0; i + 1 < points.length; i += 2) {
      const x = points[i]!;
      const y = points[i + 1]!;
      if (!Number.isFinite(x + y)) {
        if (open && closed) pen.closePath();
        open = false;
      } else if (open) pen.lineTo(x, y);
      else {
        pen.moveTo(x, y);
        open = true;
      }
    }
    if (open && closed) pen.closePath();
  };

const each = (shape: ManyShape, put: (x: number, y: number) => void): void => {
  for (let i = 0; i + 1 < shape.points.length; i += 2) {
    const x = shape.points[i]!;
    const y = shape.points[i + 1]!;
    if (Number.isFinite(x + y)) put(x, y);
  }
};

const polygon =
  (corners: readonly (readonly [number, number])[]) =>
  (pen: PathPen, shape: ManyShape): void => {
    const k = shape.size / 10;
    each(shape, (x, y) => {
      corners.forEach(([cx, cy], index) => {
        if (index === 0) pen.moveTo(x + cx * k, y + cy * k);
        else pen.lineTo(x + cx * k, y + cy * k);
      });
      pen.closePath();
    });
  };

const down = polygon([
  [-4.6, -3.4],
  [4.6, -3.4],
  [0, 4.4],
]);
const up = polygon([
  [-4.6, 3.4],
  [4.6, 3.4],
  [0, -4.4],
]);
const circle = (pen: PathPen, shape: ManyShape): void => {
  const r = shape.size / 2;
  each(shape, (x, y) => {
    pen.moveTo(x + r, y);
    pen.arc(x, y, r, 0, Math.PI * 2);
    pen.closePath();
  });
};

/** How each shape is drawn; keys are the names under which they are registered. */
export const shapeTable: Readonly<Record<string, (pen: PathPen, shape: ManyShape) => void>> = {
  tbDots: (pen, shape) => {
    // Squares with a width under three pixels cannot be told from discs and cost a quarter of them.
    if (shape.size > 3) return circle(pen, shape);
    const r = shape.size / 2;
    each(shape, (x, y) => pen.rect(x - r, y - r, shape.size, shape.size));
  },
  tbDown: down,
  tbUp: up,
  tbDiamond: polygon([
    [0, -4.6],
    [4.6, 0],
    [0, 4.6],
    [-4.6, 0],
  ]),
  tbCircle: circle,
  tbSquare: polygon([
    [-3.5, -3.5],
    [3.5, -3.5],
    [3.5, 3.5],
    [-3.5, 3.5],
  ]),
  tbLines: runs(false),
  tbOutlines: runs(true),
  tbCross: (pen, shape) => {
    const r = (shape.size / 10) * 3.4;
    each(shape, (x, y) => {
      pen.moveTo(x - r, y - r);
      pen.lineTo(x + r, y + r);
      pen.moveTo(x - r, y + r);
      pen.lineTo(x + r, y - r);
    });
  },
};

/** Shape and filling of each mark: filled for torque, hollow for angle, by the visual language. */
export const markShapes: Readonly<Record<MarkKind, { shape: string; filled: boolean; stroke: number; scale: number }>> =
  {
    'torque-low': { shape: 'tbDown', filled: true, stroke: 0, scale: 1 },
    'torque-high': { shape: 'tbUp', filled: true, stroke: 0, scale: 1 },
    'angle-low': { shape: 'tbDown', filled: false, stroke: 1.6, scale: 0.9 },
    'angle-high': { shape: 'tbUp', filled: false, stroke: 1.6, scale: 0.9 },
    unjudged: { shape: 'tbDiamond', filled: false, stroke: 1.5, scale: 1 },
    inside: { shape: 'tbCircle', filled: true, stroke: 0, scale: 0.52 },
    'outside-control': { shape: 'tbCircle', filled: false, stroke: 1.5, scale: 1 },
    'left-out': { shape: 'tbCross', filled: false, stroke: 1.6, scale: 1 },
    square: { shape: 'tbSquare', filled: false, stroke: 1.4, scale: 1 },
  };

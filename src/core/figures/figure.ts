/**
 * Figures as plain data: panes with scales, and drawings in the units of the data.
 *
 * A builder (`core/figures/<name>.ts`) turns a model into a Figure; `chartOption` turns a Figure into an ECharts
 * option; the renderer and the report draw the same option. Colours are roles, resolved by the look in use.
 */
import type { ColourRole } from './look.ts';

export interface Figure {
  /** Said to screen readers first. */
  readonly title: string;
  /** One sentence that tells what the figure shows. */
  readonly summary: string;
  readonly panes: readonly Pane[];
  /** Nothing is painted behind: for figures inside rows that change their own colour. */
  readonly clear?: boolean;
  /** Marks the arrow keys and the pointer stop at, in reading order. */
  readonly stops?: readonly FigureStop[];
  /** The same content as a table: every figure has one (key T). */
  readonly table?: FigureTable;
}

/** One mark that can be stepped to or hovered. */
export interface FigureStop {
  /** Stable while the figure is redrawn: a reading's id, a tool's serial, ... */
  readonly id: string;
  /** Position in `Figure.panes`. */
  readonly pane: number;
  readonly x: number;
  readonly y: number;
  /** Said to screen readers and shown on hover. */
  readonly text: string;
  /** Hover only: not a stop of the arrow keys (passing dots). */
  readonly hoverOnly?: boolean;
}

export interface FigureTable {
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** Columns of numbers, printed flush right. */
  readonly numeric?: readonly number[];
}

/** A rectangle with one horizontal and one vertical scale. Insets in CSS pixels from the figure's edges. */
export interface Pane {
  readonly left: number;
  readonly right?: number;
  readonly width?: number;
  readonly top: number;
  readonly bottom?: number;
  readonly height?: number;
  readonly x: Scale;
  readonly y: Scale;
  /** Painted in this order. */
  readonly drawings: readonly Drawing[];
}

/** `kind: 'log'` is base 10. `min` > `max` turns the scale round. */
export interface Scale {
  readonly min: number;
  readonly max: number;
}

/** Numbers may be a typed array; NaN breaks a line and leaves a mark out. */
export type Numbers = ArrayLike<number>;

export type MarkKind =
  | 'torque-low'
  | 'torque-high'
  | 'angle-low'
  | 'angle-high'
  | 'unjudged'
  | 'inside'
  | 'outside-control'
  | 'left-out'
  | 'square';

export interface StrokeStyle {
  readonly colour: ColourRole;
  readonly width?: number;
  readonly dash?: readonly number[];
  readonly opacity?: number;
}

export type Drawing =
  /** Many small dots as one shape. */
  | {
      readonly kind: 'dots';
      readonly x: Numbers;
      readonly y: Numbers;
      readonly colour: ColourRole;
      readonly radius?: number;
      readonly opacity?: number;
    }
  /** Marks of one kind as one shape. `size` 10 is the design's mark box. */
  | {
      readonly kind: 'marks';
      readonly mark: MarkKind;
      readonly x: Numbers;
      readonly y: Numbers;
      readonly colour: ColourRole;
      readonly size?: number;
      readonly dyPx?: number;
      readonly opacity?: number;
    }
  | ({ readonly kind: 'line'; readonly x: Numbers; readonly y: Numbers; readonly step?: 'after' } & StrokeStyle)
  /** Separate straight pieces from (x0, y0) to (x1, y1). */
  | ({
      readonly kind: 'segments';
      readonly x0: Numbers;
      readonly y0: Numbers;
      readonly x1: Numbers;
      readonly y1: Numbers;
    } & StrokeStyle)
  /** Filled between low and high. */
  | {
      readonly kind: 'band';
      readonly x: Numbers;
      readonly low: Numbers;
      readonly high: Numbers;
      readonly colour: ColourRole;
      readonly opacity?: number;
      readonly step?: 'after';
    }
  /** Filled rectangles; an end that is null lies on the pane's edge. */
  | {
      readonly kind: 'rects';
      readonly rects: readonly RectSpan[];
      readonly colour: ColourRole;
      readonly opacity?: number;
      readonly stroke?: ColourRole;
    }
  /** A straight line across the pane at one value, between optional ends on the other scale. */
  | ({
      readonly kind: 'rule';
      readonly across: 'x' | 'y';
      readonly at: number;
      readonly from?: number;
      readonly to?: number;
    } & StrokeStyle)
  | ({ readonly kind: 'text'; readonly text: string; readonly x: number; readonly y: number } & TextStyle)
  /** Scale marks outside the pane: short ticks with their labels on one side. */
  | {
      readonly kind: 'axis';
      readonly side: 'bottom' | 'top' | 'left' | 'right';
      readonly ticks: readonly AxisTick[];
      readonly line?: boolean;
      readonly tickLength?: number;
      readonly title?: string;
      readonly grid?: boolean;
    };

export interface RectSpan {
  readonly x0: number | null;
  readonly x1: number | null;
  readonly y0: number | null;
  readonly y1: number | null;
}

export interface AxisTick {
  readonly at: number;
  readonly label: string;
  readonly strong?: boolean;
  /** Default: ink where strong, else its third shade. */
  readonly colour?: ColourRole;
}

export interface TextStyle {
  readonly colour?: ColourRole;
  readonly size?: number;
  readonly strong?: boolean;
  readonly family?: 'sans' | 'serif' | 'mono';
  readonly align?: 'left' | 'center' | 'right';
  readonly baseline?: 'top' | 'middle' | 'bottom';
  readonly dxPx?: number;
  readonly dyPx?: number;
  /** A rim in the sheet's colour, so that text over marks can be read. */
  readonly halo?: boolean;
  /** Quarter turns counter-clockwise in degrees. */
  readonly turnDeg?: number;
}

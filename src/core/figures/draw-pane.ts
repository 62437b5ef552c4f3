/** Turns one pane into the element tree that ECharts draws. Pure: pixels in, plain elements out. */
import type { Drawing, Numbers, Pane, TextStyle } from './figure.ts';
import type { ColourRole, Look } from './look.ts';
import { markShapes } from './shapes.ts';

/** A drawn element, as a custom series of ECharts returns it. Plain data. */
export interface PaneElement {
  readonly type: string;
  readonly children?: readonly PaneElement[];
  readonly shape?: Readonly<Record<string, unknown>>;
  readonly style?: Readonly<Record<string, unknown>>;
  readonly x?: number;
  readonly y?: number;
  readonly rotation?: number;
  readonly silent?: boolean;
}

export interface PixelRect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Pixel of a value on the horizontal and the vertical scale of a pane. */
export function paneScales(pane: Pane, rect: PixelRect): { px: (x: number) => number; py: (y: number) => number } {
  const kx = rect.width / (pane.x.max - pane.x.min);
  const ky = rect.height / (pane.y.max - pane.y.min);
  return {
    px: (x) => rect.x + (x - pane.x.min) * kx,
    py: (y) => rect.y + rect.height - (y - pane.y.min) * ky,
  };
}

/** Draws the pane into its rectangle. */
export function drawPane(pane: Pane, rect: PixelRect, look: Look): PaneElement {
  const scales = paneScales(pane, rect);
  const children = pane.drawings.flatMap((drawing) => draw(drawing, rect, scales, look));
  return { type: 'group', children };
}

type Scales = ReturnType<typeof paneScales>;

function draw(d: Drawing, rect: PixelRect, s: Scales, look: Look): PaneElement[] {
  const colour = (role: ColourRole): string => look.colours[role];
  switch (d.kind) {
    case 'dots':
      return [
        {
          type: 'tbDots',
          silent: true,
          shape: { points: pixels(d.x, d.y, s), size: (d.radius ?? 1.3) * 2 },
          style: { fill: colour(d.colour), opacity: d.opacity ?? 1 },
        },
      ];
    case 'marks': {
      const how = markShapes[d.mark];
      const points = pixels(d.x, d.y, s);
      if (d.dyPx) for (let i = 1; i < points.length; i += 2) points[i]! += d.dyPx;
      return [
        {
          type: how.shape,
          silent: true,
          shape: { points, size: (d.size ?? 10) * how.scale },
          style: how.filled
            ? {
                fill: colour(d.colour),
                stroke: colour('sheet'),
                lineWidth: d.mark === 'inside' ? 0 : 0.6,
                opacity: d.opacity ?? 1,
              }
            : {
                fill: d.mark === 'left-out' ? 'none' : colour('sheet'),
                stroke: colour(d.colour),
                lineWidth: how.stroke,
                opacity: d.opacity ?? 1,
              },
        },
      ];
    }
    case 'line': {
      const lines = runs(d.x, d.y, s, d.step === 'after');
      if (lines.length > mostApart) return [many('tbLines', lines, stroke(d, look))];
      return lines.map((points) => ({ type: 'polyline', silent: true, shape: { points }, style: stroke(d, look) }));
    }
    case 'segments': {
      if (d.x0.length > mostApart) {
        const lines = Array.from(d.x0, (x0, i) => [
          [s.px(x0), s.py(d.y0[i]!)],
          [s.px(d.x1[i]!), s.py(d.y1[i]!)],
        ]);
        return [
          many(
            'tbLines',
            lines.filter((line) => line.flat().every(Number.isFinite)),
            stroke(d, look),
          ),
        ];
      }
      const out: PaneElement[] = [];
      for (let i = 0; i < d.x0.length; i += 1) {
        const shape = { x1: s.px(d.x0[i]!), y1: s.py(d.y0[i]!), x2: s.px(d.x1[i]!), y2: s.py(d.y1[i]!) };
        if (Object.values(shape).every(Number.isFinite))
          out.push({ type: 'line', silent: true, shape, style: stroke(d, look) });
      }
      return out;
    }
    case 'band': {
      const outlines: number[][][] = [];
      let up: number[][] = [];
      let back: number[][] = [];
      const end = (): void => {
        if (up.length > 0) outlines.push([...up, ...back.reverse()]);
        up = [];
        back = [];
      };
      for (let i = 0; i < d.x.length; i += 1) {
        const x = s.px(d.x[i]!);
        const low = s.py(d.low[i]!);
        const high = s.py(d.high[i]!);
        if (!Number.isFinite(x + low + high)) {
          end();
          continue;
        }
        up.push([x, high]);
        back.push([x, low]);
        if (d.step === 'after' && i + 1 < d.x.length) {
          const next = s.px(d.x[i + 1]!);
          up.push([next, high]);
          back.push([next, low]);
        }
      }
      end();
      const style = { fill: colour(d.colour), opacity: d.opacity ?? 1 };
      if (outlines.length > mostApart) return [many('tbOutlines', outlines, style)];
      return outlines.map((points) => ({ type: 'polygon', silent: true, shape: { points }, style }));
    }
    case 'rects':
      if (d.rects.length > mostApart && !d.stroke) {
        const boxes = d.rects.map((r) => {
          const x0 = r.x0 === null ? rect.x : s.px(r.x0);
          const x1 = r.x1 === null ? rect.x + rect.width : s.px(r.x1);
          const y0 = r.y0 === null ? rect.y + rect.height : s.py(r.y0);
          const y1 = r.y1 === null ? rect.y : s.py(r.y1);
          return [
            [x0, y0],
            [x1, y0],
            [x1, y1],
            [x0, y1],
          ];
        });
        return [many('tbOutlines', boxes, { fill: colour(d.colour), opacity: d.opacity ?? 1 })];
      }
      return d.rects.map((r) => {
        const xa = r.x0 === null ? rect.x : s.px(r.x0);
        const xb = r.x1 === null ? rect.x + rect.width : s.px(r.x1);
        const ya = r.y0 === null ? rect.y + rect.height : s.py(r.y0);
        const yb = r.y1 === null ? rect.y : s.py(r.y1);
        return {
          type: 'rect',
          silent: true,
          shape: { x: Math.min(xa, xb), y: Math.min(ya, yb), width: Math.abs(xb - xa), height: Math.abs(yb - ya) },
          style: {
            fill: colour(d.colour),
            opacity: d.opacity ?? 1,
            ...(d.stroke ? { stroke: colour(d.stroke), lineWidth: 1 } : {}),
          },
        };
      });
    case 'rule': {
      const shape =
        d.across === 'x'
          ? {
              x1: d.from === undefined ? rect.x : s.px(d.from),
              x2: d.to === undefined ? rect.x + rect.width : s.px(d.to),
              y1: s.py(d.at),
              y2: s.py(d.at),
            }
          : {
              x1: s.px(d.at),
              x2: s.px(d.at),
              y1: d.from === undefined ? rect.y + rect.height : s.py(d.from),
              y2: d.to === undefined ? rect.y : s.py(d.to),
            };
      return [{ type: 'line', silent: true, shape, style: stroke(d, look) }];
    }
    case 'text':
      return [text(d.text, s.px(d.x) + (d.dxPx ?? 0), s.py(d.y) + (d.dyPx ?? 0), d, look)];
    case 'axis':
      return axis(d, rect, s, look);
  }
}

/** Above this many the lines, bands or boxes of one drawing are one path: an element each costs more than its ink. */
const mostApart = 60;

function many(
  type: string,
  runsOf: readonly (readonly (readonly number[])[])[],
  style: Readonly<Record<string, unknown>>,
): PaneElement {
  const points: number[] = [];
  for (const run of runsOf) {
    for (const [x = Number.NaN, y = Number.NaN] of run) points.push(x, y);
    points.push(Number.NaN, Number.NaN);
  }
  return { type, silent: true, shape: { points: Float32Array.from(points), size: 1 }, style };
}

function axis(d: Extract<Drawing, { kind: 'axis' }>, rect: PixelRect, s: Scales, look: Look): PaneElement[] {
  const out: PaneElement[] = [];
  const horizontal = d.side === 'bottom' || d.side === 'top';
  const edge = { bottom: rect.y + rect.height, top: rect.y, left: rect.x, right: rect.x + rect.width }[d.side];
  const outward = d.side === 'bottom' || d.side === 'right' ? 1 : -1;
  const length = d.tickLength ?? 4;
  const line = (x1: number, y1: number, x2: number, y2: number, role: ColourRole): PaneElement => ({
    type: 'line',
    silent: true,
    shape: { x1, y1, x2, y2 },
    style: { stroke: look.colours[role], lineWidth: 1, fill: 'none' },
  });
  if (d.line) {
    out.push(
      horizontal
        ? line(rect.x, edge, rect.x + rect.width, edge, 'rule-2')
        : line(edge, rect.y, edge, rect.y + rect.height, 'rule-2'),
    );
  }
  for (const tick of d.ticks) {
    const p = horizontal ? s.px(tick.at) : s.py(tick.at);
    if (d.grid) {
      out.push(
        horizontal ? line(p, rect.y, p, rect.y + rect.height, 'grid') : line(rect.x, p, rect.x + rect.width, p, 'grid'),
      );
    }
    if (d.line && length > 0) {
      out.push(
        horizontal
          ? line(p, edge, p, edge + outward * length, 'rule-2')
          : line(edge, p, edge + outward * length, p, 'rule-2'),
      );
    }
    const style: TextStyle = {
      colour: tick.colour ?? (tick.strong ? 'ink' : 'ink-3'),
      strong: tick.strong ?? false,
      align: horizontal ? 'center' : d.side === 'left' ? 'right' : 'left',
      baseline: horizontal ? (d.side === 'bottom' ? 'top' : 'bottom') : 'middle',
    };
    const gap = d.line ? length + 3 : 6;
    out.push(
      horizontal
        ? text(tick.label, p, edge + outward * gap, style, look)
        : text(tick.label, edge + outward * gap, p, style, look),
    );
  }
  if (d.title) {
    out.push(
      horizontal
        ? text(
            d.title,
            rect.x + rect.width,
            edge + outward * (length + 20),
            { align: 'right', baseline: 'top', colour: 'ink-3' },
            look,
          )
        : text(
            d.title,
            edge + outward * 6,
            rect.y - 10,
            { align: d.side === 'left' ? 'right' : 'left', baseline: 'bottom', colour: 'ink-3' },
            look,
          ),
    );
  }
  return out;
}

function text(content: string, x: number, y: number, d: TextStyle, look: Look): PaneElement {
  const family = d.family === 'serif' ? look.serif : d.family === 'mono' ? look.mono : look.sans;
  return {
    type: 'text',
    silent: true,
    x,
    y,
    ...(d.turnDeg ? { rotation: (d.turnDeg * Math.PI) / 180 } : {}),
    style: {
      text: content,
      fill: look.colours[d.colour ?? 'ink-3'],
      font: `${d.strong ? 600 : 400} ${d.size ?? 11}px ${family}`,
      align: d.align ?? 'left',
      verticalAlign: d.baseline ?? 'middle',
      ...(d.halo ? { stroke: look.colours.sheet, lineWidth: 4 } : {}),
    },
  };
}

const stroke = (
  d: { colour: ColourRole; width?: number; dash?: readonly number[]; opacity?: number },
  look: Look,
): Record<string, unknown> => ({
  stroke: look.colours[d.colour],
  lineWidth: d.width ?? 1,
  fill: 'none',
  opacity: d.opacity ?? 1,
  lineJoin: 'round',
  ...(d.dash ? { lineDash: [...d.dash] } : {}),
});

function pixels(x: Numbers, y: Numbers, s: Scales): Float32Array {
  const n = Math.min(x.length, y.length);
  const out = new Float32Array(n * 2);
  for (let i = 0; i < n; i += 1) {
    out[i * 2] = s.px(x[i]!);
    out[i * 2 + 1] = s.py(y[i]!);
  }
  return out;
}

/** Unbroken stretches of a line: a NaN ends one. */
function runs(x: Numbers, y: Numbers, s: Scales, step: boolean): number[][][] {
  const out: number[][][] = [];
  let run: number[][] = [];
  for (let i = 0; i < Math.min(x.length, y.length); i += 1) {
    const px = s.px(x[i]!);
    const py = s.py(y[i]!);
    if (Number.isFinite(px + py)) {
      const last = run[run.length - 1];
      if (step && last) run.push([px, last[1]!]);
      run.push([px, py]);
    } else if (run.length > 0) {
      out.push(run);
      run = [];
    }
  }
  if (run.length > 0) out.push(run);
  return out.filter((points) => points.length > 1);
}

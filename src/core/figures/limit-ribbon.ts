/** The limit ribbon: every reading of a period at its place inside its own limits, in time order. */
import type {
  RibbonContext,
  RibbonLine,
  RibbonMark,
  RibbonMarkKind,
  RibbonModel,
  RibbonStripModel,
} from '../contract/models/review-model.ts';
import { say } from '../text/said.ts';
import { clockPosition } from './clock-position.ts';
import type { Drawing, Figure, FigureStop, Pane } from './figure.ts';
import { figureFormat, figureSay, figureText } from './figure-format.ts';
import type { ColourRole } from './look.ts';

export interface RibbonOptions {
  readonly width: number;
  /** 316 as drawn; 240 in low windows. */
  readonly height: number;
  /** Ids of marks drawn in full; the others step back. Null: all of them. */
  readonly only?: ReadonlySet<string> | null;
}

/** Place at which a mark sits on the edge. */
export const ribbonEdge = 1.5;
const scaleEnd = 1.55;
const railPlace = -1.86;
const railEnd = -2.12;
const left = 104;
const right = 156;
const spreadWidth = 60;
const top = 22;
const axisRoom = 20;
const mostNamedBreaks = 6;

const colours: Readonly<Record<RibbonMarkKind, ColourRole>> = {
  'torque-low': 'low',
  'torque-high': 'high',
  'angle-low': 'low',
  'angle-high': 'high',
  unjudged: 'unjudged',
};

/** Heights of the strips, and where the line of text between them has room (its baseline, in pixels from the top). */
export function ribbonLayout(
  strips: number,
  height: number,
): {
  readonly strips: readonly { readonly top: number; readonly height: number }[];
  readonly textY: number;
  readonly axisY: number;
} {
  const axisY = height - axisRoom;
  if (strips < 2) {
    const first = { top, height: axisY - top - 30 };
    return { strips: [first], textY: first.top + first.height + 15, axisY };
  }
  const room = axisY - top - 16 - 8;
  const first = { top, height: Math.round(room * 0.672) };
  const second = { top: first.top + first.height + 16, height: room - first.height };
  return { strips: [first, second], textY: first.top + first.height + 9, axisY };
}

/** Place of a mark on the scale of its strip. */
export const ribbonY = (place: number | null): number =>
  place === null ? railPlace : Math.max(-ribbonEdge, Math.min(ribbonEdge, place));

/**
 * Builds the figure.
 *
 * Panes: 0 the whole height (time axis, breaks, context), then one a strip, then one spread a strip. Stops are the
 * failing and unjudged marks in time order, then the passing dots for the pointer only.
 */
export function limitRibbon(model: RibbonModel, options: RibbonOptions): Figure {
  const { width, height } = options;
  const strips: readonly (RibbonStripModel | null)[] = model.strips.length > 0 ? model.strips : [null];
  const layout = ribbonLayout(strips.length, height);
  const x = { min: 0, max: Math.max(1, model.axis.length) };
  const pixel = (offset: number): number => left + (offset / x.max) * (width - left - right);
  const at = (time: number): number => clockPosition(model.axis, time);
  const only = options.only ?? null;

  const whole: Pane = {
    left,
    right,
    top: 14,
    height: layout.axisY - 14,
    x,
    y: { min: 0, max: 1 },
    drawings: frame(model, at, pixel),
  };

  const panes: Pane[] = [whole];
  const stops: FigureStop[] = [];
  strips.forEach((strip, index) => {
    const name = strip?.strip ?? 'torque';
    const box = layout.strips[index]!;
    const marks = model.marks.filter((mark) => mark.strip === name || strip === null || !holds(model, mark.strip));
    const rail = marks.some((mark) => mark.place === null);
    panes.push({
      left,
      right,
      top: box.top,
      height: box.height,
      x,
      // Without limits the rail is all there is.
      y: strip ? { min: rail ? railEnd : -scaleEnd, max: scaleEnd } : { min: railPlace - 1, max: railPlace + 1 },
      drawings: stripDrawings(model, strip, name, marks, { at, pixel }, rail, only),
    });
    for (const mark of marks) {
      stops.push({
        id: mark.id,
        pane: index + 1,
        x: at(mark.at),
        y: ribbonY(mark.place),
        // Said when it is looked at: a thousand sentences would cost more than the picture.
        get text() {
          const words = say(mark.said, true);
          return mark.count > 1 ? figureText('ui.ribbon.and-more', { count: mark.count }) + words : words;
        },
      });
    }
  });
  stops.sort((a, b) => a.x - b.x);
  strips.forEach((strip, index) => {
    if (!strip) return;
    panes.push(spreadPane(strip, layout.strips[index]!, panes[index + 1]!.y, width, index === 0));
    const { dots } = strip;
    if (!dots) return;
    for (let i = 0; i < dots.at.length; i += 1) {
      const time = dots.at[i]!;
      const place = dots.place[i]!;
      if (!Number.isFinite(place)) continue;
      stops.push({
        id: `${dots.source[i]}:${dots.line[i]}`,
        pane: index + 1,
        x: at(time),
        y: ribbonY(place),
        get text() {
          return figureText('ui.ribbon.dot', { at: time, place, tool: dots.ink[i] === 1 ? model.ink : null });
        },
        hoverOnly: true,
      });
    }
  });

  return {
    title: figureText('ui.ribbon.title', {}),
    summary: figureText('ui.ribbon.summary', {
      passing: model.passing,
      marks: model.marks.reduce((sum, mark) => sum + mark.count, 0),
    }),
    panes,
    stops,
    table: {
      head: [
        figureText('ui.ribbon.head.time', {}),
        figureText('ui.ribbon.head.what', {}),
        figureText('ui.ribbon.head.place', {}),
        figureText('ui.ribbon.head.count', {}),
        figureText('ui.ribbon.head.text', {}),
      ],
      numeric: [2, 3],
      // As the texts of the marks.
      get rows() {
        return model.marks.map((mark) => [
          figureFormat.dateTime(mark.at),
          figureText(`ui.mark.${mark.kind}`, {}),
          mark.place === null ? '' : figureFormat.signed(mark.place, 2),
          figureFormat.number(mark.count),
          say(mark.said, true),
        ]);
      },
    },
  };
}

const holds = (model: RibbonModel, name: RibbonMark['strip']): boolean => model.strips.some((s) => s.strip === name);

/** Time axis, names of breaks, and what happened when. */
function frame(model: RibbonModel, at: (time: number) => number, pixel: (offset: number) => number): Drawing[] {
  const drawings: Drawing[] = [];
  const ticks = spacedTicks(model, pixel);
  drawings.push({ kind: 'axis', side: 'bottom', line: true, ticks });
  for (const pause of model.axis.breaks) {
    const middle = pause.offset + pause.width / 2;
    // A name needs about a line's height; narrower pauses, and many, are seen by their gaps alone.
    if (model.axis.breaks.length > mostNamedBreaks) break;
    if (pixel(pause.offset + pause.width) - pixel(pause.offset) < 13) continue;
    drawings.push({ kind: 'text', text: figureSay(pause.said), x: middle, y: 0.62, align: 'center', turnDeg: 90 });
  }
  drawings.push(...context(model.context, at, pixel, pixel(model.axis.length)));
  return drawings;
}

function spacedTicks(model: RibbonModel, pixel: (offset: number) => number): { at: number; label: string }[] {
  const out: { at: number; label: string }[] = [];
  let free = Number.NEGATIVE_INFINITY;
  for (const tick of model.axis.ticks) {
    const label = figureSay(tick.said);
    const half = textWidth(label) / 2;
    const p = pixel(tick.offset);
    if (p - half < free) continue;
    free = p + half + 8;
    out.push({ at: tick.offset, label });
  }
  return out;
}

function context(
  events: readonly RibbonContext[],
  at: (time: number) => number,
  pixel: (offset: number) => number,
  end: number,
): Drawing[] {
  const drawings: Drawing[] = [];
  let free = Number.NEGATIVE_INFINITY;
  for (const event of [...events].sort((a, b) => a.at - b.at)) {
    const x = at(event.at);
    const quiet = event.kind === 'unjudged';
    drawings.push({
      kind: 'rule',
      across: 'y',
      at: x,
      colour: quiet ? 'ink-3' : 'rule-2',
      width: quiet ? 0.8 : 1,
      ...(quiet ? { from: 0.86 } : { dash: [2, 3] }),
    });
    const words = figureSay(event.said);
    const p = pixel(x);
    const wide = textWidth(words);
    // Toward the right end a text stands on the left of its line.
    const turned = p + wide > end;
    const begin = turned ? p - 5 - wide : p + 5;
    if (begin < free) continue;
    free = begin + wide + 10;
    drawings.push({
      kind: 'text',
      text: words,
      x,
      y: 1,
      dxPx: turned ? -5 : 5,
      dyPx: -5,
      align: turned ? 'right' : 'left',
      colour: 'ink-2',
    });
  }
  return drawings;
}

/** Good enough for keeping texts apart: the mean advance of the sans face at 11 px. */
const textWidth = (text: string): number => text.length * 5.7;

function stripDrawings(
  model: RibbonModel,
  strip: RibbonStripModel | null,
  name: 'torque' | 'angle',
  marks: readonly RibbonMark[],
  { at, pixel }: { readonly at: (time: number) => number; readonly pixel: (offset: number) => number },
  rail: boolean,
  only: ReadonlySet<string> | null,
): Drawing[] {
  const drawings: Drawing[] = [];
  const spans = shownSpans(model);
  const label = (text: string, y: number, colour: ColourRole): Drawing => ({
    kind: 'text',
    text,
    x: 0,
    y,
    dxPx: -10,
    align: 'right',
    colour,
  });
  drawings.push({
    kind: 'text',
    text: figureText(`ui.ribbon.${name}`, {}),
    x: 0,
    y: strip ? scaleEnd : railPlace + 1,
    dxPx: -left,
    dyPx: name === 'torque' ? 2 : -4,
    size: 12,
    strong: true,
    colour: 'ink',
  });
  if (strip) {
    drawings.push({
      kind: 'rects',
      colour: 'band',
      rects: spans.map((span) => ({ x0: span.from, x1: span.to, y0: -1, y1: 1 })),
    });
    const x0 = spans.map((span) => span.from);
    const x1 = spans.map((span) => span.to);
    const level = (y: number): number[] => spans.map(() => y);
    drawings.push({ kind: 'segments', x0, x1, y0: level(1), y1: level(1), colour: 'ink-2' });
    drawings.push({ kind: 'segments', x0, x1, y0: level(-1), y1: level(-1), colour: 'ink-2' });
    drawings.push({ kind: 'segments', x0, x1, y0: level(0), y1: level(0), colour: 'rule-2', dash: [1, 3] });
    drawings.push(label(`${figureText('ui.ribbon.high', {})}  +1`, 1, 'ink-2'));
    drawings.push(label(`${figureText('ui.ribbon.middle', {})}  0`, 0, 'ink-3'));
    drawings.push(label(`${figureText('ui.ribbon.low', {})}  −1`, -1, 'ink-2'));
  }
  if (rail) {
    drawings.push({
      kind: 'segments',
      x0: spans.map((span) => span.from),
      x1: spans.map((span) => span.to),
      y0: spans.map(() => railPlace),
      y1: spans.map(() => railPlace),
      colour: 'rule',
    });
    drawings.push(label(figureText('ui.ribbon.rail', {}), railPlace, 'ink-3'));
  }
  if (strip?.dots) {
    const { dots } = strip;
    const places = [...dots.place].map((place) => (Number.isFinite(place) ? ribbonY(place) : Number.NaN));
    const times = [...dots.at].map(at);
    const pick = (ink: number): { x: number[]; y: number[] } => ({
      x: times.filter((_, i) => dots.ink[i] === ink),
      y: places.filter((_, i) => dots.ink[i] === ink),
    });
    drawings.push({ kind: 'dots', ...pick(0), colour: 'inside', radius: 1.25, opacity: 0.55 });
    drawings.push({ kind: 'dots', ...pick(1), colour: 'ink', radius: 1.4, opacity: 0.8 });
  }
  if (strip?.band) {
    const { band } = strip;
    const times = [...band.at].map(at);
    const cut = breaksBetween(model, band.at);
    drawings.push({
      kind: 'band',
      x: withGaps(times, cut),
      low: withGaps([...band.low].map(ribbonY), cut),
      high: withGaps([...band.high].map(ribbonY), cut),
      colour: 'inside',
      opacity: 0.28,
    });
    drawings.push({
      kind: 'line',
      x: withGaps(times, cut),
      y: withGaps([...band.median].map(ribbonY), cut),
      colour: 'inside',
      width: 1,
      opacity: 0.8,
    });
  }
  drawings.push(threads(model, name, at));
  if (strip) drawings.push(...medians(model, strip, at));
  for (const [kind, colour] of Object.entries(colours) as [RibbonMarkKind, ColourRole][]) {
    const these = marks.filter((mark) => mark.kind === kind);
    const put = (some: readonly RibbonMark[], opacity: number): void => {
      if (some.length === 0) return;
      drawings.push({
        kind: 'marks',
        mark: kind,
        x: some.map((mark) => at(mark.at)),
        y: some.map((mark) => ribbonY(mark.place)),
        colour,
        opacity,
      });
    };
    put(only ? these.filter((mark) => !only.has(mark.id)) : [], 0.25);
    put(only ? these.filter((mark) => only.has(mark.id)) : these, 1);
  }
  // Counts that would lie on one another are left to hover and table; the caption tells that marks are shared.
  const free = { up: Number.NEGATIVE_INFINITY, down: Number.NEGATIVE_INFINITY };
  for (const mark of marks) {
    if (mark.count < 2) continue;
    const side = (mark.place ?? -1) > 0 ? 'up' : 'down';
    const begin = pixel(at(mark.at)) + 7;
    if (begin < free[side]) continue;
    free[side] = begin + textWidth(figureFormat.number(mark.count)) + 8;
    drawings.push({
      kind: 'text',
      text: figureFormat.number(mark.count),
      x: at(mark.at),
      y: ribbonY(mark.place),
      dxPx: 7,
      colour: colours[mark.kind],
      halo: true,
    });
  }
  return drawings;
}

/** Spans without the pauses that lie inside them at full width: there the sheet shows through. */
function shownSpans(model: RibbonModel): { from: number; to: number }[] {
  const out: { from: number; to: number }[] = [];
  for (const span of model.axis.spans) {
    let from = span.offset;
    const to = span.offset + (span.to - span.from);
    for (const pause of model.axis.breaks) {
      if (pause.cut || pause.offset < from || pause.offset + pause.width > to) continue;
      out.push({ from, to: pause.offset });
      from = pause.offset + pause.width;
    }
    if (to > from) out.push({ from, to });
  }
  return out;
}

/** Positions before which a line must be broken, because a pause lies between this point and the one before. */
function breaksBetween(model: RibbonModel, times: ArrayLike<number>): Set<number> {
  const cut = new Set<number>();
  const { breaks } = model.axis;
  let first = 0;
  for (let i = 1; i < times.length; i += 1) {
    const from = times[i - 1]!;
    const to = times[i]!;
    // Points and pauses are both in order of time: those that ended before this point are done with.
    while (first < breaks.length && breaks[first]!.to <= from) first += 1;
    for (let b = first; b < breaks.length && breaks[b]!.from < to; b += 1) {
      const pause = breaks[b]!;
      if (overlap(from, to, pause) > 0.4 * (pause.to - pause.from)) cut.add(i);
    }
  }
  return cut;
}

/** How much of a pause lies between two points. A point of a band may itself stand inside a pause. */
const overlap = (from: number, to: number, pause: { readonly from: number; readonly to: number }): number =>
  Math.min(to, pause.to) - Math.max(from, pause.from);

function withGaps(values: readonly number[], cut: ReadonlySet<number>): number[] {
  const out: number[] = [];
  values.forEach((value, index) => {
    if (cut.has(index)) out.push(Number.NaN);
    out.push(value);
  });
  return out;
}

function medians(model: RibbonModel, strip: RibbonStripModel, at: (time: number) => number): Drawing[] {
  const drawings: Drawing[] = [];
  const draw = (line: RibbonLine, colour: ColourRole, width: number): number | null => {
    const cut = breaksBetween(model, line.at);
    const places = [...line.place].map(ribbonY);
    drawings.push({
      kind: 'line',
      x: withGaps([...line.at].map(at), cut),
      y: withGaps(places, cut),
      colour,
      width,
    });
    return places.length > 0 ? places[places.length - 1]! : null;
  };
  const others = draw(strip.othersMedian, 'inside', 1.4);
  const ink = strip.inkMedian ? draw(strip.inkMedian, 'ink', 1.6) : null;
  if (strip.strip === 'angle') return drawings;
  // Names stand at the right ends of their lines, at least two lines of text apart.
  const apart = 0.55;
  let othersY = others;
  if (others !== null && ink !== null && Math.abs(others - ink) < apart)
    othersY = ink + (others >= ink ? apart : -apart);
  const end = model.axis.length;
  if (othersY !== null) {
    drawings.push({
      kind: 'text',
      text: figureText(ink === null ? 'ui.ribbon.all-tools' : 'ui.ribbon.others', {}),
      x: end,
      y: othersY,
      dxPx: 8,
      colour: 'ink-2',
    });
  }
  if (ink !== null && strip.inkMedian && model.ink !== null) {
    drawings.push({ kind: 'text', text: model.ink, x: end, y: ink, dxPx: 8, colour: 'ink', strong: true });
    drawings.push({
      kind: 'text',
      text: figureText('ui.ribbon.median-of', { window: strip.inkMedian.window }),
      x: end,
      y: ink,
      dxPx: 8,
      dyPx: 13,
    });
  }
  return drawings;
}

function threads(model: RibbonModel, name: 'torque' | 'angle', at: (time: number) => number): Drawing {
  const these = model.threads.filter((thread) => thread.strip === name);
  return {
    kind: 'segments',
    x0: these.map((thread) => at(thread.fromAt)),
    y0: these.map((thread) => ribbonY(thread.fromPlace)),
    x1: these.map((thread) => at(thread.toAt)),
    y1: these.map((thread) => ribbonY(thread.toPlace)),
    colour: 'ink-2',
  };
}

function spreadPane(
  strip: RibbonStripModel,
  box: { readonly top: number; readonly height: number },
  y: Pane['y'],
  width: number,
  named: boolean,
): Pane {
  const { spread } = strip;
  const step = (spread.to - spread.from) / Math.max(1, spread.counts.length);
  const most = Math.max(1, ...spread.counts);
  const rects = [...spread.counts].flatMap((count, index) => {
    if (count === 0) return [];
    const from = spread.from + index * step;
    return [{ x0: 0, x1: Math.max(count, most / spreadWidth), y0: from + step * 0.1, y1: from + step * 0.9 }];
  });
  return {
    left: width - spreadWidth - 4,
    width: spreadWidth,
    top: box.top,
    height: box.height,
    x: { min: 0, max: most },
    y,
    drawings: [
      { kind: 'rule', across: 'y', at: 0, from: -ribbonEdge, to: ribbonEdge, colour: 'rule-2' },
      { kind: 'rule', across: 'x', at: 1, colour: 'rule' },
      { kind: 'rule', across: 'x', at: -1, colour: 'rule' },
      { kind: 'rects', rects, colour: 'inside', opacity: 0.75 },
      ...(named
        ? [
            {
              kind: 'text' as const,
              text: figureText('ui.ribbon.spread', {}),
              x: 0,
              y: scaleEnd,
              dyPx: -13,
            },
          ]
        : []),
    ],
  };
}

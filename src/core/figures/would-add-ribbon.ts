/** What a file would add: its readings inside their limits, one panel a day. */
import type { WouldAdd, WouldAddDay } from '../contract/models/intake-model.ts';
import { msPerDay, msPerHour } from '../time/civil-time.ts';
import { torqueUnitSymbols } from '../units/torque-unit.ts';
import type { AxisTick, Drawing, Figure, MarkKind, Pane } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import type { ColourRole } from './look.ts';
import { valueTicks } from './value-ticks.ts';

/** Places beyond this are drawn on the edge, as on the limit ribbon of Review. */
const edge = 1.45;

const marks: readonly { readonly kind: number; readonly mark: MarkKind; readonly colour: ColourRole }[] = [
  { kind: 5, mark: 'unjudged', colour: 'unjudged' },
  { kind: 6, mark: 'unjudged', colour: 'unjudged' },
  { kind: 1, mark: 'torque-low', colour: 'low' },
  { kind: 2, mark: 'torque-high', colour: 'high' },
  { kind: 3, mark: 'angle-low', colour: 'low' },
  { kind: 4, mark: 'angle-high', colour: 'high' },
];

/** Builds the ribbon; at most the days that the model holds. */
export function wouldAddRibbon(model: WouldAdd, size: { readonly width: number; readonly height: number }): Figure {
  const left = model.inLimits ? 66 : 48;
  const gap = 14;
  const days = model.days;
  const width = Math.max(20, (size.width - left - 4 - gap * Math.max(0, days.length - 1)) / Math.max(1, days.length));
  const scale = model.inLimits ? { min: -1.55, max: 1.55 } : torqueScale(days);
  const panes: Pane[] = days.map((day, index) => ({
    left: left + index * (width + gap),
    width,
    top: 20,
    bottom: 20,
    x: hoursOf(day),
    y: scale,
    drawings: [
      ...ground(model, index === 0, scale),
      ...readingsOf(day, model.inLimits),
      {
        kind: 'axis',
        side: 'top',
        ticks: [
          { at: (hoursOf(day).min + hoursOf(day).max) / 2, label: dayLabel(day, width), strong: days.length > 1 },
        ],
      },
      { kind: 'axis', side: 'bottom', ticks: hourTicks(day, width) },
    ],
  }));
  return {
    title: figureText('intake-ui.ribbon.title', {}),
    summary: figureText('intake-ui.ribbon.summary', {
      readings: days.reduce((sum, day) => sum + day.count, 0),
      days: days.length,
      pass: model.pass,
      fail: model.fail,
      unjudged: model.unjudged,
    }),
    panes,
    table: {
      head: [
        figureText('intake-ui.strip.day', {}),
        figureText('intake-ui.ribbon.readings', {}),
        figureText('intake-ui.ribbon.outside-drawn', {}),
      ],
      rows: days.map((day) => [
        figureFormat.date(day.day),
        figureFormat.number(day.count),
        figureFormat.number(day.kind.filter((kind) => kind >= 1 && kind <= 4).length),
      ]),
      numeric: [1, 2],
    },
  };
}

function ground(model: WouldAdd, first: boolean, scale: { min: number; max: number }): Drawing[] {
  if (model.inLimits) {
    const label = (y: number, key: 'intake-ui.ribbon.high' | 'intake-ui.ribbon.low'): AxisTick => ({
      at: y,
      label: figureText(key, {}),
    });
    return [
      { kind: 'rects', colour: 'band', rects: [{ x0: null, x1: null, y0: -1, y1: 1 }] },
      { kind: 'rule', across: 'x', at: 1, colour: 'ink-2' },
      { kind: 'rule', across: 'x', at: -1, colour: 'ink-2' },
      ...(first
        ? [
            {
              kind: 'axis' as const,
              side: 'left' as const,
              ticks: [label(1, 'intake-ui.ribbon.high'), label(-1, 'intake-ui.ribbon.low')],
            },
          ]
        : []),
    ];
  }
  const ticks = valueTicks(scale.min, scale.max, 4);
  return [
    {
      kind: 'axis',
      side: 'left',
      grid: true,
      ticks: ticks.values.map((at) => ({ at, label: first ? figureFormat.number(at, ticks.decimals) : '' })),
      ...(first && model.unit ? { title: torqueUnitSymbols[model.unit] } : {}),
    },
  ];
}

function readingsOf(day: WouldAddDay, inLimits: boolean): Drawing[] {
  const of = (kind: number): { x: Float64Array; y: Float64Array } => {
    const at: number[] = [];
    for (let i = 0; i < day.kind.length; i += 1) if (day.kind[i] === kind) at.push(i);
    const place = (i: number): number => {
      const value = day.place[i]!;
      // A reading without a place (no limits for its joint, other direction) lies on a rail under the limits.
      if (!Number.isFinite(value)) return inLimits ? -edge : Number.NaN;
      return inLimits ? Math.max(-edge, Math.min(edge, value)) : value;
    };
    return { x: Float64Array.from(at, (i) => day.at[i]!), y: Float64Array.from(at, place) };
  };
  return [
    { kind: 'dots', ...of(0), colour: 'inside', opacity: 0.6, radius: 1.2 },
    ...marks
      .map((how) => ({ how, points: of(how.kind) }))
      .filter(({ points }) => points.x.length > 0)
      .map(({ how, points }): Drawing => ({ kind: 'marks', mark: how.mark, colour: how.colour, size: 8, ...points })),
  ];
}

function torqueScale(days: readonly WouldAddDay[]): { min: number; max: number } {
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  for (const day of days) {
    for (const value of day.place) {
      if (!Number.isFinite(value)) continue;
      min = Math.min(min, value);
      max = Math.max(max, value);
    }
  }
  if (!Number.isFinite(min + max)) return { min: 0, max: 1 };
  const room = max > min ? 0.08 * (max - min) : Math.max(1, Math.abs(max) * 0.05);
  return { min: min - room, max: max + room };
}

/** The day's own span to whole hours; the whole day when no time of day is known. */
function hoursOf(day: WouldAddDay): { min: number; max: number } {
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  for (const at of day.at) {
    min = Math.min(min, at);
    max = Math.max(max, at);
  }
  if (!Number.isFinite(min + max) || max - min < 1000) return { min: day.day, max: day.day + msPerDay };
  const from = Math.floor(min / msPerHour) * msPerHour;
  return { min: from, max: Math.max(from + msPerHour, Math.ceil(max / msPerHour) * msPerHour) };
}

function hourTicks(day: WouldAddDay, width: number): AxisTick[] {
  const { min, max } = hoursOf(day);
  const hours = (max - min) / msPerHour;
  const most = Math.max(1, Math.floor(width / 52));
  const step = [1, 2, 3, 4, 6, 8, 12, 24].find((h) => hours / h <= most) ?? 24;
  const ticks: AxisTick[] = [];
  for (let at = Math.ceil(min / (step * msPerHour)) * step * msPerHour; at <= max; at += step * msPerHour) {
    // A label at the very edge of a panel would meet that of the next one.
    const px = ((at - min) / (max - min)) * width;
    if (px >= 15 && width - px >= 15) ticks.push({ at, label: figureFormat.time(at) });
  }
  return ticks;
}

const dayLabel = (day: WouldAddDay, width: number): string =>
  width > 110 ? figureFormat.date(day.day).replace(/ \d{4}$/, '') : figureFormat.dayMonth(day.day);

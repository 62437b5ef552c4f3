/** What a file would add: its readings inside their limits, one panel a day. */
import type { WouldAdd, WouldAddDay } from '../contract/models/intake-model.ts';
import { civilFields, msPerDay, msPerHour } from '../time/civil-time.ts';
import { torqueUnitSymbols } from '../units/torque-unit.ts';
import type { AxisTick, Drawing, Figure, MarkKind, Pane } from './figure.ts';
import { figureFormat, figureSay, figureText } from './figure-format.ts';
import type { ColourRole } from './look.ts';
import { valueTicks } from './value-ticks.ts';

/** Places beyond this are drawn on the edge, as on the limit ribbon of Review. */
const edge = 1.45;

/** So many marks of one kind in a panel are drawn smaller. */
const crowded = 60;

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
  const left = model.inLimits || model.provisional?.unitOpen ? 66 : 48;
  const gap = 14;
  const days = model.days;
  const panels: readonly Panel[] = [
    ...days.map((day): Panel => ({ ...day, isTimed: true })),
    ...(model.untimed ? [{ ...model.untimed, isTimed: false }] : []),
  ];
  const width = Math.max(
    20,
    (size.width - left - 4 - gap * Math.max(0, panels.length - 1)) / Math.max(1, panels.length),
  );
  const scale = model.inLimits ? { min: -1.55, max: 1.55 } : valueScale(panels);
  const names = panels.map((panel) => nameOf(panel, width, panels.length));
  const top = names.some((name) => name.label.includes('\n')) ? 34 : 20;
  const panes: Pane[] = panels.map((panel, index) => {
    const x = panel.isTimed ? hoursOf(panel) : countOf(panel);
    return {
      left: left + index * (width + gap),
      width,
      top,
      bottom: 20,
      x,
      y: scale,
      drawings: [
        ...ground(model, index === 0, scale),
        ...readingsOf(panel, model.inLimits),
        {
          kind: 'axis',
          side: 'top',
          ticks: names.slice(index, index + 1).map((name) => ({ at: (x.min + x.max) / 2, ...name })),
        },
        { kind: 'axis', side: 'bottom', ticks: panel.isTimed ? hourTicks(panel, width) : countTicks(panel, width) },
      ],
    };
  });
  const { provisional } = model;
  return {
    title: figureText(provisional ? 'intake-ui.ribbon.title-open' : 'intake-ui.ribbon.title', {}),
    summary: [
      figureText('intake-ui.ribbon.summary', {
        readings: panels.reduce((sum, panel) => sum + panel.count, 0),
        days: days.length,
        pass: model.pass,
        fail: model.fail,
        unjudged: model.unjudged + model.otherDirection,
      }),
      ...(provisional ? provisional.said.map(figureSay) : []),
    ].join(' '),
    panes,
    table: {
      head: [
        figureText('intake-ui.strip.day', {}),
        figureText('intake-ui.ribbon.readings', {}),
        figureText('intake-ui.ribbon.outside-drawn', {}),
      ],
      rows: panels.map((panel) => [
        panel.isTimed ? eitherDay(panel, figureFormat.date) : figureText('intake-ui.ribbon.untimed', {}),
        figureFormat.number(panel.count),
        figureFormat.number(panel.kind.filter((kind) => kind >= 1 && kind <= 4).length),
      ]),
      numeric: [1, 2],
    },
  };
}

/** Readings of a day, or those without a time in the order of the file. */
interface Panel extends WouldAddDay {
  readonly isTimed: boolean;
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
      ...(first ? axisTitle(model) : {}),
    },
  ];
}

function axisTitle(model: WouldAdd): { title: string } | Record<string, never> {
  if (model.measure === 'angle') return { title: '°' };
  if (model.unit) return { title: torqueUnitSymbols[model.unit] };
  return model.provisional?.unitOpen ? { title: figureText('intake-ui.ribbon.unit-open', {}) } : {};
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
      .map(
        ({ how, points }): Drawing => ({
          kind: 'marks',
          mark: how.mark,
          colour: how.colour,
          size: points.x.length > crowded ? 6 : 8,
          ...points,
        }),
      ),
  ];
}

function valueScale(days: readonly WouldAddDay[]): { min: number; max: number } {
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

/** Shortest span of a panel: with less, every hour's label would stand at an edge and be left out. */
const leastHours = 3;

/** The day's own span to whole hours, three at least; the whole day when no time of day is known. */
function hoursOf(day: WouldAddDay): { min: number; max: number } {
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  for (const at of day.at) {
    min = Math.min(min, at);
    max = Math.max(max, at);
  }
  const dayEnd = day.day + msPerDay;
  // Dates alone are kept as midnight.
  if (!Number.isFinite(min + max) || max === day.day) return { min: day.day, max: dayEnd };
  const from = Math.floor(min / msPerHour) * msPerHour;
  const to = Math.ceil(max / msPerHour) * msPerHour;
  if (to - from >= leastHours * msPerHour) return { min: from, max: to };
  const start = Math.max(day.day, Math.min(from - msPerHour, dayEnd - leastHours * msPerHour));
  return { min: start, max: start + leastHours * msPerHour };
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

const countOf = (panel: Panel): { min: number; max: number } => ({ min: 0, max: Math.max(2, panel.count + 1) });

function countTicks(panel: Panel, width: number): AxisTick[] {
  const { values } = valueTicks(1, Math.max(2, panel.count), Math.max(2, Math.floor(width / 80)));
  return values
    .filter((at) => Number.isInteger(at) && at >= 1 && at <= panel.count)
    .map((at) => ({ at, label: figureFormat.number(at) }));
}

/** Above a panel: its day, or both days that it may be, in the colour of questions. */
function nameOf(panel: Panel, width: number, panels: number): Omit<AxisTick, 'at'> {
  const strong = panels > 1;
  if (!panel.isTimed) {
    return { label: width > 150 ? figureText('intake-ui.ribbon.untimed', {}) : '…', strong };
  }
  const isOpen = panel.orDays.length > 0;
  const forms = [withoutYear, figureFormat.dayMonth];
  const labels = [
    ...forms.map((form) => eitherDay(panel, form)),
    ...forms.map((form) => eitherDay(panel, form, figureText('intake-ui.ribbon.or-below', {}))),
  ];
  const fits = labels.find((label) => label.split('\n').every((line) => line.length * letterPx < width));
  const shortest = figureFormat.dayMonth(panel.day);
  const label = fits ?? (isOpen ? `${shortest}?` : shortest);
  return { label, strong, ...(isOpen ? { colour: 'you' as const } : {}) };
}

/** Least room of a letter of a panel's name. */
const letterPx = 6.2;

const withoutYear = (at: number): string => figureFormat.date(at).replace(/ \d{4}$/, '');

/** The day, or all days that it may be, printed by `form`; with their years where these differ. */
function eitherDay(
  panel: Panel,
  form: (at: number) => string,
  or: string = figureText('intake-ui.ribbon.or', {}),
): string {
  const days = [panel.day, ...panel.orDays];
  const years = new Set(days.map((day) => civilFields(day).year));
  return days.map(years.size > 1 ? figureFormat.date : form).join(or);
}

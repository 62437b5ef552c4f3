/** A strip of months: the days a file would have under one choice, above the days already held. */
import type { ChoicePicture } from '../contract/models/intake-model.ts';
import { civilFields, civilTime, msPerDay } from '../time/civil-time.ts';
import type { AxisTick, Figure } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';

/** Height the strip is drawn for, px. */
export const yearStripHeight = 46;

/** Builds the picture of a choice. */
export function yearStrip(picture: ChoicePicture, size: { readonly width: number }): Figure {
  const { days, held, from, to } = picture;
  const left = 4;
  const right = 4;
  const inner = Math.max(1, size.width - left - right);
  // Two pixels at least: a single day of a year is less than one.
  const least = ((to - from) / inner) * 2.4;
  const months = monthTicks(from, to, inner);
  const first = days[0];
  const last = days[days.length - 1];
  const summary =
    first === undefined || last === undefined
      ? figureText('intake-ui.strip.no-days', {})
      : figureText('intake-ui.strip.summary', { from: first, to: last, days: days.length });
  const heldFirst = held[0];
  const heldLast = held[held.length - 1];
  return {
    title: figureText('intake-ui.strip.title', {}),
    summary,
    panes: [
      {
        left,
        right,
        top: 2,
        height: 26,
        x: { min: from, max: to },
        y: { min: 0, max: 26 },
        drawings: [
          { kind: 'axis', side: 'bottom', ticks: months.starts, line: true, tickLength: 3 },
          { kind: 'axis', side: 'bottom', ticks: months.names },
          {
            kind: 'rects',
            colour: 'rule-2',
            rects: held.map(([a, b]) => ({ x0: a, x1: Math.max(b + msPerDay, a + least), y0: 2, y1: 6 })),
          },
          {
            kind: 'rects',
            colour: 'you',
            rects: days.map((day) => ({ x0: day, x1: day + Math.max(msPerDay, least), y0: 2, y1: 20 })),
          },
          ...(heldFirst && heldLast && first !== undefined
            ? [
                {
                  kind: 'text' as const,
                  text: figureText('intake-ui.strip.held', {}),
                  ...besideHeld(heldFirst[0], heldLast[1] + msPerDay, first, from, to, inner),
                  y: 4,
                },
              ]
            : []),
          ...(first !== undefined && last !== undefined
            ? [
                {
                  kind: 'text' as const,
                  text: figureText('intake-ui.strip.this-file', {}),
                  ...besideDays(first, last + Math.max(msPerDay, least), from, to, inner),
                  y: 15,
                  strong: true,
                  colour: 'you' as const,
                },
              ]
            : []),
        ],
      },
    ],
    table: {
      head: [figureText('intake-ui.strip.day', {}), figureText('intake-ui.strip.held-too', {})],
      rows: days.map((day) => [
        figureFormat.date(day),
        figureText(held.some(([a, b]) => day >= a && day <= b) ? 'intake-ui.yes' : 'intake-ui.no', {}),
      ]),
    },
  };
}

const thisFilePx = 46;

/** After the file's last day where there is room, else before its first, else over its days with a rim. */
function besideDays(
  first: number,
  end: number,
  from: number,
  to: number,
  widthPx: number,
): { readonly x: number; readonly align: 'left' | 'right'; readonly dxPx: number; readonly halo?: boolean } {
  const px = (ms: number): number => (ms / (to - from)) * widthPx;
  const before = px(first - from);
  const after = px(to - end);
  if (after >= thisFilePx && (before / widthPx < 0.75 || before < thisFilePx))
    return { x: end, align: 'left', dxPx: 5 };
  if (before >= thisFilePx) return { x: first, align: 'right', dxPx: -5 };
  return { x: end, align: 'right', dxPx: -6, halo: true };
}

const heldPx = 34;

/** Beside the held days, on the side where there is room and the file's own days are not. */
function besideHeld(
  a: number,
  b: number,
  day: number,
  from: number,
  to: number,
  widthPx: number,
): { readonly x: number; readonly align: 'left' | 'right'; readonly dxPx: number } {
  const left = Math.max(a, from);
  const right = Math.min(b, to);
  const px = (ms: number): number => (ms / (to - from)) * widthPx;
  const taken = day > right && px(day - right) < heldPx;
  return px(to - right) >= heldPx && !taken
    ? { x: right, align: 'left', dxPx: 4 }
    : { x: left, align: 'right', dxPx: -4 };
}

const namePx = 26;

/** A tick at each start of a month, its name in the middle of the month; over many months only some, with years. */
function monthTicks(from: number, to: number, widthPx: number): { starts: AxisTick[]; names: AxisTick[] } {
  const start = civilFields(from);
  const px = (ms: number): number => (ms / (to - from)) * widthPx;
  const every = [1, 2, 3, 6, 12].find((months) => px(months * 30.4 * msPerDay) >= namePx) ?? 12;
  const starts: AxisTick[] = [];
  const names: AxisTick[] = [];
  for (let k = 0; ; k += 1) {
    const month = start.month - 1 + k;
    const at = civilTime(start.year + Math.floor(month / 12), (month % 12) + 1, 1);
    const next = civilTime(start.year + Math.floor((month + 1) / 12), ((month + 1) % 12) + 1, 1);
    if (at === null || next === null || at >= to) return { starts, names };
    if (at >= from) starts.push({ at, label: '' });
    const middle = (Math.max(at, from) + Math.min(next, to)) / 2;
    const shown = px(Math.min(next, to) - Math.max(at, from)) >= 14 || every > 1;
    if ((month % 12) % every !== 0 || !shown) continue;
    const name = figureFormat.dayMonth(at).replace(/^\d+ /, '');
    names.push({ at: middle, label: every === 12 ? String(civilFields(at).year) : name });
  }
}

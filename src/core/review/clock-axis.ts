import type { ClockAxis } from '../contract/models/review-model.ts';
import { said } from '../text/said.ts';
import { civilFields, msPerDay, msPerHour, msPerMinute } from '../time/civil-time.ts';
import type { PauseName } from './shift-breaks.ts';

/** From this length on a stretch without readings is cut out rather than drawn at its width. */
const cutFrom = 1.5 * msPerHour;
/** A stretch between two cuts takes at least this much of the axis; far less than what is cut. */
const leastSpan = 10 * msPerMinute;
const mostSpans = 300;
const mostBreaks = 60;
const mostTicks = 12;

/**
 * A time axis of the stretches with readings: pauses from 10 min are drawn white at their width, idle stretches of 1.5 h
 * or more (nights, weekends) are cut to a sliver.
 *
 * @param readings first and last time, and the stretches of 10 min or more without a reading, as a tally has them
 * @param wanted ends of the period; the axis starts and ends there where readings come within an hour of them
 * @param nameOf what the plant calls a pause: a break of its shift; null: it has no name for it
 */
export function clockAxis(
  readings: {
    readonly earliest: number;
    readonly latest: number;
    readonly gaps: readonly { readonly from: number; readonly to: number }[];
  },
  wanted: { from: number | null; to: number | null },
  nameOf: (gap: { readonly from: number; readonly to: number }) => PauseName = () => null,
): ClockAxis {
  const { earliest: least, latest, gaps } = readings;
  if (!(least <= latest)) return { spans: [], length: 0, breaks: [], ticks: [] };
  const start = wanted.from !== null && least - wanted.from <= msPerHour ? Math.min(wanted.from, least) : least;
  const end = wanted.to !== null && wanted.to - latest <= msPerHour ? Math.max(wanted.to, latest) : latest;
  let cuts = gaps.filter((gap) => gap.to - gap.from >= cutFrom);
  if (cuts.length >= mostSpans) {
    // More stretches than could be seen apart: cut out only the longest.
    const longest = [...cuts].sort((a, b) => b.to - b.from - (a.to - a.from)).slice(0, mostSpans - 1);
    const kept = new Set(longest);
    cuts = cuts.filter((gap) => kept.has(gap));
  }
  const bounds: { from: number; to: number }[] = [];
  let from = start;
  for (const gap of cuts) {
    bounds.push(withRoom(from, gap.from));
    from = gap.to;
  }
  bounds.push(withRoom(from, end));
  const active = bounds.reduce((sum, span) => sum + span.to - span.from, 0);
  // Slivers together take at most a fifth of the axis.
  const sliver = cuts.length === 0 ? 0 : Math.min(0.015 * active, (0.2 * active) / cuts.length);

  const spans: { from: number; to: number; offset: number }[] = [];
  const breaks: ClockAxis['breaks'][number][] = [];
  let length = 0;
  bounds.forEach((span, k) => {
    spans.push({ ...span, offset: length });
    length += span.to - span.from;
    const gap = cuts[k];
    if (!gap) return;
    breaks.push({
      ...gap,
      offset: length,
      width: sliver,
      cut: true,
      said: said('review.break', { ms: gap.to - gap.from, name: null }),
    });
    length += sliver;
  });
  const isCut = new Set(cuts);
  const short = gaps
    .filter((gap) => !isCut.has(gap) && (gap.to - gap.from) / length >= 0.008)
    .sort((a, b) => b.to - b.from - (a.to - a.from))
    .slice(0, mostBreaks);
  for (const gap of short) {
    breaks.push({
      ...gap,
      offset: axisOffset({ spans }, gap.from),
      width: gap.to - gap.from,
      cut: false,
      said: said('review.break', { ms: gap.to - gap.from, name: nameOf(gap) }),
    });
  }
  breaks.sort((a, b) => a.offset - b.offset);
  return { spans, length, breaks, ticks: ticksOf(spans, length) };
}

/** A stretch of a few readings, or of one, gets room around them: two readings a night apart are not one place. */
function withRoom(from: number, to: number): { from: number; to: number } {
  const lacking = Math.max(0, leastSpan - (to - from)) / 2;
  return { from: from - lacking, to: to + lacking };
}

/** Place of a time on the axis, axis ms; a time in a stretch that was cut out stands at the end of the span before it. */
export function axisOffset(axis: Pick<ClockAxis, 'spans'>, time: number): number {
  const { spans } = axis;
  let low = 0;
  let high = spans.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (spans[middle]!.from <= time) low = middle;
    else high = middle - 1;
  }
  const span = spans[low];
  // The difference first: added to an offset a civil time would lose its last digits.
  return span ? span.offset + (Math.min(span.to, Math.max(span.from, time)) - span.from) : 0;
}

/** The time at a place on the axis: the inverse of `axisOffset`. */
export function axisTime(axis: Pick<ClockAxis, 'spans'>, offset: number): number {
  const { spans } = axis;
  let found = spans[0];
  for (const span of spans) if (span.offset <= offset) found = span;
  return found ? Math.min(found.to, Math.max(found.from, found.from + (offset - found.offset))) : Number.NaN;
}

const steps = [5, 10, 15, 30, 60, 120, 180, 360, 720, 1440, 2880, 10_080, 20_160, 43_200, 86_400].map(
  (minutes) => minutes * msPerMinute,
);

/** Round clock times; beyond two days one tick where a day starts. */
function ticksOf(spans: readonly { from: number; to: number; offset: number }[], length: number): ClockAxis['ticks'] {
  const first = spans[0];
  const last = spans.at(-1);
  if (!first || !last) return [];
  const step = steps.find((each) => length / each <= mostTicks) ?? steps.at(-1) ?? msPerDay;
  const byDay = last.to - first.from > 2 * msPerDay;
  // Days of another year than the last one's name it.
  const yearOf = (at: number): number => civilFields(at).year;
  const yearNow = yearOf(last.to);
  const ticks: { at: number; offset: number; said: ReturnType<typeof said> }[] = [];
  if (byDay) {
    let shown = Number.NEGATIVE_INFINITY;
    const apart = length / mostTicks;
    let lastDay = Number.NaN;
    for (const span of spans) {
      for (let day = Math.floor(span.from / msPerDay); day * msPerDay <= span.to; day++) {
        const at = Math.max(span.from, day * msPerDay);
        const offset = span.offset + (at - span.from);
        if (day === lastDay || offset - shown < apart * 0.8) continue;
        lastDay = day;
        shown = offset;
        ticks.push({ at, offset, said: said('review.tick-day', { at, year: yearOf(at) !== yearNow }) });
      }
    }
    return ticks;
  }
  for (const span of spans) {
    for (let at = Math.ceil(span.from / step) * step; at <= span.to; at += step) {
      ticks.push({ at, offset: span.offset + (at - span.from), said: said('review.tick-time', { at }) });
    }
  }
  return ticks;
}

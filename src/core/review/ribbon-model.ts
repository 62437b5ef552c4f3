import type {
  RibbonBand,
  RibbonDots,
  RibbonLine,
  RibbonMark,
  RibbonMarkKind,
  RibbonModel,
  RibbonStrip,
  RibbonStripModel,
  RibbonThread,
  SpreadHistogram,
} from '../contract/models/review-model.ts';
import { verdictPass } from '../judging/judged.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { present } from '../readings/reading-row.ts';
import type { Scope } from '../readings/scope.ts';
import { said } from '../text/said.ts';
import { fastenerChains } from './chains.ts';
import { axisOffset, clockAxis } from './clock-axis.ts';
import { readingLine } from './reading-line.ts';
import { type ReviewTally, reviewTally } from './review-tally.ts';
import { ribbonContext } from './ribbon-context.ts';
import { breakIn } from './shift-breaks.ts';

/** Passing readings drawn as dots at most, over both strips; above, a band. */
export const mostDots = 4000;
/** Marks of failing and unjudged readings at most; above, those of one kind in one column share a mark. */
export const mostMarks = 2000;
/** Columns of a figure: about one a pixel. */
const columns = 600;
const medianWindow = 21;
/** Steps of the place at which a band is counted. */
const placeStep = 0.01;
const placeFrom = -1.6;
const placeBins = 320;
const placeEnd = placeFrom + placeBins * placeStep;
const spreadEnd = 1.55;
const spreadBins = 31;

/**
 * The limit ribbon of a scope.
 *
 * @param period ends of the period, for the axis
 * @param ink the tool drawn in ink, its position in the register; -1: none
 */
export function ribbonModel(
  plant: Plant,
  scope: Scope,
  period: { from: number | null; to: number | null },
  ink: number,
  rowOf: ReadonlyMap<number, number>,
): RibbonModel {
  const tally = reviewTally(plant, scope);
  const { selection } = tally;
  const axis = clockAxis(tally, period, (gap) => breakIn(plant.register.shifts, gap));
  const [torque, angle] = stripsData(plant, selection, axis, ink);
  const asDots = torque.passing + angle.passing <= mostDots;
  const strips: RibbonStripModel[] = [];
  for (const data of [torque, angle]) {
    if (data.any === 0) continue;
    strips.push({
      strip: data.strip,
      dots: asDots ? dotsOf(plant, selection, data, ink) : null,
      band: asDots ? null : bandOf(data, axis),
      othersMedian: asDots ? runningMedian(plant, selection, data, ink, false) : columnMedian(data, axis, false),
      inkMedian:
        ink < 0 ? null : asDots ? runningMedian(plant, selection, data, ink, true) : columnMedian(data, axis, true),
      spread: data.spread,
    });
  }
  const marks = marksOf(plant, tally, axis, rowOf);
  const shared = marks.length < marks.reduce((sum, mark) => sum + mark.count, 0);
  const threads = shared ? [] : threadsOf(plant, tally);
  const concerned = tally.failing.length + tally.unjudgedReadings.length;
  return {
    axis,
    strips,
    marks,
    threads,
    context: axis.spans.length === 0 ? [] : ribbonContext(plant, scope, tally, axis),
    ink: plant.register.tools[ink]?.serial ?? null,
    passing: tally.pass,
    drawnAs: asDots ? 'dots' : 'band',
    caption: asDots
      ? shared
        ? said('review.ribbon-marks', { marks: marks.length, failing: concerned })
        : null
      : said('review.ribbon-band', {
          passing: tally.pass,
          marks: marks.length,
          failing: concerned,
          threads: !shared,
        }),
  };
}

interface StripData {
  readonly strip: RibbonStrip;
  readonly places: Float32Array;
  /** Readings with a place, and passing ones among them. */
  readonly any: number;
  readonly passing: number;
  /** Passing readings by column and place step, and first tries of other tools and of the ink tool likewise. */
  readonly band: Uint32Array;
  readonly others: Uint32Array;
  readonly own: Uint32Array;
  readonly spread: SpreadHistogram;
}

/**
 * Counts of both strips by column and place, in one loop.
 *
 * Nearly every reading is a passing first try: those take one count each, the rest is put aside and shared out after.
 */
function stripsData(
  plant: Plant,
  selection: Uint32Array,
  axis: RibbonModel['axis'],
  ink: number,
): [StripData, StripData] {
  const { readings, judged } = plant;
  const { first } = fastenerChains(plant);
  const { verdict, torquePlace, anglePlace } = judged;
  const { tool, at } = readings;
  const { spans, length } = axis;
  const size = columns * placeBins;
  const torque = { others: new Uint32Array(size), own: ink >= 0 ? new Uint32Array(size) : new Uint32Array(0) };
  const angle = { others: new Uint32Array(size), own: ink >= 0 ? new Uint32Array(size) : new Uint32Array(0) };
  const { others: torqueOthers } = torque;
  const { others: angleOthers } = angle;
  const rest: { i: number; column: number }[] = [];
  const scale = columns / Math.max(1, length);
  const binScale = 1 / placeStep;
  let s = 0;
  let span = spans[0] ?? { from: 0, to: 0, offset: 0 };
  let nextSpan = spans[1]?.from ?? Number.POSITIVE_INFINITY;
  for (let k = 0; k < selection.length; k++) {
    const i = selection[k]!;
    const time = at[i]!;
    if (Number.isNaN(time)) {
      rest.push({ i, column: -1 });
      continue;
    }
    // The times are in order, so the span is found by walking on.
    while (time >= nextSpan) {
      s++;
      span = spans[s]!;
      nextSpan = spans[s + 1]?.from ?? Number.POSITIVE_INFINITY;
    }
    // A step back into a stretch already passed is drawn at the start of the present one: an hour at most.
    const inside = time < span.from ? 0 : time > span.to ? span.to - span.from : time - span.from;
    let column = ((span.offset + inside) * scale) | 0;
    if (column >= columns) column = columns - 1;
    if (verdict[i] !== verdictPass || first[i] !== 1) {
      rest.push({ i, column });
      continue;
    }
    const t = torquePlace[i]!;
    const a = anglePlace[i]!;
    const isInk = tool[i] === ink;
    if (t >= placeFrom && t < placeEnd) {
      (isInk ? torque.own : torqueOthers)[column * placeBins + (((t - placeFrom) * binScale) | 0)]!++;
    } else if (!Number.isNaN(t)) {
      (isInk ? torque.own : torqueOthers)[column * placeBins + (t < placeFrom ? 0 : placeBins - 1)]!++;
    }
    if (a >= placeFrom && a < placeEnd) {
      (isInk ? angle.own : angleOthers)[column * placeBins + (((a - placeFrom) * binScale) | 0)]!++;
    } else if (!Number.isNaN(a)) {
      (isInk ? angle.own : angleOthers)[column * placeBins + (a < placeFrom ? 0 : placeBins - 1)]!++;
    }
  }
  return [sharedOut(plant, 'torque', torque, rest, ink), sharedOut(plant, 'angle', angle, rest, ink)];
}

function sharedOut(
  plant: Plant,
  strip: RibbonStrip,
  counts: { others: Uint32Array; own: Uint32Array },
  rest: readonly { i: number; column: number }[],
  ink: number,
): StripData {
  const { judged, readings } = plant;
  const places = strip === 'torque' ? judged.torquePlace : judged.anglePlace;
  const { first } = fastenerChains(plant);
  const { others, own } = counts;
  const band = others.slice();
  for (let b = 0; b < own.length; b++) band[b]! += own[b]!;
  const bins = new Uint32Array(placeBins);
  let passing = 0;
  for (let b = 0; b < band.length; b++) {
    const count = band[b]!;
    if (count === 0) continue;
    passing += count;
    bins[b % placeBins]! += count;
  }
  let any = passing;
  for (const { i, column } of rest) {
    const place = places[i]!;
    if (Number.isNaN(place)) continue;
    any++;
    const bin = Math.min(placeBins - 1, Math.max(0, Math.floor((place - placeFrom) / placeStep)));
    if (judged.verdict[i] === verdictPass) {
      passing++;
      if (column >= 0) band[column * placeBins + bin]!++;
    }
    if (first[i] !== 1) continue;
    bins[bin]!++;
    if (column < 0) continue;
    if (readings.tool[i] === ink) own[column * placeBins + bin]!++;
    else others[column * placeBins + bin]!++;
  }
  return { strip, places, any, passing, band, others, own, spread: spreadOf(bins) };
}

/** Ten place steps make one bin of the margin; its ends lie five steps inside those of the places. */
function spreadOf(bins: Uint32Array): SpreadHistogram {
  const counts = new Uint32Array(spreadBins);
  let below = 0;
  let above = 0;
  for (let b = 0; b < placeBins; b++) {
    const bin = Math.floor((b - 5) / 10);
    if (bin < 0) below += bins[b]!;
    else if (bin >= spreadBins) above += bins[b]!;
    else counts[bin]! += bins[b]!;
  }
  return { from: -spreadEnd, to: spreadEnd, counts, below, above };
}

function dotsOf(plant: Plant, selection: Uint32Array, data: StripData, ink: number): RibbonDots {
  const { readings, judged } = plant;
  const at: number[] = [];
  const place: number[] = [];
  const inked: number[] = [];
  const source: number[] = [];
  const line: number[] = [];
  for (let k = 0; k < selection.length; k++) {
    const i = selection[k]!;
    const p = data.places[i]!;
    if (judged.verdict[i] !== verdictPass || Number.isNaN(p) || Number.isNaN(readings.at[i]!)) continue;
    at.push(readings.at[i]!);
    place.push(p);
    inked.push(readings.tool[i] === ink ? 1 : 0);
    source.push(readings.source[i]!);
    line.push(readings.line[i]!);
  }
  return {
    at: Float64Array.from(at),
    place: Float32Array.from(place),
    ink: Uint8Array.from(inked),
    source: Int32Array.from(source),
    line: Int32Array.from(line),
  };
}

function bandOf(data: StripData, axis: RibbonModel['axis']): RibbonBand {
  const at: number[] = [];
  const low: number[] = [];
  const median: number[] = [];
  const high: number[] = [];
  const count: number[] = [];
  for (let c = 0; c < columns; c++) {
    const bins = data.band.subarray(c * placeBins, (c + 1) * placeBins);
    let n = 0;
    for (let b = 0; b < placeBins; b++) n += bins[b]!;
    if (n === 0) continue;
    at.push(timeOfColumn(axis, c));
    low.push(placeAt(bins, n, 0.05));
    median.push(placeAt(bins, n, 0.5));
    high.push(placeAt(bins, n, 0.95));
    count.push(n);
  }
  return {
    at: Float64Array.from(at),
    low: Float32Array.from(low),
    median: Float32Array.from(median),
    high: Float32Array.from(high),
    count: Uint32Array.from(count),
  };
}

/** Place below which a share of the counted ones lie, to half a step: under a hundredth of the half width. */
function placeAt(bins: Uint32Array, n: number, share: number): number {
  const wanted = share * n;
  let sum = 0;
  for (let b = 0; b < placeBins; b++) {
    sum += bins[b]!;
    if (sum >= wanted && sum > 0) return placeFrom + (b + 0.5) * placeStep;
  }
  return placeFrom + placeBins * placeStep;
}

function timeOfColumn(axis: RibbonModel['axis'], c: number): number {
  const offset = ((c + 0.5) / columns) * axis.length;
  let found = axis.spans[0]!;
  for (const span of axis.spans) {
    if (span.offset > offset) break;
    found = span;
  }
  return Math.min(found.to, found.from + (offset - found.offset));
}

/** Median of the columns, over as many of them as hold a window of readings. */
function columnMedian(data: StripData, axis: RibbonModel['axis'], ofInk: boolean): RibbonLine {
  const all = ofInk ? data.own : data.others;
  const at: number[] = [];
  const place: number[] = [];
  const window = new Uint32Array(placeBins);
  let n = 0;
  let from = 0;
  for (let c = 0; c < columns; c++) {
    const bins = all.subarray(c * placeBins, (c + 1) * placeBins);
    for (let b = 0; b < placeBins; b++) {
      window[b]! += bins[b]!;
      n += bins[b]!;
    }
    if (n < medianWindow && c + 1 < columns) continue;
    if (n > 0) {
      at.push(timeOfColumn(axis, (from + c) / 2));
      place.push(placeAt(window, n, 0.5));
    }
    window.fill(0);
    n = 0;
    from = c + 1;
  }
  return { at: Float64Array.from(at), place: Float32Array.from(place), window: medianWindow };
}

/** Running median of 21 first tries, centred. */
function runningMedian(plant: Plant, selection: Uint32Array, data: StripData, ink: number, ofInk: boolean): RibbonLine {
  const { readings } = plant;
  const { first } = fastenerChains(plant);
  const at: number[] = [];
  const values: number[] = [];
  for (let k = 0; k < selection.length; k++) {
    const i = selection[k]!;
    const place = data.places[i]!;
    if (first[i] !== 1 || Number.isNaN(place) || Number.isNaN(readings.at[i]!)) continue;
    if ((readings.tool[i] === ink) !== ofInk) continue;
    at.push(readings.at[i]!);
    values.push(place);
  }
  const every = Math.max(1, Math.ceil(values.length / columns));
  const half = medianWindow >> 1;
  const times: number[] = [];
  const places: number[] = [];
  for (let k = 0; k < values.length; k += every) {
    const window = Float64Array.from(values.slice(Math.max(0, k - half), k + half + 1)).sort();
    const middle = window.length >> 1;
    times.push(at[k]!);
    places.push(window.length % 2 === 1 ? window[middle]! : (window[middle - 1]! + window[middle]!) / 2);
  }
  return { at: Float64Array.from(times), place: Float32Array.from(places), window: medianWindow };
}

const kinds: readonly { bit: number; kind: RibbonMarkKind; strip: RibbonStrip }[] = [
  { bit: 1, kind: 'torque-low', strip: 'torque' },
  { bit: 2, kind: 'torque-high', strip: 'torque' },
  { bit: 4, kind: 'angle-low', strip: 'angle' },
  { bit: 8, kind: 'angle-high', strip: 'angle' },
];

interface RawMark {
  readonly i: number;
  readonly kind: RibbonMarkKind;
  readonly strip: RibbonStrip;
  count: number;
}

/** Marks of all failing and unjudged readings with a time; none is dropped, above the limit several share one. */
function marksOf(
  plant: Plant,
  tally: ReviewTally,
  axis: RibbonModel['axis'],
  rowOf: ReadonlyMap<number, number>,
): RibbonMark[] {
  const { readings, register, judged } = plant;
  const { at } = readings;
  const number = tally.failing.length + tally.unjudgedReadings.length;
  const share = number > mostMarks;
  const scale = columns / Math.max(1, axis.length);
  const held = new Map<number, RawMark>();
  const raw: RawMark[] = [];
  const put = (i: number, kind: RibbonMarkKind, code: number, strip: RibbonStrip): void => {
    if (share) {
      const key = Math.min(columns - 1, Math.floor(axisOffset(axis, at[i]!) * scale)) * 8 + code;
      const mark = held.get(key);
      if (mark) {
        mark.count++;
        return;
      }
      const first = { i, kind, strip, count: 1 };
      held.set(key, first);
      raw.push(first);
    } else raw.push({ i, kind, strip, count: 1 });
  };
  for (let k = 0; k < tally.failing.length; k++) {
    const i = tally.failing[k]!;
    if (Number.isNaN(at[i]!)) continue;
    kinds.forEach(({ bit, kind, strip }, code) => {
      if ((judged.reasons[i]! & bit) !== 0) put(i, kind, code, strip);
    });
  }
  for (let k = 0; k < tally.unjudgedReadings.length; k++) {
    const i = tally.unjudgedReadings[k]!;
    if (!Number.isNaN(at[i]!)) put(i, 'unjudged', 4, 'torque');
  }
  raw.sort((a, b) => at[a.i]! - at[b.i]!);
  return raw.map(({ i, kind, strip, count }) => ({
    id: readingName(readings, i),
    at: at[i]!,
    strip,
    kind,
    place: present(strip === 'torque' ? judged.torquePlace[i]! : judged.anglePlace[i]!),
    count,
    tool: register.tools[readings.tool[i]!]?.serial ?? null,
    said: readingLine(plant, i, count),
    row: rowOf.get(i) ?? -1,
  }));
}

/** Lines from failing tries to the next try, in the strip of the failing value. */
function threadsOf(plant: Plant, tally: ReviewTally): RibbonThread[] {
  const { readings, judged } = plant;
  const { next } = fastenerChains(plant);
  const threads: RibbonThread[] = [];
  for (let k = 0; k < tally.failing.length; k++) {
    const i = tally.failing[k]!;
    const to = next[i]!;
    if (to < 0) continue;
    for (const strip of ['torque', 'angle'] as const) {
      if ((judged.reasons[i]! & (strip === 'torque' ? 3 : 12)) === 0) continue;
      const places = strip === 'torque' ? judged.torquePlace : judged.anglePlace;
      const line = [readings.at[i]!, places[i]!, readings.at[to]!, places[to]!];
      if (line.some((value) => Number.isNaN(value))) continue;
      threads.push({
        strip,
        fromAt: readings.at[i]!,
        fromPlace: places[i]!,
        toAt: readings.at[to]!,
        toPlace: places[to]!,
        fromId: readingName(readings, i),
        toId: readingName(readings, to),
      });
    }
  }
  return threads;
}

/** Where the strips of one tool stand and what they span: one time axis, and one length for a per cent. */
import type { CheckRow, DriftToolModel, Lane } from '../contract/models/drift-model.ts';
import { msPerDay } from '../time/civil-time.ts';
import type { Scale } from './figure.ts';

export interface DriftStripsOptions {
  readonly width: number;
  readonly height: number;
  /** Pixels at the right for what each strip says; default 194. */
  readonly wordsWidth?: number;
  /** Stretch of time to show, civil ms; absent: all of it. */
  readonly span?: { readonly from: number; readonly to: number } | null;
}

/** Pixels of the strips from the figure's top, and the shared time scale. */
export interface DriftStripsLayout {
  readonly left: number;
  readonly right: number;
  readonly time: Scale;
  readonly own: { readonly top: number; readonly bottom: number; readonly y: Scale };
  readonly response: { readonly top: number; readonly bottom: number; readonly y: Scale };
  readonly checks: { readonly top: number; readonly bottom: number; readonly y: Scale };
}

const titleHeight = 27;

/** Pixels above the first strip, and left of all of them. */
export const firstTop = 24;

const axisHeight = 26;

export const left = 40;

/** Lays the strips out. Own and response share one length for a per cent, so that their moves can be compared by eye. */
export function driftStripsLayout(model: DriftToolModel, options: DriftStripsOptions): DriftStripsLayout {
  const right = options.width - (options.wordsWidth ?? 194);
  const { from, to } = options.span ?? wholeSpan(model);
  const span = Math.max(1, to - from);
  const time: Scale = { min: from - span * 0.015, max: to + span * 0.015 };
  const own = stripRange(model.row.own, []);
  const response = stripRange(model.row.response, [model.row.response.since?.percent ?? null]);
  const room = options.height - firstTop - axisHeight - 2 * titleHeight - 6;
  const checksHeight = Math.max(56, Math.round(room * 0.27));
  const forLanes = room - checksHeight;
  const ownSpan = own.max - own.min;
  const responseSpan = response.max - response.min;
  // The smaller strip is given a wider range rather than a larger scale.
  const least = 0.24 * (ownSpan + responseSpan);
  const ownWide = widened(own, Math.max(ownSpan, least));
  const responseWide = widened(response, Math.max(responseSpan, least));
  const perPercent = forLanes / (ownWide.max - ownWide.min + responseWide.max - responseWide.min);
  const ownHeight = (ownWide.max - ownWide.min) * perPercent;
  const responseTop = firstTop + ownHeight + titleHeight;
  const responseBottom = firstTop + forLanes + titleHeight;
  return {
    left,
    right,
    time,
    own: { top: firstTop, bottom: firstTop + ownHeight, y: ownWide },
    response: { top: responseTop, bottom: responseBottom, y: responseWide },
    checks: {
      top: responseBottom + titleHeight,
      bottom: responseBottom + titleHeight + checksHeight,
      y: checksScale(model),
    },
  };
}

/** All that the strips can show. The newest check is what the finding speaks of: in view even after the last reading. */
export function wholeSpan(model: DriftToolModel): { from: number; to: number } {
  return { from: model.from, to: Math.max(model.to, model.row.checks.latest?.at ?? model.to) };
}

/** Shortest stretch of time that zooming leaves. */
const leastSpan = 2 * msPerDay;

/**
 * The next stretch of time when zooming by a factor, about the change where it is in view, else about the middle.
 *
 * @param factor 0.5: half as long; 2: twice
 * @returns null: all of it
 */
export function zoomedSpan(
  model: DriftToolModel,
  shown: { readonly from: number; readonly to: number } | null,
  factor: number,
): { from: number; to: number } | null {
  const whole = wholeSpan(model);
  const { from, to } = shown ?? whole;
  const length = Math.max(leastSpan, (to - from) * factor);
  if (length >= whole.to - whole.from) return null;
  const change = model.change?.at;
  const about = change !== undefined && change >= from && change <= to ? change : (from + to) / 2;
  const start = Math.min(Math.max(whole.from, about - length / 2), whole.to - length);
  return { from: start, to: start + length };
}

/** The model with only what lies in a stretch of time. */
export function within(model: DriftToolModel, span: { readonly from: number; readonly to: number }): DriftToolModel {
  const inside = (at: number): boolean => at >= span.from && at <= span.to;
  const lane = (one: Lane): Lane => {
    const { series } = one;
    const keep = series.at.flatMap((at, k) => (inside(at) ? [k] : []));
    const pick = <T>(list: readonly T[]): T[] => keep.flatMap((k) => (list[k] === undefined ? [] : [list[k]]));
    const baseline =
      series.baselineFrom === null || series.baselineTo === null
        ? []
        : keep.flatMap((k, position) => (k >= series.baselineFrom! && k <= series.baselineTo! ? [position] : []));
    return {
      ...one,
      series: {
        ...series,
        at: pick(series.at),
        percent: pick(series.percent),
        readings: pick(series.readings),
        ewma: pick(series.ewma),
        ewmaLow: pick(series.ewmaLow),
        ewmaHigh: pick(series.ewmaHigh),
        baselineFrom: baseline[0] ?? null,
        baselineTo: baseline[baseline.length - 1] ?? null,
      },
    };
  };
  const change =
    model.change && inside(model.change.at)
      ? {
          ...model.change,
          low95: Math.max(span.from, model.change.low95),
          high95: Math.min(span.to, model.change.high95),
        }
      : null;
  return {
    ...model,
    row: { ...model.row, own: lane(model.row.own), response: lane(model.row.response) },
    checks: stripChecks(model).filter((check) => inside(check.at)),
    marks: model.marks.filter((mark) => inside(mark.at)),
    change,
  };
}

function stripRange(lane: Lane, more: readonly (number | null)[]): Scale {
  let low = -0.5;
  let high = 0.5;
  const { series } = lane;
  for (const list of [series.percent, series.ewma, series.ewmaLow, series.ewmaHigh, more]) {
    for (const value of list) {
      if (value === null || !Number.isFinite(value)) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  const room = (high - low) * 0.06;
  return { min: low - room, max: high + room };
}

const widened = (scale: Scale, span: number): Scale => {
  const room = (span - (scale.max - scale.min)) / 2;
  return { min: scale.min - room, max: scale.max + room };
};

/** The checks of the span and the newest one, wherever it lies. */
export function stripChecks(model: DriftToolModel): readonly CheckRow[] {
  const known = new Set(model.checks.map(checkName));
  return [...model.checks, ...model.row.checks.recent.filter((c) => c.at > model.to && !known.has(checkName(c)))];
}

const checkName = (check: CheckRow): string => `${check.at} ${check.nominal} ${check.unit} ${check.kind}`;

function checksScale(model: DriftToolModel): Scale {
  let most = model.row.checks.permissiblePercent ?? 1;
  for (const check of stripChecks(model)) {
    most = Math.max(most, Math.abs(check.lowestPercent), Math.abs(check.highestPercent));
  }
  return { min: -most * 1.14, max: most * 1.14 };
}

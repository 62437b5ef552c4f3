/** Where the parts of a study's figure lie, and the scales they share. */
import type { StudyModel } from '../contract/models/study-model.ts';
import type { Scale } from './figure.ts';

export interface StudyAxisOptions {
  readonly width: number;
  readonly height: number;
  /** The probability plot goes under the histogram, on an axis of its own. */
  readonly narrow?: boolean;
  /** Limits tried out, drawn as a person's mark; null: none. */
  readonly tried?: { readonly low: number | null; readonly high: number | null } | null;
}

/** Where the parts lie, in CSS pixels from the figure's edges; the screen puts its handles on it. */
export interface StudyAxisLayout {
  readonly left: number;
  readonly runRight: number;
  readonly histogramLeft: number;
  readonly histogramRight: number;
  readonly plotLeft: number;
  readonly plotRight: number;
  readonly top: number;
  readonly bottom: number;
  readonly plotTop: number;
  readonly plotBottom: number;
  readonly spreadTop: number;
  readonly spreadBottom: number;
  readonly y: Scale;
  readonly x: Scale;
}

/** Lays the figure out; the value axis holds limits, readings and control limits, whatever lies farthest. */
export function studyAxisLayout(model: StudyModel, options: StudyAxisOptions): StudyAxisLayout {
  const { width, height } = options;
  const narrow = options.narrow === true;
  const left = 58;
  const inner = width - left;
  const runShare = narrow ? 0.68 : 0.55;
  const runRight = left + inner * runShare - 52;
  const histogramLeft = left + inner * runShare + 4;
  const histogramRight = narrow ? width - 8 : histogramLeft + inner * 0.15;
  const plotLeft = narrow ? histogramLeft : histogramRight + 44;
  const top = 32;
  const bottom = narrow ? Math.round(height * 0.56) : height - 104;
  const spreadTop = bottom + 28;
  return {
    left,
    runRight,
    histogramLeft,
    histogramRight,
    plotLeft,
    plotRight: width - 4,
    top,
    bottom,
    plotTop: narrow ? bottom + 78 : top,
    plotBottom: narrow ? height - 50 : bottom,
    spreadTop,
    spreadBottom: narrow ? Math.min(spreadTop + 120, height - 28) : spreadTop + 46,
    y: valueScale(model, options.tried ?? null),
    x: orderScale(model),
  };
}

function valueScale(model: StudyModel, tried: StudyAxisOptions['tried']): Scale {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  const take = (value: number | null | undefined): void => {
    if (value === null || value === undefined || !Number.isFinite(value)) return;
    low = Math.min(low, value);
    high = Math.max(high, value);
  };
  for (const mark of model.marks) take(mark.value);
  for (const band of model.bands) {
    take(band.least);
    take(band.greatest);
  }
  for (const group of model.groups) {
    take(group.mean);
    take(group.lower);
    take(group.upper);
  }
  take(model.limits.low);
  take(model.limits.high);
  take(tried?.low);
  take(tried?.high);
  if (low > high) return { min: 0, max: 1 };
  const room = high > low ? (high - low) * 0.075 : Math.max(1, Math.abs(high)) * 0.05;
  return { min: low - room, max: high + room };
}

function orderScale(model: StudyModel): Scale {
  let last = 0;
  const count = (order: number): void => {
    last = Math.max(last, order);
  };
  for (const mark of model.marks) count(mark.order);
  for (const band of model.bands) count(band.toOrder);
  for (const group of model.groups) count(group.toOrder);
  return { min: -0.5 - last * 0.012, max: last + 0.5 + last * 0.012 };
}

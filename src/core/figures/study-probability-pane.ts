import type { StudyModel } from '../contract/models/study-model.ts';
import type { Drawing, Pane, Scale } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import type { StudyAxisLayout, StudyAxisOptions } from './study-axis-layout.ts';
import { valueTicks } from './value-ticks.ts';

/** Standard normal quantiles of the labelled shares (tables of the normal distribution, seven digits). */
const shareScores: readonly (readonly [string, number])[] = [
  ['0.1', -3.0902323],
  ['1', -2.3263479],
  ['10', -1.2815516],
  ['50', 0],
  ['90', 1.2815516],
  ['99', 2.3263479],
  ['99.9', 3.0902323],
];

const clamp = (value: number, scale: Scale): number => Math.min(scale.max, Math.max(scale.min, value));

/** The probability plot of the chosen model: readings, line, band, and how well it fits. */
export function probabilityPane(model: StudyModel, at: StudyAxisLayout, options: StudyAxisOptions): Pane {
  const p = model.probabilityPlot;
  const narrow = options.narrow === true;
  let reach = 2.6;
  for (const point of p?.points ?? []) reach = Math.max(reach, Math.abs(point.score));
  const x: Scale = { min: -reach * 1.08, max: reach * 1.08 };
  const y = narrow ? plotScale(model) : at.y;
  const drawings: Drawing[] = [
    {
      kind: 'text',
      text: figureText('figure.study.probability', {}),
      x: x.min,
      y: y.max,
      dyPx: narrow ? -12 : -22,
      colour: 'ink',
      strong: true,
    },
  ];
  if (p) {
    drawings.push({
      kind: 'band',
      x: p.band.map((b) => b.score),
      low: p.band.map((b) => clamp(b.low, y)),
      high: p.band.map((b) => clamp(b.high, y)),
      colour: 'rule',
      opacity: 0.85,
    });
    const line = p.line.filter((point) => point.value >= y.min && point.value <= y.max);
    drawings.push({
      kind: 'line',
      x: line.map((point) => point.score),
      y: line.map((point) => point.value),
      colour: 'inside',
      width: 1.4,
    });
    drawings.push({
      kind: 'dots',
      x: p.points.map((point) => point.score),
      y: p.points.map((point) => point.value),
      colour: 'ink',
      radius: p.points.length > 600 ? 1.4 : 1.9,
    });
    const wide = at.plotRight - at.plotLeft > 190;
    drawings.push({
      kind: 'axis',
      side: 'bottom',
      line: true,
      ticks: shareScores
        .filter(([label, score]) => Math.abs(score) < x.max && (wide || !label.includes('.')))
        .map(([label, score]) => ({ at: score, label })),
    });
    drawings.push({
      kind: 'text',
      text: figureText('figure.study.below-band', { short: !wide }),
      x: x.min,
      y: y.min,
      dyPx: 31,
      colour: 'ink-3',
    });
    const fit = fitText(model);
    if (fit !== null) {
      // About 5.6 px a letter at this size: what does not fit under the plot goes on a second line.
      const fits = fit.length * 5.6 <= at.plotRight - at.plotLeft;
      const lines = fits ? [fit] : fit.split(/(?<=:) /);
      lines.forEach((text, i) => {
        drawings.push({ kind: 'text', text, x: x.min, y: y.min, dyPx: 45 + 14 * i, colour: 'ink-2' });
      });
    }
  } else {
    drawings.push({
      kind: 'text',
      text: figureText('figure.study.no-model', {}),
      x: x.min,
      y: (y.min + y.max) / 2,
      colour: 'ink-3',
    });
  }
  if (narrow) {
    const ticks = valueTicks(y.min, y.max, 5);
    drawings.push({
      kind: 'axis',
      side: 'left',
      ticks: ticks.values.map((value) => ({ at: value, label: figureFormat.number(value, ticks.decimals) })),
    });
  }
  return {
    left: at.plotLeft,
    width: at.plotRight - at.plotLeft,
    top: at.plotTop,
    height: at.plotBottom - at.plotTop,
    x,
    y,
    drawings,
  };
}

function plotScale(model: StudyModel): Scale {
  const values = model.probabilityPlot?.points.map((point) => point.value) ?? [];
  if (values.length === 0) return { min: 0, max: 1 };
  const low = Math.min(...values);
  const high = Math.max(...values);
  const room = high > low ? (high - low) * 0.12 : 1;
  return { min: low - room, max: high + room };
}

function fitText(model: StudyModel): string | null {
  const name = model.probabilityPlot?.model ?? 'normal';
  const test = model.answer?.normality.andersonDarling ?? null;
  if (name === 'normal') {
    return test === null
      ? null
      : figureText('figure.study.anderson', {
          statistic: test.statistic,
          p: test.p,
          atMost: test.atMost,
          rejected: test.p < 0.01,
        });
  }
  const fitted = model.models.find((m) => m.name === name);
  return fitted?.ad == null
    ? null
    : figureText('figure.study.fit', {
        model: figureText('figure.study.model-name', { name }),
        statistic: fitted.ad,
      });
}

/**
 * Run and control chart, histogram turned on its side and probability plot on one axis of the characteristic, with
 * the spread within groups under the run chart.
 */
import type { StudyModel } from '../contract/models/study-model.ts';
import type { Figure, Pane } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import { type StudyAxisOptions, studyAxisLayout } from './study-axis-layout.ts';
import { datePane } from './study-date-pane.ts';
import { histogramPane } from './study-histogram-pane.ts';
import { limitLabels, sharedDrawings } from './study-limits.ts';
import { probabilityPane } from './study-probability-pane.ts';
import { runDrawings } from './study-run-drawings.ts';
import { spreadPane } from './study-spread-pane.ts';
import { studyStops } from './study-stops.ts';
import { studyTable } from './study-table.ts';
import { studyUnitSymbol } from './study-unit-symbol.ts';

export { type StudyAxisLayout, type StudyAxisOptions, studyAxisLayout } from './study-axis-layout.ts';
export { studyUnitSymbol } from './study-unit-symbol.ts';

/**
 * Builds the figure.
 *
 * Every reading is drawn: left-out ones as crosses, ones outside the limits as marks of their own; above the bound of
 * the model, columns with their ends. The control limits belong to the points they are labelled for.
 */
export function studyAxis(model: StudyModel, options: StudyAxisOptions): Figure {
  const at = studyAxisLayout(model, options);
  const unit = studyUnitSymbol(model.unit);
  const across = {
    left: at.left,
    width: (options.narrow ? at.histogramRight : options.width) - at.left,
    top: at.top,
    height: at.bottom - at.top,
    x: { min: 0, max: 1 },
    y: at.y,
  };
  const run: Pane = {
    left: at.left,
    width: at.runRight - at.left,
    top: at.top,
    height: at.bottom - at.top,
    x: at.x,
    y: at.y,
    drawings: runDrawings(model, at),
  };
  const panes: Pane[] = [{ ...across, drawings: sharedDrawings(model, at, options, unit) }, run];
  if (model.chart.spread.center !== null) panes.push(spreadPane(model, at));
  panes.push(histogramPane(model, at, unit, options.narrow === true));
  panes.push(probabilityPane(model, at, options));
  // Dates stand under the lowest strip of the run chart.
  panes.push(datePane(model, at));
  panes.push({ ...across, drawings: limitLabels(model, options) });
  const limit = (value: number | null): string | null =>
    value === null ? null : `${figureFormat.number(value, model.decimals)} ${unit}`;
  return {
    stops: studyStops(model, panes.indexOf(run)),
    table: studyTable(model),
    title: figureText('figure.study.title', {
      joint: model.scopeFacts.joint,
      angle: model.choices.of === 'angle',
    }),
    summary: figureText('figure.study.summary', {
      n: model.scopeFacts.counts.used,
      groups: model.chart.groupCount,
      signals: model.chart.signalCount,
      leftOut: model.scopeFacts.counts.leftOut,
      outside: model.answer?.outside.observed.count ?? model.marks.filter((m) => m.outside !== 0 && !m.leftOut).length,
      low: limit(model.limits.low),
      high: limit(model.limits.high),
    }),
    panes,
  };
}

/** One tool over time: own readings, response, checks, one under the other on one time axis, each in per cent. */
import type { BlockSeries, DriftToolModel } from '../contract/models/drift-model.ts';
import { changeLine, changeSpan } from './drift-change-marks.ts';
import { checkDrawings, checkWords } from './drift-check-strip.ts';
import { laneDrawings, laneWords } from './drift-lane-strip.ts';
import { type DriftStripsOptions, driftStripsLayout, firstTop, stripChecks, within } from './drift-strips-layout.ts';
import type { Drawing, Figure, FigureStop, FigureTable, Pane, Scale } from './figure.ts';
import { figureFormat, figureSay, figureText } from './figure-format.ts';

/** Builds the figure. Blocks, checks and pulls are all drawn; nothing is thinned. */
export function driftStrips(whole: DriftToolModel, options: DriftStripsOptions): Figure {
  const model = options.span ? within(whole, options.span) : whole;
  const at = driftStripsLayout(model, options);
  const strip = (place: { top: number; bottom: number; y: Scale }, drawings: readonly Drawing[]): Pane => ({
    left: at.left,
    width: at.right - at.left,
    top: place.top,
    height: place.bottom - place.top,
    x: at.time,
    y: place.y,
    drawings,
  });
  const all = {
    left: at.left,
    width: at.right - at.left,
    top: firstTop - 4,
    height: at.checks.bottom - firstTop + 4,
    x: at.time,
    y: { min: 0, max: 1 },
  };
  const panes: Pane[] = [{ ...all, drawings: changeSpan(model, at) }];
  panes.push(strip(at.own, laneDrawings(model, model.row.own, 'own', at)));
  panes.push(strip(at.response, laneDrawings(model, model.row.response, 'response', at)));
  panes.push(strip(at.checks, checkDrawings(model, at)));
  panes.push({ ...all, drawings: changeLine(model) });
  // Words last: nothing is drawn over them.
  panes.push(strip(at.own, laneWords(model, model.row.own, 'own', at)));
  panes.push(strip(at.response, laneWords(model, model.row.response, 'response', at)));
  panes.push(strip(at.checks, checkWords(model, at)));
  return {
    stops: stripStops(model),
    table: stripTable(model),
    title: figureText('figure.strips.title', { tool: model.row.tool }),
    summary: figureText('figure.strips.summary', {
      own: figureSay(model.laneSays.own),
      response: figureSay(model.laneSays.response),
      checks: figureSay(model.laneSays.checks),
    }),
    panes,
  };
}

/** Panes by what they hold: the order in which `driftStrips` pushes them. */
const paneOf = { own: 1, response: 2, checks: 3 } as const;

function stripStops(model: DriftToolModel): FigureStop[] {
  const out: FigureStop[] = [];
  for (const which of ['own', 'response'] as const) {
    const { series, alarmAt } = model.row[which];
    series.at.forEach((at, k) => {
      const percent = series.percent[k];
      if (percent === undefined) return;
      const notable = at === alarmAt || at === model.change?.at;
      out.push({
        id: `${which}-${at}`,
        pane: paneOf[which],
        x: at,
        y: percent,
        text: figureText('figure.strips.block', {
          at,
          percent,
          readings: series.readings[k] ?? 0,
          ewma: series.ewma[k] ?? null,
          outside: at === alarmAt,
        }),
        ...(notable ? {} : { hoverOnly: true }),
      });
    });
  }
  for (const check of stripChecks(model)) {
    out.push({
      id: `check-${check.at}-${check.nominal}-${check.kind}`,
      pane: paneOf.checks,
      x: check.at,
      y: check.deviationPercent,
      text: figureText('figure.strips.check-stop', {
        at: check.at,
        percent: check.deviationPercent,
        low: check.lowestPercent,
        high: check.highestPercent,
        pulls: check.pulls,
        passed: check.passed,
      }),
    });
  }
  return out;
}

function stripTable(model: DriftToolModel): FigureTable {
  const { own, response } = model.row;
  const times = [...new Set([...own.series.at, ...response.series.at])].sort((a, b) => a - b);
  const cell = (series: BlockSeries, list: readonly (number | null)[], at: number): string => {
    const k = series.at.indexOf(at);
    const value = k < 0 ? null : list[k];
    return value === null || value === undefined ? '' : figureFormat.signed(value, 2);
  };
  return {
    head: [
      figureText('figure.table.start', {}),
      figureText('figure.table.readings', {}),
      figureText('figure.table.own', {}),
      figureText('figure.table.ewma', {}),
      figureText('figure.table.low', {}),
      figureText('figure.table.high', {}),
      figureText('figure.table.response', {}),
      figureText('figure.table.ewma', {}),
      figureText('figure.table.low', {}),
      figureText('figure.table.high', {}),
    ],
    numeric: [1, 2, 3, 4, 5, 6, 7, 8, 9],
    rows: times.map((at) => [
      figureFormat.dateTime(at),
      figureFormat.number(own.series.readings[own.series.at.indexOf(at)] ?? 0),
      cell(own.series, own.series.percent, at),
      cell(own.series, own.series.ewma, at),
      cell(own.series, own.series.ewmaLow, at),
      cell(own.series, own.series.ewmaHigh, at),
      cell(response.series, response.series.percent, at),
      cell(response.series, response.series.ewma, at),
      cell(response.series, response.series.ewmaLow, at),
      cell(response.series, response.series.ewmaHigh, at),
    ]),
  };
}

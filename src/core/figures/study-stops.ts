import type { StudyModel } from '../contract/models/study-model.ts';
import type { FigureStop } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import { groupMiddle } from './group-middle.ts';
import { studyUnitSymbol } from './study-unit-symbol.ts';

/** Stops of the arrow keys: signals, readings outside, left-out ones. All other points answer to the pointer only. */
export function studyStops(model: StudyModel, pane: number): FigureStop[] {
  const out: FigureStop[] = [];
  const value = (v: number): string => figureFormat.number(v, model.decimals);
  for (const mark of model.marks) {
    out.push({
      id: mark.id,
      pane,
      x: mark.order,
      y: mark.value,
      text: figureText('figure.study.reading-stop', {
        value: value(mark.value),
        unit: studyUnitSymbol(model.unit),
        at: mark.at,
        tool: mark.tool,
        leftOut: mark.leftOut,
        outside: mark.outside,
      }),
      ...(mark.leftOut || mark.outside !== 0 ? {} : { hoverOnly: true }),
    });
  }
  if (model.chart.kind === 'means') {
    for (const group of model.groups) {
      if (group.mean === null) continue;
      out.push({
        id: `group-${group.index}`,
        pane,
        x: groupMiddle(group),
        y: group.mean,
        text: figureText('figure.study.group-stop', {
          group: group.index + 1,
          n: group.n,
          mean: value(group.mean),
          s: group.s === null ? null : value(group.s),
          at: group.at,
          signal: group.signals.length > 0,
        }),
        ...(group.signals.length > 0 ? {} : { hoverOnly: true }),
      });
    }
  }
  return out.sort((a, b) => a.x - b.x);
}

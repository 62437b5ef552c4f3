import type { StudyModel } from '../contract/models/study-model.ts';
import type { FigureTable } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';

/** The groups of a study as a table: start, readings, mean, spread, control limits, signals. */
export function studyTable(model: StudyModel): FigureTable {
  const number = (v: number | null): string => (v === null ? '' : figureFormat.number(v, model.decimals + 1));
  return {
    head: [
      figureText('figure.table.group', {}),
      figureText('figure.table.start', {}),
      figureText('figure.table.readings', {}),
      figureText('figure.table.mean', {}),
      figureText('figure.study.spread', { kind: model.chart.spread.kind }),
      figureText('figure.table.lower-limit', {}),
      figureText('figure.table.upper-limit', {}),
      figureText('figure.table.signal', {}),
    ],
    numeric: [0, 2, 3, 4, 5, 6],
    rows: model.groups.map((group) => [
      figureFormat.number(group.index + 1),
      group.at === null ? '' : figureFormat.dateTime(group.at),
      figureFormat.number(group.n),
      number(group.mean),
      number(
        model.chart.spread.kind === 's'
          ? group.s
          : model.chart.spread.kind === 'range'
            ? group.range
            : group.movingRange,
      ),
      number(group.lower),
      number(group.upper),
      group.signals.map((rule) => figureText('figure.study.rule', { rule })).join('; '),
    ]),
  };
}

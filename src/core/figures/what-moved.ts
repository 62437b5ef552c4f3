/** What moved since a date: the tool, each operator with it, and the other tools of the same joints. */
import type { DriftToolModel, MovedRow } from '../contract/models/drift-model.ts';
import type { Figure } from './figure.ts';
import { figureSay, figureText } from './figure-format.ts';
import { type IntervalRow, intervalRows, intervalRowsHeight } from './interval-rows.ts';

export interface WhatMovedOptions {
  readonly width: number;
  readonly rowHeight?: number;
}

/** Height that `whatMoved` needs. */
export function whatMovedHeight(model: DriftToolModel, options: WhatMovedOptions): number {
  return intervalRowsHeight(model.whatMoved.length, options.rowHeight);
}

/** Builds the figure from the rows of the model, response first. */
export function whatMoved(model: DriftToolModel, options: WhatMovedOptions): Figure {
  const name = (row: MovedRow): string =>
    row.lane === 'own'
      ? figureText('figure.moved.own', { quantity: model.row.own.quantity })
      : figureText('figure.moved.response', { quantity: model.row.response.quantity });
  const ordered = [
    ...model.whatMoved.filter((row) => row.lane === 'response'),
    ...model.whatMoved.filter((row) => row.lane === 'own'),
  ];
  const rows: IntervalRow[] = ordered.map((row, k) => ({
    group: k === 0 || ordered[k - 1]?.lane !== row.lane ? name(row) : '',
    label: row.label,
    value: row.move?.percent ?? null,
    low95: row.move?.low95 ?? null,
    high95: row.move?.high95 ?? null,
    strong: row.excludesZero,
    why: row.move === null ? (row.why ? figureSay(row.why) : figureText('figure.moved.untold', {})) : null,
  }));
  return intervalRows(rows, {
    width: options.width,
    ...(options.rowHeight === undefined ? {} : { rowHeight: options.rowHeight }),
    title: figureText('figure.moved.title', { tool: model.row.tool, at: model.sinceAt }),
    summary: figureText('figure.moved.summary', {
      items: ordered.flatMap((row) =>
        row.move !== null && row.excludesZero
          ? [
              figureText('figure.moved.item', {
                label: row.label,
                lane: name(row).toLowerCase(),
                percent: row.move.percent,
                low95: row.move.low95,
                high95: row.move.high95,
              }),
            ]
          : [],
      ),
      untold: ordered.filter((row) => row.move === null).length,
    }),
  });
}

import { columnVisibilityFeature, createColumnHelper, rowSortingFeature, tableFeatures } from '@tanstack/react-table';
import type { ReactNode } from 'react';
import type { readingColumns } from '#core/contract/calls.ts';
import type { ReadingRow } from '#core/contract/models/shared.ts';
import type { MarkKind } from '#core/figures/figure.ts';
import { figureFormat } from '#core/figures/figure-format.ts';
import { torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { MarkGlyph } from '../../parts/mark-glyph.tsx';
import { PlaceInLimits } from '../../parts/place-in-limits.tsx';
import { t } from '../../parts/text.ts';
import { rowMark } from '../review/failing.tsx';

export const features = tableFeatures({ rowSortingFeature, columnVisibilityFeature });

export type SortColumn = (typeof readingColumns)[number];

/** Ids of the columns that the engine can sort by. */
export const sortable: Readonly<Record<string, SortColumn>> = {
  mark: 'verdict',
  time: 'at',
  joint: 'joint',
  fastener: 'fastener',
  tool: 'tool',
  operator: 'operator',
  torque: 'torque',
  torquePlace: 'torquePlace',
  angle: 'angle',
  anglePlace: 'anglePlace',
  ownResult: 'ownResult',
  attempt: 'attempt',
  source: 'source',
};

/** Id of the column that shows what the engine sorts by. */
export const columnOf = (column: SortColumn): string =>
  Object.entries(sortable).find(([, name]) => name === column)?.[0] ?? 'time';

/** Width of each column in pixels, in the order drawn; the last one takes what is left. */
export const widths: Readonly<Record<string, number>> = {
  mark: 34,
  date: 50,
  time: 80,
  joint: 120,
  fastener: 84,
  tool: 66,
  operator: 108,
  torque: 88,
  torquePlace: 86,
  angle: 56,
  anglePlace: 78,
  ownResult: 76,
  attempt: 32,
  note: 120,
  source: 142,
};

/** Columns whose texts may be longer: they grow to this width, in pixels, before the last column takes what is left. */
export const longest: Readonly<Record<string, number>> = { fastener: 112, source: 184 };

export const rightAligned: ReadonlySet<string> = new Set(['torque', 'angle', 'attempt']);

const helper = createColumnHelper<typeof features, ReadingRow>();

const stripMark = (row: ReadingRow, strip: 'torque' | 'angle'): MarkKind =>
  row.reasons.find((reason) => reason.startsWith(strip)) ?? (row.verdict === 'unjudged' ? 'unjudged' : 'inside');

const differs = (row: ReadingRow): boolean =>
  (row.ownResult === 'good' && row.verdict === 'fail') || (row.ownResult === 'bad' && row.verdict === 'pass');

/** What the head needs to know of the rows in view. */
export interface HeadFacts {
  /** Symbol of the unit that all rows share; empty: units differ. */
  readonly unit: string;
  /** Decimals of the angles, the same in every row. */
  readonly angleDecimals: number;
  readonly operator: (badge: string | null, name: string | null) => string;
}

/** The columns; made anew only when the head's facts change. */
export function readingsColumns(facts: HeadFacts) {
  const muted = (text: ReactNode): ReactNode => <span className="muted">{text}</span>;
  return helper.columns([
    helper.display({
      id: 'mark',
      header: () => <span className="hidden">{t('ui.readings.head.mark', {})}</span>,
      cell: ({ row }) => (
        <>
          <MarkGlyph kind={rowMark(row.original)} />
          {row.original.leftOut === null ? null : <MarkGlyph kind="left-out" size={9} />}
        </>
      ),
    }),
    helper.display({
      id: 'date',
      header: () => t('ui.readings.head.date', {}),
      cell: ({ row }) => (row.original.at === null ? muted('–') : figureFormat.dayMonth(row.original.at)),
    }),
    helper.display({
      id: 'time',
      header: () => t('ui.readings.head.time', {}),
      cell: ({ row: { original } }) =>
        original.at === null || original.atStepMs >= 86_400_000 ? muted('–') : clock(original.at, original.atStepMs),
    }),
    helper.display({
      id: 'joint',
      header: () => t('ui.readings.head.joint', {}),
      cell: ({ row }) => row.original.joint ?? muted(t('ui.review.no-joint', {})),
    }),
    helper.display({
      id: 'fastener',
      header: () => t('ui.readings.head.fastener', {}),
      cell: ({ row }) => row.original.fastener ?? muted('–'),
    }),
    helper.display({
      id: 'tool',
      header: () => t('ui.readings.head.tool', {}),
      cell: ({ row }) => row.original.tool ?? muted('–'),
    }),
    helper.display({
      id: 'operator',
      header: () => t('ui.readings.head.operator', {}),
      cell: ({ row }) => facts.operator(row.original.operator, row.original.operatorName) || muted('–'),
    }),
    helper.display({
      id: 'torque',
      header: () => t('ui.readings.head.torque', { unit: facts.unit }),
      cell: ({ row: { original } }) => {
        if (original.torque === null) return muted('–');
        const number = figureFormat.number(original.torque, original.torqueDecimals);
        return <strong>{facts.unit === '' ? `${number}\u00a0${torqueUnitSymbols[original.unit]}` : number}</strong>;
      },
    }),
    helper.display({
      id: 'torquePlace',
      header: () => t('ui.readings.head.torquePlace', {}),
      cell: ({ row: { original } }) => (
        <PlaceInLimits place={original.torquePlace} mark={stripMark(original, 'torque')} width={76} />
      ),
    }),
    helper.display({
      id: 'angle',
      header: () => t('ui.readings.head.angle', {}),
      cell: ({ row: { original } }) =>
        original.angleDeg === null ? muted('–') : figureFormat.number(original.angleDeg, facts.angleDecimals),
    }),
    helper.display({
      id: 'anglePlace',
      header: () => t('ui.readings.head.anglePlace', {}),
      cell: ({ row: { original } }) =>
        original.anglePlace === null ? null : (
          <PlaceInLimits place={original.anglePlace} mark={stripMark(original, 'angle')} width={60} />
        ),
    }),
    helper.display({
      id: 'ownResult',
      header: () => t('ui.readings.head.ownResult', {}),
      cell: ({ row: { original } }) => {
        if (original.ownResult === null) return muted('–');
        const own = t(`ui.readings.own.${original.ownResult}`, {});
        return differs(original) ? (
          <strong>{t('ui.readings.own.differs', { own })}</strong>
        ) : (
          <span className="second">{own}</span>
        );
      },
    }),
    helper.display({
      id: 'attempt',
      header: () => t('ui.readings.head.attempt', {}),
      cell: ({ row }) => row.original.attempt ?? '',
    }),
    helper.display({
      id: 'note',
      header: () => t('ui.readings.head.note', {}),
      cell: ({ row: { original } }) =>
        original.note === null ? (
          original.leftOut === null ? null : (
            <span className="muted" title={original.leftOut}>
              {original.leftOut}
            </span>
          )
        ) : (
          <span className="you" title={original.note}>
            {original.note}
          </span>
        ),
    }),
    helper.display({
      id: 'source',
      header: () => t('ui.readings.head.source', {}),
      cell: ({ row: { original } }) => (
        <span
          className="muted source-line"
          title={t('ui.detail.source-line', { name: original.sourceName, line: original.line })}
        >
          <span>{original.sourceName.replace(/\.[a-z]{2,4}$/i, '')}</span>
          {`, ${figureFormat.number(original.line)}`}
        </span>
      ),
    }),
  ]);
}

/** The time of day as exactly as it was written. */
function clock(at: number, stepMs: number): string {
  const time = figureFormat.time(at);
  return stepMs >= 60_000 ? time : `${time}:${String(Math.floor(at / 1000) % 60).padStart(2, '0')}`;
}

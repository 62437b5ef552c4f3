import type { ReactNode } from 'react';
import type { CauseRow, CauseTable } from '#core/contract/models/review-model.ts';
import type { MarkKind } from '#core/figures/figure.ts';
import { DataTable, type TableColumn } from '../../parts/data-table.tsx';
import { MarkGlyph, markPath } from '../../parts/mark-glyph.tsx';
import { plain, t } from '../../parts/text.ts';

const mostMarks = 30;

/** The mark that stands for a cause: torque before angle, as in the figure. */
export function causeMark(row: Pick<CauseRow, 'reasons'>): MarkKind {
  return row.reasons[0] ?? 'unjudged';
}

/** Why readings failed: one row a cause and joint, most frequent first. A selected row filters ribbon and list. */
export function Causes({
  table,
  selected,
  onSelect,
  onOpen,
}: {
  table: CauseTable;
  selected: string | null;
  onSelect: (key: string | null) => void;
  /** The readings behind a count. */
  onOpen: (row: CauseRow) => void;
}): ReactNode {
  const most = Math.max(1, ...table.rows.map((row) => row.count));
  const columns: readonly TableColumn<CauseRow>[] = [
    {
      id: 'cause',
      head: t('ui.review.causes.head', {}),
      className: 'cause',
      cell: (row) => (
        <>
          <MarkGlyph kind={causeMark(row)} quiet />{' '}
          <span className={row.key === selected ? 'strong' : ''}>
            {row.reasons.length > 0
              ? row.reasons.map((reason) => t(`ui.mark.${reason}`, {})).join(', ')
              : row.unjudgedBecause
                ? plain(row.unjudgedBecause)
                : t('ui.mark.unjudged', {})}
          </span>{' '}
          <span className="second">{row.joint ?? t('ui.review.no-joint', {})}</span>
        </>
      ),
    },
    {
      id: 'marks',
      head: t('ui.review.causes.marks', {}),
      className: 'marks',
      cell: (row) => <Marks row={row} most={most} />,
    },
    {
      id: 'count',
      head: t('ui.review.causes.count', {}),
      right: true,
      className: 'strong',
      cell: (row) => (
        <button
          type="button"
          className="link count"
          tabIndex={-1}
          title={t('ui.review.in-readings', {})}
          onClick={(event) => {
            event.stopPropagation();
            onOpen(row);
          }}
        >
          {row.count}
        </button>
      ),
    },
    {
      id: 'running',
      head: t('ui.review.causes.running', {}),
      right: true,
      className: 'muted',
      cell: (row) => `${Math.round(row.running * 100)}\u00a0%`,
    },
  ];
  return (
    <DataTable
      label={t('ui.review.causes', {})}
      className="causes"
      columns={columns}
      rows={table.rows}
      keyOf={(row) => row.key}
      selected={selected}
      onSelect={(key) => onSelect(key === selected ? null : key)}
      onOpen={(key) => {
        const row = table.rows.find((one) => one.key === key);
        if (row) onOpen(row);
      }}
      empty={t('ui.review.causes.none', {})}
    />
  );
}

/** One mark a reading; above thirty a bar, since a row of marks could no longer be counted. */
function Marks({ row, most }: { row: CauseRow; most: number }): ReactNode {
  if (row.count > mostMarks) {
    const kind = causeMark(row);
    const colour = kind === 'unjudged' ? 'unjudged' : kind.endsWith('low') ? 'low' : 'high';
    return (
      <svg width={110} height={12} aria-hidden="true">
        <rect className={`bar ${colour}`} x={0} y={2} width={Math.max(2, (row.count / most) * 108)} height={8} />
      </svg>
    );
  }
  const step = row.count > 12 ? 108 / row.count : 9.2;
  return (
    <svg width={Math.max(14, row.count * step + 6)} height={12} aria-hidden="true">
      {Array.from({ length: row.count }, (_, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the marks are alike
        <g key={index}>{markPath(causeMark(row), 6 + index * step, 6, 0.8)}</g>
      ))}
    </svg>
  );
}

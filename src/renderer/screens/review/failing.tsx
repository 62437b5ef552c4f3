import { type ReactNode, useState } from 'react';
import type { FailingRow } from '#core/contract/models/review-model.ts';
import type { ReadingRow } from '#core/contract/models/shared.ts';
import type { MarkKind } from '#core/figures/figure.ts';
import { figureFormat } from '#core/figures/figure-format.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { type TorqueUnit, torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { Button } from '../../parts/button.tsx';
import { DataTable, type TableColumn } from '../../parts/data-table.tsx';
import { MarkGlyph } from '../../parts/mark-glyph.tsx';
import { PlaceInLimits } from '../../parts/place-in-limits.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';
import { NoteForm } from './note-form.tsx';

const rowsAtOnce = 50;

/** The mark of a row: the first reason, torque before angle. */
export function rowMark(row: Pick<ReadingRow, 'verdict' | 'reasons'>): MarkKind {
  return row.verdict === 'unjudged' ? 'unjudged' : (row.reasons[0] ?? 'inside');
}

/** The unit that all rows share, or null. */
export function commonUnit(rows: readonly ReadingRow[]): TorqueUnit | null {
  const first = rows[0]?.unit ?? null;
  return rows.every((row) => row.unit === first) ? first : null;
}

const failedByAngle = (row: ReadingRow): boolean =>
  row.reasons.length > 0 && row.reasons.every((reason) => reason.startsWith('angle'));

/** The reading that failed: torque, or the angle where only the angle did. */
export function ReadingValue({ row, unit }: { row: ReadingRow; unit: TorqueUnit | null }): ReactNode {
  if (failedByAngle(row) && row.angleDeg !== null) return `${figureFormat.number(row.angleDeg, 0)}\u00a0°`;
  if (row.torque === null) return '–';
  const text = figureFormat.number(row.torque, row.torqueDecimals);
  if (row.unit === unit) return text;
  return (
    <>
      {text} <span className="unit">{torqueUnitSymbols[row.unit]}</span>
    </>
  );
}

interface FailingProps {
  readonly rows: readonly FailingRow[];
  readonly selected: string | null;
  readonly onSelect: (id: string | null) => void;
  readonly onOpen: (id: string) => void;
  /** Reading whose note is being written. */
  readonly writing: string | null;
  readonly onWrite: (id: string | null) => void;
}

/** The failing readings in time order; a note is written in place. */
export function Failing(props: FailingProps): ReactNode {
  const { rows, selected, onSelect, onOpen, writing, onWrite } = props;
  const [page, setPage] = useState(0);
  const selectedAt = rows.findIndex((row) => row.id === selected);
  const pages = Math.max(1, Math.ceil(rows.length / rowsAtOnce));
  const shownPage = selectedAt >= 0 ? Math.floor(selectedAt / rowsAtOnce) : Math.min(page, pages - 1);
  const from = shownPage * rowsAtOnce;
  const shown = rows.slice(from, from + rowsAtOnce);
  const unit = commonUnit(rows);
  const times = rows.flatMap((row) => (row.at === null ? [] : [row.at]));
  const severalDays = times.length > 0 && Math.max(...times) - Math.min(...times) > msPerDay / 2;
  const turn = (direction: -1 | 1): void => {
    onSelect(null);
    setPage(Math.max(0, Math.min(pages - 1, shownPage + direction)));
  };
  if (rows.length === 0) return null;
  const columns: readonly TableColumn<FailingRow>[] = [
    {
      id: 'mark',
      head: <span className="hidden">{t('ui.readings.head.mark', {})}</span>,
      className: 'mark-cell',
      cell: (row) => <MarkGlyph kind={rowMark(row)} />,
    },
    {
      id: 'time',
      head: t('ui.review.failing.time', {}),
      className: 'time',
      cell: (row) =>
        row.at === null
          ? '–'
          : severalDays
            ? `${figureFormat.dayMonth(row.at)} ${figureFormat.time(row.at)}`
            : figureFormat.time(row.at),
    },
    {
      id: 'joint',
      head: t('ui.review.failing.joint', {}),
      className: 'joint',
      cell: (row) => (
        <span title={`${row.joint ?? ''} ${row.fastener ?? ''}`}>
          {row.joint ?? <span className="muted">{t('ui.review.no-joint', {})}</span>}{' '}
          <span className="muted">{row.fastener ?? ''}</span>
        </span>
      ),
    },
    { id: 'tool', head: t('ui.review.failing.tool', {}), className: 'tool', cell: (row) => row.tool ?? '–' },
    {
      id: 'reading',
      head: t('ui.review.failing.reading', {}),
      right: true,
      className: 'strong value',
      cell: (row) => <ReadingValue row={row} unit={unit} />,
    },
    {
      id: 'place',
      head: t('ui.review.failing.place', {}),
      className: 'place-cell',
      cell: (row) => (
        <PlaceInLimits place={failedByAngle(row) ? row.anglePlace : row.torquePlace} mark={rowMark(row)} width={46} />
      ),
    },
    {
      id: 'note',
      head: t('ui.review.failing.note', {}),
      className: 'note-cell',
      cell: (row) => <NoteCell row={row} selected={row.id === selected} onWrite={() => onWrite(row.id)} />,
    },
  ];
  return (
    <>
      <div className="failing-scroll">
        <DataTable
          label={t('ui.review.failing', {})}
          className={`failing${unit === null ? ' mixed' : ''}${severalDays ? ' days' : ''}`}
          columns={columns}
          rows={shown}
          keyOf={(row) => row.id}
          selected={selected}
          onSelect={onSelect}
          onOpen={onOpen}
          under={(row) =>
            row.id === writing ? (
              <NoteForm
                readings={[row.id]}
                start={row.question ? `${plain(row.question)} ` : ''}
                onDone={() => onWrite(null)}
              />
            ) : null
          }
        />
      </div>
      {pages > 1 ? (
        <p className="caption pages">
          {t('ui.review.failing.page', { from: from + 1, to: from + shown.length, of: rows.length })}{' '}
          <Button kind="link" onPress={() => turn(-1)} disabled={shownPage === 0}>
            {t('ui.scope.earlier', {})}
          </Button>{' '}
          <Button kind="link" onPress={() => turn(1)} disabled={shownPage === pages - 1}>
            {t('ui.scope.later', {})}
          </Button>
        </p>
      ) : null}
    </>
  );
}

function NoteCell({ row, selected, onWrite }: { row: FailingRow; selected: boolean; onWrite: () => void }): ReactNode {
  if (row.note !== null || row.disposition !== null) {
    const text = row.note ?? '';
    const words = disposed(row.disposition);
    const by = row.noteBy !== null && row.noteMs !== null ? { by: row.noteBy, at: row.noteMs } : null;
    return (
      <span className="you" title={`${text}${by ? ` (${t('ui.review.note.by', by)})` : ''}`}>
        {words === '' || text === '' ? words || text : `${words}: ${text}`}
      </span>
    );
  }
  if (row.question) {
    return (
      <Button kind="link" onPress={onWrite}>
        <span className="you">
          <Sentence of={row.question} />
        </span>
      </Button>
    );
  }
  if (selected) {
    return (
      <Button kind="link" onPress={onWrite}>
        <span className="you strong">{t('ui.review.write-note', {})}</span> <kbd>N</kbd>
      </Button>
    );
  }
  return row.outcome ? (
    <span title={plain(row.outcome)}>
      <Sentence of={row.outcome} />
    </span>
  ) : (
    <span className="muted">{t('ui.disposition.open', {})}</span>
  );
}

function disposed(disposition: string | null): string {
  switch (disposition) {
    case 'open':
    case 're-checked':
    case 're-tightened':
    case 'replaced':
    case 'cleaned':
    case 'accepted':
      return t(`ui.disposition.${disposition}`, {});
    default:
      return '';
  }
}

/** When nothing failed: the readings that came nearest to a limit. */
export function Nearest({ rows, onOpen }: { rows: readonly ReadingRow[]; onOpen: (id: string) => void }): ReactNode {
  const unit = commonUnit(rows);
  const nearer = (row: ReadingRow): number | null =>
    Math.abs(row.anglePlace ?? 0) > Math.abs(row.torquePlace ?? 0) ? row.anglePlace : row.torquePlace;
  return (
    <DataTable
      label={t('ui.review.nearest', {})}
      columns={[
        { id: 'mark', head: '', className: 'mark-cell', cell: () => <MarkGlyph kind="inside" /> },
        {
          id: 'time',
          head: t('ui.review.failing.time', {}),
          cell: (row) => (row.at === null ? '–' : figureFormat.time(row.at)),
        },
        { id: 'joint', head: t('ui.review.failing.joint', {}), cell: (row) => row.joint ?? '–' },
        { id: 'tool', head: t('ui.review.failing.tool', {}), cell: (row) => row.tool ?? '–' },
        {
          id: 'reading',
          head: t('ui.review.failing.reading', {}),
          right: true,
          className: 'strong',
          cell: (row) => <ReadingValue row={row} unit={unit} />,
        },
        {
          id: 'place',
          head: t('ui.review.failing.place', {}),
          cell: (row) => <PlaceInLimits place={nearer(row)} mark="inside" width={48} />,
        },
        {
          id: 'open',
          head: '',
          cell: (row) => (
            <Button kind="link" onPress={() => onOpen(row.id)}>
              {t('ui.review.in-readings', {})}
            </Button>
          ),
        },
      ]}
      rows={rows}
      keyOf={(row) => row.id}
    />
  );
}

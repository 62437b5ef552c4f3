import { type ReactNode, useEffect, useState } from 'react';
import type { CollectionRow, Due as DueState } from '#core/contract/models/review-model.ts';
import { useCall } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Region } from '../../parts/region.tsx';
import { t } from '../../parts/text.ts';

type What = 'read-out' | 'check' | 'calibrate';

interface DueRow {
  readonly what: What;
  readonly state: DueState;
  readonly row: CollectionRow;
  readonly at: number | null;
}

const order: Readonly<Record<DueState, number>> = { overdue: 0, today: 1, soon: 2, later: 3, unknown: 4 };
const shownMost = 8;

/** Which wrench must be read out before its memory fills, and which checks and calibrations are due. */
export function Due({ now, onTool }: { now: number; onTool: (tool: string) => void }): ReactNode {
  const asked = useCall('collection:read', { now }, 'drift-due');
  const rows = (asked.value?.rows ?? []).filter((row) => row.status !== 'retired').flatMap(dueRows);
  rows.sort((a, b) => order[a.state] - order[b.state] || (a.at ?? 0) - (b.at ?? 0));
  const pressing = rows.filter((row) => row.state === 'overdue' || row.state === 'today');
  const next = rows.filter((row) => row.state === 'soon');
  // The next read-out is always named, so that an empty list is no surprise tomorrow.
  const named = [...pressing, ...next].some((row) => row.what === 'read-out');
  const later = named ? [] : rows.filter((row) => row.state === 'later' && row.what === 'read-out').slice(0, 1);
  const all = [...pressing, ...next, ...later];
  const [printing, setPrinting] = useState(false);
  useEffect(() => {
    if (!printing) return;
    // The list alone, whole, on one page; the class comes off when the print dialog closes.
    document.documentElement.classList.add('print-due');
    const done = (): void => setPrinting(false);
    window.addEventListener('afterprint', done);
    window.print();
    return () => {
      document.documentElement.classList.remove('print-due');
      window.removeEventListener('afterprint', done);
    };
  }, [printing]);
  const shown = printing
    ? rows.filter((row) => row.state !== 'later' || row.what === 'read-out')
    : all.slice(0, shownMost);
  return (
    <Region
      title={t('ui.drift.due', {})}
      note={t('ui.drift.due.day', { now })}
      end={
        rows.length > 0 ? (
          <Button kind="link" onPress={() => setPrinting(true)}>
            {t('ui.drift.due.print', {})}
          </Button>
        ) : undefined
      }
      className="due"
    >
      <ProblemLine problem={asked.problem} onAgain={asked.again} />
      {asked.value && pressing.length === 0 ? <p className="caption">{t('ui.drift.due.none', {})}</p> : null}
      {shown.length > 0 ? (
        <table className="data due-table" aria-label={t('ui.drift.due', {})}>
          <tbody>
            {shown.map((due) => (
              <Row key={`${due.row.tool} ${due.what}`} due={due} onTool={onTool} />
            ))}
          </tbody>
        </table>
      ) : null}
      {!printing && all.length > shown.length ? (
        <p className="caption">{t('ui.drift.due.more', { count: all.length - shown.length })}</p>
      ) : null}
    </Region>
  );
}

function dueRows(row: CollectionRow): DueRow[] {
  return [
    { what: 'read-out', state: row.readOut, row, at: row.fullOn },
    { what: 'calibrate', state: row.calibration, row, at: row.calibrationDue },
    { what: 'check', state: row.check, row, at: row.checkDue },
  ].filter((due): due is DueRow => due.state !== 'unknown');
}

function Row({ due, onTool }: { due: DueRow; onTool: (tool: string) => void }): ReactNode {
  const { what, state, row, at } = due;
  const now = state === 'overdue' || state === 'today';
  return (
    <tr className={now ? 'now' : ''}>
      <td>{!now && what === 'read-out' ? t('ui.drift.due.next', {}) : t(`ui.drift.due.${what}`, {})}</td>
      <td>
        <Button kind="link" onPress={() => onTool(row.tool)}>
          {row.tool}
        </Button>
      </td>
      <td className="second">
        {what === 'read-out' ? (
          <Memory row={row} />
        ) : what === 'calibrate' ? (
          row.lastCheck === null ? (
            t('ui.drift.due.unchecked', {})
          ) : (
            t('ui.drift.due.last-check', { at: row.lastCheck })
          )
        ) : row.lastCheck === null ? (
          t('ui.drift.due.never', {})
        ) : (
          t('ui.drift.due.last-check', { at: row.lastCheck })
        )}
      </td>
      <td className="right">
        {at === null
          ? t('ui.drift.due.now', {})
          : what === 'read-out'
            ? t('ui.drift.due.full', { at, today: state === 'today' || state === 'overdue', past: state === 'overdue' })
            : t('ui.drift.due.on', { at, overdue: state === 'overdue', today: state === 'today' })}
      </td>
    </tr>
  );
}

/** Stored readings as an ink bar on grey. */
function Memory({ row }: { row: CollectionRow }): ReactNode {
  const { stored, capacity, perDay } = row;
  if (stored === null || capacity === null) return t('ui.drift.due.memory-unknown', {});
  const share = Math.max(0, Math.min(1, stored / capacity));
  return (
    <span className="memory">
      <svg width="72" height="10" aria-hidden="true">
        <rect y="3" width="72" height="5" className="room" />
        <rect y="3" width={72 * share} height="5" className="used" />
      </svg>
      {t('ui.drift.due.memory', { stored, capacity, perDay })}
    </span>
  );
}

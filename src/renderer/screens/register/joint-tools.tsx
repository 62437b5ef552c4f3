import type { ReactNode } from 'react';
import type { JointModel } from '#core/contract/models/register-model.ts';
import { said } from '#core/text/said.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { Button } from '../../parts/button.tsx';
import { DataTable } from '../../parts/data-table.tsx';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { openPlace } from './register-place.ts';

/** The tools that tighten a joint: their last check, what is due, and where they can prove inside. */
export function JointTools({ joint, today }: { joint: JointModel; today: number }): ReactNode {
  const day = (at: number | null): ReactNode =>
    at === null ? (
      <span className="muted">{t('register-ui.not-known', {})}</span>
    ) : at < today - (today % msPerDay) ? (
      <Sentence of={said('register-ui.overdue-day', { at })} />
    ) : (
      t('register-ui.day', { at })
    );
  return (
    <Region
      title={t('register-ui.joint.tools', {})}
      note={<Sentence of={joint.toolsCaption} />}
      className="joint-tools"
    >
      <DataTable
        label={t('register-ui.joint.tools', {})}
        rows={joint.tools}
        keyOf={(row) => row.tool}
        empty={t('register-ui.joint.no-tools', {})}
        columns={[
          {
            id: 'tool',
            head: t('register-ui.tool', {}),
            className: 'strong',
            cell: (row) => (
              <Button kind="link" onPress={() => openPlace({ kind: 'tool', name: row.tool })}>
                {row.tool}
              </Button>
            ),
          },
          {
            id: 'readings',
            head: t('register-ui.readings', {}),
            right: true,
            cell: (row) => t('register-ui.count', { count: row.readings }),
          },
          {
            id: 'check',
            head: t('register-ui.last-check', {}),
            className: 'spaced',
            cell: (row) =>
              row.lastCheck === null ? (
                <span className="muted">{t('register-ui.never', {})}</span>
              ) : (
                t('register-ui.day', { at: row.lastCheck })
              ),
          },
          { id: 'pulls', head: t('register-ui.pulls', {}), right: true, cell: (row) => row.pulls ?? '' },
          {
            id: 'd',
            head: t('register-ui.d-percent', {}),
            right: true,
            className: 'strong',
            cell: (row) =>
              row.deviationPercent === null
                ? ''
                : t('register-ui.signed', { value: row.deviationPercent, decimals: 1 }),
          },
          {
            id: 'get',
            head: t('register-ui.fasteners-get', {}),
            className: 'spaced',
            cell: (row) => (row.fastenersGet ? <Sentence of={row.fastenersGet} /> : ''),
          },
          { id: 'next', head: t('register-ui.next-check', {}), cell: (row) => day(row.checkDue) },
          { id: 'cal', head: t('register-ui.calibration-due', {}), cell: (row) => day(row.calibrationDue) },
          {
            id: 'proved',
            head: t('register-ui.proved', {}),
            cell: (row) =>
              row.provedFrom !== null && row.provedTo !== null ? (
                t('register-ui.proved-range', { from: row.provedFrom, to: row.provedTo })
              ) : (
                <span className="muted">
                  {row.accuracyRatio === null ? t('register-ui.not-known', {}) : t('register-ui.proved-none', {})}
                </span>
              ),
          },
          {
            id: 'memory',
            head: t('register-ui.memory', {}),
            className: 'second only-wide',
            cell: (row) =>
              row.stored === null || row.capacity === null
                ? ''
                : t('register-ui.memory-of', { stored: row.stored, capacity: row.capacity, perDay: row.perDay }),
          },
          {
            id: 'full',
            head: t('register-ui.full-on', {}),
            className: 'only-wide',
            cell: (row) => (row.fullOn === null ? '' : t('register-ui.day', { at: row.fullOn })),
          },
        ]}
      />
    </Region>
  );
}

import { type ReactNode, useCallback, useState } from 'react';
import type { CheckRow, ToolModel } from '#core/contract/models/register-model.ts';
import { checkHistory } from '#core/figures/check-history.ts';
import type { Figure } from '#core/figures/figure.ts';
import { said } from '#core/text/said.ts';
import { torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { useCall } from '../../bridge/use-call.ts';
import { FigureView } from '../../figures/figure-view.tsx';
import { Button } from '../../parts/button.tsx';
import { DataTable } from '../../parts/data-table.tsx';
import { useKeys } from '../../parts/keys.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { changeView } from '../../state/view.ts';
import { Adapters } from './adapters.tsx';
import { CheckForm } from './check-form.tsx';
import { CheckTable } from './check-table.tsx';
import { EventForm } from './event-form.tsx';
import { openPlace } from './register-place.ts';
import { RemoveEntry } from './remove-entry.tsx';
import { ToolForm } from './tool-form.tsx';

const figureHeight = 196;
const emptyFigure: Figure = { title: '', summary: '', panes: [] };

/** One wrench: its checks against the permitted band, what is due, where it is used. */
export function ToolPage({
  serial,
  now,
  onTold,
}: {
  serial: string;
  now: number;
  onTold: (words: string) => void;
}): ReactNode {
  const tool = useCall('register:tool', { tool: serial }, 'register-tool');
  const shown = tool.value?.serial === serial ? tool.value : null;
  return (
    <>
      <Waiting on={tool.loading && shown === null} onCancel={tool.cancel} />
      <ProblemLine problem={tool.problem} onAgain={tool.again} />
      {shown ? (
        <Tool key={serial} tool={shown} now={now} onTold={onTold} />
      ) : (
        <h1 className="register-title">{serial}</h1>
      )}
    </>
  );
}

function Tool({ tool, now, onTold }: { tool: ToolModel; now: number; onTold: (words: string) => void }): ReactNode {
  const [open, setOpen] = useState<'nothing' | 'check' | 'edit' | 'event'>('nothing');
  const [selected, setSelected] = useState<string | null>(null);
  const toggle = (what: 'check' | 'edit' | 'event'): void => setOpen(open === what ? 'nothing' : what);
  useKeys({ l: () => toggle('check') });
  const build = useCallback(
    (size: { width: number; height: number }) => checkHistory(tool.checks, tool.events, size) ?? emptyFigure,
    [tool],
  );
  return (
    <>
      <header className="register-head">
        <div>
          <h1 className="register-title">{tool.serial}</h1>
          <p className="second">
            <Sentence of={tool.said} />
          </p>
        </div>
        <div className="actions">
          <Button keyName="L" onPress={() => toggle('check')} expanded={open === 'check'}>
            {t('register-ui.tool.log-check', {})}
          </Button>
          <Button onPress={() => toggle('edit')} expanded={open === 'edit'}>
            {t('register-ui.edit', {})}
          </Button>
          <Button keyName="D" onPress={() => changeView({ screen: 'drift', tool: tool.serial })}>
            {t('register-ui.drift', {})}
          </Button>
          <Button keyName="R" onPress={() => changeView({ screen: 'readings', tools: [tool.serial] })}>
            {t('register-ui.readings', {})}
          </Button>
        </div>
      </header>
      {open === 'check' ? <CheckForm tool={tool} now={now} onDone={() => setOpen('nothing')} onTold={onTold} /> : null}
      {open === 'edit' ? (
        <>
          <ToolForm tool={tool} onDone={() => setOpen('nothing')} onTold={onTold} />
          <RemoveEntry kind="tool" name={tool.serial} onTold={onTold} onRetired={() => setOpen('nothing')} />
        </>
      ) : null}
      <div className="register-columns tool">
        <div>
          <Region title={t('register-ui.checks.heading', {})} note={t('register-ui.checks.note', {})}>
            {tool.checks.length === 0 ? (
              <p className="no-limits">{t('register-ui.checks.none', { tool: tool.serial })}</p>
            ) : (
              <>
                <p className="axis-title">{t('register-ui.checks.axis', {})}</p>
                <FigureView build={build} height={figureHeight} selected={selected} onSelect={setSelected} />
                <CheckTable
                  checks={newestFirst(tool.checks)}
                  selected={selected}
                  onSelect={setSelected}
                  label={t('register-ui.checks.title', { tool: tool.serial })}
                />
              </>
            )}
          </Region>
          <Region title={t('register-ui.tool.joints', {})} className="joint-tools">
            <DataTable
              label={t('register-ui.tool.joints', {})}
              className="short-table"
              rows={tool.joints}
              keyOf={(row) => row.name}
              empty={t('register-ui.tool.no-joints', {})}
              columns={[
                {
                  id: 'name',
                  head: t('register-ui.joint', {}),
                  className: 'strong',
                  cell: (row) => (
                    <Button kind="link" onPress={() => openPlace({ kind: 'joint', name: row.name })}>
                      {row.name}
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
                  id: 'outside',
                  head: t('register-ui.outside', {}),
                  right: true,
                  cell: (row) => t('register-ui.count', { count: row.fail }),
                },
              ]}
            />
          </Region>
          <Adapters tool={tool} now={now} onTold={onTold} />
        </div>
        <div className="tool-side">
          {tool.due.length > 0 ? (
            <Region title={t('register-ui.tool.what-is-due', {})}>
              <ul className="said-list">
                {tool.due.map((item, index) => (
                  // biome-ignore lint/suspicious/noArrayIndexKey: sentences have no identity but their place
                  <li key={index}>
                    <Sentence of={item} />
                  </li>
                ))}
              </ul>
              <p className="caption">{t('register-ui.tool.quarantine-note', {})}</p>
            </Region>
          ) : null}
          <ToolFacts tool={tool} />
          <Region
            title={t('register-ui.tool.events', {})}
            end={
              <Button kind="link" expanded={open === 'event'} onPress={() => toggle('event')}>
                {t('register-ui.event.add', {})}
              </Button>
            }
          >
            {open === 'event' ? (
              <EventForm serial={tool.serial} now={now} onDone={() => setOpen('nothing')} onTold={onTold} />
            ) : null}
            {tool.events.length === 0 ? (
              <p className="caption">{t('register-ui.tool.no-events', {})}</p>
            ) : (
              <ul className="said-list">
                {[...tool.events].reverse().map((event) => (
                  <li key={`${event.at} ${event.kind}`}>
                    {t('register-ui.day', { at: event.at })},{' '}
                    {event.kind === 'calibration' ? t('register-ui.calibrated', {}) : t('register-ui.repaired', {})}
                    {event.note === null ? '' : `: ${event.note}`}
                  </li>
                ))}
              </ul>
            )}
          </Region>
        </div>
      </div>
    </>
  );
}

const newestFirst = (checks: readonly CheckRow[]): CheckRow[] => [...checks].reverse();

function ToolFacts({ tool }: { tool: ToolModel }): ReactNode {
  const number = (value: number | null): ReactNode =>
    value === null ? (
      <span className="muted">{t('register-ui.not-known', {})}</span>
    ) : (
      t('register-ui.plain-number', { value })
    );
  const facts: readonly (readonly [string, ReactNode])[] = [
    [
      t('register-ui.tool.range', {}),
      tool.unit === null
        ? number(null)
        : t('register-ui.tool.range-of', { min: tool.min, max: tool.max, unit: torqueUnitSymbols[tool.unit] }),
    ],
    [
      t('register-ui.tool.status', {}),
      tool.status === 'in-use' ? t('register-ui.tool.in-use', {}) : t(`register-ui.${tool.status}`, {}),
    ],
    [t('register-ui.tool.permitted', {}), number(tool.permissibleDeviationPercent)],
    [
      t('register-ui.calibration-due', {}),
      tool.calibrationDue === null ? (
        number(null)
      ) : tool.calibrationOverdue ? (
        <Sentence key="due" of={said('register-ui.overdue-day', { at: tool.calibrationDue })} />
      ) : (
        t('register-ui.day', { at: tool.calibrationDue })
      ),
    ],
    [
      t('register-ui.next-check', {}),
      tool.checkDue === null ? number(null) : t('register-ui.day', { at: tool.checkDue }),
    ],
    [
      t('register-ui.tool.cycles-since', {}),
      tool.cyclesSince === null ? (
        number(null)
      ) : (
        <span key="cycles" title={t('register-ui.tool.cycles-note', {})}>
          {t('register-ui.count', { count: tool.cyclesSince })}
          {tool.intervalCycles === null ? '' : ` / ${t('register-ui.count', { count: tool.intervalCycles })}`}
        </span>
      ),
    ],
    [
      t('register-ui.memory', {}),
      tool.stored === null || tool.storageCapacity === null
        ? number(tool.storageCapacity)
        : t('register-ui.memory-of', { stored: tool.stored, capacity: tool.storageCapacity, perDay: tool.perDay }),
    ],
    [t('register-ui.full-on', {}), tool.fullOn === null ? number(null) : t('register-ui.day', { at: tool.fullOn })],
    [t('register-ui.tool.length', {}), number(tool.lengthMm)],
    [
      t('register-ui.tool.used', {}),
      tool.firstAt === null || tool.lastAt === null
        ? t('register-ui.count', { count: tool.readings })
        : t('register-ui.tool.used-from-to', { readings: tool.readings, from: tool.firstAt, to: tool.lastAt }),
    ],
  ];
  return (
    <Region title={t('register-ui.tool.facts', {})}>
      <dl className="facts">
        {facts.map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
    </Region>
  );
}

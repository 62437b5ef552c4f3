import { type ReactNode, useCallback, useMemo, useState } from 'react';
import { type AppStatus, type ReadingsFilter, readingNotices } from '#core/contract/calls.ts';
import type {
  AgainModel,
  CauseRow,
  CauseTable,
  PaceModel,
  PeriodComparison,
  ReviewModel,
  ReviewNotice,
} from '#core/contract/models/review-model.ts';
import { paceColumns } from '#core/figures/pace-columns.ts';
import { tightenedAgain } from '#core/figures/tightened-again.ts';
import { msPerDay, msPerMinute, startOfDay } from '#core/time/civil-time.ts';
import { torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { useBridge } from '../../bridge/use-bridge.ts';
import { type Called, useCall } from '../../bridge/use-call.ts';
import { type FigureSize, FigureView } from '../../figures/figure-view.tsx';
import { Button } from '../../parts/button.tsx';
import { neighbourKey } from '../../parts/data-table.tsx';
import { EmptyState } from '../../parts/empty-state.tsx';
import { useKeys } from '../../parts/keys.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Region } from '../../parts/region.tsx';
import { ScopeBar } from '../../parts/scope-bar.tsx';
import { Finding, Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { useMadeFile } from '../../parts/use-made-file.ts';
import { useWindowHeight } from '../../parts/use-window-height.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { useNow } from '../../state/use-now.ts';
import { useStatus } from '../../state/use-status.ts';
import { changeView, currentView, narrowScope, type Period, periodScope, useView } from '../../state/view.ts';
import { Causes } from './causes.tsx';
import { commonUnit, Failing, Nearest } from './failing.tsx';
import { Fasteners } from './fasteners.tsx';
import { Matrix } from './matrix.tsx';
import './review.css';
import { RibbonKey, RibbonView } from './ribbon-view.tsx';

/** What went wrong this shift, and is it one thing or many? */
export default function ReviewScreen(): ReactNode {
  const view = useView();
  const status = useStatus();
  const scope = periodScope(view);
  const known = view.period !== null;
  const whole = useCall('review:read', known ? { scope, ink: view.tool } : null, 'review whole');
  const narrow = useCall(
    'review:read',
    known && view.brush ? { scope: narrowScope(view), ink: view.tool } : null,
    'review narrow',
  );
  const below = view.brush ? (narrow.value ?? whole.value) : whole.value;

  return (
    <>
      <ScopeBar end={t('ui.scope.judged', {})} />
      <div className="screen review">
        <Waiting
          on={(known && whole.loading) || (view.brush !== null && narrow.loading)}
          progress={whole.progress}
          onCancel={whole.cancel}
        />
        <ProblemLine problem={whole.problem ?? narrow.problem} onAgain={whole.again} />
        {status && status.readings === 0 && !status.loading ? (
          <EmptyState
            action={
              <Button kind="go" onPress={() => changeView({ screen: 'intake' })}>
                {t('ui.empty.go-intake', {})}
              </Button>
            }
          >
            {t('ui.empty.no-readings', {})}
          </EmptyState>
        ) : whole.value?.empty ? (
          <EmptyPeriod model={whole.value} />
        ) : whole.value && below ? (
          <Reviewed whole={whole} below={below} />
        ) : null}
      </div>
    </>
  );
}

function EmptyPeriod({ model }: { model: ReviewModel }): ReactNode {
  if (!model.empty) return null;
  const { nearestAt, nearestShift, said } = model.empty;
  const go = (): void => {
    if (nearestAt === null) return;
    const day = startOfDay(nearestAt);
    changeView({ period: { from: day, to: day + msPerDay, shift: nearestShift }, brush: null });
  };
  return (
    <EmptyState
      action={
        nearestAt === null ? undefined : (
          <Button kind="go" onPress={go}>
            {t('ui.review.go-nearest', {})}
          </Button>
        )
      }
    >
      <Sentence of={said} />
    </EmptyState>
  );
}

/** The readings of a row, an opened reading or the failing ones, on the Readings screen. */
function openReadings(filters: readonly ReadingsFilter[], reading: string | null): void {
  changeView({ screen: 'readings', filters, reading });
}

/**
 * The readings that a row of causes counts: first tries with these reasons at this joint. Where another row shares a reason
 * with it the readings are named one by one, as long as the row names them all.
 */
function causeFilters(row: CauseRow, table: CauseTable): readonly ReadingsFilter[] {
  const shares = (other: CauseRow): boolean =>
    row.reasons.length === 0
      ? other.reasons.length === 0
      : other.reasons.some((reason) => row.reasons.includes(reason));
  const alone = !table.rows.some((other) => other.key !== row.key && other.joint === row.joint && shares(other));
  if (!alone && row.readings.length === row.count) return [{ column: 'reading', anyOf: [...row.readings] }];
  return [
    { column: 'verdict', anyOf: row.reasons.length > 0 ? [...row.reasons] : ['unjudged'] },
    { column: 'joint', anyOf: [row.joint ?? ''] },
    { column: 'attempt', from: 1, to: 1 },
  ];
}

function Reviewed({ whole, below }: { whole: Called<ReviewModel>; below: ReviewModel }): ReactNode {
  const view = useView();
  const bridge = useBridge();
  const made = useMadeFile();
  const windowHeight = useWindowHeight();
  const [cause, setCause] = useState<string | null>(null);
  const [writing, setWriting] = useState<string | null>(null);
  const model = whole.value!; // the caller shows this part only with a model
  const ribbon = model.ribbon;
  // Without limits there is nothing but the rail of unjudged readings.
  const height = ribbon.strips.length === 0 ? 130 : windowHeight < 800 ? 240 : 316;
  const unknownJoint = below.finding.some((sentence) => sentence.key === 'review.finding-unknown-joint');
  const withoutLimits =
    below.causes.rows.find((row) => row.reasons.length === 0 && row.joint !== null && !row.clockUnset)?.joint ?? null;
  const causeRow = below.causes.rows.find((row) => row.key === cause) ?? null;
  const only = useMemo(
    () =>
      causeRow
        ? new Set([
            ...causeRow.readings,
            ...below.failing.rows.filter((row) => row.cause === causeRow.key).map((row) => row.id),
          ])
        : null,
    [causeRow, below],
  );
  const rows = useMemo(
    () => (only ? below.failing.rows.filter((row) => only.has(row.id)) : below.failing.rows),
    [only, below],
  );
  const selected = view.reading;
  const select = useCallback((id: string | null) => changeView({ reading: id }, 'replace'), []);
  const open = useCallback((id: string) => openReadings([], id), []);
  const brushTo = useCallback((range: { from: number; to: number } | null) => changeView({ brush: range }), []);
  const selectedRow = below.failing.rows.find((row) => row.id === selected) ?? null;
  const tool = selectedRow?.tool ?? view.tool ?? ribbon.ink;

  const step = (direction: -1 | 1): void => select(neighbourKey(rows, (row) => row.id, selected, direction));
  const failingFilters = (): readonly ReadingsFilter[] => {
    return causeRow ? causeFilters(causeRow, below.causes) : [{ column: 'verdict', anyOf: ['fail'] }];
  };
  const zoom = (factor: number): void => {
    const from = view.brush?.from ?? model.period.from;
    const to = view.brush?.to ?? model.period.to;
    if (from === null || to === null || model.period.from === null || model.period.to === null) return;
    const middle = selectedRow?.at ?? (from + to) / 2;
    const half = Math.max(5 * msPerMinute, ((to - from) / 2) * factor);
    const next = { from: Math.max(model.period.from, middle - half), to: Math.min(model.period.to, middle + half) };
    changeView({ brush: next.to - next.from >= model.period.to - model.period.from ? null : next });
  };
  const print = (): void =>
    made.make(() =>
      bridge.call('report:shift', { scope: narrowScope(currentView()), format: 'pdf', madeMs: Date.now() }),
    );
  const exportCsv = (): void =>
    made.make(() =>
      bridge.call('report:shift', { scope: narrowScope(currentView()), format: 'csv', madeMs: Date.now() }),
    );

  useKeys({
    j: () => step(1),
    k: () => step(-1),
    n: () => (selected !== null && rows.some((row) => row.id === selected) ? setWriting(selected) : false),
    enter: () => (selected === null ? openReadings(failingFilters(), null) : open(selected)),
    r: () => openReadings(failingFilters(), null),
    d: () => (tool === null ? false : changeView({ screen: 'drift', tool })),
    s: () => {
      const joint = selectedRow?.joint ?? causeRow?.joint ?? view.joint;
      return joint === null ? false : changeView({ screen: 'study', joint });
    },
    p: print,
    e: exportCsv,
    '+': () => zoom(0.5),
    '=': () => zoom(0.5),
    '-': () => zoom(2),
    '0': () => (view.brush ? brushTo(null) : false),
    escape: () => {
      if (writing !== null) setWriting(null);
      else if (selected !== null) select(null);
      else if (cause !== null) setCause(null);
      else if (view.brush) brushTo(null);
      else if (view.tool !== null) changeView({ tool: null }, 'replace');
      else return false;
      return true;
    },
  });

  const chooseInk = (name: string): void => changeView({ tool: name === view.tool ? null : name }, 'replace');
  const unit = commonUnit(rows);
  return (
    <>
      <div className="finding-row">
        <Finding of={below.finding} />
        <div className="actions">
          {tool === null ? null : (
            <Button keyName="D" onPress={() => changeView({ screen: 'drift', tool })}>
              {t('ui.review.see-drift', { tool })}
            </Button>
          )}
          {withoutLimits === null ? null : (
            <Button onPress={() => changeView({ screen: 'register', joint: withoutLimits })}>
              {t(unknownJoint ? 'ui.review.settle-joint' : 'ui.review.add-limits', { joint: withoutLimits })}
            </Button>
          )}
          <Button keyName="P" onPress={print} disabled={made.running}>
            {t('ui.review.print', {})}
          </Button>
        </div>
      </div>
      <DueToday />
      <ProblemLine problem={made.problem} />
      {made.written === null ? null : (
        <p className="caption" role="status">
          {t('ui.review.saved', { name: made.written })}
        </p>
      )}
      <Region
        className="ribbon"
        title={t('ui.ribbon.title', {})}
        note={
          causeRow ? (
            t('ui.ribbon.only', {
              what: `${causeRow.reasons.length > 0 ? causeRow.reasons.map((r) => t(`ui.mark.${r}`, {})).join(', ') : t('ui.mark.unjudged', {})}${causeRow.joint ? ` ${causeRow.joint}` : ''}`,
              count: causeRow.count,
              of: below.causes.total,
            })
          ) : (
            <span className="wide-only">{t('ui.ribbon.note', {})}</span>
          )
        }
        end={<RibbonKey />}
      >
        <RibbonView
          model={ribbon}
          height={height}
          selected={selected}
          onSelect={select}
          onOpen={open}
          brush={view.brush}
          onBrush={brushTo}
          only={only}
        />
        {ribbon.caption ? (
          <p className="caption">
            <Sentence of={ribbon.caption} />
          </p>
        ) : null}
      </Region>
      <div className="review-below">
        <div>
          <Region title={t('ui.review.causes', {})} note={<Sentence of={below.causes.said} />}>
            <Causes
              table={below.causes}
              selected={cause}
              onSelect={setCause}
              onOpen={(row) => openReadings(causeFilters(row, below.causes), null)}
            />
          </Region>
          <Region title={t('ui.review.again', {})} note={<Sentence of={below.again.said} />}>
            <Again model={below.again} selected={selected} onSelect={select} onOpen={open} />
          </Region>
        </div>
        <div>
          <Region title={t('ui.review.matrix', {})} note={t('ui.review.matrix.note', {})}>
            <Matrix
              model={below.matrix}
              onTool={chooseInk}
              onOperator={(operator) => openReadings([{ column: 'operator', anyOf: [operator] }], null)}
              onCell={(operator, serial) =>
                openReadings(
                  [
                    { column: 'operator', anyOf: [operator] },
                    { column: 'tool', anyOf: [serial] },
                  ],
                  null,
                )
              }
            />
          </Region>
          <Region title={t('ui.review.fasteners', {})} note={<Sentence of={below.fasteners.said} />}>
            <Fasteners model={below.fasteners} onOpen={open} />
          </Region>
        </div>
        <div className="last">
          {below.failing.total === 0 && below.nearest.length > 0 ? (
            <Region title={t('ui.review.nearest', {})} note={t('ui.review.nearest.note', {})}>
              <Nearest rows={below.nearest} onOpen={open} />
              <p className="caption">{t('common.releases-nothing', {})}</p>
            </Region>
          ) : (
            <Region
              title={t('ui.review.failing', {})}
              note={
                only ? (
                  <>
                    {t('ui.review.failing.only', { count: rows.length, of: below.failing.total })}{' '}
                    <Button kind="link" onPress={() => setCause(null)}>
                      {t('ui.review.failing.show-all', {})}
                    </Button>
                  </>
                ) : (
                  <Sentence of={below.failing.said} />
                )
              }
            >
              {rows.length === 0 ? <p className="caption">{t('ui.review.failing.none', {})}</p> : null}
              <Failing
                rows={rows}
                selected={selected}
                onSelect={select}
                onOpen={open}
                writing={writing}
                onWrite={setWriting}
              />
              {below.failing.rows.length < below.failing.total && !only ? (
                <p className="caption">
                  {t('ui.review.failing.cut', { count: below.failing.rows.length, of: below.failing.total })}
                </p>
              ) : null}
              <p className="caption">
                {unit && rows.length > 0 ? t('ui.review.failing.caption', { unit: torqueUnitSymbols[unit] }) : null}
                {t('ui.review.failing.keys', {})} {t('common.releases-nothing', {})}
              </p>
            </Region>
          )}
        </div>
      </div>
      <Context model={below} />
    </>
  );
}

function Again({
  model,
  selected,
  onSelect,
  onOpen,
}: {
  model: AgainModel;
  selected: string | null;
  onSelect: (id: string | null) => void;
  onOpen: (id: string) => void;
}): ReactNode {
  const build = useCallback((size: FigureSize) => tightenedAgain(model, size), [model]);
  if (model.chains.length === 0) return <p className="caption">{t('ui.review.again.none', {})}</p>;
  return <FigureView build={build} height={66} selected={selected} onSelect={onSelect} onOpen={onOpen} />;
}

function Pace({ model }: { model: PaceModel }): ReactNode {
  const build = useCallback((size: FigureSize) => paceColumns(model, size), [model]);
  return (
    <>
      <FigureView
        build={build}
        height={84}
        onSelect={(id) => {
          const from = Number(id);
          if (id !== null && model.stepMs <= msPerDay) changeView({ brush: { from, to: from + model.stepMs } });
        }}
      />
      {model.gaps.length > 0 ? (
        <p className="caption">
          {t('ui.review.pace.gaps', {})}
          {model.gaps
            .slice(0, 3)
            .map((gap) =>
              t('ui.review.pace.gap', {
                from: gap.from,
                to: gap.to,
                minutes: Math.round((gap.to - gap.from) / msPerMinute),
                day: model.stepMs > 15 * msPerMinute,
                name: gap.name,
              }),
            )
            .join(', ')}
        </p>
      ) : null}
    </>
  );
}

/** What a supervisor has to know first in the morning, with the way to the list; nothing while nothing is due. */
function DueToday(): ReactNode {
  const now = useNow();
  const asked = useCall('collection:read', now === null ? null : { now }, 'review due');
  const due = (asked.value?.rows ?? []).filter((row) =>
    [row.readOut, row.check, row.calibration].some((state) => state === 'overdue' || state === 'today'),
  );
  if (!asked.value || due.length === 0) return null;
  return (
    <p className="due-today">
      <Sentence of={asked.value.said} />{' '}
      <Button kind="link" onPress={() => changeView({ screen: 'drift' })}>
        {t('ui.review.due', {})}
      </Button>
    </p>
  );
}

/** The period of a comparison: a shift of the plant's day where it is one, else its days. */
function periodOf(other: PeriodComparison, shifts: AppStatus['shifts']): Period {
  const day = startOfDay(other.from);
  const shift = shifts.find((s) => s.startMinute * msPerMinute === other.from - day);
  return shift && other.to - other.from < msPerDay
    ? { from: day, to: day + msPerDay, shift: shift.name }
    : { from: other.from, to: other.to, shift: null };
}

/** The readings that a notice counts, as filters of Readings. */
function noticeFilters(notice: ReviewNotice): readonly ReadingsFilter[] {
  if (notice.kind === 'own-result-differs') return [{ column: 'ownResult', anyOf: ['differs'] }];
  const kind = readingNotices.find((one) => one === notice.kind);
  return kind ? [{ column: 'notice', anyOf: [kind] }] : [{ column: 'reading', anyOf: [...notice.readings] }];
}

/** What stands around the shift: other shifts, pace, and what else is worth knowing. */
function Context({ model }: { model: ReviewModel }): ReactNode {
  const shifts = useStatus()?.shifts ?? [];
  return (
    <div className="review-context">
      {model.comparison.length > 0 ? (
        <Region title={t('ui.review.compared', {})}>
          <ul className="plain-list">
            {model.comparison.map((other) => (
              <li key={other.kind}>
                <Button kind="link" onPress={() => changeView({ period: periodOf(other, shifts), brush: null })}>
                  <strong>
                    <Sentence of={other.label} />
                  </strong>
                </Button>{' '}
                <Sentence of={other.said} />
              </li>
            ))}
          </ul>
        </Region>
      ) : null}
      <Region title={t('ui.review.pace', {})} note={<Sentence of={model.pace.said} />}>
        <Pace model={model.pace} />
      </Region>
      <Region title={t('ui.review.notices', {})}>
        {model.notices.length === 0 ? (
          <p className="caption">{t('ui.review.notices.none', {})}</p>
        ) : (
          <ul className="plain-list">
            {model.notices.map((notice) => (
              <li key={notice.kind}>
                <Sentence of={notice.said} />
                {notice.readings[0] === undefined ? null : (
                  <>
                    {' '}
                    <Button
                      kind="link"
                      onPress={() =>
                        openReadings(noticeFilters(notice), notice.count === 1 ? (notice.readings[0] ?? null) : null)
                      }
                    >
                      {t('ui.review.notices.show', { count: notice.count })}
                    </Button>
                  </>
                )}
              </li>
            ))}
          </ul>
        )}
      </Region>
    </div>
  );
}

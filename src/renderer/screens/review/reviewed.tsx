import { type ReactNode, useCallback, useMemo, useState } from 'react';
import type { ReadingsFilter } from '#core/contract/calls.ts';
import type { ReviewModel } from '#core/contract/models/review-model.ts';
import { msPerMinute } from '#core/time/civil-time.ts';
import { torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { useBridge } from '../../bridge/use-bridge.ts';
import type { Called } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { neighbourKey } from '../../parts/data-table.tsx';
import { useKeys } from '../../parts/keys.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Region } from '../../parts/region.tsx';
import { Finding, Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { useMadeFile } from '../../parts/use-made-file.ts';
import { useWindowHeight } from '../../parts/use-window-height.ts';
import { changeView, currentView, narrowScope, useView } from '../../state/view.ts';
import { Again } from './again.tsx';
import { causeFilters } from './cause-filters.ts';
import { Causes } from './causes.tsx';
import { DueToday } from './due-today.tsx';
import { commonUnit, Failing, Nearest } from './failing.tsx';
import { Fasteners } from './fasteners.tsx';
import { Matrix } from './matrix.tsx';
import { openReadings } from './open-readings.ts';
import { ReviewContext } from './review-context.tsx';
import { RibbonKey, RibbonView } from './ribbon-view.tsx';

/** The review of a period that has readings: finding, ribbon, and what explains the marks below it. */
export function Reviewed({ whole, below }: { whole: Called<ReviewModel>; below: ReviewModel }): ReactNode {
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
      <ReviewContext model={below} />
    </>
  );
}

import type { ReactNode } from 'react';
import type { CheckRow, DriftToolModel } from '#core/contract/models/drift-model.ts';
import { Button } from '../../parts/button.tsx';
import { DataTable, type TableColumn } from '../../parts/data-table.tsx';
import { Region } from '../../parts/region.tsx';
import { plain, t } from '../../parts/text.ts';

const columns = (samePulls: boolean): readonly TableColumn<CheckRow>[] => [
  {
    id: 'date',
    head: t('ui.drift.checks.date', {}),
    cell: (c) => t('ui.drift.checks.day', { at: c.at, kind: c.kind }),
  },
  { id: 'shown', head: t('ui.drift.checks.shown', {}), right: true, cell: (c) => number(c.shown) },
  { id: 'reference', head: t('ui.drift.checks.reference', {}), right: true, cell: (c) => number(c.reference) },
  {
    id: 'deviation',
    head: t('ui.drift.checks.deviation', {}),
    right: true,
    cell: (c) => (
      <span className={c.passed === false ? 'strong' : ''}>{t('ui.drift.signed', { value: c.deviationPercent })}</span>
    ),
  },
  {
    id: 'pulls',
    head: t('ui.drift.checks.pulls', {}),
    right: true,
    className: 'second',
    cell: (c) =>
      c.pulls === 1
        ? t('ui.drift.checks.one-pull', {})
        : t('ui.drift.checks.range', {
            low: c.lowestPercent,
            high: c.highestPercent,
            pulls: samePulls ? null : c.pulls,
          }),
  },
];

const number = (value: number): string => t('ui.drift.number', { value, decimals: 2 });

/** One row a check: shown and reference means, D, range of its pulls. */
export function CheckLog({ model, onLog }: { model: DriftToolModel; onLog: () => void }): ReactNode {
  const { checkLog, checksHidden, row } = model;
  const first = checkLog[0];
  const one = first !== undefined && checkLog.every((c) => c.nominal === first.nominal && c.unit === first.unit);
  const samePulls = checkLog.every((c) => c.pulls === first?.pulls);
  const { forecast, permissiblePercent, why } = row.checks;
  return (
    <Region title={t('ui.drift.checks', {})}>
      {first === undefined ? (
        <p className="caption">
          {t('ui.drift.checks.none', {})}{' '}
          <Button kind="link" onPress={onLog}>
            {t('ui.drift.checks.first', {})}
          </Button>
        </p>
      ) : (
        <>
          <p className="caption">
            {t('ui.drift.checks.caption', {
              nominal: one ? first.nominal : null,
              unit: first.unit,
              pulls: samePulls ? first.pulls : null,
              permitted: permissiblePercent,
            })}
          </p>
          <DataTable
            label={t('ui.drift.checks', {})}
            columns={columns(samePulls)}
            rows={checkLog}
            keyOf={(c) => `${c.at} ${c.nominal} ${c.unit} ${c.kind}`}
            className="check-log"
          />
          {checksHidden > 0 ? <p className="caption">{t('ui.drift.checks.hidden', { count: checksHidden })}</p> : null}
          <p className="caption">
            {forecast
              ? t('ui.drift.checks.forecast', { on: forecast.crossesOn, low: forecast.low95, high: forecast.high95 })
              : why
                ? plain(why)
                : ''}
          </p>
        </>
      )}
      <DueLine model={model} />
    </Region>
  );
}

function DueLine({ model }: { model: DriftToolModel }): ReactNode {
  const { calibrationDue, checkDue } = model.row;
  return (
    <p className="caption">
      {calibrationDue
        ? t('ui.drift.checks.calibration', {
            at: calibrationDue.on,
            overdue: calibrationDue.overdue,
            because: calibrationDue.because,
            byDefault: calibrationDue.byDefault,
          })
        : t('ui.drift.checks.calibration-unknown', {})}{' '}
      {checkDue ? t('ui.drift.checks.check-due', { at: checkDue.on, overdue: checkDue.overdue }) : ''}
    </p>
  );
}

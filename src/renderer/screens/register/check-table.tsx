import type { ReactNode } from 'react';
import type { CheckRow } from '#core/contract/models/register-model.ts';
import { said } from '#core/text/said.ts';
import { torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { DataTable } from '../../parts/data-table.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

/** A name of a check that figure and table share. */
export const checkKey = (check: CheckRow): string => `${check.at} ${check.kind} ${check.nominal}`;

/** One row a check: means of shown and reference, deviation, range of its pulls. */
export function CheckTable({
  checks,
  label,
  selected,
  onSelect,
  withTool = false,
}: {
  checks: readonly CheckRow[];
  label: string;
  selected?: string | null;
  onSelect?: (key: string | null) => void;
  withTool?: boolean;
}): ReactNode {
  const torque = (value: number, check: CheckRow): string =>
    t('register-ui.number', { value, decimals: check.nominal < 10 ? 3 : 2 });
  return (
    <DataTable
      label={label}
      className="checks"
      rows={checks}
      keyOf={(check) => (withTool ? `${check.tool} ${checkKey(check)}` : checkKey(check))}
      {...(onSelect ? { selected: selected ?? null, onSelect } : {})}
      columns={[
        ...(withTool
          ? [
              {
                id: 'tool',
                head: t('register-ui.tool', {}),
                className: 'strong',
                cell: (check: CheckRow) => check.tool,
              },
            ]
          : []),
        { id: 'at', head: t('register-ui.date', {}), cell: (check) => t('register-ui.day-time', { at: check.at }) },
        { id: 'kind', head: t('register-ui.kind', {}), cell: (check) => t(`register-ui.${check.kind}`, {}) },
        {
          id: 'nominal',
          head: t('register-ui.nominal', {}),
          right: true,
          cell: (check) =>
            t('register-ui.with-unit', {
              value: check.nominal,
              unit: torqueUnitSymbols[check.unit],
              decimals: check.nominal % 1 === 0 ? 0 : 2,
            }),
        },
        { id: 'pulls', head: t('register-ui.pulls', {}), right: true, cell: (check) => check.pulls },
        { id: 'shown', head: t('register-ui.shown', {}), right: true, cell: (check) => torque(check.shownMean, check) },
        {
          id: 'reference',
          head: t('register-ui.reference', {}),
          right: true,
          cell: (check) => torque(check.referenceMean, check),
        },
        {
          id: 'd',
          head: t('register-ui.deviation', {}),
          right: true,
          className: 'strong',
          cell: (check) => t('register-ui.signed', { value: check.deviationPercent, decimals: 1 }),
        },
        {
          id: 'range',
          head: t('register-ui.range-of-pulls', {}),
          right: true,
          cell: (check) =>
            check.pulls === 1 ? '' : t('register-ui.range', { low: check.deviationLow, high: check.deviationHigh }),
        },
        {
          id: 'passed',
          head: t('register-ui.verdict', {}),
          className: 'spaced',
          cell: (check) => (
            <Sentence
              of={said(
                check.passed === null
                  ? 'register-ui.check.unknown'
                  : check.passed
                    ? 'register-ui.check.inside'
                    : 'register-ui.check.outside',
                {},
              )}
            />
          ),
        },
      ]}
    />
  );
}

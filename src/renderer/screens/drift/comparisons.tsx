import { type ReactNode, useCallback } from 'react';
import type { DriftModel, EffectRow, OperatorRow } from '#core/contract/models/drift-model.ts';
import { effectIntervals } from '#core/figures/effect-intervals.ts';
import { intervalRowsHeight } from '#core/figures/interval-rows.ts';
import { type FigureSize, FigureView } from '../../figures/figure-view.tsx';
import { DataTable, type TableColumn } from '../../parts/data-table.tsx';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { AnonymousChoice } from './drift-options.tsx';
import { Untangle } from './untangle.tsx';

/** The whole plant: tools, operators and joints against each other, operators' own spread, what is tangled. */
export function Comparisons({ model }: { model: DriftModel }): ReactNode {
  const { effects, effectsWhy } = model;
  const some = effects.tool.length + effects.operator.length + effects.joint.length > 0;
  return (
    <section className="comparisons" aria-label={t('ui.drift.compare', {})}>
      <Region title={t('ui.drift.compare', {})} note={t('ui.drift.compare.note', {})}>
        {some ? (
          <div className="drift-three">
            <Effects factor="tool" rows={effects.tool} />
            <Effects factor="operator" rows={effects.operator} />
            <Effects factor="joint" rows={effects.joint} />
          </div>
        ) : (
          <p className="caption">{effectsWhy ? <Sentence of={effectsWhy} /> : t('ui.drift.compare.none', {})}</p>
        )}
        {model.barely.length > 0 ? (
          <p className="caption">
            {model.barely
              .map((pair) => t('ui.drift.compare.barely', { a: pair.a, b: pair.b, inflation: pair.inflation }))
              .join(' ')}
          </p>
        ) : null}
      </Region>
      <Untangle groups={model.tangled} />
      <Operators rows={model.operators} anonymous={model.anonymous} />
      {model.leftOut.length > 0 ? (
        <p className="caption">
          {t('ui.drift.left-out', {})}{' '}
          {model.leftOut.map((one, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: reasons have no identity but their place
            <span key={index}>
              {t('ui.drift.count', { count: one.count })} <Sentence of={one.why} />
              {index < model.leftOut.length - 1 ? '; ' : '.'}
            </span>
          ))}
        </p>
      ) : null}
    </section>
  );
}

function Effects({ factor, rows }: { factor: 'tool' | 'operator' | 'joint'; rows: readonly EffectRow[] }): ReactNode {
  const build = useCallback((size: FigureSize) => effectIntervals(factor, rows, { width: size.width }), [factor, rows]);
  if (rows.length === 0) return <p className="caption">{t('ui.drift.compare.not', { factor })}</p>;
  return (
    <div>
      <h3>{t('ui.drift.compare.factor', { factor })}</h3>
      <FigureView build={build} height={intervalRowsHeight(rows.length)} />
    </div>
  );
}

const columns: readonly TableColumn<OperatorRow>[] = [
  { id: 'name', head: t('ui.drift.operators.name', {}), cell: (row) => row.label },
  {
    id: 'stop',
    head: t('ui.drift.operators.stop', {}),
    right: true,
    cell: (row) =>
      row.stop === null
        ? t('figure.lanes.not-told', {})
        : t('ui.drift.tests.slope-value', {
            percent: row.stop.percent,
            low: row.stop.low95,
            high: row.stop.high95,
          }),
  },
  {
    id: 'spread',
    head: t('ui.drift.operators.spread', {}),
    right: true,
    cell: (row) =>
      row.spreadPercent === null || row.spreadLow95 === null || row.spreadHigh95 === null
        ? '–'
        : t('ui.drift.operators.spread-value', {
            percent: row.spreadPercent,
            low: row.spreadLow95,
            high: row.spreadHigh95,
          }),
  },
  {
    id: 'n',
    head: t('ui.drift.operators.n', {}),
    right: true,
    cell: (row) => t('ui.drift.count', { count: row.readings }),
  },
  { id: 'line', head: '', className: 'second wraps', cell: (row) => <Sentence of={row.line} /> },
];

/** Where each operator stops and how evenly. A matter for training; in the order of the register, never ranked. */
function Operators({ rows, anonymous }: { rows: readonly OperatorRow[]; anonymous: boolean }): ReactNode {
  if (rows.length === 0) return null;
  return (
    <Region
      title={t('ui.drift.operators', {})}
      note={anonymous ? t('ui.drift.operators.anonymous', {}) : t('ui.drift.operators.note', {})}
      end={<AnonymousChoice on={anonymous} />}
    >
      <DataTable label={t('ui.drift.operators', {})} columns={columns} rows={rows} keyOf={(row) => row.operator} />
      {anonymous ? <p className="caption">{t('ui.drift.operators.guess', {})}</p> : null}
    </Region>
  );
}

import { type ReactNode, useCallback } from 'react';
import type { OfferedModel, StrataTable, StudyModel } from '#core/contract/models/study-model.ts';
import { studyUnitSymbol } from '#core/figures/study-axis.ts';
import { studyCusum, studyEwma } from '#core/figures/study-sums.ts';
import { type FigureSize, FigureView } from '../../figures/figure-view.tsx';
import { DataTable, type TableColumn } from '../../parts/data-table.tsx';
import { useOperatorWords } from '../../parts/operator-words.ts';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';
import { useStatus } from '../../state/use-status.ts';

/** Under the verdict's own figures: cautions, mixture, distributions, slower charts, sources. */
export function MorePanels({ model }: { model: StudyModel }): ReactNode {
  return (
    <div className="more">
      <div className="more-two">
        <Region title={t('ui.study.cautions', {})}>
          {model.cautions.length === 0 ? <p className="caption">{t('ui.study.cautions.none', {})}</p> : null}
          <ul className="plain-list">
            {model.cautions.map((line, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: cautions have no identity but their place
              <li key={index}>
                <Sentence of={line} />
              </li>
            ))}
          </ul>
          <Signals model={model} />
        </Region>
        <Region title={t('ui.study.models', {})} note={t('ui.study.models.note', {})}>
          <Models model={model} />
        </Region>
      </div>
      {model.strata.length > 0 ? (
        <Region title={t('ui.study.strata', {})} note={t('ui.study.strata.note', {})}>
          <div className="more-three">
            {model.strata.map((table) => (
              <Strata key={table.by} table={table} model={model} />
            ))}
          </div>
        </Region>
      ) : null}
      <SlowCharts model={model} />
      <Region title={t('ui.study.sources', {})} note={t('ui.study.sources.note', { version: model.programVersion })}>
        <ul className="plain-list">
          {model.methodNotes.map((line, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: notes have no identity but their place
            <li key={index}>
              <Sentence of={line} />
            </li>
          ))}
        </ul>
        {model.sources.length > 0 ? (
          <table className="data sources">
            <thead>
              <tr>
                <th scope="col">{t('ui.study.sources.file', {})}</th>
                <th scope="col" className="right">
                  {t('ui.study.sources.readings', {})}
                </th>
                <th scope="col">SHA-256</th>
              </tr>
            </thead>
            <tbody>
              {model.sources.map((source) => (
                <tr key={source.id}>
                  <td>{source.name}</td>
                  <td className="right">{t('ui.drift.count', { count: source.readings })}</td>
                  <td>
                    <code title={source.sha256}>{source.sha256.slice(0, 16)}</code>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        ) : null}
        {model.fingerprint ? (
          <p className="caption">
            {t('ui.study.fingerprint', {})} <code>{model.fingerprint.slice(0, 16)}</code>
          </p>
        ) : null}
      </Region>
    </div>
  );
}

/** Every signal of the control chart, named. */
function Signals({ model }: { model: StudyModel }): ReactNode {
  const { signals, signalCount } = model.chart;
  if (signals.length === 0) return null;
  const shown = signals.slice(0, 8);
  return (
    <ul className="plain-list">
      {shown.map((signal) => (
        <li key={`${signal.rule} ${signal.group}`}>
          {t('ui.study.signal.group', { group: signal.group + 1, at: model.groups[signal.group]?.at ?? null })}{' '}
          <Sentence of={signal.said} />
        </li>
      ))}
      {signalCount > shown.length ? <li>{t('ui.study.signal.more', { count: signalCount - shown.length })}</li> : null}
    </ul>
  );
}

const modelColumns: readonly TableColumn<OfferedModel>[] = [
  {
    id: 'name',
    head: t('ui.study.models.name', {}),
    cell: (one) => (
      <span className={one.chosen ? 'strong' : ''}>
        {plain(one.title)}
        {one.recommended && one.name !== 'normal' ? ` ${t('ui.study.models.recommended', {})}` : ''}
      </span>
    ),
  },
  {
    id: 'aicc',
    head: 'AICc',
    right: true,
    cell: (one) => (one.aicc === null ? '' : t('ui.drift.number', { value: one.aicc, decimals: 1 })),
  },
  {
    id: 'ad',
    head: 'A²',
    right: true,
    cell: (one) => (one.ad === null ? '' : t('ui.drift.number', { value: one.ad, decimals: 2 })),
  },
  {
    id: 'why',
    head: '',
    className: 'second wraps',
    cell: (one) => (one.why ? <Sentence of={one.why} /> : one.chosen ? t('ui.study.models.chosen', {}) : ''),
  },
];

function Models({ model }: { model: StudyModel }): ReactNode {
  const normality = model.answer?.normality ?? null;
  return (
    <>
      <DataTable
        label={t('ui.study.models', {})}
        columns={modelColumns}
        rows={model.models}
        keyOf={(one) => one.name}
        empty={t('ui.study.models.none', {})}
      />
      {normality?.andersonDarling || normality?.shapiroWilk ? (
        <p className="caption">
          {t('ui.study.normality', {
            ad: normality.andersonDarling?.statistic ?? null,
            adP: normality.andersonDarling?.p ?? null,
            sw: normality.shapiroWilk?.statistic ?? null,
            swP: normality.shapiroWilk?.p ?? null,
          })}
        </p>
      ) : null}
    </>
  );
}

function Strata({ table, model }: { table: StrataTable; model: StudyModel }): ReactNode {
  const status = useStatus();
  const words = useOperatorWords();
  const named = (name: string): string =>
    table.by === 'operator' ? words(name, status?.operators.find((one) => one.badge === name)?.name ?? null) : name;
  const unit = studyUnitSymbol(model.unit);
  const low = Math.min(...table.rows.map((row) => row.low), model.limits.low ?? Number.POSITIVE_INFINITY);
  const high = Math.max(...table.rows.map((row) => row.high), model.limits.high ?? Number.NEGATIVE_INFINITY);
  const x = (value: number): number => 2 + ((value - low) / Math.max(high - low, 1e-9)) * 92;
  return (
    <div>
      <h3>{t('ui.study.strata.by', { by: table.by })}</h3>
      <table className="data">
        <thead>
          <tr>
            <th scope="col">{t('ui.study.strata.name', {})}</th>
            <th scope="col" className="right">
              n
            </th>
            <th scope="col" className="right">
              {t('figure.table.mean', {})}, {unit}
            </th>
            <th scope="col" className="right">
              s
            </th>
            <th scope="col">{t('ui.study.strata.range', {})}</th>
          </tr>
        </thead>
        <tbody>
          {table.rows.map((row) => (
            <tr key={row.name}>
              <th scope="row">{named(row.name)}</th>
              <td className="right">{t('ui.drift.count', { count: row.n })}</td>
              <td className="right">{t('ui.drift.number', { value: row.mean, decimals: model.decimals })}</td>
              <td className="right">
                {row.s === null ? '–' : t('ui.drift.number', { value: row.s, decimals: model.decimals })}
              </td>
              <td>
                <svg className="strata-range" width="96" height="12" aria-hidden="true">
                  {[model.limits.low, model.limits.high].map((limit) =>
                    limit === null ? null : (
                      <line key={limit} className="limit" x1={x(limit)} x2={x(limit)} y1={0} y2={12} />
                    ),
                  )}
                  <line className="span" x1={x(row.low)} x2={x(row.high)} y1={6} y2={6} />
                  <line className="median" x1={x(row.median)} x2={x(row.median)} y1={2} y2={10} />
                  <circle cx={x(row.mean)} cy={6} r={2.6} />
                </svg>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className={table.mixture ? 'caption strong' : 'caption'}>
        {t('ui.study.strata.tests', {
          welch: table.welchP,
          kruskal: table.kruskalWallisP,
          brown: table.brownForsytheP,
          share: table.shareBetween,
          mixture: table.mixture,
          basis: table.basis.kind,
          count: table.basis.count,
        })}{' '}
        {table.largest
          ? t('ui.study.strata.largest', {
              ...table.largest,
              first: named(table.largest.first),
              second: named(table.largest.second),
              low: table.largest.low95,
              high: table.largest.high95,
              unit,
              decimals: model.decimals,
            })
          : ''}
      </p>
    </div>
  );
}

/** EWMA and CUSUM see small lasting shifts that single points do not. They do not decide stability here. */
function SlowCharts({ model }: { model: StudyModel }): ReactNode {
  const { ewma, cusum } = model.chart;
  const drawEwma = useCallback((size: FigureSize) => studyEwma(model, size), [model]);
  const drawCusum = useCallback((size: FigureSize) => studyCusum(model, size), [model]);
  if (ewma === null && cusum === null) return null;
  return (
    <Region title={t('ui.study.slow', {})} note={t('ui.study.slow.note', {})}>
      <div className="more-two">
        {ewma ? <FigureView build={drawEwma} height={180} /> : null}
        {cusum ? <FigureView build={drawCusum} height={180} /> : null}
      </div>
    </Region>
  );
}

import { type ReactNode, useCallback, useMemo, useState } from 'react';
import type { IndexRow, StudyModel } from '#core/contract/models/study-model.ts';
import type { FigureTable } from '#core/figures/figure.ts';
import { indexIntervals, indexIntervalsLayout } from '#core/figures/index-intervals.ts';
import { type FigureGeometry, type FigureSize, FigureView } from '../../figures/figure-view.tsx';
import { Button } from '../../parts/button.tsx';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

const always: readonly string[] = ['Ppk', 'Pp', 'Cpk', 'Cp'];
const inset = 8;

/** Indices as dot and interval; select one to see its working. */
export function IndicesView({
  model,
  selected,
  onSelect,
  onWorking,
}: {
  model: StudyModel;
  selected: string;
  onSelect: (figure: string) => void;
  onWorking: () => void;
}): ReactNode {
  // Indices that do not exist here are named in words below, not drawn as empty rows.
  const rows = useMemo(() => model.indices.filter((row) => row.value !== null || always.includes(row.name)), [model]);
  const missing = model.indices.filter((row) => row.value === null && row.note !== null && !always.includes(row.name));
  const options = useMemo(() => ({ selected }), [selected]);
  const build = useCallback(
    (size: FigureSize) => {
      const figure = indexIntervals(rows, { width: size.width - 2 * inset, ...options });
      return {
        ...figure,
        panes: figure.panes.map((pane) => ({ ...pane, left: pane.left + inset })),
        stops: rows.map((row, k) => ({
          id: row.name,
          pane: 0,
          x: 70,
          y: (figure.panes[0]?.y.max ?? 0) + stopAt(rows, k),
          text: stopText(row),
        })),
      };
    },
    [rows, options],
  );
  const [copied, setCopied] = useState<boolean | null>(null);
  const copy = async (): Promise<void> => {
    try {
      await copyTable(indexIntervals(model.indices, { width: 400 }).table);
      setCopied(true);
    } catch {
      setCopied(false);
    }
  };
  const layout = indexIntervalsLayout(rows, { width: 0 });
  const overlay = useCallback(
    (geometry: FigureGeometry): ReactNode =>
      rows.map((row, k) => (
        <rect
          key={row.name}
          className="row-press"
          x={0}
          y={layout.rowTop[k] ?? 0}
          width={geometry.width}
          height={layout.rowHeight}
          onPointerUp={(event) => {
            event.stopPropagation();
            onSelect(row.name);
            onWorking();
          }}
        />
      )),
    [rows, layout, onSelect, onWorking],
  );
  return (
    <Region title={t('ui.study.indices', {})} note={t('ui.study.indices.note', {})} className="indices-region">
      <FigureView
        build={build}
        height={layout.height}
        selected={rows.some((row) => row.name === selected) ? selected : null}
        onSelect={(id) => {
          if (id !== null) onSelect(id);
        }}
        onOpen={onWorking}
        overlay={overlay}
        tip={false}
      />
      <p className="caption">
        <Sentence of={model.scopeFacts.said.indicesCaption} />
      </p>
      {model.beside ? (
        <p className="caption">
          <Sentence of={model.beside.said} />
        </p>
      ) : null}
      {missing.length > 0 ? (
        <p className="caption">
          {missing.map((row) => (
            <span key={row.name}>
              {row.name}: {row.note ? <Sentence of={row.note} /> : null}{' '}
            </span>
          ))}
        </p>
      ) : null}
      <p className="caption">
        <Button kind="link" onPress={() => void copy()}>
          {t('ui.study.indices.copy', {})}
        </Button>{' '}
        <span role="status">{copied === null ? '' : t('ui.study.indices.copied', { done: copied })}</span>
      </p>
      <p className="caption only-drawer">
        <Button keyName="W" onPress={onWorking}>
          {t('ui.study.working.show', { figure: selected })}
        </Button>
      </p>
    </Region>
  );
}

/** Puts a table on the clipboard as cells for a word processor or a sheet, and as text for everything else. */
async function copyTable(table: FigureTable | undefined): Promise<void> {
  if (!table) return;
  const escaped = (text: string): string => text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;');
  const line = (cells: readonly string[], tag: 'th' | 'td'): string =>
    `<tr>${cells.map((cell) => `<${tag}>${escaped(cell)}</${tag}>`).join('')}</tr>`;
  const html = `<table>${line(table.head, 'th')}${table.rows.map((row) => line(row, 'td')).join('')}</table>`;
  // Thin spaces and word joiners between thousands would break a number apart in a sheet.
  const text = [table.head, ...table.rows]
    .map((row) => row.join('\t'))
    .join('\n')
    .replace(/[\u2060\u2009]/g, '');
  await navigator.clipboard.write([
    new ClipboardItem({
      'text/html': new Blob([html.replace(/[\u2060\u2009]/g, '')], { type: 'text/html' }),
      'text/plain': new Blob([text], { type: 'text/plain' }),
    }),
  ]);
}

/** Middle of row k in the units of the figure's vertical scale: pixels under the head. */
function stopAt(rows: readonly IndexRow[], k: number): number {
  const layout = indexIntervalsLayout(rows, { width: 0 });
  return (layout.rowTop[k] ?? 0) - (layout.rowTop[0] ?? 0) + layout.rowHeight / 2;
}

function stopText(row: IndexRow): string {
  return row.value === null
    ? `${row.name}: ${t('figure.indices.none', {})}`
    : t('figure.indices.item', {
        name: row.name,
        value: row.value,
        low95: row.low95,
        high95: row.high95,
        required: row.required,
      });
}

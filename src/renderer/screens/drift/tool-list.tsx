import { useVirtualizer } from '@tanstack/react-virtual';
import { memo, type ReactNode, useEffect, useMemo, useRef } from 'react';
import type { DriftModel, DriftToolRow } from '#core/contract/models/drift-model.ts';
import { type DriftLaneScales, driftLaneColumns, driftLaneRow, driftLaneScales } from '#core/figures/drift-lanes.ts';
import { ChartCanvas } from '../../figures/chart-canvas.tsx';
import { useWidth } from '../../figures/use-size.ts';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';
import { useRoving } from '../../parts/use-roving.ts';

/** Above so many tools the list scrolls in itself and only what is seen is drawn. */
const scrollsAbove = 10;
const rowHeight = 88;
const narrowRowHeight = 62;
const laneHeight = 58;
/** Below this width of the list there is no room for lanes: the sentences alone. */
const lanesFrom = 300;
/** Below this the figures beside the lanes go to the hover. */
const figuresFrom = 420;

interface ToolListProps {
  readonly model: DriftModel;
  readonly selected: string;
  readonly onSelect: (tool: string) => void;
  readonly onOpen: (tool: string) => void;
}

/** Tools, most urgent first, three lanes each. One tab stop; arrows, J and K move, Enter opens the readings. */
export function ToolList({ model, selected, onSelect, onOpen }: ToolListProps): ReactNode {
  const holder = useRef<HTMLDivElement>(null);
  const width = useWidth(holder);
  const scales = useMemo(() => driftLaneScales(model), [model]);
  const withLanes = width >= lanesFrom;
  const height = withLanes ? rowHeight : narrowRowHeight;
  const { tools } = model;
  const roving = useRoving(tools.length);
  const selectedAt = Math.max(
    0,
    tools.findIndex((row) => row.tool === selected),
  );
  const { setAt } = roving;
  useEffect(() => setAt(selectedAt), [selectedAt, setAt]);
  const scrolls = tools.length > scrollsAbove;
  const virtual = useVirtualizer({
    count: tools.length,
    getScrollElement: () => holder.current,
    estimateSize: () => height,
    overscan: 4,
    enabled: scrolls,
  });
  // biome-ignore lint/correctness/useExhaustiveDependencies: rows change their height with the width of the list alone
  useEffect(() => {
    if (scrolls) virtual.measure();
  }, [height, scrolls]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: only a new selection scrolls
  useEffect(() => {
    if (scrolls) virtual.scrollToIndex(selectedAt, { align: 'auto' });
  }, [selectedAt, scrolls]);

  const row = (index: number): ReactNode => {
    const one = tools[index];
    if (!one) return null;
    const on = one.tool === selected;
    return (
      <div
        role="option"
        aria-selected={on}
        className={`tool-row${on ? ' on' : ''}${scrolls ? ' one-line' : ''}${one.urgency === 'still' || one.urgency === 'too-little' ? ' quiet' : ''}`}
        style={scrolls ? { height } : { minHeight: height }}
        onClick={() => onSelect(one.tool)}
        onDoubleClick={() => onOpen(one.tool)}
        tabIndex={index === roving.at ? 0 : -1}
        data-roving={index}
        onFocus={() => {
          setAt(index);
          if (!on) onSelect(one.tool);
        }}
        onKeyDown={(event) => {
          if (event.key !== 'Enter') return;
          event.preventDefault();
          event.stopPropagation();
          onOpen(one.tool);
        }}
      >
        <ToolRow row={one} width={withLanes ? width : 0} scales={scales} selected={on} bare={width < figuresFrom} />
      </div>
    );
  };

  return (
    <Region title={t('ui.drift.tools', {})} note={withLanes ? <ListNote /> : undefined} className="tool-list">
      {withLanes ? <LaneHeads width={width} bare={width < figuresFrom} /> : null}
      <div
        ref={holder}
        role="listbox"
        aria-label={t('ui.drift.tools', {})}
        className={scrolls ? 'tool-rows scrolls' : 'tool-rows'}
        tabIndex={-1}
        onKeyDown={roving.onKeyDown}
      >
        {scrolls ? (
          <div style={{ height: virtual.getTotalSize(), position: 'relative' }}>
            {virtual.getVirtualItems().map((item) => (
              <div key={item.key} className="tool-place" style={{ transform: `translateY(${item.start}px)` }}>
                {row(item.index)}
              </div>
            ))}
          </div>
        ) : (
          tools.map((one, index) => <div key={one.tool}>{row(index)}</div>)
        )}
      </div>
    </Region>
  );
}

function ListNote(): ReactNode {
  return (
    <>
      <kbd>J</kbd> <kbd>K</kbd> {t('ui.drift.tools.note', {})}
    </>
  );
}

function LaneHeads({ width, bare }: { width: number; bare: boolean }): ReactNode {
  const columns = driftLaneColumns(width);
  const head = (left: number, right: number, name: string, unit: string): ReactNode => (
    <div style={{ left, width: right - left + 8 }}>
      <strong>{name}</strong>
      <span>{unit}</span>
    </div>
  );
  return (
    <div className="lane-heads" aria-hidden="true">
      {head(columns.own[0], columns.response[0] - 12, t('figure.lanes.own', {}), t('figure.lanes.own-unit', {}))}
      {head(
        columns.response[0],
        columns.checks[0] - 12,
        bare ? t('figure.lanes.response-short', {}) : t('figure.lanes.response', {}),
        t('figure.lanes.response-unit', {}),
      )}
      {head(columns.checks[0], width, t('figure.lanes.checks', {}), t('figure.lanes.checks-unit', {}))}
    </div>
  );
}

const ToolRow = memo(function ToolRow({
  row,
  width,
  scales,
  selected,
  bare,
}: {
  row: DriftToolRow;
  width: number;
  scales: DriftLaneScales;
  selected: boolean;
  bare: boolean;
}): ReactNode {
  const figure = useMemo(
    () => (width > 0 ? driftLaneRow(row, scales, { width, height: laneHeight, bare, selected }) : null),
    [row, scales, width, bare, selected],
  );
  return (
    <>
      <span className="tool-name">
        {row.tool}
        {row.status === 'quarantined' ? <em>{t('ui.drift.quarantined', {})}</em> : null}
      </span>
      {figure ? (
        <span className="tool-lanes" title={hover(row)} style={{ height: laneHeight }}>
          <ChartCanvas figure={figure} width={width} height={laneHeight} />
        </span>
      ) : null}
      <span className="tool-line" title={plain(row.line)}>
        <Sentence of={row.line} />
      </span>
      <span className="hidden">{hover(row)}</span>
    </>
  );
});

/** The figures of the lanes in words: on hover, and for screen readers. */
function hover(row: DriftToolRow): string {
  const lane = (name: string, percent: number | null, low: number | null, high: number | null, why: string): string =>
    percent === null || low === null || high === null
      ? t('ui.drift.lane.none', { name, why })
      : t('ui.drift.lane.value', { name, percent, low, high });
  const reason = (why: DriftToolRow['own']['why']): string => (why ? plain(why) : t('figure.lanes.not-told', {}));
  const own = row.own.since;
  const response = row.response.since;
  const { latest } = row.checks;
  return [
    lane(t('figure.lanes.own', {}), own?.percent ?? null, own?.low95 ?? null, own?.high95 ?? null, reason(row.own.why)),
    lane(
      t('figure.lanes.response', {}),
      response?.percent ?? null,
      response?.low95 ?? null,
      response?.high95 ?? null,
      reason(row.response.why),
    ),
    row.response.blind ? t('figure.lanes.blind', {}) : '',
    latest
      ? t('figure.strips.check', { at: latest.at, percent: latest.deviationPercent })
      : t('figure.lanes.no-checks', {}),
  ]
    .filter((text) => text !== '')
    .join('; ');
}

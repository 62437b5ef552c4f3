/**
 * A figure on screen: drawn by ECharts, with what a picture alone does not give.
 *
 * One tab stop. Arrows move between its marks, Home and End go to the first and last, Enter opens, T shows it as a
 * table. The pointer finds the nearest mark by the same index. `aria-label` says title and summary; the mark in
 * focus is announced.
 */
import {
  type KeyboardEvent,
  type PointerEvent,
  type ReactNode,
  useCallback,
  useId,
  useMemo,
  useRef,
  useState,
} from 'react';
import { type PixelRect, paneScales } from '#core/figures/draw-pane.ts';
import type { Figure, FigureStop, FigureTable } from '#core/figures/figure.ts';
import { useKeys } from '../parts/keys.ts';
import { t } from '../parts/text.ts';
import { ChartCanvas } from './chart-canvas.tsx';
import { paneRect } from './pane-rect.ts';
import { useWidth } from './use-size.ts';

export interface FigureSize {
  readonly width: number;
  readonly height: number;
}

/** What an overlay may use: sizes, the rectangle of each pane, and pixels of values. */
export interface FigureGeometry extends FigureSize {
  readonly figure: Figure;
  rect(pane: number): PixelRect;
  px(pane: number, x: number): number;
  py(pane: number, y: number): number;
  /** The value at a pixel of the horizontal scale. */
  valueAt(pane: number, px: number): number;
}

export interface FigureViewProps {
  /** Builds the figure for a size. Wrap in `useCallback`: a new function means a new drawing. */
  readonly build: (size: FigureSize) => Figure;
  readonly height: number;
  /** Id of the selected stop. */
  readonly selected?: string | null;
  readonly onSelect?: (id: string | null) => void;
  /** Enter, or a double click. */
  readonly onOpen?: (id: string) => void;
  /** The stop under the pointer changed. */
  readonly onHover?: (id: string | null) => void;
  /** Elements over the drawing, in pixels of the figure. */
  readonly overlay?: (geometry: FigureGeometry, hovered: FigureStop | null) => ReactNode;
  /** A stretch dragged on the horizontal scale of a pane; null: a double click beside the marks. */
  readonly onBrush?: (range: { readonly from: number; readonly to: number } | null) => void;
  /** Pane whose horizontal scale is dragged on; default 0. */
  readonly brushPane?: number;
  /** False: the text of the mark is shown by the overlay, not beside the pointer. */
  readonly tip?: boolean;
  /** The figure that T belongs to when nothing has the focus: one a screen. */
  readonly main?: boolean;
  readonly className?: string;
}

const reachPx = 14;
const dragPx = 5;

export function FigureView(props: FigureViewProps): ReactNode {
  const {
    build,
    height,
    selected = null,
    onSelect,
    onOpen,
    onHover,
    overlay,
    onBrush,
    brushPane = 0,
    tip = true,
  } = props;
  const holder = useRef<HTMLDivElement>(null);
  // The outermost element stays when the table takes the figure's place: its width is the one to follow.
  const outer = useRef<HTMLDivElement>(null);
  const width = useWidth(outer);
  const [asTable, setAsTable] = useState(false);
  const [hoveredId, setHoveredId] = useState<string | null>(null);
  const [ownSelected, setOwnSelected] = useState<string | null>(null);
  const [drag, setDrag] = useState<{ readonly from: number; readonly to: number } | null>(null);
  const describe = useId();

  useKeys({ t: () => setAsTable((old) => !old) }, props.main === true);
  const figure = useMemo(() => (width > 0 ? build({ width, height }) : null), [build, width, height]);
  const geometry = useMemo(() => (figure ? geometryOf(figure, width, height) : null), [figure, width, height]);
  const stops = figure?.stops ?? noStops;
  const walked = useMemo(() => stops.filter((stop) => !stop.hoverOnly), [stops]);
  const places = useMemo(
    () =>
      stops.map((stop) => ({ stop, x: geometry?.px(stop.pane, stop.x) ?? 0, y: geometry?.py(stop.pane, stop.y) ?? 0 })),
    [stops, geometry],
  );
  const selectedId = selected ?? ownSelected;
  const chosen = stops.find((stop) => stop.id === selectedId) ?? null;
  const hovered = stops.find((stop) => stop.id === hoveredId) ?? null;

  const select = useCallback(
    (id: string | null) => {
      setOwnSelected(id);
      onSelect?.(id);
    },
    [onSelect],
  );
  const hover = (id: string | null): void => {
    if (id === hoveredId) return;
    setHoveredId(id);
    onHover?.(id);
  };

  const nearest = (event: PointerEvent<HTMLElement> | React.MouseEvent<HTMLElement>): FigureStop | null => {
    const box = holder.current?.getBoundingClientRect();
    if (!box) return null;
    const x = event.clientX - box.left;
    const y = event.clientY - box.top;
    let best: FigureStop | null = null;
    let least = reachPx * reachPx;
    for (const place of places) {
      const distance = (place.x - x) ** 2 + (place.y - y) ** 2;
      // Of two marks equally near the one that can be walked to wins: failing marks lie over passing dots.
      if (distance < least || (distance === least && best?.hoverOnly)) {
        least = distance;
        best = place.stop;
      }
    }
    return best;
  };

  const onKeyDown = (event: KeyboardEvent<HTMLDivElement>): void => {
    if (event.target !== event.currentTarget || event.ctrlKey || event.altKey || event.metaKey) return;
    const at = walked.findIndex((stop) => stop.id === selectedId);
    const last = walked.length - 1;
    const to =
      event.key === 'ArrowRight' || event.key === 'ArrowDown'
        ? Math.min(last, at + 1)
        : event.key === 'ArrowLeft' || event.key === 'ArrowUp'
          ? Math.max(0, at < 0 ? last : at - 1)
          : event.key === 'Home'
            ? 0
            : event.key === 'End'
              ? last
              : null;
    if (to !== null) {
      const stop = walked[to];
      if (stop) select(stop.id);
    } else if (event.key === 't' || event.key === 'T') setAsTable((old) => !old);
    else if (event.key === 'Enter' && selectedId !== null && onOpen) onOpen(selectedId);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  const xValue = (event: PointerEvent<HTMLElement>): number => {
    const box = holder.current?.getBoundingClientRect();
    return geometry && box ? geometry.valueAt(brushPane, event.clientX - box.left) : 0;
  };
  const down = useRef<{ readonly x: number; readonly value: number } | null>(null);

  if (figure && asTable) {
    return (
      <div ref={outer} className={`figure ${props.className ?? ''}`}>
        <FigureAsTable figure={figure} height={height} onBack={() => setAsTable(false)} />
      </div>
    );
  }
  return (
    <div ref={outer} className={`figure ${props.className ?? ''}`}>
      {/* biome-ignore lint/a11y/useSemanticElements: a group that is one tab stop with marks inside has no element */}
      <div
        ref={holder}
        className={onBrush ? 'figure-holder brushable' : 'figure-holder'}
        style={{ height }}
        role="group"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the arrow keys walk its marks
        tabIndex={0}
        aria-roledescription="figure"
        aria-label={figure ? `${figure.title}. ${figure.summary}` : ''}
        aria-describedby={describe}
        onKeyDown={onKeyDown}
        onPointerMove={(event) => {
          const start = down.current;
          if (start && onBrush && Math.abs(event.clientX - start.x) > dragPx) {
            const value = xValue(event);
            setDrag({ from: Math.min(start.value, value), to: Math.max(start.value, value) });
            return;
          }
          hover(nearest(event)?.id ?? null);
        }}
        onPointerLeave={() => hover(null)}
        onPointerDown={(event) => {
          if (event.button !== 0) return;
          down.current = { x: event.clientX, value: xValue(event) };
          if (onBrush) event.currentTarget.setPointerCapture(event.pointerId);
        }}
        onPointerUp={(event) => {
          down.current = null;
          if (drag) {
            setDrag(null);
            onBrush?.(drag);
            return;
          }
          const stop = nearest(event);
          if (stop) select(stop.id);
        }}
        onPointerCancel={() => {
          down.current = null;
          setDrag(null);
        }}
        onDoubleClick={(event) => {
          const stop = nearest(event);
          if (stop && onOpen) onOpen(stop.id);
          else onBrush?.(null);
        }}
      >
        {figure && geometry ? (
          <>
            <ChartCanvas figure={figure} width={width} height={height} />
            <svg className="figure-overlay" width={width} height={height} aria-hidden="true">
              {drag ? (
                <rect
                  className="dragging"
                  x={geometry.px(brushPane, drag.from)}
                  width={Math.max(1, geometry.px(brushPane, drag.to) - geometry.px(brushPane, drag.from))}
                  y={0}
                  height={height}
                />
              ) : null}
              {overlay ? overlay(geometry, hovered) : null}
              {!overlay && chosen ? (
                <circle
                  className="ring"
                  cx={geometry.px(chosen.pane, chosen.x)}
                  cy={geometry.py(chosen.pane, chosen.y)}
                  r={8}
                />
              ) : null}
            </svg>
            {tip && hovered ? <Tip stop={hovered} geometry={geometry} /> : null}
          </>
        ) : null}
      </div>
      <p id={describe} className="hidden">
        {t('ui.figure.keys', { count: walked.length })}
      </p>
      <p className="hidden" aria-live="polite">
        {chosen && !chosen.hoverOnly ? chosen.text : ''}
      </p>
      <button type="button" className="link as-table" tabIndex={-1} onClick={() => setAsTable(true)}>
        {t('ui.figure.table', {})} <kbd>T</kbd>
      </button>
    </div>
  );
}

const noStops: readonly FigureStop[] = [];

function geometryOf(figure: Figure, width: number, height: number): FigureGeometry {
  const rects = figure.panes.map((pane) => paneRect(pane, width, height));
  const nowhere: PixelRect = { x: 0, y: 0, width: 1, height: 1 };
  const scales = figure.panes.map((pane, index) => paneScales(pane, rects[index] ?? nowhere));
  return {
    figure,
    width,
    height,
    rect: (pane) => rects[pane] ?? nowhere,
    px: (pane, x) => scales[pane]?.px(x) ?? 0,
    py: (pane, y) => scales[pane]?.py(y) ?? 0,
    valueAt: (pane, px) => {
      const scale = figure.panes[pane]?.x ?? { min: 0, max: 1 };
      const rect = rects[pane] ?? nowhere;
      const share = Math.max(0, Math.min(1, (px - rect.x) / rect.width));
      return scale.min + share * (scale.max - scale.min);
    },
  };
}

function Tip({ stop, geometry }: { stop: FigureStop; geometry: FigureGeometry }): ReactNode {
  const x = geometry.px(stop.pane, stop.x);
  const y = geometry.py(stop.pane, stop.y);
  const left = x < geometry.width / 2;
  return (
    <div
      className="figure-tip"
      style={{ top: Math.max(0, y - 30), ...(left ? { left: x + 12 } : { right: geometry.width - x + 12 }) }}
    >
      {stop.text}
    </div>
  );
}

function FigureAsTable({ figure, height, onBack }: { figure: Figure; height: number; onBack: () => void }): ReactNode {
  const table: FigureTable = figure.table ?? {
    head: [figure.title],
    rows: (figure.stops ?? []).map((stop) => [stop.text]),
  };
  const numeric = new Set(table.numeric ?? []);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: T and Escape anywhere inside go back to the figure
    <div
      className="figure-table"
      style={{ maxHeight: Math.max(height, 120) }}
      onKeyDown={(event) => {
        if (event.key !== 't' && event.key !== 'T' && event.key !== 'Escape') return;
        event.preventDefault();
        event.stopPropagation();
        onBack();
      }}
    >
      <button
        type="button"
        className="link"
        onClick={onBack}
        ref={(element) => {
          element?.focus();
        }}
      >
        {t('ui.figure.figure', {})} <kbd>T</kbd>
      </button>
      <p className="caption">{figure.summary}</p>
      {/* biome-ignore lint/a11y/useSemanticElements: the region around it is the landmark */}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a part that scrolls must be reachable by the keyboard */}
      <div className="scroll" role="group" tabIndex={0} aria-label={figure.title}>
        <table className="data">
          <thead>
            <tr>
              {table.head.map((cell, index) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: columns have no identity but their place
                <th key={index} scope="col" className={numeric.has(index) ? 'right' : ''}>
                  {cell}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {table.rows.map((row, r) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: rows have no identity but their place
              <tr key={r}>
                {row.map((cell, index) => (
                  // biome-ignore lint/suspicious/noArrayIndexKey: as above
                  <td key={index} className={numeric.has(index) ? 'right' : ''}>
                    {cell}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </div>
  );
}

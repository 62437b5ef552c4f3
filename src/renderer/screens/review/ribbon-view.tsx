import { type ReactNode, useCallback, useMemo } from 'react';
import type { RibbonModel } from '#core/contract/models/review-model.ts';
import { clockPosition, clockTime } from '#core/figures/clock-position.ts';
import { limitRibbon, ribbonLayout } from '#core/figures/limit-ribbon.ts';
import { type FigureGeometry, type FigureSize, FigureView } from '../../figures/figure-view.tsx';
import { MarkGlyph } from '../../parts/mark-glyph.tsx';
import { t } from '../../parts/text.ts';

interface RibbonViewProps {
  readonly model: RibbonModel;
  readonly height: number;
  readonly selected: string | null;
  readonly onSelect: (id: string | null) => void;
  readonly onOpen: (id: string) => void;
  readonly brush: { readonly from: number; readonly to: number } | null;
  readonly onBrush: (range: { readonly from: number; readonly to: number } | null) => void;
  /** Readings drawn in full; null: all. */
  readonly only: ReadonlySet<string> | null;
}

/** The limit ribbon with what the pointer and the keys do on it. */
export function RibbonView(props: RibbonViewProps): ReactNode {
  const { model, height, selected, onSelect, onOpen, brush, onBrush, only } = props;
  const build = useCallback((size: FigureSize) => limitRibbon(model, { ...size, only }), [model, only]);
  const layout = useMemo(() => ribbonLayout(Math.max(1, model.strips.length), height), [model, height]);
  const overlay = useCallback(
    (geometry: FigureGeometry, hovered: { readonly id: string } | null) => {
      const shownId = hovered?.id ?? selected;
      const stop = geometry.figure.stops?.find((s) => s.id === shownId);
      return (
        <>
          {brush ? <BrushMark geometry={geometry} model={model} brush={brush} axisY={layout.axisY} /> : null}
          {stop ? <Reading geometry={geometry} stop={stop} layout={layout} /> : null}
        </>
      );
    },
    [selected, brush, model, layout],
  );
  return (
    <FigureView
      build={build}
      height={height}
      selected={selected}
      onSelect={onSelect}
      onOpen={onOpen}
      overlay={overlay}
      onBrush={(range) =>
        onBrush(range ? { from: clockTime(model.axis, range.from), to: clockTime(model.axis, range.to) } : null)
      }
      tip={false}
      main
    />
  );
}

/** Plum ring, dotted line through both strips, one line of text between them. */
function Reading({
  geometry,
  stop,
  layout,
}: {
  geometry: FigureGeometry;
  stop: { readonly pane: number; readonly x: number; readonly y: number; readonly text: string };
  layout: ReturnType<typeof ribbonLayout>;
}): ReactNode {
  const x = geometry.px(stop.pane, stop.x);
  const y = geometry.py(stop.pane, stop.y);
  const toLeft = x > geometry.width / 2;
  return (
    <>
      <circle className="ring" cx={x} cy={y} r={8} />
      {stop.pane > 1 ? <line className="you-line" x1={x} x2={x} y1={layout.strips[0]?.top ?? 0} y2={y - 9} /> : null}
      <line className="you-line" x1={x} x2={x} y1={y + 9} y2={layout.axisY} />
      <text className="you" x={toLeft ? x - 8 : x + 8} y={layout.textY + 3} textAnchor={toLeft ? 'end' : 'start'}>
        {stop.text}
      </text>
    </>
  );
}

function BrushMark({
  geometry,
  model,
  brush,
  axisY,
}: {
  geometry: FigureGeometry;
  model: RibbonModel;
  brush: { readonly from: number; readonly to: number };
  axisY: number;
}): ReactNode {
  const from = geometry.px(0, clockPosition(model.axis, brush.from));
  const to = geometry.px(0, clockPosition(model.axis, brush.to));
  return <rect className="you-wash" x={from} width={Math.max(1, to - from)} y={14} height={axisY - 14} />;
}

const keyMarks = ['inside', 'torque-low', 'torque-high', 'angle-low', 'angle-high', 'unjudged'] as const;

/** The one line of key that is allowed. */
export function RibbonKey(): ReactNode {
  return (
    <ul className="ribbon-key" aria-label={t('ui.ribbon.key', {})}>
      {keyMarks.map((mark) => (
        <li key={mark}>
          <MarkGlyph kind={mark} quiet /> {t(`ui.mark.${mark}`, {})}
        </li>
      ))}
      <li>
        <svg className="glyph" width="11" height="11" aria-hidden="true">
          <path d="M5.5 0V11" className="thread" />
        </svg>{' '}
        {t('ui.ribbon.again', {})}
      </li>
    </ul>
  );
}

import { type PointerEvent, type ReactNode, useCallback, useMemo, useRef, useState } from 'react';
import type { StudyChoices } from '#core/contract/calls.ts';
import type { StudyModel } from '#core/contract/models/study-model.ts';
import { studyAxis, studyAxisLayout } from '#core/figures/study-axis.ts';
import { type FigureGeometry, type FigureSize, FigureView } from '../../figures/figure-view.tsx';
import { Button } from '../../parts/button.tsx';
import { useKeys } from '../../parts/keys.ts';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { useMedia } from '../../parts/use-media.ts';
import { changeView } from '../../state/view.ts';
import { LeaveOutForm } from './leave-out-form.tsx';

/** Under this width of the window the probability plot goes under the histogram (screens.md 10). */
const narrowWindow = '(max-width: 1279px)';
const workings = ['controlLimits', 'histogram', 'probabilityPlot'] as const;

/** Run and control chart, histogram and probability plot on one axis; limits can be dragged to try others out. */
export function AxisView({
  model,
  change,
  onWorking,
}: {
  model: StudyModel;
  change: (part: Partial<StudyChoices>) => void;
  onWorking: (figure: string) => void;
}): ReactNode {
  const narrow = useMedia(narrowWindow);
  const height = narrow ? 600 : 394;
  const [dragged, setDragged] = useState<Dragged | null>(null);
  const [selected, setSelected] = useState<string | null>(null);
  const [leaving, setLeaving] = useState<string | null>(null);
  const kept = model.choices.whatIf;
  const { limits } = model;
  // A side that was not touched keeps the real limit: it is no limit tried out.
  const tried = (side: 'low' | 'high'): number | null => {
    const value = dragged?.side === side ? dragged.value : (kept?.[side] ?? null);
    return value === limits[side] ? null : value;
  };
  const triedLow = tried('low');
  const triedHigh = tried('high');
  const build = useCallback(
    (size: FigureSize) => studyAxis(model, { ...size, narrow, tried: { low: triedLow, high: triedHigh } }),
    [model, narrow, triedLow, triedHigh],
  );
  const reading = useMemo(() => model.marks.find((mark) => mark.id === selected) ?? null, [model, selected]);
  const selectedText = useMemo(
    () =>
      selected === null
        ? null
        : (studyAxis(model, { width: 800, height: 400 }).stops?.find((stop) => stop.id === selected)?.text ?? null),
    [model, selected],
  );
  const open = (id: string): void => {
    if (!model.marks.some((mark) => mark.id === id)) return;
    const { from, to } = model.choices.scope;
    changeView({
      screen: 'readings',
      joints: [model.scopeFacts.joint],
      tools: model.choices.scope.tools,
      operators: model.choices.scope.operators,
      period: { from, to, shift: null },
      brush: null,
      filters: [],
      reading: id,
    });
  };
  const leave = (): boolean => {
    if (reading === null) return false;
    setLeaving(reading.id);
    return true;
  };
  useKeys({
    x: leave,
    escape: () => (selected === null ? false : setSelected(null)),
  });
  const commit = (side: 'low' | 'high', value: number): void => {
    const next = { low: kept?.low ?? limits.low, high: kept?.high ?? limits.high, [side]: value };
    const real = next.low === limits.low && next.high === limits.high;
    const crossed = next.low !== null && next.high !== null && next.low >= next.high;
    if (!crossed) change({ whatIf: real ? null : { low: next.low, high: next.high } });
  };
  const overlay = (geometry: FigureGeometry, hovered: { readonly id: string } | null): ReactNode => {
    const at = studyAxisLayout(model, {
      width: geometry.width,
      height,
      narrow,
      tried: { low: triedLow, high: triedHigh },
    });
    const shown = hovered?.id ?? selected;
    const stop = geometry.figure.stops?.find((one) => one.id === shown);
    return (
      <>
        {stop ? (
          <circle className="ring" cx={geometry.px(stop.pane, stop.x)} cy={geometry.py(stop.pane, stop.y)} r={8} />
        ) : null}
        {(['low', 'high'] as const).map((side) => (
          <LimitHandle
            key={side}
            side={side}
            value={(side === 'low' ? triedLow : triedHigh) ?? model.limits[side]}
            at={at}
            decimals={model.decimals}
            onDrag={setDragged}
            onDrop={(value) => {
              setDragged(null);
              commit(side, value);
            }}
          />
        ))}
      </>
    );
  };
  const angle = model.choices.of === 'angle';
  return (
    <Region
      title={t('ui.study.axis', { angle })}
      note={t('ui.study.axis.note', {})}
      end={
        <>
          {t('ui.study.working', {})}{' '}
          {workings
            .filter((key) => model.working[key] !== undefined)
            .map((key) => (
              <span key={key} className="working-link">
                <Button kind="link" onPress={() => onWorking(key)}>
                  {t('ui.study.working.of', { figure: key })}
                </Button>
              </span>
            ))}
        </>
      }
      className="axis-region"
    >
      {model.whatIf ? (
        <p className="hypothetical">
          <strong>{t('ui.study.hypothetical', {})}</strong> <Sentence of={model.whatIf.said} />{' '}
          {model.whatIf.indices
            .filter((row) => row.value !== null)
            .slice(0, 2)
            .map((row) =>
              t('figure.indices.item', {
                name: row.name,
                value: row.value ?? 0,
                low95: row.low95,
                high95: row.high95,
                required: null,
              }),
            )
            .join('; ')}
          . {t('ui.study.hypothetical.outside', { count: model.whatIf.outsideCount })}{' '}
          <Button kind="link" onPress={() => change({ whatIf: null })}>
            {t('ui.study.tried.clear', {})}
          </Button>
        </p>
      ) : null}
      <FigureView
        build={build}
        height={height}
        selected={selected}
        onSelect={setSelected}
        onOpen={open}
        overlay={overlay}
      />
      {selectedText ? (
        <p className="selected-reading">
          {selectedText}{' '}
          {reading === null || reading.leftOut ? null : (
            <Button keyName="X" onPress={() => setLeaving(reading.id)}>
              {t('ui.study.leave-out', {})}
            </Button>
          )}
        </p>
      ) : null}
      {leaving !== null ? (
        <LeaveOutForm
          id={leaving}
          mark={model.marks.find((mark) => mark.id === leaving) ?? null}
          onClose={() => setLeaving(null)}
        />
      ) : null}
    </Region>
  );
}

interface Dragged {
  readonly side: 'low' | 'high';
  readonly value: number;
}

/** The grip of a limit at the left end of its line. The fields at the left do the same for the keyboard. */
function LimitHandle({
  side,
  value,
  at,
  decimals,
  onDrag,
  onDrop,
}: {
  side: 'low' | 'high';
  value: number | null;
  at: ReturnType<typeof studyAxisLayout>;
  decimals: number;
  onDrag: (dragged: Dragged) => void;
  onDrop: (value: number) => void;
}): ReactNode {
  const start = useRef<{ readonly clientY: number; readonly value: number; readonly perPixel: number } | null>(null);
  const last = useRef(0);
  if (value === null) return null;
  const perPixel = (at.y.max - at.y.min) / (at.bottom - at.top);
  const y = at.bottom - (value - at.y.min) / perPixel;
  const moved = (event: PointerEvent<SVGGElement>): number | null => {
    const from = start.current;
    if (!from) return null;
    const raw = from.value - (event.clientY - from.clientY) * from.perPixel;
    return Number(raw.toFixed(decimals));
  };
  return (
    <g
      className="limit-handle"
      onPointerDown={(event) => {
        event.stopPropagation();
        event.currentTarget.setPointerCapture(event.pointerId);
        start.current = { clientY: event.clientY, value, perPixel };
        last.current = value;
      }}
      onPointerMove={(event) => {
        const next = moved(event);
        if (next === null || next === last.current) return;
        last.current = next;
        onDrag({ side, value: next });
      }}
      onPointerUp={(event) => {
        event.stopPropagation();
        const from = start.current;
        start.current = null;
        if (from && last.current !== from.value) onDrop(last.current);
      }}
    >
      <title>{t('ui.study.handle', { side })}</title>
      <rect x={at.left - 3} y={y - 6} width={at.runRight - at.left} height={12} className="grip" />
      <path d={`M${at.left + 2} ${y - 5}v10l7 -5z`} className="grip-mark" />
    </g>
  );
}

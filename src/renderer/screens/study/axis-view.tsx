import { type PointerEvent, type ReactNode, useCallback, useMemo, useRef, useState } from 'react';
import type { StudyChoices } from '#core/contract/calls.ts';
import type { StudyModel } from '#core/contract/models/study-model.ts';
import { studyAxis, studyAxisLayout, studyUnitSymbol } from '#core/figures/study-axis.ts';
import { type FigureGeometry, type FigureSize, FigureView } from '../../figures/figure-view.tsx';
import { useWidth } from '../../figures/use-size.ts';
import { Button } from '../../parts/button.tsx';
import { useKeys } from '../../parts/keys.ts';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { LeaveOutForm } from './leave-out-form.tsx';

const narrowBelow = 860;
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
  const holder = useRef<HTMLDivElement>(null);
  const width = useWidth(holder);
  const narrow = width > 0 && width < narrowBelow;
  const height = narrow ? 600 : 394;
  const [dragged, setDragged] = useState<Dragged | null>(null);
  const [selected, setSelected] = useState<string | null>(null);
  const [leaving, setLeaving] = useState<string | null>(null);
  const kept = model.choices.whatIf;
  const triedLow = dragged?.side === 'low' ? dragged.value : (kept?.low ?? null);
  const triedHigh = dragged?.side === 'high' ? dragged.value : (kept?.high ?? null);
  const build = useCallback(
    (size: FigureSize) => studyAxis(model, { ...size, narrow, tried: { low: triedLow, high: triedHigh } }),
    [model, narrow, triedLow, triedHigh],
  );
  const reading = useMemo(() => model.marks.find((mark) => mark.id === selected) ?? null, [model, selected]);
  const leave = (): boolean => {
    if (reading === null) return false;
    setLeaving(reading.id);
    return true;
  };
  useKeys({ x: leave });
  const commit = (side: 'low' | 'high', value: number | null): void => {
    const next = { low: kept?.low ?? null, high: kept?.high ?? null, [side]: value };
    change({ whatIf: next.low === null && next.high === null ? null : next });
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
      <div ref={holder}>
        <FigureView build={build} height={height} selected={selected} onSelect={setSelected} overlay={overlay} />
      </div>
      {reading ? (
        <p className="selected-reading">
          {t('figure.study.reading-stop', {
            value: t('ui.drift.number', { value: reading.value, decimals: model.decimals }),
            unit: studyUnitSymbol(model.unit),
            at: reading.at,
            tool: reading.tool,
            leftOut: reading.leftOut,
            outside: reading.outside,
          })}{' '}
          {reading.leftOut ? null : (
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
      <path d={`M${at.left - 3} ${y}l-6 -5v10z`} className="grip-mark" />
    </g>
  );
}

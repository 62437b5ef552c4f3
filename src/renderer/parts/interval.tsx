import type { ReactNode } from 'react';
import { t } from './text.ts';

interface IntervalProps {
  readonly value: number | null;
  readonly low: number | null;
  readonly high: number | null;
  /** Ends of the scale that all rows of the list share. */
  readonly scale: readonly [number, number];
  /** In words, as printed. */
  readonly text: { readonly value: string; readonly low: string; readonly high: string };
  readonly width?: number;
  readonly height?: number;
  /** Ink instead of slate: the stated test excludes the reference. */
  readonly strong?: boolean;
  /** Hollow dot: too few to say much. */
  readonly hollow?: boolean;
  /** Dotted line across: what the value is compared with. */
  readonly reference?: number;
  /** Solid tick: a requirement. */
  readonly tick?: number;
}

/** A value as a dot on the line of its 95 % interval. An end beyond the scale is cut at its edge. */
export function Interval(props: IntervalProps): ReactNode {
  const {
    value,
    low,
    high,
    scale,
    text,
    width = 60,
    height = 14,
    strong = false,
    hollow = false,
    reference,
    tick,
  } = props;
  if (value === null) return null;
  const inner = width - 8;
  const x = (v: number): number => 4 + Math.max(0, Math.min(1, (v - scale[0]) / (scale[1] - scale[0]))) * inner;
  const y = height / 2;
  return (
    <svg className="interval" width={width} height={height} role="img" aria-label={t('ui.interval', text)}>
      {reference === undefined ? null : (
        <line className="reference" x1={x(reference)} x2={x(reference)} y1={0} y2={height} />
      )}
      {tick === undefined ? null : <line className="tick" x1={x(tick)} x2={x(tick)} y1={1} y2={height - 1} />}
      {low === null || high === null ? null : (
        <line className={strong ? 'span strong' : 'span'} x1={x(low)} x2={x(high)} y1={y} y2={y} />
      )}
      <circle className={`${strong ? 'dot strong' : 'dot'}${hollow ? ' hollow' : ''}`} cx={x(value)} cy={y} r={3} />
    </svg>
  );
}

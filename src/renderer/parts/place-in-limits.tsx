import type { ReactNode } from 'react';
import type { MarkKind } from '#core/figures/figure.ts';
import { markPath } from './mark-glyph.tsx';
import { t } from './text.ts';

/** Where a reading lies between its low (-1) and high (+1) limit: two ticks and its mark, cut at 1.6. */
export function PlaceInLimits({
  place,
  mark,
  width = 64,
}: {
  place: number | null;
  mark: MarkKind;
  width?: number;
}): ReactNode {
  const x = (p: number): number => 5 + ((Math.max(-1.6, Math.min(1.6, p)) + 1.6) / 3.2) * (width - 10);
  if (place === null) {
    return (
      <svg className="place" width={width} height={14} role="img" aria-label={t('ui.place.none', {})}>
        {mark === 'unjudged' ? markPath(mark, x(0), 7, 0.85) : null}
      </svg>
    );
  }
  return (
    <svg className="place" width={width} height={14} role="img" aria-label={t('ui.place', { place })}>
      <rect className="window" x={x(-1)} y={4} width={x(1) - x(-1)} height={6} />
      <line className="limit" x1={x(-1)} x2={x(-1)} y1={2} y2={12} />
      <line className="limit" x1={x(1)} x2={x(1)} y1={2} y2={12} />
      {markPath(mark, x(place), 7, 0.85)}
    </svg>
  );
}

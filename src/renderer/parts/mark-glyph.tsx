import type { ReactNode } from 'react';
import type { MarkKind } from '#core/figures/figure.ts';
import { t } from './text.ts';

const paths: Readonly<Record<MarkKind, { readonly d: string; readonly look: string }>> = {
  'torque-low': { d: 'M-4.6-3.4h9.2L0 4.4z', look: 'low filled' },
  'torque-high': { d: 'M-4.6 3.4h9.2L0-4.4z', look: 'high filled' },
  'angle-low': { d: 'M-4.2-3.1h8.4L0 4z', look: 'low hollow' },
  'angle-high': { d: 'M-4.2 3.1h8.4L0-4z', look: 'high hollow' },
  unjudged: { d: 'M0-4.4L4.4 0 0 4.4-4.4 0z', look: 'unjudged hollow' },
  inside: { d: 'M-2.6 0a2.6 2.6 0 1 0 5.2 0a2.6 2.6 0 1 0-5.2 0z', look: 'inside filled' },
  'outside-control': { d: 'M-4 0a4 4 0 1 0 8 0a4 4 0 1 0-8 0z', look: 'ink hollow' },
  'left-out': { d: 'M-3.4-3.4L3.4 3.4M-3.4 3.4L3.4-3.4', look: 'ink cross' },
  square: { d: 'M-3.5-3.5h7v7h-7z', look: 'ink hollow' },
};

/** A verdict mark as an element inside an SVG of ours. */
export function markPath(kind: MarkKind, x = 0, y = 0, scale = 1): ReactNode {
  const { d, look } = paths[kind];
  return <path className={`mark ${look}`} d={d} transform={`translate(${x} ${y}) scale(${scale})`} />;
}

/** A verdict mark in a line of text. Named for screen readers unless its words stand beside it (`quiet`). */
export function MarkGlyph({
  kind,
  size = 11,
  quiet = false,
}: {
  kind: MarkKind;
  size?: number;
  quiet?: boolean;
}): ReactNode {
  return quiet ? (
    <svg className="glyph" width={size} height={size} viewBox="-5.5 -5.5 11 11" aria-hidden="true">
      {markPath(kind)}
    </svg>
  ) : (
    <svg
      className="glyph"
      width={size}
      height={size}
      viewBox="-5.5 -5.5 11 11"
      role="img"
      aria-label={t(`ui.mark.${kind}`, {})}
    >
      {markPath(kind)}
    </svg>
  );
}

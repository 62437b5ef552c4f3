import type { PixelRect } from '#core/figures/draw-pane.ts';
import type { Pane } from '#core/figures/figure.ts';

/** The rectangle of a pane in a figure of this size, by the same rule by which the chart lays it out. */
export function paneRect(pane: Pane, width: number, height: number): PixelRect {
  return {
    x: pane.left,
    y: pane.top,
    width: pane.width ?? Math.max(1, width - pane.left - (pane.right ?? 0)),
    height: pane.height ?? Math.max(1, height - pane.top - (pane.bottom ?? 0)),
  };
}

/** What figure tests have in common. */

import { drawPane, type PaneElement } from '#core/figures/draw-pane.ts';
import type { Drawing, Figure, Numbers } from '#core/figures/figure.ts';
import { lightLook } from '#core/figures/look.ts';

/** Every drawing of a figure. */
export const drawingsOf = (figure: Figure): Drawing[] => figure.panes.flatMap((pane) => [...pane.drawings]);

/** All texts of a figure, axis labels included. */
export function textsOf(figure: Figure): string[] {
  return drawingsOf(figure).flatMap((d) =>
    d.kind === 'text' ? [d.text] : d.kind === 'axis' ? d.ticks.map((tick) => tick.label) : [],
  );
}

/** Marks of one kind: how many points are drawn. */
export function markCount(figure: Figure, mark: string): number {
  return drawingsOf(figure).reduce(
    (total, d) => total + (d.kind === 'marks' && d.mark === mark ? finiteCount(d.x, d.y) : 0),
    0,
  );
}

/** Dots drawn in a figure. */
export const dotCount = (figure: Figure): number =>
  drawingsOf(figure).reduce((total, d) => total + (d.kind === 'dots' ? finiteCount(d.x, d.y) : 0), 0);

function finiteCount(x: Numbers, y: Numbers): number {
  let count = 0;
  for (let k = 0; k < x.length; k += 1) if (Number.isFinite((x[k] ?? Number.NaN) + (y[k] ?? Number.NaN))) count += 1;
  return count;
}

/** Numbers of the drawn elements that are not finite; a NaN in data must have become a gap before this point. */
export function notFinite(figure: Figure, width: number, height: number): string[] {
  const bad: string[] = [];
  const visit = (value: unknown, path: string): void => {
    if (typeof value === 'number' && !Number.isFinite(value)) bad.push(path);
    else if (Array.isArray(value)) for (const [k, item] of value.entries()) visit(item, `${path}[${k}]`);
    else if (value !== null && typeof value === 'object' && !ArrayBuffer.isView(value)) {
      for (const [key, item] of Object.entries(value)) visit(item, `${path}.${key}`);
    }
  };
  for (const [k, pane] of figure.panes.entries()) {
    const w = pane.width ?? width - pane.left - (pane.right ?? 0);
    const h = pane.height ?? height - pane.top - (pane.bottom ?? 0);
    const element: PaneElement = drawPane(pane, { x: pane.left, y: pane.top, width: w, height: h }, lightLook);
    visit(element, `pane ${k}`);
  }
  return bad;
}

/** SVG with numbers rounded to three decimals, so that the last digits of a machine do not matter. */
export const rounded = (svg: string): string =>
  svg.replace(/-?\d+\.\d{4,}/g, (digits) => String(Number(Number(digits).toFixed(3))));

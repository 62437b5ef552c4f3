/** Figures as SVG without a window. Loaded only when asked for: ECharts costs half a second to import. */

import { CustomChart } from 'echarts/charts';
import { GridComponent } from 'echarts/components';
import * as echarts from 'echarts/core';
import { SVGRenderer } from 'echarts/renderers';
import { chartOption, paneSeries, renderPane } from '#core/figures/chart-option.ts';
import type { Figure } from '#core/figures/figure.ts';
import { type Look, printLook } from '#core/figures/look.ts';
import { shapeTable } from '#core/figures/shapes.ts';

let registered = false;

function register(): void {
  if (registered) return;
  registered = true;
  echarts.use([CustomChart, GridComponent, SVGRenderer]);
  for (const [name, buildPath] of Object.entries(shapeTable)) {
    // ECharts types its registry by class; ours are built from a table of functions.
    const shape = echarts.graphic.extendShape({
      type: name,
      shape: { points: [], size: 10 },
      buildPath: buildPath as never,
    });
    echarts.graphic.registerShape(name, shape as never);
  }
  echarts.registerCustomSeries(paneSeries, renderPane as never);
}

/**
 * Draws a figure as SVG text, the same bytes for the same figure.
 *
 * ECharts numbers ids and classes from counters that live as long as the process; they are renumbered in order of
 * appearance. The attributes that it leaves for its own script in a page are taken out: a file has no script. It writes no title or description either, so both are added for screen readers.
 */
export function figureSvg(figure: Figure, width: number, height: number, look: Look = printLook): string {
  register();
  const chart = echarts.init(null, null, { renderer: 'svg', ssr: true, width, height });
  try {
    chart.setOption(chartOption(figure, look));
    return withTitle(renumber(withoutMarks(chart.renderToSVGString())), figure);
  } finally {
    // An undisposed chart keeps the process alive.
    chart.dispose();
  }
}

/** Without `ecmeta_…` attributes. */
const withoutMarks = (svg: string): string => svg.replace(/ ecmeta_[a-z_]+="[^"]*"/g, '');

function renumber(svg: string): string {
  const seen = new Map<string, string>();
  return svg.replace(/\bzr\d+-(?:c|cls-|i|s|p|g)?\d+\b/g, (id) => {
    const known = seen.get(id) ?? `z${seen.size}`;
    seen.set(id, known);
    return known;
  });
}

function withTitle(svg: string, figure: Figure): string {
  return svg.replace(
    /<svg([^>]*)>/,
    (_all, attributes: string) =>
      `<svg${attributes} role="img"><title>${escaped(figure.title)}</title><desc>${escaped(figure.summary)}</desc>`,
  );
}

const escaped = (text: string): string =>
  text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;');

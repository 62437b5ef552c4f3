/** Figure to ECharts option. Our own plain type, so core imports nothing of ECharts; a type test holds the two together. */
import { drawPane } from './draw-pane.ts';
import type { Figure, Pane } from './figure.ts';
import type { Look } from './look.ts';

/** Name under which the drawing of a pane is registered as a custom series. */
export const paneSeries = 'tbPane';

/** An alias and not an interface: only then is it assignable to ECharts' open option type, which its mounts prove. */
export type ChartOption = {
  readonly animation: false;
  readonly backgroundColor: string;
  readonly grid: Record<string, unknown>[];
  readonly xAxis: Record<string, unknown>[];
  readonly yAxis: Record<string, unknown>[];
  readonly series: Record<string, unknown>[];
};

/** What a pane's series carries to its drawing function. */
export interface PanePayload {
  readonly pane: Pane;
  readonly look: Look;
}

/** The option that draws a figure in a look. Colours and places are all set; nothing is inherited. */
export function chartOption(figure: Figure, look: Look): ChartOption {
  return {
    animation: false,
    backgroundColor: figure.clear ? 'transparent' : look.colours.sheet,
    grid: figure.panes.map((p) => ({
      left: p.left,
      top: p.top,
      ...(p.right === undefined ? {} : { right: p.right }),
      ...(p.width === undefined ? {} : { width: p.width }),
      ...(p.bottom === undefined ? {} : { bottom: p.bottom }),
      ...(p.height === undefined ? {} : { height: p.height }),
      containLabel: false,
    })),
    xAxis: figure.panes.map((p, i) => ({ type: 'value', gridIndex: i, min: p.x.min, max: p.x.max, show: false })),
    yAxis: figure.panes.map((p, i) => ({ type: 'value', gridIndex: i, min: p.y.min, max: p.y.max, show: false })),
    series: figure.panes.map((pane, i) => ({
      type: 'custom',
      renderItem: paneSeries,
      coordinateSystem: 'cartesian2d',
      xAxisIndex: i,
      yAxisIndex: i,
      silent: true,
      clip: false,
      data: [[pane.x.min, pane.y.min]],
      itemPayload: { pane, look } satisfies PanePayload,
    })),
  };
}

/** The drawing function registered under `paneSeries`: ECharts hands it the rectangle it has laid out. */
export function renderPane(params: { coordSys: unknown; itemPayload: unknown }): unknown {
  const rect = params.coordSys as { x: number; y: number; width: number; height: number };
  const { pane, look } = params.itemPayload as PanePayload;
  return drawPane(pane, rect, look);
}

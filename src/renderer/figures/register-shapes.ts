/** The one place that registers the ECharts parts the window uses. */
import { CustomChart } from 'echarts/charts';
import { GridComponent } from 'echarts/components';
import * as echarts from 'echarts/core';
import { CanvasRenderer } from 'echarts/renderers';
import { paneSeries, renderPane } from '#core/figures/chart-option.ts';
import { shapeTable } from '#core/figures/shapes.ts';

let registered = false;

/** ECharts with our shapes and our series. */
export function chartLibrary(): typeof echarts {
  if (!registered) {
    registered = true;
    echarts.use([CustomChart, GridComponent, CanvasRenderer]);
    for (const [name, buildPath] of Object.entries(shapeTable)) {
      const shape = echarts.graphic.extendShape({
        type: name,
        shape: { points: [], size: 10 },
        // ECharts types its registry by class; ours are built from a table of functions.
        buildPath: buildPath as never,
      });
      echarts.graphic.registerShape(name, shape as never);
    }
    echarts.registerCustomSeries(paneSeries, renderPane as never);
  }
  return echarts;
}

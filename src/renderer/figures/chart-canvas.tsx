import type { EChartsType } from 'echarts/core';
import { memo, type ReactNode, useEffect, useRef } from 'react';
import { chartOption } from '#core/figures/chart-option.ts';
import type { Figure } from '#core/figures/figure.ts';
import { darkLook, lightLook } from '#core/figures/look.ts';
import { useTheme } from '../state/settings.ts';
import { drawSoon } from './draw-queue.ts';
import { chartLibrary } from './register-shapes.ts';

/** The drawn part of a figure, and nothing else: hidden from screen readers, deaf to the pointer. */
export const ChartCanvas = memo(function ChartCanvas({
  figure,
  width,
  height,
}: {
  figure: Figure;
  width: number;
  height: number;
}): ReactNode {
  const place = useRef<HTMLDivElement>(null);
  const chart = useRef<EChartsType | null>(null);
  const theme = useTheme();
  useEffect(() => {
    if (!place.current) return;
    const made = chartLibrary().init(place.current, null, { renderer: 'canvas', width: 10, height: 10 });
    chart.current = made;
    return () => {
      chart.current = null;
      made.dispose();
    };
  }, []);
  useEffect(
    () =>
      drawSoon(place, () => {
        // Cleared first: elements of the drawing before, matched by their place in the list, kept parts of their positions;
        // and before the size is set, which would draw them once more.
        chart.current?.clear();
        if (chart.current?.getWidth() !== width || chart.current.getHeight() !== height) {
          chart.current?.resize({ width, height });
        }
        // Our option type is plain data without ECharts' names; the shape is the one it reads.
        chart.current?.setOption(chartOption(figure, theme === 'dark' ? darkLook : lightLook), { notMerge: true });
      }),
    [figure, width, height, theme],
  );
  return <div ref={place} className="chart-canvas" aria-hidden="true" />;
});

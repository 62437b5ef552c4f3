import { describe, expect, it } from 'vitest';
import type { RibbonMark, RibbonMarkKind, RibbonModel } from '#core/contract/models/review-model.ts';
import type { Drawing, Figure } from '#core/figures/figure.ts';
import { limitRibbon, ribbonEdge } from '#core/figures/limit-ribbon.ts';
import { darkLook } from '#core/figures/look.ts';
import { said } from '#core/text/said.ts';
import { figureSvg } from '../../../src/main/report/svg.ts';

const hour = 3_600_000;
const words = said('common.product', {});
const noLine = { at: new Float64Array(0), place: new Float32Array(0), window: 21 };

const mark = (id: string, at: number, kind: RibbonMarkKind, place: number | null, count = 1): RibbonMark => ({
  id,
  at,
  strip: kind.startsWith('angle') ? 'angle' : 'torque',
  kind,
  place,
  count,
  tool: 'T-305',
  said: words,
  row: 0,
});

function ribbon(marks: readonly RibbonMark[], change: Partial<RibbonModel> = {}): RibbonModel {
  const strip = (name: 'torque' | 'angle') => ({
    strip: name,
    dots: {
      at: new Float64Array([1 * hour, 2 * hour]),
      place: new Float32Array([0.25, -0.5]),
      ink: new Uint8Array([0, 1]),
      source: new Int32Array([1, 1]),
      line: new Int32Array([7, 8]),
    },
    band: null,
    othersMedian: noLine,
    inkMedian: null,
    spread: { from: -1.6, to: 1.6, counts: new Uint32Array([1, 2, 3, 2]), below: 0, above: 0 },
  });
  return {
    axis: { spans: [{ from: 0, to: 8 * hour, offset: 0 }], length: 8 * hour, breaks: [], ticks: [] },
    strips: [strip('torque'), strip('angle')],
    marks,
    threads: [],
    context: [],
    ink: null,
    passing: 2,
    drawnAs: 'dots',
    caption: null,
    ...change,
  };
}

const size = { width: 1000, height: 316 };
const drawn = (figure: Figure, kind: Drawing['kind']): Drawing[] =>
  figure.panes.flatMap((pane) => pane.drawings.filter((d) => d.kind === kind));
const marksDrawn = (figure: Figure): number =>
  drawn(figure, 'marks').reduce((sum, d) => sum + (d.kind === 'marks' ? d.x.length : 0), 0);

describe('limitRibbon', () => {
  it('draws every failing and unjudged mark, each in the strip of what failed, and stops at it', () => {
    const marks = [
      mark('1:1', 1 * hour, 'torque-low', -1.2),
      mark('1:2', 2 * hour, 'angle-high', 1.1),
      mark('1:3', 3 * hour, 'unjudged', null),
    ];
    const figure = limitRibbon(ribbon(marks), size);
    expect(marksDrawn(figure)).toBe(3);
    const walked = figure.stops?.filter((stop) => !stop.hoverOnly) ?? [];
    expect(walked.map((stop) => [stop.id, stop.pane])).toEqual([
      ['1:1', 1],
      ['1:2', 2],
      ['1:3', 1],
    ]);
  });

  it('sets a value far outside on the edge of the scale, so that it cannot leave the figure', () => {
    const figure = limitRibbon(ribbon([mark('1:1', hour, 'torque-high', 40)]), size);
    expect(figure.stops?.[0]?.y).toBe(ribbonEdge);
  });

  it('keeps all marks when only some are drawn in full', () => {
    const marks = Array.from({ length: 50 }, (_, i) => mark(`1:${i}`, i * 60_000, 'torque-low', -1.1));
    const figure = limitRibbon(ribbon(marks), { ...size, only: new Set(['1:3']) });
    expect(marksDrawn(figure)).toBe(50);
    const opacities = drawn(figure, 'marks').map((d) => (d.kind === 'marks' ? [d.x.length, d.opacity] : []));
    expect(opacities).toEqual([
      [49, 0.25],
      [1, 1],
    ]);
  });

  it('says how many readings share a mark, in the figure, the stop and the table', () => {
    const figure = limitRibbon(ribbon([mark('1:1', hour, 'torque-low', -1.2, 37)]), size);
    expect(drawn(figure, 'text').some((d) => d.kind === 'text' && d.text === '37')).toBe(true);
    expect(figure.stops?.[0]?.text).toMatch(/^37 readings here/);
    expect(figure.table?.rows[0]?.[3]).toBe('37');
    expect(figure.summary).toContain('37 outside or unjudged');
  });

  it('draws no limits where there are none, and puts the unjudged on a rail', () => {
    const figure = limitRibbon(ribbon([mark('1:1', hour, 'unjudged', null)], { strips: [] }), size);
    expect(marksDrawn(figure)).toBe(1);
    expect(drawn(figure, 'rects')).toEqual([]);
  });

  it('offers passing readings to the pointer alone', () => {
    const figure = limitRibbon(ribbon([]), size);
    expect(figure.stops?.map((stop) => stop.hoverOnly)).toEqual([true, true, true, true]);
  });

  it('breaks the median at a pause', () => {
    const line = { at: new Float64Array([1, 2, 5, 6].map((h) => h * hour)), place: new Float32Array(4), window: 21 };
    const base = ribbon([]);
    const figure = limitRibbon(
      {
        ...base,
        axis: {
          ...base.axis,
          breaks: [{ from: 2 * hour, to: 5 * hour, offset: 2 * hour, width: 3 * hour, cut: false, said: words }],
        },
        strips: base.strips.slice(0, 1).map((strip) => ({ ...strip, othersMedian: line })),
      },
      size,
    );
    const median = drawn(figure, 'line')[0];
    expect(median?.kind === 'line' ? Array.from(median.y, (y) => Number.isNaN(y)) : null).toEqual([
      false,
      false,
      true,
      false,
      false,
    ]);
  });

  it('can be printed: the same bytes for the same figure, with title and summary', () => {
    const figure = limitRibbon(ribbon([mark('1:1', hour, 'torque-low', -1.2)]), size);
    const svg = figureSvg(figure, size.width, size.height);
    expect(svg).toBe(figureSvg(figure, size.width, size.height));
    expect(svg).toContain('<title>Limit ribbon</title>');
    expect(figureSvg(figure, size.width, size.height, darkLook)).toContain(darkLook.colours.low);
  });
});

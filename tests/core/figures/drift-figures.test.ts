import { describe, expect, it } from 'vitest';
import type { DriftToolModel, Lane } from '#core/contract/models/drift-model.ts';
import { angleAgainstTorque } from '#core/figures/angle-against-torque.ts';
import { driftLaneRow, driftLaneScales, driftLanes, driftLanesHeight } from '#core/figures/drift-lanes.ts';
import { driftStrips } from '#core/figures/drift-strips.ts';
import { driftStripsLayout } from '#core/figures/drift-strips-layout.ts';
import { effectIntervals } from '#core/figures/effect-intervals.ts';
import { whatMoved, whatMovedHeight } from '#core/figures/what-moved.ts';
import { figureSvg } from '../../../src/main/report/svg.ts';
import { driftFixture, driftToolFixture } from '../../fixtures/models/drift.ts';
import { drawingsOf, markCount, notFinite, rounded, textsOf } from './drawn.ts';

const size = { width: 884, height: 360 };
const emptySeries: Lane['series'] = {
  at: [],
  percent: [],
  readings: [],
  ewma: [],
  ewmaLow: [],
  ewmaHigh: [],
  baseline: null,
  baselineFrom: null,
  baselineTo: null,
  sigma: null,
};
const silent = (lane: Lane): Lane => ({
  ...lane,
  moved: null,
  series: emptySeries,
  since: null,
  smallestVisible: null,
  changePoint: null,
  alarmAt: null,
  blocks: 0,
});
const without = (model: DriftToolModel): DriftToolModel => ({
  ...model,
  row: {
    ...model.row,
    own: silent(model.row.own),
    response: silent(model.row.response),
    checks: { permissiblePercent: null, latest: null, failing: false, recent: [], forecast: null, why: null },
  },
  change: null,
  sinceAt: null,
  checks: [],
  marks: [],
  scatter: null,
  whatMoved: [],
});

describe('three lanes a tool', () => {
  it('draws every tool on the same three scales', () => {
    const model = driftFixture();
    const scales = driftLaneScales(model);
    for (const row of model.tools) {
      const figure = driftLaneRow(row, scales, { width: 452, height: 66 });
      expect(figure.panes.map((pane) => pane.y)).toEqual([scales.own, { min: -1, max: 1 }, scales.checks]);
      expect(figure.panes.map((pane) => pane.x)).toEqual([scales.time, scales.response, scales.checkTime]);
    }
  });

  it('keeps every interval, limit and check inside the shared scales', () => {
    const model = driftFixture();
    const scales = driftLaneScales(model);
    for (const row of model.tools) {
      expect(row.response.since?.low95 ?? 0).toBeGreaterThan(scales.response.min);
      expect(row.response.since?.high95 ?? 0).toBeLessThan(scales.response.max);
      for (const check of row.checks.recent) expect(Math.abs(check.deviationPercent)).toBeLessThan(scales.checks.max);
      for (const value of row.own.series.ewma) expect(Math.abs(value ?? 0)).toBeLessThan(scales.own.max);
    }
  });

  it('says why a lane is empty instead of drawing nothing', () => {
    const model = driftFixture();
    const row = without(driftToolFixture()).row;
    const figure = driftLaneRow(row, driftLaneScales(model), { width: 452, height: 66 });
    expect(textsOf(figure)).toEqual(expect.arrayContaining(['no data', 'no check']));
    expect(notFinite(figure, 452, 66)).toEqual([]);
  });

  it('survives a plant without tools', () => {
    const none = { ...driftFixture(), tools: [], from: null, to: null };
    expect(notFinite(driftLanes(none, { width: 452 }), 452, driftLanesHeight(0))).toEqual([]);
  });

  it('draws the same bytes each time', async () => {
    const svg = rounded(figureSvg(driftLanes(driftFixture(), { width: 452 }), 452, driftLanesHeight(6)));
    expect(svg).not.toContain('NaN');
    await expect(svg).toMatchFileSnapshot('golden/drift-lanes.svg');
  });
});

describe('strips over time', () => {
  it('puts the three strips on one time scale, one under the other', () => {
    const figure = driftStrips(driftToolFixture(), size);
    expect(new Set(figure.panes.map((pane) => `${pane.x.min} ${pane.x.max} ${pane.left} ${pane.width}`)).size).toBe(1);
    const at = driftStripsLayout(driftToolFixture(), size);
    expect(at.own.bottom).toBeLessThan(at.response.top);
    expect(at.response.bottom).toBeLessThan(at.checks.top);
  });

  it.each([0, 1, 2])('gives a per cent the same length in the own and the response strip (tool %i)', (tool) => {
    const { own, response } = driftStripsLayout(driftToolFixture(tool), size);
    const perPercent = (s: typeof own): number => (s.bottom - s.top) / (s.y.max - s.y.min);
    expect(perPercent(own)).toBeCloseTo(perPercent(response), 9);
  });

  it('draws every block, check and pull, and names the change with its span and shape', () => {
    const model = driftToolFixture();
    const figure = driftStrips(model, size);
    expect(markCount(figure, 'square')).toBe(model.checks.length);
    const pulls = drawingsOf(figure).flatMap((d) => (d.kind === 'segments' ? [d.x0.length] : []));
    expect(pulls).toEqual([20]);
    const texts = textsOf(figure);
    expect(texts).toContain('Moved at the start of 10 Nov');
    expect(texts.some((text) => text.startsWith('a step; 95 %: '))).toBe(true);
    expect(texts.some((text) => text.startsWith('first outside, '))).toBe(true);
    expect(texts).toContain('shows less than the reference');
  });

  it('draws no change where none was found', () => {
    const figure = driftStrips(driftToolFixture(1), size);
    expect(drawingsOf(figure).some((d) => 'colour' in d && (d.colour === 'you' || d.colour === 'you-wash'))).toBe(
      false,
    );
    expect(textsOf(figure).filter((text) => text.startsWith('still: '))).toHaveLength(2);
  });

  it('says what is missing when there are no readings and no checks', () => {
    const figure = driftStrips(without(driftToolFixture()), size);
    expect(notFinite(figure, size.width, size.height)).toEqual([]);
    expect(textsOf(figure)).toEqual(expect.arrayContaining(['no data', 'no check']));
  });

  it('lets the pointer find every block and the keys the checks, and has a table', () => {
    const model = driftToolFixture();
    const figure = driftStrips(model, size);
    expect(figure.stops).toHaveLength(31 * 2 + model.checks.length);
    expect((figure.stops ?? []).filter((s) => !s.hoverOnly).length).toBeLessThan(12);
    expect(figure.table?.rows).toHaveLength(31);
  });

  it('draws the same bytes each time', async () => {
    const svg = rounded(figureSvg(driftStrips(driftToolFixture(), size), size.width, size.height));
    expect(svg).not.toContain('NaN');
    await expect(svg).toMatchFileSnapshot('golden/drift-strips.svg');
  });
});

describe('angle against torque', () => {
  it('draws two parallel lines whose vertical distance is the step it names', () => {
    const figure = angleAgainstTorque(driftToolFixture(), { width: 262, height: 230 });
    const lines = drawingsOf(figure ?? driftStrips(driftToolFixture(), size)).flatMap((d) =>
      d.kind === 'line' ? [[d.y[0] ?? 0, d.y[1] ?? 0]] : [],
    );
    expect(lines).toHaveLength(2);
    const [before = [0, 0], after = [0, 0]] = lines;
    expect((after[0] ?? 0) - (before[0] ?? 0)).toBeCloseTo(2.2, 9);
    expect((after[1] ?? 0) - (before[1] ?? 0)).toBeCloseTo(2.2, 9);
    expect(textsOf(figure ?? driftStrips(driftToolFixture(), size))).toContain('since 10 Nov: +2.2° at equal torque');
  });

  it('is absent where no angle was recorded', () => {
    expect(angleAgainstTorque(without(driftToolFixture()), { width: 262, height: 230 })).toBeNull();
  });
});

describe('what moved', () => {
  it('sets in ink and bold only what excludes zero, and keeps the row that cannot be told', () => {
    const model = driftToolFixture();
    const figure = whatMoved(model, { width: 300 });
    const bold = drawingsOf(figure).flatMap((d) => (d.kind === 'text' && d.strong ? [d.text] : []));
    expect(bold).toEqual(['T-207', '+3.6', 'with K. Osei', '+3.4']);
    expect(textsOf(figure)).toContain('cannot be told');
    expect(figure.table?.rows).toHaveLength(model.whatMoved.length);
    expect(notFinite(figure, 300, whatMovedHeight(model, { width: 300 }))).toEqual([]);
  });

  it('always shows zero', () => {
    const scale = whatMoved(driftToolFixture(), { width: 300 }).panes[1]?.x;
    expect(scale?.min).toBeLessThan(0);
    expect(scale?.max).toBeGreaterThan(4);
  });
});

describe('effects', () => {
  it('keeps the order of the register and sets comparable sets apart', () => {
    const row = (name: string, comparableSet: number, effectPercent: number) => ({
      name,
      label: name,
      effectPercent,
      low95: effectPercent - 0.2,
      high95: effectPercent + 0.2,
      n: 200,
      blocks: 10,
      comparableSet,
    });
    const figure = effectIntervals('operator', [row('b', 0, 0.1), row('z', 1, 0.5), row('a', 0, -0.1)], { width: 300 });
    expect(figure.table?.rows.map((r) => r[1])).toEqual(['b', 'a', 'z']);
    expect(textsOf(figure)).toEqual(expect.arrayContaining(['A', 'B']));
    expect(figure.summary).toContain('3 compared; 1 with');
  });
});

import { describe, expect, it } from 'vitest';
import { indexIntervals, indexIntervalsLayout } from '#core/figures/index-intervals.ts';
import { darkLook, printLook } from '#core/figures/look.ts';
import { studyAxis, studyAxisLayout } from '#core/figures/study-axis.ts';
import { studyCusum, studyEwma } from '#core/figures/study-sums.ts';
import { figureSvg } from '../../../src/main/report/svg.ts';
import { studyFixture } from '../../fixtures/models/study.ts';
import { dotCount, drawingsOf, markCount, notFinite, rounded, textsOf } from './drawn.ts';

const size = { width: 1112, height: 394 };

describe('the study on one axis', () => {
  it('gives run chart, histogram and probability plot the same value scale and the same place', () => {
    const figure = studyAxis(studyFixture(), size);
    const { y, top, bottom } = studyAxisLayout(studyFixture(), size);
    const sharing = figure.panes.filter((pane) => pane.y.min === y.min && pane.y.max === y.max);
    // Background, run chart, histogram, probability plot, names of the limits.
    expect(sharing).toHaveLength(5);
    for (const pane of sharing) expect([pane.top, pane.height]).toEqual([top, bottom - top]);
  });

  it('holds every reading, limit and control limit inside the scale', () => {
    const model = studyFixture({ mean: 26.4 });
    const { y } = studyAxisLayout(model, size);
    for (const mark of model.marks) {
      expect(mark.value).toBeGreaterThan(y.min);
      expect(mark.value).toBeLessThan(y.max);
    }
    expect(y.min).toBeLessThan(22);
    expect(y.max).toBeGreaterThan(26);
  });

  it('draws every reading once: inside as dots, outside by shape, left out as crosses', () => {
    const model = studyFixture({ mean: 25.6, s: 0.5 });
    const figure = studyAxis(model, size);
    const used = model.marks.filter((m) => !m.leftOut);
    const high = used.filter((m) => m.outside === 1).length;
    const low = used.filter((m) => m.outside === -1).length;
    expect(high).toBeGreaterThan(5);
    expect(markCount(figure, 'torque-high')).toBe(high);
    expect(markCount(figure, 'torque-low')).toBe(low);
    expect(markCount(figure, 'left-out')).toBe(2);
    const inside = used.length - high - low;
    const points = model.groups.length * 2 + (model.probabilityPlot?.points.length ?? 0);
    expect(dotCount(figure)).toBe(inside + points);
  });

  it('circles every point that breaks a rule, also when there are too many to name', () => {
    const model = studyFixture({ groups: 300, s: 1.2, limits: { low: 18, target: 24, high: 30 } });
    const all = model.groups.map((g, k) => ({ ...g, signals: k % 3 === 0 ? ['beyond-3-sigma' as const] : [] }));
    const crowded = { ...model, groups: all };
    const s = (g: (typeof all)[number]): boolean => g.s !== null && g.spreadUpper !== null && g.s > g.spreadUpper;
    expect(markCount(studyAxis(crowded, size), 'outside-control')).toBe(100 + all.filter(s).length);
  });

  it('never drops a column whose end lies outside the limits', () => {
    const figure = studyAxis(studyFixture({ groups: 300, pooled: true }), size);
    expect(markCount(figure, 'torque-low')).toBe(1);
    expect(markCount(figure, 'torque-high')).toBe(1);
    expect(textsOf(figure).join(' ')).toContain('as 120 columns');
  });

  it('leaves the open side of one-sided limits open', () => {
    const figure = studyAxis(studyFixture({ limits: { low: 22, target: null, high: null } }), size);
    expect(textsOf(figure)).toContain('low limit 22.00');
    expect(textsOf(figure).some((text) => text.startsWith('high limit'))).toBe(false);
    expect(figure.summary).toContain('at least 22.00');
  });

  it.each([
    ['means', studyFixture()],
    ['singles', studyFixture({ groups: 60, size: 1, leftOut: [7] })],
    ['columns', studyFixture({ groups: 300, pooled: true })],
    ['too few', studyFixture({ groups: 3 })],
    ['a group with every reading left out', studyFixture({ leftOut: [10, 11, 12, 13, 14] })],
    ['no limits', studyFixture({ limits: { low: null, target: null, high: null } })],
    ['nothing', { ...studyFixture(), marks: [], groups: [], histogram: null, probabilityPlot: null }],
  ])('draws %s without a number that is not finite', (_name, model) => {
    for (const narrow of [false, true]) {
      const figure = studyAxis(model, { ...size, narrow });
      expect(notFinite(figure, size.width, size.height)).toEqual([]);
      expect(figure.summary.length).toBeGreaterThan(20);
    }
  });

  it('marks limits that are tried out as a person’s and keeps the real ones', () => {
    const figure = studyAxis(studyFixture(), { ...size, tried: { low: 22.8, high: null } });
    expect(textsOf(figure)).toEqual(expect.arrayContaining(['tried out: 22.80', 'low limit 22.00']));
    const rules = drawingsOf(figure).flatMap((d) => (d.kind === 'rule' && d.colour === 'you' ? [d.at] : []));
    expect(rules).toEqual([22.8]);
  });

  it('breaks the line of points where a phase begins, and names it', () => {
    const model = studyFixture();
    const two = { ...model, groups: model.groups.map((g, k) => ({ ...g, phase: k < 10 ? 0 : 1 })) };
    expect(textsOf(studyAxis(two, size))).toContain('new phase');
    expect(textsOf(studyAxis(model, size))).not.toContain('new phase');
    const joined = drawingsOf(studyAxis(two, size)).find((d) => d.kind === 'line' && d.colour === 'ink');
    expect(joined?.kind === 'line' && Array.from(joined.y).filter(Number.isNaN)).toHaveLength(1);
  });

  it('stops the arrow keys at what matters and lists every group in its table', () => {
    const figure = studyAxis(studyFixture(), size);
    const stops = (figure.stops ?? []).filter((stop) => !stop.hoverOnly);
    expect(stops.filter((stop) => stop.text.endsWith('left out'))).toHaveLength(2);
    expect(stops.some((stop) => stop.text.includes('outside or a pattern'))).toBe(true);
    expect(figure.table?.rows).toHaveLength(25);
  });

  it('draws the same bytes each time', async () => {
    const draw = (look = printLook): string => rounded(figureSvg(studyAxis(studyFixture(), size), 1112, 394, look));
    expect(draw()).toBe(draw());
    expect(draw()).not.toContain('NaN');
    await expect(draw()).toMatchFileSnapshot('golden/study-axis.svg');
    expect(draw(darkLook)).toContain(darkLook.colours.you);
  });
});

describe('EWMA and cumulative sums', () => {
  const sums = { width: 520, height: 180 };
  const model = studyFixture();

  it('circle every signal and hold values and limits inside the scale', () => {
    const ewma = studyEwma(model, sums);
    expect(markCount(ewma, 'outside-control')).toBe(1);
    const { y } = ewma.panes[0] ?? { y: { min: 0, max: 0 } };
    for (const value of [...(model.chart.ewma?.lower ?? []), ...(model.chart.ewma?.upper ?? [])]) {
      expect(value).toBeGreaterThan(y.min);
      expect(value).toBeLessThan(y.max);
    }
    expect(notFinite(ewma, sums.width, sums.height)).toEqual([]);
    expect(ewma.table?.rows).toHaveLength(25);
  });

  it('draw the lower sum downwards, with the decision value on both sides', () => {
    const cusum = studyCusum(model, sums);
    const rules = drawingsOf(cusum).flatMap((d) => (d.kind === 'rule' && d.across === 'x' ? [d.at] : []));
    expect(rules).toEqual([0, 5, -5]);
    const lines = drawingsOf(cusum).flatMap((d) => (d.kind === 'line' ? [Array.from(d.y)] : []));
    expect(Math.min(...(lines[0] ?? [-1]))).toBeGreaterThanOrEqual(0);
    expect(Math.max(...(lines[1] ?? [1]))).toBeLessThanOrEqual(0);
    expect(notFinite(cusum, sums.width, sums.height)).toEqual([]);
  });

  it('are absent where there is nothing to chart', () => {
    const none = { ...model, chart: { ...model.chart, ewma: null, cusum: null } };
    expect(studyEwma(none, sums).panes).toEqual([]);
    expect(studyCusum(none, sums).panes).toEqual([]);
  });
});

describe('indices with intervals', () => {
  const rows = studyFixture().indices;

  it('puts the requirement on the row it applies to, and on no other', () => {
    const figure = indexIntervals(rows, { width: 512, selected: 'Ppk' });
    const ticks = drawingsOf(figure).filter((d) => d.kind === 'rule' && d.across === 'y' && d.width === 2);
    expect(ticks).toHaveLength(1);
    expect(textsOf(figure)).toContain('required 1.33 for Ppk');
  });

  it('keeps every interval and the requirement inside the scale', () => {
    const scale = indexIntervals(rows, { width: 512 }).panes[1]?.x;
    for (const row of rows) {
      expect(row.low95 ?? 0).toBeGreaterThan(scale?.min ?? 9);
      expect(row.high95 ?? 9).toBeLessThan(scale?.max ?? 0);
    }
    expect(scale?.min).toBeLessThan(1.33);
  });

  it('draws an index that would hold only if stable hollow and dashed', () => {
    const figure = indexIntervals(rows, { width: 512 });
    expect(rows.filter((row) => !row.holds)).toHaveLength(2);
    expect(markCount(figure, 'outside-control')).toBe(2);
  });

  it('keeps the place of an index that was not computed', () => {
    const none = studyFixture({ groups: 3 }).indices;
    const figure = indexIntervals(none, { width: 512 });
    expect(textsOf(figure).filter((text) => text === 'not computed')).toHaveLength(4);
    expect(notFinite(figure, 512, 200)).toEqual([]);
    expect(indexIntervalsLayout(none, { width: 512 }).rowTop).toHaveLength(4);
  });

  it('draws the same bytes each time', async () => {
    const { height } = indexIntervalsLayout(rows, { width: 512 });
    const svg = rounded(figureSvg(indexIntervals(rows, { width: 512, selected: 'Ppk' }), 512, height));
    await expect(svg).toMatchFileSnapshot('golden/index-intervals.svg');
  });
});

/** A strip of readings or of the response: block means, EWMA with its limits, alarm, and the words beside it. */
import type { BlockSeries, DriftToolModel, Lane } from '../contract/models/drift-model.ts';
import { changeWords } from './drift-change-marks.ts';
import { rightWords } from './drift-strip-words.ts';
import { type DriftStripsLayout, left } from './drift-strips-layout.ts';
import type { Drawing, TextStyle } from './figure.ts';
import { figureFormat, figureSay, figureText } from './figure-format.ts';
import { valueTicks } from './value-ticks.ts';

/** The note on the EWMA needs this much beside the title of its strip; else it is left out, and a report says it below. */
const ewmaWordsPx = 610;

/** Block means, EWMA, limits and the first point outside, in data units: civil ms and per cent. */
export function laneDrawings(
  model: DriftToolModel,
  lane: Lane,
  which: 'own' | 'response',
  at: DriftStripsLayout,
): readonly Drawing[] {
  void model;
  const { series } = lane;
  const place = at[which];
  const ticks = valueTicks(place.y.min, place.y.max, Math.max(2, Math.floor((place.bottom - place.top) / 20)));
  const out: Drawing[] = [
    {
      kind: 'axis',
      side: 'left',
      grid: true,
      ticks: ticks.values.map((value) => ({
        at: value,
        label: value === 0 ? '0' : figureFormat.signed(value, ticks.decimals),
      })),
    },
    { kind: 'rule', across: 'x', at: 0, colour: 'rule-2', dash: [1, 3] },
  ];
  const limits = limitPoints(series);
  out.push({
    kind: 'band',
    x: limits.map((p) => p.at),
    low: limits.map((p) => p.low),
    high: limits.map((p) => p.high),
    colour: 'band',
    opacity: 0.8,
  });
  for (const side of ['low', 'high'] as const) {
    out.push({
      kind: 'line',
      x: limits.map((p) => p.at),
      y: limits.map((p) => p[side]),
      colour: 'ink-2',
      dash: [4, 3],
    });
  }
  out.push({ kind: 'dots', x: series.at, y: series.percent, colour: 'inside', radius: 2.2, opacity: 0.6 });
  if (series.baseline !== null && series.baselineFrom !== null && series.baselineTo !== null) {
    const from = series.at[series.baselineFrom];
    const to = series.at[series.baselineTo];
    if (from !== undefined && to !== undefined) {
      out.push({ kind: 'rule', across: 'x', at: series.baseline, from, to, colour: 'inside', width: 1.4 });
    }
  }
  const ewma = series.at.flatMap((x, k) => {
    const value = series.ewma[k];
    return value === null || value === undefined ? [] : [{ x, value }];
  });
  out.push({ kind: 'line', x: ewma.map((p) => p.x), y: ewma.map((p) => p.value), colour: 'ink', width: 1.6 });
  const alarm = alarmPoint(lane);
  if (alarm) {
    out.push({ kind: 'marks', mark: 'outside-control', x: [alarm.at], y: [alarm.value], colour: 'ink' });
  }
  return out;
}

const limitPoints = (series: BlockSeries): { at: number; low: number; high: number }[] =>
  series.at.flatMap((at, k) => {
    const low = series.ewmaLow[k];
    const high = series.ewmaHigh[k];
    return low === null || low === undefined || high === null || high === undefined ? [] : [{ at, low, high }];
  });

function alarmPoint(lane: Lane): { at: number; value: number } | null {
  if (lane.alarmAt === null) return null;
  const k = lane.series.at.indexOf(lane.alarmAt);
  const value = lane.series.ewma[k];
  return value === null || value === undefined ? null : { at: lane.alarmAt, value };
}

/** What stands at the right of the strip, and beside its change and its first point outside. */
export function laneWords(
  model: DriftToolModel,
  lane: Lane,
  which: 'own' | 'response',
  at: DriftStripsLayout,
): readonly Drawing[] {
  const place = at[which];
  const { min, max } = at.time;
  const out: Drawing[] = [
    {
      kind: 'text',
      text: figureText('figure.strips.quantity', { quantity: lane.quantity, own: which === 'own' }),
      x: min,
      y: place.y.max,
      dxPx: -left,
      dyPx: -13,
      size: 12,
      strong: true,
      colour: 'ink',
      halo: true,
    },
  ];
  if (lane.series.at.length === 0) {
    out.push({
      kind: 'text',
      text: lane.why === null ? figureText('figure.lanes.nothing', {}) : figureSay(lane.why),
      x: min,
      y: (place.y.min + place.y.max) / 2,
      dxPx: 6,
      colour: 'ink-3',
      halo: true,
    });
    return out;
  }
  const alarm = alarmPoint(lane);
  if (alarm) {
    const late = alarm.at > min + (max - min) * 0.8;
    out.push({
      kind: 'text',
      text: figureText('figure.strips.first-outside', { at: alarm.at }),
      x: alarm.at,
      y: alarm.value,
      dxPx: late ? -9 : 9,
      dyPx: alarm.value >= 0 ? 12 : -12,
      align: late ? 'right' : 'left',
      colour: 'ink',
      halo: true,
    });
  }
  const { change } = model;
  if (change !== null && change.lane === which) out.push(...changeWords(change, place.y, at));
  if (which === 'response' && at.right >= ewmaWordsPx && lane.series.ewma.some((v) => v !== null)) {
    out.push({
      kind: 'text',
      text: figureText('figure.strips.ewma', {
        lambda: model.ewma.lambda,
        factor: model.ewma.limitFactor,
        blocks: model.ewma.baselineBlocks,
      }),
      // At the end of the title's line, where no value can lie.
      x: max,
      y: place.y.max,
      dyPx: -13,
      align: 'right',
      colour: 'ink-3',
      halo: true,
    });
  }
  const lines: { text: string; style: TextStyle }[] = [
    {
      text: figureText('figure.strips.state', { moved: lane.moved, percent: lane.since?.percent ?? null }),
      style: { size: 12, strong: true, colour: 'ink' },
    },
  ];
  if (lane.since) {
    lines.push({
      text: figureText('figure.strips.since', {
        low95: lane.since.low95,
        high95: lane.since.high95,
        at: lane.since.at,
      }),
      style: { colour: 'ink-2' },
    });
  } else if (lane.blocks < 20) {
    lines.push({ text: figureText('figure.strips.too-few', { blocks: lane.blocks }), style: { colour: 'ink-2' } });
  }
  if (which === 'response') {
    if (lane.smallestVisible !== null) {
      lines.push({ text: figureText('figure.strips.visible', { percent: lane.smallestVisible }), style: {} });
    }
    if (lane.blind && lane.expectedAtPermitted !== null) {
      lines.push({
        text: figureText('figure.strips.blind', { percent: Math.abs(lane.expectedAtPermitted) }),
        style: {},
      });
    } else if (lane.fromCheck !== null) {
      lines.push({ text: figureText('figure.strips.from-check', { percent: lane.fromCheck }), style: {} });
    }
  }
  out.push(...rightWords(lines, place.y.max, max, 8));
  return out;
}

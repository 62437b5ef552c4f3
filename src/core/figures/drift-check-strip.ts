/** The strip of checks on a reference. */
import type { DriftToolModel } from '../contract/models/drift-model.ts';
import { dateTicks } from './date-ticks.ts';
import { rightWords } from './drift-strip-words.ts';
import { type DriftStripsLayout, left, stripChecks } from './drift-strips-layout.ts';
import type { Drawing, TextStyle } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';

/** Checks with their pulls and the permitted band, in data units: civil ms and per cent. */
export function checkDrawings(model: DriftToolModel, at: DriftStripsLayout): readonly Drawing[] {
  const checks = stripChecks(model);
  const permitted = model.row.checks.permissiblePercent;
  const out: Drawing[] = [];
  const ends = permitted === null ? [0] : [permitted, 0, -permitted];
  out.push({
    kind: 'axis',
    side: 'left',
    ticks: ends.map((value) => ({
      at: value,
      label: value === 0 ? '0' : figureFormat.signed(value, value % 1 === 0 ? 0 : 1),
    })),
  });
  for (const value of ends) {
    out.push({
      kind: 'rule',
      across: 'x',
      at: value,
      colour: value === 0 ? 'rule-2' : 'ink-2',
      dash: value === 0 ? [1, 3] : [2, 3],
    });
  }
  for (const mark of model.marks) {
    if (mark.at < at.time.min || mark.at > at.time.max) continue;
    out.push({ kind: 'rule', across: 'y', at: mark.at, colour: 'rule-2', dash: [2, 2] });
  }
  const seen = checks.filter((check) => check.at >= at.time.min && check.at <= at.time.max);
  const half = (5 * (at.time.max - at.time.min)) / (at.right - at.left);
  const pulls = seen.flatMap((check) => check.pullPercent.map((percent) => ({ at: check.at, percent })));
  out.push({
    kind: 'segments',
    x0: pulls.map((p) => p.at - half),
    x1: pulls.map((p) => p.at + half),
    y0: pulls.map((p) => p.percent),
    y1: pulls.map((p) => p.percent),
    colour: 'ink-3',
    width: 0.8,
  });
  out.push({
    kind: 'marks',
    mark: 'square',
    x: seen.map((check) => check.at),
    y: seen.map((check) => check.deviationPercent),
    colour: 'ink',
  });
  const failing = seen.filter((check) => check.passed === false);
  out.push({
    kind: 'dots',
    x: failing.map((check) => check.at),
    y: failing.map((check) => check.deviationPercent),
    colour: 'ink',
    radius: 2,
  });
  out.push({
    kind: 'axis',
    side: 'bottom',
    line: true,
    ticks: dateTicks(at.time.min, at.time.max, at.right - at.left),
  });
  return out;
}

/** Events named over the strip, and at its right what the latest check says and what is forecast. */
export function checkWords(model: DriftToolModel, at: DriftStripsLayout): readonly Drawing[] {
  const { y } = at.checks;
  const out: Drawing[] = [
    {
      kind: 'text',
      text: figureText('figure.strips.checks', {}),
      x: at.time.min,
      y: y.max,
      dxPx: -left,
      dyPx: -13,
      size: 12,
      strong: true,
      colour: 'ink',
      halo: true,
    },
  ];
  const kx = (at.right - at.left) / (at.time.max - at.time.min);
  let free = Number.NEGATIVE_INFINITY;
  for (const mark of model.marks) {
    if (mark.at < at.time.min || mark.at > at.time.max) continue;
    const text = figureText('figure.strips.mark', { kind: mark.kind, at: mark.at });
    const px = (mark.at - at.time.min) * kx;
    const wide = text.length * 6 + 10;
    if (px < free) continue;
    const late = px + wide > at.right - at.left;
    free = px + (late ? 8 : wide);
    out.push({
      kind: 'text',
      text,
      x: mark.at,
      y: y.max,
      dxPx: late ? -6 : 6,
      dyPx: 14,
      align: late ? 'right' : 'left',
      colour: 'ink-2',
      halo: true,
    });
  }
  const { latest, permissiblePercent } = model.row.checks;
  const lines: { text: string; style: TextStyle }[] = [];
  if (latest === null) {
    lines.push({ text: figureText('figure.lanes.no-checks', {}), style: { size: 12, strong: true, colour: 'ink' } });
  } else {
    lines.push({
      text: figureText('figure.strips.check', { at: latest.at, percent: latest.deviationPercent }),
      style: { size: 12, strong: true, colour: 'ink' },
    });
    lines.push({
      text: figureText('figure.strips.check-side', { percent: latest.deviationPercent }),
      style: { colour: 'ink-2' },
    });
  }
  const { forecast } = model.row.checks;
  if (forecast) {
    lines.push({
      text: figureText('figure.strips.forecast', { on: forecast.crossesOn }),
      style: { colour: 'ink-2' },
    });
    lines.push({
      text: figureText('figure.strips.forecast-span', { low: forecast.low95, high: forecast.high95 }),
      style: { colour: 'ink-2' },
    });
  }
  lines.push({
    text:
      permissiblePercent === null
        ? figureText('figure.strips.no-permitted', {})
        : figureText('figure.strips.permitted', { percent: permissiblePercent }),
    style: {},
  });
  out.push(...rightWords(lines, y.max, at.time.max, 14));
  return out;
}

/** Checks of one tool on a reference over time: deviation of each pull against the permitted band. */
import type { CheckRow } from '../contract/models/register-model.ts';
import { msPerDay } from '../time/civil-time.ts';
import { torqueUnitSymbols } from '../units/torque-unit.ts';
import { dateTicks } from './date-ticks.ts';
import type { Drawing, Figure, FigureStop } from './figure.ts';
import { figureFormat, figureSay, figureText } from './figure-format.ts';
import { valueTicks } from './value-ticks.ts';

/** Builds the figure, or null when there is no check. */
export function checkHistory(
  checks: readonly CheckRow[],
  events: readonly { readonly at: number; readonly kind: 'calibration' | 'repair' }[],
  size: { readonly width: number; readonly height: number },
): Figure | null {
  const firstCheck = checks[0];
  const lastCheck = checks[checks.length - 1];
  if (!firstCheck || !lastCheck) return null;
  const from = firstCheck.at - 4 * msPerDay;
  const to = lastCheck.at + 4 * msPerDay;
  const permitted =
    [...checks].reverse().find((check) => check.permissiblePercent !== null)?.permissiblePercent ?? null;
  const left = 46;
  const right = 84;
  const reach = Math.max(
    permitted === null ? 0 : permitted * 1.15,
    ...checks.map((check) => 1.1 * Math.max(Math.abs(check.deviationLow), Math.abs(check.deviationHigh))),
    0.5,
  );
  const scale = { min: -reach, max: reach };
  const ticks = valueTicks(scale.min, scale.max, 5);
  // Nominals of one check stand side by side, 7 px apart, so that their pulls do not cover each other.
  const nominals = [...new Set(checks.map((check) => check.nominal))].sort((a, b) => a - b);
  const step = ((to - from) / Math.max(1, size.width - left - right)) * 7;
  const x = (check: CheckRow): number => {
    const together = checks.filter((other) => other.at === check.at && other.kind === check.kind);
    const place = together.map((other) => nominals.indexOf(other.nominal)).sort((a, b) => a - b);
    const at = place.indexOf(nominals.indexOf(check.nominal));
    return check.at + (at - (together.length - 1) / 2) * step;
  };
  const pulls = checks.flatMap((check) => check.deviations.map((deviation) => ({ x: x(check), deviation })));
  const tick = step * 0.4;
  const latest = checks.filter((check) => check.at === lastCheck.at);
  const widest = latest.reduce((a, b) => (Math.abs(b.deviationPercent) > Math.abs(a.deviationPercent) ? b : a));
  const drawings: Drawing[] = [
    ...(permitted === null
      ? []
      : [
          {
            kind: 'rects' as const,
            colour: 'band' as const,
            rects: [{ x0: null, x1: null, y0: -permitted, y1: permitted }],
          },
          { kind: 'rule' as const, across: 'x' as const, at: permitted, colour: 'ink-2' as const, dash: [2, 2] },
          { kind: 'rule' as const, across: 'x' as const, at: -permitted, colour: 'ink-2' as const, dash: [2, 2] },
          {
            kind: 'text' as const,
            text: figureText('register-ui.checks.permitted', { percent: permitted }),
            x: to,
            y: permitted,
            dxPx: 6,
          },
        ]),
    { kind: 'rule', across: 'x', at: 0, colour: 'rule-2' },
    ...events
      .filter((event) => event.at >= from && event.at <= to)
      .flatMap((event): Drawing[] => [
        { kind: 'rule', across: 'y', at: event.at, colour: 'rule-2', dash: [1, 3] },
        {
          kind: 'text',
          text: figureText(event.kind === 'calibration' ? 'register-ui.calibrated' : 'register-ui.repaired', {}),
          x: event.at,
          y: scale.max,
          dxPx: 4,
          dyPx: -2,
          baseline: 'bottom',
        },
      ]),
    {
      kind: 'segments',
      x0: pulls.map((pull) => pull.x - tick),
      y0: pulls.map((pull) => pull.deviation),
      x1: pulls.map((pull) => pull.x + tick),
      y1: pulls.map((pull) => pull.deviation),
      colour: 'ink-2',
    },
    {
      kind: 'segments',
      x0: checks.map(x),
      y0: checks.map((check) => check.deviationLow),
      x1: checks.map(x),
      y1: checks.map((check) => check.deviationHigh),
      colour: 'ink-2',
    },
    {
      kind: 'marks',
      mark: 'square',
      x: checks.map(x),
      y: checks.map((check) => check.deviationPercent),
      colour: 'ink',
      size: 9,
    },
    {
      kind: 'text',
      text: figureText('register-ui.checks.last', { percent: widest.deviationPercent }),
      x: to,
      y: widest.deviationPercent,
      dxPx: 6,
      strong: true,
      colour: 'ink',
    },
    {
      kind: 'axis',
      side: 'left',
      ticks: ticks.values.map((at) => ({ at, label: figureFormat.signed(at, ticks.decimals) })),
    },
    { kind: 'axis', side: 'bottom', ticks: dateTicks(from, to, size.width - left - right), line: true },
  ];
  const stops: FigureStop[] = checks.map((check) => ({
    id: `${check.at} ${check.kind} ${check.nominal}`,
    pane: 0,
    x: x(check),
    y: check.deviationPercent,
    text: figureSay(check.said),
  }));
  return {
    title: figureText('register-ui.checks.title', { tool: firstCheck.tool }),
    summary: figureText('register-ui.checks.summary', {
      checks: checks.length,
      last: lastCheck.at,
      percent: widest.deviationPercent,
    }),
    panes: [{ left, right, top: 18, bottom: 26, x: { min: from, max: to }, y: scale, drawings }],
    stops,
    table: {
      head: [
        figureText('register-ui.date', {}),
        figureText('register-ui.nominal', {}),
        figureText('register-ui.pulls', {}),
        figureText('register-ui.deviation', {}),
        figureText('register-ui.range-of-pulls', {}),
      ],
      rows: checks.map((check) => [
        figureFormat.dateTime(check.at),
        `${figureFormat.number(check.nominal, 2)} ${torqueUnitSymbols[check.unit]}`,
        figureFormat.number(check.pulls),
        figureFormat.signed(check.deviationPercent, 2),
        `${figureFormat.signed(check.deviationLow, 2)} … ${figureFormat.signed(check.deviationHigh, 2)}`,
      ]),
      numeric: [1, 2, 3, 4],
    },
  };
}

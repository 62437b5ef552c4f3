/** Limits of a joint as steps over time, the readings behind them, and a draft with the verdicts it would change. */
import type { StepFigureModel } from '../contract/models/register-model.ts';
import { failBits } from '../judging/judged.ts';
import { type TorqueUnit, torqueUnitSymbols } from '../units/torque-unit.ts';
import { dateTicks } from './date-ticks.ts';
import type { Drawing, Figure } from './figure.ts';
import { figureFormat, figureSay, figureText } from './figure-format.ts';
import { roleLevels } from './role-labels.ts';
import { valueTicks } from './value-ticks.ts';

/** Limits that a person is trying out. */
export interface DraftLimits {
  readonly label: string;
  readonly from: number;
  readonly low: number | null;
  readonly target: number | null;
  readonly high: number | null;
  /** Readings whose verdict would change: time, torque, bits of `failBits` after the change (0: inside). */
  readonly at: Float64Array;
  readonly torque: Float64Array;
  readonly reasons: Uint8Array;
}

/** Builds the figure; a joint without readings is drawn from its first revision on. */
export function limitSteps(
  model: StepFigureModel,
  unit: TorqueUnit,
  draft: DraftLimits | null,
  size: { readonly width: number; readonly height: number },
): Figure | null {
  if (model.from === null || model.to === null || model.to <= model.from) return null;
  const left = 46;
  const right = draft ? 96 : 16;
  const inner = Math.max(1, size.width - left - right);
  const { from, to } = model;
  const scale = torqueScale(model, draft);
  const px = (at: number): number => ((at - from) / (to - from)) * inner;
  const levels = roleLevels(
    model.steps.map((step) => ({ x: px(step.from), width: figureSay(step.said).length * 6.4 + 6 })),
    8,
  );
  const highest = Math.max(0, ...levels);
  const ticks = valueTicks(scale.min, scale.max, 8);
  const inside = verdictAt(model, (verdict) => verdict === 1);
  const unjudged = verdictAt(model, (verdict) => verdict === 0);
  const failing = verdictAt(model, (verdict) => verdict === 2);
  const drawings: Drawing[] = [
    {
      kind: 'rects',
      colour: 'band',
      rects: model.steps.map((step) => ({ x0: step.from, x1: step.to, y0: step.low, y1: step.high })),
    },
    ...(draft ? [draftArea(draft, to)] : []),
    { kind: 'dots', ...inside, colour: 'inside', opacity: 0.55, radius: 1.1 },
    { kind: 'marks', mark: 'unjudged', ...unjudged, colour: 'unjudged', size: 5 },
    ...failMarks(model.at, model.torque, model.reasons, 7),
    ...model.steps.flatMap((step, index): Drawing[] => [
      ...(index > 0
        ? [{ kind: 'rule' as const, across: 'y' as const, at: step.from, colour: 'rule-2' as const, opacity: 0.6 }]
        : []),
      ...level(step.high, step.from, step.to),
      ...level(step.low, step.from, step.to),
      ...(step.target === null
        ? []
        : [
            {
              kind: 'rule' as const,
              across: 'x' as const,
              at: step.target,
              from: step.from,
              to: step.to,
              colour: 'rule-2' as const,
              dash: [1, 3],
            },
          ]),
      {
        kind: 'text',
        text: figureSay(step.said),
        x: step.from,
        y: scale.max,
        dxPx: 6,
        dyPx: -8 - 14 * levels[index]!,
        strong: true,
        colour: 'ink',
        baseline: 'bottom',
      },
    ]),
    ...(draft ? draftLines(draft, to) : []),
    {
      kind: 'axis',
      side: 'left',
      ticks: ticks.values.map((at) => ({ at, label: figureFormat.number(at, ticks.decimals) })),
    },
    { kind: 'axis', side: 'bottom', ticks: dateTicks(from, to, inner), line: true },
  ];
  return {
    title: figureText('register-ui.steps.title', { unit: torqueUnitSymbols[unit] }),
    summary: figureText('register-ui.steps.summary', {
      revisions: model.steps.length,
      readings: model.at.length,
      every: model.every,
      outside: failing.x.length,
    }),
    panes: [
      {
        left,
        right,
        top: 22 + 14 * highest,
        bottom: 26,
        x: { min: from, max: to },
        y: scale,
        drawings,
      },
    ],
    table: {
      head: [
        figureText('register-ui.revision', {}),
        figureText('register-ui.from', {}),
        figureText('register-ui.torque-low', {}),
        figureText('register-ui.target', {}),
        figureText('register-ui.torque-high', {}),
      ],
      rows: model.steps.map((step) => [
        step.label,
        figureFormat.date(step.from),
        valueText(step.low),
        valueText(step.target),
        valueText(step.high),
      ]),
      numeric: [2, 3, 4],
    },
  };
}

const valueText = (value: number | null): string =>
  value === null ? figureText('register-ui.none', {}) : figureFormat.number(value, 2);

function level(at: number | null, from: number, to: number): Drawing[] {
  return at === null ? [] : [{ kind: 'rule', across: 'x', at, from, to, colour: 'ink-2' }];
}

function draftArea(draft: DraftLimits, to: number): Drawing {
  return {
    kind: 'rects',
    colour: 'you-wash',
    opacity: 0.8,
    rects: [{ x0: Math.min(draft.from, to), x1: null, y0: draft.low, y1: draft.high }],
  };
}

function draftLines(draft: DraftLimits, to: number): Drawing[] {
  const from = Math.min(draft.from, to);
  const line = (at: number | null): Drawing[] =>
    at === null ? [] : [{ kind: 'rule', across: 'x', at, from, colour: 'you', width: 1.5 }];
  return [
    ...line(draft.low),
    ...line(draft.high),
    ...failMarks(draft.at, draft.torque, draft.reasons, 8),
    ...turnedInside(draft),
    {
      kind: 'text',
      text: figureText('register-ui.draft', { label: draft.label }),
      x: to,
      y: draft.low ?? draft.high ?? draft.target ?? 0,
      dxPx: 6,
      dyPx: 10,
      strong: true,
      colour: 'you',
    },
    {
      kind: 'text',
      text: figureText('register-ui.low-to-high', { low: draft.low, high: draft.high }),
      x: to,
      y: draft.low ?? draft.high ?? draft.target ?? 0,
      dxPx: 6,
      dyPx: 24,
      colour: 'you',
    },
  ];
}

const failKinds = [
  { mark: 'angle-low', colour: 'low' },
  { mark: 'angle-high', colour: 'high' },
  { mark: 'torque-low', colour: 'low' },
  { mark: 'torque-high', colour: 'high' },
] as const;

/** Marks of failing readings, those of angle under those of torque. */
function failMarks(at: Float64Array, torque: Float64Array, reasons: Uint8Array, size: number): Drawing[] {
  return failKinds.flatMap(({ mark, colour }): Drawing[] => {
    const of = positions(reasons, (bits) => bits !== 0 && firstBit(bits) === failBits[mark]);
    return of.length === 0
      ? []
      : [{ kind: 'marks', mark, x: of.map((i) => at[i]!), y: of.map((i) => torque[i]!), colour, size }];
  });
}

/** Readings that failed and would be inside under the draft. */
function turnedInside(draft: DraftLimits): Drawing[] {
  const of = positions(draft.reasons, (bits) => bits === 0);
  return of.length === 0
    ? []
    : [
        {
          kind: 'marks',
          mark: 'inside',
          x: of.map((i) => draft.at[i]!),
          y: of.map((i) => draft.torque[i]!),
          colour: 'inside',
          size: 8,
        },
      ];
}

function positions(values: Uint8Array, which: (value: number) => boolean): number[] {
  const out: number[] = [];
  for (let i = 0; i < values.length; i += 1) if (which(values[i]!)) out.push(i);
  return out;
}

/** Torque decides the mark where both torque and angle fail: the figure's axis is torque. */
const firstBit = (bits: number): number => [1, 2, 4, 8].find((bit) => (bits & bit) !== 0) ?? 0;

function verdictAt(
  model: StepFigureModel,
  which: (verdict: number) => boolean,
): { readonly x: Float64Array; readonly y: Float64Array } {
  const at: number[] = [];
  for (let i = 0; i < model.at.length; i += 1) if (which(model.verdict[i]!)) at.push(i);
  return { x: Float64Array.from(at, (i) => model.at[i]!), y: Float64Array.from(at, (i) => model.torque[i]!) };
}

/** Limits and readings, with room; readings far outside (over one window away) lie on the edge of the figure. */
function torqueScale(model: StepFigureModel, draft: DraftLimits | null): { min: number; max: number } {
  const values: number[] = [];
  for (const step of [...model.steps, ...(draft ? [draft] : [])]) {
    for (const value of [step.low, step.target, step.high]) if (value !== null) values.push(value);
  }
  let low = Math.min(...values);
  let high = Math.max(...values);
  if (!Number.isFinite(low + high)) {
    low = Number.POSITIVE_INFINITY;
    high = Number.NEGATIVE_INFINITY;
    for (const value of model.torque) {
      if (!Number.isFinite(value)) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
    if (!Number.isFinite(low + high)) return { min: 0, max: 1 };
  }
  const window = Math.max(high - low, Math.abs(high) * 0.02, 1e-6);
  let min = low;
  let max = high;
  for (const value of model.torque) {
    if (!Number.isFinite(value)) continue;
    min = Math.max(low - window, Math.min(min, value));
    max = Math.min(high + window, Math.max(max, value));
  }
  return { min: min - 0.08 * window, max: max + 0.08 * window };
}

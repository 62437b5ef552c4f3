/** Run and control chart of a study: readings, control limits, phases, points. */
import type { StudyMark, StudyModel } from '../contract/models/study-model.ts';
import type { Drawing, MarkKind } from './figure.ts';
import { figureText } from './figure-format.ts';
import { groupMiddle } from './group-middle.ts';
import type { ColourRole } from './look.ts';
import type { StudyAxisLayout } from './study-axis-layout.ts';
import { controlLabels } from './study-control-labels.ts';
import { signalDrawings } from './study-signal-drawings.ts';

function runTitle(model: StudyModel): string {
  const n = model.scopeFacts.counts.used;
  if (model.bands.length > 0) {
    return figureText('figure.study.run-pooled', { n, columns: model.bands.length });
  }
  const tries = figureText('figure.study.tries', { attempts: model.choices.attempts });
  return model.chart.kind === 'means'
    ? figureText('figure.study.run-means', { n, tries, groups: model.chart.groupCount })
    : figureText('figure.study.run-singles', { n, tries });
}

/** Everything drawn on the run chart, in the order it is painted. */
export function runDrawings(model: StudyModel, at: StudyAxisLayout): readonly Drawing[] {
  const angle = model.choices.of === 'angle';
  const means = model.chart.kind === 'means';
  const out: Drawing[] = [
    {
      kind: 'text',
      text: runTitle(model),
      x: at.x.min,
      y: at.y.max,
      dyPx: -22,
      colour: 'ink',
      strong: true,
    },
  ];
  out.push(...bandDrawings(model, angle));
  const inside = model.marks.filter((m) => !m.leftOut && m.outside === 0);
  if (means || model.groups.length === 0) {
    out.push({
      kind: 'dots',
      x: inside.map((m) => m.order),
      y: inside.map((m) => m.value),
      colour: 'inside',
      radius: inside.length > 1500 ? 1 : 1.5,
      opacity: 0.6,
    });
  }
  out.push(...limitSteps(model));
  out.push(...phaseRules(model, at));
  out.push(...pointDrawings(model, means));
  out.push(...outsideMarks(model.marks, angle));
  out.push(...leftOutDrawings(model, at));
  out.push(...signalDrawings(model, at));
  out.push(...controlLabels(model, at));
  return out;
}

function bandDrawings(model: StudyModel, angle: boolean): readonly Drawing[] {
  const { bands } = model;
  if (bands.length === 0) return [];
  const x = bands.map((b) => (b.fromOrder + b.toOrder) / 2);
  const out: Drawing[] = [
    {
      kind: 'segments',
      x0: x,
      x1: x,
      y0: bands.map((b) => b.least),
      y1: bands.map((b) => b.greatest),
      colour: 'inside',
      opacity: 0.3,
    },
    { kind: 'band', x, low: bands.map((b) => b.low), high: bands.map((b) => b.high), colour: 'inside', opacity: 0.35 },
    { kind: 'line', x, y: bands.map((b) => b.median), colour: 'inside', width: 1.4 },
  ];
  const { low, high } = model.limits;
  const below = low === null ? [] : bands.filter((b) => b.least < low);
  const above = high === null ? [] : bands.filter((b) => b.greatest > high);
  const ends = (
    list: typeof bands,
    mark: MarkKind,
    colour: ColourRole,
    value: (b: (typeof bands)[number]) => number,
  ) =>
    list.length === 0
      ? []
      : [
          {
            kind: 'marks',
            mark,
            x: list.map((b) => (b.fromOrder + b.toOrder) / 2),
            y: list.map(value),
            colour,
            size: 8,
          } satisfies Drawing,
        ];
  return [
    ...out,
    ...ends(below, angle ? 'angle-low' : 'torque-low', 'low', (b) => b.least),
    ...ends(above, angle ? 'angle-high' : 'torque-high', 'high', (b) => b.greatest),
  ];
}

/** Readings outside the joint's limits keep their shape and colour here too. */
function outsideMarks(marks: readonly StudyMark[], angle: boolean): readonly Drawing[] {
  const of = (side: -1 | 1): Drawing[] => {
    const list = marks.filter((m) => !m.leftOut && m.outside === side);
    if (list.length === 0) return [];
    const mark: MarkKind = side < 0 ? (angle ? 'angle-low' : 'torque-low') : angle ? 'angle-high' : 'torque-high';
    return [
      {
        kind: 'marks',
        mark,
        x: list.map((m) => m.order),
        y: list.map((m) => m.value),
        colour: side < 0 ? 'low' : 'high',
        size: 9,
      },
    ];
  };
  return [...of(-1), ...of(1)];
}

/** Limits of every group for its own number of readings: a step where an exclusion shortened it. */
function limitSteps(model: StudyModel): readonly Drawing[] {
  const out: Drawing[] = [];
  for (const side of ['upper', 'lower'] as const) {
    const x: number[] = [];
    const y: number[] = [];
    for (const group of model.groups) {
      const value = group[side];
      x.push(group.fromOrder - 0.5, group.toOrder + 0.5);
      y.push(value ?? Number.NaN, value ?? Number.NaN);
    }
    out.push({ kind: 'line', x, y, colour: 'ink-2', dash: [4, 3] });
  }
  return out;
}

/** A calibration, a repair, new limits or another tool: limits and runs do not cross it. Named while there is room. */
function phaseRules(model: StudyModel, at: StudyAxisLayout): readonly Drawing[] {
  const starts: number[] = [];
  model.groups.forEach((group, k) => {
    const before = model.groups[k - 1];
    if (before && before.phase !== group.phase) starts.push((before.toOrder + group.fromOrder) / 2);
  });
  const named = starts.length <= 4;
  return starts.flatMap((start): Drawing[] => [
    { kind: 'rule', across: 'y', at: start, colour: 'rule-2', dash: [2, 3] },
    ...(named
      ? [
          {
            kind: 'text',
            text: figureText('figure.study.phase', {}),
            x: start,
            y: at.y.min,
            dxPx: start > (at.x.min + at.x.max) / 2 ? -4 : 4,
            dyPx: -7,
            align: start > (at.x.min + at.x.max) / 2 ? 'right' : 'left',
            colour: 'ink-3',
            halo: true,
          } satisfies Drawing,
        ]
      : []),
  ]);
}

/** The charted points, joined within a phase. */
function pointDrawings(model: StudyModel, means: boolean): readonly Drawing[] {
  const x: number[] = [];
  const y: number[] = [];
  let phase: number | null = null;
  for (const group of model.groups) {
    if (phase !== null && group.phase !== phase) {
      x.push(Number.NaN);
      y.push(Number.NaN);
    }
    phase = group.phase;
    if (group.mean === null) continue;
    x.push(groupMiddle(group));
    y.push(group.mean);
  }
  const many = model.groups.length > 160;
  const colour: ColourRole = means ? 'ink' : 'inside';
  return [
    { kind: 'line', x, y, colour, width: many ? 0.9 : means ? 1.6 : 1.1 },
    { kind: 'dots', x, y, colour: means ? 'ink' : 'inside', radius: many ? 1.3 : 2.2 },
  ];
}

function leftOutDrawings(model: StudyModel, at: StudyAxisLayout): readonly Drawing[] {
  const list = model.marks.filter((m) => m.leftOut);
  if (list.length === 0) return [];
  const out: Drawing[] = [
    {
      kind: 'marks',
      mark: 'left-out',
      x: list.map((m) => m.order),
      y: list.map((m) => m.value),
      colour: 'you',
    },
  ];
  if (list.length <= 5) {
    for (const m of list) {
      const right = m.order > at.x.min + (at.x.max - at.x.min) * 0.86;
      out.push({
        kind: 'text',
        text: figureText('figure.study.left-out', {}),
        x: m.order,
        y: m.value,
        dxPx: right ? -8 : 8,
        align: right ? 'right' : 'left',
        colour: 'you',
        halo: true,
      });
    }
  }
  return out;
}

import type { StudyGroup, StudyModel } from '../contract/models/study-model.ts';
import type { Drawing, Pane, Scale } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import { groupMiddle } from './group-middle.ts';
import type { ColourRole } from './look.ts';
import type { StudyAxisLayout } from './study-axis-layout.ts';

/** The spread within groups, with its own control limits, on the order axis of the run chart. */
export function spreadPane(model: StudyModel, at: StudyAxisLayout): Pane {
  const { spread } = model.chart;
  const value = (group: StudyGroup): number | null =>
    spread.kind === 's' ? group.s : spread.kind === 'range' ? group.range : group.movingRange;
  let most = spread.upper ?? spread.center ?? 1;
  for (const group of model.groups) most = Math.max(most, value(group) ?? 0, group.spreadUpper ?? 0);
  const y: Scale = { min: 0, max: most > 0 ? most * 1.12 : 1 };
  const drawings: Drawing[] = [
    { kind: 'axis', side: 'left', ticks: [{ at: 0, label: '0' }] },
    {
      kind: 'text',
      text: figureText('figure.study.spread', { kind: spread.kind }),
      x: at.x.min,
      y: y.max,
      dxPx: -6,
      dyPx: 6,
      align: 'right',
      colour: 'ink-2',
    },
    { kind: 'rule', across: 'x', at: 0, colour: 'rule-2' },
  ];
  if (spread.center !== null) {
    drawings.push({ kind: 'rule', across: 'x', at: spread.center, colour: 'rule-2', dash: [1, 3] });
  }
  for (const side of ['spreadUpper', 'spreadLower'] as const) {
    const x: number[] = [];
    const limit: number[] = [];
    for (const group of model.groups) {
      const here = group[side];
      // A lower limit of 0 lies on the axis and says nothing.
      const drawn = here === null || (side === 'spreadLower' && here <= 0) ? Number.NaN : here;
      x.push(group.fromOrder - 0.5, group.toOrder + 0.5);
      limit.push(drawn, drawn);
    }
    drawings.push({ kind: 'line', x, y: limit, colour: 'ink-2', dash: [4, 3] });
  }
  const points = model.groups.filter((group) => value(group) !== null);
  const px = points.map(groupMiddle);
  const py = points.map((group) => value(group) ?? Number.NaN);
  const many = points.length > 160;
  drawings.push({ kind: 'line', x: px, y: py, colour: 'inside', width: many ? 0.8 : 1.4 });
  drawings.push({ kind: 'dots', x: px, y: py, colour: 'inside', radius: many ? 1.2 : 2 });
  const beyond = points.filter((group) => {
    const here = value(group) ?? 0;
    return (group.spreadUpper !== null && here > group.spreadUpper) || (group.spreadLower ?? 0) > here;
  });
  drawings.push({
    kind: 'marks',
    mark: 'outside-control',
    x: beyond.map(groupMiddle),
    y: beyond.map((group) => value(group) ?? Number.NaN),
    colour: 'inside',
    size: 8,
  });
  const ky = (at.spreadBottom - at.spreadTop) / y.max;
  const label = (v: number, colour: ColourRole, dyPx: number): Drawing => ({
    kind: 'text',
    text: figureFormat.number(v, model.decimals),
    x: at.x.max,
    y: v,
    dxPx: 8,
    dyPx,
    colour,
  });
  if (spread.center !== null) drawings.push(label(spread.center, 'ink', 0));
  if (spread.upper !== null) {
    const apart = spread.center === null ? 99 : (spread.upper - spread.center) * ky;
    drawings.push(label(spread.upper, 'ink-3', apart >= 13 ? 0 : apart - 13));
  }
  return {
    left: at.left,
    width: at.runRight - at.left,
    top: at.spreadTop,
    height: at.spreadBottom - at.spreadTop,
    x: at.x,
    y,
    drawings,
  };
}

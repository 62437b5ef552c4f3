import type { StudyModel } from '../contract/models/study-model.ts';
import { civilFields, startOfDay } from '../time/civil-time.ts';
import type { AxisTick, Pane } from './figure.ts';
import { figureFormat } from './figure-format.ts';
import { groupMiddle } from './group-middle.ts';
import type { StudyAxisLayout } from './study-axis-layout.ts';

/** Days under the run chart: the first point of each day, as many as find room. */
export function datePane(model: StudyModel, at: StudyAxisLayout): Pane {
  const kx = (at.runRight - at.left) / (at.x.max - at.x.min);
  const stops: { at: number; order: number }[] =
    model.groups.length > 0
      ? model.groups.flatMap((g) => (g.at === null ? [] : [{ at: g.at, order: groupMiddle(g) }]))
      : model.marks.flatMap((m) => (m.at === null ? [] : [{ at: m.at, order: m.order }]));
  const ticks: AxisTick[] = [];
  let day: number | null = null;
  let month: number | null = null;
  let free = Number.NEGATIVE_INFINITY;
  for (const stop of stops) {
    const here = startOfDay(stop.at);
    if (here === day) continue;
    day = here;
    const fields = civilFields(stop.at);
    const label = fields.month === month ? String(fields.day) : figureFormat.dayMonth(stop.at);
    const px = stop.order * kx;
    const half = label.length * 3.2;
    if (px - half < free) continue;
    free = px + half + 10;
    month = fields.month;
    ticks.push({ at: stop.order, label });
  }
  const low = model.chart.spread.center === null ? at.bottom : at.spreadBottom;
  return {
    left: at.left,
    width: at.runRight - at.left,
    top: low - 1,
    height: 1,
    x: at.x,
    y: { min: 0, max: 1 },
    drawings: [{ kind: 'axis', side: 'bottom', ticks, line: true, tickLength: 3 }],
  };
}

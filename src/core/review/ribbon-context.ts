import type { ClockAxis, RibbonContext } from '../contract/models/review-model.ts';
import type { Plant } from '../readings/plant.ts';
import { operatorLabel } from '../readings/reading-row.ts';
import type { Scope } from '../readings/scope.ts';
import { said } from '../text/said.ts';
import { msPerDay, msPerMinute } from '../time/civil-time.ts';
import type { ReviewTally } from './review-tally.ts';

/** Notes over the ribbon at most: more would hide each other. */
const mostNotes = 14;
/** Operators who change on several tools within this time change places once. */
const together = 10 * msPerMinute;

/** What happened around the readings: operator changes, limit revisions, checks, calibrations, readings without a joint. */
export function ribbonContext(plant: Plant, scope: Scope, tally: ReviewTally, axis: ClockAxis): RibbonContext[] {
  const from = axis.spans[0]!.from;
  const to = axis.spans.at(-1)!.to;
  const notes: RibbonContext[] = [];
  const { register } = plant;
  const wanted = (names: readonly string[], name: string): boolean => names.length === 0 || names.includes(name);
  const within = (at: number): boolean => at > from && at <= to;
  for (const joint of register.joints) {
    if (!wanted(scope.joints, joint.name)) continue;
    joint.revisions.forEach((revision, r) => {
      if (r > 0 && within(revision.from)) {
        notes.push({
          at: revision.from,
          kind: 'limits-changed',
          said: said('review.context-limits', { joint: joint.name, label: revision.label }),
        });
      }
    });
  }
  const checked = new Set<string>();
  for (const pull of register.checks) {
    const tool = register.tools[pull.tool];
    const key = `${pull.tool} ${pull.at} ${pull.kind}`;
    if (!tool || !within(pull.at) || !wanted(scope.tools, tool.serial) || checked.has(key)) continue;
    checked.add(key);
    notes.push({
      at: pull.at,
      kind: 'check',
      said: said('review.context-check', { tool: tool.serial, kind: pull.kind }),
    });
  }
  for (const tool of register.tools) {
    if (!wanted(scope.tools, tool.serial)) continue;
    for (const event of tool.events) {
      if (within(event.at)) {
        notes.push({
          at: event.at,
          kind: 'calibration',
          said: said('review.context-calibration', { tool: tool.serial, kind: event.kind }),
        });
      }
    }
  }
  const withoutJoint = noJointNote(plant, tally);
  if (withoutJoint) notes.push(withoutJoint);
  // Over several days operators change every shift: that is no news.
  if (to - from <= 26 * 3_600_000 && to - from < 2 * msPerDay) notes.push(...operatorChanges(plant, tally));
  return notes.sort((a, b) => a.at - b.at).slice(0, mostNotes);
}

function noJointNote(plant: Plant, tally: ReviewTally): RibbonContext | null {
  const { readings, register } = plant;
  let count = 0;
  let first = -1;
  let until = Number.NEGATIVE_INFINITY;
  const tools = new Set<number>();
  for (let k = 0; k < tally.unjudgedReadings.length; k++) {
    const i = tally.unjudgedReadings[k]!;
    if (readings.joint[i]! >= 0 || Number.isNaN(readings.at[i]!)) continue;
    count++;
    if (first < 0) first = i;
    if (readings.at[i]! > until) until = readings.at[i]!;
    tools.add(readings.tool[i]!);
  }
  if (count === 0) return null;
  const tool = tools.size === 1 ? (register.tools[[...tools][0] ?? -1]?.serial ?? null) : null;
  return {
    at: readings.at[first]!,
    kind: 'unjudged',
    said: said('review.context-no-joint', { count, tool, until }),
  };
}

function operatorChanges(plant: Plant, tally: ReviewTally): RibbonContext[] {
  const { readings, register } = plant;
  const now = new Int32Array(register.tools.length).fill(-1);
  const changes: { at: number; tool: number; operator: number; before: number }[] = [];
  for (let k = 0; k < tally.selection.length && changes.length < 1000; k++) {
    const i = tally.selection[k]!;
    const t = readings.tool[i]!;
    const o = readings.operator[i]!;
    if (t < 0 || o < 0 || Number.isNaN(readings.at[i]!)) continue;
    if (now[t]! >= 0 && now[t] !== o) changes.push({ at: readings.at[i]!, tool: t, operator: o, before: now[t]! });
    now[t] = o;
  }
  const notes: RibbonContext[] = [];
  for (let k = 0; k < changes.length; ) {
    const change = changes[k]!;
    let next = k + 1;
    const tools = new Set([change.tool]);
    while (next < changes.length && changes[next]!.at - change.at <= together) tools.add(changes[next++]!.tool);
    notes.push({
      at: change.at,
      kind: 'operators-changed',
      said:
        tools.size > 1
          ? said('review.context-operators', { at: change.at, count: tools.size })
          : said('review.context-operator', {
              at: change.at,
              tool: register.tools[change.tool]?.serial ?? '',
              operator: operatorLabel(plant, change.operator) ?? '',
              before: operatorLabel(plant, change.before) ?? '',
            }),
    });
    k = next;
  }
  return notes;
}

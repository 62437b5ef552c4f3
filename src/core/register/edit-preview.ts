import type { EditPreview } from '../contract/models/register-model.ts';
import { judgeAll } from '../judging/judge.ts';
import type { Judged } from '../judging/judged.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { type Said, said } from '../text/said.ts';
import { adapterFactor } from '../units/adapter-factor.ts';
import { adapterAt } from './adapter-at.ts';
import type { Joint, Register, Tool } from './register.ts';
import { mergeRegisterFile } from './register-file.ts';
import { verdictWord } from './verdict-word.ts';

const mostMarks = 2000;
const mostNames = 200;

/**
 * What taking a register file in would change, found by judging all readings a second time with the merged register.
 *
 * A verdict changes when the verdict, its reasons or why there is none does. Only readings in force count.
 */
export function editPreview(plant: Plant, file: unknown): EditPreview {
  const { register, problems } = mergeRegisterFile(plant.register, file);
  if (problems.length > 0) {
    return {
      problems,
      added: [],
      changed: [],
      changedVerdicts: 0,
      judgedNow: 0,
      torques: null,
      joints: [],
      said: said('register.preview-problems', { count: problems.length }),
    };
  }
  const after = judgeAll(plant.readings, register);
  const { added, changed } = entryChanges(plant.register, register);
  const byJoint = new Map<number, number[]>();
  let judgedNow = 0;
  for (let i = 0; i < plant.readings.length; i++) {
    if (plant.readings.inForce[i] !== 1) continue;
    if (after.verdict[i] !== 0) judgedNow++;
    if (
      plant.judged.verdict[i] === after.verdict[i] &&
      plant.judged.reasons[i] === after.reasons[i] &&
      plant.judged.unjudgedBecause[i] === after.unjudgedBecause[i]
    ) {
      continue;
    }
    const j = plant.readings.joint[i]!;
    const list = byJoint.get(j);
    if (list) list.push(i);
    else byJoint.set(j, [i]);
  }
  const changedVerdicts = [...byJoint.values()].reduce((sum, list) => sum + list.length, 0);
  return {
    problems: [],
    added,
    changed,
    changedVerdicts,
    judgedNow,
    torques: torqueChange(plant, register),
    joints: [...byJoint]
      .sort((a, b) => b[1].length - a[1].length)
      .map(([j, list]) => jointChange(plant, register, after, j, list)),
    said: said('register.preview', { changed: changedVerdicts, added: added.length, entries: changed.length }),
  };
}

/** Readings whose torque at the fastener becomes another one because the adapters of their tool do. */
function torqueChange(plant: Plant, register: Register): EditPreview['torques'] {
  const { readings } = plant;
  const changed = new Set<number>();
  plant.register.tools.forEach((tool, t) => {
    if (JSON.stringify(tool.adapters) !== JSON.stringify(register.tools[t]?.adapters)) changed.add(t);
  });
  if (changed.size === 0) return null;
  let count = 0;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < readings.length; i++) {
    const t = readings.tool[i]!;
    if (readings.inForce[i] !== 1 || !changed.has(t) || Number.isNaN(readings.torque[i]!)) continue;
    const ratio = factorAt(register.tools[t], readings.at[i]!) / factorAt(plant.register.tools[t], readings.at[i]!);
    if (ratio === 1) continue;
    count++;
    low = Math.min(low, ratio);
    high = Math.max(high, ratio);
  }
  if (count === 0) return null;
  const part = { readings: count, lowPercent: 100 * (low - 1), highPercent: 100 * (high - 1) };
  return { ...part, said: said('register.preview-torques', part) };
}

function factorAt(tool: Tool | undefined, at: number): number {
  const period = tool ? adapterAt(tool, at) : null;
  return period ? (adapterFactor(period.lengthMm, period.offsetMm, period.angleDeg) ?? 1) : 1;
}

function jointChange(
  plant: Plant,
  register: Register,
  after: Judged,
  j: number,
  list: readonly number[],
): EditPreview['joints'][number] {
  const { readings } = plant;
  const joint = register.joints[j];
  const start = firstDifference(plant.register.joints[j], joint);
  let held = 0;
  let lastAt: number | null = null;
  for (let i = 0; i < readings.length; i++) {
    if (readings.joint[i] !== j || readings.inForce[i] !== 1) continue;
    const at = readings.at[i]!;
    if (!Number.isNaN(at) && (lastAt === null || at > lastAt)) lastAt = at;
    if (!(at < start)) held++;
  }
  const groups = new Map<string, { from: string; to: string; count: number }>();
  const tools = new Map<number, number>();
  for (const i of list) {
    const from = verdictWord(plant.judged, i);
    const to = verdictWord(after, i);
    const group = groups.get(`${from}>${to}`) ?? { from, to, count: 0 };
    group.count++;
    groups.set(`${from}>${to}`, group);
    tools.set(readings.tool[i]!, (tools.get(readings.tool[i]!) ?? 0) + 1);
  }
  const drawn = list.filter((_, k) => k % Math.ceil(list.length / mostMarks) === 0);
  return {
    joint: joint?.name ?? '',
    readings: held,
    changedVerdicts: list.length,
    changes: [...groups.values()]
      .sort((a, b) => b.count - a.count)
      .map((group) => ({ ...group, said: said('register.verdict-change', { ...group, of: held }) })),
    byTool: [...tools]
      .sort((a, b) => b[1] - a[1])
      .map(([t, count]) => ({ tool: register.tools[t]?.serial ?? '', count })),
    // The instant after: a revision is in force from its own instant on.
    fromAfterLast: lastAt === null ? null : Math.floor(lastAt / 1000) * 1000 + 1000,
    at: Float64Array.from(drawn, (i) => readings.at[i]!),
    torque: Float64Array.from(drawn, (i) => after.torque[i]!),
    reasons: Uint8Array.from(drawn, (i) => after.reasons[i]!),
    ids: list.slice(0, mostNames).map((i) => readingName(readings, i)),
  };
}

/** Start of the first revision that is new or differs; from the beginning where the joint itself changed. */
function firstDifference(before: Joint | undefined, after: Joint | undefined): number {
  if (!before || !after || before.direction !== after.direction) return Number.NEGATIVE_INFINITY;
  const held = new Map(before.revisions.map((revision) => [revision.from, JSON.stringify({ ...revision, label: '' })]));
  const first = after.revisions.find(
    (revision) => held.get(revision.from) !== JSON.stringify({ ...revision, label: '' }),
  );
  return first?.from ?? Number.NEGATIVE_INFINITY;
}

function entryChanges(before: Register, after: Register): { added: Said[]; changed: Said[] } {
  const added: Said[] = [];
  const changed: Said[] = [];
  const compare = <T>(kind: string, was: readonly T[], is: readonly T[], nameOf: (entry: T) => string): void => {
    const held = new Map(was.map((entry) => [nameOf(entry), entry]));
    for (const entry of is) {
      const name = nameOf(entry);
      const old = held.get(name);
      if (old === undefined) added.push(said('register.added', { kind, name }));
      else if (JSON.stringify(old) !== JSON.stringify(entry)) changed.push(said('register.changed', { kind, name }));
    }
  };
  compare('joint', before.joints, after.joints, (joint) => joint.name);
  compare('tool', before.tools, after.tools, (tool: Tool) => tool.serial);
  compare('operator', before.operators, after.operators, (operator) => operator.badge);
  compare('shift', before.shifts, after.shifts, (shift) => shift.name);
  if (after.checks.length !== before.checks.length) {
    added.push(said('register.added-checks', { count: after.checks.length - before.checks.length }));
  }
  return { added, changed };
}

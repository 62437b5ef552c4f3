import type {
  JointModel,
  JointToolRow,
  NameToSettle,
  RegisterModel,
  RevisionRow,
  StepFigureModel,
  ToolModel,
} from '../contract/models/register-model.ts';
import { verdictFail, verdictPass } from '../judging/judged.ts';
import { GrowingPositions } from '../readings/growing-positions.ts';
import type { Plant } from '../readings/plant.ts';
import { present } from '../readings/reading-row.ts';
import { shiftTable, tablePlace } from '../readings/shift-occurrence.ts';
import { toolDue } from '../review/collection.ts';
import { memoryEstimates } from '../review/memory-estimate.ts';
import { accuracyRatio, provedWindow } from '../stats/guard-band.ts';
import { type Said, said } from '../text/said.ts';
import { msPerMinute, startOfDay } from '../time/civil-time.ts';
import { adapterFactor } from '../units/adapter-factor.ts';
import { convertTorque, type TorqueUnit, torqueUnitCodes } from '../units/torque-unit.ts';
import { adapterAt } from './adapter-at.ts';
import { checkRowsOf } from './check-rows.ts';
import type { AdapterPeriod, Joint, LimitRevision, Tool } from './register.ts';
import { similarNames } from './similar-names.ts';

export { editPreview } from './edit-preview.ts';

/** Readings drawn behind the steps of a joint at most. */
const mostDots = 4000;

/**
 * The lists of the Register screen.
 *
 * @param unsettledNames names from dumps that no entry answers to yet; null: the unconfirmed entries of the register
 * @param now civil ms, for what is due; null: the newest reading held
 */
export function registerModel(
  plant: Plant,
  unsettledNames: readonly { kind: 'tool' | 'joint' | 'operator'; name: string; readings: number }[] | null = null,
  now: number | null = null,
): RegisterModel {
  const { readings, register } = plant;
  const at = now ?? newestAt(plant) ?? 0;
  const joints = counts(plant, readings.joint, register.joints.length);
  const tools = counts(plant, readings.tool, register.tools.length);
  const operators = counts(plant, readings.operator, register.operators.length);
  const { byShift, ofOperator } = shiftCounts(plant);
  return {
    joints: register.joints.map((joint, j) => ({
      name: joint.name,
      class: joint.class,
      confirmed: joint.confirmed,
      readings: joints[j]!,
      said: limitsSaid(joint.revisions.at(-1) ?? null),
    })),
    tools: register.tools.map((tool, t) => {
      const due = toolDue(plant, t, at);
      return {
        serial: tool.serial,
        status: tool.status,
        confirmed: tool.confirmed,
        readings: tools[t]!,
        calibrationDue: due.calibration?.on ?? null,
        said: toolLine(tool, due),
      };
    }),
    operators: register.operators.map((operator, o) => ({
      badge: operator.badge,
      name: operator.name,
      confirmed: operator.confirmed,
      readings: operators[o]!,
      shifts: register.shifts.filter((_, s) => ofOperator[o * register.shifts.length + s] === 1).map((one) => one.name),
    })),
    shifts: register.shifts.map((shift, s) => ({
      name: shift.name,
      startMinute: shift.startMinute,
      endMinute: shift.endMinute,
      weekdays: shift.weekdays,
      breaks: shift.breaks,
      readings: byShift[s]!,
      said: said('register.shift', {
        name: shift.name,
        start: shift.startMinute * msPerMinute,
        end: shift.endMinute * msPerMinute,
        pastMidnight: shift.endMinute <= shift.startMinute && shift.endMinute > 0,
        weekdays: shift.weekdays,
        breaks: shift.breaks.map((one) => ({
          from: one.startMinute * msPerMinute,
          to: one.endMinute * msPerMinute,
          name: one.name,
        })),
      }),
    })),
    checks: register.tools.flatMap((_, t) => checkRowsOf(register, t)).sort((a, b) => a.at - b.at),
    toSettle: toSettle(plant, unsettledNames, { joints, tools, operators }),
  };
}

function toolLine(tool: Tool, due: ReturnType<typeof toolDue>): Said {
  if (tool.status === 'quarantined') return said('register.tool-quarantined', {});
  if (tool.status === 'retired') return said('register.tool-retired', {});
  return due.calibration
    ? said('review.calibration-due', {
        on: due.calibration.on,
        overdue: due.calibration.overdue,
        cycles: due.calibration.because === 'cycles',
      })
    : said('review.calibration-unknown', {});
}

function toSettle(
  plant: Plant,
  given: readonly { kind: 'tool' | 'joint' | 'operator'; name: string; readings: number }[] | null,
  held: { joints: Uint32Array; tools: Uint32Array; operators: Uint32Array },
): NameToSettle[] {
  const { register } = plant;
  const entries = {
    joint: register.joints.map((one, k) => ({ name: one.name, confirmed: one.confirmed, readings: held.joints[k]! })),
    tool: register.tools.map((one, k) => ({ name: one.serial, confirmed: one.confirmed, readings: held.tools[k]! })),
    operator: register.operators.map((one, k) => ({
      name: one.badge,
      confirmed: one.confirmed,
      readings: held.operators[k]!,
    })),
  };
  const waiting =
    given ??
    (['tool', 'joint', 'operator'] as const).flatMap((kind) =>
      entries[kind].filter((one) => !one.confirmed && one.readings > 0).map((one) => ({ kind, ...one })),
    );
  return waiting
    .map(({ kind, name, readings }) => {
      const candidates = similarNames(
        name,
        entries[kind].filter((one) => one.confirmed).map((one) => one.name),
      );
      return {
        kind,
        name,
        readings,
        candidates,
        said: said('register.to-settle', { kind, name, readings, candidate: candidates[0] ?? null }),
      };
    })
    .sort((a, b) => b.readings - a.readings || (a.name < b.name ? -1 : 1));
}

function counts(plant: Plant, column: Int32Array, length: number): Uint32Array {
  const { inForce } = plant.readings;
  const result = new Uint32Array(length);
  for (let i = 0; i < column.length; i++) if (inForce[i] === 1 && column[i]! >= 0) result[column[i]!]!++;
  return result;
}

function shiftCounts(plant: Plant): { byShift: Uint32Array; ofOperator: Uint8Array } {
  const { readings, register } = plant;
  const shifts = register.shifts.length;
  const table = shiftTable(register.shifts);
  const byShift = new Uint32Array(shifts);
  const ofOperator = new Uint8Array(shifts * register.operators.length);
  for (let i = 0; i < readings.length; i++) {
    const at = readings.at[i]!;
    if (readings.inForce[i] !== 1 || Number.isNaN(at) || readings.atStep[i] === 4) continue;
    const shift = table.shift[tablePlace(at, startOfDay(at))]!;
    if (shift < 0) continue;
    byShift[shift]!++;
    if (readings.operator[i]! >= 0) ofOperator[readings.operator[i]! * shifts + shift] = 1;
  }
  return { byShift, ofOperator };
}

function newestAt(plant: Plant): number | null {
  const { order, readings } = plant;
  for (let k = order.length - 1; k >= 0; k--) {
    const i = order[k]!;
    if (readings.inForce[i] === 1 && !Number.isNaN(readings.at[i]!)) return readings.at[i]!;
  }
  return null;
}

/** "22.00 to 26.00 N·m", or that there are none. */
export function limitsSaid(revision: LimitRevision | null): Said {
  return revision === null
    ? said('register.no-limits', {})
    : said('register.limits', {
        low: revision.low,
        high: revision.high,
        unit: revision.unit,
        angleLow: revision.angleLowDeg,
        angleHigh: revision.angleHighDeg,
      });
}

/** One joint: its revisions, the figure of limits over time, and the tools that tighten it; null: no such joint. */
export function jointModel(plant: Plant, name: string, now: number | null = null): JointModel | null {
  const { register, readings } = plant;
  const j = register.joints.findIndex((joint) => joint.name === name);
  const joint = register.joints[j];
  if (!joint) return null;
  const at = now ?? newestAt(plant) ?? 0;
  const unit = joint.revisions.at(-1)?.unit ?? 'N.m';
  const own = readingsAt(plant, j);
  const tools = jointTools(plant, own, joint, at);
  let first: number | null = null;
  for (let k = 0; k < own.length && first === null; k++) first = present(readings.at[own[k]!]!);
  return {
    name: joint.name,
    class: joint.class,
    direction: joint.direction,
    stopsBy: joint.stopsBy,
    station: joint.station,
    note: joint.note,
    confirmed: joint.confirmed,
    readings: own.length,
    said: said('register.joint-line', {
      class: joint.class,
      stopsBy: joint.stopsBy,
      leftHand: joint.direction === 'ccw',
      tools: tools.map((tool) => tool.tool),
      readings: own.length,
      since: first,
      every: Math.max(1, Math.ceil(own.length / mostDots)),
    }),
    unit,
    revisions: revisionRows(plant, own, joint).reverse(),
    steps: stepFigure(plant, own, joint, unit),
    tools,
    toolsCaption: toolsCaption(plant, joint, tools),
  };
}

/** Positions of the readings in force at a joint, in time order. */
function readingsAt(plant: Plant, joint: number): Uint32Array {
  const { order, readings } = plant;
  const found = new GrowingPositions();
  for (let k = 0; k < order.length; k++) {
    const i = order[k]!;
    if (readings.joint[i] === joint && readings.inForce[i] === 1) found.push(i);
  }
  return found.done();
}

function revisionRows(plant: Plant, own: Uint32Array, joint: Joint): RevisionRow[] {
  const { judged } = plant;
  const n = new Uint32Array(joint.revisions.length);
  const pass = new Uint32Array(joint.revisions.length);
  const fail = new Uint32Array(joint.revisions.length);
  for (const i of own) {
    const r = judged.revision[i]!;
    if (r < 0) continue;
    n[r]!++;
    if (judged.verdict[i] === verdictPass) pass[r]!++;
    else if (judged.verdict[i] === verdictFail) fail[r]!++;
  }
  return joint.revisions.map((revision, r) => ({
    ...revision,
    to: joint.revisions[r + 1]?.from ?? null,
    readings: n[r]!,
    pass: pass[r]!,
    fail: fail[r]!,
  }));
}

function stepFigure(plant: Plant, own: Uint32Array, joint: Joint, unit: TorqueUnit): StepFigureModel {
  const { readings, judged } = plant;
  const timed = own.filter((i) => !Number.isNaN(readings.at[i]!) && !Number.isNaN(judged.torque[i]!));
  const every = Math.max(1, Math.ceil(timed.length / mostDots));
  const drawn = timed.filter((_, k) => k % every === 0);
  const firstReading = timed[0];
  const lastReading = timed.at(-1);
  const starts = joint.revisions.map((revision) => revision.from);
  const from = firstReading === undefined ? (starts[0] ?? null) : readings.at[firstReading]!;
  const to = lastReading === undefined ? (starts.at(-1) ?? null) : readings.at[lastReading]!;
  const convert = (value: number | null, of: TorqueUnit): number | null =>
    value === null ? null : convertTorque(value, of, unit);
  return {
    from,
    to,
    steps: joint.revisions.flatMap((revision, r) => {
      const start = Math.max(revision.from, from ?? revision.from);
      const end = Math.max(
        start,
        Math.min(joint.revisions[r + 1]?.from ?? Number.POSITIVE_INFINITY, to ?? revision.from),
      );
      const last = r === joint.revisions.length - 1;
      if (end <= start && !last) return [];
      const low = convert(revision.low, revision.unit);
      const high = convert(revision.high, revision.unit);
      return [
        {
          label: revision.label,
          from: start,
          to: end,
          low,
          target: convert(revision.target, revision.unit),
          high,
          said: said('register.step', { label: revision.label, low, high }),
        },
      ];
    }),
    at: Float64Array.from(drawn, (i) => readings.at[i]!),
    torque: Float64Array.from(drawn, (i) =>
      convertTorque(
        judged.torque[i]!,
        joint.revisions[judged.revision[i]!]?.unit ?? torqueUnitCodes[readings.unit[i]!] ?? 'N.m',
        unit,
      ),
    ),
    verdict: Uint8Array.from(drawn, (i) => judged.verdict[i]!),
    reasons: Uint8Array.from(drawn, (i) => judged.reasons[i]!),
    every,
  };
}

function jointTools(plant: Plant, own: Uint32Array, joint: Joint, now: number): JointToolRow[] {
  const { readings, register } = plant;
  const n = new Map<number, number>();
  /** Finest display step of each tool here, in the unit of the limits. */
  const steps = new Map<number, number>();
  const unit = joint.revisions.at(-1)?.unit ?? 'N.m';
  for (const i of own) {
    const t = readings.tool[i]!;
    if (t < 0) continue;
    n.set(t, (n.get(t) ?? 0) + 1);
    const step = convertTorque(10 ** -readings.decimals[i]!, torqueUnitCodes[readings.unit[i]!] ?? 'N.m', unit);
    steps.set(t, Math.min(steps.get(t) ?? step, step));
  }
  const memories = memoryEstimates(plant, now);
  const revision = joint.revisions.at(-1) ?? null;
  return [...n]
    .sort((a, b) => b[1] - a[1])
    .map(([t, count]) => {
      const tool = register.tools[t]!;
      const check = checkRowsOf(register, t)
        .filter((row) => row.at <= now)
        .at(-1);
      const due = toolDue(plant, t, now);
      const memory = memories[t];
      const permissible = tool.permissibleDeviationPercent;
      const limits = { low: revision?.low ?? null, target: revision?.target ?? null, high: revision?.high ?? null };
      const window =
        permissible === null || revision === null || (limits.low === null && limits.high === null)
          ? null
          : provedWindow(limits, permissible / 100, steps.get(t) ?? 0);
      return {
        tool: tool.serial,
        readings: count,
        lastCheck: check?.at ?? null,
        pulls: check?.pulls ?? null,
        deviationPercent: check?.deviationPercent ?? null,
        fastenersGet: check ? said('register.fasteners-get', { deviation: check.deviationPercent }) : null,
        checkDue: due.check?.on ?? null,
        calibrationDue: due.calibration?.on ?? null,
        stored: memory?.stored ?? null,
        capacity: tool.storageCapacity,
        perDay: memory?.perDay ?? null,
        fullOn: memory?.fullOn ?? null,
        provedFrom: window?.possible ? window.low : null,
        provedTo: window?.possible ? window.high : null,
        accuracyRatio: permissible === null || revision === null ? null : accuracyRatio(limits, permissible / 100),
      };
    });
}

function toolsCaption(plant: Plant, joint: Joint, tools: readonly JointToolRow[]): Said {
  const revision = joint.revisions.at(-1);
  const permitted = new Set(
    tools.map(
      (row) => plant.register.tools.find((tool) => tool.serial === row.tool)?.permissibleDeviationPercent ?? null,
    ),
  );
  const one = [...permitted][0] ?? null;
  const first = tools[0];
  if (permitted.size !== 1 || one === null || !revision || !first || first.accuracyRatio === null) {
    return said('register.tools-caption-plain', { tools: tools.length });
  }
  return said('register.tools-caption', {
    permitted: one,
    label: revision.label,
    ratio: first.accuracyRatio,
    from: first.provedFrom,
    to: first.provedTo,
    unit: revision.unit,
  });
}

/** One tool; null: no such tool. */
export function toolModel(plant: Plant, serial: string, now: number): ToolModel | null {
  const { register, readings, judged } = plant;
  const t = register.tools.findIndex((tool) => tool.serial === serial);
  const tool = register.tools[t];
  if (!tool) return null;
  const joints = new Map<number, { readings: number; pass: number; fail: number }>();
  let count = 0;
  let firstAt: number | null = null;
  let lastAt: number | null = null;
  const withAdapter = new Map<AdapterPeriod, number>();
  for (let i = 0; i < readings.length; i++) {
    if (readings.tool[i] !== t || readings.inForce[i] !== 1) continue;
    count++;
    const at = readings.at[i]!;
    const adapter = adapterAt(tool, at);
    if (adapter) withAdapter.set(adapter, (withAdapter.get(adapter) ?? 0) + 1);
    if (!Number.isNaN(at)) {
      if (firstAt === null || at < firstAt) firstAt = at;
      if (lastAt === null || at > lastAt) lastAt = at;
    }
    const entry = joints.get(readings.joint[i]!) ?? { readings: 0, pass: 0, fail: 0 };
    entry.readings++;
    if (judged.verdict[i] === verdictPass) entry.pass++;
    else if (judged.verdict[i] === verdictFail) entry.fail++;
    joints.set(readings.joint[i]!, entry);
  }
  const due = toolDue(plant, t, now);
  const memory = memoryEstimates(plant, now)[t];
  return {
    serial: tool.serial,
    status: tool.status,
    confirmed: tool.confirmed,
    unit: tool.unit,
    min: tool.min,
    max: tool.max,
    permissibleDeviationPercent: tool.permissibleDeviationPercent,
    storageCapacity: tool.storageCapacity,
    calibratedOn: due.calibratedOn,
    calibrationDue: due.calibration?.on ?? null,
    calibrationOverdue: due.calibration?.overdue ?? false,
    intervalMonths: tool.intervalMonths,
    intervalCycles: tool.intervalCycles,
    cyclesSince: due.cyclesSince,
    checkEveryDays: tool.checkEveryDays,
    checkDue: due.check?.on ?? null,
    lengthMm: tool.lengthMm,
    events: tool.events,
    adapters: tool.adapters.map((period) => {
      const factor = adapterFactor(period.lengthMm, period.offsetMm, period.angleDeg) ?? 1;
      return {
        ...period,
        factor,
        said: said('register.adapter', {
          length: period.lengthMm,
          offset: period.offsetMm,
          angle: period.angleDeg,
          factor,
        }),
        readings: withAdapter.get(period) ?? 0,
      };
    }),
    readings: count,
    firstAt,
    lastAt,
    joints: [...joints]
      .sort((a, b) => b[1].readings - a[1].readings)
      .map(([j, entry]) => ({ name: register.joints[j]?.name ?? '', ...entry })),
    checks: checkRowsOf(register, t),
    stored: memory?.stored ?? null,
    perDay: memory?.perDay ?? null,
    fullOn: memory?.fullOn ?? null,
    said: said('register.tool-line', {
      unit: tool.unit,
      min: tool.min,
      max: tool.max,
      permissible: tool.permissibleDeviationPercent,
      readings: count,
      joints: [...joints.keys()].filter((j) => j >= 0).length,
      status: tool.status,
    }),
    due: toolDueSaid(due),
  };
}

function toolDueSaid(due: ReturnType<typeof toolDue>): Said[] {
  const lines: { on: number; overdue: boolean; said: Said }[] = [];
  if (due.check) lines.push({ ...due.check, said: said('review.check-due', due.check) });
  if (due.calibration) {
    const { on, overdue, because } = due.calibration;
    lines.push({ on, overdue, said: said('review.calibration-due', { on, overdue, cycles: because === 'cycles' }) });
  }
  lines.sort((a, b) => Number(b.overdue) - Number(a.overdue) || a.on - b.on);
  const sentences = lines.map((line) => line.said);
  if (!due.calibration) sentences.push(said('review.calibration-unknown', {}));
  return sentences;
}

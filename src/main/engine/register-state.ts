/** The stored register entries as the `Register` of the analyses, and back as operations for the store. */

import type {
  AdapterPeriod,
  CheckPull,
  Direction,
  Joint,
  Operator,
  Register,
  Shift,
  StopsBy,
  Tool,
  ToolEvent,
  ToolStatus,
} from '#core/register/register.ts';
import { checkKey, labelled } from '#core/register/register-file.ts';
import { isTorqueUnit } from '#core/units/torque-unit.ts';
import type {
  EntryKind,
  EntryRow,
  Json,
  NameKind,
  RevisionRow,
  StoredCheck,
  StoredEntry,
  StoredName,
  StoreOp,
} from '../store/store.ts';

type Body = { readonly [key: string]: Json };

export interface RegisterState {
  readonly register: Register;
  /** Store ids by position in the register's lists. */
  readonly ids: { readonly joint: Int32Array; readonly tool: Int32Array; readonly operator: Int32Array };
  readonly shiftIds: ReadonlyMap<string, number>;
  /** What shifts are sorted by: rising in the register's order, with gaps where one was removed. */
  readonly shiftPlaces: ReadonlyMap<string, number>;
  /** Store ids of the rows of `register.checks`, by position. */
  readonly checkIds: Int32Array;
  /** Position in the register's list by id of a written name; -1: none. */
  readonly positionOfName: Record<NameKind, Int32Array>;
  readonly nameId: (kind: NameKind, written: string) => number | null;
  readonly entryId: (kind: EntryKind, name: string) => number | null;
  readonly nameIdsOfEntry: (entry: number) => readonly number[];
  /** Spellings in files that are this joint, by its position in the register. */
  readonly writtenOfJoint: (position: number) => readonly string[];
  /**
   * Names that stood in the register or in files once and mean another entry now, renamed or merged since, with the name
   * of that entry. A name that an entry has now is none of them.
   */
  readonly formerNames: Readonly<Record<NameKind, ReadonlyMap<string, string>>>;
  /** Every spelling of an operator in files, with the operator's position in the register; -1: none any more. */
  readonly writtenOperators: readonly (readonly [written: string, position: number])[];
}

/** Puts the register together; positions follow the order in which entries were made. */
export function registerState(
  entries: readonly StoredEntry[],
  checks: readonly StoredCheck[],
  names: readonly StoredName[],
): RegisterState {
  const joints: Joint[] = [];
  const tools: Tool[] = [];
  const operators: Operator[] = [];
  const shifts: { readonly place: number; readonly shift: Shift }[] = [];
  const ids = { joint: [] as number[], tool: [] as number[], operator: [] as number[] };
  const positionOfEntry = new Map<number, number>();
  const byName = new Map<string, number>();
  const shiftIds = new Map<string, number>();
  for (const entry of entries) {
    byName.set(`${entry.kind} ${entry.name}`, entry.id);
    switch (entry.kind) {
      case 'joint':
        positionOfEntry.set(entry.id, joints.length);
        ids.joint.push(entry.id);
        joints.push(jointFrom(entry));
        break;
      case 'tool':
        positionOfEntry.set(entry.id, tools.length);
        ids.tool.push(entry.id);
        tools.push(toolFrom(entry));
        break;
      case 'operator':
        positionOfEntry.set(entry.id, operators.length);
        ids.operator.push(entry.id);
        operators.push({ badge: entry.name, name: text(entry.body.name), confirmed: entry.confirmed });
        break;
      case 'shift':
        shiftIds.set(entry.name, entry.id);
        shifts.push({
          place: number(entry.body.place) ?? 0,
          shift: {
            name: entry.name,
            startMinute: number(entry.body.startMinute) ?? 0,
            endMinute: number(entry.body.endMinute) ?? 0,
            weekdays: Array.isArray(entry.body.weekdays)
              ? entry.body.weekdays.filter((day): day is number => typeof day === 'number')
              : null,
            breaks: list(entry.body.breaks).map((one) => ({
              startMinute: number(one.startMinute) ?? 0,
              endMinute: number(one.endMinute) ?? 0,
              name: text(one.name),
            })),
          },
        });
        break;
    }
  }
  const pulls: CheckPull[] = [];
  const checkIds: number[] = [];
  for (const { id, row } of checks) {
    const tool = positionOfEntry.get(row.tool);
    if (tool === undefined) continue;
    pulls.push({
      tool,
      at: row.at,
      nominal: row.nominal,
      reference: row.reference,
      shown: row.shown,
      unit: row.unit,
      kind: row.kind,
      uncertaintyPercent: row.uncertaintyPercent,
    });
    checkIds.push(id);
  }
  const most = names.reduce((max, name) => Math.max(max, name.id), 0);
  const positionOfName: Record<NameKind, Int32Array> = {
    joint: new Int32Array(most + 1).fill(-1),
    tool: new Int32Array(most + 1).fill(-1),
    operator: new Int32Array(most + 1).fill(-1),
  };
  const nameIds = new Map<string, number>();
  const namesOfEntry = new Map<number, number[]>();
  const writtenOfEntry = new Map<number, string[]>();
  const nameOfEntry = new Map(entries.map((entry) => [entry.id, entry.name]));
  const formerNames = {
    joint: new Map<string, string>(),
    tool: new Map<string, string>(),
    operator: new Map<string, string>(),
  };
  for (const name of names) {
    nameIds.set(`${name.kind} ${name.written}`, name.id);
    if (name.entry === null) continue;
    const now = nameOfEntry.get(name.entry);
    if (now !== undefined && !byName.has(`${name.kind} ${name.written}`)) formerNames[name.kind].set(name.written, now);
    positionOfName[name.kind][name.id] = positionOfEntry.get(name.entry) ?? -1;
    const list = namesOfEntry.get(name.entry);
    if (list) list.push(name.id);
    else namesOfEntry.set(name.entry, [name.id]);
    const written = writtenOfEntry.get(name.entry);
    if (written) written.push(name.written);
    else writtenOfEntry.set(name.entry, [name.written]);
  }
  return {
    register: {
      joints,
      tools,
      operators,
      shifts: shifts.sort((a, b) => a.place - b.place).map((one) => one.shift),
      checks: pulls,
    },
    ids: {
      joint: Int32Array.from(ids.joint),
      tool: Int32Array.from(ids.tool),
      operator: Int32Array.from(ids.operator),
    },
    shiftIds,
    shiftPlaces: new Map(shifts.map(({ place, shift }) => [shift.name, place])),
    checkIds: Int32Array.from(checkIds),
    positionOfName,
    nameId: (kind, written) => nameIds.get(`${kind} ${written}`) ?? null,
    entryId: (kind, name) => byName.get(`${kind} ${name}`) ?? null,
    nameIdsOfEntry: (entry) => namesOfEntry.get(entry) ?? [],
    formerNames,
    writtenOfJoint: (position) => writtenOfEntry.get(ids.joint[position] ?? -1) ?? [],
    writtenOperators: names.flatMap((name) =>
      name.kind === 'operator' ? [[name.written, positionOfName.operator[name.id] ?? -1] as const] : [],
    ),
  };
}

/** The operations that make the stored register what `after` says. Entries keep their place; none is taken away. */
export function registerOps(before: RegisterState, after: Register): StoreOp[] {
  const ops: StoreOp[] = [];
  const changed = (kind: NameKind, was: readonly EntryRow[], now: readonly EntryRow[]): void => {
    now.forEach((row, position) => {
      const held = was[position];
      if (held && JSON.stringify(held) === JSON.stringify(row)) return;
      ops.push({ t: 'entry', id: before.ids[kind][position] ?? null, row });
    });
  };
  changed('joint', before.register.joints.map(jointRow), after.joints.map(jointRow));
  changed('tool', before.register.tools.map(toolRow), after.tools.map(toolRow));
  changed('operator', before.register.operators.map(operatorRow), after.operators.map(operatorRow));

  const shiftsWas = new Map(
    before.register.shifts.map((shift) => [shift.name, shiftRow(shift, before.shiftPlaces.get(shift.name) ?? 0)]),
  );
  const places = shiftPlaces(before, after);
  after.shifts.forEach((shift, position) => {
    const row = shiftRow(shift, places[position]!);
    const held = shiftsWas.get(shift.name);
    shiftsWas.delete(shift.name);
    if (held && JSON.stringify(held) === JSON.stringify(row)) return;
    ops.push({ t: 'entry', id: before.shiftIds.get(shift.name) ?? null, row });
  });
  for (const name of shiftsWas.keys()) {
    ops.push({ t: 'entry', id: before.shiftIds.get(name) ?? null, row: null });
  }

  const pullKey = (register: Register, pull: CheckPull): string =>
    JSON.stringify([register.tools[pull.tool]?.serial, checkKey({ ...pull, tool: 0 }), pull]);
  const held = new Map<string, number[]>();
  before.register.checks.forEach((pull, position) => {
    const key = pullKey(before.register, pull);
    const list = held.get(key);
    if (list) list.push(before.checkIds[position]!);
    else held.set(key, [before.checkIds[position]!]);
  });
  const added: StoreOp[] = [];
  for (const pull of after.checks) {
    const list = held.get(pullKey(after, pull));
    if (list && list.length > 0) {
      list.shift();
      continue;
    }
    const { tool, ...rest } = pull;
    added.push({
      t: 'check',
      id: null,
      row: { ...rest, tool: before.ids.tool[tool] ?? after.tools[tool]!.serial },
    });
  }
  for (const list of held.values()) for (const id of list) ops.push({ t: 'check', id, row: null });
  return [...ops, ...added];
}

/** Places of the shifts in the order they have now. Those that stand in that order already keep theirs. */
function shiftPlaces(before: RegisterState, after: Register): number[] {
  let last = -1;
  const kept = after.shifts.map((shift) => {
    last = before.shiftPlaces.get(shift.name) ?? last + 1;
    return last;
  });
  const rising = kept.every((place, position) => position === 0 || place > kept[position - 1]!);
  return rising ? kept : after.shifts.map((_, position) => position);
}

function jointRow(joint: Joint): EntryRow {
  return {
    kind: 'joint',
    name: joint.name,
    confirmed: joint.confirmed,
    body: {
      class: joint.class,
      direction: joint.direction,
      stopsBy: joint.stopsBy,
      station: joint.station,
      note: joint.note,
    },
    revisions: joint.revisions.map(
      (r): RevisionRow => ({
        fromMs: r.from,
        unit: r.unit,
        low: r.low,
        target: r.target,
        high: r.high,
        lowPercent: r.lowPercent,
        highPercent: r.highPercent,
        angleLow: r.angleLowDeg,
        angleTarget: r.angleTargetDeg,
        angleHigh: r.angleHighDeg,
        batchSize: r.batchSize,
        retryWithinSeconds: r.retryWithinSeconds,
        by: r.by,
        why: r.why,
      }),
    ),
  };
}

/** A tool as its entry row; for writes that change one tool. */
export function toolRow(tool: Tool): EntryRow {
  return {
    kind: 'tool',
    name: tool.serial,
    confirmed: tool.confirmed,
    body: {
      unit: tool.unit,
      min: tool.min,
      max: tool.max,
      permissibleDeviationPercent: tool.permissibleDeviationPercent,
      storageCapacity: tool.storageCapacity,
      calibratedOn: tool.calibratedOn,
      intervalMonths: tool.intervalMonths,
      intervalCycles: tool.intervalCycles,
      checkEveryDays: tool.checkEveryDays,
      lengthMm: tool.lengthMm,
      status: tool.status,
      events: tool.events.map((event) => ({ at: event.at, kind: event.kind, note: event.note })),
      adapters: tool.adapters.map((a) => ({
        from: a.from,
        to: a.to,
        lengthMm: a.lengthMm,
        offsetMm: a.offsetMm,
        angleDeg: a.angleDeg,
      })),
    },
    revisions: [],
  };
}

function operatorRow(operator: Operator): EntryRow {
  return {
    kind: 'operator',
    name: operator.badge,
    confirmed: operator.confirmed,
    body: { name: operator.name },
    revisions: [],
  };
}

function shiftRow(shift: Shift, place: number): EntryRow {
  return {
    kind: 'shift',
    name: shift.name,
    confirmed: true,
    body: {
      startMinute: shift.startMinute,
      endMinute: shift.endMinute,
      weekdays: shift.weekdays,
      breaks: shift.breaks.map((one) => ({ startMinute: one.startMinute, endMinute: one.endMinute, name: one.name })),
      place,
    },
    revisions: [],
  };
}

/** Any entry of the register as its row; null when there is none of that name. */
export function entryRow(register: Register, kind: NameKind, name: string): EntryRow | null {
  switch (kind) {
    case 'joint': {
      const joint = register.joints.find((one) => one.name === name);
      return joint ? jointRow(joint) : null;
    }
    case 'tool': {
      const tool = register.tools.find((one) => one.serial === name);
      return tool ? toolRow(tool) : null;
    }
    case 'operator': {
      const operator = register.operators.find((one) => one.badge === name);
      return operator ? operatorRow(operator) : null;
    }
  }
}

function jointFrom(entry: StoredEntry): Joint {
  const { body } = entry;
  return {
    name: entry.name,
    class: text(body.class),
    direction: oneOf<Direction>(body.direction, ['cw', 'ccw']) ?? 'cw',
    stopsBy: oneOf<StopsBy>(body.stopsBy, ['torque', 'angle']) ?? 'torque',
    station: text(body.station),
    note: text(body.note),
    revisions: labelled(
      entry.revisions.map((r) => ({
        label: '',
        from: r.fromMs,
        unit: r.unit,
        low: r.low,
        target: r.target,
        high: r.high,
        lowPercent: r.lowPercent,
        highPercent: r.highPercent,
        angleLowDeg: r.angleLow,
        angleTargetDeg: r.angleTarget,
        angleHighDeg: r.angleHigh,
        batchSize: r.batchSize,
        retryWithinSeconds: r.retryWithinSeconds,
        by: r.by,
        why: r.why,
      })),
    ),
    confirmed: entry.confirmed,
  };
}

function toolFrom(entry: StoredEntry): Tool {
  const { body } = entry;
  const unit = text(body.unit);
  return {
    serial: entry.name,
    unit: unit !== null && isTorqueUnit(unit) ? unit : null,
    min: number(body.min),
    max: number(body.max),
    permissibleDeviationPercent: number(body.permissibleDeviationPercent),
    storageCapacity: number(body.storageCapacity),
    calibratedOn: number(body.calibratedOn),
    intervalMonths: number(body.intervalMonths),
    intervalCycles: number(body.intervalCycles),
    checkEveryDays: number(body.checkEveryDays),
    lengthMm: number(body.lengthMm),
    status: oneOf<ToolStatus>(body.status, ['in-use', 'quarantined', 'retired']) ?? 'in-use',
    events: list(body.events).map(
      (event): ToolEvent => ({
        at: number(event.at) ?? 0,
        kind: oneOf<ToolEvent['kind']>(event.kind, ['calibration', 'repair']) ?? 'calibration',
        note: text(event.note),
      }),
    ),
    adapters: list(body.adapters).map(
      (a): AdapterPeriod => ({
        from: number(a.from) ?? 0,
        to: number(a.to),
        lengthMm: number(a.lengthMm) ?? 1,
        offsetMm: number(a.offsetMm) ?? 0,
        angleDeg: number(a.angleDeg) ?? 90,
      }),
    ),
    confirmed: entry.confirmed,
  };
}

function text(value: Json | undefined): string | null {
  return typeof value === 'string' ? value : null;
}

function number(value: Json | undefined): number | null {
  return typeof value === 'number' ? value : null;
}

function oneOf<T extends string>(value: Json | undefined, allowed: readonly T[]): T | null {
  return allowed.find((one) => one === value) ?? null;
}

function list(value: Json | undefined): readonly Body[] {
  if (!Array.isArray(value)) return [];
  return value.filter((one): one is Body => typeof one === 'object' && one !== null && !Array.isArray(one));
}

import { z } from 'zod';
import { minutesPerDay } from '../readings/shift-occurrence.ts';
import { type Said, said } from '../text/said.ts';
import { civilText, msPerDay, parseCivil } from '../time/civil-time.ts';
import { adapterFactor } from '../units/adapter-factor.ts';
import { torqueUnitCodes } from '../units/torque-unit.ts';
import type { AdapterPeriod, CheckPull, Joint, LimitRevision, Operator, Register, Shift, Tool } from './register.ts';

const name = z.string().trim().min(1, 'must not be empty').max(500);
const text = z.string().max(2000);
const number = z.number().refine(Number.isFinite, 'must be a finite number');
const positive = number.refine((value) => value > 0, 'must be above 0');
const count = z.int().min(1, 'must be 1 or more');
const instant = z
  .string()
  .refine((value) => parseCivil(value) !== null, 'must be a date (2026-03-05) or a time (2026-03-05T06:00:00)');
const clock = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'must be a time of day such as 06:00');
const unit = z.enum(torqueUnitCodes);
/** Days of the week as the file writes them, Monday first. */
export const weekdayNames = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;

const limitsSchema = z.strictObject({
  from: instant,
  unit,
  low: number.nullish(),
  target: number.nullish(),
  high: number.nullish(),
  angleLow: number.nullish(),
  angleTarget: number.nullish(),
  angleHigh: number.nullish(),
  lowPercent: number.nullish(),
  highPercent: number.nullish(),
  batchSize: count.nullish(),
  retryWithinSeconds: number.refine((value) => value >= 0, 'must be 0 or more').nullish(),
  by: text.nullish(),
  why: text.nullish(),
});

const jointSchema = z.strictObject({
  name,
  class: text.nullish(),
  direction: z.enum(['cw', 'ccw']).nullish(),
  stopsBy: z.enum(['torque', 'angle']).nullish(),
  station: text.nullish(),
  note: text.nullish(),
  limits: z.array(limitsSchema).max(10_000).nullish(),
});

const adapterSchema = z.strictObject({
  from: instant,
  /** The first instant without it; null: still on the wrench. */
  to: instant.nullish(),
  /** Null: the tool's own effective length, as it stands now. */
  lengthMm: positive.nullish(),
  offsetMm: number,
  angleDeg: number,
});

const toolSchema = z.strictObject({
  serial: name,
  unit: unit.nullish(),
  min: number.nullish(),
  max: number.nullish(),
  permissibleDeviationPercent: positive.nullish(),
  storageCapacity: count.nullish(),
  calibratedOn: instant.nullish(),
  intervalMonths: count.nullish(),
  intervalCycles: count.nullish(),
  checkEveryDays: positive.nullish(),
  lengthMm: positive.nullish(),
  status: z.enum(['in-use', 'quarantined', 'retired']).nullish(),
  events: z
    .array(z.strictObject({ at: instant, kind: z.enum(['calibration', 'repair']), note: text.nullish() }))
    .max(10_000)
    .nullish(),
  /** Offset adapters by period; the list given replaces the list held. */
  adapters: z.array(adapterSchema).max(1000).nullish(),
});

const operatorSchema = z.strictObject({ badge: name, name: text.nullish() });
const breakSchema = z.strictObject({ start: clock, end: clock, name: text.nullish() });
const shiftSchema = z.strictObject({
  name,
  start: clock,
  end: clock,
  /** Days of the week on which the shift starts; null: every day. */
  weekdays: z.array(z.enum(weekdayNames)).min(1, 'must name a day, or be null for every day').max(7).nullish(),
  /** The list given replaces the list held. */
  breaks: z.array(breakSchema).max(20).nullish(),
});
const checkSchema = z.strictObject({
  tool: name,
  at: instant,
  nominal: positive,
  reference: positive,
  reading: number,
  unit,
  kind: z.enum(['as-found', 'as-left']).nullish(),
  uncertaintyPercent: positive.nullish(),
});

/** The register file of the command line. Unknown keys are refused by name; missing optional ones are null. */
export const registerFileSchema = z.strictObject({
  joints: z.array(jointSchema).max(100_000).nullish(),
  tools: z.array(toolSchema).max(100_000).nullish(),
  operators: z.array(operatorSchema).max(100_000).nullish(),
  shifts: z.array(shiftSchema).max(100).nullish(),
  checks: z.array(checkSchema).max(1_000_000).nullish(),
});

export type RegisterFile = z.output<typeof registerFileSchema>;
type FileJoint = z.output<typeof jointSchema>;
type FileLimits = z.output<typeof limitsSchema>;
type FileTool = z.output<typeof toolSchema>;
type FileCheck = z.output<typeof checkSchema>;
type FileShift = z.output<typeof shiftSchema>;

/** The register with nothing in it. */
export const emptyRegister: Register = { joints: [], tools: [], operators: [], shifts: [], checks: [] };

/**
 * Parses a register file that came from outside: shape and keys first, then what the numbers must fulfil.
 *
 * @returns the file, or every problem as a sentence that names the entry and the key
 */
export function parseRegisterFile(
  raw: unknown,
): { file: RegisterFile; problems: [] } | { file: null; problems: Said[] } {
  const parsed = registerFileSchema.safeParse(raw);
  if (parsed.success) return { file: parsed.data, problems: [] };
  return { file: null, problems: parsed.error.issues.map((issue) => issueSaid(raw, issue)) };
}

function issueSaid(raw: unknown, issue: z.core.$ZodIssue): Said {
  const where = placeOf(raw, issue.path);
  if (issue.code === 'unrecognized_keys') {
    return said('register.unknown-keys', { where, keys: issue.keys });
  }
  const missing = issue.code === 'invalid_type' && valueAt(raw, issue.path) === undefined;
  return missing
    ? said('register.missing-key', { where })
    : said('register.wrong-value', { where, detail: issue.message });
}

const listNames: Readonly<Record<string, string>> = {
  joints: 'joint',
  tools: 'tool',
  operators: 'operator',
  shifts: 'shift',
  checks: 'check',
};

/** "joint "Rack stay M8", limits 2, from": entries by name where they have one, else counted from 1. */
function placeOf(raw: unknown, path: readonly PropertyKey[]): string {
  const words: string[] = [];
  for (let k = 0; k < path.length; k++) {
    const key = path[k];
    const index = path[k + 1];
    if (typeof key === 'string' && typeof index === 'number') {
      const entry = valueAt(raw, path.slice(0, k + 2));
      const known = k === 0 ? nameOf(entry) : null;
      const list = k === 0 ? (listNames[key] ?? key) : key;
      words.push(known === null ? `${list} ${index + 1}` : `${list} "${known}"`);
      k++;
    } else words.push(String(key));
  }
  return words.join(', ');
}

function nameOf(entry: unknown): string | null {
  for (const key of ['name', 'serial', 'badge']) {
    const value = valueAt(entry, [key]);
    if (typeof value === 'string' && value !== '') return value;
  }
  return null;
}

function valueAt(raw: unknown, path: readonly PropertyKey[]): unknown {
  let value = raw;
  for (const key of path) {
    if (typeof value !== 'object' || value === null) return undefined;
    // The file is of unknown shape here; a key that is not there reads as undefined.
    value = (value as Record<PropertyKey, unknown>)[key];
  }
  return value;
}

/**
 * Merges a register file into a register. Nothing is removed and no position moves, so columns stay valid.
 *
 * Joints by name, tools by serial, operators by badge, shifts by name: keys that the file gives replace, a null clears,
 * keys left out keep what is held. Limits: same joint and same start replace the revision. Events: same time and kind.
 * Checks: the rows of a check (tool, time, kind, nominal) replace the rows held of it, so that reading a file twice
 * changes nothing. Shifts take the order of the file when it lists them all.
 *
 * @param file the parsed file, or what came from outside (it is parsed then)
 * @returns the new register; where there is any problem the old one, unchanged
 */
export function mergeRegisterFile(register: Register, file: unknown): { register: Register; problems: Said[] } {
  const parsed = parseRegisterFile(file);
  if (parsed.file === null) return { register, problems: parsed.problems };
  const problems: Said[] = [];
  const merged: Register = {
    joints: mergeBy(
      register.joints,
      parsed.file.joints ?? [],
      (j) => j.name,
      (j) => j.name,
      (held, given) => mergeJoint(held, given, problems),
    ),
    tools: mergeBy(
      register.tools,
      parsed.file.tools ?? [],
      (t) => t.serial,
      (t) => t.serial,
      (held, given) => mergeTool(held, given, problems),
    ),
    operators: mergeBy(
      register.operators,
      parsed.file.operators ?? [],
      (o) => o.badge,
      (o) => o.badge,
      (held, given): Operator => ({ badge: given.badge, name: pick(given.name, held?.name ?? null), confirmed: true }),
    ),
    shifts: mergeShifts(register.shifts, parsed.file.shifts ?? [], problems),
    checks: register.checks,
  };
  const withChecks = mergeChecks(merged, parsed.file.checks ?? []);
  return problems.length > 0 ? { register, problems } : { register: withChecks, problems };
}

/** What a key given in the file makes of what is held: left out keeps, anything else (null too) replaces. */
function pick<T>(given: T | null | undefined, held: T | null): T | null {
  return given === undefined ? held : given;
}

function mergeBy<Held, Given>(
  held: readonly Held[],
  given: readonly Given[],
  heldKey: (entry: Held) => string,
  givenKey: (entry: Given) => string,
  merge: (held: Held | undefined, given: Given) => Held,
): Held[] {
  const result = [...held];
  const at = new Map(held.map((entry, position) => [heldKey(entry), position]));
  for (const entry of given) {
    const key = givenKey(entry);
    const position = at.get(key);
    if (position === undefined) {
      at.set(key, result.length);
      result.push(merge(undefined, entry));
    } else result[position] = merge(result[position], entry);
  }
  return result;
}

function mergeJoint(held: Joint | undefined, given: FileJoint, problems: Said[]): Joint {
  const byStart = new Map((held?.revisions ?? []).map((revision) => [revision.from, revision]));
  (given.limits ?? []).forEach((limits, index) => {
    const revision = revisionOf(given.name, index, limits, problems);
    if (revision) byStart.set(revision.from, revision);
  });
  return {
    name: given.name,
    class: pick(given.class, held?.class ?? null),
    direction: pick(given.direction, held?.direction ?? null) ?? 'cw',
    stopsBy: pick(given.stopsBy, held?.stopsBy ?? null) ?? 'torque',
    station: pick(given.station, held?.station ?? null),
    note: pick(given.note, held?.note ?? null),
    revisions: labelled([...byStart.values()]),
    confirmed: true,
  };
}

/** Revisions in order of time with their labels A, B ... Z, AA, AB. */
export function labelled(revisions: readonly LimitRevision[]): LimitRevision[] {
  return [...revisions]
    .sort((a, b) => a.from - b.from)
    .map((revision, position) => ({ ...revision, label: revisionLabel(position) }));
}

/** A, B ... Z, AA, AB ... by position from 0. */
export function revisionLabel(position: number): string {
  const letter = String.fromCharCode(65 + (position % 26));
  return position < 26 ? letter : revisionLabel(Math.floor(position / 26) - 1) + letter;
}

function revisionOf(joint: string, index: number, given: FileLimits, problems: Said[]): LimitRevision | null {
  const from = civil(given.from);
  const target = given.target ?? null;
  const lowPercent = given.lowPercent ?? null;
  const highPercent = given.highPercent ?? null;
  const where = { joint, number: index + 1, from };
  let problem: Said | null = null;
  if (
    (lowPercent !== null && (given.low ?? null) !== null) ||
    (highPercent !== null && (given.high ?? null) !== null)
  ) {
    problem = said('register.percent-and-value', where);
  } else if ((lowPercent !== null || highPercent !== null) && target === null) {
    problem = said('register.percent-without-target', where);
  }
  const low = lowPercent !== null && target !== null ? percentLimit(target, lowPercent) : (given.low ?? null);
  const high = highPercent !== null && target !== null ? percentLimit(target, highPercent) : (given.high ?? null);
  const angleLowDeg = given.angleLow ?? null;
  const angleTargetDeg = given.angleTarget ?? null;
  const angleHighDeg = given.angleHigh ?? null;
  if (problem === null && !inOrder(low, target, high)) {
    problem = said('register.limits-out-of-order', { ...where, of: 'torque', low, target, high });
  }
  if (problem === null && !inOrder(angleLowDeg, angleTargetDeg, angleHighDeg)) {
    problem = said('register.limits-out-of-order', {
      ...where,
      of: 'angle',
      low: angleLowDeg,
      target: angleTargetDeg,
      high: angleHighDeg,
    });
  }
  const negative = [low, high, angleLowDeg, angleHighDeg].some((limit) => limit !== null && limit < 0);
  if (problem === null && negative) problem = said('register.negative-limit', where);
  if (problem) {
    problems.push(problem);
    return null;
  }
  return {
    label: '',
    from,
    unit: given.unit,
    low,
    target,
    high,
    lowPercent,
    highPercent,
    angleLowDeg,
    angleTargetDeg,
    angleHighDeg,
    batchSize: given.batchSize ?? null,
    retryWithinSeconds: given.retryWithinSeconds ?? null,
    by: given.by ?? null,
    why: given.why ?? null,
  };
}

/**
 * A limit given as signed percent of the target, unrounded: T0 x (1 + percent / 100).
 *
 * @example percentLimit(24, -8) // => 22.08
 */
export function percentLimit(target: number, signedPercent: number): number {
  return target * (1 + signedPercent / 100);
}

/** L <= T0 <= U and L < U, as far as they are there. */
function inOrder(low: number | null, target: number | null, high: number | null): boolean {
  if (low !== null && high !== null && !(low < high)) return false;
  if (target !== null && low !== null && low > target) return false;
  return !(target !== null && high !== null && target > high);
}

function mergeTool(held: Tool | undefined, given: FileTool, problems: Said[]): Tool {
  const events = new Map((held?.events ?? []).map((event) => [`${event.at} ${event.kind}`, event]));
  for (const event of given.events ?? []) {
    const at = civil(event.at);
    events.set(`${at} ${event.kind}`, { at, kind: event.kind, note: event.note ?? null });
  }
  const min = pick(given.min, held?.min ?? null);
  const max = pick(given.max, held?.max ?? null);
  if (min !== null && max !== null && !(min < max)) {
    problems.push(said('register.range-out-of-order', { tool: given.serial, min, max }));
  }
  const unitOfTool = pick(given.unit, held?.unit ?? null);
  if (unitOfTool === null && (min !== null || max !== null)) {
    problems.push(said('register.range-without-unit', { tool: given.serial }));
  }
  const lengthMm = pick(given.lengthMm, held?.lengthMm ?? null);
  return {
    serial: given.serial,
    unit: unitOfTool,
    min,
    max,
    permissibleDeviationPercent: pick(given.permissibleDeviationPercent, held?.permissibleDeviationPercent ?? null),
    storageCapacity: pick(given.storageCapacity, held?.storageCapacity ?? null),
    calibratedOn: given.calibratedOn === undefined ? (held?.calibratedOn ?? null) : civilOrNull(given.calibratedOn),
    intervalMonths: pick(given.intervalMonths, held?.intervalMonths ?? null),
    intervalCycles: pick(given.intervalCycles, held?.intervalCycles ?? null),
    checkEveryDays: pick(given.checkEveryDays, held?.checkEveryDays ?? null),
    lengthMm,
    status: pick(given.status, held?.status ?? null) ?? 'in-use',
    events: [...events.values()].sort((a, b) => a.at - b.at || (a.kind < b.kind ? -1 : 1)),
    adapters: given.adapters === undefined ? (held?.adapters ?? []) : adaptersOf(given, lengthMm, problems),
    confirmed: true,
  };
}

/**
 * The adapter periods of a tool in order of time, each with the length it is worked out with: a period that gives none
 * takes the tool's own, and keeps it when the tool's is corrected later, as readings of that time were made with it.
 */
function adaptersOf(given: FileTool, ownLengthMm: number | null, problems: Said[]): AdapterPeriod[] {
  const tool = given.serial;
  const periods: AdapterPeriod[] = [];
  for (const one of given.adapters ?? []) {
    const from = civil(one.from);
    const lengthMm = one.lengthMm ?? ownLengthMm;
    if (lengthMm === null) problems.push(said('register.adapter-no-length', { tool, from }));
    else {
      const to = one.to === undefined || one.to === null ? null : civil(one.to);
      periods.push({ from, to, lengthMm, offsetMm: one.offsetMm, angleDeg: one.angleDeg });
    }
  }
  periods.sort((a, b) => a.from - b.from);
  periods.forEach((period, k) => {
    const { from, to } = period;
    const next = periods[k + 1];
    if (adapterFactor(period.lengthMm, period.offsetMm, period.angleDeg) === null) {
      problems.push(said('register.adapter-impossible', { tool, from }));
    }
    if (to !== null && to <= from) problems.push(said('register.adapter-ends-early', { tool, from, to }));
    else if (next !== undefined && (to === null || to > next.from)) {
      problems.push(said('register.adapter-overlap', { tool, from, to, next: next.from }));
    }
  });
  return periods;
}

function mergeShifts(held: readonly Shift[], given: readonly FileShift[], problems: Said[]): readonly Shift[] {
  if (given.length === 0) return held;
  const shifts = given.map((shift) =>
    mergeShift(
      held.find((one) => one.name === shift.name),
      shift,
      problems,
    ),
  );
  const all = held.every((shift) => shifts.some((one) => one.name === shift.name));
  return mergeBy(
    all ? [] : held,
    shifts,
    (shift) => shift.name,
    (shift) => shift.name,
    (_, shift) => shift,
  );
}

function mergeShift(held: Shift | undefined, given: FileShift, problems: Said[]): Shift {
  const startMinute = minuteOf(given.start);
  const endMinute = minuteOf(given.end);
  const days = given.weekdays?.map((day) => weekdayNames.indexOf(day)).sort((a, b) => a - b);
  // Minutes since the start of the shift: those after midnight come after those before it.
  const since = (minute: number): number => (minute - startMinute + minutesPerDay) % minutesPerDay;
  const length = since(endMinute) || minutesPerDay;
  const breaks =
    given.breaks === undefined
      ? (held?.breaks ?? [])
      : (given.breaks ?? [])
          .map((one) => ({
            startMinute: minuteOf(one.start),
            endMinute: minuteOf(one.end),
            name: one.name ?? null,
          }))
          .sort((a, b) => since(a.startMinute) - since(b.startMinute));
  breaks.forEach((one, k) => {
    const from = since(one.startMinute);
    const to = from + ((one.endMinute - one.startMinute + minutesPerDay) % minutesPerDay);
    const next = breaks[k + 1];
    if (to === from || to > length || (next !== undefined && since(next.startMinute) < to)) {
      problems.push(said('register.break-impossible', { shift: given.name, number: k + 1 }));
    }
  });
  return {
    name: given.name,
    startMinute,
    endMinute,
    weekdays: given.weekdays === undefined ? (held?.weekdays ?? null) : days && days.length < 7 ? days : null,
    breaks,
  };
}

function mergeChecks(register: Register, given: readonly FileCheck[]): Register {
  if (given.length === 0) return register;
  const tools = [...register.tools];
  const positions = new Map(tools.map((tool, position) => [tool.serial, position]));
  const pulls: CheckPull[] = [];
  for (const check of given) {
    let tool = positions.get(check.tool);
    if (tool === undefined) {
      tool = tools.length;
      positions.set(check.tool, tool);
      tools.push(unknownTool(check.tool));
    }
    pulls.push({
      tool,
      at: civil(check.at),
      nominal: check.nominal,
      reference: check.reference,
      shown: check.reading,
      unit: check.unit,
      kind: check.kind ?? 'as-found',
      uncertaintyPercent: check.uncertaintyPercent ?? null,
    });
  }
  const replaced = new Set(pulls.map(checkKey));
  const checks = [...register.checks.filter((pull) => !replaced.has(checkKey(pull))), ...pulls];
  // Stable: the pulls of one check stay in the order in which they were written down.
  checks.sort((a, b) => a.at - b.at);
  return { ...register, tools, checks };
}

/** Rows of one key are one check. */
export function checkKey(pull: CheckPull): string {
  return `${pull.tool} ${pull.at} ${pull.kind} ${pull.nominal} ${pull.unit}`;
}

/** A tool of which nothing but the serial is known. */
export function unknownTool(serial: string): Tool {
  return {
    serial,
    unit: null,
    min: null,
    max: null,
    permissibleDeviationPercent: null,
    storageCapacity: null,
    calibratedOn: null,
    intervalMonths: null,
    intervalCycles: null,
    checkEveryDays: null,
    lengthMm: null,
    status: 'in-use',
    events: [],
    adapters: [],
    confirmed: false,
  };
}

/** A joint of which nothing but the name is known. */
export function unknownJoint(jointName: string): Joint {
  return {
    name: jointName,
    class: null,
    direction: 'cw',
    stopsBy: 'torque',
    station: null,
    note: null,
    revisions: [],
    confirmed: false,
  };
}

/**
 * The register as the file of the command line. Names known from dumps alone are left out: reading the file back would
 * confirm them. Reading it back into an empty register gives the same register.
 */
export function registerToFile(register: Register): RegisterFile {
  return {
    joints: register.joints.filter((joint) => joint.confirmed).map(jointToFile),
    tools: register.tools.filter((tool) => tool.confirmed).map(toolToFile),
    operators: register.operators
      .filter((operator) => operator.confirmed)
      .map((operator) => ({ badge: operator.badge, name: operator.name })),
    shifts: register.shifts.map((shift) => ({
      name: shift.name,
      start: clockText(shift.startMinute),
      end: clockText(shift.endMinute),
      weekdays: shift.weekdays?.map((day) => weekdayNames[day] ?? 'Mon') ?? null,
      breaks: shift.breaks.map((one) => ({
        start: clockText(one.startMinute),
        end: clockText(one.endMinute),
        name: one.name,
      })),
    })),
    checks: register.checks.map((pull) => ({
      tool: register.tools[pull.tool]?.serial ?? '',
      at: instantText(pull.at),
      nominal: pull.nominal,
      reference: pull.reference,
      reading: pull.shown,
      unit: pull.unit,
      kind: pull.kind,
      uncertaintyPercent: pull.uncertaintyPercent,
    })),
  };
}

function jointToFile(joint: Joint): FileJoint {
  return {
    name: joint.name,
    class: joint.class,
    direction: joint.direction,
    stopsBy: joint.stopsBy,
    station: joint.station,
    note: joint.note,
    limits: joint.revisions.map((revision) => ({
      from: instantText(revision.from),
      unit: revision.unit,
      // Percents stand instead of the values they give.
      low: revision.lowPercent === null ? revision.low : null,
      target: revision.target,
      high: revision.highPercent === null ? revision.high : null,
      angleLow: revision.angleLowDeg,
      angleTarget: revision.angleTargetDeg,
      angleHigh: revision.angleHighDeg,
      lowPercent: revision.lowPercent,
      highPercent: revision.highPercent,
      batchSize: revision.batchSize,
      retryWithinSeconds: revision.retryWithinSeconds,
      by: revision.by,
      why: revision.why,
    })),
  };
}

function toolToFile(tool: Tool): FileTool {
  return {
    serial: tool.serial,
    unit: tool.unit,
    min: tool.min,
    max: tool.max,
    permissibleDeviationPercent: tool.permissibleDeviationPercent,
    storageCapacity: tool.storageCapacity,
    calibratedOn: tool.calibratedOn === null ? null : instantText(tool.calibratedOn),
    intervalMonths: tool.intervalMonths,
    intervalCycles: tool.intervalCycles,
    checkEveryDays: tool.checkEveryDays,
    lengthMm: tool.lengthMm,
    status: tool.status,
    events: tool.events.map((event) => ({ at: instantText(event.at), kind: event.kind, note: event.note })),
    adapters: tool.adapters.map((period) => ({
      from: instantText(period.from),
      to: period.to === null ? null : instantText(period.to),
      lengthMm: period.lengthMm,
      offsetMm: period.offsetMm,
      angleDeg: period.angleDeg,
    })),
  };
}

/** A date where the time is midnight, else date and time. */
const instantText = (at: number): string => civilText(at, at % msPerDay === 0 ? msPerDay : 1);

/** Civil ms of a text that the schema has accepted. */
function civil(written: string): number {
  const parsed = parseCivil(written);
  if (!parsed) throw new RangeError(`not a civil time: ${written}`);
  return parsed.at;
}

const civilOrNull = (written: string | null): number | null => (written === null ? null : civil(written));
const minuteOf = (written: string): number => Number(written.slice(0, 2)) * 60 + Number(written.slice(3, 5));
const clockText = (minute: number): string =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;

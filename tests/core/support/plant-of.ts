import { judgeAll } from '#core/judging/judge.ts';
import { emptyColumns, type ReadingColumns } from '#core/readings/columns.ts';
import type { LeftOut, Plant, ReadingNote, SourceFile } from '#core/readings/plant.ts';
import { timeOrder } from '#core/readings/time-order.ts';
import type { Register } from '#core/register/register.ts';
import { emptyRegister, mergeRegisterFile, unknownJoint, unknownTool } from '#core/register/register-file.ts';
import { parseCivil } from '#core/time/civil-time.ts';
import { type TorqueUnit, torqueUnitCodes } from '#core/units/torque-unit.ts';

/** One reading as a test writes it; everything left out is absent. */
export interface TestReading {
  readonly at?: string | number | null;
  /** Precision of the time; by default that of the text (seconds for a number). */
  readonly atStep?: 0 | 1 | 2 | 3 | 4;
  readonly torque?: number | null;
  readonly unit?: TorqueUnit;
  readonly decimals?: number;
  readonly angle?: number | null;
  readonly tool?: string;
  readonly operator?: string | null;
  readonly joint?: string | null;
  readonly own?: 'good' | 'bad' | null;
  readonly sequence?: number | null;
  readonly source?: number;
  readonly line?: number;
  readonly fastener?: string | null;
  readonly batch?: string | null;
  readonly position?: number | null;
  readonly batchSize?: number | null;
  readonly inForce?: boolean;
}

export interface TestPlant {
  readonly register?: unknown;
  readonly sources?: readonly Partial<SourceFile>[];
  readonly leftOut?: ReadonlyMap<number, LeftOut>;
  readonly notes?: ReadonlyMap<number, readonly ReadingNote[]>;
}

/** Civil ms of a text, so that tests read as they are written. */
export function civil(text: string): number {
  const parsed = parseCivil(text);
  if (!parsed) throw new RangeError(`not a civil time: ${text}`);
  return parsed.at;
}

/** A register from the file of the command line; fails the test where that has a problem. */
export function registerOf(file: unknown): Register {
  const { register, problems } = mergeRegisterFile(emptyRegister, file);
  if (problems.length > 0) throw new Error(JSON.stringify(problems));
  return register;
}

/** A plant of readings in the order in which they were taken in, through the same functions the engine uses. */
export function plantOf(rows: readonly TestReading[], options: TestPlant = {}): Plant {
  const held = registerOf(options.register ?? {});
  const joints = [...held.joints];
  const tools = [...held.tools];
  const operators = [...held.operators];
  const fasteners: string[] = [];
  const batches: string[] = [];
  const columns = emptyColumns(rows.length);
  const place = (list: string[], name: string | null | undefined): number => {
    if (name === null || name === undefined) return -1;
    const at = list.indexOf(name);
    return at >= 0 ? at : list.push(name) - 1;
  };
  rows.forEach((row, i) => {
    columns.id[i] = i + 1;
    const time = timeOf(row);
    columns.at[i] = time.at;
    columns.atStep[i] = time.step;
    columns.torque[i] = row.torque ?? Number.NaN;
    columns.unit[i] = torqueUnitCodes.indexOf(row.unit ?? 'N.m');
    columns.decimals[i] = row.decimals ?? 2;
    columns.angle[i] = row.angle ?? Number.NaN;
    columns.tool[i] = placeEntry(tools, row.tool ?? 'T-1', (tool) => tool.serial, unknownTool);
    columns.operator[i] =
      row.operator === null || row.operator === undefined
        ? -1
        : placeEntry(
            operators,
            row.operator,
            (one) => one.badge,
            (badge) => ({ badge, name: null, confirmed: false }),
          );
    columns.joint[i] =
      row.joint === null || row.joint === undefined
        ? -1
        : placeEntry(joints, row.joint, (joint) => joint.name, unknownJoint);
    columns.own[i] = row.own === 'good' ? 1 : row.own === 'bad' ? 2 : 0;
    columns.sequence[i] = row.sequence ?? Number.NaN;
    columns.source[i] = row.source ?? 1;
    columns.line[i] = row.line ?? i + 2;
    columns.fastener[i] = place(fasteners, row.fastener);
    columns.batch[i] = place(batches, row.batch);
    columns.batchPosition[i] = row.position ?? -1;
    columns.batchSize[i] = row.batchSize ?? -1;
    columns.inForce[i] = row.inForce === false ? 0 : 1;
  });
  const register: Register = { ...held, joints, tools, operators };
  const ids = [...new Set(rows.map((row) => row.source ?? 1))];
  const sources: SourceFile[] = ids.map((id, k) => ({
    id,
    name: `dump-${id}.csv`,
    sha256: String(id).padStart(64, '0'),
    bytes: 1000,
    withdrawn: false,
    takenInMs: k,
    newestFirst: false,
    ...options.sources?.[k],
  }));
  return assemble(columns, register, sources, { fasteners, batches }, options);
}

/** A plant of ready columns. */
export function assemble(
  readings: ReadingColumns,
  register: Register,
  sources: readonly SourceFile[],
  names: Plant['names'],
  options: TestPlant = {},
): Plant {
  return {
    readings,
    register,
    names,
    order: timeOrder(readings, register, sources),
    judged: judgeAll(readings, register),
    leftOut: options.leftOut ?? new Map(),
    notes: options.notes ?? new Map(),
    sources,
  };
}

function placeEntry<T>(list: T[], name: string, nameOf: (entry: T) => string, make: (name: string) => T): number {
  const at = list.findIndex((entry) => nameOf(entry) === name);
  return at >= 0 ? at : list.push(make(name)) - 1;
}

function timeOf(row: TestReading): { at: number; step: number } {
  if (row.at === null || row.at === undefined) return { at: Number.NaN, step: 0 };
  if (typeof row.at === 'number') return { at: row.at, step: row.atStep ?? 2 };
  const parsed = parseCivil(row.at);
  if (!parsed) throw new RangeError(`not a civil time: ${row.at}`);
  const seconds = /:\d\d:\d\d/.test(row.at);
  return { at: parsed.at, step: row.atStep ?? (!parsed.hasTime ? 4 : seconds ? 2 : 3) };
}

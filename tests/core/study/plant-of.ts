/** Small plants for the tests of the study: one joint, readings as rows. */
import { createHash } from 'node:crypto';
import { type StudyChoices, studyChoicesSchema } from '#core/contract/calls.ts';
import { judgeAll } from '#core/judging/judge.ts';
import { emptyColumns } from '#core/readings/columns.ts';
import type { LeftOut, Plant } from '#core/readings/plant.ts';
import { everything } from '#core/readings/scope.ts';
import { timeOrder } from '#core/readings/time-order.ts';
import type { Joint, LimitRevision, Register, Tool } from '#core/register/register.ts';
import type { StudyTools } from '#core/study/compute-study.ts';
import { type TorqueUnit, torqueUnitCodes } from '#core/units/torque-unit.ts';

export const tools: StudyTools = {
  sha256Hex: (text) => createHash('sha256').update(text, 'utf8').digest('hex'),
  programVersion: '0.0.0-test',
};

export interface Row {
  readonly value: number;
  readonly at?: number;
  readonly tool?: number;
  readonly operator?: number;
  readonly angle?: number;
  readonly unit?: TorqueUnit;
  readonly leftOut?: string;
}

/** 2 November 2026, 06:00 civil time, a minute after the start of the early shift. */
export const start = Date.UTC(2026, 10, 2, 6, 1);

const revision: LimitRevision = {
  label: 'A',
  from: 0,
  unit: 'N.m',
  low: 22,
  target: 24,
  high: 26,
  lowPercent: null,
  highPercent: null,
  angleLowDeg: null,
  angleTargetDeg: null,
  angleHighDeg: null,
  batchSize: null,
  retryWithinSeconds: null,
  by: null,
  why: null,
};

/** What a joint and a shift need not say here. */
const plainJoint = { station: null, note: null };
const everyDay = { weekdays: null, breaks: [] };

export const joint = (limits: Partial<LimitRevision> = {}, more: Partial<Joint> = {}): Joint => ({
  ...plainJoint,
  name: 'J1',
  class: 'B',
  direction: 'cw',
  stopsBy: 'torque',
  revisions: [{ ...revision, ...limits }],
  confirmed: true,
  ...more,
});

export const tool = (serial: string, more: Partial<Tool> = {}): Tool => ({
  serial,
  unit: 'N.m',
  min: 5,
  max: 60,
  permissibleDeviationPercent: 4,
  storageCapacity: null,
  calibratedOn: null,
  intervalMonths: 12,
  intervalCycles: null,
  checkEveryDays: null,
  lengthMm: null,
  status: 'in-use',
  events: [],
  adapters: [],
  confirmed: true,
  ...more,
});

/** A plant of one joint; rows a minute apart and of tool 0, operator 0 unless they say otherwise. */
export function plantOf(rows: readonly Row[], more: Partial<Register> = {}, decimals = 2): Plant {
  const register: Register = {
    joints: [joint()],
    tools: [tool('T-1'), tool('T-2')],
    operators: [
      { badge: '11', name: null, confirmed: true },
      { badge: '12', name: null, confirmed: true },
    ],
    shifts: [
      { ...everyDay, name: 'early', startMinute: 360, endMinute: 840 },
      { ...everyDay, name: 'late', startMinute: 840, endMinute: 1320 },
    ],
    checks: [],
    ...more,
  };
  const readings = emptyColumns(rows.length);
  const leftOut = new Map<number, LeftOut>();
  rows.forEach((row, i) => {
    readings.id[i] = i + 1;
    // 150 s apart: beyond the window in which a failed reading's next one counts as a second try.
    readings.at[i] = row.at ?? start + i * 150_000;
    readings.atStep[i] = Number.isNaN(readings.at[i]) ? 0 : 2;
    readings.torque[i] = row.value;
    readings.unit[i] = torqueUnitCodes.indexOf(row.unit ?? 'N.m');
    readings.decimals[i] = decimals;
    readings.tool[i] = row.tool ?? 0;
    readings.operator[i] = row.operator ?? 0;
    readings.joint[i] = 0;
    if (row.angle !== undefined) readings.angle[i] = row.angle;
    readings.source[i] = 1;
    readings.line[i] = i + 2;
    if (row.leftOut !== undefined)
      leftOut.set(i, { reason: row.leftOut, by: 'A. Solheim', decidedMs: 0, change: i + 1 });
  });
  const sources = [
    {
      id: 1,
      name: 'dump.csv',
      sha256: 'ab'.repeat(32),
      bytes: 1,
      withdrawn: false,
      takenInMs: 0,
      newestFirst: false,
    },
  ];
  return {
    readings,
    register,
    names: { fasteners: [], batches: [] },
    order: timeOrder(readings, register, sources),
    judged: judgeAll(readings, register),
    leftOut,
    notes: new Map(),
    sources,
  };
}

/** Choices with everything at its default. */
export function choices(more: Partial<StudyChoices> = {}): StudyChoices {
  return { ...studyChoicesSchema.parse({ joint: 'J1', scope: everything }), ...more };
}

/** No NaN, infinity or undefined anywhere in a value that crosses a border. */
export function strangeNumbers(value: unknown, path = ''): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [`${path} is ${value}`];
  if (value === undefined) return [`${path} is undefined`];
  if (value === null || typeof value !== 'object') return [];
  return Object.entries(value).flatMap(([key, inner]) => strangeNumbers(inner, `${path}.${key}`));
}

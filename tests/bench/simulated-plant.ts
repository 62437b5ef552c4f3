/**
 * An invented plant from a small physical model, for power and false-alarm rates of the drift analysis and its speed.
 *
 * A hand stops where the wrench shows the target, plus a habit and some luck of the shift. The fastener gets
 * applied = shown / (1 + D/100), D the deviation of the wrench, and turns by angle = (applied - snug) / K with snug
 * different on every fastener. The analysis knows none of this.
 */
import { judgeAll } from '#core/judging/judge.ts';
import { emptyColumns, type ReadingColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import { timeOrder } from '#core/readings/time-order.ts';
import type { Joint, Register, Tool } from '#core/register/register.ts';
import { civilTime, msPerDay, msPerHour } from '#core/time/civil-time.ts';

/** What is planted. `at` is the number of the tool's shift at which it begins. */
export type Planted =
  | { readonly kind: 'none' }
  /** The stop of one tool moves for everybody: people or stop signal. */
  | { readonly kind: 'stop'; readonly tool: number; readonly percent: number; readonly at: number }
  /** The deviation D of one tool moves; negative shows too little. */
  | { readonly kind: 'transducer'; readonly tool: number; readonly percent: number; readonly at: number }
  /** One operator stops elsewhere all the time. */
  | { readonly kind: 'operator'; readonly operator: number; readonly percent: number }
  /** Parts at one joint change for all tools: the snug torque moves by this share of the target. */
  | { readonly kind: 'joint'; readonly joint: number; readonly percent: number; readonly at: number };

export interface SimulatedDesign {
  readonly seed: number;
  readonly tools: number;
  readonly operators: number;
  readonly joints: number;
  readonly shifts: number;
  /** Readings of a tool in a shift. */
  readonly perShift: number;
  readonly planted: Planted;
  /** Each operator keeps to one tool: nothing can be told apart. */
  readonly tied?: boolean;
  readonly withAngle?: boolean;
}

export const firstDay = civilTime(2026, 9, 7) ?? 0;

/** Uniform and normal numbers from one integer. Method: mulberry32 (public domain) and Box-Muller. */
export function simulationRandom(seed: number): { uniform: () => number; normal: () => number } {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let z = state;
    z = Math.imul(z ^ (z >>> 15), z | 1);
    z ^= z + Math.imul(z ^ (z >>> 7), z | 61);
    return ((z ^ (z >>> 14)) >>> 0) / 4_294_967_296;
  };
  let spare: number | null = null;
  const normal = (): number => {
    if (spare !== null) {
      const value = spare;
      spare = null;
      return value;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const turn = 2 * Math.PI * uniform();
    spare = radius * Math.sin(turn);
    return radius * Math.cos(turn);
  };
  return { uniform, normal };
}

/** Spread of shown torque within a shift, between shifts, both % of target; snug torque in parts of the target. */
const withinPercent = 1.7;
const betweenPercent = 0.3;
const snugShare = 0.12;
const snugSpread = 0.045;

/** Two shifts a working day; a tool is out in each of them. */
export function simulatedPlant(design: SimulatedDesign): Plant {
  const { tools, operators, joints, shifts, perShift, planted } = design;
  const random = simulationRandom(design.seed);
  const targets = Array.from(
    { length: joints },
    (_, j) => [24, 40, 12, 60, 9, 32, 18, 50][j % 8]! * (1 + (j >> 3) / 50),
  );
  const stiffness = targets.map((target) => target / (58 + 8 * random.uniform()));
  const habit = Array.from({ length: operators }, () => 0.3 * random.normal());
  const readings = emptyColumns(tools * shifts * perShift);
  const columns: ReadingColumns = readings;
  let n = 0;
  for (let s = 0; s < shifts; s++) {
    const day = Math.floor(s / 2);
    const start = firstDay + (Math.floor(day / 5) * 7 + (day % 5)) * msPerDay + (s % 2 === 0 ? 6 : 14) * msPerHour;
    for (let tool = 0; tool < tools; tool++) {
      // Operators go round the tools; each tool serves two or three joints that it shares with others.
      const shiftOperators = design.tied
        ? [tool % operators]
        : [(tool + s + (s >> 2)) % operators, (tool * 3 + s * 2 + 1) % operators];
      const luck = betweenPercent * random.normal();
      for (let k = 0; k < perShift; k++) {
        const half = k < perShift / 2 ? 0 : 1;
        const operator = shiftOperators[half % shiftOperators.length]!;
        const joint = (tool + (k % 2)) % joints;
        const target = targets[joint]!;
        let stop = habit[operator]! + 0.8 + luck + withinPercent * random.normal();
        let deviation = 0;
        let snug = snugShare + snugSpread * random.normal();
        if (planted.kind === 'stop' && planted.tool === tool && s >= planted.at) stop += planted.percent;
        if (planted.kind === 'transducer' && planted.tool === tool && s >= planted.at) deviation = planted.percent;
        if (planted.kind === 'operator' && planted.operator === operator) stop += planted.percent;
        if (planted.kind === 'joint' && planted.joint === joint && s >= planted.at) snug += planted.percent / 100;
        const shown = target * (1 + stop / 100);
        const applied = shown / (1 + deviation / 100);
        columns.id[n] = n + 1;
        columns.at[n] = start + Math.floor(((k + random.uniform() * 0.5) / perShift) * 7.5 * msPerHour);
        columns.atStep[n] = 2;
        columns.torque[n] = Math.round(shown * 100) / 100;
        columns.decimals[n] = 2;
        if (design.withAngle !== false) {
          columns.angle[n] = Math.round(((applied - snug * target) / stiffness[joint]!) * 10) / 10;
        }
        columns.tool[n] = tool;
        columns.operator[n] = operator;
        columns.joint[n] = joint;
        columns.source[n] = 1;
        columns.line[n] = n + 2;
        n++;
      }
    }
  }
  return plantOf(readings, registerOf(targets, tools, operators));
}

function registerOf(targets: readonly number[], tools: number, operators: number): Register {
  return {
    joints: targets.map(
      (target, k): Joint => ({
        name: `Joint ${k + 1}`,
        class: null,
        direction: 'cw',
        stopsBy: 'torque',
        station: null,
        note: null,
        confirmed: true,
        revisions: [
          {
            label: 'A',
            from: 0,
            unit: 'N.m',
            low: target * 0.9,
            target,
            high: target * 1.1,
            lowPercent: null,
            highPercent: null,
            angleLowDeg: null,
            angleTargetDeg: null,
            angleHighDeg: null,
            batchSize: null,
            retryWithinSeconds: 1,
            by: null,
            why: null,
          },
        ],
      }),
    ),
    tools: Array.from({ length: tools }, (_, k) => simulatedTool(k)),
    operators: Array.from({ length: operators }, (_, k) => ({ badge: `${101 + k}`, name: null, confirmed: true })),
    shifts: [
      { name: 'Early', startMinute: 360, endMinute: 840, weekdays: null, breaks: [] },
      { name: 'Late', startMinute: 840, endMinute: 1320, weekdays: null, breaks: [] },
    ],
    checks: [],
  };
}

/** A tool in use, 4 % permitted, calibrated before the first day. */
export function simulatedTool(k: number): Tool {
  return {
    serial: `T-${String(k + 1).padStart(3, '0')}`,
    unit: 'N.m',
    min: 5,
    max: 100,
    permissibleDeviationPercent: 4,
    storageCapacity: null,
    calibratedOn: firstDay - 30 * msPerDay,
    intervalMonths: 12,
    intervalCycles: null,
    checkEveryDays: null,
    lengthMm: null,
    status: 'in-use',
    events: [],
    adapters: [],
    confirmed: true,
  };
}

/** A plant held in memory from columns and a register. */
export function plantOf(readings: ReadingColumns, register: Register): Plant {
  const sources = [
    { id: 1, name: 'simulated.csv', sha256: '0', bytes: 0, withdrawn: false, takenInMs: 0, newestFirst: false },
  ];
  return {
    readings,
    register,
    names: { fasteners: [], batches: [] },
    order: timeOrder(readings, register, sources),
    judged: judgeAll(readings, register),
    leftOut: new Map(),
    notes: new Map(),
    sources,
  };
}

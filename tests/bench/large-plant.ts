import { judgeAll } from '#core/judging/judge.ts';
import { emptyColumns } from '#core/readings/columns.ts';
import type { Plant, SourceFile } from '#core/readings/plant.ts';
import { timeOrder } from '#core/readings/time-order.ts';
import type { Register } from '#core/register/register.ts';
import { emptyRegister, mergeRegisterFile } from '#core/register/register-file.ts';
import { civilTime, msPerDay } from '#core/time/civil-time.ts';

export interface LargePlantSize {
  readonly readings: number;
  readonly tools?: number;
  readonly joints?: number;
  readonly operators?: number;
}

/** Uniform 0..1, small and repeatable; the benches need spread, not quality. Source: xorshift32, G. Marsaglia (2003). */
function uniforms(seed: number): () => number {
  let state = seed;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 4_294_967_296;
  };
}

/**
 * An invented plant of any size for the benches: three shifts a day, tools interleaved in time order, about 1.5 % of first
 * tries outside and tried again, batches of four by position, an angle on every reading.
 */
export function largePlant(size: LargePlantSize): Plant {
  const { readings: n, tools = 60, joints = 30, operators = 90 } = size;
  const random = uniforms(20_261_124);
  const register = largeRegister(tools, joints, operators);
  const columns = emptyColumns(n);
  const start = civilTime(2025, 1, 6, 6) ?? 0;
  const perDay = Math.max(2000, Math.ceil(n / 400));
  const step = msPerDay / perDay;
  const retry = new Uint8Array(tools);
  const jointOf = Int32Array.from({ length: tools }, (_, t) => t % joints);
  const position = new Int32Array(tools);
  for (let i = 0; i < n; i++) {
    const t = Math.floor(random() * tools);
    const again = retry[t] === 1;
    if (!again) {
      position[t] = (position[t]! % 4) + 1;
      if (position[t] === 1) jointOf[t] = (jointOf[t]! + (random() < 0.5 ? tools : 0)) % joints;
    }
    const j = jointOf[t]!;
    const target = 20 + j;
    const spread = random() + random() + random() - 1.5;
    const outside = !again && random() < 0.015;
    columns.id[i] = i + 1;
    columns.at[i] = start + Math.floor((i * step) / 1000) * 1000;
    columns.atStep[i] = 2;
    columns.torque[i] = Math.round(target * (1 + (outside ? 0.12 * Math.sign(spread) : 0.03 * spread)) * 100) / 100;
    columns.decimals[i] = 2;
    columns.angle[i] = Math.round(50 + 15 * (random() + random() - 1));
    columns.tool[i] = t;
    columns.operator[i] =
      Math.floor(((i * step) / (msPerDay / 3)) % 3) * (operators / 3) + Math.floor((t / tools) * (operators / 3));
    columns.joint[i] = j;
    columns.own[i] = outside ? 2 : 1;
    columns.source[i] = 1 + Math.floor(i / 20_000);
    columns.line[i] = 2 + (i % 20_000);
    columns.batchPosition[i] = position[t]!;
    retry[t] = outside ? 1 : 0;
  }
  const sources: SourceFile[] = Array.from({ length: Math.ceil(n / 20_000) }, (_, k) => ({
    id: k + 1,
    name: `dump-${k + 1}.csv`,
    sha256: '0'.repeat(64),
    bytes: 1,
    withdrawn: false,
    takenInMs: k,
    newestFirst: false,
  }));
  return {
    readings: columns,
    register,
    names: { fasteners: [], batches: [] },
    order: timeOrder(columns, register, sources),
    judged: judgeAll(columns, register),
    leftOut: new Map(),
    notes: new Map(),
    sources,
  };
}

function largeRegister(tools: number, joints: number, operators: number): Register {
  const { register, problems } = mergeRegisterFile(emptyRegister, {
    joints: Array.from({ length: joints }, (_, j) => ({
      name: `Joint ${j + 1}`,
      class: 'B',
      limits: [
        {
          from: '2024-01-01',
          unit: 'N.m',
          target: 20 + j,
          lowPercent: -10,
          highPercent: 10,
          angleLow: 20,
          angleHigh: 80,
          batchSize: 4,
        },
        {
          from: '2025-06-01',
          unit: 'N.m',
          target: 20 + j,
          lowPercent: -8,
          highPercent: 8,
          angleLow: 30,
          angleHigh: 80,
          batchSize: 4,
        },
      ],
    })),
    tools: Array.from({ length: tools }, (_, t) => ({
      serial: `T-${String(t + 1).padStart(3, '0')}`,
      unit: 'N.m',
      min: 5,
      max: 100,
      permissibleDeviationPercent: 4,
      storageCapacity: 1000,
      calibratedOn: '2025-01-02',
      intervalMonths: 12,
    })),
    operators: Array.from({ length: operators }, (_, o) => ({ badge: String(100 + o), name: `Operator ${o + 1}` })),
    shifts: [
      { name: 'Early', start: '06:00', end: '14:00' },
      { name: 'Late', start: '14:00', end: '22:00' },
      { name: 'Night', start: '22:00', end: '06:00' },
    ],
  });
  if (problems.length > 0) throw new Error(JSON.stringify(problems));
  return register;
}

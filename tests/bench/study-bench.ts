/**
 * Times the parts of a study at 1,000,000 readings against plain passes in the same run.
 *
 * - **One plain pass** is one loop over the columns that a study needs, as they lie in memory: it reads for every
 *   reading, in time order, whether it is in force, its joint, tool, time and precision, value, decimals, verdict's
 *   revision and reason, first-try mark, file and line, and adds them up. Every part that is O(n) must stay under five.
 * - Beside it stands the ratio to a pass over the values alone, the least that a statistic can do.
 * - The fingerprint is O(n) too, but of text, not of numbers: it is measured against one plain loop over the bytes it
 *   must hash.
 * - What is not O(n) is printed apart, with its bound.
 *
 * Times are of this thread's processor, the least of some runs, each turn about with the pass.
 *
 * Run: node tests/bench/study-bench.ts [--rows N]
 */
import { createHash } from 'node:crypto';
import { parseArgs } from 'node:util';
import { studyChoicesSchema } from '#core/contract/calls.ts';
import { judgeAll } from '#core/judging/judge.ts';
import { emptyColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import { everything } from '#core/readings/scope.ts';
import { timeOrder } from '#core/readings/time-order.ts';
import type { Register } from '#core/register/register.ts';
import { fastenerChains } from '#core/review/chains.ts';
import { andersonDarlingNormal } from '#core/stats/anderson-darling.ts';
import { ascendingValues, countedValues } from '#core/stats/ascending-values.ts';
import { fitModel } from '#core/stats/fit-model.ts';
import { mersenneTwister } from '#core/stats/mersenne-twister.ts';
import { normalQuantile } from '#core/stats/normal-distribution.ts';
import { generalisedEsd } from '#core/stats/outlier-tests.ts';
import { mostForBootstrap, parametricBootstrap } from '#core/stats/parametric-bootstrap.ts';
import { sampleMoments } from '#core/stats/sample-moments.ts';
import { shapiroWilk } from '#core/stats/shapiro-wilk.ts';
import { formSubgroups, groupFigures } from '#core/stats/subgroups.ts';
import { movingRanges, withinSigmaOfGroups, withinSigmaOfRanges } from '#core/stats/within-sigma.ts';
import { countOutside } from '#core/study/compute-study.ts';
import { fingerprintParts } from '#core/study/fingerprint.ts';
import { studyModel, studyModelSteps } from '#core/study/study-model.ts';
import { studyReadings } from '#core/study/study-readings.ts';
import { usedOrigin } from '#core/study/used-origin.ts';

const { values: options } = parseArgs({ options: { rows: { type: 'string', default: '1000000' } } });
const n = Number(options.rows);
if (!(n >= 1000)) throw new Error(`--rows ${options.rows}: a study worth timing has 1000 readings or more`);

function plantOf(count: number): Plant {
  const readings = emptyColumns(count);
  const uniform = mersenneTwister(20261102);
  // A table of normals instead of a million quantiles: the bench is of the study, not of its data.
  const table = Float64Array.from({ length: 4096 }, (_, i) => normalQuantile((i + 0.5) / 4096));
  for (let i = 0; i < count; i++) {
    readings.id[i] = i + 1;
    readings.at[i] = Date.UTC(2020, 0, 1, 6) + i * 180_000;
    readings.atStep[i] = 2;
    readings.torque[i] = Math.round((24 + 0.45 * table[Math.floor(uniform.next() * 4096)]!) * 100) / 100;
    readings.decimals[i] = 2;
    readings.tool[i] = i % 7 === 0 ? 1 : 0;
    readings.operator[i] = i % 3;
    readings.joint[i] = 0;
    readings.source[i] = 1;
    readings.line[i] = i + 2;
  }
  const tool = (serial: string): Register['tools'][number] => ({
    serial,
    unit: 'N.m',
    min: 5,
    max: 60,
    permissibleDeviationPercent: 4,
    storageCapacity: null,
    calibratedOn: null,
    intervalMonths: null,
    intervalCycles: null,
    checkEveryDays: null,
    lengthMm: null,
    status: 'in-use',
    events: [],
    adapters: [],
    confirmed: true,
  });
  const plainJoint = { station: null, note: null };
  const everyDay = { weekdays: null, breaks: [] };
  const register: Register = {
    joints: [
      {
        ...plainJoint,
        name: 'J1',
        class: 'B',
        direction: 'cw',
        stopsBy: 'torque',
        confirmed: true,
        revisions: [
          {
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
          },
        ],
      },
    ],
    tools: [tool('T-1'), tool('T-2')],
    operators: ['11', '12', '13'].map((badge) => ({ badge, name: null, confirmed: true })),
    shifts: [
      { ...everyDay, name: 'early', startMinute: 360, endMinute: 840 },
      { ...everyDay, name: 'late', startMinute: 840, endMinute: 1320 },
      { ...everyDay, name: 'night', startMinute: 1320, endMinute: 360 },
    ],
    checks: [],
  };
  const sources = [
    { id: 1, name: 'bench.csv', sha256: 'ab'.repeat(32), bytes: 1, withdrawn: false, takenInMs: 0, newestFirst: false },
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

/** CPU time of this thread, ms: other work on the machine does not count. */
function cpuMs(): number {
  const { user, system } = process.threadCpuUsage();
  return (user + system) / 1000;
}

/** Least of some measurements, ms of CPU a run; each repeats until the clock, which ticks in ms, can tell. */
function time(run: () => unknown, measurements = 3): number {
  let best = Number.POSITIVE_INFINITY;
  for (let k = 0; k < measurements; k++) {
    let runs = 0;
    let spent = 0;
    for (const from = cpuMs(); spent < 40; spent = cpuMs() - from) {
      run();
      runs++;
    }
    best = Math.min(best, spent / runs);
  }
  return best;
}

const plant = plantOf(n);
const choices = studyChoicesSchema.parse({ joint: 'J1', scope: everything });
const readings = studyReadings(plant, choices);
if (!readings) throw new Error('no readings');
const { positions, values, strata, runOf } = readings;
let sink = 0;

/** Every column that a study needs, read once a reading in time order. */
function plainPass(plant: Plant, firstTry: Uint8Array): number {
  const { order, readings: r, judged: j } = plant;
  const { inForce, joint, tool, at, atStep, decimals, source, line } = r;
  const { torque, revision, unjudgedBecause } = j;
  let sum = 0;
  let whole = 0;
  for (let k = 0; k < order.length; k++) {
    const i = order[k]!;
    sum += torque[i]! + at[i]!;
    whole += inForce[i]! + joint[i]! + tool[i]! + atStep[i]! + decimals[i]! + source[i]! + line[i]!;
    whole += revision[i]! + unjudgedBecause[i]! + firstTry[i]!;
  }
  return sum + whole;
}

function valuesPass(values: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < values.length; k++) sum += values[k]!;
  return sum;
}

/** Adds up the bytes of `megabytes`, a part of memory again and again, as a hash is given them. */
function bytesPass(bytes: Uint8Array, length: number): number {
  let sum = 0;
  for (let from = 0; from < length; from += bytes.length) {
    const to = Math.min(bytes.length, length - from);
    for (let k = 0; k < to; k++) sum += bytes[k]!;
  }
  return sum;
}

const { first: firstTry } = fastenerChains(plant);
const onePass = (): void => {
  sink += plainPass(plant, firstTry) % 7;
};
let plain = time(onePass);
const narrow = time(() => {
  sink += valuesPass(values) % 7;
});
const print = (name: string, ms: number, note = ''): void => {
  console.log(
    `${name.padEnd(44)} ${ms.toFixed(1).padStart(8)} ms ${(ms / plain).toFixed(1).padStart(7)} x ${(ms / narrow).toFixed(1).padStart(8)} x values  ${note}`,
  );
};
console.log(`study of ${n} readings`);
print('one plain pass over the columns of a study', plain);
print('one pass over the values alone', narrow);
console.log('O(n):');
const limits = { low: 22, target: 24, high: 26 };
const { groupOf, count } = formSubgroups(strata, 5);
const figures = groupFigures(values, groupOf, count);
const moving = movingRanges(values, runOf);
const linear: [string, () => unknown][] = [
  ['mean and standard deviation (two passes)', () => sampleMoments(values)],
  ['forming groups', () => formSubgroups(strata, 5)],
  ['figures of groups', () => groupFigures(values, groupOf, count)],
  ['sigma within groups', () => withinSigmaOfGroups(figures, 'pooled')],
  ['moving ranges', () => movingRanges(values, runOf)],
  ['sigma from moving ranges', () => withinSigmaOfRanges(moving, 'mr-bar')],
  ['readings outside', () => countOutside(values, limits)],
];
const sorted = ascendingValues(values, 2);
const counted = countedValues(sorted);
const orderOf = Int32Array.from({ length: n }, (_, k) => k);
linear.push(
  ['choosing readings, strata, runs, phases', () => studyReadings(plant, choices)],
  ['tools, operators, files, span of time', () => usedOrigin(plant, readings, orderOf)],
  ['ascending order of decimals', () => ascendingValues(values, 2)],
  ['Anderson-Darling (counted values)', () => andersonDarlingNormal(sorted)],
);
let worst = 0;
/** Least ratio of some runs, each turn about with the plain pass, so that other work on the machine slows both. */
function ratioOf(run: () => unknown, runs = 5): { ms: number; ratio: number } {
  let ms = Number.POSITIVE_INFINITY;
  plain = Number.POSITIVE_INFINITY;
  for (let k = 0; k < runs; k++) {
    plain = Math.min(plain, time(onePass, 1));
    ms = Math.min(ms, time(run, 1));
  }
  return { ms, ratio: ms / plain };
}
for (const [name, run] of linear) {
  const { ms, ratio } = ratioOf(run);
  worst = Math.max(worst, ratio);
  print(name, ms);
}
console.log('O(n) of text, or O(n log n), or of distinct values:');
print(
  'sorting, where values are no decimals',
  time(() => Float64Array.from(values).sort(), 3),
  'O(n log n)',
);
for (const name of ['lognormal', 'weibull', 'gamma'] as const) {
  print(
    `fit ${name}`,
    time(() => counted && fitModel(name, counted.values, 0.01, counted.weights), 2),
    'O(distinct values) a step of Newton',
  );
}
let hashed = 0;
const fingerprint = (): void => {
  const hash = createHash('sha256');
  const { used, ownValues, decimals } = readings;
  hashed = 0;
  for (const part of fingerprintParts(plant, { positions, used, values: ownValues }, decimals, {
    joint: 'J1',
    of: 'torque',
    attempts: 'first',
    within: 'pooled',
    subgroup: 5,
    model: 'normal',
    limits,
    requirement: null,
  })) {
    hash.update(part);
    hashed += part.length;
  }
  sink += hash.digest()[0]!;
};
fingerprint();
{
  const bytes = new Uint8Array(1 << 18).fill(48);
  let passMs = Number.POSITIVE_INFINITY;
  let ms = Number.POSITIVE_INFINITY;
  for (let k = 0; k < 5; k++) {
    passMs = Math.min(
      passMs,
      time(() => {
        sink += bytesPass(bytes, hashed) % 7;
      }, 1),
    );
    ms = Math.min(ms, time(fingerprint, 1));
  }
  const ratio = ms / passMs;
  worst = Math.max(worst, ratio);
  print(
    'fingerprint, part by part',
    ms,
    `${ratio.toFixed(1)} x one plain loop over its ${(hashed / 1e6).toFixed(0)} MB of text (${passMs.toFixed(0)} ms)`,
  );
}
console.log('not O(n), and bounded:');
const few = values.slice(0, 5000);
print(
  'Shapiro-Wilk at its most, 5000',
  time(() => shapiroWilk(few.slice().sort()), 3),
  'left out above',
);
print(
  'outlier tests at their most, 5000',
  time(() => generalisedEsd(few, 10), 3),
  'O(10 n), left out above',
);
for (const [name, most] of Object.entries(mostForBootstrap)) {
  const model = fitModel(name as keyof typeof mostForBootstrap, values.slice(0, Math.max(most, 2731)), 0.01);
  if (!model) {
    console.log(`bootstrap of ${name}: does not fit these readings`);
    continue;
  }
  const from = cpuMs();
  parametricBootstrap(model, most, limits, 40, 1, 0.01);
  const ms = (cpuMs() - from) * (1999 / 40);
  print(
    `bootstrap of ${name} at its most, ${most}`,
    ms,
    'from 40 of 1999 replicates; left out above, cancelled at once',
  );
}
const tools = {
  sha256Hex: (text: string) => createHash('sha256').update(text, 'utf8').digest('hex'),
  startSha256: () => {
    const hash = createHash('sha256');
    return { update: (part: Uint8Array | string) => void hash.update(part), hex: () => hash.digest('hex') };
  },
  programVersion: 'bench',
};
console.log('all of it, in steps:');
let longest = 0;
const whole = cpuMs();
for (let last = whole, steps = studyModelSteps(plant, choices, tools); !steps.next().done; ) {
  const now = cpuMs();
  longest = Math.max(longest, now - last);
  last = now;
}
print('whole study model, first time', cpuMs() - whole);
print('longest step of it: the engine is held so long', longest);
const again = cpuMs();
studyModel(plant, choices, tools);
print('whole study model, again', cpuMs() - again);
console.log(
  worst < 5
    ? `every part that is O(n) is under 5 plain passes: the most is ${worst.toFixed(1)} (${Number.isFinite(sink) ? 'summed' : 'void'})`
    : `a part that is O(n) takes ${worst.toFixed(1)} plain passes`,
);
process.exitCode = worst < 5 ? 0 : 1;

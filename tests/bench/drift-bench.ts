/**
 * `node tests/bench/drift-bench.ts [--rows N]`: the ranked list of the drift screen on N readings of 200 tools, after the
 * readings are in memory, and again for other scopes.
 *
 * Printed: clock, processor time of this thread (on a busy machine only that tells what the work costs), the ratio of the
 * latter to one plain loop over three columns, and the longest stretch (clock) in which no other question is answered.
 */
import { parseArgs } from 'node:util';
import { driftModelSteps } from '#core/drift/drift-model.ts';
import { driftToolSteps } from '#core/drift/drift-tool-model.ts';
import { everything } from '#core/readings/scope.ts';
import { fastenerChains } from '#core/review/chains.ts';
import type { Steps } from '#core/steps.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { firstDay, simulatedPlant } from './simulated-plant.ts';

const { values } = parseArgs({
  args: process.argv.slice(2),
  options: { rows: { type: 'string', default: '1000000' } },
});
const rows = Number(values.rows);
const tools = 200;
const shifts = 100;
const perShift = Math.max(4, Math.round(rows / tools / shifts));

let plainLoop = 0;
function timed<T>(what: string, steps: Steps<T>, bound: number | null = null): T {
  const start = performance.now();
  const used = process.threadCpuUsage();
  let longest = 0;
  for (;;) {
    const from = performance.now();
    const next = steps.next();
    longest = Math.max(longest, performance.now() - from);
    if (!next.done) continue;
    const { user, system } = process.threadCpuUsage(used);
    const cpu = (user + system) / 1000;
    if (plainLoop === 0) plainLoop = cpu;
    const verdict = bound === null ? '' : cpu < bound ? `   under ${bound} ms` : `   OVER ${bound} ms`;
    const column = (value: number): string => value.toFixed(0).padStart(6);
    console.log(
      `${what.padEnd(44)} ${column(performance.now() - start)} ms  ${column(cpu)} ms of processor  ${column(cpu / plainLoop)} loops  ${column(longest)} ms at a stretch${verdict}`,
    );
    return next.value;
  }
}
// biome-ignore lint/correctness/useYield: work in one step
function* atOnce<T>(run: () => T): Steps<T> {
  return run();
}

const plant = simulatedPlant({
  seed: 1,
  tools,
  operators: 80,
  joints: 40,
  shifts,
  perShift,
  planted: { kind: 'transducer', tool: 7, percent: -2.5, at: 50 },
});
const now = firstDay + 100 * msPerDay;
console.log(`${plant.readings.length} readings, ${tools} tools, ${shifts} shifts`);
const loop = (): number => {
  let sum = 0;
  const { torque, angle, tool } = plant.readings;
  for (let i = 0; i < plant.readings.length; i++) if (tool[i]! >= 0) sum += torque[i]! + angle[i]!;
  return sum;
};
loop();
loop();
timed('one plain loop over three columns', atOnce(loop));
// Tries belong to loading: Review needs them first.
timed(
  'tries at each fastener (shared with Review)',
  atOnce(() => fastenerChains(plant)),
);
const model = timed('ranked list, first time after load', driftModelSteps(plant, everything, now), 2000);
console.log(`   first in the list: ${model.tools[0]?.tool} (${model.tools[0]?.kind})`);
timed('one tool in detail, same scope', driftToolSteps(plant, everything, now, model.tools[0]?.tool ?? ''), 300);
const scopes = {
  'scope change: later half of the period': { ...everything, from: firstDay + 30 * msPerDay },
  'scope change: last six weeks': { ...everything, from: firstDay + 28 * msPerDay },
  'scope change: one shift name': { ...everything, shifts: ['Early'] },
  'scope change: ten joints': { ...everything, joints: plant.register.joints.slice(0, 10).map((j) => j.name) },
  'scope change: one joint': { ...everything, joints: ['Joint 3'] },
  'scope change: twenty tools': { ...everything, tools: plant.register.tools.slice(0, 20).map((t) => t.serial) },
};
for (const [what, scope] of Object.entries(scopes)) timed(what, driftModelSteps(plant, scope, now), 300);

/**
 * `node tests/bench/drift-bench.ts [--rows N]`: the ranked list of the drift screen on N readings of 200 tools, after the
 * readings are in memory, and again for other scopes; with one plain loop over the same columns for comparison.
 */
import { parseArgs } from 'node:util';
import { driftModel } from '#core/drift/drift-model.ts';
import { driftToolModel } from '#core/drift/drift-tool-model.ts';
import { everything } from '#core/readings/scope.ts';
import { fastenerChains } from '#core/review/chains.ts';
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

const timed = <T>(what: string, run: () => T): T => {
  const start = performance.now();
  const used = process.cpuUsage();
  const result = run();
  const { user } = process.cpuUsage(used);
  const wall = (performance.now() - start).toFixed(0).padStart(6);
  // Processor time beside the clock: on a busy machine only the first tells what the work costs.
  console.log(`${what.padEnd(50)} ${wall} ms   (${(user / 1000).toFixed(0)} ms of processor)`);
  return result;
};

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
timed('one plain loop over three columns', loop);
// Chains belong to loading: Review needs them first.
timed('tries at each fastener (shared with Review)', () => fastenerChains(plant));
const model = timed('ranked list, first time after load', () => driftModel(plant, everything, now));
console.log(`   first in the list: ${model.tools[0]?.tool} (${model.tools[0]?.kind})`);
timed('one tool in detail, same scope', () => driftToolModel(plant, everything, now, model.tools[0]?.tool ?? ''));
const scopes = {
  'scope change: later half of the period': { ...everything, from: firstDay + 30 * msPerDay },
  'scope change: last six weeks': { ...everything, from: firstDay + 28 * msPerDay },
  'scope change: one shift name': { ...everything, shifts: ['Early'] },
  'scope change: ten joints': { ...everything, joints: plant.register.joints.slice(0, 10).map((j) => j.name) },
  'scope change: one joint': { ...everything, joints: ['Joint 3'] },
  'scope change: twenty tools': { ...everything, tools: plant.register.tools.slice(0, 20).map((t) => t.serial) },
};
for (const [what, scope] of Object.entries(scopes)) timed(what, () => driftModel(plant, scope, now));

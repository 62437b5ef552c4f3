/**
 * Times filter -> figure data of each screen against one plain loop over the same columns.
 *
 * `node tests/bench/question-bench.ts --rows N`, 1,000,000 by default. Every question is asked with a filter the plant
 * has not seen, so nothing kept from the question before helps; what is made once after loading (order, verdicts, chains,
 * batches) is timed apart.
 */
import { parseArgs } from 'node:util';
import { judgeAll } from '#core/judging/judge.ts';
import type { Plant } from '#core/readings/plant.ts';
import { readingsPage } from '#core/readings/readings-page.ts';
import { everything, type Scope } from '#core/readings/scope.ts';
import { selectReadings } from '#core/readings/select-readings.ts';
import { timeOrder } from '#core/readings/time-order.ts';
import { editPreview, jointModel, registerModel, toolModel } from '#core/register/register-model.ts';
import { batchesOf } from '#core/review/batches.ts';
import { fastenerChains } from '#core/review/chains.ts';
import { collectionModel } from '#core/review/collection.ts';
import { reviewAnswer } from '#core/review/review-answer.ts';
import { reviewModel } from '#core/review/review-model.ts';
import { secondPulls } from '#core/review/second-pulls.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { largePlant } from './large-plant.ts';

const { values } = parseArgs({ options: { rows: { type: 'string', default: '1000000' } } });
const n = Number(values.rows);

interface Taken {
  readonly first: number;
  readonly median: number;
  /** The run that was disturbed least: on a busy machine the one to compare by. */
  readonly best: number;
}

/** Times some runs, ms. */
function time(runs: number, work: (run: number) => unknown): Taken {
  const taken: number[] = [];
  for (let run = 0; run < runs; run++) {
    const start = performance.now();
    work(run);
    taken.push(performance.now() - start);
  }
  const first = taken[0] ?? 0;
  taken.sort((a, b) => a - b);
  return { first, median: taken[taken.length >> 1] ?? 0, best: taken[0] ?? 0 };
}

function plainLoop(plant: Plant): number {
  const { readings, judged, order } = plant;
  let sum = 0;
  for (let k = 0; k < order.length; k++) {
    const i = order[k]!;
    if (readings.inForce[i] !== 1 || readings.tool[i] === 3) continue;
    sum += judged.verdict[i]! + readings.at[i]! * 1e-15;
    if (!Number.isNaN(judged.torquePlace[i]!)) sum += judged.torquePlace[i]!;
    if (!Number.isNaN(judged.anglePlace[i]!)) sum += judged.anglePlace[i]!;
  }
  return sum;
}

const plant = largePlant({ readings: n });
const { register } = plant;
const last = plant.readings.at[plant.order[n - 1]!]!;
const loop = time(21, () => plainLoop(plant));
console.log(
  `${n} readings; one plain loop over the columns best ${loop.best.toFixed(1)} ms, median ${loop.median.toFixed(1)} ms`,
);

const print = (name: string, result: Taken): void => {
  console.log(
    `${name.padEnd(44)} best ${result.best.toFixed(1).padStart(7)} ms = ${(result.best / loop.best)
      .toFixed(1)
      .padStart(5)} x loop  (median ${result.median.toFixed(0)} ms, first ${result.first.toFixed(0)} ms)`,
  );
};

/** The same plant with verdicts that nothing is kept by. */
const fresh = (): Plant => ({ ...plant, judged: { ...plant.judged } });

console.log('once after loading');
print(
  'time order',
  time(3, () => timeOrder(plant.readings, register, plant.sources)),
);
print(
  'judge all',
  time(7, () => judgeAll(plant.readings, register)),
);
print(
  'tries at each fastener',
  time(3, () => fastenerChains(fresh())),
);
print(
  'batches (with tries)',
  time(3, () => batchesOf(fresh())),
);
print(
  'second pulls',
  time(3, () => secondPulls(fresh())),
);

/** A new scope every run, about as large as asked. */
const without = (run: number): Scope => ({
  ...everything,
  from: run - 1000,
  tools: register.tools.slice(0, -1).map((t) => t.serial),
});
const shift = (run: number): Scope => ({ ...everything, from: last - 8 * 3_600_000 - run, to: last - run });
const oneTool = (run: number): Scope => ({
  ...everything,
  from: run - 1000,
  tools: [register.tools[run % 10]!.serial],
});

console.log('filter -> figure data');
print(
  'selection, all but one tool',
  time(7, (run) => selectReadings(plant, without(run + 100))),
);
print(
  'review, all but one tool',
  time(7, (run) => reviewModel(plant, without(run), null)),
);
print(
  'review, one tool',
  time(7, (run) => reviewModel(plant, oneTool(run), null)),
);
print(
  'review, one shift',
  time(7, (run) => reviewModel(plant, shift(run), null)),
);
print(
  'review answer (JSON), one shift',
  time(5, (run) => reviewAnswer(plant, shift(run + 50), 'N.m')),
);
const page = (run: number, filters: Parameters<typeof readingsPage>[1]['filters']) =>
  readingsPage(plant, {
    scope: without(run + 300),
    filters,
    sort: [],
    offset: 0,
    limit: 200,
    withPictures: true,
  });
print(
  'readings page with pictures, no filter',
  time(7, (run) => page(run, [])),
);
print(
  'readings page with pictures, two filters',
  time(7, (run) =>
    page(run + 20, [
      { column: 'torquePlace', from: -1, to: -0.5 },
      { column: 'verdict', anyOf: ['pass'] },
    ]),
  ),
);
print(
  'readings page sorted by torque',
  time(5, (run) =>
    readingsPage(plant, {
      scope: without(run + 600),
      filters: [],
      sort: [{ column: 'torque', descending: true }],
      offset: 0,
      limit: 200,
      withPictures: false,
    }),
  ),
);
print(
  'register lists',
  time(3, () => registerModel(plant)),
);
print(
  'register, one joint',
  time(5, (run) => jointModel(plant, register.joints[run]!.name)),
);
print(
  'register, one tool',
  time(5, (run) => toolModel(plant, register.tools[run]!.serial, last + msPerDay)),
);
print(
  'preview of a new revision',
  time(3, () =>
    editPreview(plant, {
      joints: [{ name: 'Joint 5', limits: [{ from: '2025-03-01', unit: 'N.m', low: 22, high: 26 }] }],
    }),
  ),
);
print(
  'collection list',
  time(3, () => collectionModel({ ...plant }, last + msPerDay)),
);

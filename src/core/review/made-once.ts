import type { Plant } from '../readings/plant.ts';
import { batchesOf } from './batches.ts';
import { fastenerChains } from './chains.ts';
import { memoryEstimates, readingsSince } from './memory-estimate.ts';
import { readingFlags } from './reading-flags.ts';

/**
 * What Review, Readings and the collection list make once a plant, as steps in the order in which they build on each
 * other: whoever holds a new plant can take them before the first question does. Each is O(n).
 */
export const madeOnceAPlant: readonly ((plant: Plant) => unknown)[] = [
  fastenerChains,
  readingFlags,
  batchesOf,
  (plant) => readingsSince(plant, 0, Number.POSITIVE_INFINITY),
  (plant) => memoryEstimates(plant, 0),
];

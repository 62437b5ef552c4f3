import { expect, it } from 'vitest';
import { onceAPlant } from '#core/readings/once-a-plant.ts';
import type { Plant } from '#core/readings/plant.ts';
import { plantOf } from '../support/plant-of.ts';

const rows = [0, 1, 2].map((k) => ({ at: 1000 * k, tool: 'T-1', joint: 'J', torque: 3 }));

it('computes once a plant, and not again when a note alone makes a new one', () => {
  let built = 0;
  const count = onceAPlant(() => ++built);
  const plant = plantOf(rows);
  expect([count(plant), count(plant)]).toEqual([1, 1]);
  const noted: Plant = {
    ...plant,
    readings: { ...plant.readings, inForce: plant.readings.inForce.slice() },
    notes: new Map([[0, []]]),
  };
  expect(count(noted)).toBe(1);
});

it('computes again when a mark takes a reading out of force or moves it to another tool', () => {
  let built = 0;
  const count = onceAPlant(() => ++built);
  const plant = plantOf(rows);
  count(plant);
  const inForce = plant.readings.inForce.slice();
  inForce[1] = 0;
  expect(count({ ...plant, readings: { ...plant.readings, inForce } })).toBe(2);
  const tool = plant.readings.tool.slice();
  tool[1] = -1;
  expect(count({ ...plant, readings: { ...plant.readings, tool } })).toBe(3);
});

import { describe, expect, it } from 'vitest';
import { judgeAll } from '#core/judging/judge.ts';
import { emptyColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import { plantByBadge } from '#core/readings/plant-by-badge.ts';

const readings = emptyColumns(0);
const register = {
  joints: [],
  tools: [],
  operators: [{ badge: '139', name: 'R. Banerjee', confirmed: true }],
  shifts: [],
  checks: [],
};
const plant: Plant = {
  readings,
  register,
  names: { fasteners: [], batches: [] },
  order: new Uint32Array(0),
  judged: judgeAll(readings, register),
  leftOut: new Map(),
  notes: new Map(),
  sources: [],
};

describe('plantByBadge', () => {
  it('leaves out the names and nothing else', () => {
    const shown = plantByBadge(plant);
    expect(shown.register.operators).toEqual([{ badge: '139', name: null, confirmed: true }]);
    expect(shown.readings).toBe(plant.readings);
    expect(shown.judged).toBe(plant.judged);
    expect(plant.register.operators[0]?.name).toBe('R. Banerjee');
  });

  it('gives the same plant each time, so that cached results are found again', () => {
    expect(plantByBadge(plant)).toBe(plantByBadge(plant));
  });
});

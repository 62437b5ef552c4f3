import { describe, expect, it } from 'vitest';
import { judgeAll } from '#core/judging/judge.ts';
import { anonymousPlant, scopeForPlant } from '#core/readings/anonymous-plant.ts';
import { emptyColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import { everything } from '#core/readings/scope.ts';

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

describe('anonymousPlant', () => {
  it('puts numbers in place of badges and names, and nothing else', () => {
    const shown = anonymousPlant(plant);
    expect(shown.register.operators).toEqual([{ badge: 'Operator 1', name: null, confirmed: true }]);
    expect(shown.readings).toBe(plant.readings);
    expect(shown.judged).toBe(plant.judged);
    expect(plant.register.operators[0]?.name).toBe('R. Banerjee');
  });

  it('gives the same plant each time, so that cached results are found again', () => {
    expect(anonymousPlant(plant)).toBe(anonymousPlant(plant));
  });

  it('finds the operators of a scope whichever way they were chosen', () => {
    const scope = { ...everything, operators: ['139', 'somebody else'] };
    const labelled = scopeForPlant(scope, plant.register, true);
    expect(labelled.operators).toEqual(['Operator 1', 'somebody else']);
    expect(scopeForPlant(labelled, plant.register, false)).toEqual(scope);
    expect(scopeForPlant(labelled, plant.register, true)).toEqual(labelled);
  });
});

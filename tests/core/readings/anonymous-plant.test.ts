import { describe, expect, it } from 'vitest';
import { anonymousPlant, filtersForPlant, operatorsForPlant, scopeForPlant } from '#core/readings/anonymous-plant.ts';
import { operatorNumbers } from '#core/readings/operator-numbers.ts';
import { everything } from '#core/readings/scope.ts';
import { plantOf } from '../support/plant-of.ts';

const plant = plantOf(
  [
    { at: '2026-11-03T06:00:00', torque: 24, tool: 'T-1', joint: 'Stem', operator: '139' },
    { at: '2026-11-03T06:01:00', torque: 24, tool: 'T-1', joint: 'Stem', operator: '9' },
    { at: '2026-11-03T06:02:00', torque: 24, tool: 'T-1', joint: 'Stem' },
  ],
  {
    register: {
      operators: [
        { badge: '139', name: 'R. Banerjee' },
        { badge: '9', name: 'K. Osei' },
      ],
      joints: [
        {
          name: 'Stem',
          limits: [{ from: '2026-01-01', unit: 'N.m', low: 20, high: 30, by: 'K. Osei', why: 'asked by Banerjee' }],
        },
      ],
      tools: [
        {
          serial: 'T-1',
          unit: 'N.m',
          min: 10,
          max: 60,
          events: [{ at: '2026-01-02', kind: 'repair', note: 'sent by Osei' }],
        },
      ],
    },
    sources: [{ id: 1, name: '139 week 45.csv' }],
    leftOut: new Map([[0, { reason: 'Osei dropped it', by: 'R. Banerjee', decidedMs: 0, change: 1 }]]),
    notes: new Map([
      [1, [{ disposition: 'note', text: 'seen by R. Banerjee', by: 'P. Aune', decidedMs: 0, change: 2 }]],
    ]),
  },
);
const { register } = plant;

describe('numbers', () => {
  it('follow the badges where no lots were drawn, shorter ones first', () => {
    expect(operatorNumbers(register)).toEqual({ order: [1, 0], labels: ['Operator 2', 'Operator 1'] });
  });

  it('follow the lots, then the register for who came since; lots of people who are gone are none', () => {
    const wider = { ...register, operators: [...register.operators, { badge: '1', name: null, confirmed: false }] };
    expect(operatorNumbers(wider, [1, -1, 7, 0])).toEqual({
      order: [1, 0, 2],
      labels: ['Operator 2', 'Operator 1', 'Operator 3'],
    });
  });
});

describe('anonymousPlant', () => {
  const shown = anonymousPlant(plant);

  it('puts numbers in place of badges and names, in the order of the numbers, and every reading keeps its operator', () => {
    expect(shown.register.operators).toEqual([
      { badge: 'Operator 1', name: null, confirmed: true },
      { badge: 'Operator 2', name: null, confirmed: true },
    ]);
    expect([...shown.readings.operator]).toEqual([1, 0, -1]);
    expect([...plant.readings.operator]).toEqual([0, 1, -1]);
    expect(shown.judged).toBe(plant.judged);
    expect(plant.register.operators[0]?.name).toBe('R. Banerjee');
  });

  it('names nobody in what people wrote, and leaves who is no operator', () => {
    expect(shown.register.joints[0]?.revisions[0]).toMatchObject({ by: 'Operator 1', why: 'asked by Operator 2' });
    expect(shown.register.tools[0]?.events[0]?.note).toBe('sent by Operator 1');
    expect(shown.leftOut.get(0)).toMatchObject({ by: 'Operator 2', reason: 'Operator 1 dropped it' });
    expect(shown.notes.get(1)).toEqual([expect.objectContaining({ by: 'P. Aune', text: 'seen by Operator 2' })]);
    expect(shown.sources[0]?.name).toBe('Operator 2 week 45.csv');
  });

  it('gives the same plant each time, so that cached results are found again, and another by other lots', () => {
    expect(anonymousPlant(plant)).toBe(shown);
    const other = anonymousPlant(plant, [], operatorNumbers(register, [0, 1]));
    expect(other.leftOut.get(0)?.by).toBe('Operator 1');
    expect(other.readings.operator).toBe(plant.readings.operator);
  });
});

describe('operators chosen', () => {
  const numbers = operatorNumbers(register);

  it('are found whichever way they were chosen', () => {
    const scope = { ...everything, operators: ['139', 'somebody else'] };
    const labelled = scopeForPlant(scope, register, true, numbers);
    expect(labelled.operators).toEqual(['Operator 2', 'somebody else']);
    expect(scopeForPlant(labelled, register, false, numbers)).toEqual(scope);
    expect(scopeForPlant(labelled, register, true, numbers)).toEqual(labelled);
    expect(operatorsForPlant([], register, true, numbers)).toEqual([]);
  });

  it('are found in filters, and in those of operators alone', () => {
    expect(
      filtersForPlant(
        [
          { column: 'operator', anyOf: ['9', ''] },
          { column: 'joint', anyOf: ['9'] },
        ],
        register,
        true,
        numbers,
      ),
    ).toEqual([
      { column: 'operator', anyOf: ['Operator 1', ''] },
      { column: 'joint', anyOf: ['9'] },
    ]);
  });
});

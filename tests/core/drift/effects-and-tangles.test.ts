import { describe, expect, test } from 'vitest';
import { cellsFromNames, factorEffects, factorSets, inflationOf, moveOf } from '#core/drift/cell-model.ts';
import { driftModel } from '#core/drift/drift-model.ts';
import { type CellFactor, type NamedCell, untangle } from '#core/drift/untangle.ts';
import { everything } from '#core/readings/scope.ts';
import type { Tool } from '#core/register/register.ts';
import { firstDay, simulatedPlant } from '../../bench/simulated-plant.ts';
import { expectNear, referenceCase } from './reference.ts';

interface ReferenceCell extends NamedCell {
  readonly block: number;
  readonly meanPercent: number;
}

const cells: ReferenceCell[] = referenceCase('definitions-drift.json', 'effects').input.cells;
const designs: Record<string, NamedCell[]> = referenceCase('definitions-drift.json', 'untangle').input;

// Source: R 4.2.2 (lm, contr.sum; CR1 by its printed formula) and NumPy, computed apart (tests/reference, README there).
describe('effects on cells, against R', () => {
  test('definitions-drift.json#effects', () => {
    const { expect: want } = referenceCase('definitions-drift.json', 'effects');
    const rows = cellsFromNames(cells);
    const got = factorEffects(rows);
    expect([got.clusters, got.rank, got.rows]).toEqual([want.G, want.p, want.N]);
    expect(want.effects.length).toBe(9);
    for (const effect of want.effects) {
      const factor = effect.factor as CellFactor;
      const row = got.effects[factor].find((one) => rows.names[factor][one.level] === effect.name);
      if (!row) throw new Error(`no effect for ${effect.name}`);
      expectNear(row.effect, effect.effect, 1e-9);
      expectNear(row.standardError, effect.se, 1e-9);
      expectNear(row.low95, effect.low95, 1e-8);
      expectNear(row.high95, effect.high95, 1e-8);
    }
  });
  test('definitions-drift.json#effects-lm', () => {
    const { expect: want } = referenceCase('definitions-drift.json', 'effects-lm');
    const got = factorEffects(cellsFromNames(cells));
    for (const factor of ['joint', 'operator', 'tool'] as const) {
      want[factor].forEach((value: number, i: number) => {
        expectNear(got.effects[factor].find((one) => one.level === i)?.effect ?? Number.NaN, value);
      });
    }
  });
  test('definitions-drift.json#move-after-block-6', () => {
    const { expect: want } = referenceCase('definitions-drift.json', 'move-after-block-6');
    const rows = cellsFromNames(cells);
    const got = moveOf(
      rows,
      Float64Array.from(cells, (c) => (c.tool === 'T2' && c.block >= 6 ? 1 : 0)),
    );
    if (!got) throw new Error('no move');
    expectNear(got.estimate, want.move);
    expectNear(got.standardError, want.se);
    expectNear(got.low95, want.low95, 1e-8);
    expectNear(got.high95, want.high95, 1e-8);
    expect(got.degreesOfFreedom).toBe(want.df);
  });
  test('definitions-drift.json#variance-inflation', () => {
    const { expect: want } = referenceCase('definitions-drift.json', 'variance-inflation');
    const rows = cellsFromNames(cells);
    expectNear(inflationOf(rows, 'tool', 0, 1) ?? Number.NaN, want['12']);
    expectNear(inflationOf(rows, 'tool', 0, 2) ?? Number.NaN, want['13']);
    expectNear(inflationOf(rows, 'tool', 1, 2) ?? Number.NaN, want['23']);
    const barely = [
      ...Array.from({ length: 30 }, () => ({ joint: 'x', tool: '1', operator: 'A' })),
      ...Array.from({ length: 30 }, () => ({ joint: 'x', tool: '2', operator: 'B' })),
      { joint: 'x', tool: '2', operator: 'A' },
    ].map((cell, block) => ({ ...cell, block, meanPercent: 0 }));
    expectNear(inflationOf(cellsFromNames(barely), 'tool', 0, 1) ?? Number.NaN, want.barely);
  });
});

describe('what a design can tell apart', () => {
  const withValues = (names: readonly NamedCell[]): ReferenceCell[] =>
    names.map((cell, block) => ({ ...cell, block, meanPercent: block }));

  test('definitions-drift.json#designs', () => {
    const { input, expect: want } = referenceCase('definitions-drift.json', 'designs');
    for (const name of ['triangle', 'one_to_one', 'islands', 'full']) {
      const rows = cellsFromNames(withValues(input[name]));
      const got = factorSets(rows);
      expect(got.rank, name).toBe(want[name].rank);
      for (const factor of ['operator', 'tool', 'joint'] as const) {
        const sets = got.sets[factor].map((set) => set.map((level) => rows.names[factor][level]));
        expect(sets, `${name} ${factor}`).toEqual(want[name].sets[factor]);
      }
    }
  });
  test('definitions-drift.json#tangled', () => {
    const { expect: want } = referenceCase('definitions-drift.json', 'tangled');
    for (const name of Object.keys(designs)) {
      const rows = cellsFromNames(withValues(designs[name]!));
      const { sets } = factorSets(rows);
      const tangled: Record<string, string[]> = {};
      for (const factor of ['operator', 'tool', 'joint'] as const) {
        if (sets[factor].length > 1) {
          tangled[factor] = sets[factor].flatMap((set) => set.map((level) => rows.names[factor][level]!)).sort();
        }
      }
      expect(tangled, name).toEqual(want[name]);
    }
  });
  const questions: Record<string, CellFactor[]> = {
    tool: ['tool'],
    tool_operator: ['tool', 'operator'],
    all: ['joint', 'tool', 'operator'],
  };
  const text = (set: readonly NamedCell[]): string[] => set.map((c) => `${c.joint} ${c.tool} ${c.operator}`);

  test('definitions-drift.json#untangle', () => {
    const { expect: want } = referenceCase('definitions-drift.json', 'untangle');
    for (const name of Object.keys(designs)) {
      for (const [question, factors] of Object.entries(questions)) {
        const expected = want[name][question];
        const got = untangle(designs[name]!, factors, true);
        expect([got.part, got.cells.length, got.greedy], `${name} ${question}`).toEqual([
          expected.part,
          expected.cells,
          expected.greedy ?? false,
        ]);
        if (expected.ways !== undefined) expect(got.ways, `${name} ${question}`).toBe(expected.ways);
        if (expected.first) expect(text(got.cells)).toEqual(expected.first);
        // The short way, one level of each comparable set, needs no more cells.
        expect(untangle(designs[name]!, factors).cells.length).toBe(expected.cells);
      }
    }
  });
  for (const name of ['triangle', 'one_to_one', 'islands', 'two_corners', 'four']) {
    test(`definitions-drift.json#untangle-${name}`, () => {
      const { expect: want } = referenceCase('definitions-drift.json', `untangle-${name}`);
      const got = untangle(designs[name]!, ['tool', 'operator']);
      expect(got.cells.length).toBe(want.least_new_cells);
      if (Array.isArray(want.solutions)) {
        expect(want.solutions.map((set: string[]) => [...set].sort().join())).toContain(text(got.cells).sort().join());
      }
    });
  }
});

describe('who is proposed to untangle', () => {
  const base = { seed: 4, tools: 4, operators: 4, joints: 4, shifts: 30, perShift: 20, tied: true } as const;
  const made = simulatedPlant({ ...base, planted: { kind: 'none' } });
  const steps = (tools: readonly Tool[]): readonly { tool: string; joint: string }[] => {
    const plant = { ...made, register: { ...made.register, tools } };
    return driftModel(plant, everything, firstDay).tangled.flatMap((group) => group.untangleBy);
  };
  test('no tool at a joint outside its marked range', () => {
    // Joints are at 24, 40, 12 and 60 N.m.
    const targets = new Map(made.register.joints.map((joint) => [joint.name, joint.revisions[0]!.target!]));
    const tools = made.register.tools.map((tool, k) => ({
      ...tool,
      min: k % 2 === 0 ? 5 : 35,
      max: k % 2 === 0 ? 30 : 80,
    }));
    const range = new Map(tools.map((tool) => [tool.serial, tool]));
    const found = steps(tools);
    expect(found.length).toBeGreaterThan(0);
    for (const step of found) {
      const { min, max } = range.get(step.tool)!;
      expect(targets.get(step.joint)!).toBeGreaterThanOrEqual(min);
      expect(targets.get(step.joint)!).toBeLessThanOrEqual(max);
    }
  });
  test('no tool that is quarantined or retired', () => {
    const before = steps(made.register.tools);
    const banned = before[0]!.tool;
    const tools = made.register.tools.map((tool) =>
      tool.serial === banned ? { ...tool, status: 'quarantined' as const } : tool,
    );
    const found = steps(tools);
    expect(found.length).toBeGreaterThan(0);
    expect(found.map((step) => step.tool)).not.toContain(banned);
  });
});

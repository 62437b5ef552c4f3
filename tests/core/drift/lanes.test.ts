import { describe, expect, test } from 'vitest';
import { wouldLeave } from '#core/drift/affected.ts';
import { analyseDrift, defaultDriftOptions } from '#core/drift/analysis.ts';
import { type CellTable, cellsOfScope, gatherCells } from '#core/drift/cells.ts';
import { byUrgency, type Evidence, findingKind, type RankFacts } from '#core/drift/finding.ts';
import { hasMoved, smallestVisible } from '#core/drift/lane.ts';
import { responseLine } from '#core/drift/response-lines.ts';
import { emptyColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import { everything, type Scope } from '#core/readings/scope.ts';
import { selectReadings } from '#core/readings/select-readings.ts';
import type { Register } from '#core/register/register.ts';
import {
  absorbedFit,
  clusterOrder,
  extraColumn,
  indicatorColumn,
  indicatorEstimate,
} from '#core/stats/absorbed-fit.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { firstDay, plantOf, simulatedPlant, simulatedTool, simulationRandom } from '../../bench/simulated-plant.ts';
import { expectNear, referenceCase } from './reference.ts';

interface LaneReading {
  readonly joint: string;
  readonly tool: string;
  readonly block: number;
  readonly T: number;
  readonly th: number;
}

/** The readings of the reference case as a plant: one day a block, no operators. */
function lanePlant(readings: readonly LaneReading[], targets: Record<string, number>): Plant {
  const columns = emptyColumns(readings.length);
  const joints = Object.keys(targets).sort();
  const tools = [...new Set(readings.map((r) => r.tool))].sort();
  readings.forEach((reading, i) => {
    columns.id[i] = i + 1;
    columns.at[i] = firstDay + (reading.block - 1) * msPerDay + 8 * 3_600_000 + i * 1000;
    columns.atStep[i] = 2;
    columns.torque[i] = reading.T;
    columns.decimals[i] = 2;
    columns.angle[i] = reading.th;
    columns.tool[i] = tools.indexOf(reading.tool);
    columns.joint[i] = joints.indexOf(reading.joint);
    columns.source[i] = 1;
    columns.line[i] = i + 2;
  });
  const register: Register = {
    joints: joints.map((name) => ({
      name,
      class: null,
      direction: 'cw' as const,
      stopsBy: 'torque' as const,
      station: null,
      note: null,
      confirmed: true,
      revisions: [
        {
          label: 'A',
          from: 0,
          unit: 'N.m' as const,
          low: (targets[name] ?? 0) * 0.8,
          target: targets[name] ?? null,
          high: (targets[name] ?? 0) * 1.2,
          lowPercent: null,
          highPercent: null,
          angleLowDeg: null,
          angleTargetDeg: null,
          angleHighDeg: null,
          batchSize: null,
          retryWithinSeconds: 1,
          by: null,
          why: null,
        },
      ],
    })),
    tools: tools.map((serial, k) => ({ ...simulatedTool(k), serial })),
    operators: [],
    shifts: [],
    checks: [],
  };
  return plantOf(columns, register);
}

// Source: R 4.2.2 and NumPy (tests/reference/definitions-drift.json), computed apart from each other.
describe('the response lane, through the whole analysis', () => {
  const { input, expect: want } = referenceCase('definitions-drift.json', 'angle-lane');
  const plant = lanePlant(input.readings, input.targets);
  const analysis = analyseDrift(plant, everything, defaultDriftOptions);

  test('definitions-drift.json#angle-lane: lines by joint', () => {
    ['J1', 'J2'].forEach((name, joint) => {
      const line = analysis.lines[joint];
      expectNear(line?.intercept ?? Number.NaN, want.fit[name].alpha, 1e-8);
      expectNear(line?.slope ?? Number.NaN, want.fit[name].beta, 1e-8);
      expectNear(line?.standardError ?? Number.NaN, want.fit[name].se, 1e-8);
      expectNear(line?.meanResponse ?? Number.NaN, want.fit[name].mean, 1e-8);
      expect(line?.used).toBe(true);
    });
  });
  for (const name of ['T1', 'T2']) {
    test(`definitions-drift.json#angle-lane: move of ${name}`, () => {
      const tool = plant.register.tools.findIndex((one) => one.serial === name);
      const level = analysis.responseRows.levelOfTool.get(tool) ?? -1;
      const from = analysis.table.blockAt.indexOf(firstDay + (input.from_block - 1) * msPerDay);
      const move = analysis.response.moveFrom(level, from);
      if (!move) throw new Error('no move');
      expectNear(move.estimate, want[name].move, 1e-8);
      expectNear(move.standardError, want[name].se, 1e-8);
      expectNear(move.low95, want[name].low95, 1e-7);
      expectNear(move.high95, want[name].high95, 1e-7);
      expectNear(1.96 * move.standardError, want[name].smallestVisible, 1e-8);
    });
  }
  test('definitions-drift.json#angle-lane: what the permitted error would cause', () => {
    // Both tools work at both joints alike, so a tool's value is the mean of the joints'.
    const share = (want.expectedAtPermitted.J1 + want.expectedAtPermitted.J2) / 2;
    expectNear(-(analysis.responsePerPercent(0) ?? Number.NaN) * input.permissiblePercent, share, 1e-8);
  });
  test('definitions-drift.json#angle-lane-few: under 30 readings the slope is not used, its doubt stays', () => {
    const few = referenceCase('definitions-drift.json', 'angle-lane-few');
    const sums = { n: 0, x: 0, r: 0, xx: 0, xr: 0, rr: 0 };
    for (const r of (input.readings as LaneReading[]).filter((one) => one.joint === 'J1').slice(0, 25)) {
      const x = r.T - 24;
      const y = r.th - 56;
      sums.n++;
      sums.x += x;
      sums.r += y;
      sums.xx += x * x;
      sums.xr += x * y;
      sums.rr += y * y;
    }
    const line = responseLine(sums, 24, 56);
    expectNear(line?.intercept ?? Number.NaN, few.expect.alpha, 1e-8);
    expect(line?.slope).toBe(0);
    expectNear(line?.standardError ?? Number.NaN, few.expect.se, 1e-8);
    expectNear(line?.meanResponse ?? Number.NaN, few.expect.mean, 1e-8);
  });
  test('definitions-drift.json#lane-moved-few-blocks: under 20 blocks a lane is neither moved nor still', () => {
    const { input: few } = referenceCase('definitions-drift.json', 'lane-moved-few-blocks');
    const short = lanePlant(
      (input.readings as LaneReading[]).filter((one) => one.block <= few.blocks),
      input.targets,
    );
    const lanes = analyseDrift(short, everything, defaultDriftOptions);
    for (const lane of [...lanes.own.levels, ...lanes.response.levels]) {
      expect(lane.moved).toBeNull();
      expect(lane.change).toBeNull();
    }
  });
});

describe('a move estimated from the cells of one tool alone', () => {
  test('equals the one with the dense column, and finds what cannot be estimated', () => {
    const random = simulationRandom(5);
    const rows = 240;
    const pick = (n: number): Int32Array => Int32Array.from({ length: rows }, () => Math.floor(random.uniform() * n));
    const tool = pick(6);
    const joint = pick(4);
    const operator = pick(5).map((level) => 4 + level);
    const block = pick(12);
    const values = Float64Array.from({ length: rows }, () => random.normal());
    const fit = absorbedFit({ rows, group: tool, groups: 6, columns: 9, columnOf: [joint, operator] }, values);
    const cluster = tool.map((level, i) => level * 12 + block[i]!);
    const numbers = new Map([...new Set(cluster)].map((one, k) => [one, k]));
    const numbered = cluster.map((one) => numbers.get(one)!);
    const order = clusterOrder(fit, numbered, numbers.size);
    for (let level = 0; level < 6; level++) {
      const dense = new Float64Array(rows);
      const ones: number[] = [];
      for (let i = 0; i < rows; i++) {
        if (tool[i] !== level || block[i]! < 6) continue;
        dense[i] = 1;
        ones.push(i);
      }
      const slow = extraColumn(fit, dense, numbered, numbers.size);
      const column = indicatorColumn(fit, Int32Array.from(ones));
      const fast = column ? indicatorEstimate(fit, column, order) : null;
      expectNear(fast?.estimate ?? Number.NaN, slow?.estimate ?? 0, 1e-10);
      expectNear(fast?.standardError ?? Number.NaN, slow?.standardError ?? 0, 1e-10);
      expect(fast?.degreesOfFreedom).toBe(slow?.degreesOfFreedom);
    }
    const whole = Int32Array.from([...tool.keys()].filter((i) => tool[i] === 2));
    expect(indicatorColumn(fit, whole)).toBeNull();
  });
});

describe('cells of a scope', () => {
  const plant = simulatedPlant({
    seed: 3,
    tools: 5,
    operators: 4,
    joints: 4,
    shifts: 24,
    perShift: 20,
    planted: { kind: 'none' },
  });
  const noon = firstDay + 3 * msPerDay + 12 * 3_600_000;
  const scopes: [string, Scope][] = [
    ['everything', everything],
    ['whole days', { ...everything, from: firstDay + 2 * msPerDay, to: firstDay + 9 * msPerDay }],
    ['from the middle of a shift', { ...everything, from: noon }],
    ['one shift name', { ...everything, shifts: ['Late'] }],
    ['one shift name and days', { ...everything, shifts: ['Late'], from: firstDay + 2 * msPerDay }],
    ['two joints, one operator', { ...everything, joints: ['Joint 1', 'Joint 3'], operators: ['102'] }],
    ['one tool', { ...everything, tools: ['T-003'] }],
  ];
  for (const [name, scope] of scopes) {
    test(`${name}: picked from the plant's cells as gathered from its readings`, () => {
      const selected = selectReadings(plant, scope);
      const direct = gatherCells(plant, selected);
      const picked = cellsOfScope(plant, scope, selected);
      const lines = (table: CellTable): string[] =>
        Array.from({ length: table.length }, (_, c) =>
          [
            table.block[c],
            table.tool[c],
            table.joint[c],
            table.operator[c],
            table.n[c],
            table.sumPercent[c]!.toFixed(9),
            table.pairs[c],
            (table.centreStop[table.joint[c]!]! * table.pairs[c]! + table.sumStop[c]!).toFixed(6),
          ].join(),
        ).sort();
      expect(lines(picked)).toEqual(lines(direct));
      expect(picked.leftOut).toEqual(direct.leftOut);
      expect([...picked.toolBlockReadings]).toEqual([...direct.toolBlockReadings]);
      expect(picked.length).toBeGreaterThan(0);
    });
  }
});

describe('what may be said', () => {
  test('definitions-drift.json#rank-of-tools', () => {
    const { input, expect: want } = referenceCase('definitions-drift.json', 'rank-of-tools');
    const facts = input.tools.map(
      (one: Partial<RankFacts> & { readonly tool: string }): RankFacts => ({
        failingCheck: one.failingCheck === true,
        responseMoved: one.responseMoved === true,
        overdue: one.overdue === true,
        ownMoved: one.ownMoved === true,
        size: Number(one.size),
        name: one.tool,
      }),
    );
    expect(facts.sort(byUrgency).map((one: RankFacts) => one.name)).toEqual(want.order);
  });
  test('definitions-drift.json#lane-moved: an interval that ends at 0 does not exclude it', () => {
    const { input, expect: want } = referenceCase('definitions-drift.json', 'lane-moved');
    const moved = want.adjusted.map((p: number, i: number) => hasMoved(p, input.low[i], input.high[i]));
    expect(moved).toEqual(want.moved);
  });
  // Source: the table of definitions 16, row by row.
  const still: Evidence = {
    failingCheck: false,
    ownMoved: false,
    responseMoved: false,
    responseSees: true,
    others: 'still',
    checkSince: 'none',
  };
  const rows: [string, Partial<Evidence>, string][] = [
    ['own moved, response still', { ownMoved: true }, 'people-or-stop'],
    ['own moved, response cannot see', { ownMoved: true, responseSees: false }, 'own-moved-blind'],
    ['own moved, no response', { ownMoved: true, responseMoved: null }, 'own-moved-blind'],
    ['response moved, no check since', { responseMoved: true }, 'may-read-wrong'],
    ['response moved, check fits', { responseMoved: true, checkSince: 'fits' }, 'reads-wrong'],
    ['response moved, check good', { responseMoved: true, checkSince: 'does-not-fit' }, 'check-disagrees'],
    [
      'response moved with other tools, check good',
      { responseMoved: true, others: 'moved', checkSince: 'does-not-fit' },
      'joint-not-tool',
    ],
    ['both moved', { ownMoved: true, responseMoved: true }, 'more-than-one'],
    ['failing check, whatever else', { ownMoved: true, responseMoved: true, failingCheck: true }, 'out-of-tolerance'],
    ['nothing moved', {}, 'still'],
    ['nothing known', { ownMoved: null, responseMoved: null }, 'too-little'],
  ];
  for (const [name, change, kind] of rows) {
    test(name, () => expect(findingKind({ ...still, ...change })).toBe(kind));
  }
  test('definitions-tool.json#in-question: passing readings that leave their limits when corrected', () => {
    const { input, expect: want } = referenceCase('definitions-tool.json', 'in-question');
    const [low, high] = input.limits;
    const passing = input.readings_since_the_response_lane_moved.filter((t: number) => t >= low && t <= high);
    expect(passing.filter((t: number) => wouldLeave(t, low, high, input.latest_check_D_percent)).length).toBe(
      want.wouldLeaveLimits,
    );
  });
});

test('a still lane names the smallest shift it could have shown', () => {
  const { input } = referenceCase('definitions-drift.json', 'angle-lane');
  const analysis = analyseDrift(lanePlant(input.readings, input.targets), everything, defaultDriftOptions);
  for (const lane of analysis.response.levels) expect(smallestVisible(analysis.response, lane)).toBeGreaterThan(0);
});

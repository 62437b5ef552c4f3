/** Laws of the drift analysis: names, order of intake, strangers and units do not change what it says. */
import { describe, expect, test } from 'vitest';
import type { DriftToolRow } from '#core/contract/models/drift-model.ts';
import { defaultDriftOptions } from '#core/drift/analysis.ts';
import { driftModel } from '#core/drift/drift-model.ts';
import { emptyColumns, type ReadingColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import { everything } from '#core/readings/scope.ts';
import type { LimitRevision, Register } from '#core/register/register.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { firstDay, plantOf, simulatedPlant, simulatedTool, simulationRandom } from '../../bench/simulated-plant.ts';

const now = firstDay + 60 * msPerDay;
const designs = [
  { seed: 11, planted: { kind: 'transducer', tool: 2, percent: -2.5, at: 20 } },
  { seed: 12, planted: { kind: 'stop', tool: 1, percent: -3, at: 18 } },
  { seed: 13, planted: { kind: 'joint', joint: 1, percent: 5, at: 22 } },
  { seed: 14, planted: { kind: 'operator', operator: 3, percent: 2 } },
] as const;
const plants = designs.map((design) =>
  simulatedPlant({ tools: 6, operators: 5, joints: 5, shifts: 40, perShift: 20, ...design }),
);

/** A shuffled list of the positions 0 to n - 1. */
function shuffled(n: number, seed: number): number[] {
  const random = simulationRandom(seed);
  const out = Array.from({ length: n }, (_, k) => k);
  for (let k = n - 1; k > 0; k--) {
    const other = Math.floor(random.uniform() * (k + 1));
    [out[k], out[other]] = [out[other]!, out[k]!];
  }
  return out;
}

/** Columns whose row k is row `from[k]` of the given ones. */
function rowsFrom(readings: ReadingColumns, from: readonly number[]): ReadingColumns {
  const out = emptyColumns(from.length);
  for (const [name, column] of Object.entries(readings)) {
    if (!ArrayBuffer.isView(column)) continue;
    // Both are the same column of two tables: numbers by position.
    const to = out[name as keyof ReadingColumns] as unknown as number[];
    const source = column as unknown as ArrayLike<number>;
    from.forEach((position, k) => {
      to[k] = source[position]!;
    });
  }
  return out;
}

/** What is said of one tool, without what depends on its name. */
function figures(row: DriftToolRow): unknown {
  const lane = (one: DriftToolRow['own']): unknown => ({
    moved: one.moved,
    percent: one.series.percent,
    ewma: one.series.ewma,
    high: one.series.ewmaHigh,
    change: one.changePoint,
    since: one.since,
    smallest: one.smallestVisible,
    slope: one.slopePercentPer1000,
    p: [one.mannKendallP, one.adjustedP, one.changeAdjustedP],
    alarm: one.alarmAt,
    cusum: one.cusumAlarmAt,
  });
  return {
    kind: row.kind,
    urgency: row.urgency,
    readings: row.readings,
    own: lane(row.own),
    response: lane(row.response),
  };
}

/** Equal to 1e-9 of the larger, digit for digit where texts, dates and yes or no are concerned. */
function expectSame(a: unknown, b: unknown, path = ''): void {
  if (typeof a === 'number' && typeof b === 'number') {
    expect(Math.abs(a - b), `${path}: ${a} and ${b}`).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(a), Math.abs(b)));
  } else if (a !== null && b !== null && typeof a === 'object' && typeof b === 'object') {
    expect(Object.keys(a), path).toEqual(Object.keys(b));
    const right = new Map(Object.entries(b));
    for (const [key, value] of Object.entries(a)) expectSame(value, right.get(key), `${path}.${key}`);
  } else expect(a, path).toBe(b);
}

function expectSamePlants(a: Plant, b: Plant, nameIn: (tool: string) => string = (tool) => tool): void {
  const left = driftModel(a, everything, now);
  const right = new Map(driftModel(b, everything, now).tools.map((row) => [row.tool, row]));
  expect(left.tools.length).toBe(right.size);
  for (const row of left.tools) expectSame(figures(row), figures(right.get(nameIn(row.tool))!), row.tool);
}

describe.each(plants.map((plant, k) => [designs[k]!.planted.kind, plant] as const))('%s planted', (_kind, plant) => {
  const { readings, register } = plant;

  test('the order in which readings were taken in does not matter', () => {
    expectSamePlants(plant, plantOf(rowsFrom(readings, shuffled(readings.length, 5)), register));
  });

  test('other names and another order of the register do not matter', () => {
    const moveTo = shuffled(register.tools.length, 6);
    const peopleTo = shuffled(register.operators.length, 7);
    const jointsTo = shuffled(register.joints.length, 8);
    const rows = rowsFrom(
      readings,
      Array.from({ length: readings.length }, (_, k) => k),
    );
    for (let i = 0; i < rows.length; i++) {
      rows.tool[i] = moveTo[readings.tool[i]!]!;
      rows.operator[i] = peopleTo[readings.operator[i]!]!;
      rows.joint[i] = jointsTo[readings.joint[i]!]!;
    }
    const placed = <T>(list: readonly T[], to: readonly number[], rename: (one: T, place: number) => T): T[] => {
      const out: T[] = [];
      list.forEach((one, k) => {
        out[to[k]!] = rename(one, to[k]!);
      });
      return out;
    };
    const renamed: Register = {
      ...register,
      tools: placed(register.tools, moveTo, (tool, place) => ({ ...tool, serial: `W${9 - place}` })),
      operators: placed(register.operators, peopleTo, (one, place) => ({ ...one, badge: `Z${9 - place}` })),
      joints: placed(register.joints, jointsTo, (one, place) => ({ ...one, name: `J${9 - place}` })),
    };
    const newName = new Map(register.tools.map((tool, k) => [tool.serial, `W${9 - moveTo[k]!}`]));
    expectSamePlants(plant, plantOf(rows, renamed), (tool) => newName.get(tool)!);
  });

  test.each([4, 1.7])('torque, its limits and the angle in units %s times smaller do not matter', (factor) => {
    const rows = rowsFrom(
      readings,
      Array.from({ length: readings.length }, (_, k) => k),
    );
    for (let i = 0; i < rows.length; i++) {
      rows.torque[i] = readings.torque[i]! * factor;
      rows.angle[i] = readings.angle[i]! * factor;
    }
    const scaled = (revision: LimitRevision): LimitRevision => ({
      ...revision,
      low: revision.low! * factor,
      target: revision.target! * factor,
      high: revision.high! * factor,
    });
    const joints = register.joints.map((joint) => ({ ...joint, revisions: joint.revisions.map(scaled) }));
    expectSamePlants(plant, plantOf(rows, { ...register, joints }));
  });

  test('a tool that shares no joint and no operator with the others changes no series, slope, date or size', () => {
    const extra = 600;
    const rows = rowsFrom(
      readings,
      Array.from({ length: readings.length + extra }, (_, k) => (k < readings.length ? k : (k * 7) % readings.length)),
    );
    for (let i = readings.length; i < rows.length; i++) {
      rows.id[i] = i + 1;
      rows.line[i] = i + 2;
      rows.tool[i] = register.tools.length;
      rows.operator[i] = register.operators.length;
      rows.joint[i] = register.joints.length;
    }
    const stranger: Register = {
      ...register,
      tools: [...register.tools, { ...simulatedTool(90), serial: 'T-900' }],
      operators: [...register.operators, { ...register.operators[0]!, badge: '900' }],
      joints: [...register.joints, { ...register.joints[0]!, name: 'Far joint' }],
    };
    const left = driftModel(plant, everything, now, defaultDriftOptions);
    const right = driftModel(plantOf(rows, stranger), everything, now, defaultDriftOptions);
    expect(right.tools.length).toBe(left.tools.length + 1);
    for (const row of left.tools) {
      const same = right.tools.find((other) => other.tool === row.tool)!;
      for (const lane of ['own', 'response'] as const) {
        expectSame(row[lane].series.percent, same[lane].series.percent, `${row.tool} ${lane}`);
        expectSame(row[lane].slopePercentPer1000, same[lane].slopePercentPer1000, `${row.tool} ${lane} slope`);
        expectSame(row[lane].mannKendallP, same[lane].mannKendallP, `${row.tool} ${lane} p`);
        const [a, b] = [row[lane].changePoint, same[lane].changePoint];
        // Whether it counts as moved is corrected over all tools; where both do, date and size are the same.
        if (a && b) expectSame([a.at, a.shape, a.shiftPercent], [b.at, b.shape, b.shiftPercent], row.tool);
      }
    }
    // Nobody compares the two plants: both parts are told apart, and the stranger is named as such.
    expect(right.tangled.flatMap((group) => group.tools)).toContain('T-900');
  });
});

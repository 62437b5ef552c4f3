import { describe, expect, test } from 'vitest';
import { driftAnswer } from '#core/drift/drift-answer.ts';
import { driftModel } from '#core/drift/drift-model.ts';
import { driftToolModel } from '#core/drift/drift-tool-model.ts';
import { judgeAll } from '#core/judging/judge.ts';
import type { Plant } from '#core/readings/plant.ts';
import { everything } from '#core/readings/scope.ts';
import type { CheckPull, Register, Tool } from '#core/register/register.ts';
import { toolCard } from '#core/report/tool-card.ts';
import { say } from '#core/text/said.ts';
import { msPerDay, msPerHour } from '#core/time/civil-time.ts';
import { countOutcomes, outcomeKinds } from '../../bench/drift-outcomes.ts';
import { firstDay, plantOf, type SimulatedDesign, simulatedPlant } from '../../bench/simulated-plant.ts';

const now = firstDay + 60 * msPerDay;
const base: SimulatedDesign = {
  seed: 11,
  tools: 6,
  operators: 5,
  joints: 5,
  shifts: 40,
  perShift: 30,
  planted: { kind: 'none' },
};
const drifting: SimulatedDesign = { ...base, planted: { kind: 'transducer', tool: 1, percent: -2.5, at: 20 } };

const withRegister = (plant: Plant, change: (register: Register) => Register): Plant => {
  const register = change(plant.register);
  return { ...plant, register, judged: judgeAll(plant.readings, register) };
};
const withTool = (plant: Plant, position: number, change: Partial<Tool>): Plant =>
  withRegister(plant, (register) => ({
    ...register,
    tools: register.tools.map((tool, k) => (k === position ? { ...tool, ...change } : tool)),
  }));
/** Five pulls of tool T-002 at 40 N·m. */
const pulls = (day: number, deviation: number, kind: CheckPull['kind'] = 'as-found'): CheckPull[] =>
  [0.1, -0.1, 0.05, 0, -0.05].map((scatter) => ({
    tool: 1,
    at: firstDay + day * msPerDay + 5.5 * msPerHour,
    nominal: 40,
    reference: 40,
    shown: 40 * (1 + (deviation + scatter) / 100),
    unit: 'N.m',
    kind,
    uncertaintyPercent: null,
  }));
const withChecks = (plant: Plant, checks: readonly CheckPull[]): Plant =>
  withRegister(plant, (register) => ({ ...register, checks }));
const row = (plant: Plant, tool: string) => driftModel(plant, everything, now).tools.find((one) => one.tool === tool)!;

/** Every number that is not a number, by path. */
function notNumbers(value: unknown, path = ''): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [path];
  if (Array.isArray(value)) return value.flatMap((one, k) => notNumbers(one, `${path}[${k}]`));
  if (value && typeof value === 'object') {
    return Object.entries(value).flatMap(([key, one]) => notNumbers(one, `${path}.${key}`));
  }
  return [];
}

// A short form of `npm run bench:drift`, which prints the rates over many more plants. Bounds are wide enough for 24
// plants of a fixed seed and narrow enough to break when a lane is crossed.
describe('what is planted is found in its lane', () => {
  const kind = (name: string) => outcomeKinds.find((one) => one.name === name)!;
  const plants = 24;

  test('nothing planted: moves are rarely said', () => {
    const counts = countOutcomes(kind('none'), plants, 1);
    expect(counts.count('steady tool: own readings called moved').count).toBeLessThanOrEqual(6);
    expect(counts.count('steady tool: response called moved').count).toBeLessThanOrEqual(6);
    expect(counts.count('steady tool: own readings called moved').of).toBe(plants * 6);
  });
  test('an early stop is found in the own lane and rarely laid on the tool', () => {
    const counts = countOutcomes(kind('stop'), plants, 1);
    expect(counts.count('found in the own lane')).toEqual({ count: plants, of: plants });
    // 10 % (95 % interval 8 to 14) by the simulation of definitions 16.
    expect(counts.count('laid on the tool (response called moved)').count).toBeLessThanOrEqual(6);
    expect(counts.count('interval of the date holds the true shift').count).toBeGreaterThanOrEqual(plants - 3);
  });
  test('a transducer 2.5 % off is found in the response lane, in its direction, and heads the list', () => {
    const counts = countOutcomes(kind('transducer'), plants, 1);
    expect(counts.count('said: may read wrongly, in the true direction')).toEqual({ count: plants, of: plants });
    expect(counts.count('first in the list').count).toBe(plants);
    expect(counts.count('own readings called moved').count).toBeLessThanOrEqual(1);
  });
  test('an operator who differs is found, and no tool takes the blame', () => {
    const counts = countOutcomes(kind('operator'), plants, 1);
    expect(counts.count('operator effect found (interval excludes 0, above)')).toEqual({ count: plants, of: plants });
    expect(counts.count('any tool effect over 1 % laid on a tool').count).toBe(0);
  });
  test('parts that changed at one joint are not laid on a tool', () => {
    const counts = countOutcomes(kind('joint'), plants, 1);
    const said = counts.count('tool at the joint with a moved response: said the joint');
    expect(said.of).toBeGreaterThan(plants);
    expect(said.count / said.of).toBeGreaterThan(0.9);
  });
  test('tied tools and operators are never given an effect', () => {
    const counts = countOutcomes(kind('tied'), plants, 1);
    expect(counts.count('a tool or operator effect given')).toEqual({ count: 0, of: plants });
    expect(counts.count('all tools and operators named as tangled').count).toBe(plants);
    expect(counts.count('a way to untangle is given').count).toBe(plants);
  });
});

describe('checks on a reference', () => {
  const plant = simulatedPlant(drifting);

  test('a check since the change that fits says how far the tool reads low', () => {
    const checked = withChecks(plant, [...pulls(0, 0.1), ...pulls(20, -2.5)]);
    const one = row(checked, 'T-002');
    expect(one.kind).toBe('reads-wrong');
    expect(one.rank).toBe(1);
    const text = say(one.finding);
    expect(text).toMatch(/^T-002 reads 2\.5 % low by the check of 27 Sep/);
    expect(text).toMatch(/got about 2\.6 % more than shown/);
    expect(one.inQuestion?.since).toBe(one.response.changePoint?.at);
    expect(one.inQuestion?.count).toBe(20 * 30);
    const detail = driftToolModel(checked, everything, now, 'T-002');
    expect(say(detail.bothSides!)).toBe(
      'By its last check it shows 2.5 % less than the reference; fasteners got 2.6 % more than shown.',
    );
    expect(detail.caution.map((one_) => say(one_)).join(' ')).toMatch(/± 4\.0 % is permitted.*Quarantine T-002/);
    expect(detail.whatMoved.filter((one_) => one_.who === 'other-tool').length).toBeGreaterThan(0);
    expect(detail.scatter?.step).toBeGreaterThan(0);
    expect(detail.scatter?.x.length).toBeLessThanOrEqual(400);
  });
  test('a good check against a moved response asks for another', () => {
    expect(row(withChecks(plant, [...pulls(0, 0.1), ...pulls(20, 0.2)]), 'T-002').kind).toBe('check-disagrees');
  });
  test('a failing check stands above everything, and readings since the last good one are affected', () => {
    const checked = withChecks(simulatedPlant(base), [...pulls(0, 0.1), ...pulls(14, 0.3), ...pulls(20, 5)]);
    const one = row(checked, 'T-002');
    expect([one.kind, one.urgency, one.rank]).toEqual(['out-of-tolerance', 'failing-check', 1]);
    expect(one.affected.since).toBe(firstDay + 14 * msPerDay + 5.5 * msPerHour);
    // Day 14 is the third Monday: ten shifts a week, shifts 20 to 39 come after it.
    expect(one.affected.count).toBe(20 * 30);
    expect(say(one.finding)).toMatch(
      /shows 5\.0 % more than the reference; fasteners since 21 Sep got about 4\.8 % less/,
    );
    expect(one.inQuestion).toBeNull();
  });
  test('an as-left ends the affected span', () => {
    const checked = withChecks(simulatedPlant(base), [
      ...pulls(14, 0.3),
      ...pulls(20, 5),
      ...pulls(21, 0.1, 'as-left').map((one) => ({ ...one, at: firstDay + 21 * msPerDay })),
    ]);
    const one = row(checked, 'T-002');
    expect(one.affected.until).toBe(firstDay + 21 * msPerDay);
    expect(one.affected.count).toBe(10 * 30);
    // The as-left passed at the same nominal, so the tool no longer stands as failing.
    expect(one.checks.failing).toBe(false);
  });
  test('slow drift of four checks forecasts the day of crossing', () => {
    const checked = withChecks(simulatedPlant(base), [
      ...pulls(0, -0.2),
      ...pulls(30, -1.0),
      ...pulls(40, -1.3),
      ...pulls(55, -1.8),
    ]);
    const { forecast } = row(checked, 'T-002').checks;
    expect(forecast?.checks).toBe(4);
    expect(forecast?.crossesOn).toBeGreaterThan(firstDay + 100 * msPerDay);
    expect(forecast?.low95).toBeLessThan(forecast?.crossesOn ?? 0);
  });
});

describe('due dates in the list', () => {
  test('an overdue calibration stands before a moved own lane and after a moved response', () => {
    const stop = simulatedPlant({ ...base, planted: { kind: 'stop', tool: 1, percent: -4, at: 20 } });
    const overdue = withTool(stop, 3, { calibratedOn: firstDay - 400 * msPerDay });
    const list = driftModel(overdue, everything, now).tools;
    expect(list.slice(0, 2).map((one) => [one.tool, one.urgency])).toEqual([
      ['T-004', 'overdue'],
      ['T-002', 'own-moved'],
    ]);
    expect(say(list[0]!.finding)).toMatch(/Nothing moved on T-004, but its calibration is overdue since/);
    const drift = withTool(simulatedPlant(drifting), 3, { calibratedOn: firstDay - 400 * msPerDay });
    expect(driftModel(drift, everything, now).tools[0]?.urgency).toBe('response-moved');
  });
});

describe('phases', () => {
  test('a calibration starts the series anew; the change before it is history', () => {
    const plant = simulatedPlant({ ...drifting, shifts: 60 });
    const calibrated = withTool(plant, 1, {
      events: [{ at: firstDay + 28 * msPerDay, kind: 'calibration', note: null }],
    });
    const one = row(calibrated, 'T-002');
    // Shifts 40 to 59 lie after the calibration; there the deviation is the same all the time.
    expect([one.own.blocks, one.response.blocks]).toEqual([20, 20]);
    expect(one.response.moved).toBe(false);
    expect(row(plant, 'T-002').response.moved).toBe(true);
  });
  test('under 10 shifts since a calibration nothing is said but that', () => {
    const plant = withTool(simulatedPlant(base), 1, {
      events: [{ at: firstDay + 21 * msPerDay + 12 * msPerHour, kind: 'repair', note: 'new head' }],
    });
    const one = row(plant, 'T-002');
    expect(one.blocks).toBe(9);
    expect([one.own.moved, one.response.moved, one.kind]).toEqual([null, null, 'too-little']);
    expect(say(one.finding)).toMatch(/9 shifts since 28 Sep; a trend needs 10, the date of a change 20/);
    const detail = driftToolModel(plant, everything, now, 'T-002');
    expect(detail.marks.map((mark) => say(mark.says))).toContain('repaired 28 Sep: new head');
  });
});

describe('joints stopped by angle', () => {
  test('roles swap: a transducer error shows in torque at equal angle, with its own sign', () => {
    // The same physics read the other way: the hand stops at an angle, the shown torque answers.
    const made = simulatedPlant(drifting);
    const { readings } = made;
    const angle = readings.angle.slice();
    for (let i = 0; i < readings.length; i++) {
      const target = made.register.joints[readings.joint[i]!]!.revisions[0]!.target!;
      const after = readings.tool[i] === 1 && readings.at[i]! >= firstDay + 14 * msPerDay;
      const scatter = (readings.torque[i]! / target - 1.008) * 60;
      const applied = target * (1 + (0.4 * scatter) / 60);
      angle[i] = Math.round((60 + scatter) * 10) / 10;
      readings.torque[i] = Math.round(applied * (after ? 0.975 : 1) * 100) / 100;
      readings.angle[i] = angle[i]!;
    }
    const register: Register = {
      ...made.register,
      joints: made.register.joints.map((joint) => ({
        ...joint,
        stopsBy: 'angle' as const,
        revisions: joint.revisions.map((one) => ({ ...one, angleLowDeg: 50, angleTargetDeg: 60, angleHighDeg: 70 })),
      })),
    };
    const one = row(plantOf(readings, register), 'T-002');
    expect([one.own.quantity, one.response.quantity]).toEqual(['angle', 'torque-at-equal-angle']);
    expect([one.own.moved, one.response.moved]).toEqual([false, true]);
    expect(one.response.changePoint?.shiftPercent).toBeCloseTo(-2.5, 0);
    expect(one.response.expectedAtPermitted).toBeCloseTo(4, 9);
    expect(say(one.finding)).toMatch(/may read low/);
  });
});

describe('whatever the data, a sentence and no NaN', () => {
  const empty = plantOf(
    { ...simulatedPlant({ ...base, shifts: 1, perShift: 4 }).readings, length: 0 },
    simulatedPlant({ ...base, shifts: 1, perShift: 4 }).register,
  );
  const cases: [string, Plant][] = [
    ['no reading', empty],
    ['one shift', simulatedPlant({ ...base, shifts: 1 })],
    ['twelve shifts', simulatedPlant({ ...base, shifts: 12 })],
    ['one tool, one operator, one joint', simulatedPlant({ ...base, tools: 1, operators: 1, joints: 1 })],
    ['no angle', simulatedPlant({ ...base, withAngle: false })],
    ['two readings a shift', simulatedPlant({ ...base, perShift: 2 })],
    [
      'all readings equal',
      (() => {
        const plant = simulatedPlant(base);
        plant.readings.torque.fill(24);
        plant.readings.angle.fill(60);
        return { ...plant, judged: judgeAll(plant.readings, plant.register) };
      })(),
    ],
    [
      'no limits at all',
      withRegister(simulatedPlant(base), (register) => ({
        ...register,
        joints: register.joints.map((joint) => ({ ...joint, revisions: [] })),
      })),
    ],
    [
      'nobody named',
      (() => {
        const plant = simulatedPlant(base);
        plant.readings.operator.fill(-1);
        return { ...plant };
      })(),
    ],
  ];
  for (const [name, plant] of cases) {
    test(name, () => {
      const model = driftModel(plant, everything, now);
      expect(notNumbers(model)).toEqual([]);
      expect(say(model.finding).length).toBeGreaterThan(10);
      expect(notNumbers(driftAnswer(plant, everything, now))).toEqual([]);
      for (const tool of plant.register.tools.slice(0, 2)) {
        expect(notNumbers(driftToolModel(plant, everything, now, tool.serial))).toEqual([]);
      }
    });
  }
  test('no angle: the lane says so, and a moved stop is not called people alone', () => {
    const plant = simulatedPlant({
      ...base,
      withAngle: false,
      planted: { kind: 'stop', tool: 1, percent: -4, at: 20 },
    });
    const one = row(plant, 'T-002');
    expect(one.response.moved).toBeNull();
    expect(say(one.response.why!)).toBe('Angle not recorded.');
    expect(one.kind).toBe('own-moved-blind');
  });
  test('a tool that the register does not know is a problem in words', () => {
    expect(() => driftToolModel(simulatedPlant({ ...base, shifts: 1 }), everything, now, 'T-999')).toThrow(
      'There is no tool "T-999".',
    );
  });
});

describe('a tool that failed its check and was adjusted', () => {
  const made = simulatedPlant({ ...base, planted: { kind: 'none' } });
  const pull = (kind: 'as-found' | 'as-left', day: number, shown: number): CheckPull => ({
    tool: 1,
    at: firstDay + day * msPerDay + 5 * msPerHour,
    nominal: 24,
    reference: 24,
    shown,
    unit: 'N.m',
    kind,
    uncertaintyPercent: null,
  });
  const checked = (checks: readonly CheckPull[]): Plant => ({ ...made, register: { ...made.register, checks } });
  const history = [pull('as-found', 3, 24.1), pull('as-found', 10, 22.8), pull('as-left', 10, 24)];

  test('stands at the head with its affected readings, though it is right again', () => {
    const plant = checked(history);
    const [first] = driftModel(plant, everything, now).tools;
    expect(first?.tool).toBe('T-002');
    expect(first?.urgency).toBe('failing-check');
    expect(first?.kind).not.toBe('out-of-tolerance');
    // D = 100 (22.8 - 24) / 24 = -5.0 %; 100 (1 / 0.95 - 1) = 5.3 %.
    expect(say(first!.finding)).toMatch(
      /^T-002 was out of tolerance until it was adjusted on \d+ \w+: on average it showed 5\.0 % less than the reference\. \d+ readings since \d+ \w+ are affected; fasteners got about 5\.3 % more than shown\.$/,
    );
    expect(first!.affected.count).toBeGreaterThan(0);
    const cautions = driftToolModel(plant, everything, now, 'T-002').caution.map((one) => say(one));
    expect(cautions[0]).toMatch(/^Re-check the affected fasteners/);
  });
  test('the next good check closes the matter', () => {
    const rows = driftModel(checked([...history, pull('as-found', 17, 24.1)]), everything, now).tools;
    expect(rows.find((one) => one.tool === 'T-002')?.urgency).not.toBe('failing-check');
  });
});

describe('operators without names', () => {
  test('anonymous labels leave no badge anywhere in the answers', () => {
    const made = simulatedPlant({ ...base, tied: true, operators: 6 });
    // Badges that no number of a working can look like.
    const operators = made.register.operators.map((operator) => ({ ...operator, badge: `K-${operator.badge}` }));
    const plant = { ...made, register: { ...made.register, operators } };
    const options = { anonymousOperators: true, baseline: null, thresholds: {} };
    const text = JSON.stringify([
      driftAnswer(plant, everything, now, options),
      driftModel(plant, everything, now, options),
      plant.register.tools.map((tool) => driftToolModel(plant, everything, now, tool.serial, options)),
      plant.register.tools.map((tool) =>
        toolCard(driftToolModel(plant, everything, now, tool.serial, options), {
          madeMs: 0,
          by: 'test',
          plantName: null,
          programVersion: '0',
        }),
      ),
    ]);
    expect(text).toMatch(/Operator 1/);
    for (const operator of plant.register.operators) expect(text).not.toContain(operator.badge);
  });
});

describe('choices of a person', () => {
  test('a span chosen as baseline is used and printed', () => {
    const plant = simulatedPlant(base);
    const baseline = { from: firstDay + 7 * msPerDay, to: firstDay + 12 * msPerDay };
    const model = driftModel(plant, everything, now, { anonymousOperators: false, baseline, thresholds: {} });
    const { series } = model.tools[0]!.own;
    expect(series.at[series.baselineFrom!]).toBe(firstDay + 7 * msPerDay + 6 * msPerHour);
    expect(series.baselineTo! - series.baselineFrom! + 1).toBe(10);
    expect(series.ewma[series.baselineTo!]).toBeNull();
    expect(series.ewma[series.baselineTo! + 1]).not.toBeNull();
  });
  test('a threshold of the watch list is crossed', () => {
    const plant = withChecks(simulatedPlant(base), pulls(20, -2.5));
    const thresholds = { 'T-002': { ownPercent: null, responsePercent: null, checkPercent: 2 } };
    const model = driftModel(plant, everything, now, { anonymousOperators: false, baseline: null, thresholds });
    const one = model.tools.find((tool) => tool.tool === 'T-002')!;
    expect(one.watch.map((hit) => [hit.lane, hit.thresholdPercent])).toEqual([['check', 2]]);
  });
});

/** Issue D, Show 1 to 3: revisions over time, units either way, adapters; and the laws of judging and order. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { displayStep, judgeAll, timeStepMs } from '#core/judging/judge.ts';
import { failReasons } from '#core/judging/judged.ts';
import type { Plant } from '#core/readings/plant.ts';
import { readingName } from '#core/readings/plant.ts';
import { everything } from '#core/readings/scope.ts';
import { mergeRegisterFile } from '#core/register/register-file.ts';
import { editPreview, jointModel, registerModel, toolModel } from '#core/register/register-model.ts';
import { reviewAnswer } from '#core/review/review-answer.ts';
import { type Said, say as sayExactly } from '#core/text/said.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { convertTorque, newtonMetresPer, torqueUnitCodes } from '#core/units/torque-unit.ts';
import { assemble, civil, plantOf, type TestReading } from '../support/plant-of.ts';

const say = (sentence: Said): string => sayExactly(sentence).replaceAll('\u00a0', ' ');
const verdicts = (plant: Plant): string[] =>
  Array.from(plant.judged.verdict, (code, i) =>
    code === 1 ? 'pass' : code === 2 ? failReasons(plant.judged.reasons[i]!).join('+') : 'unjudged',
  );

describe('limits changed twice in a period', () => {
  const register = {
    joints: [
      {
        name: 'Rack stay M8',
        limits: [
          { from: '2026-09-01', unit: 'N.m', low: 20.8, high: 25.2 },
          { from: '2026-09-23', unit: 'N.m', low: 21.5, high: 26 },
          { from: '2026-10-12T14:00:00', unit: 'N.m', low: 22, high: 26 },
        ],
      },
    ],
  };
  const rows: TestReading[] = [
    { at: '2026-08-31T23:59:59', torque: 21 },
    { at: '2026-09-01T00:00:00', torque: 21 },
    { at: '2026-09-22T23:59:59', torque: 25.6 },
    { at: '2026-09-23T00:00:00', torque: 25.6 },
    { at: '2026-09-23T00:00:01', torque: 21 },
    { at: '2026-10-12T13:59:59', torque: 21.8 },
    { at: '2026-10-12T14:00:00', torque: 21.8 },
    { at: null, torque: 23 },
  ].map((row) => ({ ...row, joint: 'Rack stay M8', tool: 'T-207' }));
  const plant = plantOf(rows, { register });

  it('judges each reading by its own revision', () => {
    expect(verdicts(plant)).toEqual([
      'unjudged',
      'pass',
      'torque-high',
      'pass',
      'torque-low',
      'pass',
      'torque-low',
      'unjudged',
    ]);
    expect(Array.from(plant.judged.revision)).toEqual([-1, 0, 0, 1, 1, 1, 2, -1]);
  });

  it('foretells what a revision changes, and taking it in changes just that', () => {
    const file = {
      joints: [
        { name: 'Rack stay M8', limits: [{ from: '2026-09-10', unit: 'N.m', low: 21.5, high: 25.7, why: 'washer' }] },
      ],
    };
    const preview = editPreview(plant, file);
    const { register: merged } = mergeRegisterFile(plant.register, file);
    const after = assemble(plant.readings, merged, plant.sources, plant.names);
    const changed = verdicts(plant).flatMap((was, i) =>
      was === verdicts(after)[i] ? [] : [readingName(plant.readings, i)],
    );
    expect(preview.joints[0]?.ids).toEqual(changed);
    expect(preview.changedVerdicts).toBe(changed.length);
    expect(changed).toEqual(['1:4']);
    expect(preview.joints[0]?.changes.map((one) => say(one.said))).toEqual([
      '1 of 6 readings would change from torque high to inside',
    ]);
    // From after the last reading on, no past verdict changes.
    const start = preview.joints[0]!.fromAfterLast!;
    expect(start).toBe(civil('2026-10-12T14:00:01'));
    const later = {
      joints: [{ name: 'Rack stay M8', limits: [{ from: '2026-10-12T14:00:01', unit: 'N.m', low: 25, high: 26 }] }],
    };
    expect(editPreview(plant, later)).toMatchObject({ changedVerdicts: 0, joints: [] });
    expect(say(editPreview(plant, later).said)).toBe('No verdict of a reading already held would change.');
  });

  it('says what is wrong with an edit instead of taking it', () => {
    const wrong = editPreview(plant, {
      joints: [{ name: 'Rack stay M8', limits: [{ from: '2026-09-10', unit: 'N.m', low: 3, high: 2 }] }],
    });
    expect(wrong.problems).toHaveLength(1);
    expect(wrong.changedVerdicts).toBe(0);
  });

  it('shows the revisions as steps with the readings behind them', () => {
    const joint = jointModel(plant, 'Rack stay M8')!;
    expect(joint.revisions.map((one) => [one.label, one.readings, one.pass, one.fail])).toEqual([
      ['C', 1, 0, 1],
      ['B', 3, 2, 1],
      ['A', 2, 1, 1],
    ]);
    expect(joint.steps.steps.map((one) => say(one.said))).toEqual([
      'A 20.80 to 25.20',
      'B 21.50 to 26.00',
      'C 22.00 to 26.00',
    ]);
    expect(joint.steps.at.length).toBe(7);
    expect(jointModel(plant, 'No such joint')).toBeNull();
  });
});

describe('units', () => {
  it('passes a value exactly on a limit in either unit, and not one a millionth outside', () => {
    const pair = fc.constantFrom(...torqueUnitCodes);
    fc.assert(
      fc.property(pair, pair, fc.double({ min: 0.5, max: 500, noNaN: true }), (recorded, limit, low) => {
        // The limit is the reading in another unit, as a register would hold it.
        const lowLimit = convertTorque(low, recorded, limit);
        const register = {
          joints: [{ name: 'J', limits: [{ from: '2026-01-01', unit: limit, low: lowLimit, high: lowLimit * 1.2 }] }],
        };
        const at = '2026-03-05T10:00:00';
        const plant = plantOf(
          [low, low * (1 - 1e-6), low * 1.2, low * 1.2 * (1 + 1e-6)].map((torque) => ({
            at,
            joint: 'J',
            torque,
            unit: recorded,
            decimals: 6,
          })),
          { register },
        );
        expect(verdicts(plant)).toEqual(['pass', 'torque-low', 'pass', 'torque-high']);
      }),
      { numRuns: 300 },
    );
  });

  it('says when a value is on the limit to the digits shown, without changing its verdict', () => {
    // 16.2 lbf·ft is 21.964 N·m: under 22, but within half of its last digit (0.05 lbf·ft = 0.068 N·m).
    const register = { joints: [{ name: 'J', limits: [{ from: '2026-01-01', unit: 'N.m', low: 22, high: 26 }] }] };
    const at = '2026-03-05T10:00:00';
    const plant = plantOf(
      [
        { at, joint: 'J', torque: 16.2, unit: 'lbf.ft', decimals: 1 },
        { at, joint: 'J', torque: 16.2, unit: 'lbf.ft', decimals: 2 },
        { at, joint: 'J', torque: 22, unit: 'N.m', decimals: 0 },
      ],
      { register },
    );
    expect(Array.from(plant.judged.onLimit)).toEqual([1, 0, 0]);
    expect(verdicts(plant)).toEqual(['torque-low', 'torque-low', 'pass']);
    expect(displayStep(plant.readings, 0)).toBe(0.1);
    expect(timeStepMs(plant.readings, 0)).toBe(1000);
    expect(newtonMetresPer['lbf.ft']).toBeGreaterThan(1.3558);
  });
});

describe('adapters', () => {
  const register = {
    joints: [{ name: 'J', limits: [{ from: '2026-01-01', unit: 'N.m', low: 22, high: 26 }] }],
    tools: [
      {
        serial: 'T',
        adapters: [
          { from: '2026-03-05T08:00:00', to: '2026-03-05T10:00:00', lengthMm: 300, offsetMm: 30, angleDeg: 0 },
          { from: '2026-03-05T10:00:00', to: null, lengthMm: 300, offsetMm: 30, angleDeg: 90 },
        ],
      },
    ],
  };
  const plant = plantOf(
    ['07:59:59', '08:00:00', '09:59:59', '10:00:00'].map((time) => ({
      at: `2026-03-05T${time}`,
      tool: 'T',
      joint: 'J',
      torque: 24,
    })),
    { register },
  );
  it('correct the torque in their period, before judging; both values are kept', () => {
    expect(Array.from(plant.judged.torque, (value) => Number(value.toPrecision(12)))).toEqual([24, 26.4, 26.4, 24]);
    expect(verdicts(plant)).toEqual(['pass', 'torque-high', 'torque-high', 'pass']);
    expect(Array.from(plant.readings.torque)).toEqual([24, 24, 24, 24]);
  });
  it('change nothing at 90 degrees, to the last digit', () => {
    expect(plant.judged.torque[3]).toBe(24);
  });
  it('are shown with their factor', () => {
    const tool = toolModel(plant, 'T', civil('2026-03-06'))!;
    expect(tool.adapters.map((one) => one.factor)).toEqual([1.1, 1]);
    expect(say(tool.adapters[0]!.said)).toBe('(300 + 30 cos 0°) / 300 = 1.1 times the reading');
    expect(toolModel(plant, 'T-9', 0)).toBeNull();
  });
  it('are shown with the readings made with each: put on inclusive, taken off exclusive', () => {
    const tool = toolModel(plant, 'T', civil('2026-03-06'))!;
    expect(tool.adapters.map((one) => one.readings)).toEqual([2, 1]);
  });
  it('count for a reading without a time only where the tool ever had one, whatever its factor', () => {
    const [first, second] = register.tools[0]!.adapters;
    const factor = (adapters: unknown[]): number =>
      plantOf([{ at: null, tool: 'T', joint: 'J', torque: 20 }], {
        register: { ...register, tools: [{ serial: 'T', adapters }] },
      }).judged.torque[0]! / 20;
    expect(factor([first])).toBeCloseTo(1.1, 12);
    expect(factor([second])).toBe(1);
    expect(factor([first, second])).toBe(1);
  });
  it('say before they are taken in which torques and verdicts they change', () => {
    const preview = (adapters: unknown[]) => editPreview(plant, { tools: [{ serial: 'T', adapters }] });
    // By hand: the two readings at 24 with 300 + 30 count 26.4; with 300 + 15 they count 25.2, 4.545 % less, and pass.
    const [first, second] = register.tools[0]!.adapters;
    const shorter = preview([{ ...first, offsetMm: 15 }, second]);
    expect(shorter.torques).toMatchObject({ readings: 2 });
    expect(shorter.torques?.lowPercent).toBeCloseTo(100 * (25.2 / 26.4 - 1), 9);
    expect(shorter.torques?.highPercent).toBeCloseTo(100 * (25.2 / 26.4 - 1), 9);
    expect(say(shorter.torques!.said)).toBe(
      '2 readings already held would count with another torque at the fastener: −4.5 %.',
    );
    expect(shorter.joints[0]?.changes).toMatchObject([{ from: 'torque-high', to: 'pass', count: 2 }]);
    // Taken off an hour later: one more reading, at 10:00:00, is made with it.
    const longer = preview([{ ...first, to: '2026-03-05T10:00:01' }]);
    expect(longer.torques).toMatchObject({ readings: 1 });
    expect(longer.changedVerdicts).toBe(1);
    // Square to the wrench nothing changes.
    expect(preview([first]).torques).toBeNull();
    expect(editPreview(plant, { tools: [{ serial: 'T', lengthMm: 500 }] }).torques).toBeNull();
    // What is written down of it is what taking it in does.
    const { register: after } = mergeRegisterFile(plant.register, {
      tools: [{ serial: 'T', adapters: [{ ...first, offsetMm: 15 }, second] }],
    });
    const { judged } = assemble(plant.readings, after, plant.sources, plant.names);
    expect(Array.from(judged.verdict)).toEqual([1, 1, 1, 1]);
  });
});

describe('one-sided limits', () => {
  it('give a place by the spread of the readings, the limit itself at one', () => {
    const register = { joints: [{ name: 'J', limits: [{ from: '2026-01-01', unit: 'N.m', low: 20 }] }] };
    const torques = [20, 22, 24, 26, 28, 19];
    const plant = plantOf(
      torques.map((torque, k) => ({ at: `2026-03-05T10:0${k}:00`, joint: 'J', torque })),
      { register },
    );
    // MAD about 23 of these six: distances 3, 1, 1, 3, 5, 4 -> 3.
    const unit = 3 * 1.482602218505602 * 3;
    torques.forEach((torque, i) => {
      expect(plant.judged.torquePlace[i]).toBeCloseTo(-1 + (torque - 20) / unit, 6);
    });
    expect(verdicts(plant)).toEqual(['pass', 'pass', 'pass', 'pass', 'pass', 'torque-low']);
  });
});

describe('laws', () => {
  const start = civil('2026-11-24T05:00:00');
  const reading = fc.record({
    at: fc.integer({ min: 0, max: 20_000 }).map((seconds) => start + seconds * 1000),
    tool: fc.constantFrom('T-1', 'T-2', 'T-3'),
    joint: fc.constantFrom('A', 'B', null),
    operator: fc.constantFrom('1', '2', null),
    torque: fc.constantFrom(8, 9, 10, 11, 12, -10, null),
    angle: fc.constantFrom(10, 30, 60, null),
    own: fc.constantFrom('good' as const, 'bad' as const, null),
    fastener: fc.constantFrom('f1', 'f2', null, null, null),
  });
  const register = {
    shifts: [
      { name: 'Early', start: '06:00', end: '14:00' },
      { name: 'Night', start: '22:00', end: '06:00' },
    ],
    joints: [
      { name: 'A', limits: [{ from: '2026-01-01', unit: 'N.m', low: 9, high: 11, angleLow: 20, batchSize: 2 }] },
      {
        name: 'B',
        direction: 'ccw',
        limits: [
          { from: '2026-01-01', unit: 'N.m', low: 9 },
          { from: '2026-11-24T07:00:00', unit: 'N.m', low: 9.5, high: 10.5 },
        ],
      },
    ],
  };
  /** What a document says apart from names of readings, which name the file. */
  const bare = (plant: Plant): string =>
    JSON.stringify(reviewAnswer(plant, everything, 'N.m'), (key, value) =>
      key === 'readings' && Array.isArray(value) ? value.length : value,
    );

  it('the order in which files come in changes no figure', () => {
    fc.assert(
      fc.property(
        // One reading of a tool a second: equal times of one tool are ordered by intake, by definition.
        fc.uniqueArray(reading, { minLength: 1, maxLength: 60, selector: (one) => `${one.at}${one.tool}` }),
        fc.integer({ min: 1, max: 5 }),
        (rows, files) => {
          // Each tool a file of its own in time order; taken in by rising or falling serial.
          const sorted = [...rows].sort((a, b) => a.at - b.at);
          const inFiles = (tools: string[]): TestReading[] =>
            tools.flatMap((tool, source) =>
              sorted.filter((row) => row.tool === tool).map((row, line) => ({ ...row, source: source + files, line })),
            );
          const options = {
            register: {
              ...register,
              tools: ['T-1', 'T-2', 'T-3'].map((serial) => ({ serial })),
              operators: [{ badge: '1' }, { badge: '2' }],
            },
          };
          const one = plantOf(inFiles(['T-1', 'T-2', 'T-3']), options);
          const other = plantOf(inFiles(['T-3', 'T-1', 'T-2']), options);
          expect(bare(other)).toBe(bare(one));
        },
      ),
      { numRuns: 120 },
    );
  });

  it('every reading has one verdict, and the counts add up', () => {
    fc.assert(
      fc.property(fc.array(reading, { maxLength: 60 }), (rows) => {
        const plant = plantOf(rows, { register });
        const answer = reviewAnswer(plant, everything, 'N.m');
        const { n, pass, fail, unjudged } = answer.readings;
        expect(pass + fail + unjudged).toBe(n);
        expect(n).toBe(rows.length);
        expect(answer.causes.reduce((sum, cause) => sum + cause.count, 0)).toBe(fail);
        expect(answer.matrix.reduce((sum, cell) => sum + cell.fasteners, 0)).toBe(answer.firstPass.fasteners);
        expect(answer.firstPass.passed).toBeLessThanOrEqual(answer.firstPass.judged);
        expect(answer.firstPass.judged).toBeLessThanOrEqual(answer.firstPass.fasteners);
        expect(JSON.stringify(answer)).not.toMatch(/NaN|Infinity/);
        plant.judged.verdict.forEach((verdict, i) => {
          expect(verdict === 2).toBe(plant.judged.reasons[i] !== 0);
          expect(verdict === 0).toBe(plant.judged.unjudgedBecause[i] !== 0);
        });
      }),
      { numRuns: 150 },
    );
  });

  it('a scale of all torques and limits changes no verdict', () => {
    fc.assert(
      fc.property(fc.array(reading, { maxLength: 40 }), fc.constantFrom(2, 0.5, 4), (rows, scale) => {
        const scaled = {
          ...register,
          joints: register.joints.map((joint) => ({
            ...joint,
            limits: joint.limits.map((limit) => ({
              ...limit,
              low: limit.low * scale,
              ...('high' in limit ? { high: (limit.high as number) * scale } : {}),
            })),
          })),
        };
        const one = plantOf(rows, { register });
        const other = plantOf(
          rows.map((row) => ({ ...row, torque: row.torque === null ? null : row.torque * scale })),
          { register: scaled },
        );
        expect(verdicts(other)).toEqual(verdicts(one));
      }),
      { numRuns: 100 },
    );
  });

  it('judging part of the readings gives the same verdicts as judging all', () => {
    fc.assert(
      fc.property(fc.array(reading, { minLength: 2, maxLength: 40 }), (rows) => {
        const twoSided = { ...register, joints: register.joints.slice(0, 1) };
        const all = plantOf(rows, { register: twoSided });
        const half = rows.slice(0, rows.length >> 1);
        expect(verdicts(plantOf(half, { register: twoSided }))).toEqual(verdicts(all).slice(0, half.length));
        expect(judgeAll(all.readings, all.register)).toEqual(all.judged);
      }),
      { numRuns: 60 },
    );
  });
});

describe('the lists of the register', () => {
  const plant = plantOf(
    [
      { at: '2026-11-24T06:10:00', tool: 'T-0207', operator: '139', joint: 'Rack stay M8', torque: 24 },
      { at: '2026-11-24T23:10:00', tool: 'T-207', operator: '139', joint: 'Rack stay M8', torque: 24 },
    ],
    {
      register: {
        joints: [
          { name: 'Rack stay M8', class: 'B', limits: [{ from: '2026-01-01', unit: 'N.m', low: 22, high: 26 }] },
        ],
        tools: [
          {
            serial: 'T-207',
            unit: 'N.m',
            min: 5,
            max: 60,
            permissibleDeviationPercent: 4,
            calibratedOn: '2025-11-10',
            intervalMonths: 12,
            checkEveryDays: 14,
          },
        ],
        operators: [{ badge: '139', name: 'R. Banerjee' }],
        shifts: [
          { name: 'Early', start: '06:00', end: '14:00' },
          { name: 'Night', start: '22:00', end: '06:00' },
        ],
        checks: [24, 24.1, 23.9].map((reference) => ({
          tool: 'T-207',
          at: '2026-11-23T07:00:00',
          nominal: 24,
          reference: reference + 0.72,
          reading: reference,
          unit: 'N.m',
        })),
      },
    },
  );
  it('ask whether a name from a dump is one that is known', () => {
    const model = registerModel(plant);
    expect(model.toSettle.map((one) => say(one.said))).toEqual(['“T-0207” appears in 1 reading. Is it T-207?']);
    expect(model.joints[0]).toMatchObject({ name: 'Rack stay M8', class: 'B', readings: 2 });
    expect(say(model.joints[0]!.said)).toBe('22.00 to 26.00 N·m');
    expect(say(model.tools[0]!.said)).toBe('calibration overdue since Tue 10 Nov 2026');
    expect(model.operators[0]).toMatchObject({ readings: 2, shifts: ['Early', 'Night'] });
    expect(say(model.shifts[1]!.said)).toBe('22:00 to 06:00; belongs to the day on which it starts');
  });
  it('give both sides of a deviation', () => {
    const [check] = registerModel(plant).checks;
    expect(check).toMatchObject({ pulls: 3, passed: true });
    expect(check!.deviationPercent).toBeLessThan(0);
    expect(say(check!.said)).toBe(
      'shows 2.9 % less than the reference; fasteners got 3.0 % more than shown; every pull within what is permitted',
    );
  });
  it('show the tools of a joint with what their fasteners get and where inside is proved', () => {
    const joint = jointModel(plant, 'Rack stay M8', civil('2026-11-24') + msPerDay)!;
    const row = joint.tools.find((tool) => tool.tool === 'T-207')!;
    expect(say(row.fastenersGet!)).toBe('3.0 % more than shown');
    // definitions-tool.json#guard-band: 22.8358 and 25.0123 at 4 % and a step of 0.01.
    expect(row.provedFrom).toBeCloseTo(22.835785740211968, 9);
    expect(row.provedTo).toBeCloseTo(25.01225774437778, 9);
    expect(row.accuracyRatio).toBeCloseTo(2.0833333333333335, 12);
    expect(row.checkDue).toBe(civil('2026-12-07'));
  });
});

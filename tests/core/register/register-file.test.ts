import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { emptyRegister, mergeRegisterFile, registerToFile, revisionLabel } from '#core/register/register-file.ts';
import { similarNames } from '#core/register/similar-names.ts';
import { say } from '#core/text/said.ts';
import { civil, registerOf } from '../support/plant-of.ts';

const sentences = (file: unknown): string[] => mergeRegisterFile(emptyRegister, file).problems.map((one) => say(one));
const limits = { from: '2026-01-01', unit: 'N.m', low: 22, target: 24, high: 26 };

describe('a register file that cannot be used', () => {
  it('names unknown keys and where they stand', () => {
    expect(sentences({ joints: [{ name: 'Rack stay M8', limits: [{ ...limits, lo: 3 }] }] })).toEqual([
      'In joint "Rack stay M8", limits 1: the key "lo" is not known. Remove it or correct the spelling.',
    ]);
    expect(sentences({ tool: [] })).toEqual([
      'The file: the key "tool" is not known. Remove it or correct the spelling.',
    ]);
  });
  it('names what is missing', () => {
    expect(sentences({ joints: [{ class: 'A' }] })).toEqual(['joint 1, name is missing. Add it.']);
    expect(sentences({ checks: [{ tool: 'T', at: '2026-01-01', nominal: 3, reference: 3, unit: 'N.m' }] })).toEqual([
      'check 1, reading is missing. Add it.',
    ]);
  });
  it('says which value is wrong', () => {
    expect(sentences({ joints: [{ name: 'J', limits: [{ ...limits, from: '31.02.2026' }] }] })[0]).toContain(
      'joint "J", limits 1, from: must be a date',
    );
    expect(sentences({ shifts: [{ name: 'Early', start: '6', end: '14:00' }] })[0]).toContain('time of day');
    expect(sentences('words')).toHaveLength(1);
    expect(sentences(null)).toHaveLength(1);
  });
  it.each([
    [{ low: 26, target: null, high: 22 }, 'not in rising order'],
    [{ low: 22, target: 24, high: 22 }, 'not in rising order'],
    [{ low: 22, target: 21, high: 26 }, 'not in rising order'],
    [{ angleLow: 90, angleHigh: 40 }, 'not in rising order'],
    [{ lowPercent: -4 }, 'both as a value and as a percentage'],
    [{ low: null, target: null, high: null, lowPercent: -4 }, 'needs a target'],
    [{ low: -3, target: null }, 'not negative'],
  ])('refuses limits %j', (change, words) => {
    const problems = sentences({ joints: [{ name: 'J', limits: [{ ...limits, ...change }] }] });
    expect(problems).toHaveLength(1);
    expect(problems[0]).toContain(words);
  });
  it('changes nothing when one entry of many is wrong', () => {
    const held = registerOf({ operators: [{ badge: '114' }] });
    const { register } = mergeRegisterFile(held, {
      operators: [{ badge: '122' }],
      joints: [{ name: 'J', limits: [{ ...limits, high: 3 }] }],
    });
    expect(register).toBe(held);
  });
  describe('adapters', () => {
    const adapter = { from: '2026-01-01', to: null, lengthMm: 300, offsetMm: 50, angleDeg: 0 };
    const ofTool = (adapters: unknown[], own: object = {}): string[] =>
      sentences({ tools: [{ serial: 'T', adapters, ...own }] });

    it.each([
      [
        'leave no lever',
        [{ ...adapter, offsetMm: 300, angleDeg: 180 }],
        'T, adapter from Thu 1 Jan 2026: length and offset leave no lever. Check length, offset and angle.',
      ],
      [
        'have no end before the next begins',
        [adapter, { ...adapter, from: '2026-02-01' }],
        'T, adapter from Thu 1 Jan 2026: it has no end and runs into the next one, which is put on Sun 1 Feb 2026. A wrench carries one adapter at a time: end the first, or begin the next later.',
      ],
      [
        'overlap, in whatever order they are given',
        [
          { ...adapter, from: '2026-02-01T06:00' },
          { ...adapter, to: '2026-02-01T06:30' },
        ],
        'T, adapter from Thu 1 Jan 2026: it is on until 1 Feb 2026, 06:30 and runs into the next one, which is put on 1 Feb 2026, 06:00. A wrench carries one adapter at a time: end the first, or begin the next later.',
      ],
      [
        'end before they start',
        [{ ...adapter, to: '2025-12-31' }],
        'T, adapter from Thu 1 Jan 2026: it is taken off on Wed 31 Dec 2025, not after it was put on. Correct one of the two.',
      ],
      [
        'end as they start',
        [{ ...adapter, to: '2026-01-01' }],
        'T, adapter from Thu 1 Jan 2026: it is taken off on Thu 1 Jan 2026, not after it was put on. Correct one of the two.',
      ],
      [
        'have no length, and neither has the wrench',
        [{ ...adapter, lengthMm: null }],
        'T, adapter from Thu 1 Jan 2026: the effective length of the wrench is not known. Give it with the adapter, or with the wrench.',
      ],
    ])('refuses some that %s', (_, adapters, sentence) => {
      expect(ofTool(adapters)).toEqual([sentence]);
    });

    it('takes two that touch: the second is put on when the first is taken off', () => {
      expect(
        ofTool([
          { ...adapter, to: '2026-02-01' },
          { ...adapter, from: '2026-02-01' },
        ]),
      ).toEqual([]);
    });

    it("takes the wrench's own length where none is given, and keeps it when that is corrected", () => {
      const { lengthMm: _, ...without } = adapter;
      const first = registerOf({ tools: [{ serial: 'T', lengthMm: 320, adapters: [without] }] });
      expect(first.tools[0]?.adapters).toMatchObject([{ lengthMm: 320 }]);
      // Given in the same file as the adapter it counts too.
      const again = mergeRegisterFile(first, {
        tools: [{ serial: 'T', lengthMm: 350, adapters: [without] }],
      }).register;
      expect(again.tools[0]?.adapters).toMatchObject([{ lengthMm: 350 }]);
      const corrected = mergeRegisterFile(again, { tools: [{ serial: 'T', lengthMm: 400 }] }).register;
      expect(corrected.tools[0]).toMatchObject({ lengthMm: 400, adapters: [{ lengthMm: 350 }] });
    });
  });
});

describe('merging', () => {
  it('makes -0 % / +4 % of the target the low limit the target', () => {
    const register = registerOf({
      joints: [
        { name: 'J', limits: [{ from: '2026-01-01', unit: 'N.m', target: 24, lowPercent: -0, highPercent: 4 }] },
      ],
    });
    expect(register.joints[0]?.revisions[0]).toMatchObject({ low: 24, target: 24, high: 24.96, label: 'A' });
  });
  it('replaces a revision of the same joint and start, and orders the rest by time', () => {
    const first = registerOf({
      joints: [{ name: 'J', class: 'A', limits: [limits, { ...limits, from: '2026-03-01', low: 21 }] }],
    });
    const { register } = mergeRegisterFile(first, {
      joints: [
        {
          name: 'J',
          limits: [
            { ...limits, from: '2026-03-01T00:00:00', low: 23 },
            { ...limits, from: '2026-02-01', low: 20 },
          ],
        },
      ],
    });
    expect(register.joints[0]?.class).toBe('A');
    expect(register.joints[0]?.revisions.map((one) => [one.label, one.low])).toEqual([
      ['A', 22],
      ['B', 20],
      ['C', 23],
    ]);
  });
  it('keeps keys that the file leaves out and clears those that are null', () => {
    const held = registerOf({ tools: [{ serial: 'T', storageCapacity: 500, intervalMonths: 12 }] });
    const { register } = mergeRegisterFile(held, { tools: [{ serial: 'T', intervalMonths: null, status: 'retired' }] });
    expect(register.tools[0]).toMatchObject({ storageCapacity: 500, intervalMonths: null, status: 'retired' });
  });
  it('never moves a position', () => {
    const held = registerOf({ tools: [{ serial: 'T-2' }, { serial: 'T-9' }], joints: [{ name: 'B' }] });
    const { register } = mergeRegisterFile(held, {
      tools: [{ serial: 'T-1' }, { serial: 'T-9', lengthMm: 300 }],
      joints: [{ name: 'A' }, { name: 'B' }],
    });
    expect(register.tools.map((tool) => tool.serial)).toEqual(['T-2', 'T-9', 'T-1']);
    expect(register.joints.map((joint) => joint.name)).toEqual(['B', 'A']);
  });
  it('does not count a check twice when the file is read twice, and keeps equal pulls of one check', () => {
    const pull = { tool: 'T', at: '2026-03-01T08:00:00', nominal: 24, reference: 24.1, reading: 24, unit: 'N.m' };
    const file = { tools: [{ serial: 'T' }], checks: [pull, pull, { ...pull, reference: 24.3 }] };
    const once = registerOf(file);
    expect(once.checks).toHaveLength(3);
    expect(mergeRegisterFile(once, file).register.checks).toEqual(once.checks);
  });
  it('takes the order of shifts from a file that lists them all', () => {
    const held = registerOf({ shifts: [{ name: 'A', start: '06:00', end: '14:00' }] });
    const file = {
      shifts: [
        { name: 'B', start: '13:00', end: '21:00' },
        { name: 'A', start: '06:00', end: '14:00' },
      ],
    };
    expect(mergeRegisterFile(held, file).register.shifts.map((one) => one.name)).toEqual(['B', 'A']);
  });
});

it('gives the same register when what it wrote is read back', () => {
  const optional = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: null });
  const day = fc
    .integer({ min: 0, max: 900 })
    .map((days) => new Date(Date.UTC(2025, 0, 1 + days)).toISOString().slice(0, 10));
  const tool = fc.record({
    serial: fc.stringMatching(/^T-[0-9]{1,3}$/),
    unit: fc.constantFrom('N.m', 'lbf.ft'),
    min: optional(fc.double({ min: 0.5, max: 10, noNaN: true })),
    max: optional(fc.double({ min: 11, max: 200, noNaN: true })),
    permissibleDeviationPercent: optional(fc.constantFrom(4, 6)),
    storageCapacity: optional(fc.integer({ min: 1, max: 5000 })),
    calibratedOn: optional(day),
    intervalMonths: optional(fc.integer({ min: 1, max: 24 })),
    status: fc.constantFrom('in-use', 'quarantined', 'retired'),
    events: fc.uniqueArray(
      fc.record({ at: day, kind: fc.constantFrom('calibration', 'repair'), note: optional(fc.string()) }),
      {
        selector: (event) => `${event.at}${event.kind}`,
        maxLength: 3,
      },
    ),
  });
  const joint = fc.record({
    name: fc.stringMatching(/^[A-Z][a-z]{1,6} M[0-9]$/),
    class: optional(fc.constantFrom('A', 'B', 'C')),
    direction: fc.constantFrom('cw', 'ccw'),
    stopsBy: fc.constantFrom('torque', 'angle'),
    limits: fc.uniqueArray(
      fc.record({
        from: day,
        unit: fc.constantFrom('N.m', 'cN.m'),
        target: fc.double({ min: 5, max: 100, noNaN: true }),
        lowPercent: fc.integer({ min: -30, max: 0 }),
        highPercent: fc.integer({ min: 1, max: 30 }),
        angleLow: optional(fc.integer({ min: 1, max: 40 })),
        batchSize: optional(fc.integer({ min: 1, max: 12 })),
        why: optional(fc.string()),
      }),
      { selector: (one) => one.from, maxLength: 4 },
    ),
  });
  fc.assert(
    fc.property(
      fc.record({
        tools: fc.uniqueArray(tool, { selector: (one) => one.serial, maxLength: 4 }),
        joints: fc.uniqueArray(joint, { selector: (one) => one.name, maxLength: 4 }),
      }),
      (file) => {
        const register = registerOf(file);
        expect(registerOf(registerToFile(register))).toEqual(register);
        // And through JSON, as the command line writes it.
        expect(registerOf(JSON.parse(JSON.stringify(registerToFile(register))))).toEqual(register);
      },
    ),
    { numRuns: 150 },
  );
});

it('labels revisions A to Z and on', () => {
  expect([0, 25, 26, 701, 702].map(revisionLabel)).toEqual(['A', 'Z', 'AA', 'ZZ', 'AAA']);
});

it('finds names that may be the same, never another number', () => {
  expect(similarNames('T-0207', ['T-207', 'T-208', 'T-302'])).toEqual(['T-207']);
  expect(similarNames('rack stay m8', ['Rack stay M8', 'Rack stay M6'])).toEqual(['Rack stay M8']);
  expect(similarNames('Rack sty M8', ['Rack stay M8', 'Side rail M8'])).toEqual(['Rack stay M8']);
  expect(similarNames('T-208', ['T-207'])).toEqual([]);
});

it('reads times of limits to the second', () => {
  const register = registerOf({ joints: [{ name: 'J', limits: [{ ...limits, from: '2026-03-05T14:00:00' }] }] });
  expect(register.joints[0]?.revisions[0]?.from).toBe(civil('2026-03-05T14:00:00'));
  expect(registerToFile(register).joints?.[0]?.limits?.[0]?.from).toBe('2026-03-05T14:00:00');
});

describe('weekdays and breaks of a shift', () => {
  const night = { name: 'Night', start: '22:00', end: '06:00' };

  it('keeps what the file leaves out, and every day is no weekday', () => {
    const held = registerOf({
      shifts: [{ ...night, weekdays: ['Fri', 'Mon'], breaks: [{ start: '02:00', end: '02:30', name: 'meal' }] }],
    });
    expect(held.shifts[0]).toMatchObject({
      weekdays: [0, 4],
      breaks: [{ startMinute: 120, endMinute: 150, name: 'meal' }],
    });
    expect(mergeRegisterFile(held, { shifts: [{ ...night, end: '05:00' }] }).register.shifts[0]).toMatchObject({
      endMinute: 300,
      weekdays: [0, 4],
      breaks: [{ name: 'meal' }],
    });
    const all = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];
    expect(registerOf({ shifts: [{ ...night, weekdays: all }] }).shifts[0]?.weekdays).toBeNull();
    expect(
      mergeRegisterFile(held, { shifts: [{ ...night, weekdays: null, breaks: null }] }).register.shifts[0],
    ).toMatchObject({
      weekdays: null,
      breaks: [],
    });
    expect(registerOf(registerToFile(held))).toEqual(held);
  });

  it('refuses a break that takes no time, lies outside the shift or runs into the next', () => {
    const problems = (breaks: unknown[]): string[] =>
      mergeRegisterFile(emptyRegister, { shifts: [{ ...night, breaks }] }).problems.map((one) => say(one));
    expect(
      problems([
        { start: '23:50', end: '00:10' },
        { start: '05:30', end: '06:00' },
      ]),
    ).toEqual([]);
    expect(problems([{ start: '02:00', end: '02:00' }])[0]).toContain('Night shift, break 1: it takes no time');
    expect(problems([{ start: '05:50', end: '06:10' }])).toHaveLength(1);
    expect(problems([{ start: '12:00', end: '12:30' }])).toHaveLength(1);
    expect(
      problems([
        { start: '02:00', end: '02:40' },
        { start: '02:30', end: '03:00' },
      ]),
    ).toHaveLength(1);
  });

  it('names a weekday it does not know', () => {
    const { problems } = mergeRegisterFile(emptyRegister, { shifts: [{ ...night, weekdays: ['Montag'] }] });
    expect(say(problems[0]!)).toContain('shift "Night", weekdays');
  });
});

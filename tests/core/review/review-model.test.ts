import { describe, expect, it } from 'vitest';
import type { Plant } from '#core/readings/plant.ts';
import { everything, type Scope } from '#core/readings/scope.ts';
import { fastenerChains } from '#core/review/chains.ts';
import { collectionModel } from '#core/review/collection.ts';
import { storedEstimate } from '#core/review/memory-estimate.ts';
import { reviewAnswer } from '#core/review/review-answer.ts';
import { reviewModel } from '#core/review/review-model.ts';
import { secondPulls } from '#core/review/second-pulls.ts';
import { type Said, say as sayExactly } from '#core/text/said.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { referenceCase } from '../drift/reference.ts';
import { civil, plantOf, type TestReading } from '../support/plant-of.ts';

/** The sentence with plain blanks: no-break ones are a matter of the page. */
const say = (sentence: Said): string => sayExactly(sentence).replaceAll('\u00a0', ' ');

const shifts = [
  { name: 'Early', start: '06:00', end: '14:00' },
  { name: 'Late', start: '14:00', end: '22:00' },
  { name: 'Night', start: '22:00', end: '06:00' },
];
const caliper = {
  name: 'Brake caliper M6',
  class: 'A',
  limits: [
    { from: '2026-09-01', unit: 'N.m', low: 7.5, target: 8, high: 8.5, angleLow: 20, angleHigh: 50, batchSize: 4 },
  ],
};
const axle = { name: 'Rear axle nut', limits: [{ from: '2026-09-01', unit: 'N.m', low: 40, high: 50, batchSize: 2 }] };
const register = {
  shifts,
  joints: [caliper, axle],
  operators: [
    { badge: '139', name: 'R. Banerjee' },
    { badge: '147', name: 'J. Tveit' },
  ],
};

/** A shift of one tool: bikes of four calipers and two axle nuts, 20 s a fastener. */
function bikes(from: string, count: number, change: Partial<TestReading>[] = []): TestReading[] {
  const start = civil(from);
  return Array.from({ length: count * 6 }, (_, k) => {
    const place = k % 6;
    const isCaliper = place < 4;
    return {
      at: start + k * 20_000,
      tool: 'T-305',
      operator: '139',
      joint: isCaliper ? 'Brake caliper M6' : 'Rear axle nut',
      torque: isCaliper ? 8.01 : 45,
      angle: isCaliper ? 33 : null,
      batch: `HC-${24_001 + Math.floor(k / 6)}`,
      position: isCaliper ? place + 1 : place - 3,
      ...change[k],
    };
  });
}

const early = (day: string): Scope => ({
  ...everything,
  from: civil(day),
  to: civil(day) + msPerDay,
  shifts: ['Early'],
});

describe('a shift', () => {
  const rows = bikes('2026-11-24T06:10:00', 10);
  // No. 3 of the second bike stays low and is tightened again after loosening; one axle nut of bike 5 is missing.
  rows[8] = { ...rows[8], torque: 7.32, angle: 28, own: 'good' };
  rows.splice(9, 0, { ...rows[8], at: (rows[8]!.at as number) + 8000, torque: -5, angle: -30, own: null });
  rows.splice(10, 0, { ...rows[8], at: (rows[8]!.at as number) + 14_000, torque: 7.99, angle: 36 });
  const missing = rows.findIndex(
    (row) => row.batch === 'HC-24005' && row.joint === 'Rear axle nut' && row.position === 2,
  );
  rows.splice(missing, 1);
  const plant = plantOf(rows, { register });
  const scope = early('2026-11-24');
  const model = reviewModel(plant, scope, null);
  const answer = reviewAnswer(plant, scope, 'N.m');

  it('counts readings once, and they add up', () => {
    expect(model.counts).toMatchObject({ readings: 61, pass: 59, fail: 1, unjudged: 1, otherDirection: 1 });
    expect(answer.readings).toMatchObject({ n: 61, pass: 59, fail: 1, unjudged: 1, noTime: 0 });
    expect(answer.causes.reduce((sum, cause) => sum + cause.count, 0)).toBe(answer.readings.fail);
  });

  it('finds the planted missing fastener and says which', () => {
    expect(model.fasteners).toMatchObject({ due: 60, read: 59, missing: 1, surplus: 0, batches: 20 });
    expect(model.fasteners.incomplete).toHaveLength(1);
    expect(model.fasteners.incomplete[0]).toMatchObject({ batch: 'HC-24005', slots: [true, false], missing: 1 });
    expect(say(model.fasteners.incomplete[0]!.said)).toBe('Rear axle nut, no. 2');
    expect(say(model.fasteners.said)).toBe('60 due in 20 batches, 59 read, 1 missing');
    expect(answer.batches?.filter((batch) => batch.missing > 0)).toEqual([
      expect.objectContaining({ joint: 'Rear axle nut', batch: 'HC-24005', size: 2, distinct: 1, missing: 1 }),
    ]);
    expect(answer.batches).toHaveLength(20);
  });

  it('finds the chain of tries, with the loosening that proves it', () => {
    expect(answer.retries).toEqual([
      {
        joint: 'Brake caliper M6',
        tool: 'T-305',
        fastener: 'HC-24002/3',
        chainBy: 'identity',
        readings: ['1:10', '1:12'],
        loosened: true,
        endsInPass: true,
      },
    ]);
    expect(model.again).toMatchObject({ total: 1, loosened: 1, notLoosened: 0, endsInside: 1 });
    expect(say(model.failing.rows[0]!.outcome!)).toBe('Loosened, then 7.99');
    expect(say(model.failing.rows[0]!.said)).toBe(
      '06:12 Brake caliper M6 no. 3, T-305, R. Banerjee (139): 7.32 N·m, 28°; 2nd try after loosening 7.99 N·m, 36°',
    );
  });

  it('rates fasteners by their first and last try', () => {
    expect(answer.firstPass).toMatchObject({ fasteners: 59, judged: 59, passed: 58 });
    expect(answer.finalRate).toMatchObject({ fasteners: 59, judged: 59, passed: 59, high95: 1 });
    expect(say(model.finding[0]!)).toBe(
      '59 fasteners judged, 98.3 % inside at the first try (95 % interval 91.0 to 99.7).',
    );
    expect(say(model.finding[1]!)).toBe('The one outside is Brake caliper M6 torque low, from T-305.');
  });

  it('lists where the tool differs from us', () => {
    expect(answer.ownResultDiffers).toBe(1);
    expect(answer.notices.find((notice) => notice.kind === 'own-result-differs')?.readings).toEqual(['1:10']);
  });

  it('draws every failing reading, and a thread to its next try', () => {
    expect(model.ribbon.marks).toHaveLength(1);
    expect(model.ribbon.marks[0]).toMatchObject({ kind: 'torque-low', strip: 'torque', row: 0, count: 1 });
    expect(model.ribbon.marks[0]!.place).toBeCloseTo((7.32 - 8) / 0.5, 6);
    expect(model.ribbon.threads).toHaveLength(1);
    expect(model.ribbon.strips.map((strip) => strip.strip)).toEqual(['torque', 'angle']);
    expect(model.ribbon.strips[0]!.dots?.at.length).toBe(59);
  });

  it('names the period by its shift', () => {
    expect(model.period).toMatchObject({
      from: civil('2026-11-24T06:00'),
      to: civil('2026-11-24T14:00'),
      shift: 'Early',
    });
    expect(answer.period).toEqual({ from: '2026-11-24T06:00:00', to: '2026-11-24T14:00:00', shift: 'Early' });
  });
});

describe('nights, boundaries and readings without time', () => {
  const rows: TestReading[] = [
    ...bikes('2026-11-24T05:59:10', 1), // three fasteners before six, three after
    ...bikes('2026-11-24T23:30:00', 1),
    ...bikes('2026-11-25T02:00:00', 1),
    { tool: 'T-305', joint: 'Rear axle nut', torque: 45, line: 900 },
    { at: '2026-11-24', tool: 'T-305', joint: 'Rear axle nut', torque: 45, line: 901 },
  ];
  rows.forEach((row, k) => {
    if (k >= 6 && k < 18) rows[k] = { ...row, batch: `N-${Math.floor(k / 6)}` };
  });
  const plant = plantOf(rows, { register });
  const night = (day: string): Scope => ({ ...early(day), shifts: ['Night'] });

  it('counts a night under the day on which it starts', () => {
    expect(reviewAnswer(plant, night('2026-11-24'), 'N.m').readings.n).toBe(12);
    expect(reviewAnswer(plant, night('2026-11-25'), 'N.m').readings.n).toBe(0);
    expect(reviewAnswer(plant, night('2026-11-23'), 'N.m').readings.n).toBe(3);
    expect(reviewAnswer(plant, early('2026-11-24'), 'N.m').readings.n).toBe(3);
  });

  it('gives a batch across the shift boundary to the shift of its first reading, whole', () => {
    const before = reviewAnswer(plant, night('2026-11-23'), 'N.m');
    expect(before.batches).toEqual([expect.objectContaining({ joint: 'Brake caliper M6', distinct: 4, missing: 0 })]);
    const after = reviewAnswer(plant, early('2026-11-24'), 'N.m');
    expect(after.batches).toEqual([expect.objectContaining({ joint: 'Rear axle nut', distinct: 2, missing: 0 })]);
  });

  it('keeps readings without a time out of periods and counts them there', () => {
    const shift = reviewAnswer(plant, early('2026-11-24'), 'N.m');
    expect(shift.readings).toMatchObject({ n: 3, noTime: 1 });
    const all = reviewAnswer(plant, everything, 'N.m');
    expect(all.readings).toMatchObject({ n: 20, noTime: 1 });
    // A date without a time of day is in its day, in no shift.
    const day = { ...everything, from: civil('2026-11-24'), to: civil('2026-11-25') };
    expect(reviewAnswer(plant, day, 'N.m').readings.n).toBe(13);
  });

  it('counts every reading once on the days of clock changes', () => {
    // 26 October 2025, 02:00 to 03:00 twice: the file steps back once by less than an hour and keeps its order.
    const times = ['01:40', '02:20', '02:50', '02:05', '02:30', '03:10'];
    const twice = plantOf(
      times.map((time) => ({ at: `2025-10-26T${time}:00`, tool: 'T-305', joint: 'Rear axle nut', torque: 45 })),
      { register },
    );
    expect(Array.from(twice.order)).toEqual([0, 1, 2, 3, 4, 5]);
    expect(reviewAnswer(twice, night('2025-10-25'), 'N.m').readings.n).toBe(6);
    const hour = { ...everything, from: civil('2025-10-26T02:00'), to: civil('2025-10-26T03:00') };
    expect(reviewAnswer(twice, hour, 'N.m').readings.n).toBe(4);
  });
});

describe('operator by tool', () => {
  const rows: TestReading[] = [];
  for (let k = 0; k < 300; k++) {
    const first = k < 100;
    rows.push({
      at: civil('2026-11-24T06:00:00') + k * 60_000,
      tool: k % 2 === 0 ? 'T-114' : 'T-305',
      operator: k % 2 === 0 ? '147' : first ? '147' : '139',
      joint: 'Rear axle nut',
      torque: k % 2 === 1 && !first && k % 6 === 1 ? 39 : 45,
    });
  }
  const model = reviewModel(plantOf(rows, { register }), everything, null);

  it('marks the cell that is worse than all others and no other', () => {
    // Cells that are better than the rest, this one included, may be bold as well: the test has two sides.
    const bold = model.matrix.cells.filter((cell) => cell.bold && cell.share! < model.matrix.overall!);
    expect(bold).toHaveLength(1);
    expect(model.matrix.operators[bold[0]!.operator]?.badge).toBe('139');
    expect(model.matrix.tools[bold[0]!.tool]?.serial).toBe('T-305');
    expect(model.matrix.cells.reduce((sum, cell) => sum + cell.fasteners, 0)).toBe(model.firstPass.fasteners);
  });
  it('says where operators followed one another', () => {
    expect(model.matrix.remarks.map((one) => say(one))).toEqual([
      'R. Banerjee (139) had T-305 only after 07:41: operator and time cannot be told apart.',
    ]);
  });
  it('draws the tool of the finding in ink', () => {
    expect(model.ribbon.ink).toBe('T-305');
    expect(model.ribbon.strips[0]!.inkMedian?.at.length).toBeGreaterThan(0);
  });
});

describe('large and empty scopes', () => {
  it('pools dots to a band and shares marks, and says how many; the counts add up', () => {
    const rows: TestReading[] = Array.from({ length: 12_000 }, (_, k) => ({
      at: civil('2026-11-24T06:00:00') + k * 2000,
      tool: `T-${k % 7}`,
      joint: 'Rear axle nut',
      torque: k % 4 === 0 ? 38 : 44 + (k % 10) / 10,
    }));
    const plant = plantOf(rows, { register });
    const model = reviewModel(plant, everything, null);
    expect(model.ribbon.drawnAs).toBe('band');
    expect(model.ribbon.marks.length).toBeLessThanOrEqual(2000);
    expect(model.ribbon.marks.reduce((sum, mark) => sum + mark.count, 0)).toBe(3000);
    const band = model.ribbon.strips[0]!.band!;
    expect(band.count.reduce((sum, n) => sum + n, 0)).toBe(9000);
    expect(say(model.ribbon.caption!)).toContain('none is left out');
    band.median.forEach((median, c) => {
      expect(median).toBeGreaterThanOrEqual(band.low[c]!);
      expect(median).toBeLessThanOrEqual(band.high[c]!);
    });
    expect(model.failing.rows).toHaveLength(500);
    // A table that leaves the program holds them all.
    expect(reviewModel(plant, everything, null, Number.POSITIVE_INFINITY).failing.rows).toHaveLength(3000);
    expect(model.failing.total).toBeLessThanOrEqual(3000);
  });

  it('counts every batch that lacks a fastener, though it lists only the first', () => {
    const rows = bikes('2026-11-24T06:00:00', 150).filter((_, k) => k % 6 !== 5);
    const model = reviewModel(plantOf(rows, { register }), everything, null);
    expect(model.fasteners).toMatchObject({ missing: 150, batchesMissing: 150, incompleteTotal: 150 });
    expect(model.fasteners.incomplete).toHaveLength(100);
    expect(model.finding.map((one) => say(one))).toContain('150 fasteners are missing in 150 batches.');
  });

  it('says where the nearest readings are when a period holds none', () => {
    const plant = plantOf(bikes('2026-11-23T15:00:00', 1), { register });
    const model = reviewModel(plant, early('2026-11-24'), null);
    expect(say(model.empty!.said)).toBe(
      'No readings in this period. The nearest are in the Late shift of Mon 23 Nov 2026.',
    );
    expect(model.ribbon.axis.spans).toEqual([]);
    expect(model.firstPass.share).toBeNull();
  });

  it('answers an empty store with a sentence and no number', () => {
    const plant = plantOf([], { register });
    expect(say(reviewModel(plant, everything, null).finding[0]!)).toContain('No readings yet');
    const answer = reviewAnswer(plant, everything, 'N.m');
    expect(answer.firstPass).toMatchObject({ rate: null, low95: null, high95: null });
    expect(JSON.stringify(answer)).not.toMatch(/NaN|Infinity/);
  });

  it('judges nothing without limits and says what to do', () => {
    const plant = plantOf([{ at: '2026-11-24T07:00:00', joint: 'Crank arm', torque: 40 }], {
      register: { ...register, joints: [{ name: 'Crank arm' }] },
    });
    const model = reviewModel(plant, early('2026-11-24'), null);
    expect(model.finding.map((one) => say(one))).toEqual([
      '1 fastener, none judged.',
      'No limits for Crank arm on this day: 1 reading unjudged. Add a revision.',
    ]);
    expect(model.ribbon.marks).toEqual([expect.objectContaining({ kind: 'unjudged', place: null })]);
    expect(model.causes.rows).toHaveLength(1);
  });

  it('says of a name that no one has confirmed that it is new, not that limits are missing', () => {
    const plant = plantOf([{ at: '2026-11-24T07:00:00', joint: 'Crank-arm', torque: 40 }], { register });
    expect(say(reviewModel(plant, early('2026-11-24'), null).finding[1]!)).toBe(
      '“Crank-arm” is a name the register does not know yet: 1 reading unjudged. Confirm, rename or merge it.',
    );
  });

  it('says that a clock was not set, keeps those readings in a row of their own and out of the pace', () => {
    const row = (at: string): TestReading => ({ at, joint: 'Brake caliper M6', torque: 8, angle: 30 });
    const plant = plantOf(
      [
        row('2000-01-01T00:10:00'),
        row('2000-01-01T00:11:00'),
        ...Array.from({ length: 90 }, (_, k) =>
          row(new Date(civil('2026-11-24T07:00:00') + k * 60_000).toISOString().slice(0, 19)),
        ),
        row('2026-08-31T07:00:00'),
      ],
      { register },
    );
    const model = reviewModel(plant, everything, null);
    expect(model.finding.map((one) => say(one)).slice(1)).toEqual([
      'Every judged first try is inside its limits.',
      '2 readings come from a clock that was not set (dated 1 Jan 2000) and are unjudged.',
      'No limits for Brake caliper M6 on this day: 1 reading unjudged. Add a revision.',
    ]);
    expect(model.causes.rows.map((one) => [say(one.unjudgedBecause!), one.clockUnset, one.count])).toEqual([
      ['the clock was not set', true, 2],
      ['no limits on that day', false, 1],
    ]);
    // From August on: 85 days in columns of a day, not 26 years in columns of a month.
    expect(model.pace.stepMs).toBe(msPerDay);
    expect(model.pace.counts.reduce((sum, count) => sum + count, 0)).toBe(91);
    // The axis names the year of the days of 2000.
    expect(say(model.ribbon.axis.ticks[0]!.said)).toBe('1 Jan 2000');
    expect(say(model.ribbon.axis.ticks.at(-1)!.said)).toBe('24 Nov');
  });

  it('names a pause that is a break of the shift, in the ribbon and in the pace', () => {
    const plant = plantOf(
      ['07:00', '07:05', '09:01', '09:29', '09:40'].map((time) => ({
        at: `2026-11-24T${time}:00`,
        joint: 'Brake caliper M6',
        torque: 8,
        angle: 30,
      })),
      {
        register: {
          ...register,
          shifts: [
            {
              name: 'Early',
              start: '06:00',
              end: '14:00',
              breaks: [{ start: '09:00', end: '09:30', name: 'breakfast' }],
            },
          ],
        },
      },
    );
    const model = reviewModel(plant, early('2026-11-24'), null);
    expect(model.ribbon.axis.breaks.map((one) => say(one.said))).toContain('breakfast, 28 minutes');
    expect(model.pace.gaps.map((gap) => gap.name)).toEqual([null, 'breakfast', null]);
  });

  it('tells a calibration that is overdue by its count of readings as by its months', () => {
    const plant = plantOf(
      Array.from({ length: 6 }, (_, k) => ({
        at: civil('2026-11-24T07:00:00') + k * 60_000,
        tool: 'T-9',
        joint: 'Brake caliper M6',
        torque: 8,
        angle: 30,
      })),
      { register: { ...register, tools: [{ serial: 'T-9', calibratedOn: '2026-11-01', intervalCycles: 5 }] } },
    );
    const overdue = (r: typeof plant): string[] =>
      reviewModel(r, early('2026-11-24'), null)
        .notices.filter((one) => one.kind === 'calibration-overdue')
        .map((one) => say(one.said));
    expect(overdue(plant)).toEqual(['T-9: calibration overdue since Tue 24 Nov 2026']);
    expect(say(collectionModel(plant, civil('2026-11-24T08:00:00')).rows[0]!.said.at(-1)!)).toBe(
      'calibration overdue since Tue 24 Nov 2026, by the number of readings held',
    );
  });

  it('keeps causes apart that differ in why there is no verdict', () => {
    const plant = plantOf(
      [
        { at: '2026-11-24T07:00:00', joint: 'Brake caliper M6', torque: 8 },
        { at: '2026-11-24T07:05:00', joint: 'Brake caliper M6', angle: 30 },
        { at: '2026-08-24T07:05:00', joint: 'Brake caliper M6', torque: 8, angle: 30 },
      ],
      { register },
    );
    const { rows } = reviewModel(plant, everything, null).causes;
    expect(rows.map((row) => say(row.said)).sort()).toEqual([
      'unjudged Brake caliper M6, no angle value',
      'unjudged Brake caliper M6, no limits on that day',
      'unjudged Brake caliper M6, no torque value',
    ]);
    expect(new Set(rows.map((row) => row.key)).size).toBe(3);
    expect(rows.at(-1)?.running).toBe(1);
  });

  it('shows the three readings nearest to a limit when all are inside', () => {
    const rows = bikes('2026-11-24T06:10:00', 2);
    rows[1] = { ...rows[1], torque: 8.49 };
    const model = reviewModel(plantOf(rows, { register }), early('2026-11-24'), null);
    expect(model.nearest).toHaveLength(3);
    expect(model.nearest[0]!.torque).toBe(8.49);
    expect(say(model.finding[1]!)).toBe('Every judged first try is inside its limits.');
  });
});

describe('second pulls and tries without loosening', () => {
  const start = civil('2026-11-24T06:10:00');
  const at = (second: number, rest: TestReading): TestReading => ({
    at: start + second * 1000,
    tool: 'T-305',
    joint: 'Brake caliper M6',
    ...rest,
  });
  const plant = plantOf(
    [
      at(0, { torque: 8, angle: 33 }),
      at(5, { torque: 8.1, angle: 3 }), // a second pull
      at(200, { torque: 7.3, angle: 30 }),
      at(215, { torque: 8, angle: 4 }), // tightened on without loosening: torque right, angle short
      at(400, { torque: 8.9, angle: 40 }), // too high
    ],
    { register },
  );
  it('asks about a tiny angle after a pass', () => {
    expect([...secondPulls(plant)]).toEqual([1]);
    const model = reviewModel(plant, everything, null);
    expect(say(model.failing.rows[0]!.question!)).toBe('Second pull on a tight fastener?');
    expect(model.notices.find((notice) => notice.kind === 'second-pull')?.count).toBe(1);
  });
  it('fails a try without loosening as angle low, and says that it was not loosened', () => {
    const model = reviewModel(plant, everything, null);
    expect(say(model.failing.rows[1]!.outcome!)).toBe('Not loosened: 4°, angle low');
    expect(model.again).toMatchObject({ total: 1, loosened: 0, notLoosened: 1, endsInside: 0 });
  });
  it('says that too high needs loosening first', () => {
    const model = reviewModel(plant, everything, null);
    expect(say(model.failing.rows[3]!.outcome!)).toBe('Needs loosening first');
  });
});

it('compares with the shift before and the same shift a week before', () => {
  const plant = plantOf(
    [
      ...bikes('2026-11-17T06:10:00', 5),
      ...bikes('2026-11-23T22:10:00', 5, [{ torque: 7 }, { torque: 7 }]),
      ...bikes('2026-11-24T06:10:00', 5),
    ],
    { register },
  );
  const { comparison } = reviewModel(plant, early('2026-11-24'), null);
  expect(comparison.map((one) => [one.kind, say(one.label), one.firstPass.judged])).toEqual([
    ['previous', 'Night shift of Mon 23 Nov 2026', expect.any(Number)],
    ['week-before', 'Early shift of Tue 17 Nov 2026, a week before', 30],
  ]);
});

describe('collection list', () => {
  for (const id of ['collection-cleared', 'collection-not-cleared']) {
    it(`definitions-tool.json#${id}`, () => {
      const { input, expect: want } = referenceCase('definitions-tool.json', id);
      expect(
        storedEstimate(input.readings_per_working_day, input.days_since_last_dump, {
          readings: input.last_dump.readings,
          notCleared: input.last_dump.already_held > 0,
        }),
      ).toBe(want.storedEstimate);
    });
  }
  it('puts the memory that fills first at the top and counts working days only', () => {
    const rows: TestReading[] = [];
    // Monday 9 to Friday 20 November: 100 readings a working day of T-1, 10 of T-2.
    for (let day = 9; day <= 20; day++) {
      if (day === 14 || day === 15) continue;
      for (let k = 0; k < 100; k++) {
        const at = civil(`2026-11-${String(day).padStart(2, '0')}T07:00:00`) + k * 60_000;
        rows.push({ at, tool: 'T-1', joint: 'Rear axle nut', torque: 45 });
        if (k < 10) rows.push({ at, tool: 'T-2', joint: 'Rear axle nut', torque: 45 });
      }
    }
    const tools = ['T-1', 'T-2'].map((serial) => ({
      serial,
      storageCapacity: 500,
      checkEveryDays: 7,
      intervalMonths: 12,
    }));
    const plant = plantOf(rows, { register: { ...register, tools } });
    // Wednesday 25 November: three working days since the read-out on Friday.
    const model = collectionModel(plant, civil('2026-11-25T06:00'));
    expect(model.rows.map((row) => [row.tool, row.stored, row.fullOn])).toEqual([
      ['T-1', 300, civil('2026-11-27')],
      ['T-2', 30, expect.any(Number)],
    ]);
    expect(model.rows[0]).toMatchObject({ readOut: 'soon', calibration: 'unknown' });
    const later = collectionModel(plant, civil('2026-11-30T06:00'));
    expect(later.rows[0]).toMatchObject({ tool: 'T-1', stored: 600, readOut: 'overdue' });
    expect(say(later.said)).toBe('Mon 30 Nov 2026: 1 wrench to read out.');
  });
  it('adds what stayed in the memory when the last dump was not cleared', () => {
    const rows: TestReading[] = Array.from({ length: 50 }, (_, k) => ({
      at: civil('2026-11-23T07:00:00') + k * 60_000,
      tool: 'T-1',
      joint: 'Rear axle nut',
      torque: 45,
    }));
    const tools = [{ serial: 'T-1', storageCapacity: 500 }];
    const plant: Plant = plantOf(rows, { register: { ...register, tools }, sources: [{ alreadyHeld: 150 }] });
    expect(collectionModel(plant, civil('2026-11-23T18:00')).rows[0]).toMatchObject({ stored: 200, notCleared: true });
  });
});

it('never counts a fastener twice: first tries of all scopes of a partition add up', () => {
  const rows = [
    ...bikes('2026-11-24T05:30:00', 20),
    ...bikes('2026-11-24T13:30:00', 20),
    ...bikes('2026-11-24T21:30:00', 20),
  ];
  rows.forEach((row, k) => {
    rows[k] = { ...row, batch: null, torque: k % 17 === 3 ? 1 : (row.torque ?? null) };
  });
  const plant = plantOf(rows, { register });
  const { firstOf } = fastenerChains(plant);
  const days = ['2026-11-23', '2026-11-24'];
  const parts = days.flatMap((day) =>
    shifts.map((shift) => reviewAnswer(plant, { ...early(day), shifts: [shift.name] }, 'N.m')),
  );
  expect(parts.reduce((sum, part) => sum + part.firstPass.fasteners, 0)).toBe(firstOf.length);
  expect(parts.reduce((sum, part) => sum + part.readings.n, 0)).toBe(rows.length);
});

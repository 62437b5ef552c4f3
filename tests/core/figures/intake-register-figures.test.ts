import { describe, expect, it } from 'vitest';
import type { WouldAdd } from '#core/contract/models/intake-model.ts';
import type { CheckRow, StepFigureModel } from '#core/contract/models/register-model.ts';
import { checkHistory } from '#core/figures/check-history.ts';
import type { Drawing } from '#core/figures/figure.ts';
import { limitSteps } from '#core/figures/limit-steps.ts';
import { wouldAddRibbon } from '#core/figures/would-add-ribbon.ts';
import { yearStrip } from '#core/figures/year-strip.ts';
import { said } from '#core/text/said.ts';
import { civilTime, msPerDay, msPerHour } from '#core/time/civil-time.ts';

const day = (month: number, date: number): number => civilTime(2026, month, date)!;
const kinds = <K extends Drawing['kind']>(drawings: readonly Drawing[], kind: K): Extract<Drawing, { kind: K }>[] =>
  drawings.filter((one): one is Extract<Drawing, { kind: K }> => one.kind === kind);

describe('yearStrip', () => {
  const picture = {
    days: [day(11, 9)],
    held: [[day(9, 1), day(11, 24)]] as const,
    from: day(1, 1),
    to: day(12, 31),
  };

  it('draws a single day at least two pixels wide, in plum', () => {
    const { panes } = yearStrip(picture, { width: 372 });
    const plum = kinds(panes[0]!.drawings, 'rects').find((rects) => rects.colour === 'you')!;
    const { x0, x1 } = plum.rects[0]!;
    expect(((x1! - x0!) / (picture.to - picture.from)) * 364).toBeGreaterThan(2);
  });

  it('says the days, and in its table whether each is held', () => {
    const figure = yearStrip(picture, { width: 372 });
    expect(figure.summary).toBe('One day, Mon 9 Nov 2026.');
    expect(figure.table?.rows).toEqual([['Mon 9 Nov 2026', 'yes']]);
  });

  it('keeps the name of its days inside the strip, wherever they lie', () => {
    const label = (days: readonly number[]) =>
      kinds(yearStrip({ ...picture, held: [], days }, { width: 372 }).panes[0]!.drawings, 'text')[0]!;
    expect(label([day(3, 9)])).toMatchObject({ align: 'left' });
    expect(label([day(12, 20)])).toMatchObject({ align: 'right', x: day(12, 20) });
    // From January to December there is room at neither end: over the days, with a rim.
    const all = Array.from({ length: 12 }, (_, i) => day(i + 1, 11));
    expect(label(all)).toMatchObject({ align: 'right', halo: true });
    expect(label(all).x).toBeGreaterThan(day(12, 11));
  });

  it('says so when no day can be read', () => {
    expect(yearStrip({ ...picture, days: [] }, { width: 372 }).summary).toBe('No day can be read this way.');
  });
});

describe('wouldAddRibbon', () => {
  const one = day(11, 9);
  const model: WouldAdd = {
    days: [
      {
        day: one,
        orDays: [],
        count: 4,
        at: Float64Array.from([6, 7, 8, 9], (hour) => one + hour * msPerHour + 60_000),
        place: Float64Array.from([0.2, -1.3, 3, Number.NaN]),
        kind: Uint8Array.from([0, 1, 2, 6]),
      },
      {
        day: one + msPerDay,
        orDays: [],
        count: 0,
        at: new Float64Array(0),
        place: new Float64Array(0),
        kind: new Uint8Array(0),
      },
    ],
    moreDays: 0,
    noTime: 0,
    untimed: null,
    pass: 1,
    fail: 2,
    unjudged: 1,
    otherDirection: 1,
    inLimits: true,
    measure: 'torque',
    unit: 'N.m',
    provisional: null,
  };

  it('draws each reading once, far ones on the edge and unplaced ones on the rail below', () => {
    const [pane] = wouldAddRibbon(model, { width: 640, height: 100 }).panes;
    expect(Array.from(kinds(pane!.drawings, 'dots')[0]!.y)).toEqual([0.2]);
    const marks = kinds(pane!.drawings, 'marks');
    expect(marks.map((m) => [m.mark, Array.from(m.y)])).toEqual([
      ['unjudged', [-1.45]],
      ['torque-low', [-1.3]],
      ['torque-high', [1.45]],
    ]);
  });

  it('gives each day a panel of its own, also an empty one, side by side without overlap', () => {
    const { panes } = wouldAddRibbon(model, { width: 640, height: 100 });
    expect(panes).toHaveLength(2);
    expect(panes[1]!.left).toBeGreaterThan(panes[0]!.left + panes[0]!.width!);
    expect(panes[1]!.left + panes[1]!.width!).toBeLessThanOrEqual(640);
  });

  it.each([
    [[6.2], '06:00', '07:00'],
    [[6.2, 6.9], '06:00', '07:00'],
    [[0.1], '01:00', '02:00'],
    [[23.9], '22:00', '23:00'],
    [[0], '12:00', '12:00'],
  ])('names hours under a day however short its readings are (%j)', (hours, first, second) => {
    const at = Float64Array.from(hours, (hour) => one + hour * msPerHour);
    const short = { ...model.days[0]!, at, place: at.map(() => 0), kind: new Uint8Array(at.length) };
    const { panes } = wouldAddRibbon({ ...model, days: [short] }, { width: 640, height: 100 });
    const axis = kinds(panes[0]!.drawings, 'axis').find((one) => one.side === 'bottom')!;
    const labels = axis.ticks.map((tick) => tick.label);
    expect(labels).toContain(first);
    expect(labels).toContain(second);
    const { min, max } = panes[0]!.x;
    for (const time of at) expect(time >= min && time <= max).toBe(true);
  });

  it('uses torque itself where no limits are known', () => {
    const { panes } = wouldAddRibbon(
      { ...model, inLimits: false, days: [{ ...model.days[0]!, kind: Uint8Array.from([5, 5, 5, 5]) }] },
      { width: 640, height: 100 },
    );
    expect(panes[0]!.y.min).toBeLessThan(-1.3);
    expect(panes[0]!.y.max).toBeGreaterThan(3);
  });
});

describe('wouldAddRibbon, while something is asked', () => {
  const one = day(11, 9);
  const panel = {
    day: one,
    orDays: [day(9, 11)],
    count: 3,
    at: Float64Array.from([6, 7, 8], (hour) => one + hour * msPerHour),
    place: Float64Array.from([24.1, 24.2, 24.3]),
    kind: Uint8Array.from([5, 5, 5]),
  };
  const model: WouldAdd = {
    days: [panel],
    moreDays: 0,
    noTime: 0,
    untimed: null,
    pass: 0,
    fail: 0,
    unjudged: 3,
    otherDirection: 0,
    inLimits: false,
    measure: 'torque',
    unit: null,
    provisional: {
      questions: ['date-order', 'torque-unit'],
      said: [said('intake.open-unit', {})],
      unitOpen: true,
      leftUnjudged: 3,
      byOrder: [],
    },
  };
  const axes = (figure: ReturnType<typeof wouldAddRibbon>, pane: number, side: 'top' | 'left' | 'bottom') =>
    kinds(figure.panes[pane]!.drawings, 'axis').filter((axis) => axis.side === side);

  it('names both days a panel may be of, in the colour of questions, in as many letters as there is room for', () => {
    const name = (width: number) => axes(wouldAddRibbon(model, { width, height: 100 }), 0, 'top')[0]!.ticks[0]!;
    expect(name(640)).toMatchObject({ label: 'Mon 9 Nov or Fri 11 Sep', colour: 'you' });
    expect(name(190)).toMatchObject({ label: '9 Nov or 11 Sep', colour: 'you' });
    expect(name(140)).toMatchObject({ label: '9 Nov\nor 11 Sep', colour: 'you' });
    expect(name(110)).toMatchObject({ label: '9 Nov?', colour: 'you' });
    const certain = { ...model, days: [{ ...panel, orDays: [] }] };
    expect(axes(wouldAddRibbon(certain, { width: 640, height: 100 }), 0, 'top')[0]!.ticks[0]!.colour).toBeUndefined();
  });

  it('prints the years where the two days are of different years', () => {
    const years = { ...model, days: [{ ...panel, orDays: [civilTime(2009, 11, 26)!] }] };
    expect(axes(wouldAddRibbon(years, { width: 640, height: 100 }), 0, 'top')[0]!.ticks[0]!.label).toBe(
      'Mon 9 Nov 2026 or Thu 26 Nov 2009',
    );
  });

  it('says at its scale that the unit is open, and in words and table what is', () => {
    const figure = wouldAddRibbon(model, { width: 640, height: 100 });
    expect(axes(figure, 0, 'left')[0]!.title).toBe('unit open');
    expect(figure.title).toBe('What this file would add, as read so far');
    expect(figure.summary).toMatch(/3 unjudged\. The unit is not known/);
    expect(figure.table?.rows).toEqual([['Mon 9 Nov 2026 or Fri 11 Sep 2026', '3', '0']]);
    const angles = wouldAddRibbon({ ...model, measure: 'angle', provisional: null }, { width: 640, height: 100 });
    expect(axes(angles, 0, 'left')[0]!.title).toBe('°');
  });

  it('draws what has no time in a panel of its own, counted from 1', () => {
    const untimed = { ...panel, day: 0, orDays: [], at: Float64Array.from([1, 2, 3]) };
    const figure = wouldAddRibbon({ ...model, untimed, noTime: 3 }, { width: 640, height: 100 });
    expect(figure.panes).toHaveLength(2);
    expect(figure.panes[1]!.x).toEqual({ min: 0, max: 4 });
    expect(axes(figure, 1, 'top')[0]!.ticks[0]!.label).toBe('no time, in the order of the file');
    expect(axes(figure, 1, 'bottom')[0]!.ticks.every((tick) => tick.at >= 1 && tick.at <= 3)).toBe(true);
    expect(figure.table?.rows[1]?.[0]).toBe('no time, in the order of the file');
  });
});

describe('limitSteps', () => {
  const model: StepFigureModel = {
    from: day(9, 1),
    to: day(11, 25),
    steps: [
      {
        label: 'A',
        from: day(9, 1),
        to: day(11, 10),
        low: 21.5,
        target: 23.75,
        high: 26,
        said: said('common.product', {}),
      },
      {
        label: 'B',
        from: day(11, 10),
        to: day(11, 25),
        low: 22,
        target: null,
        high: null,
        said: said('common.product', {}),
      },
    ],
    at: Float64Array.from([day(10, 1), day(10, 2), day(11, 12)]),
    torque: Float64Array.from([23, 40, 22.5]),
    verdict: Uint8Array.from([1, 2, 0]),
    reasons: Uint8Array.from([0, 2, 0]),
    every: 1,
  };

  it('draws a rule a limit that is there, over its own time only', () => {
    const pane = limitSteps(model, 'N.m', null, { width: 800, height: 270 })!.panes[0]!;
    const limits = kinds(pane.drawings, 'rule').filter((rule) => rule.colour === 'ink-2');
    expect(limits.map((rule) => [rule.at, rule.from, rule.to])).toEqual([
      [26, day(9, 1), day(11, 10)],
      [21.5, day(9, 1), day(11, 10)],
      [22, day(11, 10), day(11, 25)],
    ]);
  });

  it('keeps a reading far away from stretching the scale beyond one window', () => {
    const pane = limitSteps(model, 'N.m', null, { width: 800, height: 270 })!.panes[0]!;
    expect(pane.y.max).toBeLessThan(32);
    expect(pane.y.max).toBeGreaterThan(26);
  });

  it('marks changed readings by their first reason and leaves room for the name of the draft', () => {
    const draft = {
      label: 'C',
      from: day(11, 15),
      low: 23.2,
      target: 24,
      high: 26,
      at: Float64Array.from([day(11, 16), day(11, 17)]),
      torque: Float64Array.from([22.9, 24]),
      reasons: Uint8Array.from([1 | 4, 8]),
    };
    const pane = limitSteps(model, 'N.m', draft, { width: 800, height: 270 })!.panes[0]!;
    expect(kinds(pane.drawings, 'marks').map((m) => m.mark)).toEqual([
      'unjudged',
      'torque-high',
      'angle-high',
      'torque-low',
    ]);
    expect(pane.right).toBeGreaterThan(80);
  });

  it('draws nothing where no time is known', () => {
    expect(limitSteps({ ...model, from: null, to: null }, 'N.m', null, { width: 800, height: 270 })).toBeNull();
  });
});

describe('checkHistory', () => {
  const check = (at: number, nominal: number, deviations: readonly number[]): CheckRow => ({
    tool: 'T-207',
    at,
    kind: 'as-found',
    nominal,
    unit: 'N.m',
    pulls: deviations.length,
    shownMean: nominal,
    referenceMean: nominal,
    deviationPercent: deviations.reduce((a, b) => a + b, 0) / deviations.length,
    deviationLow: Math.min(...deviations),
    deviationHigh: Math.max(...deviations),
    deviations,
    permissiblePercent: 4,
    passed: true,
    uncertaintyPercent: null,
    said: said('common.product', {}),
  });

  it('has a stop a check and a tick a pull, and puts nominals of one check side by side', () => {
    const checks = [
      check(day(11, 9), 10, [0.1, 0.3]),
      check(day(11, 9), 24, [0.2, 0.2]),
      check(day(11, 23), 24, [-2.9]),
    ];
    const figure = checkHistory(checks, [], { width: 600, height: 180 })!;
    expect(figure.stops).toHaveLength(3);
    expect(figure.stops![0]!.x).toBeLessThan(figure.stops![1]!.x);
    expect(figure.stops![2]!.x).toBe(day(11, 23));
    const ticks = kinds(figure.panes[0]!.drawings, 'segments')[0]!;
    expect(ticks.y0.length).toBe(5);
    expect(figure.summary).toBe('3 checks; the last on Mon 23 Nov 2026 stands at −2.9 %.');
  });

  it('is null when there is no check', () => {
    expect(checkHistory([], [], { width: 600, height: 180 })).toBeNull();
  });
});

import { describe, expect, test } from 'vitest';
import { crossingLine } from '#core/drift/check-forecast.ts';
import {
  appliedTorque,
  checkResult,
  checkResults,
  deviationPercent,
  standingChecks,
} from '#core/drift/check-results.ts';
import { calibrationDue, checkDue } from '#core/drift/due-dates.ts';
import type { CheckPull } from '#core/register/register.ts';
import { civilText, msPerDay, parseCivil } from '#core/time/civil-time.ts';
import { expectNear, referenceCase, referenceCases } from './reference.ts';

const at = (text: string): number => {
  const parsed = parseCivil(text);
  if (!parsed) throw new Error(text);
  return parsed.at;
};
const tool = { unit: 'N.m', min: 5, max: 60, permissibleDeviationPercent: 4 } as const;
const pull = (shown: number, reference: number, more: Partial<CheckPull> = {}): CheckPull => ({
  tool: 0,
  at: at('2026-11-23T05:40'),
  nominal: shown,
  reference,
  shown,
  unit: 'N.m',
  kind: 'as-found',
  uncertaintyPercent: null,
  ...more,
});

// Source: arithmetic of definitions 13 in tests/reference/definitions-tool.json and tools.json.
describe('deviation and checks', () => {
  for (const one of referenceCases('definitions-tool.json').filter((c) => c.id.startsWith('deviation-'))) {
    test(`definitions-tool.json#${one.id}`, () => {
      const d = deviationPercent(one.input.shown, one.input.reference);
      expectNear(d, one.expect.D_percent, 1e-12);
      expectNear(appliedTorque(one.input.shown, d), one.expect.applied_from_shown, 1e-12);
    });
  }
  for (const one of referenceCases('tools.json').filter((c) => c.id.startsWith('deviation-'))) {
    test(`tools.json#${one.id}`, () => {
      expectNear(deviationPercent(one.input.X_a, one.input.X_r), one.expect.deviation_pct, 1e-12);
    });
  }
  for (const one of referenceCases('definitions-tool.json').filter((c) => c.id.startsWith('check-'))) {
    test(`definitions-tool.json#${one.id}`, () => {
      const { shown, references, permissiblePercent, min, max } = one.input;
      const got = checkResult(
        references.map((reference: number) => pull(shown, reference)),
        { unit: 'N.m', min, max, permissibleDeviationPercent: permissiblePercent },
      );
      one.expect.D_percent.forEach((d: number, i: number) => {
        expectNear(got.pullPercent[i]!, d, 1e-12);
      });
      expectNear(got.deviationPercent, one.expect.mean, 1e-12);
      expectNear(got.highestPercent - got.lowestPercent, one.expect.range, 1e-12);
      expect(got.pulls).toBe(one.expect.pulls);
      expect(got.passed).toBe(one.expect.passed);
    });
  }
  test('pulls of the same tool, time, kind and nominal are one check; units do not split it', () => {
    const rows = checkResults(
      [
        pull(24, 24.1),
        pull(24, 24.3),
        pull(24, 23.9, { kind: 'as-left' }),
        pull(40, 40, {}),
        { ...pull(2400, 2410), unit: 'cN.m' },
        { ...pull(24, 24), tool: 1 },
      ],
      0,
      tool,
    );
    expect(rows.map((row) => [row.nominal, row.kind, row.pulls])).toEqual([
      [24, 'as-found', 3],
      [40, 'as-found', 1],
      [24, 'as-left', 1],
    ]);
  });
  test('the newest check at each nominal stands; a calibration after it sets it aside', () => {
    const rows = checkResults([pull(24, 26), pull(24, 24, { at: at('2026-11-24') }), pull(40, 43)], 0, tool);
    expect(standingChecks(rows, null).map((row) => [row.nominal, row.passed])).toEqual([
      [40, false],
      [24, true],
    ]);
    expect(standingChecks(rows, at('2026-11-23T12:00')).map((row) => row.nominal)).toEqual([24]);
  });
});

describe('forecast of the day on which the permissible deviation is crossed, against R', () => {
  const { input, expect: want } = referenceCase('definitions-tool.json', 'crossing-forecast');
  for (const name of ['down', 'up', 'none']) {
    test(`definitions-tool.json#crossing-forecast ${name}`, () => {
      const got = crossingLine(input[name].days, input[name].D_percent, input[name].permissiblePercent);
      if (!got) throw new Error('no line');
      expectNear(got.slope, want[name].slope);
      expectNear(got.slopeLow95, want[name].slopeLow95);
      expectNear(got.slopeHigh95, want[name].slopeHigh95);
      if (want[name].crosses === null || want[name].crosses === undefined) expect(got.crosses).toBeNull();
      else {
        expectNear(got.crosses ?? Number.NaN, want[name].crosses);
        expectNear(got.low95 ?? Number.NaN, want[name].low95, 1e-8);
        expectNear(got.high95 ?? Number.NaN, want[name].high95, 1e-8);
      }
    });
  }
});

describe('due dates', () => {
  for (const one of referenceCases('definitions-tool.json').filter((c) => /^due-\d/.test(c.id))) {
    test(`definitions-tool.json#${one.id}`, () => {
      const interval = { intervalMonths: one.input.intervalMonths, intervalCycles: null };
      const from = at(one.input.calibratedOn);
      const lastGood = at(one.expect.last_good_instant);
      const got = calibrationDue(interval, from, [], lastGood);
      expect(civilText(got?.on ?? 0, msPerDay)).toBe(one.expect.due);
      expect(got?.overdue).toBe(false);
      expect(calibrationDue(interval, from, [], at(one.expect.overdue_from))?.overdue).toBe(true);
    });
  }
  test('definitions-tool.json#due-cycles', () => {
    const { input, expect: want } = referenceCase('definitions-tool.json', 'due-cycles');
    const from = at(input.calibratedOn);
    const interval = { intervalMonths: null, intervalCycles: input.intervalCycles };
    input.readings_since.forEach((count: number, i: number) => {
      const times = Array.from({ length: count }, (_, k) => from + k * 60_000);
      expect(calibrationDue(interval, from, times, from + 30 * msPerDay)?.overdue ?? false).toBe(want.overdue[i]);
    });
  });
  test('tools.json#recalibration-default: 12 months where the plant has no procedure of its own', () => {
    const { expect: want } = referenceCase('tools.json', 'recalibration-default');
    const got = calibrationDue({ intervalMonths: null, intervalCycles: null }, at('2024-02-29'), [], at('2025-03-01'));
    expect(want.default_period_months).toBe(12);
    expect(got).toEqual({ on: at('2025-02-28'), overdue: true, because: 'months', byDefault: true });
    const times = Array.from({ length: want.default_cycles }, (_, k) => at('2024-03-01') + k * 1000);
    expect(
      calibrationDue({ intervalMonths: null, intervalCycles: null }, at('2024-02-29'), times, at('2024-06-01')),
    ).toMatchObject({ because: 'cycles', overdue: true, byDefault: true });
  });
  test('checks are due a number of days after the last check or calibration', () => {
    const every = { checkEveryDays: 14 };
    expect(checkDue(every, at('2026-11-10T05:40'), at('2026-10-12'), at('2026-11-24'))).toEqual({
      on: at('2026-11-24'),
      overdue: false,
      because: 'days',
      byDefault: false,
    });
    expect(checkDue(every, null, at('2026-10-12'), at('2026-10-27'))?.overdue).toBe(true);
    expect(checkDue({ checkEveryDays: null }, 0, 0, 0)).toBeNull();
  });
});

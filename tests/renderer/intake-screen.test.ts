import { describe, expect, it } from 'vitest';
import type { WouldAdd, WouldAddDay } from '#core/contract/models/intake-model.ts';
import { said } from '#core/text/said.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { drawnOf, firstDays } from '../../src/renderer/screens/intake/drawn-of.ts';
import { findingNow } from '../../src/renderer/screens/intake/finding-now.ts';

const panel = (index: number, count: number, drawn: number): WouldAddDay => ({
  day: index * msPerDay,
  orDays: [],
  count,
  at: new Float64Array(drawn),
  place: new Float64Array(drawn),
  kind: new Uint8Array(drawn),
});
const picture = (days: number): WouldAdd => ({
  days: Array.from({ length: days }, (_, i) => panel(i, 1000, 600)),
  moreDays: 3,
  noTime: 0,
  untimed: null,
  pass: 1000 * days,
  fail: 0,
  unjudged: 0,
  otherDirection: 0,
  inLimits: true,
  measure: 'torque',
  unit: 'N.m',
  provisional: null,
});

describe('the picture of what a file would add', () => {
  it('shows the first seven days and counts the others', () => {
    expect(firstDays(picture(7))).toMatchObject({ moreDays: 3 });
    const shown = firstDays(picture(12));
    expect(shown.days.map((one) => one.day / msPerDay)).toEqual([0, 1, 2, 3, 4, 5, 6]);
    expect(shown.moreDays).toBe(8);
    // What is counted stays that of the whole file.
    expect(shown.pass).toBe(12_000);
  });

  it('says how many of the readings it draws, those without a time among them', () => {
    expect(drawnOf(picture(2))).toEqual({ drawn: 1200, of: 2000 });
    expect(drawnOf({ days: [panel(0, 5, 5)], untimed: panel(0, 4, 4) })).toEqual({ drawn: 9, of: 9 });
  });
});

describe('the finding while a file is read', () => {
  const lines = { total: 4178, header: 1, blank: 0, accepted: 4177, alreadyHeld: 0, rejected: 0 };
  const finding = said('intake.finding-ready', { accepted: 4177, alreadyHeld: 0, rejected: 0 });

  it('counts with the queue, and never backwards', () => {
    const preview = { complete: false, finding, lines };
    const item = (read: number) => ({ progress: { done: 1, total: 2, lines: read } });
    expect(findingNow(preview, item(130_764)).args).toEqual({ lines: 130_764 });
    expect(findingNow(preview, item(0)).args).toEqual({ lines: 4178 });
    expect(findingNow(preview, null).args).toEqual({ lines: 4178 });
  });

  it("is the engine's own once the file is read", () => {
    const progress = { done: 1, total: 2, lines: 9 };
    expect(findingNow({ complete: true, finding, lines }, { progress })).toBe(finding);
  });
});

/** What stands in the way of removing an entry, in words, and what goes with one that nothing points to. */
import { describe, expect, it } from 'vitest';
import { type PointsTo, type RemovableKind, removalModel } from '#core/register/removal.ts';
import { type Said, say as sayExactly } from '#core/text/said.ts';
import { plantOf } from '../support/plant-of.ts';

const say = (sentence: Said): string => sayExactly(sentence).replaceAll('\u00a0', ' ');
const limits = (from: string) => ({ from, unit: 'N.m', low: 22, high: 26 });
const pull = (at: string) => ({ tool: 'T-1', at, nominal: 24, reference: 24, reading: 24.1, unit: 'N.m' });
const register = {
  joints: [
    { name: 'Stem', limits: [limits('2026-01-01')] },
    { name: 'Stemm', limits: [limits('2026-01-01'), limits('2026-02-01')] },
    { name: 'Crank' },
  ],
  tools: [
    { serial: 'T-1' },
    {
      serial: 'T-9',
      lengthMm: 300,
      events: [{ at: '2026-01-05', kind: 'calibration' }],
      adapters: [{ from: '2026-01-01', offsetMm: 30, angleDeg: 0 }],
    },
    { serial: 'T-10', status: 'retired' },
  ],
  operators: [{ badge: '114' }, { badge: '122' }],
  shifts: [
    { name: 'Early', start: '06:00', end: '14:00' },
    { name: 'Erly', start: '05:00', end: '15:00' },
    { name: 'Late', start: '14:00', end: '22:00' },
  ],
  checks: [pull('2026-03-01'), pull('2026-03-01'), pull('2026-03-02')],
};
const plant = plantOf(
  ['05:10', '05:20', '07:00', '14:30', '23:00'].map((time) => ({ at: `2026-03-05T${time}:00`, torque: 24 })),
  { register },
);
const nothing: PointsTo = { readings: 0, outOfForce: 0, judged: 0, studies: [], scopes: [] };
const removal = (kind: RemovableKind, name: string, points: Partial<PointsTo> = {}) => {
  const model = removalModel(plant, kind, name, { ...nothing, ...points });
  if (!model) throw new Error('no such entry');
  return { ...model, words: say(model.said), instead: model.instead && say(model.instead) };
};

describe('an entry that nothing points to', () => {
  it.each([
    ['joint', 'Crank', ''],
    ['joint', 'Stemm', ' What is written down of it goes too: 2 limit revisions.'],
    ['tool', 'T-9', ' What is written down of it goes too: 1 calibration or repair and 1 adapter period.'],
    ['operator', '122', ''],
  ] as const)('%s %s can be removed', (kind, name, goes) => {
    expect(removal(kind, name)).toMatchObject({
      allowed: true,
      instead: null,
      words: `No reading, check, study or saved scope points to it.${goes} The journal keeps all of it.`,
    });
  });

  it('is not found under another name or kind', () => {
    expect(removalModel(plant, 'joint', 'T-9', nothing)).toBeNull();
    expect(removalModel(plant, 'shift', 'Night', nothing)).toBeNull();
  });
});

describe('an entry that something points to', () => {
  it('is refused with the readings at it, and can be merged: names alike come first', () => {
    expect(removal('joint', 'Stemm', { readings: 1204, judged: 1190, outOfForce: 14 })).toMatchObject({
      allowed: false,
      words: 'Stemm cannot be removed: 1204 readings (1190 judged by its limits and 14 out of force) point to it.',
      instead: 'If they belong to another joint, merge the two; else keep it.',
      mergeInto: ['Stem', 'Crank'],
      canRetire: false,
    });
  });

  it('counts checks, not their pulls, and a tool can be retired', () => {
    expect(removal('tool', 'T-1', { readings: 1 })).toMatchObject({
      words: 'T-1 cannot be removed: 1 reading and 2 checks point to it.',
      instead: 'If they belong to another tool, merge the two; if the tool is no longer used, retire it.',
      canRetire: true,
    });
    expect(removal('tool', 'T-10', { readings: 1 })).toMatchObject({
      words: 'T-10 cannot be removed: 1 reading points to it.',
      instead: 'If it belongs to another tool, merge the two; else keep it.',
      canRetire: false,
    });
  });

  it('of which only studies and scopes know is refused with their names', () => {
    expect(removal('operator', '122', { studies: ['A'], scopes: ['s', 't', 'u', 'v'] })).toMatchObject({
      words: '122 cannot be removed: 1 saved study and 4 saved scopes point to it.',
      instead: 'Delete the study “A” and the saved scopes “s”, “t”, “u” and 1 more first.',
      mergeInto: [],
    });
    expect(removal('shift', 'Late', { scopes: ['Lates'] })).toMatchObject({
      allowed: false,
      words: 'Late cannot be removed: 1 saved scope points to it.',
      instead: 'Delete the saved scope “Lates” first.',
    });
  });

  it('is kept where there is no other to merge it with', () => {
    const alone = plantOf([], { register: { joints: [{ name: 'Stem' }] } });
    const model = removalModel(alone, 'joint', 'Stem', { ...nothing, readings: 3 });
    expect(model?.instead && say(model.instead)).toBe('Keep it.');
  });
});

describe('a shift', () => {
  it('can be removed although readings fall into it, and it is said where they fall then', () => {
    // By hand: 05:10 and 05:20 lie in Erly alone; 14:30 in Erly and Late, 07:00 in Early and Erly: the first holds.
    expect(removal('shift', 'Erly')).toMatchObject({
      allowed: true,
      words:
        '3 readings fall into it. Without it they fall 1 into Late and 2 outside every shift; Review, Drift and Study group them anew. The journal keeps the shift.',
    });
    expect(removal('shift', 'Early').words).toContain('1 reading falls into it. Without it it falls into Erly;');
    expect(removal('shift', 'Late').words).toBe('No reading held falls into it. The journal keeps it.');
  });

  it('that is the last leaves the civil day', () => {
    const alone = plantOf([{ at: '2026-03-05T07:00:00', torque: 24 }], {
      register: { shifts: [{ name: 'Early', start: '06:00', end: '14:00' }] },
    });
    const model = removalModel(alone, 'shift', 'Early', nothing);
    expect(model && say(model.said)).toContain('Without it there is no shift, and the civil day is used;');
  });
});

import { describe, expect, it } from 'vitest';
import type { ReadingsFilter } from '#core/contract/calls.ts';
import type { ReadingRow } from '#core/contract/models/shared.ts';
import { rowsAsText } from '../../src/renderer/screens/readings/copy-rows.ts';
import { namesFilter, namesOf, rangeOf, withFilter } from '../../src/renderer/screens/readings/filter-state.ts';

const row: ReadingRow = {
  id: '1:7',
  position: 0,
  at: Date.UTC(2026, 10, 24, 13, 4, 31),
  atStepMs: 1000,
  joint: 'Brake caliper M6',
  tool: 'T-305',
  operator: '139',
  operatorName: 'R. Banerjee',
  torque: -1234.5,
  torqueDecimals: 2,
  unit: 'N.m',
  angleDeg: 28,
  torquePlace: -1.36,
  anglePlace: null,
  verdict: 'fail',
  reasons: ['torque-low'],
  unjudgedBecause: null,
  ownResult: 'bad',
  attempt: 1,
  fastener: 'HC-24155/3',
  sourceName: 'T-305.csv',
  line: 1055,
  leftOut: null,
  note: null,
};
const badge = (b: string | null): string => b ?? '';

describe('rowsAsText', () => {
  it('gives a head and one line a row, numbers without separators of thousands', () => {
    const [head = '', line = ''] = rowsAsText([row], badge).split('\n');
    expect(head.split('\t').length).toBe(line.split('\t').length);
    expect(line).toContain('2026-11-24T13:04:31');
    expect(line).toContain('\t-1234.50\tN·m\t');
    expect(line).toContain('torque low');
  });

  it('lets no text of a file act as a formula, or break the rows', () => {
    const text = rowsAsText([{ ...row, joint: '=HYPERLINK("x")', note: 'one\ttwo\nthree' }], badge);
    expect(text.split('\n')).toHaveLength(2);
    expect(text).toContain('\t\'=HYPERLINK("x")\t');
    expect(text).toContain('\tone two three\t');
  });
});

describe('filters', () => {
  const first: readonly ReadingsFilter[] = [
    { column: 'tool', anyOf: ['T-305'] },
    { column: 'at', from: 1, to: null },
  ];

  it('replaces a filter in its place, adds a new one last, takes one away', () => {
    expect(withFilter(first, 'tool', { column: 'tool', anyOf: ['T-114'] }).map((f) => f.column)).toEqual([
      'tool',
      'at',
    ]);
    expect(withFilter(first, 'verdict', { column: 'verdict', anyOf: ['fail'] }).map((f) => f.column)).toEqual([
      'tool',
      'at',
      'verdict',
    ]);
    expect(withFilter(first, 'tool', null).map((f) => f.column)).toEqual(['at']);
  });

  it('reads back what a column is filtered to', () => {
    expect(namesOf(first, 'tool')).toEqual(['T-305']);
    expect(namesOf(first, 'joint')).toEqual([]);
    expect(rangeOf(first, 'at')).toEqual({ from: 1, to: null });
    expect(rangeOf(first, 'torque')).toBeNull();
  });

  it('makes no filter of nothing, and lets no unknown verdict through', () => {
    expect(namesFilter('joint', [])).toBeNull();
    expect(namesFilter('verdict', ['fail', 'nonsense'])).toEqual({ column: 'verdict', anyOf: ['fail'] });
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type ReadingsFilter, type Request, readingNotices } from '#core/contract/calls.ts';
import { positionOf, readingDetail } from '#core/readings/reading-detail.ts';
import { readingsAnswer, readingsCsv, readingsPage } from '#core/readings/readings-page.ts';
import { everything } from '#core/readings/scope.ts';
import { sortPositions } from '#core/readings/sort-positions.ts';
import { reviewModel } from '#core/review/review-model.ts';
import { csvCell } from '#core/text/csv.ts';
import { type Said, say as sayExactly } from '#core/text/said.ts';
import { utf8 } from '#core/text/utf8.ts';
import { newtonMetresPer } from '#core/units/torque-unit.ts';
import { civil, plantOf, type TestReading } from '../support/plant-of.ts';

const say = (sentence: Said): string => sayExactly(sentence).replaceAll('\u00a0', ' ');
const register = {
  joints: [
    {
      name: 'Brake caliper M6',
      limits: [{ from: '2026-01-01', unit: 'N.m', low: 7.5, high: 8.5, angleLow: 20, angleHigh: 50 }],
    },
    { name: 'Crank arm', limits: [{ from: '2026-01-01', unit: 'lbf.ft', low: 28, high: 32 }] },
  ],
  tools: [{ serial: 'T-305', adapters: [{ from: '2026-11-24T12:00:00', lengthMm: 300, offsetMm: 30, angleDeg: 0 }] }],
  operators: [{ badge: '139', name: 'R. Banerjee' }],
};
const rows: TestReading[] = Array.from({ length: 600 }, (_, k) => ({
  at: civil('2026-11-24T06:00:00') + k * 30_000,
  tool: k % 3 === 0 ? 'T-305' : 'T-114',
  operator: k % 4 === 0 ? null : '139',
  joint: k % 5 === 0 ? 'Crank arm' : 'Brake caliper M6',
  torque: k % 5 === 0 ? 40.5 : 7.4 + (k % 50) / 40,
  angle: k % 5 === 0 ? null : 18 + (k % 35),
  own: k % 7 === 0 ? 'bad' : 'good',
  fastener: k % 2 === 0 ? `F-${k}` : null,
}));
const plant = plantOf(rows, { register });
const page = (change: Partial<Request<'readings:page'>> = {}) =>
  readingsPage(plant, {
    scope: everything,
    filters: [],
    sort: [],
    offset: 0,
    limit: 1000,
    withPictures: true,
    ...change,
  });

describe('filters', () => {
  it('read back as one sentence', () => {
    const { sentence, total, filterWords } = page({
      filters: [
        { column: 'joint', anyOf: ['Brake caliper M6'] },
        { column: 'tool', anyOf: ['T-305'] },
        { column: 'verdict', anyOf: ['torque-low'] },
      ],
    });
    expect(say(sentence)).toBe(`Brake caliper M6, T-305, torque low: ${total} of 600 readings.`);
    expect(filterWords.map((one) => say(one))).toEqual(['Brake caliper M6', 'T-305', 'torque low']);
    expect(total).toBeGreaterThan(0);
  });
  it('give back exactly the readings that a notice of Review counts, by kind and by name', () => {
    const signed = plantOf(
      rows.map((row, k) => ({
        ...row,
        torque: k % 40 === 0 ? 0 : k % 31 === 0 ? -(row.torque ?? 0) : (row.torque ?? 0),
      })),
      { register },
    );
    const kept = (filter: ReadingsFilter): string[] =>
      readingsPage(signed, {
        scope: everything,
        filters: [filter],
        sort: [],
        offset: 0,
        limit: 1000,
        withPictures: false,
      }).rows.map((row) => row.id);
    const notices = reviewModel(signed, everything, null).notices.filter((notice) => notice.readings.length > 0);
    expect(notices.map((notice) => notice.kind)).toEqual(
      expect.arrayContaining(['own-result-differs', 'other-direction', 'zero-torque']),
    );
    for (const notice of notices) {
      const kind = readingNotices.find((one) => one === notice.kind);
      if (kind) {
        expect(kept({ column: 'notice', anyOf: [kind] })).toHaveLength(notice.count);
        expect(kept({ column: 'notice', anyOf: [kind] }).slice(0, 200)).toEqual(notice.readings);
      }
      expect(kept({ column: 'reading', anyOf: [...notice.readings, '9:9', 'no name'] })).toEqual(notice.readings);
    }
    const [filter] = page({ filters: [{ column: 'notice', anyOf: ['zero-torque'] }] }).filterWords;
    expect(say(filter!)).toBe('zero torque');
  });
  it('keep exactly what each says', () => {
    const only = (filter: ReadingsFilter) => page({ filters: [filter] }).rows;
    for (const row of only({ column: 'torquePlace', from: null, to: -0.5 }))
      expect(row.torquePlace).toBeLessThan(-0.499);
    for (const row of only({ column: 'operator', anyOf: [''] })) expect(row.operator).toBeNull();
    for (const row of only({ column: 'fastener', anyOf: ['F-10', 'F-12'] }))
      expect(['F-10', 'F-12']).toContain(row.fastener);
    for (const row of only({ column: 'ownResult', anyOf: ['differs'] })) {
      expect([row.verdict, row.ownResult]).toEqual(row.verdict === 'fail' ? ['fail', 'good'] : ['pass', 'bad']);
    }
    expect(only({ column: 'text', contains: 'banerjee' })).toHaveLength(450);
    expect(only({ column: 'text', contains: '1:40' }).map((row) => row.id)).toEqual(['1:40']);
    const from = civil('2026-11-24T07:00:00');
    expect(only({ column: 'at', from, to: from + 60_000 }).map((row) => row.at)).toEqual([from, from + 30_000]);
  });
  it('offer to leave out the one that empties the table', () => {
    const { empty, total } = page({
      filters: [
        { column: 'joint', anyOf: ['Crank arm'] },
        { column: 'text', contains: 'no such thing' },
      ],
    });
    expect(total).toBe(0);
    expect(say(empty!.said)).toBe('No reading matches all 2 filters.');
    expect(empty!.without.map((one) => [one.filter, one.count])).toEqual([[1, 120]]);
    expect(say(empty!.without[0]!.said)).toBe('Without “with "no such thing"” there would be 120.');
  });
});

describe('pictures', () => {
  it('are the same whether nothing is filtered or a filter lets everything pass, with clocks set back too', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -400, max: 4000 }), { minLength: 1, maxLength: 80 }), (steps) => {
        let clock = civil('2026-11-24T06:00:00');
        const some = plantOf(
          steps.map((step, k) => {
            clock += step * 1000;
            return {
              ...rows[k % rows.length],
              at: k % 9 === 8 ? null : clock,
              own: ([null, 'good', 'bad'] as const)[k % 3] ?? null,
              source: 1 + (k % 3),
            };
          }),
          { register },
        );
        const of = (filters: ReadingsFilter[]) =>
          readingsPage(some, { scope: everything, filters, sort: [], offset: 0, limit: 1, withPictures: true })
            .pictures;
        expect(of([{ column: 'text', contains: '' }])).toEqual(of([]));
      }),
      { numRuns: 200 },
    );
  });
  it('count every reading once, and what is kept is what the table holds', () => {
    const filters: ReadingsFilter[] = [
      { column: 'torquePlace', from: -1, to: 0 },
      { column: 'tool', anyOf: ['T-305'] },
    ];
    const { pictures, total } = page({ filters });
    const sum = (values: Uint32Array): number => values.reduce((a, b) => a + b, 0);
    const place = pictures!.torquePlace!;
    expect(sum(place.kept)).toBe(total);
    // The picture of the filtered column shows all that its own filter hides: everything of T-305.
    expect(sum(place.counts) + place.below + place.above + place.none).toBe(200);
    expect(pictures!.tool.names.reduce((a, one) => a + one.kept, 0)).toBe(total);
    expect(pictures!.tool.names.map((one) => one.name).sort()).toEqual(['T-114', 'T-305']);
    const all = page().pictures!;
    for (const picture of [all.at, all.torque, all.angle, all.attempt]) {
      expect(sum(picture!.counts) + picture!.below + picture!.above + picture!.none).toBe(600);
      expect(picture!.kept).toEqual(picture!.counts);
    }
    for (const names of [all.joint, all.tool, all.operator, all.source, all.ownResult]) {
      expect(names.names.reduce((a, one) => a + one.count, 0) + names.none + names.others).toBe(600);
    }
  });
});

describe('sorting', () => {
  it('orders by any number, absent ones last, equal ones as they stood', () => {
    const value = fc.oneof(fc.constant(Number.NaN), fc.constantFrom(0, -0, 1, -1), fc.double({ noNaN: true }));
    fc.assert(
      fc.property(fc.array(value, { maxLength: 300 }), fc.boolean(), (keys, descending) => {
        const positions = Uint32Array.from(keys, (_, k) => k);
        const plain = [...positions].sort((a, b) => {
          const x = keys[a]!;
          const y = keys[b]!;
          if (Number.isNaN(x) || Number.isNaN(y)) return Number(Number.isNaN(x)) - Number(Number.isNaN(y)) || a - b;
          return (descending ? y - x || 0 : x - y || 0) || a - b;
        });
        // Infinities stand where absent keys stand; they do not occur in readings.
        fc.pre(keys.every((key) => Number.isFinite(key) || Number.isNaN(key)));
        expect([...sortPositions(positions, (k) => keys[k]!, descending)]).toEqual(plain);
      }),
      { numRuns: 300 },
    );
  });
  it('takes a second column within equal ones of the first', () => {
    const { rows: sorted } = page({
      sort: [
        { column: 'joint', descending: false },
        { column: 'torque', descending: true },
      ],
    });
    for (let k = 1; k < sorted.length; k++) {
      const [a, b] = [sorted[k - 1]!, sorted[k]!];
      expect(a.joint! <= b.joint!).toBe(true);
      if (a.joint === b.joint) expect(a.torque!).toBeGreaterThanOrEqual(b.torque!);
    }
  });
  it('pages through the same order', () => {
    const sort = [{ column: 'angle' as const, descending: false }];
    const whole = page({ sort }).rows.map((row) => row.id);
    const parts = [0, 250, 500].flatMap((offset) => page({ sort, offset, limit: 250 }).rows.map((row) => row.id));
    expect(parts).toEqual(whole);
  });
});

describe('the drawer', () => {
  it('shows limits, adapter working and neighbours', () => {
    const later = plantOf(
      [{ at: '2026-11-24T12:30:00', tool: 'T-305', joint: 'Brake caliper M6', torque: 7.5, angle: 30 }],
      { register },
    );
    const detail = readingDetail(later, '1:2', '12:30;7,50;30')!;
    // 7.5 x 330 / 300 = 8.25
    expect(detail.torque?.judged).toBeCloseTo(8.25, 12);
    expect(detail.torque?.recorded).toBe(7.5);
    expect(say(detail.adapter!)).toContain('7.5 × (300 + 30 cos 0°) / 300 = 7.5 × 1.1 = 8.25 N·m at the fastener');
    expect(say(detail.torque!.said)).toBe(
      '**7.50 N·m**, judged as 8.25 N·m; limits 7.5 to 8.5, revision A'.replaceAll('**', ''),
    );
    expect(detail.rawLine).toBe('12:30;7,50;30');
  });
  it('finds a reading by its name, and none by a wrong one', () => {
    expect(positionOf(plant, '1:2')).toBe(0);
    expect(positionOf(plant, '1:9999')).toBe(-1);
    expect(positionOf(plant, 'x')).toBe(-1);
    expect(readingDetail(plant, '7:7', null)).toBeNull();
    const detail = readingDetail(plant, '1:102', null)!;
    expect(detail.before).toHaveLength(3);
    expect(detail.after).toHaveLength(3);
    for (const row of [...detail.before, ...detail.after]) expect(row.tool).toBe(detail.row.tool);
  });
});

describe('out', () => {
  it('writes the rows of the table, numbers unrounded', () => {
    const file = readingsCsv(plant, { scope: everything, filters: [{ column: 'tool', anyOf: ['T-305'] }] });
    const lines = new TextDecoder().decode(file.bytes).split('\r\n');
    expect(lines).toHaveLength(202);
    expect(lines[0]).toMatch(/^reading,time,joint,fastener,tool,operator,torque,unit/);
    const cells = lines[1]!.split(',');
    // 40.5 N·m in lbf·ft by the exact factor, and its place in 28 to 32: (29.871267 - 30) / 2.
    expect(Number(cells[8])).toBeCloseTo(40.5 / newtonMetresPer['lbf.ft'], 12);
    cells[8] = 'judged';
    expect(cells.join(',')).toBe(
      '1:2,2026-11-24T06:00:00,Crank arm,F-0,T-305,,40.5,N.m,judged,lbf.ft,-0.0643665,,,pass,,bad,1,,,dump-1.csv,2',
    );
  });
  it('never writes a text that a spreadsheet would calculate', () => {
    expect(csvCell('=1+1')).toBe("'=1+1");
    expect(csvCell('a,"b"')).toBe('"a,""b"""');
    expect(csvCell(-3.5)).toBe('-3.5');
  });
  it('encodes as UTF-8', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect([...utf8(text)]).toEqual([...new TextEncoder().encode(text)]);
      }),
    );
    expect([...utf8('a\ud800b')]).toEqual([...new TextEncoder().encode('a\ud800b')]);
  });
  it('answers the command line in N·m, signed as recorded', () => {
    const left = plantOf([{ at: '2026-11-24T12:30:00', tool: 'T', joint: 'J', torque: -10, unit: 'lbf.ft' }]);
    const { readings, total } = readingsAnswer(left, { scope: everything, offset: 0, limit: 10 });
    expect(total).toBe(1);
    expect(readings[0]).toMatchObject({
      id: '1:2',
      at: '2026-11-24T12:30:00',
      torqueAsRecorded: -10,
      unit: 'lbf.ft',
      verdict: 'unjudged',
      unjudgedBecause: 'other-direction',
      attempt: null,
      chainBy: null,
      excluded: null,
    });
    expect(readings[0]!.torque).toBeCloseTo(-13.558179483314, 10);
  });
});

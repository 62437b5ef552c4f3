/** Every kind of notice is raised by a file that deserves it, and by no ordinary file; with the lines it is about. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { noticeKinds } from '#core/intake/vocabulary.ts';
import { TestEngine } from './test-engine.ts';

const head = 'No;Date and time;Tool;Operator;Joint;Torque;Unit;Angle;Result';

interface Line {
  readonly no?: number;
  readonly at?: string;
  readonly tool?: string;
  readonly joint?: string;
  readonly torque?: string;
  readonly unit?: string;
  readonly angle?: string;
  readonly own?: string;
}

/** Ordinary readings within limits, a minute apart, with what is changed by line. */
function file(changes: readonly Line[] = [], count = 12): string {
  const rows = Array.from({ length: Math.max(count, changes.length) }, (_, i) => {
    const c = changes[i] ?? {};
    return [
      c.no ?? 401 + i,
      c.at ?? `2026-03-14 06:${String(10 + i)}:00`,
      c.tool ?? 'T-1',
      '7',
      c.joint ?? 'Stem',
      c.torque ?? (24 + i / 100).toFixed(2),
      c.unit ?? 'Nm',
      c.angle ?? (40 + i).toFixed(1),
      c.own ?? 'OK',
    ].join(';');
  });
  return `${head}\n${rows.join('\n')}\n`;
}

const at = (n: number, change: Line): Line[] => [...Array.from({ length: n }, () => ({})), change];

describe('notices of intake', () => {
  let plant: TestEngine;
  beforeAll(async () => {
    plant = await new TestEngine().open();
    const limits = { from: '2026-01-01', unit: 'N.m', low: 23, target: 24, high: 25, angleLow: 20, angleHigh: 80 };
    const tool = { unit: 'N.m', min: 5, max: 60, calibratedOn: '2025-11-20', intervalMonths: 12 };
    await plant.engine.serve('register:put', {
      file: {
        joints: [
          { name: 'Stem', direction: 'cw', limits: [{ ...limits, retryWithinSeconds: 120 }] },
          { name: 'Pedal, left', direction: 'ccw', limits: [limits] },
        ],
        tools: [
          { serial: 'T-1', ...tool },
          { serial: 'T-full', ...tool, storageCapacity: 12 },
          { serial: 'T-late', ...tool, calibratedOn: '2025-01-10' },
        ],
        operators: [{ badge: '7', name: 'Seven' }],
      },
      why: null,
    });
  });
  afterAll(() => plant.close());

  const noticesOf = async (text: string, name = 'a.csv') => {
    const ticket = await plant.offer(name, text);
    const preview = await plant.read(ticket);
    expect(preview.problem).toBeNull();
    expect(preview.questions).toEqual([]);
    const outcome = await plant.accept(ticket, { dryRun: true });
    await plant.engine.serve('inbox:drop', { tickets: [ticket] });
    return outcome.notices;
  };

  test('an ordinary file has none', async () => {
    expect(await noticesOf(file())).toEqual([]);
  });

  // Kind, file, lines named (null: the whole file).
  const cases: readonly (readonly [kind: string, text: string, lines: readonly number[] | null])[] = [
    ['memory-full', file(Array.from({ length: 12 }, () => ({ tool: 'T-full' }))), null],
    ['clock-back', file(at(6, { at: '2026-03-10 05:00:00' })), [8]],
    ['clock-unset', file(at(3, { at: '2000-01-01 00:04:00' })), [5]],
    ['date-range', file(at(11, { at: '2099-03-14 07:00:00' })), [13]],
    ['future-date', file(at(11, { at: '2027-03-14 07:00:00' })), [13]],
    ['zone-ignored', file(Array.from({ length: 12 }, (_, i) => ({ at: `2026-03-14T06:${10 + i}:00+01:00` }))), null],
    ['epoch-utc', file(Array.from({ length: 12 }, (_, i) => ({ at: String(1_773_468_600 + 60 * i) }))), null],
    ['duplicate-lines', file([{}, {}, { at: '2026-03-14 06:11:00', torque: '24.01', angle: '41.0' }]), [4]],
    ['unit-changes', file(at(5, { torque: '17.70', unit: 'ft-lb' })), null],
    ['own-result-differs', file(at(4, { own: 'NOK' })), [6]],
    ['other-direction', file(at(4, { torque: '-9.10' })), [6]],
    ['zero-torque', file(at(4, { torque: '0.00', own: 'NOK' })), [6]],
    ['second-pull', file(at(4, { at: '2026-03-14 06:13:20', angle: '5.0', own: 'NOK' })), [6]],
    [
      'newest-first',
      file(Array.from({ length: 12 }, (_, i) => ({ no: 500 - i, at: `2026-03-14 06:${40 - i}:00` }))),
      null,
    ],
    ['beyond-range', file(at(4, { torque: '61.00', own: 'NOK' })), [6]],
    ['calibration-overdue', file(Array.from({ length: 12 }, () => ({ tool: 'T-late' }))), null],
    ['unknown-name', file(at(2, { tool: 'T-new' })), null],
    ['sequence-gap', file(Array.from({ length: 12 }, (_, i) => ({ no: i < 6 ? 401 + i : 404 + i }))), [8]],
    // 18.44 lbf·ft is 25.0013 N·m: over the limit, by less than the digits can tell (lbf·ft = 1.3558179483 N·m).
    ['on-limit', file(at(4, { torque: '18.44', unit: 'ft-lb' })), [6]],
  ];

  test('the cases cover every kind of the list', () => {
    expect(cases.map(([kind]) => kind).sort()).toEqual([...noticeKinds].sort());
  });

  test.each(cases)('%s', async (kind, text, lines) => {
    const notices = await noticesOf(text);
    const found = notices.find((notice) => notice.kind === kind);
    expect(notices.map((notice) => notice.kind)).toContain(kind);
    if (lines !== null) expect(found?.lines).toEqual(lines);
    expect(found?.text.length).toBeGreaterThan(10);
  });

  test('a file of more than 100,000 readings is told of the tool that is overdue, too', async () => {
    const day = Date.UTC(2026, 2, 14, 6);
    const rows = Array.from({ length: 100_100 }, (_, i) => {
      const when = new Date(day + i * 1000).toISOString().slice(0, 19).replace('T', ' ');
      return `${i + 401};${when};T-late;7;Stem;24.${10 + (i % 80)};Nm;${40 + (i % 30)}.0;OK`;
    });
    const notices = await noticesOf(`${head}\n${rows.join('\n')}\n`);
    expect(notices.map((notice) => notice.kind)).toEqual(['calibration-overdue']);
    expect(notices[0]?.text).toContain('T-late');
  });

  test('a left-hand thread turned to the left is no notice; turned to the right it is', async () => {
    const left = Array.from({ length: 12 }, (_, i) => ({ joint: 'Pedal, left', torque: `-24.${10 + i}` }));
    expect(await noticesOf(file(left))).toEqual([]);
    const notices = await noticesOf(file([...left.slice(0, 11), { joint: 'Pedal, left', torque: '9.00' }]));
    expect(notices.find((notice) => notice.kind === 'other-direction')?.lines).toEqual([13]);
  });

  test('a spelling merged with the left-hand joint counts as it', async () => {
    const written = Array.from({ length: 12 }, (_, i) => ({ joint: 'PEDAL L', torque: `-24.${10 + i}` }));
    await plant.take('merge.csv', file(written));
    await plant.engine.serve('register:settle', { kind: 'joint', name: 'PEDAL L', into: 'Pedal, left' });
    const next = written.map((line, i) => ({ ...line, at: `2026-03-15 06:${10 + i}:00` }));
    expect((await noticesOf(file(next))).map((notice) => notice.kind)).toEqual([]);
  });
});

/**
 * The quick way of writing rows against the careful one: the same file into two stores, of which one holds a reading
 * in the file's own time, so that there every row is looked up, and the other one from the year before.
 */
import { DatabaseSync } from 'node:sqlite';
import { afterEach, describe, expect, test } from 'vitest';
import { TestEngine } from '../engine/test-engine.ts';

const header = 'Date;Time;Tool;Operator;Joint;Torque;Unit;Angle;Result;Fastener';
const other = 'W-9;Ada;Stem;24.50;Nm;31.0;OK;';

/** Two batches and a bit, with everything that may be absent absent somewhere, and lines that come again. */
function mixed(rows: number): string {
  const lines = [header];
  for (let i = 0; i < rows; i++) {
    // Now and then a line stands two or three times.
    const times = i % 500 === 7 ? 3 : i % 211 === 5 ? 2 : 1;
    const time = new Date(Date.UTC(2026, 2, 14, 6) + Math.floor(i / 2) * 1000).toISOString();
    const own = i % 3 === 0 ? 'OK' : i % 3 === 1 ? 'NOK' : '';
    const hasFacts = i > 9000 && i % 4 === 0;
    const cells = [
      time.slice(0, 10),
      time.slice(11, 19),
      `W-${i % 3}`,
      i % 5 === 0 ? '' : 'Ada',
      i % 7 === 0 ? '' : 'Stem',
      (20 + (i % 900) / 100).toFixed(2),
      i > 8500 && i % 2 === 0 ? 'Ncm' : 'Nm',
      i % 6 === 0 ? '' : (30 + (i % 400) / 10).toFixed(1),
      own,
      hasFacts ? `F${i}` : '',
    ].join(';');
    for (let n = 0; n < times; n++) lines.push(cells);
  }
  return `${lines.join('\n')}\n`;
}

async function stored(heldAt: string, content: string): Promise<{ rows: unknown[]; accepted: number; sound: unknown }> {
  const plant = await new TestEngine().open();
  open.push(plant);
  const names = { answers: { 'date-order': 'ymd' } };
  expect((await plant.take('held.csv', `${header}\n${heldAt};${other}\n`, names)).accepted).toBe(1);
  const outcome = await plant.take('mixed.csv', content, names);
  expect(outcome.problem).toBeNull();
  expect(outcome.questions).toEqual([]);
  const db = new DatabaseSync(plant.storePath, { readOnly: true });
  try {
    return {
      accepted: outcome.accepted,
      rows: db
        .prepare(
          `SELECT r.id, r.key, r.line, r.at, r.at_step, t.written AS tool, o.written AS operator, j.written AS joint,
             r.torque, r.torque_decimals, r.unit, r.angle, r.own, r.sequence, r.k, m.fastener
           FROM reading r JOIN name t ON t.id = r.tool LEFT JOIN name o ON o.id = r.operator
             LEFT JOIN name j ON j.id = r.joint LEFT JOIN more m ON m.id = r.more
           WHERE r.source = 2 ORDER BY r.id`,
        )
        .all(),
      sound: db.prepare('PRAGMA integrity_check').get(),
    };
  } finally {
    db.close();
  }
}

const open: TestEngine[] = [];

describe('rows written without looking each one up', () => {
  afterEach(async () => {
    for (const plant of open.splice(0)) await plant.close();
  });

  test('are the rows, ids, keys and counts of kind that looking up gives', async () => {
    const content = mixed(18_000);
    const quick = await stored('2025-03-14;06:00:00', content);
    // In the middle of every batch's span there is something held: nothing goes the quick way.
    const careful = await stored('2026-03-14;07:00:00', content);
    const lines = content.trimEnd().split('\n').length - 1;
    expect(quick.accepted).toBe(lines);
    expect(careful.accepted).toBe(lines);
    expect(quick.rows).toEqual(careful.rows);
    expect(quick.sound).toEqual({ integrity_check: 'ok' });
    // Lines that stand three times are the first, second and third of their kind.
    const third = quick.rows.filter((row) => typeof row === 'object' && row !== null && 'k' in row && row.k === 2);
    expect(third.length).toBeGreaterThan(30);
  });

  test('a file of equal lines is as many readings as lines', async () => {
    const content = `${header}\n${'2026-03-14;06:00:00;W-1;Ada;Stem;24.50;Nm;31.0;OK;\n'.repeat(9000)}`;
    const quick = await stored('2025-03-14;06:00:00', content);
    expect(quick.accepted).toBe(9000);
    const counts = quick.rows.map((row) =>
      typeof row === 'object' && row !== null && 'k' in row ? Number(row.k) : -1,
    );
    expect(counts.length).toBe(9000);
    // A count whose key is taken by another of the same kind is passed over: they rise, a few are left out.
    expect(counts.every((k, i) => (i === 0 ? k === 0 : k > counts[i - 1]!))).toBe(true);
    const again = await open[0]!.take('again.csv', content.replace('24.50;Nm;31.0;OK;\n', '24.50;Nm;31.0;OK; \n'), {
      answers: { 'date-order': 'ymd' },
    });
    expect(again).toMatchObject({ accepted: 0, alreadyHeld: 9000 });
  });
});

/** Readings after an id, as columns: the page from which the engine fills its memory. */
import type { DatabaseSync } from 'node:sqlite';
import { timeStepsMs } from '#core/readings/columns.ts';
import { torqueUnitCodes } from '#core/units/torque-unit.ts';
import type { StoredReadings } from '../store.ts';
import { allRows, indexOrNone, numberIn, numberOrNaN } from './query.ts';

const sql = `
SELECT r.id, r.at, r.at_step, r.torque, r.unit, r.torque_decimals, r.angle, r.tool, r.operator, r.joint, r.own,
  r.sequence, r.source, r.line, m.fastener, m.batch, m.batch_position, m.batch_size
FROM reading r LEFT JOIN more m ON m.id = r.more WHERE r.id > ? ORDER BY r.id LIMIT ?`;

/** Reads at most `limit` readings above `after`, in order of id. */
export function readingsPage(db: DatabaseSync, after: number, limit: number): StoredReadings {
  const page = {
    id: new Int32Array(limit),
    at: new Float64Array(limit),
    atStep: new Uint8Array(limit),
    torque: new Float64Array(limit),
    unit: new Uint8Array(limit),
    decimals: new Uint8Array(limit),
    angle: new Float64Array(limit),
    tool: new Int32Array(limit),
    operator: new Int32Array(limit),
    joint: new Int32Array(limit),
    own: new Uint8Array(limit),
    sequence: new Float64Array(limit),
    source: new Int32Array(limit),
    line: new Int32Array(limit),
    batchPosition: new Int32Array(limit),
    batchSize: new Int32Array(limit),
  };
  const fasteners: [number, string][] = [];
  const batches: [number, string][] = [];
  let n = 0;
  // All rows of a page at once: a seventh cheaper than one by one, and a page is small.
  for (const row of allRows(db, sql, after, limit)) {
    page.id[n] = numberIn(row[0]);
    page.at[n] = numberOrNaN(row[1]);
    page.atStep[n] = stepCode(row[2]);
    page.torque[n] = numberOrNaN(row[3]);
    const unit = row[4];
    page.unit[n] = typeof unit === 'number' && unit < torqueUnitCodes.length ? unit : 0;
    const decimals = row[5];
    page.decimals[n] = typeof decimals === 'number' ? decimals : 0;
    page.angle[n] = numberOrNaN(row[6]);
    page.tool[n] = numberIn(row[7]);
    page.operator[n] = indexOrNone(row[8]);
    page.joint[n] = indexOrNone(row[9]);
    const own = row[10];
    page.own[n] = typeof own === 'number' ? own : 0;
    page.sequence[n] = numberOrNaN(row[11]);
    page.source[n] = numberIn(row[12]);
    page.line[n] = numberIn(row[13]);
    const fastener = row[14];
    if (typeof fastener === 'string') fasteners.push([n, fastener]);
    const batch = row[15];
    if (typeof batch === 'string') batches.push([n, batch]);
    page.batchPosition[n] = indexOrNone(row[16]);
    page.batchSize[n] = indexOrNone(row[17]);
    n++;
  }
  return { ...page, length: n, fasteners, batches };
}

/** Code of a time's precision (columns.ts) from the ms it is stored as. */
function stepCode(cell: unknown): number {
  switch (cell) {
    case 1:
      return 1;
    case 1000:
      return 2;
    case 60_000:
      return 3;
    case 86_400_000:
      return 4;
    default:
      return 0;
  }
}

/** Ms a time is written to, by its code; null: no time. */
export function stepMs(code: number): number | null {
  const ms = timeStepsMs[code];
  return ms ? ms : null;
}

/**
 * What is held says of a file that leaves the order of day and month, or its decimal mark, open.
 *
 * Two witnesses: lines that are held readings when read in one order and in no other, and files in force of the same
 * layout that show readings of the same tool. Another tool of the layout is none: its settings may be of another region.
 */
import type { DatabaseSync } from 'node:sqlite';
import { underOrder } from '#core/intake/other-order.ts';
import type { HeldEvidence } from '#core/intake/read-plan.ts';
import { type DateOrder, type DecimalMark, dateOrderCodes } from '#core/intake/vocabulary.ts';
import type { TakeInFile } from '../store.ts';
import { keysPerSecond } from './identity.ts';
import { ToolNames } from './overlap.ts';
import { eachRow, numberIn, numberOrNaN, question, textIn } from './query.ts';
import { knownNames } from './take-in.ts';

/** Fewer lines than this that are held readings prove nothing. */
const provingLines = 3;
/** Rows looked at, evenly over the file. */
const mostRows = 20_000;

export interface OpenHypotheses {
  /** The order the rows were read in. */
  readonly readOrder: DateOrder;
  /** Orders between which the file does not decide; empty: settled. */
  readonly orders: readonly DateOrder[];
  /** Whether the decimal mark is open. */
  readonly mark: boolean;
  readonly fingerprint: string;
}

/** Only reads; null when nothing held decides. */
export async function heldEvidence(
  db: DatabaseSync,
  file: TakeInFile,
  open: OpenHypotheses,
): Promise<HeldEvidence | null> {
  const ids = await knownNames(db, file);
  const tools = new ToolNames(db);
  const names = new Set<number>();
  for (const id of ids.tool) if (id >= 0) for (const one of tools.all(id)) names.add(one);
  if (names.size === 0) return null;
  if (open.orders.length > 0 && !open.mark) {
    const matches = await matchesByOrder(db, file, ids.tool, tools, open);
    const met = open.orders.filter((order) => (matches.get(order) ?? 0) > 0);
    const [only] = met;
    const count = only === undefined ? 0 : (matches.get(only) ?? 0);
    if (only !== undefined && met.length === 1 && count >= provingLines)
      return { dateOrder: only, decimalMark: null, readings: count, files: 0 };
  }
  return byLayout(db, open, names);
}

/** Lines of the file that are held readings, by the order they are read in. */
async function matchesByOrder(
  db: DatabaseSync,
  file: TakeInFile,
  fileTools: Int32Array,
  tools: ToolNames,
  open: OpenHypotheses,
): Promise<Map<DateOrder, number>> {
  const byKey = question(db, 'SELECT tool, at, torque, unit, angle FROM reading WHERE key >= ? AND key < ?');
  const matches = new Map<DateOrder, number>();
  const every = Math.max(1, Math.ceil(file.rowCount / mostRows));
  let row = 0;
  for await (const { batch } of file.rows()) {
    for (let i = 0; i < batch.length; i++) {
      if (row++ % every !== 0) continue;
      const at = batch.at[i]!;
      const tool = batch.tool[i]! < 0 ? -1 : fileTools[batch.tool[i]!]!;
      // A day alone with a torque may well coincide.
      if (Number.isNaN(at) || tool < 0 || batch.atStep[i]! > 3) continue;
      const spelled = tools.all(tool);
      const times = open.orders.map((order) => underOrder(at, open.readOrder, order));
      // 3 March is 3 March in both orders.
      if (times.every((then) => then === times[0])) continue;
      for (const [n, order] of open.orders.entries()) {
        const then = times[n] ?? null;
        if (then === null) continue;
        const second = Math.floor(then / 1000);
        for (const held of eachRow(byKey, second * keysPerSecond, (second + 1) * keysPerSecond)) {
          const torque = batch.torque[i]!;
          const angle = batch.angle[i]!;
          const same =
            spelled.includes(numberIn(held[0])) &&
            numberIn(held[1]) === then &&
            Object.is(numberOrNaN(held[2]), torque) &&
            Object.is(numberOrNaN(held[4]), angle) &&
            (Number.isNaN(torque) || held[3] === batch.unit[i]!);
          if (!same) continue;
          matches.set(order, (matches.get(order) ?? 0) + 1);
          break;
        }
      }
    }
  }
  return matches;
}

/** What files in force of the layout were settled to, as far as they show one of these tools and agree. */
function byLayout(db: DatabaseSync, open: OpenHypotheses, tools: ReadonlySet<number>): HeldEvidence | null {
  const settled = new Map<number, { order: unknown; mark: unknown }>();
  const sql =
    "SELECT id, recipe FROM source WHERE withdrawn = 0 AND recipe IS NOT NULL AND json_extract(facts, '$.recipe') = ?";
  for (const row of eachRow(question(db, sql), open.fingerprint)) {
    const recipe: unknown = JSON.parse(textIn(row[1]));
    if (typeof recipe !== 'object' || recipe === null) continue;
    settled.set(numberIn(row[0]), {
      order: 'dateOrder' in recipe ? recipe.dateOrder : null,
      mark: 'decimalMark' in recipe ? recipe.decimalMark : null,
    });
  }
  if (settled.size === 0) return null;
  const marks = [...tools].map(() => '?').join(', ');
  const sources = new Set<number>();
  for (const row of eachRow(question(db, `SELECT DISTINCT source FROM reading WHERE tool IN (${marks})`), ...tools))
    sources.add(numberIn(row[0]));
  const orders = new Set<DateOrder>();
  const decimalMarks = new Set<DecimalMark>();
  let files = 0;
  for (const [source, { order, mark }] of settled) {
    if (!sources.has(source)) continue;
    files++;
    const known = dateOrderCodes.find((one) => one === order);
    if (known) orders.add(known);
    if (mark === 'comma' || mark === 'point') decimalMarks.add(mark);
  }
  const [order] = orders;
  const [mark] = decimalMarks;
  const dateOrder = order && orders.size === 1 && open.orders.includes(order) ? order : null;
  const decimalMark = open.mark && mark && decimalMarks.size === 1 ? mark : null;
  return dateOrder === null && decimalMark === null ? null : { dateOrder, decimalMark, readings: 0, files };
}

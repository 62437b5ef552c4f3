/**
 * Overlap of a file with what is held, where identity by time does not decide.
 *
 * - Rows **without a time** are aligned by sequence: the longest run shared by the end of what is held of the tool and
 *   the start of the file, at least 5 long. Anything else that coincides is a question.
 * - **Times to the minute** (or the day): two readings alike in the one minute in which a file and what is held meet may
 *   be one reading, or two made before and after the memory was cleared. Aligned by the same rule, else a question.
 * - **Another unit**: where at the times of the overlap one constant ratio, that of the units, maps the held torques to
 *   the file's, it is the same memory read out after its unit was changed: a question.
 *
 * Method: the run is the longest prefix of the file that is a suffix of what is held, by the prefix function of Knuth,
 * Morris and Pratt (SIAM J. Comput. 6 (1977) 323); O(held + rows).
 */
import type { DatabaseSync, StatementSync } from 'node:sqlite';
import type { RowBatch } from '#core/intake/row-batch.ts';
import { newtonMetresPer, torqueUnitCodes } from '#core/units/torque-unit.ts';
import type { OverlapDoubt, TakeInFile } from '../store.ts';
import { keysPerSecond } from './identity.ts';
import type { MinuteEdge, NameIds, UnitTwins } from './place-rows.ts';
import { eachRow, firstRow, indexOrNone, numberIn, numberOrNaN, question } from './query.ts';

export interface Overlap {
  readonly placing: {
    readonly aligned: ReadonlyMap<number, Int32Array>;
    readonly freshMinutes: ReadonlyMap<number, MinuteEdge>;
    readonly unitTwins: UnitTwins | null;
  };
  /** Why the question `overlap` must be asked; null: nothing to ask. */
  readonly doubt: OverlapDoubt | null;
}

/** A run shorter than this proves nothing. */
const provingRun = 5;
/** Rows of a tool in a file that may be looked at for a change of unit. */
const unitSample = 200;

/** Looks at a file's rows beside the held ones. */
export async function overlapOf(db: DatabaseSync, file: TakeInFile, ids: NameIds): Promise<Overlap> {
  const nothing: Overlap = {
    placing: { aligned: new Map(), freshMinutes: new Map(), unitTwins: null },
    doubt: null,
  };
  if (holdsNothingOf(db, file)) return nothing;
  const tools = new ToolNames(db);
  const byKey = question(db, 'SELECT id, torque, unit, angle, tool, at FROM reading WHERE key >= ? AND key < ?');
  const seen = await look(file, ids, tools);
  const doubts: OverlapDoubt[] = [];
  const aligned = new Map<number, Int32Array>();
  const freshMinutes = new Map<number, MinuteEdge>();

  const untimed = seen.untimed.size > 0 ? heldUntimed(db) : new Map<number, HeldUntimed[]>();
  for (const [fileTool, rows] of seen.untimed) {
    const held = together(untimed, tools.all(ids.tool[fileTool]!));
    if (held.length === 0) continue;
    const run = alignedRun(held, rows);
    const whole = containedAt(held, rows);
    const name = file.names.tool[fileTool] ?? '';
    const start = whole !== null ? whole : run >= provingRun ? held.length - run : null;
    const length = whole !== null ? rows.length : run;
    if (start !== null) {
      aligned.set(
        fileTool,
        Int32Array.from({ length }, (_, i) => held[start + i]!.id),
      );
      continue;
    }
    if (file.overlap === 'new') continue;
    const matched = matchedByKind(held, rows);
    const same = matched.filter((id) => id !== 0).length;
    if (file.overlap === 'same') {
      // The best run there is; without one, reading by reading, each held one once.
      aligned.set(
        fileTool,
        run > 0
          ? Int32Array.from({ length: run }, (_, i) => held[held.length - run + i]!.id)
          : Int32Array.from(matched),
      );
      continue;
    }
    if (run > 0 || startsSomewhere(held, rows)) {
      doubts.push({
        kind: 'no-time',
        tool: name,
        held: held.length,
        rows: rows.length,
        same: Math.max(run, 0) || same,
      });
    }
  }

  const bounds = seen.coarse.size > 0 ? heldBounds(db) : new Map<number, Bounds>();
  for (const [fileTool, edge] of seen.coarse) {
    const names = tools.all(ids.tool[fileTool]!);
    const meeting = minuteEdge(byKey, names, boundsOf(bounds, names), edge);
    if (!meeting) continue;
    if (file.overlap === 'new') freshMinutes.set(fileTool, meeting.edge);
    else if (file.overlap === null && meeting.same < provingRun) {
      doubts.push({
        kind: 'minute-edge',
        tool: file.names.tool[fileTool] ?? '',
        held: meeting.held,
        rows: edge.rows,
        same: meeting.same,
      });
    }
  }

  let unitTwins: UnitTwins | null = null;
  for (const [fileTool, sample] of seen.sample) {
    const change = unitChange(byKey, tools.all(ids.tool[fileTool]!), sample);
    if (!change) continue;
    if (file.overlap === 'same') unitTwins = new HeldInAnotherUnit(byKey, tools);
    else if (file.overlap === null) {
      doubts.push({
        kind: 'unit-changed',
        tool: file.names.tool[fileTool] ?? '',
        held: change.met,
        rows: sample.total,
        same: change.same,
      });
    }
  }
  return { placing: { aligned, freshMinutes, unitTwins }, doubt: doubts[0] ?? null };
}

/**
 * Whether what is held cannot concern the file: nothing is held at all, or nothing in the time that the file covers.
 *
 * Where all rows have times, every rule of identity and of overlap asks for a held reading in the very same second.
 */
export function holdsNothingOf(db: DatabaseSync, file: TakeInFile): boolean {
  if (firstRow(question(db, 'SELECT 1 FROM reading LIMIT 1')) === null) return true;
  if (file.span === null) return false;
  const [from, to] = file.span;
  const within = question(db, 'SELECT 1 FROM reading WHERE key >= ? AND key < ? LIMIT 1');
  const key = (at: number): number => Math.floor(at / 1000) * keysPerSecond;
  return firstRow(within, key(from), key(to) + keysPerSecond) === null;
}

interface UntimedRow {
  readonly torque: number;
  readonly unit: number;
  readonly angle: number;
  /** Running number, where the file's is the device's own. */
  readonly sequence: number;
}

interface HeldUntimed extends UntimedRow {
  readonly id: number;
}

/** A file's rows of one tool whose times are to the minute or the day. */
interface CoarseEdge {
  first: number;
  last: number;
  step: number;
  rows: number;
  /** Identities of the rows in the first and in the last step of time. */
  firstRows: UntimedRow[];
  lastRows: UntimedRow[];
}

interface UnitSample {
  total: number;
  readonly rows: { readonly at: number; readonly torque: number; readonly unit: number; readonly decimals: number }[];
}

interface Seen {
  readonly untimed: Map<number, UntimedRow[]>;
  readonly coarse: Map<number, CoarseEdge>;
  readonly sample: Map<number, UnitSample>;
}

/** One pass over the file's rows, keeping only what the three rules need. */
async function look(file: TakeInFile, ids: NameIds, tools: ToolNames): Promise<Seen> {
  const seen: Seen = { untimed: new Map(), coarse: new Map(), sample: new Map() };
  const device = file.facts.sequenceIsDevice;
  for await (const { batch } of file.rows()) {
    for (let i = 0; i < batch.length; i++) {
      const tool = batch.tool[i]!;
      // A tool that the store does not know holds nothing that could overlap.
      if (tool < 0 || !tools.isHeld(ids.tool[tool]!)) continue;
      const at = batch.at[i]!;
      if (Number.isNaN(at)) {
        const rows = seen.untimed.get(tool);
        if (rows) rows.push(rowOf(batch, i, device));
        else seen.untimed.set(tool, [rowOf(batch, i, device)]);
        continue;
      }
      const step = batch.atStep[i]!;
      if (step >= 3) addCoarse(seen.coarse, tool, at, step === 3 ? 60_000 : 86_400_000, rowOf(batch, i, device));
      let sample = seen.sample.get(tool);
      if (!sample) {
        sample = { total: 0, rows: [] };
        seen.sample.set(tool, sample);
      }
      sample.total++;
      const torque = batch.torque[i]!;
      if (sample.rows.length < unitSample && !Number.isNaN(torque)) {
        sample.rows.push({ at, torque, unit: batch.unit[i]!, decimals: batch.decimals[i]! });
      }
    }
  }
  return seen;
}

function rowOf(batch: RowBatch, i: number, device: boolean): UntimedRow {
  const torque = batch.torque[i]!;
  return {
    torque,
    unit: Number.isNaN(torque) ? 255 : batch.unit[i]!,
    angle: batch.angle[i]!,
    sequence: device ? batch.sequence[i]! : Number.NaN,
  };
}

function addCoarse(map: Map<number, CoarseEdge>, tool: number, at: number, step: number, row: UntimedRow): void {
  const edge = map.get(tool);
  if (!edge) {
    map.set(tool, { first: at, last: at, step, rows: 1, firstRows: [row], lastRows: [row] });
    return;
  }
  edge.rows++;
  if (at < edge.first) {
    edge.first = at;
    edge.firstRows = [row];
  } else if (at === edge.first) edge.firstRows.push(row);
  if (at > edge.last) {
    edge.last = at;
    edge.lastRows = [row];
  } else if (at === edge.last) edge.lastRows.push(row);
}

/** Written names of tools in the store: those of one entry are one tool. */
/** Which written names are one tool. */
export class ToolNames {
  readonly #entryOf = new Map<number, number>();
  readonly #namesOf = new Map<number, number[]>();

  constructor(db: DatabaseSync) {
    for (const row of eachRow(question(db, "SELECT id, entry FROM name WHERE kind = 'tool'"))) {
      const id = numberIn(row[0]);
      const entry = indexOrNone(row[1]);
      this.#entryOf.set(id, entry);
      const list = this.#namesOf.get(entry);
      if (list) list.push(id);
      else this.#namesOf.set(entry, [id]);
    }
  }

  isHeld(name: number): boolean {
    return this.#entryOf.has(name);
  }

  all(name: number): readonly number[] {
    const entry = this.#entryOf.get(name);
    if (entry === undefined || entry < 0) return [name];
    return this.#namesOf.get(entry) ?? [name];
  }
}

/** Readings without a time, by id of the tool's name, in the order in which they came. One pass over what is held. */
function heldUntimed(db: DatabaseSync): Map<number, HeldUntimed[]> {
  const devices = new Set<number>();
  for (const row of eachRow(
    question(db, "SELECT id FROM source WHERE json_extract(facts, '$.sequenceIsDevice') = 1"),
  )) {
    devices.add(numberIn(row[0]));
  }
  const byTool = new Map<number, HeldUntimed[]>();
  const sql = 'SELECT id, torque, unit, angle, sequence, source, tool FROM reading WHERE at IS NULL ORDER BY id';
  for (const row of eachRow(question(db, sql))) {
    const held = {
      id: numberIn(row[0]),
      torque: numberOrNaN(row[1]),
      unit: typeof row[2] === 'number' ? row[2] : 255,
      angle: numberOrNaN(row[3]),
      sequence: devices.has(numberIn(row[5])) ? numberOrNaN(row[4]) : Number.NaN,
    };
    const tool = numberIn(row[6]);
    const list = byTool.get(tool);
    if (list) list.push(held);
    else byTool.set(tool, [held]);
  }
  return byTool;
}

/** The lists of several names of one tool as one, in order. */
function together(byTool: ReadonlyMap<number, HeldUntimed[]>, names: readonly number[]): HeldUntimed[] {
  if (names.length === 1) return byTool.get(names[0]!) ?? [];
  return names.flatMap((name) => byTool.get(name) ?? []).sort((a, b) => a.id - b.id);
}

function same(a: UntimedRow, b: UntimedRow): boolean {
  return (
    a.unit === b.unit &&
    equalOrAbsent(a.torque, b.torque) &&
    equalOrAbsent(a.angle, b.angle) &&
    // Numbers of the device must agree where both files give them.
    (Number.isNaN(a.sequence) || Number.isNaN(b.sequence) || a.sequence === b.sequence)
  );
}

function equalOrAbsent(a: number, b: number): boolean {
  return a === b || (Number.isNaN(a) && Number.isNaN(b));
}

/** Length of the longest start of `rows` that is an end of `held`. */
export function alignedRun(held: readonly UntimedRow[], rows: readonly UntimedRow[]): number {
  const pattern = rows.slice(0, held.length);
  if (pattern.length === 0) return 0;
  const fall = prefixFunction(pattern);
  let state = 0;
  for (const row of held) {
    if (state === pattern.length) state = fall[state - 1]!;
    while (state > 0 && !same(pattern[state]!, row)) state = fall[state - 1]!;
    if (same(pattern[state]!, row)) state++;
  }
  return state;
}

/** Where `held` contains all of `rows` as one stretch; null: nowhere, or the stretch proves nothing. */
function containedAt(held: readonly UntimedRow[], rows: readonly UntimedRow[]): number | null {
  if (rows.length < provingRun || rows.length > held.length) return null;
  const fall = prefixFunction(rows);
  let state = 0;
  let found: number | null = null;
  held.forEach((row, i) => {
    while (state > 0 && (state === rows.length || !same(rows[state]!, row))) state = fall[state - 1]!;
    if (same(rows[state]!, row)) state++;
    if (state === rows.length) found = i - rows.length + 1;
  });
  return found;
}

function prefixFunction(rows: readonly UntimedRow[]): Int32Array {
  const fall = new Int32Array(rows.length);
  for (let i = 1, k = 0; i < rows.length; i++) {
    while (k > 0 && !same(rows[i]!, rows[k]!)) k = fall[k - 1]!;
    if (same(rows[i]!, rows[k]!)) k++;
    fall[i] = k;
  }
  return fall;
}

/** Whether the file's first rows stand somewhere in what is held: then it may repeat it, with rows missing between. */
function startsSomewhere(held: readonly UntimedRow[], rows: readonly UntimedRow[]): boolean {
  const start = rows.slice(0, provingRun);
  if (start.length === 0) return false;
  if (rows.length < provingRun) return rows.every((row) => held.some((other) => same(row, other)));
  return held.some((_, i) => start.every((row, k) => held[i + k] !== undefined && same(held[i + k]!, row)));
}

/** For each row the id of a held reading of the same kind, each held one once; 0: none left. */
function matchedByKind(held: readonly HeldUntimed[], rows: readonly UntimedRow[]): number[] {
  const free = new Map<string, number[]>();
  const key = (row: UntimedRow): string => `${row.torque} ${row.unit} ${row.angle}`;
  for (const row of held) {
    const list = free.get(key(row));
    if (list) list.push(row.id);
    else free.set(key(row), [row.id]);
  }
  return rows.map((row) => free.get(key(row))?.shift() ?? 0);
}

/** The one step of time in which a file and what is held of a tool meet, if some readings in it look alike. */
function minuteEdge(
  byKey: StatementSync,
  names: readonly number[],
  bounds: Bounds | null,
  file: CoarseEdge,
): { edge: MinuteEdge; same: number; held: number } | null {
  if (!bounds) return null;
  // Anything further in the overlap is the same memory beyond doubt: its readings are told by their times.
  const meetsAtStart = file.first === bounds.last;
  const meetsAtEnd = file.last === bounds.first;
  if (!meetsAtStart && !meetsAtEnd) return null;
  const at = meetsAtStart ? file.first : file.last;
  const rows = meetsAtStart ? file.firstRows : file.lastRows;
  const held: HeldUntimed[] = [];
  for (const row of rowsAt(byKey, names, at)) held.push(row);
  held.sort((a, b) => a.id - b.id);
  const alike = matchedByKind(held, rows).filter((id) => id !== 0).length;
  if (alike === 0) return null;
  // A run that ends what is held and begins the file proves the same memory, as it does without times.
  const run = meetsAtStart ? alignedRun(held, rows) : 0;
  return { edge: { from: at, to: at + file.step }, same: run >= provingRun ? run : alike, held: bounds.count };
}

interface Bounds {
  readonly first: number;
  readonly last: number;
  readonly count: number;
}

/** First and last time held of each tool's name. One pass over what is held. */
function heldBounds(db: DatabaseSync): Map<number, Bounds> {
  const bounds = new Map<number, Bounds>();
  const sql = 'SELECT tool, min(at), max(at), count(at) FROM reading WHERE at IS NOT NULL GROUP BY tool';
  for (const row of eachRow(question(db, sql))) {
    bounds.set(numberIn(row[0]), { first: numberIn(row[1]), last: numberIn(row[2]), count: numberIn(row[3]) });
  }
  return bounds;
}

/** Bounds over several names of one tool; null: none held with a time. */
function boundsOf(byTool: ReadonlyMap<number, Bounds>, names: readonly number[]): Bounds | null {
  let all: Bounds | null = null;
  for (const name of names) {
    const one = byTool.get(name);
    if (!one) continue;
    all = all
      ? {
          first: Math.min(all.first, one.first),
          last: Math.max(all.last, one.last),
          count: all.count + one.count,
        }
      : one;
  }
  return all;
}

function* rowsAt(
  byKey: StatementSync,
  names: readonly number[],
  at: number,
): Generator<HeldUntimed & { tool: number }> {
  const from = Math.floor(at / 1000) * keysPerSecond;
  for (const row of eachRow(byKey, from, from + keysPerSecond)) {
    if (row[5] !== at || !names.includes(numberIn(row[4]))) continue;
    yield {
      id: numberIn(row[0]),
      torque: numberOrNaN(row[1]),
      unit: typeof row[2] === 'number' ? row[2] : 255,
      angle: numberOrNaN(row[3]),
      sequence: Number.NaN,
      tool: numberIn(row[4]),
    };
  }
}

/** Whether all times met hold the same torque in another unit. */
function unitChange(
  byKey: StatementSync,
  names: readonly number[],
  sample: UnitSample,
): { met: number; same: number } | null {
  let met = 0;
  let equal = 0;
  for (const row of sample.rows) {
    for (const held of rowsAt(byKey, names, row.at)) {
      if (held.unit === row.unit) return null;
      met++;
      if (isConversion(held.torque, held.unit, row.torque, row.unit, row.decimals)) equal++;
    }
  }
  // Two pulls at one second may both be met; what counts is that nothing contradicts.
  return met >= provingRun && equal >= provingRun && equal >= met / 2 ? { met, same: equal } : null;
}

/** Whether `torque` is `held` in the other unit, to the digits written. */
function isConversion(held: number, heldUnit: number, torque: number, unit: number, decimals: number): boolean {
  const from = torqueUnitCodes[heldUnit];
  const to = torqueUnitCodes[unit];
  if (from === undefined || to === undefined) return false;
  const expected = (held * newtonMetresPer[from]) / newtonMetresPer[to];
  // Half a step of the file and of what is held, which may have been rounded as coarsely.
  const step = 10 ** -decimals;
  return Math.abs(expected - torque) <= step * 1.01 + Math.abs(expected) * 5e-4;
}

class HeldInAnotherUnit implements UnitTwins {
  readonly #byKey: StatementSync;
  readonly #tools: ToolNames;

  constructor(byKey: StatementSync, tools: ToolNames) {
    this.#byKey = byKey;
    this.#tools = tools;
  }

  twin(
    tool: number,
    at: number,
    torque: number,
    unit: number,
    _angle: number,
    isUsed: (id: number) => boolean,
  ): number {
    for (const held of rowsAt(this.#byKey, this.#tools.all(tool), at)) {
      if (held.unit === unit || isUsed(held.id)) continue;
      if (isConversion(held.torque, held.unit, torque, unit, 1)) return held.id;
    }
    return 0;
  }
}

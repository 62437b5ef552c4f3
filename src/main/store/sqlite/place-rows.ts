/**
 * Decides, row by row, whether a reading of a file is held already.
 *
 * The same code counts for the preview and takes rows in, so that both always agree. A row is the k-th of its kind in
 * the file; it is held if the k-th of that kind is. Rows without a time are placed by aligned sequences instead.
 */
import type { DatabaseSync, StatementSync } from 'node:sqlite';
import type { RowBatch } from '#core/intake/row-batch.ts';
import { identityHash, identityKey, keysPerSecond } from './identity.ts';
import { allRows, eachRow, firstRow, indexOrNone, numberIn, numberOrNaN, question } from './query.ts';

/** A held row as far as identity needs it. */
interface HeldRow {
  readonly id: number;
  readonly source: number;
  readonly tool: number;
  readonly at: number;
  readonly torque: number;
  readonly unit: number;
  readonly angle: number;
  readonly joint: number;
}

export interface Placement {
  /** Id of the held reading this row shows again; 0: the row is new. */
  held: number;
  /** For a new row: its key (null without a time) and k. */
  key: number | null;
  k: number;
}

/** What a file's names are in the store, by position in the file's own lists; -1: not known yet. */
export interface NameIds {
  readonly tool: Int32Array;
  readonly joint: Int32Array;
}

/** Slots of the cache of recent identities; a power of two. */
const recentSlots = 65_536;

export class RowPlacer {
  readonly #find: StatementSync;
  readonly #ids: NameIds;
  readonly #jointFromFile: boolean;
  readonly #looseSources: ReadonlySet<number>;
  readonly #aliases: ReadonlyMap<number, readonly number[]>;
  readonly #lastHeld: number;
  readonly #used: Uint8Array;
  /** Held ids for the rows without time that begin the file, by tool position in the file. */
  readonly #aligned: ReadonlyMap<number, Int32Array>;
  readonly #untimedSeen = new Map<number, number>();
  readonly #newK: ReadonlyMap<number, MinuteEdge>;
  readonly #oldUnits: UnitTwins | null;
  readonly #anyBetween: StatementSync;
  /** A tool of the file has other names: its readings are looked for under each. */
  readonly #hasAliases: boolean;

  /** Called before a key of a second is looked up: rows of that second that wait to be written must be seen. */
  beforeLookUp: (second: number) => void = () => {};
  #firstSecond = Number.POSITIVE_INFINITY;
  #lastSecond = Number.NEGATIVE_INFINITY;

  // A direct-mapped cache of the last identities and their next k: a million equal lines stay linear.
  readonly #slotTool = new Int32Array(recentSlots).fill(-2);
  readonly #slotAt = new Float64Array(recentSlots);
  readonly #slotTorque = new Float64Array(recentSlots);
  readonly #slotAngle = new Float64Array(recentSlots);
  readonly #slotUnit = new Uint8Array(recentSlots);
  readonly #slotJoint = new Int32Array(recentSlots);
  readonly #slotK = new Int32Array(recentSlots);

  constructor(
    db: DatabaseSync,
    ids: NameIds,
    options: {
      readonly jointFromFile: boolean;
      readonly aligned: ReadonlyMap<number, Int32Array>;
      readonly freshMinutes: ReadonlyMap<number, MinuteEdge>;
      readonly unitTwins: UnitTwins | null;
    },
  ) {
    this.#find = question(db, 'SELECT id, source, tool, at, torque, unit, angle, joint FROM reading WHERE key = ?');
    this.#ids = ids;
    this.#jointFromFile = options.jointFromFile;
    this.#looseSources = looseSources(db);
    this.#aliases = toolAliases(db);
    this.#hasAliases = ids.tool.some((id) => this.#aliases.has(id));
    this.#anyBetween = question(db, 'SELECT 1 FROM reading WHERE key >= ? AND key < ? LIMIT 1');
    this.#lastHeld = lastReading(db);
    this.#used = new Uint8Array((this.#lastHeld >> 3) + 1);
    this.#aligned = options.aligned;
    this.#newK = options.freshMinutes;
    this.#oldUnits = options.unitTwins;
    const bounds = firstRow(question(db, 'SELECT (SELECT min(key) FROM reading), (SELECT max(key) FROM reading)'));
    if (typeof bounds?.[0] === 'number') this.#firstSecond = Math.floor(bounds[0] / keysPerSecond);
    if (typeof bounds?.[1] === 'number') this.#lastSecond = Math.floor(bounds[1] / keysPerSecond);
  }

  /** Id of the newest reading held before this file. */
  get lastHeld(): number {
    return this.#lastHeld;
  }

  /**
   * Whether nothing held, and no row of the file so far, lies in the time the batch covers: then each of its rows is
   * new, and only rows of the batch itself can be of one kind. A batch of which this is true counts as placed.
   */
  beginsAfresh(batch: RowBatch): boolean {
    if (this.#hasAliases) return false;
    let from = Number.POSITIVE_INFINITY;
    let to = Number.NEGATIVE_INFINITY;
    const times = batch.at;
    const n = batch.length;
    for (let i = 0; i < n; i++) {
      const at = times[i]!;
      if (Number.isNaN(at)) return false;
      if (at < from) from = at;
      if (at > to) to = at;
    }
    const first = Math.floor(from / 1000);
    const last = Math.floor(to / 1000);
    const isOutside = first > this.#lastSecond || last < this.#firstSecond;
    if (!isOutside && firstRow(this.#anyBetween, first * keysPerSecond, (last + 1) * keysPerSecond) !== null)
      return false;
    this.#cover(first);
    this.#cover(last);
    return true;
  }

  /** Places row `i`; the result is the same object every time. */
  place(batch: RowBatch, i: number, into: Placement): void {
    const at = batch.at[i]!;
    const fileTool = batch.tool[i]!;
    into.held = 0;
    into.k = 0;
    into.key = null;
    if (Number.isNaN(at)) {
      const nth = this.#untimedSeen.get(fileTool) ?? 0;
      this.#untimedSeen.set(fileTool, nth + 1);
      into.held = this.#aligned.get(fileTool)?.[nth] ?? 0;
      return;
    }
    const tool = fileTool < 0 ? -1 : this.#ids.tool[fileTool]!;
    const fileJoint = batch.joint[i]!;
    const joint = !this.#jointFromFile || fileJoint < 0 ? -1 : this.#ids.joint[fileJoint]!;
    const torque = batch.torque[i]!;
    const angle = batch.angle[i]!;
    const unit = Number.isNaN(torque) ? 255 : batch.unit[i]!;
    const hash = identityHash(tool, at, torque, unit, angle);

    const slot = hash & (recentSlots - 1);
    const seen =
      this.#slotTool[slot] === fileTool &&
      this.#slotAt[slot] === at &&
      this.#slotUnit[slot] === unit &&
      this.#slotJoint[slot] === fileJoint &&
      Object.is(this.#slotTorque[slot], torque) &&
      Object.is(this.#slotAngle[slot], angle);
    let k = seen ? this.#slotK[slot]! : 0;
    const edge = this.#newK.get(fileTool);
    const countOn = edge !== undefined && at >= edge.from && at < edge.to;

    const aliases = this.#aliases.get(tool);
    for (;;) {
      const found = this.#lookUp(tool, aliases, at, torque, unit, angle, joint, hash, k, into);
      if (found === 0) break;
      // A row of this very file, or a held one it has shown already: the next of its kind.
      if (found > this.#lastHeld || countOn || this.#isUsed(found)) {
        k++;
        continue;
      }
      this.#use(found);
      into.held = found;
      break;
    }
    if (into.held === 0 && this.#oldUnits) {
      const twin = this.#oldUnits.twin(tool, at, torque, unit, angle, (id) => this.#isUsed(id));
      if (twin !== 0) {
        this.#use(twin);
        into.held = twin;
      }
    }
    into.k = k;
    this.#cover(Math.floor(at / 1000));
    this.#slotTool[slot] = fileTool;
    this.#slotAt[slot] = at;
    this.#slotTorque[slot] = torque;
    this.#slotAngle[slot] = angle;
    this.#slotUnit[slot] = unit;
    this.#slotJoint[slot] = fileJoint;
    this.#slotK[slot] = k + 1;
  }

  /** Id of the held k-th reading of an identity, or 0; then `into.key` is the free key. */
  #lookUp(
    tool: number,
    aliases: readonly number[] | undefined,
    at: number,
    torque: number,
    unit: number,
    angle: number,
    joint: number,
    hash: number,
    k: number,
    into: Placement,
  ): number {
    if (aliases) {
      for (const other of aliases) {
        const found = this.#chain(
          other,
          at,
          torque,
          unit,
          angle,
          joint,
          identityHash(other, at, torque, unit, angle),
          k,
          into,
        );
        if (found !== 0) return found;
      }
    }
    return this.#chain(tool, at, torque, unit, angle, joint, hash, k, into);
  }

  #chain(
    tool: number,
    at: number,
    torque: number,
    unit: number,
    angle: number,
    joint: number,
    hash: number,
    k: number,
    into: Placement,
  ): number {
    const second = Math.floor(at / 1000);
    let key = identityKey(at, hash, k);
    if (this.#isFresh(second)) {
      into.key = key;
      return 0;
    }
    for (;;) {
      const row = this.#held(key);
      if (!row) {
        into.key = key;
        return 0;
      }
      const sameJoint =
        row.joint === joint ||
        !this.#jointFromFile ||
        (this.#looseSources.size > 0 && this.#looseSources.has(row.source));
      if (
        sameJoint &&
        row.tool === tool &&
        row.at === at &&
        row.unit === unit &&
        sameNumber(row.torque, torque) &&
        sameNumber(row.angle, angle)
      ) {
        return row.id;
      }
      // Collision of two hashes: the next number, within the same second.
      key = key + 1 === (second + 1) * keysPerSecond ? second * keysPerSecond : key + 1;
    }
  }

  /** Whether nothing held and no row so far lies in this second: then nothing needs to be looked up. */
  #isFresh(second: number): boolean {
    return second > this.#lastSecond || second < this.#firstSecond;
  }

  #cover(second: number): void {
    if (second > this.#lastSecond) this.#lastSecond = second;
    if (second < this.#firstSecond) this.#firstSecond = second;
  }

  #held(key: number): HeldRow | null {
    this.beforeLookUp(Math.floor(key / keysPerSecond));
    const row = firstRow(this.#find, key);
    if (!row) return null;
    const unit = row[5];
    return {
      id: numberIn(row[0]),
      source: numberIn(row[1]),
      tool: numberIn(row[2]),
      at: numberOrNaN(row[3]),
      torque: numberOrNaN(row[4]),
      unit: typeof unit === 'number' ? unit : 255,
      angle: numberOrNaN(row[6]),
      joint: indexOrNone(row[7]),
    };
  }

  #isUsed(id: number): boolean {
    return id <= this.#lastHeld && (this.#used[id >> 3]! & (1 << (id & 7))) !== 0;
  }

  #use(id: number): void {
    if (id <= this.#lastHeld) this.#used[id >> 3]! |= 1 << (id & 7);
  }
}

/** A span of civil time in which rows equal to held ones are new all the same (a cleared memory within one minute). */
export interface MinuteEdge {
  readonly from: number;
  readonly to: number;
}

/** Finds the held reading that is the same pull shown in another unit. */
export interface UnitTwins {
  twin(tool: number, at: number, torque: number, unit: number, angle: number, isUsed: (id: number) => boolean): number;
}

function sameNumber(a: number, b: number): boolean {
  return a === b || (Number.isNaN(a) && Number.isNaN(b));
}

function lastReading(db: DatabaseSync): number {
  return numberIn(firstRow(question(db, 'SELECT coalesce(max(id), 0) FROM reading'))?.[0]);
}

/** Other written names of each tool that was merged or renamed. */
function toolAliases(db: DatabaseSync): Map<number, number[]> {
  const byEntry = new Map<number, number[]>();
  for (const row of eachRow(question(db, "SELECT id, entry FROM name WHERE kind = 'tool' AND entry IS NOT NULL"))) {
    const entry = numberIn(row[1]);
    const list = byEntry.get(entry);
    if (list) list.push(numberIn(row[0]));
    else byEntry.set(entry, [numberIn(row[0])]);
  }
  const aliases = new Map<number, number[]>();
  for (const list of byEntry.values()) {
    if (list.length < 2) continue;
    for (const id of list)
      aliases.set(
        id,
        list.filter((other) => other !== id),
      );
  }
  return aliases;
}

/** Files whose joint was said by an answer: it identifies nothing. */
function looseSources(db: DatabaseSync): Set<number> {
  return new Set(
    allRows(db, "SELECT id FROM source WHERE json_extract(facts, '$.jointFromFile') = 0").map((row) =>
      numberIn(row[0]),
    ),
  );
}

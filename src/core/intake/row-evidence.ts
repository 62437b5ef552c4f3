/**
 * What the rows of a file say over the whole of it: times, days, units, running numbers, directions, repeated lines, and
 * what is worth a notice. One call a row, without objects.
 */
import { msPerDay } from '../time/civil-time.ts';
import { clockSetFrom } from '../time/unset-clock.ts';
import { type TorqueUnit, torqueUnitCodes } from '../units/torque-unit.ts';
import type { KnownJoint } from './read-plan.ts';
import { noUnit } from './row-batch.ts';
import type { NoticeKind } from './vocabulary.ts';

/** First lines and count of something worth knowing. */
export interface Noticed {
  readonly lines: number[];
  count: number;
}

/** Duplicates are looked for among this many readings before; a memory that repeats itself does so at once. */
const duplicateSlots = 1 << 17;
const yearMs = 365.25 * msPerDay;

const float = new Float64Array(3);
const bits = new Int32Array(float.buffer);

export class RowEvidence {
  /** Days met, civil ms, with counts; at most `mostDays`. */
  readonly days = new Map<number, number>();
  readonly noticed = new Map<NoticeKind, Noticed>();
  readonly unitCounts = new Float64Array(torqueUnitCodes.length);
  rowsWithoutUnit = 0;
  withTime = 0;
  withoutTime = 0;
  coarsestStep = 0;
  from = Number.POSITIVE_INFINITY;
  to = Number.NEGATIVE_INFINITY;
  rises = 0;
  falls = 0;
  torqueMin = Number.POSITIVE_INFINITY;
  torqueMax = Number.NEGATIVE_INFINITY;
  readonly #rowsOfJoint: number[] = [];
  readonly #negativeOfJoint: number[] = [];
  readonly #signLines: { readonly joint: number; readonly negative: boolean; readonly line: number }[] = [];
  readonly #leftHanded: ReadonlySet<string>;
  readonly #rightHanded: ReadonlySet<string>;
  namelessTool = 0;
  namelessJoint = 0;
  #previousAt = Number.NaN;
  readonly #lastAtOfTool: number[] = [];
  #backSteps: { line: number; by: number }[] = [];
  #backCount = 0;
  #firstSequence = Number.NaN;
  #previousSequence = Number.NaN;
  #sequenceCount = 0;
  countsUp = true;
  countsDown = true;
  #lastOfDown = Number.NaN;
  #gapLines: number[] = [];
  #gapCount = 0;
  readonly #seenHash = new Int32Array(duplicateSlots);
  readonly #now: number;
  readonly #jointNames: readonly string[];
  readonly #mostDays = 5000;

  /**
   * @param now civil ms
   * @param jointNames names by position, growing while the file is read
   */
  constructor(now: number, joints: readonly KnownJoint[], jointNames: readonly string[]) {
    this.#now = now;
    this.#jointNames = jointNames;
    const written = (left: boolean): Set<string> =>
      new Set(
        joints
          .filter((joint) => (joint.direction === 'ccw') === left)
          .flatMap((joint) => [joint.name, ...(joint.alsoWritten ?? [])]),
      );
    this.#leftHanded = written(true);
    this.#rightHanded = written(false);
  }

  /** A row's torque with its unit, by position in `torqueUnitCodes`, and its joint, by position; -1: none named. */
  followTorque(torque: number, unit: number, joint: number, line: number): void {
    if (unit === noUnit) this.rowsWithoutUnit++;
    else this.unitCounts[unit]!++;
    if (torque < this.torqueMin) this.torqueMin = torque;
    if (torque > this.torqueMax) this.torqueMax = torque;
    if (torque === 0) this.notice('zero-torque', line);
    this.#followDirection(torque, joint, line);
  }

  /** A row's time, civil ms, its precision and the orders of day and month that its date allows. */
  followTime(when: number, step: number, mask: number, tool: number, line: number): void {
    this.withTime++;
    if (step > this.coarsestStep) this.coarsestStep = step;
    if (when < this.from) this.from = when;
    if (when > this.to) this.to = when;
    if (mask !== 0 || this.days.size < 400) {
      const day = Math.floor(when / msPerDay) * msPerDay;
      if (day === this.#lastDay) this.#lastDayCount++;
      else {
        this.#flushDay();
        this.#lastDay = day;
        this.#lastDayCount = 1;
      }
    }
    if (when < clockSetFrom) {
      this.notice('clock-unset', line);
    } else if (when > this.#now + msPerDay)
      this.notice(when > this.#now + 20 * yearMs ? 'date-range' : 'future-date', line);
    const previous = this.#previousAt;
    if (when < previous) this.falls++;
    else if (when > previous) this.rises++;
    this.#previousAt = when;
    const toolSlot = tool + 1;
    const last = this.#lastAtOfTool[toolSlot];
    if (last !== undefined && when < last) {
      this.#backCount++;
      if (this.#backSteps.length < 20) this.#backSteps.push({ line, by: last - when });
    }
    this.#lastAtOfTool[toolSlot] = when;
  }

  #lastDay = Number.NaN;
  #lastDayCount = 0;
  #flushDay(): void {
    if (this.#lastDayCount === 0) return;
    const day = this.#lastDay;
    const known = this.days.get(day);
    if (known !== undefined) this.days.set(day, known + this.#lastDayCount);
    else if (this.days.size < this.#mostDays) this.days.set(day, this.#lastDayCount);
    this.#lastDayCount = 0;
  }

  /** A row's running number; NaN: the row has none. */
  followSequence(value: number, line: number): void {
    if (Number.isNaN(value)) {
      this.countsUp = false;
      this.countsDown = false;
      return;
    }
    const n = ++this.#sequenceCount;
    if (n === 1) {
      this.#firstSequence = value;
      if (value !== 1) this.countsUp = false;
    } else {
      const difference = value - this.#previousSequence;
      if (difference !== 1) this.countsUp = false;
      if (difference !== -1) this.countsDown = false;
      if (difference !== 1 && difference !== -1 && difference !== 0) {
        this.#gapCount++;
        if (this.#gapLines.length < 20) this.#gapLines.push(line);
      }
    }
    this.#lastOfDown = value;
    this.#previousSequence = value;
  }

  #followDirection(torque: number, joint: number, line: number): void {
    const slot = joint + 1;
    this.#rowsOfJoint[slot] = (this.#rowsOfJoint[slot] ?? 0) + 1;
    if (torque < 0) this.#negativeOfJoint[slot] = (this.#negativeOfJoint[slot] ?? 0) + 1;
    else if (this.#leftHanded.size === 0) return;
    if (this.#signLines.length < 1000) this.#signLines.push({ joint, negative: torque < 0, line });
  }

  /**
   * Readings against their joint's direction. Of a joint the register does not know the commoner sign is its own: a
   * left-hand thread, or a wrench that writes every torque with a minus.
   */
  #sumDirections(): void {
    let count = 0;
    const odd = new Map<number, boolean>();
    for (let slot = 0; slot < this.#rowsOfJoint.length; slot++) {
      const rows = this.#rowsOfJoint[slot] ?? 0;
      const negative = this.#negativeOfJoint[slot] ?? 0;
      const name = slot === 0 ? '' : (this.#jointNames[slot - 1] ?? '');
      const left = this.#leftHanded.has(name) || (!this.#rightHanded.has(name) && negative > rows / 2);
      odd.set(slot - 1, !left);
      count += left ? rows - negative : negative;
    }
    if (count === 0) return;
    const lines = this.#signLines.filter((sign) => odd.get(sign.joint) === sign.negative).map((sign) => sign.line);
    this.noticed.set('other-direction', { lines: lines.slice(0, 20), count });
  }

  /** Whether a row like this was met not long before. */
  followDuplicates(
    when: number,
    torque: number,
    angle: number,
    unit: number,
    tool: number,
    joint: number,
    line: number,
  ): void {
    float[0] = when;
    float[1] = torque;
    float[2] = angle;
    let hash = Math.imul(bits[0]! ^ Math.imul(bits[1]!, 0x85ebca6b), 0x9e3779b1);
    hash = Math.imul(hash ^ (hash >>> 15) ^ bits[2]!, 0xc2b2ae35) ^ bits[3]!;
    hash = Math.imul(hash ^ (hash >>> 13) ^ bits[4]!, 0x27d4eb2f) ^ bits[5]!;
    hash = Math.imul(hash ^ (hash >>> 16) ^ ((tool << 16) | (joint & 0xffff)), 0x165667b1) + unit;
    hash ^= hash >>> 15;
    const slot = hash & (duplicateSlots - 1);
    // 32 bits of hash in a table of 17: two different readings are taken for equal once in some 2^32 pairs per slot; a
    // notice may then be one line too long, never a reading lost.
    // 0 is an empty slot.
    if (hash === 0) hash = 1;
    if (this.#seenHash[slot] === hash) this.notice('duplicate-lines', line);
    this.#seenHash[slot] = hash;
  }

  notice(kind: NoticeKind, line: number, wholeFile = false): void {
    let noticed = this.noticed.get(kind);
    if (!noticed) {
      noticed = { lines: [], count: 0 };
      this.noticed.set(kind, noticed);
    }
    noticed.count++;
    if (!wholeFile && noticed.lines.length < 20) noticed.lines.push(line);
  }

  /** Closes what is counted in runs; call once after the last record. */
  finish(): void {
    this.#flushDay();
    const newestFirst = this.newestFirst;
    if (newestFirst) this.notice('newest-first', 0, true);
    else if (this.#backCount > 0) {
      const [only] = this.#backSteps;
      // The repeated hour in autumn: one step back of at most an hour is the clock's, not a fault.
      const isAutumn = this.#backCount === 1 && only !== undefined && only.by <= 3_600_000;
      const perTool = this.#lastAtOfTool.filter((at) => at !== undefined).length;
      if (!isAutumn && !(perTool > 1 && this.rises === 0)) {
        this.noticed.set('clock-back', { lines: this.#backSteps.map((step) => step.line), count: this.#backCount });
      }
    }
    if (this.sequenceKind === 'device' && this.#gapCount > 0 && this.#gapCount <= this.#sequenceCount / 10) {
      this.noticed.set('sequence-gap', { lines: this.#gapLines, count: this.#gapCount });
    }
    this.#sumDirections();
    let units = 0;
    for (const count of this.unitCounts) if (count > 0) units++;
    if (units > 1) this.notice('unit-changes', 0, true);
  }

  get newestFirst(): boolean {
    return this.falls > 0 && this.rises === 0;
  }

  get sequenceKind(): 'rows' | 'device' | null {
    if (this.#sequenceCount === 0) return null;
    const down = this.countsDown && this.#lastOfDown === 1 && this.#sequenceCount > 1;
    return (this.countsUp && this.#firstSequence === 1) || down ? 'rows' : 'device';
  }

  units(): Partial<Record<TorqueUnit, number>> {
    const units: Partial<Record<TorqueUnit, number>> = {};
    torqueUnitCodes.forEach((code, i) => {
      const count = this.unitCounts[i] ?? 0;
      if (count > 0) units[code] = count;
    });
    return units;
  }
}

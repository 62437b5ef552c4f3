/**
 * A file's rows seen as a plant of their own, before they are taken in: judged against the register, so that the
 * preview can show what the file would add and what is worth knowing about it.
 */
import type { IntakeNotice, OrderVerdicts, WouldAdd } from '#core/contract/models/intake-model.ts';
import { ProblemError } from '#core/contract/problems.ts';
import { calibrationDue, lastCalibration } from '#core/drift/due-dates.ts';
import { underOrder } from '#core/intake/other-order.ts';
import { batchCapacity, noUnit, type RowBatch } from '#core/intake/row-batch.ts';
import type { DateOrder, NoticeKind } from '#core/intake/vocabulary.ts';
import { noticeKinds } from '#core/intake/vocabulary.ts';
import { openSaid, type WhatIsOpen, waitsForAnswer } from '#core/intake/what-is-open.ts';
import { judgeAll } from '#core/judging/judge.ts';
import { failBits, type Judged } from '#core/judging/judged.ts';
import { emptyColumns, type ReadingColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import { everything } from '#core/readings/scope.ts';
import { timeOrder } from '#core/readings/time-order.ts';
import type { Register, Tool } from '#core/register/register.ts';
import { reviewNotices } from '#core/review/review-notices.ts';
import { said } from '#core/text/said.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { torqueUnitCodes } from '#core/units/torque-unit.ts';
import type { FileNamesMet } from '../reader/reader-jobs.ts';
import type { BatchNames } from '../store/store.ts';
import { DayDrawing } from './day-drawing.ts';
import { namedLines, plainNotices } from './plain-notices.ts';
import type { RegisterState } from './register-state.ts';
import { RegisterWithNames } from './register-with-names.ts';

/** Rows looked at together: enough for chains of tries, little enough for memory to stay flat. */
const rowsAtOnce = 65_536;
const drawnDays = 14;

/** Files up to this size are looked at with all of the review's notices; chains of tries cost more than the reading. */
export const richRows = 100_000;

export interface FileRows {
  /** Rows in all. */
  readonly count: number;
  readonly rows: AsyncIterable<{ readonly batch: RowBatch; readonly names: BatchNames }>;
  readonly names: FileNamesMet;
  readonly newestFirst: boolean;
  /** What open questions leave undecided; null: nothing. */
  readonly open: WhatIsOpen | null;
}

/** What the register makes of a file. */
export interface FileSight {
  readonly wouldAdd: WouldAdd;
  readonly notices: readonly IntakeNotice[];
}

/** Looks at a file's rows batch by batch. */
export interface FileLook {
  /** Names met for the first time, behind those met before; must hold those of a batch before it is added. */
  meet(names: FileNamesMet): void;
  add(batch: RowBatch, names: BatchNames): void;
  /** Rows added so far. */
  readonly total: number;
  /** After the last row. */
  done(): FileSight;
}

/** Judges a file's rows by the register; yields between batches, so that other questions are answered meanwhile. */
export async function fileSight(file: FileRows, state: RegisterState, signal?: AbortSignal): Promise<FileSight> {
  const look = fileLook(state, {
    isRich: file.count <= richRows,
    newestFirst: file.newestFirst,
    open: file.open,
  });
  look.meet(file.names);
  for await (const { batch, names } of file.rows) {
    if (signal?.aborted) throw new ProblemError('cancelled', said('problem.cancelled', {}));
    look.add(batch, names);
    await new Promise((resolve) => setImmediate(resolve));
  }
  return look.done();
}

/** @param options.isRich few enough rows for all of the review's notices */
export function fileLook(
  state: RegisterState,
  options: { readonly isRich: boolean; readonly newestFirst: boolean; readonly open: WhatIsOpen | null },
): FileLook {
  const { isRich, open } = options;
  const days = new Map<number, DayDrawing>();
  const sum = { noTime: 0, pass: 0, fail: 0, unjudged: 0, otherDirection: 0, inLimits: 0, torques: 0, angles: 0 };
  /** Readings unjudged because something is asked; those of them that another day would judge otherwise. */
  let leftUnjudged = 0;
  let otherwise = 0;
  const byOrder = new Map<DateOrder, { -readonly [K in keyof OrderVerdicts]: OrderVerdicts[K] } & { fits: boolean }>();
  const untimed = new DayDrawing();
  let unit: number | null = null;
  const notices = new Map<NoticeKind, { said: IntakeNotice['said']; lines: number[]; count: number }>();
  const perTool: number[] = [];
  const lastOfTool: number[] = [];
  let total = 0;
  const met = new RegisterWithNames(state);
  const { position } = met;
  const block = emptyColumns(rowsAtOnce);
  /** 1: a torque whose unit is asked. */
  const unitOpen = new Uint8Array(open?.unit ? rowsAtOnce : 0);
  let filled = 0;

  let drawing = new DayDrawing();
  let lastDay = Number.NaN;

  const waits = (kind: NoticeKind): boolean => open !== null && waitsForAnswer(kind, open);

  const look = (): void => {
    if (filled === 0) return;
    const readings = cut(block, filled);
    if (open?.order) toOrder(readings.at, filled, open.order.from, open.order.lead);
    const register = met.register();
    const judged = judgeAll(readings, register);
    const byDay = open?.order ? judgedByDay(readings, register, judged, open.order) : null;
    /** 1: something else than the day keeps the reading from being judged. */
    const elsewise = new Uint8Array(byDay === null ? 0 : filled);
    for (let i = 0; i < filled; i++) {
      const isOpenElsewise =
        open !== null &&
        (open.torque !== null ||
          open.mark !== null ||
          unitOpen[i] === 1 ||
          (open.tool && readings.tool[i]! < 0) ||
          (open.joint && readings.joint[i]! < 0));
      const isOpen = isOpenElsewise || byDay?.differs[i] === 1;
      if (isOpen) leftUnjudged++;
      if (byDay && isOpenElsewise) elsewise[i] = 1;
      else if (byDay?.differs[i] === 1) otherwise++;
      const verdict = isOpen ? 0 : judged.verdict[i]!;
      const otherDirection = !isOpen && judged.unjudgedBecause[i] === 1;
      const place = isOpen ? Number.NaN : placeOf(judged, i);
      const kind = isOpen ? 5 : kindOf(judged, i);
      const torque = readings.torque[i]!;
      const angle = readings.angle[i]!;
      if (verdict === 1) sum.pass++;
      else if (verdict === 2) sum.fail++;
      else if (otherDirection) sum.otherDirection++;
      else sum.unjudged++;
      if (!Number.isNaN(place)) sum.inLimits++;
      if (!Number.isNaN(torque)) {
        sum.torques++;
        if (unit === null && unitOpen[i] !== 1) unit = readings.unit[i]!;
      }
      if (!Number.isNaN(angle)) sum.angles++;
      const at = readings.at[i]!;
      if (Number.isNaN(at)) {
        sum.noTime++;
        untimed.add(sum.noTime, place, torque, angle, kind);
        continue;
      }
      const day = Math.floor(at / msPerDay) * msPerDay;
      if (day !== lastDay) {
        let found = days.get(day);
        if (!found) {
          found = new DayDrawing();
          days.set(day, found);
        }
        drawing = found;
        lastDay = day;
      }
      drawing.add(at, place, torque, angle, kind);
    }
    for (const { order, fits, verdict } of byDay?.orders ?? []) {
      const counted = byOrder.get(order) ?? { order, pass: 0, fail: 0, unjudged: 0, fits: true };
      byOrder.set(order, counted);
      counted.fits &&= fits;
      for (let i = 0; i < filled; i++) {
        if (elsewise[i] === 1 || verdict[i] === 0) counted.unjudged++;
        else if (verdict[i] === 1) counted.pass++;
        else counted.fail++;
      }
    }
    const plant: Plant = {
      readings,
      register,
      names: { fasteners, batches },
      order: !isRich
        ? new Uint32Array(0)
        : timeOrder(readings, register, [
            {
              id: 0,
              name: '',
              sha256: '',
              bytes: 0,
              withdrawn: false,
              takenInMs: 0,
              newestFirst: options.newestFirst,
            },
          ]),
      judged,
      leftOut: new Map(),
      notes: new Map(),
      sources: [],
    };
    for (const notice of isRich ? reviewNotices(plant, everything) : plainNotices(plant)) {
      const kind = noticeKinds.find((one) => one === notice.kind);
      if (kind === undefined || waits(kind)) continue;
      const lines = notice.readings.map((name) => Number(name.slice(name.indexOf(':') + 1)));
      const held = notices.get(kind);
      if (held) {
        held.count += notice.count;
        held.lines.push(...lines.slice(0, namedLines - held.lines.length));
      } else notices.set(kind, { said: notice.said, lines: lines.slice(0, namedLines), count: notice.count });
    }
    filled = 0;
    fasteners = [];
    batches = [];
  };

  let fasteners: string[] = [];
  let batches: string[] = [];
  const add = (batch: RowBatch, names: BatchNames): void => {
    // It must fit whole: the block is looked at before it could overflow.
    if (filled + batch.length > rowsAtOnce) look();
    const firstFastener = fasteners.length;
    const firstBatch = batches.length;
    for (const name of names.fastener) fasteners.push(name);
    for (const name of names.batch) batches.push(name);
    // Whole columns where nothing is to be looked up: a million rows cost no loop a field.
    const n = batch.length;
    copyColumn(block.at, batch.at, n, filled);
    copyColumn(block.atStep, batch.atStep, n, filled);
    copyColumn(block.torque, batch.torque, n, filled);
    copyColumn(block.unit, batch.unit, n, filled);
    copyColumn(block.decimals, batch.decimals, n, filled);
    copyColumn(block.angle, batch.angle, n, filled);
    copyColumn(block.own, batch.own, n, filled);
    copyColumn(block.sequence, batch.sequence, n, filled);
    copyColumn(block.line, batch.line, n, filled);
    copyColumn(block.batchPosition, batch.batchPosition, n, filled);
    copyColumn(block.batchSize, batch.batchSize, n, filled);
    for (let i = 0; i < n; i++) {
      const to = filled + i;
      const tool = batch.tool[i]!;
      const operator = batch.operator[i]!;
      const joint = batch.joint[i]!;
      if (batch.unit[i] === noUnit) block.unit[to] = 0;
      if (open?.unit) unitOpen[to] = batch.unit[i] === noUnit && !Number.isNaN(batch.torque[i]!) ? 1 : 0;
      block.id[to] = total + i + 1;
      block.tool[to] = tool < 0 ? -1 : position.tool[tool]!;
      block.operator[to] = operator < 0 ? -1 : position.operator[operator]!;
      block.joint[to] = joint < 0 ? -1 : position.joint[joint]!;
      if (tool >= 0) {
        perTool[tool]! += 1;
        const at = batch.at[i]!;
        if (at > lastOfTool[tool]!) lastOfTool[tool] = at;
      }
    }
    copyPlaces(block.fastener, batch.fastener, n, filled, firstFastener);
    copyPlaces(block.batch, batch.batch, n, filled, firstBatch);
    total += n;
    filled += batch.length;
    if (filled + batchCapacity > rowsAtOnce) look();
  };

  const done = (): FileSight => {
    look();
    const register = met.register();
    met.names.tool.forEach((serial, index) => {
      const tool = register.tools[position.tool[index]!];
      // Of small files the review's own notices say it, cycles counted.
      const due = tool && !isRich && !waits('calibration-overdue') ? overdueAt(tool, lastOfTool[index]!) : null;
      if (due !== null) {
        const held = notices.get('calibration-overdue');
        if (held) held.count++;
        else {
          const sentence = said('review.notice-calibration-overdue', { tool: serial, on: due });
          notices.set('calibration-overdue', { said: sentence, lines: [], count: 1 });
        }
      }
      if (tool?.storageCapacity != null && !waits('memory-full') && perTool[index]! >= tool.storageCapacity) {
        const sentence = said('store.notice.memory-full', { tool: serial, readings: tool.storageCapacity });
        const held = notices.get('memory-full');
        if (held) held.count++;
        else notices.set('memory-full', { said: sentence, lines: [], count: 1 });
      }
    });
    const unknown = (['tool', 'operator', 'joint'] as const)
      .map((kind) => ({ kind, names: met.names[kind].filter((name) => state.nameId(kind, name) === null) }))
      .filter((list) => list.names.length > 0);
    if (unknown.length > 0 && !waits('unknown-name')) {
      const lists = unknown.map(({ kind, names }) => ({
        kind,
        names: names.slice(0, 5),
        more: Math.max(0, names.length - 5),
      }));
      notices.set('unknown-name', {
        said: said('store.notice.unknown-names', { lists }),
        lines: [],
        count: unknown.reduce((sum, list) => sum + list.names.length, 0),
      });
    }

    const inLimits = sum.inLimits > 0;
    const measure = sum.torques === 0 && sum.angles > 0 ? 'angle' : 'torque';
    const upwards = inLimits ? 'place' : measure;
    const drawn = [...days.entries()].sort((a, b) => a[0] - b[0]);
    return {
      wouldAdd: {
        days: drawn.slice(0, drawnDays).map(([day, drawing]) => drawing.done(day, upwards, orDays(day, open))),
        moreDays: Math.max(0, drawn.length - drawnDays),
        noTime: sum.noTime,
        untimed: sum.noTime > 0 ? untimed.done(0, upwards) : null,
        pass: sum.pass,
        fail: sum.fail,
        unjudged: sum.unjudged,
        otherDirection: sum.otherDirection,
        inLimits,
        measure,
        unit: unit === null ? null : (torqueUnitCodes[unit] ?? null),
        provisional: open && {
          questions: open.questions,
          said: openSaid(open, { judged: sum.pass + sum.fail, otherwise }),
          unitOpen: open.unit,
          leftUnjudged,
          byOrder: [...byOrder.values()].filter((one) => one.fits).map(({ fits: _fits, ...counts }) => counts),
        },
      },
      notices: [...notices].map(([kind, notice]) => ({
        kind,
        ...notice,
        said: recounted(kind, notice.said, notice.count),
      })),
    };
  };

  return {
    meet: (names) => {
      met.meet(names);
      while (perTool.length < met.names.tool.length) {
        perTool.push(0);
        lastOfTool.push(Number.NEGATIVE_INFINITY);
      }
    },
    add,
    get total() {
      return total;
    },
    done,
  };
}

function copyColumn(
  into: Float64Array | Int32Array | Uint8Array,
  from: ArrayLike<number>,
  n: number,
  at: number,
): void {
  // The batch's columns are typed arrays of the same widths.
  if (from instanceof Float64Array || from instanceof Int32Array || from instanceof Uint8Array)
    into.set(from.subarray(0, n), at);
}

/** Places in the names of a batch, as places in the names of the block; -1 stays. */
function copyPlaces(into: Int32Array, from: Int32Array, n: number, at: number, first: number): void {
  for (let i = 0; i < n; i++) into[at + i] = from[i]! < 0 ? -1 : first + from[i]!;
}

/** The day on which a tool's calibration was due, if that was before `at`; by months, cycles are not counted here. */
function overdueAt(tool: Tool, at: number): number | null {
  if (at === Number.NEGATIVE_INFINITY) return null;
  const calibrated = lastCalibration(tool, at);
  const due = calibrationDue(tool, calibrated, [], at);
  return due?.overdue ? due.on : null;
}

/** The count in a notice's sentence; a file is looked at in blocks, so the sentence is made again for their sum. */
function recounted(kind: NoticeKind, sentence: IntakeNotice['said'], count: number): IntakeNotice['said'] {
  switch (kind) {
    case 'own-result-differs':
      return said('review.notice-own-differs', { count });
    case 'other-direction':
      return said('review.notice-other-direction', { count });
    case 'on-limit':
      return said('review.notice-on-limit', { count });
    case 'beyond-range':
      return said('review.notice-beyond-range', { count });
    case 'zero-torque':
      return said('review.notice-zero-torque', { count });
    case 'second-pull':
      return said('review.notice-second-pull', { count });
    default:
      return sentence;
  }
}

/** What the orders of day and month that are still possible make of readings. */
interface JudgedByDay {
  /** 1: another order would judge the reading otherwise. */
  readonly differs: Uint8Array;
  /** Verdicts under each order, the one that leads first; `fits` when every date is one under it. */
  readonly orders: readonly { readonly order: DateOrder; readonly fits: boolean; readonly verdict: Uint8Array }[];
}

/**
 * Judges readings under every order of day and month that is still possible.
 *
 * Compared are verdict, reasons, revision and the torque at the fastener (which an adapter of that day would change); a
 * place inside one-sided limits is scaled by the readings around it and says nothing of the one reading.
 */
function judgedByDay(
  readings: ReadingColumns,
  register: Register,
  judged: Judged,
  order: NonNullable<WhatIsOpen['order']>,
): JudgedByDay {
  const differs = new Uint8Array(readings.length);
  // That every date is one under the order that leads is what the other orders are compared with.
  const orders = [{ order: order.lead, fits: true, verdict: judged.verdict }];
  for (const other of order.others) {
    const at = readings.at.slice();
    const fits = toOrder(at, at.length, order.lead, other);
    const there = judgeAll({ ...readings, at }, register);
    orders.push({ order: other, fits, verdict: there.verdict });
    for (let i = 0; i < readings.length; i++) {
      if (
        there.verdict[i] !== judged.verdict[i] ||
        there.reasons[i] !== judged.reasons[i] ||
        there.revision[i] !== judged.revision[i] ||
        there.unjudgedBecause[i] !== judged.unjudgedBecause[i] ||
        !Object.is(there.torque[i], judged.torque[i])
      )
        differs[i] = 1;
    }
  }
  return { differs, orders };
}

/**
 * Puts times read under one order of day and month into another, in place. Where there is no such date the time stays: it
 * is none of those that may be either.
 *
 * @returns whether every date is one under the new order
 */
function toOrder(at: Float64Array, n: number, from: DateOrder, to: DateOrder): boolean {
  let fits = true;
  if (from === to) return fits;
  let day = Number.NaN;
  let shift = 0;
  for (let i = 0; i < n; i++) {
    const time = at[i]!;
    if (Number.isNaN(time)) continue;
    const midnight = Math.floor(time / msPerDay) * msPerDay;
    if (midnight !== day) {
      day = midnight;
      const moved = underOrder(midnight, from, to);
      if (moved === null) fits = false;
      shift = (moved ?? midnight) - midnight;
    }
    at[i] = time + shift;
  }
  return fits;
}

/** Other days that a day's date may be. */
function orDays(day: number, open: WhatIsOpen | null): number[] {
  const { order } = open ?? {};
  if (!order) return [];
  const others = order.others.map((other) => underOrder(day, order.lead, other));
  return [...new Set(others)].flatMap((other) => (other === null || other === day ? [] : [other]));
}

/** The place inside the limits of torque, or of angle where there is none. */
function placeOf(judged: Judged, i: number): number {
  const place = judged.torquePlace[i]!;
  return Number.isNaN(place) ? judged.anglePlace[i]! : place;
}

/** 0 inside, 1 torque low, 2 torque high, 3 angle low, 4 angle high, 5 unjudged, 6 other direction. */
function kindOf(judged: Judged, i: number): number {
  const verdict = judged.verdict[i]!;
  if (verdict === 1) return 0;
  if (verdict === 0) return judged.unjudgedBecause[i] === 1 ? 6 : 5;
  const bits = judged.reasons[i]!;
  if (bits & failBits['torque-low']) return 1;
  if (bits & failBits['torque-high']) return 2;
  return bits & failBits['angle-low'] ? 3 : 4;
}

/** The first `n` rows of columns. */
function cut(columns: ReadingColumns, n: number): ReadingColumns {
  if (n === columns.length) return columns;
  const c = columns;
  return {
    length: n,
    id: c.id.subarray(0, n),
    at: c.at.subarray(0, n),
    atStep: c.atStep.subarray(0, n),
    torque: c.torque.subarray(0, n),
    unit: c.unit.subarray(0, n),
    decimals: c.decimals.subarray(0, n),
    angle: c.angle.subarray(0, n),
    tool: c.tool.subarray(0, n),
    operator: c.operator.subarray(0, n),
    joint: c.joint.subarray(0, n),
    own: c.own.subarray(0, n),
    sequence: c.sequence.subarray(0, n),
    source: c.source.subarray(0, n),
    line: c.line.subarray(0, n),
    fastener: c.fastener.subarray(0, n),
    batch: c.batch.subarray(0, n),
    batchPosition: c.batchPosition.subarray(0, n),
    batchSize: c.batchSize.subarray(0, n),
    inForce: c.inForce.subarray(0, n),
  };
}

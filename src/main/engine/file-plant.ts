/**
 * A file's rows seen as a plant of their own, before they are taken in: judged against the register, so that the
 * preview can show what the file would add and what is worth knowing about it.
 */
import type { IntakeNotice, WouldAdd } from '#core/contract/models/intake-model.ts';
import { ProblemError } from '#core/contract/problems.ts';
import { calibrationDue, lastCalibration } from '#core/drift/due-dates.ts';
import { batchCapacity, noUnit, type RowBatch } from '#core/intake/row-batch.ts';
import type { NoticeKind } from '#core/intake/vocabulary.ts';
import { noticeKinds } from '#core/intake/vocabulary.ts';
import { judgeAll } from '#core/judging/judge.ts';
import { failBits } from '#core/judging/judged.ts';
import { emptyColumns, type ReadingColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import { everything } from '#core/readings/scope.ts';
import { timeOrder } from '#core/readings/time-order.ts';
import type { Tool } from '#core/register/register.ts';
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
  const look = fileLook(state, { isRich: file.count <= richRows, newestFirst: file.newestFirst });
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
  options: { readonly isRich: boolean; readonly newestFirst: boolean },
): FileLook {
  const { isRich } = options;
  const days = new Map<number, DayDrawing>();
  const sum = { noTime: 0, pass: 0, fail: 0, unjudged: 0, otherDirection: 0, inLimits: 0 };
  let unit: number | null = null;
  const notices = new Map<NoticeKind, { said: IntakeNotice['said']; lines: number[]; count: number }>();
  const perTool: number[] = [];
  const lastOfTool: number[] = [];
  let total = 0;
  const met = new RegisterWithNames(state);
  const { position } = met;
  const block = emptyColumns(rowsAtOnce);
  let filled = 0;

  let drawing = new DayDrawing();
  let lastDay = Number.NaN;

  const look = (): void => {
    if (filled === 0) return;
    const readings = cut(block, filled);
    const register = met.register();
    const judged = judgeAll(readings, register);
    for (let i = 0; i < filled; i++) {
      const verdict = judged.verdict[i]!;
      const otherDirection = judged.unjudgedBecause[i] === 1;
      if (verdict === 1) sum.pass++;
      else if (verdict === 2) sum.fail++;
      else if (otherDirection) sum.otherDirection++;
      else sum.unjudged++;
      if (!Number.isNaN(judged.torquePlace[i]!) || !Number.isNaN(judged.anglePlace[i]!)) sum.inLimits++;
      unit ??= Number.isNaN(readings.torque[i]!) ? null : readings.unit[i]!;
      const at = readings.at[i]!;
      if (Number.isNaN(at)) {
        sum.noTime++;
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
      const place = judged.torquePlace[i]!;
      drawing.add(at, Number.isNaN(place) ? judged.anglePlace[i]! : place, readings.torque[i]!, kindOf(judged, i));
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
      if (kind === undefined) continue;
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
      const due = tool && !isRich ? overdueAt(tool, lastOfTool[index]!) : null;
      if (due !== null) {
        const held = notices.get('calibration-overdue');
        if (held) held.count++;
        else {
          const sentence = said('review.notice-calibration-overdue', { tool: serial, on: due });
          notices.set('calibration-overdue', { said: sentence, lines: [], count: 1 });
        }
      }
      if (tool?.storageCapacity != null && perTool[index]! >= tool.storageCapacity) {
        const sentence = said('store.notice.memory-full', { tool: serial, readings: tool.storageCapacity });
        const held = notices.get('memory-full');
        if (held) held.count++;
        else notices.set('memory-full', { said: sentence, lines: [], count: 1 });
      }
    });
    for (const kind of ['tool', 'operator', 'joint'] as const) {
      const unknown = met.names[kind].filter((name) => state.nameId(kind, name) === null);
      if (unknown.length === 0) continue;
      const sentence = said('store.notice.unknown-name', {
        kind,
        names: unknown.slice(0, 5),
        more: Math.max(0, unknown.length - 5),
      });
      const held = notices.get('unknown-name');
      if (held) held.count += unknown.length;
      else notices.set('unknown-name', { said: sentence, lines: [], count: unknown.length });
    }

    const inLimits = sum.inLimits > 0;
    const drawn = [...days.entries()].sort((a, b) => a[0] - b[0]);
    return {
      wouldAdd: {
        days: drawn.slice(0, drawnDays).map(([day, drawing]) => drawing.done(day, inLimits)),
        moreDays: Math.max(0, drawn.length - drawnDays),
        noTime: sum.noTime,
        pass: sum.pass,
        fail: sum.fail,
        unjudged: sum.unjudged,
        otherDirection: sum.otherDirection,
        inLimits,
        unit: unit === null ? null : (torqueUnitCodes[unit] ?? null),
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

/** 0 inside, 1 torque low, 2 torque high, 3 angle low, 4 angle high, 5 unjudged, 6 other direction. */
function kindOf(judged: Plant['judged'], i: number): number {
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

/**
 * A file's rows seen as a plant of their own, before they are taken in: judged against the register, so that the
 * preview can show what the file would add and what is worth knowing about it.
 */
import type { IntakeNotice, WouldAdd, WouldAddDay } from '#core/contract/models/intake-model.ts';
import type { ReviewNotice } from '#core/contract/models/review-model.ts';
import { ProblemError } from '#core/contract/problems.ts';
import { calibrationDue, lastCalibration } from '#core/drift/due-dates.ts';
import { noUnit, type RowBatch } from '#core/intake/row-batch.ts';
import type { NoticeKind } from '#core/intake/vocabulary.ts';
import { noticeKinds } from '#core/intake/vocabulary.ts';
import { judgeAll } from '#core/judging/judge.ts';
import { failBits } from '#core/judging/judged.ts';
import { emptyColumns, type ReadingColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import { ownDiffers } from '#core/readings/reading-row.ts';
import { everything } from '#core/readings/scope.ts';
import { timeOrder } from '#core/readings/time-order.ts';
import type { Register, Tool } from '#core/register/register.ts';
import { unknownJoint, unknownTool } from '#core/register/register-file.ts';
import { reviewNotices } from '#core/review/review-notices.ts';
import { said } from '#core/text/said.ts';
import { msPerDay } from '#core/time/civil-time.ts';
import { newtonMetresPer, torqueUnitCodes } from '#core/units/torque-unit.ts';
import type { BatchNames } from '../store/store.ts';
import type { RegisterState } from './register-state.ts';

/** Rows looked at together: enough for chains of tries, little enough for memory to stay flat. */
const rowsAtOnce = 65_536;
const drawnDays = 14;
const drawnPerDay = 600;
const namedLines = 20;

/** Files up to this size are looked at with all of the review's notices; chains of tries cost more than the reading. */
const richRows = 100_000;

export interface FileRows {
  /** Rows in all. */
  readonly count: number;
  readonly rows: AsyncIterable<{ readonly batch: RowBatch; readonly names: BatchNames }>;
  readonly names: {
    readonly tool: readonly string[];
    readonly operator: readonly string[];
    readonly joint: readonly string[];
  };
  readonly newestFirst: boolean;
}

/** What the register makes of a file. */
export interface FileSight {
  readonly wouldAdd: WouldAdd;
  readonly notices: readonly IntakeNotice[];
}

/** Judges a file's rows by the register; yields between blocks, so that other questions are answered meanwhile. */
export async function fileSight(file: FileRows, state: RegisterState, signal?: AbortSignal): Promise<FileSight> {
  const days = new Map<number, DayDrawing>();
  const sum = { noTime: 0, pass: 0, fail: 0, unjudged: 0, otherDirection: 0, inLimits: 0 };
  let unit: number | null = null;
  const notices = new Map<NoticeKind, { said: IntakeNotice['said']; lines: number[]; count: number }>();
  const perTool = new Float64Array(file.names.tool.length);
  const lastOfTool = new Float64Array(file.names.tool.length).fill(Number.NEGATIVE_INFINITY);
  let total = 0;
  const { register, position } = withFileNames(file, state);
  const block = emptyColumns(rowsAtOnce);
  let filled = 0;

  let drawing = new DayDrawing();
  let lastDay = Number.NaN;

  const look = (): void => {
    if (filled === 0) return;
    const readings = cut(block, filled);
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
      order:
        file.count > richRows
          ? new Uint32Array(0)
          : timeOrder(readings, register, [
              {
                id: 0,
                name: '',
                sha256: '',
                bytes: 0,
                withdrawn: false,
                takenInMs: 0,
                newestFirst: file.newestFirst,
              },
            ]),
      judged,
      leftOut: new Map(),
      notes: new Map(),
      sources: [],
    };
    for (const notice of file.count <= richRows ? reviewNotices(plant, everything) : plainNotices(plant)) {
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
  for await (const { batch, names } of file.rows) {
    if (signal?.aborted) throw new ProblemError('cancelled', said('problem.cancelled', {}));
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
    // The next batch must fit: a block is looked at before it could overflow.
    if (filled + batch.at.length > rowsAtOnce) {
      look();
      await new Promise((resolve) => setImmediate(resolve));
    }
  }
  look();

  file.names.tool.forEach((serial, index) => {
    const tool = register.tools[position.tool[index]!];
    // Of small files the review's own notices say it, cycles counted.
    const due = tool && file.count > richRows ? overdueAt(tool, lastOfTool[index]!) : null;
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
    const unknown = file.names[kind].filter((name) => state.nameId(kind, name) === null);
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

/** The notices that need no order and no chains, in one pass. */
function plainNotices(plant: Plant): Pick<ReviewNotice, 'kind' | 'said' | 'count' | 'readings'>[] {
  const { readings, judged, register } = plant;
  const found = { 'other-direction': [] as number[], 'on-limit': [] as number[], 'own-result-differs': [] as number[] };
  const counts = { 'other-direction': 0, 'on-limit': 0, 'own-result-differs': 0, 'beyond-range': 0 };
  const beyond: number[] = [];
  const range = register.tools.map((tool) => {
    const factor = tool.unit === null ? Number.NaN : newtonMetresPer[tool.unit];
    return [
      tool.min === null ? Number.NEGATIVE_INFINITY : tool.min * factor * (1 - 1e-9),
      tool.max === null ? Number.POSITIVE_INFINITY : tool.max * factor * (1 + 1e-9),
    ] as const;
  });
  const see = (kind: keyof typeof found, i: number): void => {
    counts[kind]++;
    if (found[kind].length < namedLines) found[kind].push(i);
  };
  for (let i = 0; i < readings.length; i++) {
    if (judged.unjudgedBecause[i] === 1) see('other-direction', i);
    if (judged.onLimit[i] === 1) see('on-limit', i);
    if (readings.own[i] !== 0 && ownDiffers(plant, i)) see('own-result-differs', i);
    const marked = range[readings.tool[i]!];
    if (!marked) continue;
    const torque = Math.abs(readings.torque[i]!) * factorOfUnit[readings.unit[i]!]!;
    if (torque < marked[0] || torque > marked[1]) {
      counts['beyond-range']++;
      if (beyond.length < namedLines) beyond.push(i);
    }
  }
  const names = (list: readonly number[]): string[] => list.map((i) => `0:${readings.line[i]}`);
  return [
    {
      kind: 'own-result-differs',
      count: counts['own-result-differs'],
      said: said('review.notice-own-differs', { count: counts['own-result-differs'] }),
      readings: names(found['own-result-differs']),
    },
    {
      kind: 'other-direction',
      count: counts['other-direction'],
      said: said('review.notice-other-direction', { count: counts['other-direction'] }),
      readings: names(found['other-direction']),
    },
    {
      kind: 'on-limit',
      count: counts['on-limit'],
      said: said('review.notice-on-limit', { count: counts['on-limit'] }),
      readings: names(found['on-limit']),
    },
    {
      kind: 'beyond-range',
      count: counts['beyond-range'],
      said: said('review.notice-beyond-range', { count: counts['beyond-range'] }),
      readings: names(beyond),
    },
  ].filter((notice) => notice.count > 0);
}

const factorOfUnit = Float64Array.from(torqueUnitCodes, (code) => newtonMetresPer[code]);

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

/** At most 600 readings of a day: failing ones first, the others evenly thinned. */
class DayDrawing {
  count = 0;
  readonly #at: number[] = [];
  readonly #place: number[] = [];
  readonly #torque: number[] = [];
  readonly #kind: number[] = [];
  #every = 1;
  #passing = 0;

  add(at: number, place: number, torque: number, kind: number): void {
    this.count++;
    const marked = kind >= 1 && kind <= 4;
    if (!marked && this.#passing++ % this.#every !== 0) return;
    if (marked && this.#at.length >= drawnPerDay * 2) return;
    this.#at.push(at);
    this.#place.push(place);
    this.#torque.push(torque);
    this.#kind.push(kind);
    if (this.#at.length >= drawnPerDay * 2) this.#thin();
  }

  done(day: number, inLimits: boolean): WouldAddDay {
    while (this.#at.length > drawnPerDay && this.#thin());
    const n = Math.min(this.#at.length, drawnPerDay);
    return {
      day,
      count: this.count,
      at: Float64Array.from(this.#at.slice(0, n)),
      place: Float64Array.from((inLimits ? this.#place : this.#torque).slice(0, n)),
      kind: Uint8Array.from(this.#kind.slice(0, n)),
    };
  }

  /** Drops every second of the readings that do not fail; false when there are none to drop. */
  #thin(): boolean {
    this.#every *= 2;
    let kept = 0;
    let seen = 0;
    const n = this.#at.length;
    for (let i = 0; i < n; i++) {
      const kind = this.#kind[i]!;
      const marked = kind >= 1 && kind <= 4;
      if (!marked && seen++ % 2 === 1) continue;
      this.#at[kept] = this.#at[i]!;
      this.#place[kept] = this.#place[i]!;
      this.#torque[kept] = this.#torque[i]!;
      this.#kind[kept] = kind;
      kept++;
    }
    for (const list of [this.#at, this.#place, this.#torque, this.#kind]) list.length = kept;
    return kept < n;
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

/** The register with the file's unknown names at the end, and the positions of all its names. */
function withFileNames(
  file: FileRows,
  state: RegisterState,
): {
  register: Register;
  position: { tool: Int32Array; operator: Int32Array; joint: Int32Array };
} {
  const { register } = state;
  const tools = [...register.tools];
  const operators = [...register.operators];
  const joints = [...register.joints];
  const place = (kind: 'tool' | 'operator' | 'joint', written: string, add: () => number): number => {
    const id = state.nameId(kind, written);
    const known = id === null ? -1 : (state.positionOfName[kind][id] ?? -1);
    return known >= 0 ? known : add();
  };
  return {
    register: { ...register, tools, operators, joints },
    position: {
      tool: Int32Array.from(file.names.tool, (name) => place('tool', name, () => tools.push(unknownTool(name)) - 1)),
      operator: Int32Array.from(file.names.operator, (name) =>
        place('operator', name, () => operators.push({ badge: name, name: null, confirmed: false }) - 1),
      ),
      joint: Int32Array.from(file.names.joint, (name) =>
        place('joint', name, () => joints.push(unknownJoint(name)) - 1),
      ),
    },
  };
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

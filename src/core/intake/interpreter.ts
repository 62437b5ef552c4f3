/**
 * Turns records into rows of a batch, and gathers over the whole file what they say about the hypotheses they were read
 * under. The hot loop of intake: no object, no string and no pattern per cell on ordinary rows.
 */

import { torqueUnitCodes } from '../units/torque-unit.ts';
import { isDegree } from './cell-kind.ts';
import {
  dateMs,
  dateOrders,
  dateStep,
  orderBits,
  readDate,
  readNoTime,
  readNumericDate,
  readOk,
  readTime,
  timeMs,
  timeStep,
  timeZoned,
} from './date-cell.ts';
import type { RejectedRow } from './dump-reading.ts';
import { plainWords } from './header-words.ts';
import { NameTable, ownCopy } from './name-table.ts';
import { numberDecimals, numberMark, numberTail, numberValue, readAnyNumber, readPlainNumber } from './number-cell.ts';
import {
  firstCell,
  headerText,
  isBlankRecord,
  isFooter,
  isMeasureName,
  isOtherHeader,
  rejectedRow,
  startsLikeText,
} from './odd-records.ts';
import { ownResultOf } from './own-result-words.ts';
import { type KnownJoint, nameInFacts, type ReadPlan, unitInFacts } from './read-plan.ts';
import { batchCapacity, emptyRowBatch, type FileNames, noUnit, type RowBatch } from './row-batch.ts';
import { RowEvidence } from './row-evidence.ts';
import { factsOf } from './table-shape.ts';
import type { Tokeniser } from './tokeniser.ts';
import { unitOfText } from './unit-words.ts';
import type { DateOrder, DecimalMark, RejectCode, Role } from './vocabulary.ts';

/** A line quoted as evidence. */
export interface Example {
  readonly line: number;
  readonly text: string;
}

const missing = /^(?:[-–—*.?/]+|n\/?a|null|nan|none|nil|empty|#n\/a)$/i;

export class Interpreter {
  readonly batch: RowBatch = emptyRowBatch();
  rejects: RejectedRow[] = [];
  readonly names: FileNames;

  headerLines = 0;
  blankLines = 0;
  rejectedLines = 0;
  acceptedLines = 0;
  accepted = 0;
  rejected = 0;
  readonly rejectedBy = new Map<RejectCode, number>();

  /** Cells by what they say of the decimal mark, with an example each (numberMark of number-cell.ts). */
  readonly markCounts = [0, 0, 0, 0, 0];
  readonly markExamples: (Example | null)[] = [null, null, null, null, null];
  /** Date cells by the orders they allow, 0..7. */
  readonly orderCounts = [0, 0, 0, 0, 0, 0, 0, 0];
  readonly orderExamples: (Example | null)[] = [null, null, null, null, null, null, null, null];
  /** Facts of device blocks met in the middle of the file. */
  readonly laterFacts: Record<string, string> = {};
  /** First physical line of a second table that is no list of readings, and its lines; counted under header. */
  secondTable: { readonly line: number; lines: number } | null = null;
  /** Set when the file refutes a guess that nothing but the first lines had made. */
  restart: { order: DateOrder | null; mark: DecimalMark | null; recipe: boolean } | null = null;

  /** What the rows say of the file as a whole. */
  readonly evidence: RowEvidence;
  readonly #plan: ReadPlan;
  readonly #at: Record<Role | 'batch', number>;
  #orderBit: number;
  #markCode: number;
  #records = 0;
  readonly #tool = new NameTable();
  readonly #operator = new NameTable();
  readonly #joint = new NameTable();
  readonly #fastener = new NameTable();
  readonly #batchNames = new NameTable();
  readonly #station = new NameTable();
  readonly #note = new NameTable();
  readonly #unitTexts = new NameTable();
  readonly #unitOf: number[] = [];
  readonly #ownTexts = new NameTable();
  readonly #ownOf: number[] = [];
  #defaultTool: number;
  #defaultOperator: number;
  #defaultJoint: number;
  #defaultUnit: number;
  readonly #unitForced: boolean;
  readonly #recipeUsed: boolean;
  /** A second table of other columns has begun; whether it names torques or angles. */
  #foreign = false;
  #foreignReadings = false;
  readonly #headerTexts: readonly string[];
  readonly #preambleKeys: ReadonlySet<string>;
  readonly #preambleTexts: ReadonlySet<string>;
  constructor(plan: ReadPlan, now: number, joints: readonly KnownJoint[] = []) {
    this.#plan = plan;
    this.#at = { ...plan.at };
    this.#orderBit = orderBits[plan.order];
    this.#markCode = plan.mark === 'comma' ? 44 : 46;
    this.evidence = new RowEvidence(now, joints, this.#joint.names);
    this.#defaultTool = this.#index(this.#tool, plan.tool.value);
    this.#defaultOperator = this.#index(this.#operator, plan.operator.value);
    this.#defaultJoint = this.#index(this.#joint, plan.joint.value);
    this.#defaultUnit = plan.unit === null ? noUnit : torqueUnitCodes.indexOf(plan.unit);
    this.#unitForced = plan.unitBy === 'set';
    this.#recipeUsed = plan.recipe !== null;
    this.#headerTexts = plan.headerRecords.map(headerText);
    this.#preambleKeys = new Set(plan.preambleKeys.map(plainWords));
    this.#preambleTexts = new Set(plan.preambleTexts.map(plainWords).filter((text) => text !== ''));
    this.names = {
      tool: this.#tool.names,
      operator: this.#operator.names,
      joint: this.#joint.names,
      fastener: this.#fastener.names,
      batch: this.#batchNames.names,
      station: this.#station.names,
      note: this.#note.names,
    };
    // `--set` wins over whatever the file says.
    if (plan.tool.by === 'set') this.#at.tool = -1;
    if (plan.operator.by === 'set') this.#at.operator = -1;
    if (plan.joint.by === 'set') this.#at.joint = -1;
  }

  get isFull(): boolean {
    return this.batch.length >= batchCapacity;
  }

  /** Begins a new batch after the last was handed on. */
  clearBatch(): void {
    this.batch.length = 0;
    this.#fastener.clear();
    this.#batchNames.clear();
    this.#station.clear();
    this.#note.clear();
  }

  /** What became of the record just taken: for the picture of the first lines. */
  lastKind: 'preamble' | 'header' | 'data' | 'blank' | 'footer' | 'rejected' | 'second-table' = 'data';

  /** Takes one record. */
  take(record: Tokeniser): void {
    this.#records++;
    if (record.to === record.from) {
      this.blankLines += record.lines;
      this.lastKind = 'blank';
      return;
    }
    if (record.line < this.#plan.dataLine) {
      if (isBlankRecord(record)) {
        this.blankLines += record.lines;
        this.lastKind = 'blank';
      } else {
        this.headerLines += record.lines;
        this.lastKind = record.line < this.#plan.headerLine ? 'preamble' : 'header';
      }
      return;
    }
    this.lastKind = 'data';
    const width = this.#plan.shape.width;
    if (record.count !== width && !this.#widthIsFine(record, width)) {
      this.#oddOne(record, record.count < width ? 'too-few-fields' : 'too-many-fields', -1);
      return;
    }
    if (record.openQuote || record.overlong) {
      this.#oddOne(record, record.overlong ? 'too-many-fields' : 'open-quote', -1);
      return;
    }
    if (this.#foreign) {
      this.#oddOne(record, 'no-torque', -1);
      return;
    }
    this.#row(record);
  }

  /** Marks the batch's file as undecodable at this record. */
  takeUndecodable(record: Tokeniser): void {
    this.#records++;
    this.lastKind = 'rejected';
    this.#reject(record, 'undecodable', -1);
  }

  get records(): number {
    return this.#records;
  }

  #widthIsFine(record: Tokeniser, width: number): boolean {
    if (record.count > width) {
      for (let i = width; i < record.count; i++) if (record.cell(i).trim() !== '') return false;
      return true;
    }
    const short = this.#plan.shape.shortWidth;
    if (short === null || record.count < short) return false;
    // The last cell of a short line may be cut in the middle: it must not be a measured one.
    const last = this.#plan.columns[record.count - 1];
    const at = this.#at;
    if (!last || last.role === 'torque' || last.role === 'angle' || last.role === 'date' || last.role === 'time')
      return false;
    return (
      at.torque < record.count &&
      at.angle < record.count &&
      at.date < record.count &&
      at.time < record.count &&
      at['date-time'] < record.count
    );
  }

  /** Reads one record as a reading; false when it is none. */
  #row(record: Tokeniser): boolean {
    const at = this.#at;
    const evidence = this.evidence;
    const batch = this.batch;
    const row = batch.length;
    const line = record.line;

    // Torque.
    let torque = Number.NaN;
    let decimals = 0;
    let unit = this.#defaultUnit;
    if (at.torque >= 0) {
      const outcome = this.#number(record, at.torque);
      if (outcome === cellBad) return this.#oddOne(record, 'bad-torque', at.torque);
      if (outcome === cellOk) {
        torque = numberValue;
        decimals = numberDecimals;
        if (numberTail !== '') {
          const glued = unitOfText(numberTail);
          if (glued === null) return this.#oddOne(record, 'bad-unit', at.torque);
          unit = torqueUnitCodes.indexOf(glued);
        } else if (at['torque-unit'] >= 0) {
          const named = this.#unit(record, at['torque-unit']);
          if (named === unitBad) return this.#oddOne(record, 'bad-unit', at['torque-unit']);
          if (named >= 0) unit = named;
          else if (unit === noUnit && !this.#asksUnit()) return this.#oddOne(record, 'bad-unit', at['torque-unit']);
        }
        if (this.#unitForced) unit = this.#defaultUnit;
      }
    }
    // Angle.
    let angle = Number.NaN;
    if (at.angle >= 0) {
      const outcome = this.#number(record, at.angle);
      if (outcome === cellOk) {
        if (numberTail !== '' && !isDegree(numberTail)) return this.#oddOne(record, 'bad-angle', at.angle);
        angle = numberValue;
      } else if (outcome === cellBad && !missing.test(record.cell(at.angle).trim())) {
        return this.#oddOne(record, 'bad-angle', at.angle);
      }
    }
    if (Number.isNaN(torque) && Number.isNaN(angle))
      return this.#oddOne(record, 'no-torque', at.torque >= 0 ? at.torque : at.angle);

    // When.
    let when = Number.NaN;
    let step = 0;
    let mask = 0;
    const dateColumn = at['date-time'] >= 0 ? at['date-time'] : at.date;
    let dated = false;
    if (dateColumn >= 0) {
      const outcome = this.#date(record, dateColumn);
      if (outcome === dateBad) return this.#oddOne(record, 'bad-date', dateColumn);
      if (outcome === dateBadTime) return this.#oddOne(record, 'bad-time', dateColumn);
      if (outcome === dateThere) {
        dated = true;
        when = dateMs;
        step = dateStep;
        mask = dateOrders;
      } else if (isFooter(record, this.#plan)) return this.#oddOne(record, 'bad-date', dateColumn);
    } else if (
      at.tool !== 0 &&
      at.joint !== 0 &&
      at.operator !== 0 &&
      startsLikeText(record) &&
      isFooter(record, this.#plan)
    ) {
      return this.#oddOne(record, 'no-torque', 0);
    }
    if (at.time >= 0 && at['date-time'] < 0) {
      const outcome = this.#time(record, at.time);
      if (outcome === dateBad) return this.#oddOne(record, 'bad-time', at.time);
      if (outcome === dateThere && dated) {
        when += timeMs;
        step = timeStep;
      }
    }

    // Accepted: from here on nothing is refused.
    batch.at[row] = when;
    batch.atStep[row] = step;
    batch.torque[row] = torque;
    batch.decimals[row] = decimals;
    batch.unit[row] = !Number.isNaN(torque) ? unit : noUnit;
    batch.angle[row] = angle;
    const tool = at.tool >= 0 ? this.#name(record, at.tool, this.#tool, this.#defaultTool) : this.#defaultTool;
    batch.tool[row] = tool;
    batch.operator[row] =
      at.operator >= 0 ? this.#name(record, at.operator, this.#operator, this.#defaultOperator) : this.#defaultOperator;
    const joint = at.joint >= 0 ? this.#name(record, at.joint, this.#joint, this.#defaultJoint) : this.#defaultJoint;
    batch.joint[row] = joint;
    batch.fastener[row] = at.fastener >= 0 ? this.#name(record, at.fastener, this.#fastener, -1) : -1;
    batch.batch[row] = at.batch >= 0 ? this.#name(record, at.batch, this.#batchNames, -1) : -1;
    batch.station[row] = at.station >= 0 ? this.#name(record, at.station, this.#station, -1) : -1;
    batch.note[row] = at.note >= 0 ? this.#name(record, at.note, this.#note, -1) : -1;
    batch.own[row] = at['own-result'] >= 0 ? this.#own(record, at['own-result']) : 0;
    batch.target[row] = at.target >= 0 ? this.#optionalNumber(record, at.target) : Number.NaN;
    batch.low[row] = at['low-limit'] >= 0 ? this.#optionalNumber(record, at['low-limit']) : Number.NaN;
    batch.high[row] = at['high-limit'] >= 0 ? this.#optionalNumber(record, at['high-limit']) : Number.NaN;
    batch.batchSize[row] = at['batch-size'] >= 0 ? this.#count(record, at['batch-size'], false) : -1;
    batch.batchPosition[row] = at['batch-position'] >= 0 ? this.#count(record, at['batch-position'], true) : -1;
    if (at['batch-position'] >= 0 && at['batch-size'] < 0) batch.batchSize[row] = this.#sizeBesidePosition;
    let sequence = Number.NaN;
    if (at.sequence >= 0) {
      sequence = this.#optionalNumber(record, at.sequence);
      evidence.followSequence(sequence, line);
    }
    batch.sequence[row] = sequence;
    batch.line[row] = line;
    batch.lines[row] = record.lines;
    batch.length = row + 1;
    this.accepted++;
    this.acceptedLines += record.lines;

    // Evidence.
    if (!Number.isNaN(torque)) evidence.followTorque(torque, unit, joint, line);
    if (tool < 0) evidence.namelessTool++;
    if (joint < 0) evidence.namelessJoint++;
    if (dated) evidence.followTime(when, step, mask, tool, line);
    else evidence.withoutTime++;
    // Without a time of day equal values are no sign of a repeated line.
    if (step > 0 && step < 4) evidence.followDuplicates(when, torque, angle, unit, tool, joint, line);
    return true;
  }

  #asksUnit(): boolean {
    // Every row without a unit, and none elsewhere: one question for the file. A lone empty unit cell is a bad line.
    return this.evidence.unitCounts.every((count) => count === 0);
  }

  #index(table: NameTable, name: string | null): number {
    return name === null || name.trim() === '' ? -1 : table.find(name.trim(), 0, name.trim().length);
  }

  // Each of the readers below cuts its cell out itself: one function for all of them cost a twentieth of the whole reading
  // (tests/bench/read-bench.ts).

  #name(record: Tokeniser, column: number, table: NameTable, otherwise: number): number {
    if (column >= record.count) return otherwise;
    let text = record.text;
    let from = record.starts[column]!;
    let to = record.ends[column]!;
    if (record.hasSpecial) {
      const special = record.special[column];
      if (special != null) {
        text = special;
        from = 0;
        to = special.length;
      }
    }
    while (from < to && text.charCodeAt(from) <= 32) from++;
    while (to > from && text.charCodeAt(to - 1) <= 32) to--;
    return from === to ? otherwise : table.find(text, from, to);
  }

  #number(record: Tokeniser, column: number): number {
    if (column >= record.count) return cellEmpty;
    let text = record.text;
    let from = record.starts[column]!;
    let to = record.ends[column]!;
    if (record.hasSpecial) {
      const special = record.special[column];
      if (special != null) {
        text = special;
        from = 0;
        to = special.length;
      }
    }
    while (from < to && text.charCodeAt(from) <= 32) from++;
    while (to > from && text.charCodeAt(to - 1) <= 32) to--;
    if (from === to) return cellEmpty;
    let ok = readPlainNumber(text, from, to, this.#markCode);
    if (!ok) {
      const raw = text.slice(from, to);
      ok = readAnyNumber(raw, this.#markCode === 44 ? 'comma' : 'point');
      if (!ok && raw.trim() === '') return cellEmpty;
    }
    if (numberMark !== 0) {
      const count = this.markCounts[numberMark]!++;
      if (count === 0) {
        this.markExamples[numberMark] = { line: record.line, text: ownCopy(text, from, Math.min(to, from + 40)) };
        this.#checkMark();
      }
    }
    return ok ? cellOk : cellBad;
  }

  /** A first sure sign of one mark: refutes the other, if that one was only guessed. */
  #checkMark(): void {
    const point = this.markCounts[1]! > 0;
    const comma = this.markCounts[2]! > 0;
    if (point === comma) return;
    const sure: DecimalMark = point ? 'point' : 'comma';
    if (sure === this.#plan.mark) return;
    if (this.#plan.markBy === null) this.restart ??= { order: null, mark: sure, recipe: false };
    else if (this.#plan.markBy === 'recipe' && this.#recipeUsed)
      this.restart ??= { order: null, mark: null, recipe: true };
  }

  #optionalNumber(record: Tokeniser, column: number): number {
    const outcome = this.#number(record, column);
    return outcome === cellOk ? numberValue : Number.NaN;
  }

  #sizeBesidePosition = -1;

  #count(record: Tokeniser, column: number, isPosition: boolean): number {
    if (isPosition) this.#sizeBesidePosition = -1;
    if (column >= record.count) return -1;
    const outcome = this.#number(record, column);
    if (outcome === cellOk)
      return Number.isInteger(numberValue) && numberValue >= 0 && numberValue < 1e9 ? numberValue : -1;
    if (outcome === cellEmpty) return -1;
    const m = /^(\d{1,6})\s*(?:\/|of|von|de|di|van|av|z)\s*(\d{1,6})$/i.exec(record.cell(column).trim());
    if (!m) return -1;
    if (isPosition) this.#sizeBesidePosition = Number(m[2]);
    return Number(m[1]);
  }

  #unit(record: Tokeniser, column: number): number {
    const index = this.#name(record, column, this.#unitTexts, -1);
    if (index < 0) return unitMissing;
    const known = this.#unitOf[index];
    if (known !== undefined) return known;
    const text = this.#unitTexts.names[index] ?? '';
    const unit = unitOfText(text);
    const code = unit === null ? (missing.test(text) ? unitMissing : unitBad) : torqueUnitCodes.indexOf(unit);
    if (index > 5000) this.#forget(this.#unitTexts, this.#unitOf);
    else this.#unitOf[index] = code;
    return code;
  }

  #own(record: Tokeniser, column: number): number {
    const index = this.#name(record, column, this.#ownTexts, -1);
    if (index < 0) return 0;
    const known = this.#ownOf[index];
    if (known !== undefined) return known;
    const said = ownResultOf(this.#ownTexts.names[index] ?? '');
    const code = said === null ? 0 : said ? 1 : 2;
    if (index > 5000) this.#forget(this.#ownTexts, this.#ownOf);
    else this.#ownOf[index] = code;
    return code;
  }

  /** A column of ever new texts must not fill the memory. */
  #forget(table: NameTable, values: number[]): void {
    table.clear();
    values.length = 0;
  }

  #date(record: Tokeniser, column: number): number {
    if (column >= record.count) return dateMissing;
    let text = record.text;
    let from = record.starts[column]!;
    let to = record.ends[column]!;
    if (record.hasSpecial) {
      const special = record.special[column];
      if (special != null) {
        text = special;
        from = 0;
        to = special.length;
      }
    }
    while (from < to && text.charCodeAt(from) <= 32) from++;
    while (to > from && text.charCodeAt(to - 1) <= 32) to--;
    if (from === to) return dateMissing;
    const finding = this.#plan.columns[column];
    if (finding?.numericDate) {
      const raw = text.slice(from, to);
      if (!readAnyNumber(raw, raw.includes(',') ? 'comma' : 'point')) return missing.test(raw) ? dateMissing : dateBad;
      if (!readNumericDate(numberValue, finding.numericDate)) return dateBad;
      if (finding.numericDate !== 'excel') this.evidence.notice('epoch-utc', record.line, true);
      return dateThere;
    }
    const outcome = readDate(text, from, to, this.#orderBit, this.#plan.thisYear);
    const mask = dateOrders;
    if (mask !== 0) {
      const count = this.orderCounts[mask]!++;
      if (count === 0) {
        this.orderExamples[mask] = { line: record.line, text: ownCopy(text, from, Math.min(to, from + 40)) };
        this.#checkOrder();
      }
    }
    if (outcome === readOk) {
      if (dateStep !== 4 && timeZoned) this.evidence.notice('zone-ignored', record.line, true);
      return dateThere;
    }
    const raw = text.slice(from, to);
    if (/^[0\s:./T-]+$/.test(raw) && raw.includes('0')) {
      this.evidence.notice('clock-unset', record.line);
      return dateMissing;
    }
    if (missing.test(raw)) return dateMissing;
    return outcome === readNoTime ? dateBadTime : dateBad;
  }

  /** The orders that every date so far allows; a guess outside them is refuted. */
  #checkOrder(): void {
    let viable = 7;
    for (let mask = 1; mask < 8; mask++) if (this.orderCounts[mask]! > 0) viable &= mask;
    if (viable === 0 || (viable & this.#orderBit) !== 0) return;
    const order: DateOrder = viable & 1 ? 'dmy' : viable & 2 ? 'mdy' : 'ymd';
    if (this.#plan.orderBy === null) this.restart ??= { order, mark: null, recipe: false };
    else if (this.#plan.orderBy === 'recipe' && this.#recipeUsed)
      this.restart ??= { order: null, mark: null, recipe: true };
  }

  #time(record: Tokeniser, column: number): number {
    if (column >= record.count) return dateMissing;
    let text = record.text;
    let from = record.starts[column]!;
    let to = record.ends[column]!;
    if (record.hasSpecial) {
      const special = record.special[column];
      if (special != null) {
        text = special;
        from = 0;
        to = special.length;
      }
    }
    while (from < to && text.charCodeAt(from) <= 32) from++;
    while (to > from && text.charCodeAt(to - 1) <= 32) to--;
    if (from === to) return dateMissing;
    if (readTime(text, from, to) === readOk) {
      if (timeZoned) this.evidence.notice('zone-ignored', record.line, true);
      return dateThere;
    }
    return missing.test(text.slice(from, to)) ? dateMissing : dateBad;
  }

  /** A record that is no reading: blank, a header or device block again, a footer, or a rejected line. */
  #oddOne(record: Tokeniser, code: RejectCode, column: number): false {
    if (isBlankRecord(record)) {
      this.blankLines += record.lines;
      this.lastKind = 'blank';
      return false;
    }
    if (!record.overlong && record.count <= 2000) {
      const special = this.#special(record, code);
      if (special !== null) {
        this.headerLines += record.lines;
        this.lastKind = special;
        if (special === 'second-table') {
          this.secondTable ??= { line: record.line, lines: 0 };
          this.secondTable.lines += record.lines;
        }
        return false;
      }
    }
    this.lastKind = 'rejected';
    this.#reject(record, code, column);
    return false;
  }

  #special(record: Tokeniser, code: RejectCode): 'header' | 'preamble' | 'footer' | 'second-table' | null {
    const first = firstCell(record);
    const text = headerText(record.cells());
    if (this.#headerTexts.includes(text)) {
      this.#foreign = false;
      this.#at.torque = this.#plan.at.torque;
      Object.assign(this.#at, this.#columnsInForce());
      return 'header';
    }
    if (/^\ufeff?sep=.$/i.test(record.raw().trim())) return 'header';
    const cells = record.cells();
    const facts = record.count <= Math.max(4, this.#plan.shape.width) ? factsOf([cells]) : {};
    const keys = Object.keys(facts);
    if (keys.length > 0 && keys.some((key) => this.#preambleKeys.has(plainWords(key))) && code !== 'bad-torque') {
      this.#takeFacts(facts);
      return 'preamble';
    }
    if (record.count < this.#plan.shape.width && this.#preambleTexts.has(plainWords(first))) return 'preamble';
    if (this.#foreign && !this.#foreignReadings && !isOtherHeader(cells)) return 'second-table';
    if (isFooter(record, this.#plan)) return 'footer';
    if (isOtherHeader(cells)) {
      const remapped = this.#remap(cells);
      this.#foreign = !remapped;
      // Of another table with torques or angles every line is named as rejected; any other is no list of readings.
      this.#foreignReadings = !remapped && cells.some((cell) => isMeasureName(cell));
      return remapped ? 'header' : 'second-table';
    }
    return null;
  }

  #columnsInForce(): Partial<Record<Role | 'batch', number>> {
    const at = { ...this.#plan.at };
    if (this.#plan.tool.by === 'set') at.tool = -1;
    if (this.#plan.operator.by === 'set') at.operator = -1;
    if (this.#plan.joint.by === 'set') at.joint = -1;
    return at;
  }

  /** A second device block: its tool, operator, joint and unit hold from here on. */
  #takeFacts(facts: Readonly<Record<string, string>>): void {
    for (const [key, value] of Object.entries(facts)) {
      if (Object.keys(this.laterFacts).length < 100) this.laterFacts[key] = value;
    }
    if (this.#plan.tool.by === 'preamble') {
      const fact = nameInFacts('tool', facts);
      if (fact && fact.key === (this.#plan.tool.source?.from === 'preamble' ? this.#plan.tool.source.key : ''))
        this.#defaultTool = this.#index(this.#tool, fact.value);
    }
    if (this.#plan.operator.by === 'preamble') {
      const fact = nameInFacts('operator', facts);
      if (fact) this.#defaultOperator = this.#index(this.#operator, fact.value);
    }
    if (this.#plan.joint.by === 'preamble') {
      const fact = nameInFacts('joint', facts);
      if (fact) this.#defaultJoint = this.#index(this.#joint, fact.value);
    }
    if (this.#plan.unitBy === 'preamble') {
      const unit = unitInFacts(facts);
      if (unit) this.#defaultUnit = torqueUnitCodes.indexOf(unit);
    }
  }

  /** A header with the same names in another order: the columns after it are read by it. */
  #remap(cells: readonly string[]): boolean {
    const names = this.#plan.shape.header;
    if (!names || cells.length < names.length) return false;
    const plain = cells.map(plainWords);
    const target: number[] = [];
    for (const name of names) {
      const index = plain.indexOf(plainWords(name));
      if (index < 0) return false;
      target.push(index);
    }
    if (new Set(target).size !== target.length) return false;
    const moved: Partial<Record<Role | 'batch', number>> = {};
    for (const [role, index] of Object.entries(this.#columnsInForce()) as [Role | 'batch', number][]) {
      moved[role] = index < 0 ? -1 : (target[index] ?? -1);
    }
    Object.assign(this.#at, moved);
    return true;
  }

  #reject(record: Tokeniser, code: RejectCode, column: number): void {
    this.rejected++;
    this.rejectedLines += record.lines;
    this.rejectedBy.set(code, (this.rejectedBy.get(code) ?? 0) + 1);
    this.rejects.push(rejectedRow(record, code, column, this.#plan));
  }
}

const cellEmpty = 0;
const cellOk = 1;
const cellBad = 2;
const unitMissing = -1;
const unitBad = -2;
const dateMissing = 0;
const dateThere = 1;
const dateBad = 2;
const dateBadTime = 3;

/**
 * Writes a batch of rows of which none is held, as fast as SQLite takes them.
 *
 * What is the same on all rows of the batch (the unit, an absent angle) stands in the statement's text, so that a row
 * costs a value for each column that differs and no more; 128 rows go in with one statement. Every row goes in as the
 * first of its kind. The unique key is the guard: a row of its kind further up in the same batch refuses the statement,
 * which then leaves nothing behind; its rows are tried again 16 at a time, and those of a part that is refused too are
 * placed one by one.
 */
import type { DatabaseSync, StatementSync } from 'node:sqlite';
import { noUnit, type RowBatch } from '#core/intake/row-batch.ts';
import { identityHash, identityKey } from './identity.ts';
import type { NameIds } from './place-rows.ts';
import { stepMs } from './readings-page.ts';
import { isUniqueFault } from './sqlite-problem.ts';

/** Columns of `reading` in the order in which rows are written. */
export const readingColumns =
  'key, source, line, at, at_step, tool, operator, joint, torque, torque_decimals, unit, angle, own, sequence, k, more';

/** Each statement costs a start and an end of its own; more rows than this make it no faster. */
const rowsPerStatement = 128;
/** Rows of a part of a refused statement, and of what is left at the end of a batch. */
const rowsPerPart = 16;
/** Rows without a refusal after which whole statements are tried again: where lines repeat often, most would be refused. */
const rowsOfPeace = 8 * rowsPerStatement;
/** Statements kept: layouts that change from batch to batch are few. */
const keptStatements = 32;

interface FreshNames extends NameIds {
  readonly operator: Int32Array;
  unnamedTool(): number;
}

/** A column of the batch: its one value as SQL, or null when rows differ. */
type Same = string | null;

interface Statements {
  readonly full: StatementSync;
  readonly part: StatementSync;
  readonly single: StatementSync;
}

export class FreshRows {
  readonly #db: DatabaseSync;
  readonly #source: number;
  readonly #names: FreshNames;
  readonly #statements = new Map<string, Statements>();
  readonly #more = new Int32Array(rowsPerStatement);
  /** Rows since the last refusal, as far as it matters. */
  #peace = rowsOfPeace;

  constructor(db: DatabaseSync, source: number, names: FreshNames) {
    this.#db = db;
    this.#source = source;
    this.#names = names;
  }

  /**
   * Writes all rows of the batch.
   *
   * @param moreOf id of a row's rare facts; null: no row of the batch has any
   * @param placeOne writes one row the careful way; called for the rows of a refused statement, in order
   */
  write(
    batch: RowBatch,
    moreOf: ((i: number) => number | null) | null,
    placeOne: (i: number, more: number | null) => void,
  ): void {
    const n = batch.length;
    const { tool: toolIds, operator: operatorIds, joint: jointIds } = this.#names;
    const unnamed = batch.tool.subarray(0, n).some((tool) => tool < 0) ? this.#names.unnamedTool() : 0;
    const someTorque = !allAbsent(batch.torque, n);
    const everyTorque = noneAbsent(batch.torque, n);
    const step = same(batch.atStep, n, (code) => stepMs(code));
    const tool = same(batch.tool, n, (at) => (at < 0 ? unnamed : toolIds[at]!));
    const operator = same(batch.operator, n, (at) => (at < 0 ? null : operatorIds[at]!));
    const joint = same(batch.joint, n, (at) => (at < 0 ? null : jointIds[at]!));
    const torque = someTorque ? null : 'NULL';
    // Decimals and unit belong to a torque: rows without one have neither.
    const decimals = !someTorque ? 'NULL' : everyTorque ? same(batch.decimals, n, (count) => count) : null;
    const unit = !someTorque
      ? 'NULL'
      : everyTorque
        ? same(batch.unit, n, (code) => (code === noUnit ? null : code))
        : null;
    const angle = allAbsent(batch.angle, n) ? 'NULL' : null;
    const own = same(batch.own, n, (said) => (said === 0 ? null : said));
    const sequence = allAbsent(batch.sequence, n) ? 'NULL' : null;
    const more = moreOf === null ? 'NULL' : null;

    const columns: Same[] = [
      null,
      String(this.#source),
      null,
      null,
      step,
      tool,
      operator,
      joint,
      torque,
      decimals,
      unit,
      angle,
      own,
      sequence,
      '0',
      more,
    ];
    const { full, part, single } = this.#statement(columns);
    const width = columns.filter((column) => column === null).length;
    const values: (number | null)[] = new Array(rowsPerStatement * width).fill(null);
    const moreIds = this.#more;

    for (let first = 0; first < n; first += rowsPerStatement) {
      const end = Math.min(n, first + rowsPerStatement);
      let p = 0;
      for (let i = first; i < end; i++) {
        const at = batch.at[i]!;
        const fileTool = batch.tool[i]!;
        const shown = batch.torque[i]!;
        const turned = batch.angle[i]!;
        const hasTorque = !Number.isNaN(shown);
        const identityTool = fileTool < 0 ? -1 : toolIds[fileTool]!;
        const hash = identityHash(identityTool, at, shown, hasTorque ? batch.unit[i]! : noUnit, turned);
        values[p++] = identityKey(at, hash, 0);
        values[p++] = batch.line[i]!;
        values[p++] = at;
        if (step === null) values[p++] = stepMs(batch.atStep[i]!);
        if (tool === null) values[p++] = fileTool < 0 ? unnamed : identityTool;
        if (operator === null) {
          const who = batch.operator[i]!;
          values[p++] = who < 0 ? null : operatorIds[who]!;
        }
        if (joint === null) {
          const where = batch.joint[i]!;
          values[p++] = where < 0 ? null : jointIds[where]!;
        }
        // NaN would be bound as NULL silently; said here so that it is meant.
        if (torque === null) values[p++] = hasTorque ? shown : null;
        if (decimals === null) values[p++] = hasTorque ? batch.decimals[i]! : null;
        if (unit === null) {
          const code = batch.unit[i]!;
          values[p++] = hasTorque && code !== noUnit ? code : null;
        }
        if (angle === null) values[p++] = Number.isNaN(turned) ? null : turned;
        if (own === null) {
          const said = batch.own[i]!;
          values[p++] = said === 0 ? null : said;
        }
        if (sequence === null) {
          const number = batch.sequence[i]!;
          values[p++] = Number.isNaN(number) ? null : number;
        }
        if (moreOf !== null) {
          const id = moreOf(i);
          moreIds[i - first] = id ?? 0;
          values[p++] = id;
        }
      }
      if (end - first === rowsPerStatement && this.#peace >= rowsOfPeace) {
        if (ran(full, values)) continue;
        this.#peace = 0;
      }
      for (let from = first; from < end; from += rowsPerPart) {
        const to = Math.min(end, from + rowsPerPart);
        const start = (from - first) * width;
        if (to - from === rowsPerPart) {
          if (ran(part, values.slice(start, start + rowsPerPart * width))) {
            this.#peace += rowsPerPart;
            continue;
          }
          this.#peace = 0;
        }
        for (let i = from; i < to; i++) {
          const at = (i - first) * width;
          const row = values.slice(at, at + width);
          if (to - from === rowsPerPart || !ran(single, row)) placeOne(i, moreOf && (moreIds[i - first] || null));
        }
      }
    }
  }

  #statement(columns: readonly Same[]): Statements {
    const row = `(${columns.map((column) => column ?? '?').join(', ')})`;
    let made = this.#statements.get(row);
    if (!made) {
      if (this.#statements.size >= keptStatements) this.#statements.clear();
      const into = `INSERT INTO reading (${readingColumns}) VALUES`;
      made = {
        full: this.#db.prepare(`${into} ${new Array(rowsPerStatement).fill(row).join(', ')}`),
        part: this.#db.prepare(`${into} ${new Array(rowsPerPart).fill(row).join(', ')}`),
        single: this.#db.prepare(`${into} ${row}`),
      };
      this.#statements.set(row, made);
    }
    return made;
  }
}

/** Runs the statement; false when a key in it is taken, and then nothing of it was done. */
function ran(statement: StatementSync, values: readonly (number | null)[]): boolean {
  try {
    statement.run(...values);
    return true;
  } catch (error) {
    if (isUniqueFault(error)) return false;
    throw error;
  }
}

function same(column: Int32Array | Uint8Array, n: number, written: (value: number) => number | null): Same {
  const first = column[0]!;
  for (let i = 1; i < n; i++) if (column[i] !== first) return null;
  return String(written(first) ?? 'NULL');
}

function allAbsent(column: Float64Array, n: number): boolean {
  for (let i = 0; i < n; i++) if (!Number.isNaN(column[i]!)) return false;
  return true;
}

function noneAbsent(column: Float64Array, n: number): boolean {
  for (let i = 0; i < n; i++) if (Number.isNaN(column[i]!)) return false;
  return true;
}

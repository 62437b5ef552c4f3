/** Typed reading of SQLite rows as arrays: three times faster than objects, and no column can be misnamed unseen. */
import type { DatabaseSync, SQLInputValue, SQLOutputValue, StatementSync } from 'node:sqlite';

export type Cell = SQLOutputValue;

/** A prepared question whose rows come as arrays. */
export function question(db: DatabaseSync, sql: string): StatementSync {
  const statement = db.prepare(sql);
  statement.setReturnArrays(true);
  return statement;
}

/** Rows one by one; do not run the same statement again while this is open. */
export function eachRow(statement: StatementSync, ...values: SQLInputValue[]): Iterable<readonly Cell[]> {
  // Node's types know rows as objects only; setReturnArrays above makes them arrays.
  return statement.iterate(...values) as unknown as Iterable<readonly Cell[]>;
}

/** All rows of a question asked once. */
export function allRows(db: DatabaseSync, sql: string, ...values: SQLInputValue[]): (readonly Cell[])[] {
  // As above.
  return question(db, sql).all(...values) as unknown as (readonly Cell[])[];
}

/** The first row, or null. */
export function firstRow(statement: StatementSync, ...values: SQLInputValue[]): readonly Cell[] | null {
  // As above.
  return (statement.get(...values) as unknown as readonly Cell[] | undefined) ?? null;
}

export function numberIn(cell: Cell | undefined): number {
  if (typeof cell === 'number') return cell;
  throw new TypeError(`a number was expected in the store, not ${String(cell)}`);
}

export function numberOrNull(cell: Cell | undefined): number | null {
  return cell === null || cell === undefined ? null : numberIn(cell);
}

/** Absent as NaN: the form of the float columns. */
export function numberOrNaN(cell: Cell | undefined): number {
  return typeof cell === 'number' ? cell : Number.NaN;
}

/** Absent as -1: the form of the index columns. */
export function indexOrNone(cell: Cell | undefined): number {
  return typeof cell === 'number' ? cell : -1;
}

export function textIn(cell: Cell | undefined): string {
  if (typeof cell === 'string') return cell;
  throw new TypeError(`a text was expected in the store, not ${String(cell)}`);
}

export function textOrNull(cell: Cell | undefined): string | null {
  return cell === null || cell === undefined ? null : textIn(cell);
}

export function bytesIn(cell: Cell | undefined): Uint8Array {
  if (cell instanceof Uint8Array) return cell;
  throw new TypeError('bytes were expected in the store');
}

/** JSON the program itself wrote into the store. */
export function jsonIn<T>(cell: Cell | undefined): T {
  // Written by the same schema version; a damaged store is found by quick_check, not here.
  return JSON.parse(textIn(cell)) as T;
}

/** Loads reference cases and sees to it that every one is run or listed as out of scope. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { outOfScope } from '../../reference/out-of-scope.ts';

export interface ReferenceCase {
  readonly id: string;
  readonly kind: string;
  readonly source?: string;
  // Shapes differ from case to case; each test reads what it knows of its own.
  // biome-ignore lint/suspicious/noExplicitAny: reference files are free-form JSON
  readonly input: any;
  // biome-ignore lint/suspicious/noExplicitAny: as above
  readonly expect: any;
}

const folder = new URL('../../reference/', import.meta.url);
const files = new Map<string, readonly ReferenceCase[]>();

/** All cases of a reference file. */
export function casesOf(file: string): readonly ReferenceCase[] {
  let cases = files.get(file);
  if (!cases) {
    // The files are ours; their shape is described in tests/reference/README.md.
    cases = (JSON.parse(readFileSync(new URL(file, folder), 'utf8')) as { cases: ReferenceCase[] }).cases;
    files.set(file, cases);
  }
  return cases;
}

/** One case by `file#id`. */
export function caseOf(name: string): ReferenceCase {
  const [file = '', id = ''] = name.split('#');
  const found = casesOf(file).find((one) => one.id === id);
  if (!found) throw new Error(`no reference case ${name}`);
  return found;
}

/** Values of a case: its own, or those of the case it refers to. */
export function valuesOf(one: ReferenceCase): number[] {
  if (Array.isArray(one.input.values)) return one.input.values;
  const ref = /^([\w.-]+\.json#[\w-]+)/.exec(one.input.data_ref ?? '')?.[1];
  if (!ref) throw new Error(`${one.id} has no values`);
  return valuesOf(caseOf(ref));
}

/** Numbers as the files write them: infinities and NaN are strings. */
export function numberOf(written: number | string): number {
  return typeof written === 'number' ? written : Number(written);
}

export type Check = (one: ReferenceCase) => void;

/**
 * One test a case, titled `file#id`; a case without a check must be listed in tests/reference/out-of-scope.ts.
 *
 * @param checkOf the check of a case, or null when this file does not run it
 */
export function runCases(file: string, checkOf: (one: ReferenceCase) => Check | null): void {
  const missing: string[] = [];
  for (const one of casesOf(file)) {
    const name = `${file}#${one.id}`;
    const check = checkOf(one);
    const reason = outOfScope(name);
    if (check && reason === null) test(`${name} (${one.kind})`, () => check(one));
    else if (!check && reason === null) missing.push(name);
    else if (check && reason !== null) missing.push(`${name} is run and listed as out of scope`);
  }
  test(`${file}: every case is run or listed as out of scope with its reason`, () => {
    expect(missing).toEqual([]);
  });
}

/** Relative agreement; where the expected value is 0, absolute. */
export function near(actual: number | null | undefined, wanted: number | string, relative: number, what = ''): void {
  const goal = numberOf(wanted);
  if (actual === null || actual === undefined) throw new Error(`${what}: nothing where ${goal} is expected`);
  if (!Number.isFinite(goal)) {
    expect(actual, what).toBe(goal);
    return;
  }
  const difference = Math.abs(actual - goal);
  const bound = goal === 0 ? relative : relative * Math.abs(goal);
  expect(difference <= bound, `${what} ${actual} against ${goal}, off by ${difference / Math.abs(goal || 1)}`).toBe(
    true,
  );
}

/** Absolute agreement, for values printed with some decimals. */
export function within(actual: number | null | undefined, wanted: number, absolute: number, what = ''): void {
  if (actual === null || actual === undefined) throw new Error(`${what}: nothing where ${wanted} is expected`);
  expect(Math.abs(actual - wanted) <= absolute, `${what} ${actual} against ${wanted}`).toBe(true);
}

/** Log relative error: digits of agreement, at most 15. */
export function digits(actual: number, certified: number): number {
  if (actual === certified) return 15;
  const error = certified === 0 ? Math.abs(actual) : Math.abs(actual - certified) / Math.abs(certified);
  return Math.min(15, -Math.log10(error));
}

/** Lists compared value by value. */
export function nearAll(
  actual: ArrayLike<number>,
  wanted: readonly (number | string)[],
  relative: number,
  what = '',
): void {
  expect(actual.length, `${what} length`).toBe(wanted.length);
  wanted.forEach((value, i) => {
    near(actual[i], value, relative, `${what}[${i}]`);
  });
}

/** Reading of the reference files: cases by id, data by reference. */
import { readFileSync } from 'node:fs';
import { expect } from 'vitest';

export interface ReferenceCase {
  readonly id: string;
  readonly source: string;
  readonly kind: string;
  // Shapes differ from case to case; each test reads the fields that its case has.
  // biome-ignore lint/suspicious/noExplicitAny: data of a JSON file, checked by what the test does with it
  readonly input: any;
  // biome-ignore lint/suspicious/noExplicitAny: as above
  readonly expect: any;
}

/** All cases of a topic file in tests/reference. */
export function referenceCases(file: string): ReferenceCase[] {
  const text = readFileSync(new URL(`../../reference/${file}`, import.meta.url), 'utf8');
  return JSON.parse(text).cases as ReferenceCase[];
}

/** One case by its id. */
export function referenceCase(file: string, id: string): ReferenceCase {
  const found = referenceCases(file).find((one) => one.id === id);
  if (!found) throw new Error(`${file} holds no case ${id}`);
  return found;
}

/** Asserts a relative difference, absolute below a size of 1e-12. */
export function expectNear(actual: number, expected: number, relative = 1e-9): void {
  const scale = Math.max(Math.abs(expected), 1e-12 / relative);
  expect(Math.abs(actual - expected) / scale, `${actual} against ${expected}`).toBeLessThanOrEqual(relative);
}

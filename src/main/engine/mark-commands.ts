/** Names of readings as store rows: `<source>:<line>` of the first file that showed each. */
import type { ReadingColumns } from '#core/readings/columns.ts';
import { notFound } from './engine-calls.ts';

/**
 * Finds readings by their outside names.
 *
 * A source's rows are one run of positions with rising lines, so each name is a binary search.
 *
 * @throws ProblemError not-found, naming the first that is not there
 */
export function positionsOf(readings: ReadingColumns, names: readonly string[]): number[] {
  const runs = sourceRuns(readings);
  return names.map((name) => {
    const match = /^(\d+):(\d+)$/.exec(name);
    const run = match ? runs.get(Number(match[1])) : undefined;
    const position = run ? lineIn(readings.line, run, Number(match?.[2])) : -1;
    if (position < 0) throw notFound('reading', name);
    return position;
  });
}

function sourceRuns(readings: ReadingColumns): Map<number, readonly [number, number]> {
  const runs = new Map<number, readonly [number, number]>();
  const { source, length } = readings;
  let from = 0;
  while (from < length) {
    const id = source[from]!;
    // Gallop to the end of the run: a million rows of one file need twenty looks.
    let step = 1;
    let low = from;
    while (low + step < length && source[low + step] === id) {
      low += step;
      step *= 2;
    }
    let high = Math.min(low + step, length);
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (source[middle] === id) low = middle;
      else high = middle;
    }
    runs.set(id, [from, low + 1]);
    from = low + 1;
  }
  return runs;
}

function lineIn(lines: Int32Array, run: readonly [number, number], line: number): number {
  let low = run[0];
  let high = run[1] - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const there = lines[middle]!;
    if (there === line) return middle;
    if (there < line) low = middle + 1;
    else high = middle - 1;
  }
  return -1;
}

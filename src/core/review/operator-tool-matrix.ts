import type { FastenerRate } from '../contract/models/review-model.ts';
import type { Plant } from '../readings/plant.ts';
import { operatorLabel } from '../readings/reading-row.ts';
import { benjaminiHochberg } from '../stats/benjamini-hochberg.ts';
import { fisherExact } from '../stats/fisher-exact.ts';
import { type Said, said } from '../text/said.ts';
import { fastenerRate } from './fastener-rates.ts';
import type { ReviewTally } from './review-tally.ts';

/** Under this many judged fasteners a cell is not tested. */
export const leastForTest = 20;
/** A cell is bold at this adjusted p or below. */
export const boldAt = 0.05;

export interface TestedCell extends FastenerRate {
  /** Positions in the register; -1: none named. */
  readonly operator: number;
  readonly tool: number;
  readonly adjustedP: number | null;
}

/**
 * First-pass rates by operator and tool, each cell with 20 judged fasteners or more against all other cells of the scope:
 * Fisher's exact test, two-sided, adjusted over those cells (Benjamini-Hochberg).
 *
 * @returns cells with at least one fastener, by operator then tool in the register's order
 */
export function operatorToolCells(tally: ReviewTally): TestedCell[] {
  const { cells } = tally;
  const found: { cell: number; p: number | null }[] = [];
  for (let cell = 0; cell < cells.fasteners.length; cell++) {
    if (cells.fasteners[cell] === 0) continue;
    const judged = cells.judged[cell]!;
    const passed = cells.passed[cell]!;
    const p =
      judged < leastForTest
        ? null
        : fisherExact(
            passed,
            judged - passed,
            tally.firstPassed - passed,
            tally.firstJudged - judged - (tally.firstPassed - passed),
          );
    found.push({ cell, p });
  }
  const tested = found.flatMap((one) => (one.p === null ? [] : [one.p]));
  const adjusted = benjaminiHochberg(tested);
  let k = 0;
  return found.map(({ cell, p }) => ({
    ...fastenerRate(cells.fasteners[cell]!, cells.judged[cell]!, cells.passed[cell]!),
    operator: Math.floor(cell / cells.width) - 1,
    tool: (cell % cells.width) - 1,
    adjustedP: p === null ? null : (adjusted[k++] ?? null),
  }));
}

/** Tools on which the operators followed one another without overlap in time: who and when cannot be told apart. */
export function successions(
  plant: Plant,
  tally: ReviewTally,
): { tool: number; operators: { operator: number; from: number; to: number }[] }[] {
  const { cells } = tally;
  const result: { tool: number; operators: { operator: number; from: number; to: number }[] }[] = [];
  for (let t = 0; t < plant.register.tools.length; t++) {
    const operators: { operator: number; from: number; to: number }[] = [];
    for (let o = 0; o < plant.register.operators.length; o++) {
      const cell = (o + 1) * cells.width + t + 1;
      const from = cells.firstAt[cell]!;
      if (cells.fasteners[cell]! > 0 && !Number.isNaN(from)) {
        operators.push({ operator: o, from, to: cells.lastAt[cell]! });
      }
    }
    operators.sort((a, b) => a.from - b.from);
    const apart = operators.every((one, k) => k === 0 || one.from >= operators[k - 1]!.to);
    if (operators.length >= 2 && apart) result.push({ tool: t, operators });
  }
  return result;
}

/** Above this many tools one sentence stands for all of them. */
const toldApart = 2;

/** The successions in words: one sentence a tool, or one for all where there are many. */
export function successionRemarks(plant: Plant, tally: ReviewTally): Said[] {
  const found = successions(plant, tally);
  const serial = (tool: number): string => plant.register.tools[tool]?.serial ?? '';
  if (found.length > toldApart) {
    return [said('review.many-after-another', { tools: found.map((one) => serial(one.tool)) })];
  }
  return found.map((one) =>
    said('review.one-after-the-other', {
      tool: serial(one.tool),
      operators: one.operators.map((entry) => operatorLabel(plant, entry.operator) ?? ''),
      since: one.operators.map((entry) => entry.from),
    }),
  );
}

import type { ReviewNotice } from '../contract/models/review-model.ts';
import { calibrationDue, lastCalibration } from '../drift/due-dates.ts';
import { GrowingPositions } from '../readings/growing-positions.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { operatorLabel, ownDiffers } from '../readings/reading-row.ts';
import type { Scope } from '../readings/scope.ts';
import { said } from '../text/said.ts';
import { newtonMetresPer, torqueUnitCodes } from '../units/torque-unit.ts';
import { batchesInScope } from './batches.ts';
import { successions } from './operator-tool-matrix.ts';
import { type ReviewTally, reviewTally } from './review-tally.ts';
import { secondPulls } from './second-pulls.ts';

/** Readings named under a notice at most. */
export const namedAtMost = 200;

/** What is worth knowing about a scope beside its rates: counts, each with the readings behind it. O(n). */
export function reviewNotices(plant: Plant, scope: Scope, now: number | null = null): ReviewNotice[] {
  const tally = reviewTally(plant, scope);
  const { selection } = tally;
  const { readings, register, judged } = plant;
  const seconds = secondPulls(plant);
  const range = register.tools.map((tool) => {
    const factor = tool.unit === null ? Number.NaN : newtonMetresPer[tool.unit];
    return {
      min: tool.min === null ? Number.NEGATIVE_INFINITY : tool.min * factor * (1 - 1e-9),
      max: tool.max === null ? Number.POSITIVE_INFINITY : tool.max * factor * (1 + 1e-9),
    };
  });
  const newtonMetres = torqueUnitCodes.map((unit) => newtonMetresPer[unit]);
  const other = new GrowingPositions();
  const zero = new GrowingPositions();
  const second = new GrowingPositions();
  const onLimit = new GrowingPositions();
  const beyond = new GrowingPositions();
  const differs = new GrowingPositions();
  for (let k = 0; k < selection.length; k++) {
    const i = selection[k]!;
    if (judged.unjudgedBecause[i] === 1) other.push(i);
    if (readings.torque[i] === 0) zero.push(i);
    if (judged.onLimit[i] === 1) onLimit.push(i);
    if (readings.own[i] !== 0 && ownDiffers(plant, i)) differs.push(i);
    const marked = range[readings.tool[i]!];
    if (marked) {
      const torque = Math.abs(readings.torque[i]!) * newtonMetres[readings.unit[i]!]!;
      if (torque < marked.min || torque > marked.max) beyond.push(i);
    }
    if (seconds.size > 0 && seconds.has(i)) second.push(i);
  }
  const notices: ReviewNotice[] = [];
  const add = (kind: string, list: Uint32Array, sentence: (count: number) => ReviewNotice['said']): void => {
    if (list.length === 0) return;
    notices.push({ kind, count: list.length, said: sentence(list.length), readings: names(plant, list) });
  };
  add('own-result-differs', differs.done(), (count) => said('review.notice-own-differs', { count }));
  add('second-pull', second.done(), (count) => said('review.notice-second-pull', { count }));
  add('other-direction', other.done(), (count) => said('review.notice-other-direction', { count }));
  add('zero-torque', zero.done(), (count) => said('review.notice-zero-torque', { count }));
  add('on-limit', onLimit.done(), (count) => said('review.notice-on-limit', { count }));
  add('beyond-range', beyond.done(), (count) => said('review.notice-beyond-range', { count }));
  const untold = batchesInScope(plant, selection).untold;
  add('batches-untold', untold, (count) =>
    said('review.notice-batches-untold', {
      count,
      tools: [...new Set([...untold].map((i) => register.tools[readings.tool[i]!]?.serial ?? '?'))].sort(),
    }),
  );
  for (const one of successions(plant, tally)) {
    notices.push({
      kind: 'one-after-the-other',
      count: one.operators.length,
      said: said('review.one-after-the-other', {
        tool: register.tools[one.tool]?.serial ?? '',
        operators: one.operators.map((entry) => operatorLabel(plant, entry.operator) ?? ''),
        since: one.operators.map((entry) => entry.from),
      }),
      readings: [],
    });
  }
  overdue(plant, tally, now, notices);
  return notices;
}

/** Tools whose calibration was overdue at their last reading in scope. */
function overdue(plant: Plant, tally: ReviewTally, now: number | null, notices: ReviewNotice[]): void {
  const { readings, register } = plant;
  const lastAt = new Float64Array(register.tools.length).fill(Number.NEGATIVE_INFINITY);
  for (let k = 0; k < tally.selection.length; k++) {
    const i = tally.selection[k]!;
    const t = readings.tool[i]!;
    if (t >= 0 && readings.at[i]! > lastAt[t]!) lastAt[t] = readings.at[i]!;
  }
  register.tools.forEach((tool, t) => {
    const at = now ?? lastAt[t]!;
    if (lastAt[t]! === Number.NEGATIVE_INFINITY) return;
    // Months only: counting the cycles of every tool at every question would cost more than the question.
    const due = calibrationDue(
      { intervalMonths: tool.intervalMonths, intervalCycles: null },
      tool.intervalMonths === null ? null : lastCalibration(tool, at),
      [],
      at,
    );
    if (due?.overdue) {
      notices.push({
        kind: 'calibration-overdue',
        count: 1,
        said: said('review.notice-calibration-overdue', { tool: tool.serial, on: due.on }),
        readings: [],
      });
    }
  });
}

/** Names of the first readings of a list. */
export function names(plant: Plant, list: Uint32Array, atMost = namedAtMost): string[] {
  return Array.from(list.subarray(0, atMost), (i) => readingName(plant.readings, i));
}

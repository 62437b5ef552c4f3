import type { ReviewNotice } from '../contract/models/review-model.ts';
import { calibrationDue, lastCalibration } from '../drift/due-dates.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import type { Scope } from '../readings/scope.ts';
import { said } from '../text/said.ts';
import { batchesInScope } from './batches.ts';
import { readingsSince } from './memory-estimate.ts';
import { successionRemarks } from './operator-tool-matrix.ts';
import { flagBits, readingFlags } from './reading-flags.ts';
import { type ReviewTally, reviewTally } from './review-tally.ts';

/** Readings named under a notice at most. */
export const namedAtMost = 200;

/** What is worth knowing about a scope beside its rates: counts, each with the readings behind it. O(n). */
export function reviewNotices(plant: Plant, scope: Scope, now: number | null = null): ReviewNotice[] {
  const tally = reviewTally(plant, scope);
  const { selection } = tally;
  const { readings, register } = plant;
  const flags = readingFlags(plant);
  const flagged = (bit: number): Uint32Array => tally.flagged.filter((i) => (flags[i]! & bit) !== 0);
  const notices: ReviewNotice[] = [];
  const add = (kind: string, list: Uint32Array, sentence: (count: number) => ReviewNotice['said']): void => {
    if (list.length === 0) return;
    notices.push({ kind, count: list.length, said: sentence(list.length), readings: names(plant, list) });
  };
  add('own-result-differs', flagged(flagBits.ownDiffers), (count) => said('review.notice-own-differs', { count }));
  add('second-pull', flagged(flagBits.secondPull), (count) => said('review.notice-second-pull', { count }));
  add('other-direction', flagged(flagBits.otherDirection), (count) => said('review.notice-other-direction', { count }));
  add('zero-torque', flagged(flagBits.zeroTorque), (count) => said('review.notice-zero-torque', { count }));
  add('on-limit', flagged(flagBits.onLimit), (count) => said('review.notice-on-limit', { count }));
  add('beyond-range', flagged(flagBits.beyondRange), (count) => said('review.notice-beyond-range', { count }));
  const untold = batchesInScope(plant, selection).untold;
  add('batches-untold', untold, (count) =>
    said('review.notice-batches-untold', {
      count,
      tools: [...new Set([...untold].map((i) => register.tools[readings.tool[i]!]?.serial ?? '?'))].sort(),
    }),
  );
  for (const remark of successionRemarks(plant, tally)) {
    notices.push({ kind: 'one-after-the-other', count: 1, said: remark, readings: [] });
  }
  overdue(plant, tally, now, notices);
  return notices;
}

/** Tools whose calibration was overdue at their last first try in scope. */
function overdue(plant: Plant, tally: ReviewTally, now: number | null, notices: ReviewNotice[]): void {
  const { register } = plant;
  const { cells } = tally;
  const lastAt = new Float64Array(register.tools.length).fill(Number.NEGATIVE_INFINITY);
  for (let cell = 0; cell < cells.lastAt.length; cell++) {
    const t = (cell % cells.width) - 1;
    if (t >= 0 && cells.lastAt[cell]! > lastAt[t]!) lastAt[t] = cells.lastAt[cell]!;
  }
  register.tools.forEach((tool, t) => {
    const at = now ?? lastAt[t]!;
    if (lastAt[t]! === Number.NEGATIVE_INFINITY) return;
    const calibratedAt = lastCalibration(tool, at);
    if (calibratedAt === null) return;
    const due = calibrationDue(tool, calibratedAt, readingsSince(plant, t, calibratedAt), at);
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

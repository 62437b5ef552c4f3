import type { PaceModel } from '../contract/models/review-model.ts';
import { verdictFail } from '../judging/judged.ts';
import type { Plant } from '../readings/plant.ts';
import { dateOnly } from '../readings/shift-occurrence.ts';
import { said } from '../text/said.ts';
import { msPerDay, msPerHour, msPerMinute } from '../time/civil-time.ts';
import type { ReviewTally } from './review-tally.ts';

const mostColumns = 200;
const mostGaps = 5;
/** Readings further apart than this are not one stretch of work; a pause from here on is listed. */
const pauseFrom = 10 * msPerMinute;
/** A pause from here on is no pause of a shift but its end. */
const endFrom = 4 * msPerHour;
const stepsMs = [15 * msPerMinute, msPerHour, msPerDay, 7 * msPerDay, 28 * msPerDay, 364 * msPerDay];

/** Readings an hour while working, counts over time, and the longest pauses. O(n). */
export function paceOf(plant: Plant, tally: ReviewTally): PaceModel {
  const { at, atStep } = plant.readings;
  const { verdict } = plant.judged;
  const { selection } = tally;
  const least = tally.earliest;
  const stepMs = stepsMs.find((each) => (tally.latest - least) / each < mostColumns - 1) ?? 364 * msPerDay;
  const from = Math.floor(least / stepMs) * stepMs;
  const columns = least <= tally.latest ? Math.floor((tally.latest - from) / stepMs) + 1 : 0;
  const counts = new Uint32Array(columns);
  const fails = new Uint32Array(columns);
  let latest = Number.NEGATIVE_INFINITY;
  let working = 0;
  let timed = 0;
  /** Readings up to this time fall into the column at hand: a division a column, not a reading. */
  let column = 0;
  let columnEnd = Number.NEGATIVE_INFINITY;
  const gaps: { from: number; to: number }[] = [];
  for (let k = 0; k < selection.length; k++) {
    const i = selection[k]!;
    const time = at[i]!;
    if (Number.isNaN(time) || atStep[i] === dateOnly) continue;
    timed++;
    if (time >= columnEnd || time < columnEnd - stepMs) {
      column = Math.floor((time - from) / stepMs);
      columnEnd = from + (column + 1) * stepMs;
    }
    counts[column]!++;
    if (verdict[i] === verdictFail) fails[column]!++;
    const gap = time - latest;
    if (gap > 0) {
      if (gap < pauseFrom) working += gap;
      else if (gap < endFrom) gaps.push({ from: latest, to: time });
      latest = time;
    }
  }
  if (timed === 0) {
    return {
      stepMs: msPerHour,
      from: null,
      counts: new Uint32Array(0),
      fails: new Uint32Array(0),
      perHour: null,
      gaps: [],
      said: said('review.pace', { perHour: null, gaps: 0, longest: 0 }),
    };
  }
  gaps.sort((a, b) => b.to - b.from - (a.to - a.from));
  const longest = gaps[0];
  // Under half an hour of work an hourly pace would be a guess.
  const perHour = working >= msPerHour / 2 ? (timed * msPerHour) / working : null;
  return {
    stepMs,
    from,
    counts,
    fails,
    perHour,
    gaps: gaps.slice(0, mostGaps),
    said: said('review.pace', { perHour, gaps: gaps.length, longest: longest ? longest.to - longest.from : 0 }),
  };
}

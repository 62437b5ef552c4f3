import type { PaceModel } from '../contract/models/review-model.ts';
import type { Plant } from '../readings/plant.ts';
import { said } from '../text/said.ts';
import { msPerDay, msPerHour, msPerMinute } from '../time/civil-time.ts';
import { clockSetFrom } from '../time/unset-clock.ts';
import type { ReviewTally } from './review-tally.ts';
import { breakIn } from './shift-breaks.ts';

const mostColumns = 200;
const mostGaps = 5;
/** A pause from here on is no pause of a shift but its end. */
const endFrom = 4 * msPerHour;
const stepsMs = [15 * msPerMinute, msPerHour, msPerDay, 7 * msPerDay, 28 * msPerDay, 364 * msPerDay];

/**
 * Readings an hour while working, counts over time, and the longest pauses.
 *
 * The readings stand in order of time, so a column is found by halving: O(columns log n). Readings of the repeated hour in
 * autumn, which keep the order of their file, count with the hour before.
 */
export function paceOf(plant: Plant, tally: ReviewTally): PaceModel {
  const { at } = plant.readings;
  const { selection, latest } = tally;
  const earliest = firstSetTime(at, tally);
  if (!(earliest <= latest)) {
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
  const stepMs = stepsMs.find((each) => (latest - earliest) / each < mostColumns - 1) ?? 364 * msPerDay;
  const from = Math.floor(earliest / stepMs) * stepMs;
  const columns = Math.floor((latest - from) / stepMs) + 1;
  const counts = new Uint32Array(columns);
  const fails = new Uint32Array(columns);
  const skipped = firstFrom(at, selection, 0, earliest);
  let timed = skipped;
  for (let column = 0; column < columns; column++) {
    const end = firstFrom(at, selection, timed, from + (column + 1) * stepMs);
    counts[column] = end - timed;
    timed = end;
  }
  for (let k = 0; k < tally.failing.length; k++) {
    const time = at[tally.failing[k]!]!;
    if (time >= from) fails[Math.floor((time - from) / stepMs)]!++;
  }
  const gaps = tally.gaps.filter((gap) => gap.to - gap.from < endFrom).sort((a, b) => b.to - b.from - (a.to - a.from));
  const longest = gaps[0];
  // Under half an hour of work an hourly pace would be a guess.
  const perHour = tally.workingMs >= msPerHour / 2 ? ((timed - skipped) * msPerHour) / tally.workingMs : null;
  return {
    stepMs,
    from,
    counts,
    fails,
    perHour,
    gaps: gaps.slice(0, mostGaps).map((gap) => ({ ...gap, name: breakIn(plant.register.shifts, gap) })),
    said: said('review.pace', { perHour, gaps: gaps.length, longest: longest ? longest.to - longest.from : 0 }),
  };
}

/**
 * Where the picture starts: readings from a clock that was not set would stretch it over decades. They are left out of it
 * where there are others, as those without a time are; the finding says so.
 */
function firstSetTime(at: Float64Array, tally: ReviewTally): number {
  const { selection, earliest, latest } = tally;
  if (earliest >= clockSetFrom || !(latest >= clockSetFrom)) return earliest;
  return at[selection[firstFrom(at, selection, 0, clockSetFrom)]!]!;
}

/** Place of the first reading at or after a time, from a place on; those without a time stand last. */
function firstFrom(at: Float64Array, selection: Uint32Array, start: number, time: number): number {
  let low = start;
  let high = selection.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    // Not ">=": a time that is not there compares as false, and stands last.
    if (at[selection[middle]!]! < time) low = middle + 1;
    else high = middle;
  }
  return low;
}

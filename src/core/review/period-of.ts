import type { Plant } from '../readings/plant.ts';
import type { Scope } from '../readings/scope.ts';
import { occurrenceSpan } from '../readings/shift-occurrence.ts';
import { msPerDay } from '../time/civil-time.ts';

/** First instant of a scope and the first after it, as far as it or its readings say; null: no reading has a time. */
export function periodOf(
  plant: Plant,
  scope: Scope,
  selection: Uint32Array,
): { from: number | null; to: number | null; shift: string | null } {
  const { at } = plant.readings;
  const name = scope.shifts.length === 1 ? (scope.shifts[0] ?? null) : null;
  const shift = plant.register.shifts.findIndex((one) => one.name === name);
  const isDay = (value: number | null): value is number => value !== null && value % msPerDay === 0;
  // Bare dates with a shift name the occurrences that start on them.
  let from = scope.from;
  let to = scope.to;
  if (shift >= 0 && isDay(scope.from)) from = occurrenceSpan(plant.register.shifts, { shift, day: scope.from }).from;
  if (shift >= 0 && isDay(scope.to)) {
    to = occurrenceSpan(plant.register.shifts, { shift, day: scope.to - msPerDay }).to;
  }
  if (from === null || to === null) {
    let least = Number.POSITIVE_INFINITY;
    let most = Number.NEGATIVE_INFINITY;
    for (let k = 0; k < selection.length; k++) {
      const time = at[selection[k]!]!;
      if (time < least) least = time;
      if (time > most) most = time;
    }
    if (least <= most) {
      from ??= least;
      to ??= most;
    }
  }
  return { from, to, shift: name };
}

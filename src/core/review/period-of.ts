import type { Plant } from '../readings/plant.ts';
import type { Scope } from '../readings/scope.ts';
import { occurrenceSpan } from '../readings/shift-occurrence.ts';
import { msPerDay } from '../time/civil-time.ts';

/**
 * First instant of a scope and the first after it, as far as it or its readings say; null: no reading has a time.
 *
 * @param ends first and last time of its readings, as `ReviewTally` has them
 */
export function periodOf(
  plant: Plant,
  scope: Scope,
  ends: { readonly earliest: number; readonly latest: number },
): { from: number | null; to: number | null; shift: string | null } {
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
  if (ends.earliest <= ends.latest) {
    from ??= ends.earliest;
    to ??= ends.latest;
  }
  return { from, to, shift: name };
}

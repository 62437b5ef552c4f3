import { describe, expect, it } from 'vitest';
import { emptyColumns } from '#core/readings/columns.ts';
import type { Plant } from '#core/readings/plant.ts';
import { civilTime, msPerDay, msPerHour } from '#core/time/civil-time.ts';
import { heldDays } from '../../../src/main/engine/held-days.ts';

const day = (date: number): number => civilTime(2026, 11, date)!;

function plantAt(times: readonly number[], outOfForce: readonly number[] = []): Plant {
  const readings = emptyColumns(times.length);
  readings.at.set(times);
  for (const i of outOfForce) readings.inForce[i] = 0;
  // Only the readings are looked at.
  return { readings } as unknown as Plant;
}

describe('heldDays', () => {
  it('joins days that follow one another, whatever the order of the readings', () => {
    const times = [day(9) + 6 * msPerHour, day(3), day(10) + 1, day(4) + 23 * msPerHour, day(3) + 5];
    expect(heldDays(plantAt(times))).toEqual([
      [day(3), day(4)],
      [day(9), day(10)],
    ]);
  });

  it('leaves out readings without a time and those of withdrawn files', () => {
    expect(heldDays(plantAt([Number.NaN, day(5), day(6)], [1]))).toEqual([[day(6), day(6)]]);
  });

  it('knows days before 1970 and none at all', () => {
    expect(heldDays(plantAt([-1]))).toEqual([[-msPerDay, -msPerDay]]);
    expect(heldDays(plantAt([]))).toEqual([]);
  });
});

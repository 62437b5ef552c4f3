import type { ReadingsFilter } from '#core/contract/calls.ts';
import { changeView } from '../../state/view.ts';

/** The readings of a row, an opened reading or the failing ones, on the Readings screen. */
export function openReadings(filters: readonly ReadingsFilter[], reading: string | null): void {
  changeView({ screen: 'readings', filters, reading });
}

/** What the top of every screen says: how much is held, of whom and when, and the newest shift. */
import type { AppStatus } from '#core/contract/calls.ts';
import { anonymousOperators } from '#core/readings/anonymous-plant.ts';
import type { Plant } from '#core/readings/plant.ts';
import { occurrenceSpan, shiftOccurrence } from '#core/readings/shift-occurrence.ts';
import { clockSetFrom } from '#core/time/unset-clock.ts';
import type { Store } from '../store/store.ts';
import { driftOptions, lotsKey } from './drift-settings.ts';
import { numbersOf } from './hidden-names.ts';
import type { RegisterState } from './register-state.ts';

export interface StatusHost {
  readonly store: Store;
  readonly storePath: string;
  readonly programVersion: string;
  /** Nothing may be written: another program's newer store, no permission, or damage that was found. */
  readonly readOnly: boolean;
  registerState(): Promise<RegisterState>;
}

/**
 * What every screen shows of the store.
 *
 * @param plant null while the readings still load: then the store's own sums stand in
 */
export async function appStatus(host: StatusHost, plant: Plant | null): Promise<AppStatus> {
  const [summary, state, settings] = await Promise.all([
    host.store.summary(),
    host.registerState(),
    host.store.settings(),
  ]);
  const { register } = state;
  const plantName = settings.plantName;
  const clocks = plant ? setClocks(plant) : null;
  const newest = plant ? newestShift(plant) : shiftAt(register.shifts, summary.to);
  return {
    version: host.programVersion,
    store: host.storePath,
    plantName: typeof plantName === 'string' ? plantName : null,
    readings: clocks?.inForce ?? summary.readings,
    sources: summary.sources,
    from: clocks ? clocks.from : summary.from !== null && summary.from >= clockSetFrom ? summary.from : null,
    to: summary.to,
    clockUnset: clocks?.unset ?? 0,
    joints: register.joints.map((joint) => joint.name),
    tools: register.tools.map((tool) => tool.serial),
    formerNames: {
      joints: Object.fromEntries(state.formerNames.joint),
      tools: Object.fromEntries(state.formerNames.tool),
    },
    operators: (driftOptions(settings).anonymousOperators
      ? anonymousOperators(register, numbersOf(state, settings[lotsKey]))
      : register.operators
    ).map((operator) => ({ badge: operator.badge, name: operator.name })),
    shifts: register.shifts,
    newestShift: newest,
    loading: plant === null,
    readOnly: host.readOnly,
    lastChange: summary.lastChange,
  };
}

/** The newest shift occurrence that holds a reading in force. */
function newestShift(plant: Plant): AppStatus['newestShift'] {
  const { readings, order, register } = plant;
  if (register.shifts.length === 0) return null;
  // A plant whose newest ten thousand readings lie outside its shifts has none that Review could open with.
  const last = Math.max(0, order.length - 10_000);
  for (let k = order.length - 1; k >= last; k--) {
    const i = order[k]!;
    if (readings.inForce[i] === 0 || Number.isNaN(readings.at[i]!)) continue;
    const shift = shiftAt(register.shifts, readings.at[i]!, readings.atStep[i]!);
    if (shift) return shift;
  }
  return null;
}

function shiftAt(shifts: Plant['register']['shifts'], at: number | null, atStep = 2): AppStatus['newestShift'] {
  if (at === null) return null;
  const occurrence = shiftOccurrence(shifts, at, atStep);
  if (!occurrence || occurrence.shift < 0) return null;
  const shift = shifts[occurrence.shift];
  return shift ? { name: shift.name, day: occurrence.day, ...occurrenceSpan(shifts, occurrence) } : null;
}

/**
 * How many readings are in force, the first time from a clock that was set, and how many readings come from one that
 * was not.
 */
function setClocks(plant: Plant): { inForce: number; from: number | null; unset: number } {
  const { at, inForce, length } = plant.readings;
  let count = 0;
  for (let i = 0; i < length; i++) count += inForce[i]!;
  let unset = 0;
  // In order of time: those of unset clocks stand first, those without a time last.
  for (let k = 0; k < plant.order.length; k++) {
    const i = plant.order[k]!;
    if (inForce[i] !== 1) continue;
    if (at[i]! < clockSetFrom) unset++;
    else return { inForce: count, from: Number.isNaN(at[i]!) ? null : at[i]!, unset };
  }
  return { inForce: count, from: null, unset };
}

import type { CollectionModel, CollectionRow, Due } from '../contract/models/review-model.ts';
import { calibrationDue, checkDue, lastCalibration } from '../drift/due-dates.ts';
import type { Plant } from '../readings/plant.ts';
import { type Said, said } from '../text/said.ts';
import { msPerDay, startOfDay } from '../time/civil-time.ts';
import { memoryEstimates, readingsSince } from './memory-estimate.ts';

/** Within this time from now something is due soon. */
const soonMs = 3 * msPerDay;
const urgency: readonly Due[] = ['overdue', 'today', 'soon', 'later', 'unknown'];

/**
 * Which tool must be read out before its memory fills, and which checks and calibrations are due (definitions 13).
 * Most urgent first; retired tools are left out.
 *
 * @param now civil ms of the plant's clocks
 */
export function collectionModel(plant: Plant, now: number): CollectionModel {
  const memories = memoryEstimates(plant, now);
  const rows = plant.register.tools.flatMap((tool, t): CollectionRow[] => {
    if (tool.status === 'retired') return [];
    const memory = memories[t]!;
    const due = toolDue(plant, t, now);
    const capacity = tool.storageCapacity;
    const full = memory.stored !== null && capacity !== null && memory.stored >= capacity;
    const readOut: Due = full ? 'overdue' : memory.fullOn === null ? 'unknown' : dueOn(memory.fullOn, now);
    const sentences: Said[] = [];
    if (memory.stored === null) sentences.push(said('review.collect-no-readings', {}));
    else if (capacity === null) sentences.push(said('review.collect-no-capacity', {}));
    else if (full) sentences.push(said('review.collect-full-now', { stored: memory.stored, capacity }));
    else if (memory.fullOn !== null) {
      sentences.push(
        said('review.collect-full-on', {
          stored: memory.stored,
          capacity,
          fullOn: memory.fullOn,
          perDay: memory.perDay ?? 0,
        }),
      );
    }
    if (memory.notCleared) sentences.push(said('review.collect-not-cleared', {}));
    if (due.check) sentences.push(said('review.check-due', { on: due.check.on, overdue: due.check.overdue }));
    if (due.calibration) {
      sentences.push(
        said('review.calibration-due', {
          on: due.calibration.on,
          overdue: due.calibration.overdue,
          cycles: due.calibration.because === 'cycles',
        }),
      );
    } else sentences.push(said('review.calibration-unknown', {}));
    return [
      {
        tool: tool.serial,
        status: tool.status,
        stored: memory.stored,
        capacity,
        perDay: memory.perDay,
        fullOn: memory.fullOn,
        lastReadOut: memory.lastReadOut,
        notCleared: memory.notCleared,
        readOut,
        checkDue: due.check?.on ?? null,
        check: due.check ? (due.check.overdue ? 'overdue' : dueOn(due.check.on, now)) : 'unknown',
        lastCheck: due.lastCheck,
        calibrationDue: due.calibration?.on ?? null,
        calibration: due.calibration
          ? due.calibration.overdue
            ? 'overdue'
            : dueOn(due.calibration.on, now)
          : 'unknown',
        cyclesSince: due.cyclesSince,
        intervalCycles: tool.intervalCycles,
        said: sentences,
      },
    ];
  });
  const rank = (row: CollectionRow): number =>
    Math.min(urgency.indexOf(row.readOut), urgency.indexOf(row.check), urgency.indexOf(row.calibration));
  const next = (row: CollectionRow): number =>
    Math.min(...[row.fullOn, row.checkDue, row.calibrationDue].map((on) => on ?? Number.POSITIVE_INFINITY));
  rows.sort((a, b) => rank(a) - rank(b) || next(a) - next(b) || (a.tool < b.tool ? -1 : 1));
  const now0 = (due: Due): boolean => due === 'overdue' || due === 'today';
  return {
    now,
    rows,
    said: said('review.collection', {
      now,
      readOut: rows.filter((row) => now0(row.readOut)).length,
      checks: rows.filter((row) => now0(row.check)).length,
      calibrations: rows.filter((row) => now0(row.calibration)).length,
    }),
  };
}

function dueOn(on: number, now: number): Due {
  const today = startOfDay(now);
  return on < today ? 'overdue' : on === today ? 'today' : on - today <= soonMs ? 'soon' : 'later';
}

export interface ToolDue {
  readonly check: { readonly on: number; readonly overdue: boolean } | null;
  readonly calibration: { readonly on: number; readonly overdue: boolean; readonly because: string } | null;
  readonly lastCheck: number | null;
  readonly calibratedOn: number | null;
  /** Readings held since the calibration: a lower bound of its cycles. */
  readonly cyclesSince: number | null;
}

/** When check and calibration of one tool are due. */
export function toolDue(plant: Plant, t: number, now: number): ToolDue {
  const tool = plant.register.tools[t]!;
  const calibratedOn = lastCalibration(tool, now);
  let lastCheck: number | null = null;
  for (const pull of plant.register.checks) {
    if (pull.tool === t && pull.at <= now && (lastCheck === null || pull.at > lastCheck)) lastCheck = pull.at;
  }
  const since = calibratedOn === null ? null : readingsSince(plant, t, calibratedOn);
  return {
    check: checkDue(tool, lastCheck, calibratedOn, now),
    calibration: calibrationDue(tool, calibratedOn, since ?? [], now),
    lastCheck,
    calibratedOn,
    cyclesSince: since?.length ?? null,
  };
}

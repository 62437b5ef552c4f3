/** Which readings a failing check, or a lane that moved, throws doubt on (definitions 13). */
import type { AffectedReadings, CheckRow, InQuestion } from '../contract/models/drift-model.ts';
import type { Plant } from '../readings/plant.ts';
import { hasPassed, readingsByTool } from './drift-readings.ts';

export interface DoubtSpan {
  /** Last good check or calibration: its readings come just after; null: none is known. */
  readonly since: number | null;
  /** The next as-left, or null: until now. */
  readonly until: number | null;
}

/**
 * The span whose readings are affected: from just after the last good check or calibration to the failing check's
 * adjustment. With no failing check the span runs from the last good one to now: what would be affected today.
 *
 * @param rows checks of one tool, oldest first
 * @param calibrations civil ms
 */
export function doubtSpan(rows: readonly CheckRow[], calibrations: readonly number[], now: number): DoubtSpan {
  const held = rows.filter((row) => row.at <= now);
  const lastFailing = standingFailure(
    held,
    calibrations.filter((at) => at <= now),
  );
  const failingAt = lastFailing === null ? Number.POSITIVE_INFINITY : firstOfFailingRun(held, lastFailing);
  let since: number | null = null;
  const consider = (at: number): void => {
    if (at < failingAt && (since === null || at > since)) since = at;
  };
  for (const row of held) if (row.passed === true && !failsAt(held, row.at)) consider(row.at);
  for (const at of calibrations) if (at <= now) consider(at);
  const until =
    lastFailing === null
      ? null
      : (held.find((row) => row.kind === 'as-left' && row.at >= failingAt && row.passed !== false)?.at ?? null);
  return { since, until };
}

const failsAt = (rows: readonly CheckRow[], at: number): boolean =>
  rows.some((row) => row.at === at && row.passed === false);

/** Time of the newest failing as-found or as-left check; null when a calibration came after it. */
function standingFailure(rows: readonly CheckRow[], calibrations: readonly number[]): number | null {
  let at: number | null = null;
  for (const row of rows) if (row.passed === false) at = row.at;
  if (at === null) return null;
  const failed = at;
  // Adjusted and good again, or calibrated since: the affected span is closed history, the newest good one counts.
  const goodSince = rows.some((row) => row.at > failed && row.passed === true && row.kind === 'as-found');
  return goodSince || calibrations.some((one) => one > failed) ? null : failed;
}

/** Time of the first failing check after the last good one before `at`. */
function firstOfFailingRun(rows: readonly CheckRow[], at: number): number {
  let first = at;
  for (let k = rows.length - 1; k >= 0; k--) {
    const row = rows[k]!;
    if (row.at > at) continue;
    if (row.passed === false) first = row.at;
    else if (row.passed === true && row.at < first && !failsAt(rows, row.at)) break;
  }
  return first;
}

/**
 * Counts the readings of a tool in a span, passes and fails alike; those without a time apart.
 *
 * @returns the counts, and positions of the newest readings of the span
 */
export function affectedReadings(
  plant: Plant,
  tool: number,
  span: DoubtSpan,
  newest: number,
): { readings: AffectedReadings; positions: number[] } {
  // The same whatever the scope: a change of scope asks for it again and again.
  let ofPlant = kept.get(plant);
  if (!ofPlant) {
    ofPlant = new Map();
    kept.set(plant, ofPlant);
  }
  const key = `${tool}|${span.since}|${span.until}|${newest}`;
  let made = ofPlant.get(key);
  if (!made) {
    made = countAffected(plant, tool, span, newest);
    ofPlant.set(key, made);
  }
  return made;
}

interface Affected {
  readings: AffectedReadings;
  positions: number[];
}

const kept = new WeakMap<Plant, Map<string, Affected>>();

function countAffected(plant: Plant, tool: number, span: DoubtSpan, newest: number): Affected {
  const { start, position } = readingsByTool(plant);
  const byJoint = new Map<number, { count: number; passed: number }>();
  let count = 0;
  let passed = 0;
  let noTime = 0;
  const positions: number[] = [];
  for (let k = (start[tool + 1] ?? 0) - 1; k >= (start[tool] ?? 0); k--) {
    const i = position[k]!;
    const at = plant.readings.at[i]!;
    if (Number.isNaN(at)) {
      noTime++;
      continue;
    }
    if (span.since !== null && at <= span.since) continue;
    if (span.until !== null && at >= span.until) continue;
    count++;
    const good = hasPassed(plant, i);
    if (good) passed++;
    const joint = plant.readings.joint[i]!;
    const one = byJoint.get(joint);
    if (one) {
      one.count++;
      if (good) one.passed++;
    } else byJoint.set(joint, { count: 1, passed: good ? 1 : 0 });
    if (positions.length < newest) positions.push(i);
  }
  return {
    readings: {
      ...span,
      count,
      noTime,
      passed,
      byJoint: [...byJoint]
        .map(([joint, one]) => ({ joint: plant.register.joints[joint]?.name ?? '', ...one }))
        .sort((a, b) => b.count - a.count || (a.joint < b.joint ? -1 : 1)),
    },
    positions,
  };
}

/**
 * Whether a torque that is inside its limits leaves them when corrected by the tool's deviation: T / (1 + D/100).
 *
 * @param torque shown, in the unit of the limits
 * @param low, high null: open side
 */
export function wouldLeave(torque: number, low: number | null, high: number | null, deviation: number): boolean {
  const applied = torque / (1 + deviation / 100);
  const below = low !== null && applied < low - 1e-9 * Math.abs(low);
  const above = high !== null && applied > high + 1e-9 * Math.abs(high);
  return below || above;
}

/**
 * Readings since the date at which the response lane moved, with how many passing ones would leave their torque limits
 * when corrected by the latest check. Nobody failed a check: they are in question, not affected.
 */
export function inQuestionReadings(
  plant: Plant,
  tool: number,
  since: number,
  deviation: number | null,
  newest: number,
): { readings: InQuestion; positions: number[] } {
  const { start, position } = readingsByTool(plant);
  let count = 0;
  let leave = 0;
  const positions: number[] = [];
  for (let k = (start[tool + 1] ?? 0) - 1; k >= (start[tool] ?? 0); k--) {
    const i = position[k]!;
    const at = plant.readings.at[i]!;
    if (!(at >= since)) continue;
    count++;
    if (positions.length < newest) positions.push(i);
    if (deviation === null || !hasPassed(plant, i)) continue;
    const revision = plant.register.joints[plant.readings.joint[i]!]?.revisions[plant.judged.revision[i]!];
    const torque = plant.judged.torque[i]!;
    if (revision && !Number.isNaN(torque) && wouldLeave(torque, revision.low, revision.high, deviation)) leave++;
  }
  return { readings: { since, count, wouldLeaveLimits: deviation === null ? null : leave }, positions };
}

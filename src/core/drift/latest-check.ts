/** The latest check of a tool, and whether a check made since the response moved bears the move out. */
import type { CheckRow } from '../contract/models/drift-model.ts';
import { startOfDay } from '../time/civil-time.ts';
import { nominalKey } from './check-results.ts';
import { checkFits, type Evidence } from './finding.ts';
import type { MoveEstimate } from './lane.ts';

/** The newest check; of several at once the failing one, else the one farthest from 0. */
export function latestCheck(checks: readonly CheckRow[], failing: readonly CheckRow[]): CheckRow | null {
  const newest = failing[failing.length - 1] ?? checks[checks.length - 1];
  if (!newest) return null;
  const day = startOfDay(newest.at);
  const together = checks.filter((row) => startOfDay(row.at) === day && row.kind === newest.kind);
  const pool = failing.length > 0 ? together.filter((row) => row.passed === false) : together;
  return pool.reduce<CheckRow>(
    (worst, row) => (Math.abs(row.deviationPercent) > Math.abs(worst.deviationPercent) ? row : worst),
    pool[0] ?? newest,
  );
}

/** Whether the latest check since a change of the response fits its move; none: no such check, or not comparable. */
export function checkAgainstMove(
  checks: readonly CheckRow[],
  changeAt: number | null,
  perPercent: number | null,
  move: MoveEstimate | null,
): Evidence['checkSince'] {
  if (changeAt === null || !move) return 'none';
  const since = checks.filter((row) => row.at >= changeAt);
  const latest = since[since.length - 1];
  if (!latest || perPercent === null) return 'none';
  const before = checks.filter(
    (row) => row.at < changeAt && nominalKey(row.nominal, row.unit) === nominalKey(latest.nominal, latest.unit),
  );
  const was = before[before.length - 1]?.deviationPercent ?? 0;
  return checkFits((latest.deviationPercent - was) * perPercent, move) ? 'fits' : 'does-not-fit';
}

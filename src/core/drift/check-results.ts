/** Checks of a tool on a reference: pulls grouped into checks, and each judged against the permissible deviation. */
import type { CheckRow } from '../contract/models/drift-model.ts';
import type { CheckPull, Tool } from '../register/register.ts';
import { convertTorque, type TorqueUnit } from '../units/torque-unit.ts';

/** Only absorbs floating point where a pull lies exactly on the permissible deviation (definitions 13). */
const edge = 1e-9;

/**
 * Deviation of a tool in percent of the reference: 100 (shown - reference) / reference.
 *
 * Positive: the tool shows too much and the fastener gets less than shown. Form of ISO 6789 (stated from memory).
 *
 * @param shown what the tool showed
 * @param reference what the reference measured, same unit, not 0
 * @example deviationPercent(24, 24.72) // => -2.9126213592232966
 */
export function deviationPercent(shown: number, reference: number): number {
  return (100 * (shown - reference)) / reference;
}

/**
 * Torque that the fastener got when the tool showed `shown`: shown / (1 + D/100).
 *
 * @param shown shown torque, any unit; the result has the same
 * @param deviation deviation in percent
 */
export function appliedTorque(shown: number, deviation: number): number {
  return shown / (1 + deviation / 100);
}

/** Whether a nominal lies in the marked range of a tool; a side that is not known is open. */
export function inMarkedRange(tool: Pick<Tool, 'unit' | 'min' | 'max'>, nominal: number, unit: TorqueUnit): boolean {
  if (tool.unit === null) return true;
  const value = convertTorque(nominal, unit, tool.unit);
  const slack = edge * Math.abs(value);
  return (tool.min === null || value >= tool.min - slack) && (tool.max === null || value <= tool.max + slack);
}

/**
 * One check from its pulls: means, range of the deviations, and whether every pull is within the permissible deviation.
 *
 * The deviation of the check is the mean of its pulls' deviations. Passed is null outside the tool's marked range and
 * where no permissible deviation is known (definitions 13; every pull counts: ISO 6789-1, stated from memory).
 *
 * @param pulls at least one pull of the same tool, time, kind and nominal
 * @param tool the tool's range and permissible deviation in percent
 * @throws RangeError without pulls, or when a reference is 0
 */
export function checkResult(
  pulls: readonly CheckPull[],
  tool: Pick<Tool, 'unit' | 'min' | 'max' | 'permissibleDeviationPercent'>,
): CheckRow {
  const first = pulls[0];
  if (!first) throw new RangeError('a check needs at least one pull');
  const pullPercent = pulls.map((pull) => {
    if (pull.reference === 0) throw new RangeError('reference of a pull is 0');
    return deviationPercent(pull.shown, pull.reference);
  });
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  const permissible = tool.permissibleDeviationPercent;
  const known = permissible !== null && inMarkedRange(tool, first.nominal, first.unit);
  return {
    at: first.at,
    kind: first.kind,
    nominal: first.nominal,
    unit: first.unit,
    pulls: pulls.length,
    shown: mean(pulls.map((pull) => convertTorque(pull.shown, pull.unit, first.unit))),
    reference: mean(pulls.map((pull) => convertTorque(pull.reference, pull.unit, first.unit))),
    deviationPercent: mean(pullPercent),
    pullPercent,
    lowestPercent: Math.min(...pullPercent),
    highestPercent: Math.max(...pullPercent),
    passed: known ? pullPercent.every((deviation) => Math.abs(deviation) <= permissible + edge) : null,
    uncertaintyPercent: first.uncertaintyPercent,
  };
}

/**
 * All checks of one tool, oldest first; of one time by nominal, as-found before as-left.
 *
 * Pulls of the same time, kind and nominal are one check. Nominals in different units are the same when they agree to
 * 1e-9 after conversion.
 *
 * @param checks the register's pulls, any tools
 * @param toolIndex position of the tool in the register
 * @param tool the tool itself
 */
export function checkResults(
  checks: readonly CheckPull[],
  toolIndex: number,
  tool: Pick<Tool, 'unit' | 'min' | 'max' | 'permissibleDeviationPercent'>,
): CheckRow[] {
  const groups = new Map<string, CheckPull[]>();
  for (const pull of checks) {
    if (pull.tool !== toolIndex) continue;
    const key = `${pull.at}|${pull.kind}|${nominalKey(pull.nominal, pull.unit)}`;
    const group = groups.get(key);
    if (group) group.push(pull);
    else groups.set(key, [pull]);
  }
  return [...groups.values()]
    .map((pulls) => checkResult(pulls, tool))
    .sort(
      (a, b) =>
        a.at - b.at ||
        (a.kind === b.kind ? 0 : a.kind === 'as-found' ? -1 : 1) ||
        convertTorque(a.nominal, a.unit, 'N.m') - convertTorque(b.nominal, b.unit, 'N.m'),
    );
}

/** Names a nominal value independent of its unit. */
export function nominalKey(nominal: number, unit: TorqueUnit): string {
  return convertTorque(nominal, unit, 'N.m').toPrecision(10);
}

/**
 * The checks that stand today: for each nominal the newest one. A calibration or repair after a check sets it aside.
 *
 * @param rows checks, oldest first
 * @param adjustedAt civil ms of the last calibration or repair; null: none
 */
export function standingChecks(rows: readonly CheckRow[], adjustedAt: number | null): CheckRow[] {
  const newest = new Map<string, CheckRow>();
  for (const row of rows) {
    // An as-left of the calibration itself carries its time and still stands.
    if (adjustedAt !== null && (row.at < adjustedAt || (row.at === adjustedAt && row.kind === 'as-found'))) continue;
    newest.set(nominalKey(row.nominal, row.unit), row);
  }
  return [...newest.values()].sort((a, b) => a.at - b.at);
}

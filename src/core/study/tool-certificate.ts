/** The certificate of a tool, as far as a study rests on it. */
import type { CheckRow } from '../contract/models/drift-model.ts';
import type { StudyUnit } from '../contract/models/study-model.ts';
import { checkResults } from '../drift/check-results.ts';
import type { Plant } from '../readings/plant.ts';
import type { Limits } from '../stats/capability-indices.ts';
import { type Certificate, uncertaintyRatio } from '../stats/guard-band.ts';
import { convertTorque } from '../units/torque-unit.ts';
import { toolPhaseStarts } from './choose-readings.ts';
import type { StudyCertificate } from './study.ts';

/**
 * What the tool's certificate says: the newest check up to its last reading here (or its first check, if that came
 * later), with the expanded uncertainty that was entered, and its mean deviation at the nominal nearest to the joint's
 * torque. Null without an uncertainty, where the check failed, and where the tool was calibrated or repaired between the
 * check and its last reading: then its deviation says nothing of the readings.
 */
export function certificateOf(
  plant: Plant,
  tool: number,
  limits: Limits,
  unit: StudyUnit,
  lastAt: number,
): StudyCertificate | null {
  const entry = plant.register.tools[tool];
  const aim = limits.target ?? meanOf(limits.low, limits.high);
  if (!entry || aim === null || unit === 'deg') return null;
  const checks = checkResults(plant.register.checks, tool, entry);
  const newest = checks.findLast((check) => check.at <= lastAt) ?? checks[0];
  if (!newest || toolPhaseStarts(entry).some((at) => at > newest.at && at <= lastAt)) return null;
  const distance = (check: CheckRow): number => Math.abs(convertTorque(check.nominal, check.unit, unit) - aim);
  let nearest = newest;
  for (const check of checks) {
    if (check.at === newest.at && check.kind === newest.kind && distance(check) < distance(nearest)) nearest = check;
  }
  return nearest.uncertaintyPercent === null || nearest.passed === false
    ? null
    : { at: nearest.at, expanded: nearest.uncertaintyPercent / 100, deviation: nearest.deviationPercent / 100 };
}

/** The middle of two limits, or the one there is. */
function meanOf(low: number | null, high: number | null): number | null {
  return low === null || high === null ? (low ?? high) : (low + high) / 2;
}

/** The uncertainty ratio, with the expanded uncertainty at the target (or middle). */
export function ratioOfCertificate(limits: Limits, certificate: Certificate): number | null {
  const at = limits.target ?? meanOf(limits.low, limits.high);
  return at === null ? null : uncertaintyRatio(limits, certificate.expanded * at);
}

import type { CheckRow } from '../contract/models/register-model.ts';
import { checkResults } from '../drift/check-results.ts';
import { said } from '../text/said.ts';
import type { Register } from './register.ts';

/** Checks of one tool as the register shows them, in time order. */
export function checkRowsOf(register: Register, t: number): CheckRow[] {
  const tool = register.tools[t];
  if (!tool) return [];
  return checkResults(register.checks, t, tool).map((check) => ({
    tool: tool.serial,
    at: check.at,
    kind: check.kind,
    nominal: check.nominal,
    unit: check.unit,
    pulls: check.pulls,
    shownMean: check.shown,
    referenceMean: check.reference,
    deviationPercent: check.deviationPercent,
    deviationLow: check.lowestPercent,
    deviationHigh: check.highestPercent,
    deviations: check.pullPercent,
    permissiblePercent: tool.permissibleDeviationPercent,
    passed: check.passed,
    uncertaintyPercent: check.uncertaintyPercent,
    said: said('register.check', {
      deviation: check.deviationPercent,
      pulls: check.pulls,
      passed: check.passed,
      permissible: tool.permissibleDeviationPercent,
    }),
  }));
}

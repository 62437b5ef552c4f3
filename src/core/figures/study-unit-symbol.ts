import type { StudyModel } from '../contract/models/study-model.ts';
import { torqueUnitSymbols } from '../units/torque-unit.ts';

/** Unit of a study as it is printed. */
export function studyUnitSymbol(unit: StudyModel['unit']): string {
  return unit === 'deg' ? '°' : torqueUnitSymbols[unit];
}

import { failReasons, type Judged, unjudgedCodes } from '../judging/judged.ts';

/** "pass", "torque-low+angle-high", "unjudged:no-limits" ... of a reading, as a key that phrases know. */
export function verdictWord(judged: Judged, i: number): string {
  if (judged.verdict[i] === 1) return 'pass';
  if (judged.verdict[i] === 2) return failReasons(judged.reasons[i]!).join('+');
  return `unjudged:${unjudgedCodes[judged.unjudgedBecause[i]!] ?? ''}`;
}

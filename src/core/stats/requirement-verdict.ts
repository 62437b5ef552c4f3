/** Whether an index meets its requirement (definitions 10). Unrounded values are compared: 1.33 means 1.33. */

export type Judgement = 'shown' | 'not-shown-yet' | 'not-met';

/** Judges the 95 % interval: shown if its lower end reaches the requirement, not met if its upper end stays below. */
export function judgeInterval(low95: number, high95: number, required: number): Judgement {
  if (low95 >= required) return 'shown';
  return high95 < required ? 'not-met' : 'not-shown-yet';
}

/** Judges the estimate alone. */
export function judgeEstimate(value: number, required: number): Judgement {
  return value >= required ? 'shown' : 'not-met';
}

/** `met` of the answer: null while nothing is shown either way. */
export function metBy(outcome: Judgement | 'not-stable' | 'not-computed'): boolean | null {
  if (outcome === 'shown') return true;
  return outcome === 'not-met' ? false : null;
}

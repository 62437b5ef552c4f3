/** How operators are named: by name or badge, or by numbers where the plant wants that. */
import type { Register } from '../register/register.ts';
import { said, say } from '../text/said.ts';

/**
 * Labels by position in the register; the entry after the last stands for "not named".
 *
 * Anonymous labels follow the order of badges, so that they stay the same from screen to report and tell nobody who
 * tightens most or worst. Operators who are numbered already (`core/readings/anonymous-plant.ts`, where the numbers are
 * drawn by lot) keep their numbers.
 */
export function operatorLabels(register: Register, anonymous: boolean): string[] {
  const order = register.operators
    .map((_, position) => position)
    .sort((a, b) => byBadge(register.operators[a]!.badge, register.operators[b]!.badge));
  const number = new Map(order.map((position, k) => [position, k + 1]));
  const labels = register.operators.map((operator, position) =>
    anonymous
      ? say(said('drift.operator.label', { number: number.get(position) ?? 0 }))
      : (operator.name ?? operator.badge),
  );
  labels.push(say(said('drift.operator.not-named', {})));
  return labels;
}

/** Shorter badges first, so that 9 comes before 10. */
const byBadge = (a: string, b: string): number => a.length - b.length || (a < b ? -1 : a > b ? 1 : 0);

import type { Register } from '../register/register.ts';
import { said, say } from '../text/said.ts';

/** Under which number each operator is known where nobody shall be named. */
export interface OperatorNumbers {
  /** Positions in the register, in order of the numbers: the first is number 1. */
  readonly order: readonly number[];
  /** "Operator 3", by position in the register. */
  readonly labels: readonly string[];
}

/**
 * Numbers the operators of a register.
 *
 * @param drawn positions in the order in which lots were drawn; who came since follows in the order of the register.
 *   Without lots the order is that of the badges, from which anybody who knows the badges can tell who is who.
 */
export function operatorNumbers(register: Register, drawn: readonly number[] = []): OperatorNumbers {
  const { operators } = register;
  const all = operators.map((_, position) => position);
  const byBadge = (a: number, b: number): number => {
    const [one, other] = [operators[a]!.badge, operators[b]!.badge];
    // Shorter badges first, so that 9 comes before 10.
    return one.length - other.length || (one < other ? -1 : one > other ? 1 : 0);
  };
  const lots = [...new Set(drawn)].filter((position) => operators[position] !== undefined);
  const others = all.filter((position) => !lots.includes(position));
  const order = lots.length > 0 ? [...lots, ...others] : others.sort(byBadge);
  const labels: string[] = [];
  order.forEach((position, k) => {
    labels[position] = say(said('drift.operator.label', { number: k + 1 }));
  });
  return { order, labels };
}

/** What the lanes of a tool allow to be said (definitions 16), and in which order tools are listed. */
import type { FindingKind, Urgency } from '../contract/models/drift-model.ts';

/** The evidence, each lane for itself: lanes are not votes. */
export interface Evidence {
  readonly failingCheck: boolean;
  /** Null: cannot be told. */
  readonly ownMoved: boolean | null;
  readonly responseMoved: boolean | null;
  /** The response lane could have shown the permitted error. */
  readonly responseSees: boolean;
  /** Other tools at the same joints since the change of the response. */
  readonly others: 'moved' | 'still' | 'none';
  /** A check since the change of the response: fitting it in sign and size, good but not fitting, or none. */
  readonly checkSince: 'fits' | 'does-not-fit' | 'none';
}

/**
 * The table of findings.
 *
 * Any failing check stands above all. A response that moved is about the tool unless other tools at the same joints moved
 * with it; one's own readings that moved are about people and the stop signal as long as a seeing response stayed still.
 */
export function findingKind(e: Evidence): FindingKind {
  if (e.failingCheck) return 'out-of-tolerance';
  if (e.responseMoved === true) {
    if (e.ownMoved === true) return 'more-than-one';
    if (e.others === 'moved') return e.checkSince === 'fits' ? 'more-than-one' : 'joint-not-tool';
    if (e.checkSince === 'fits') return 'reads-wrong';
    return e.checkSince === 'does-not-fit' ? 'check-disagrees' : 'may-read-wrong';
  }
  if (e.ownMoved === true) return e.responseMoved === false && e.responseSees ? 'people-or-stop' : 'own-moved-blind';
  return e.ownMoved === null && e.responseMoved === null ? 'too-little' : 'still';
}

export interface RankFacts {
  readonly failingCheck: boolean;
  readonly responseMoved: boolean;
  readonly overdue: boolean;
  readonly ownMoved: boolean;
  /** Size in %, without sign. */
  readonly size: number;
  readonly name: string;
}

/** Class of urgency: failing check; response moved; calibration or check overdue; own lane moved; then the rest. */
export function urgencyClass(facts: Omit<RankFacts, 'size' | 'name'>): number {
  if (facts.failingCheck) return 0;
  if (facts.responseMoved) return 1;
  if (facts.overdue) return 2;
  return facts.ownMoved ? 3 : 4;
}

/** Orders tools by urgency, then by size, then by name. */
export function byUrgency(a: RankFacts, b: RankFacts): number {
  return urgencyClass(a) - urgencyClass(b) || b.size - a.size || (a.name < b.name ? -1 : a.name > b.name ? 1 : 0);
}

/** The name of a class; `known` false: neither lane could be judged. */
export function urgencyName(facts: Omit<RankFacts, 'size' | 'name'>, known: boolean): Urgency {
  const names: readonly Urgency[] = [
    'failing-check',
    'response-moved',
    'overdue',
    'own-moved',
    known ? 'still' : 'too-little',
  ];
  return names[urgencyClass(facts)]!;
}

/**
 * Whether a check fits a move of the response in sign and size: what its change of deviation would cause lies in the
 * move's interval, or is between half and twice the move.
 *
 * @param predicted response that the check alone would give, %
 */
export function checkFits(predicted: number, move: { estimate: number; low95: number; high95: number }): boolean {
  if (predicted === 0 || Math.sign(predicted) !== Math.sign(move.estimate)) return false;
  const ratio = predicted / move.estimate;
  return (predicted >= move.low95 && predicted <= move.high95) || (ratio >= 0.5 && ratio <= 2);
}

/** Others count as moved when their interval excludes 0 on the same side and they went at least half as far. */
export function othersMoved(
  others: { estimate: number; low95: number; high95: number },
  own: { estimate: number },
): boolean {
  const clear = others.low95 > 0 || others.high95 < 0;
  return (
    clear &&
    Math.sign(others.estimate) === Math.sign(own.estimate) &&
    Math.abs(others.estimate) >= Math.abs(own.estimate) / 2
  );
}

/**
 * Run rules of control charts, named in words (numbering differs between sources).
 *
 * Source: L. S. Nelson, J. Qual. Technol. 16 (1984) 237. Strict inequalities; a point on the centre line is on no side;
 * equal neighbours break a trend and an alternation; nothing crosses a phase. A run on one side and a trend are one
 * signal each however long; of the other rules each completed window signals. A signal stands at the point that
 * completes it, which in the m-of-n rules must itself be beyond.
 */
export const runRuleNames = [
  'beyond-3-sigma',
  '9-on-one-side',
  '6-rising-or-falling',
  '14-alternating',
  '2-of-3-beyond-2-sigma',
  '4-of-5-beyond-1-sigma',
  '15-within-1-sigma',
  '8-beyond-1-sigma',
] as const;
export type RunRuleName = (typeof runRuleNames)[number];

/** On by default. */
export const defaultRunRules: readonly RunRuleName[] = ['beyond-3-sigma', '9-on-one-side'];

export interface RunSignal {
  readonly rule: RunRuleName;
  /** Place of the point that completes it, and of the first point of its pattern. */
  readonly at: number;
  readonly from: number;
}

/**
 * Signals in points given in sigma from the centre line. O(n) a rule.
 *
 * @param scores points that were left out are not in it
 * @param phases phase of each point; null: one phase
 * @param trend values whose rises and falls count for trends; null: the scores themselves
 */
export function runSignals(
  scores: ArrayLike<number>,
  rules: readonly RunRuleName[],
  phases: ArrayLike<number> | null = null,
  trend: ArrayLike<number> | null = null,
): RunSignal[] {
  const signals: RunSignal[] = [];
  for (const rule of rules) addSignals(rule, scores, phases, trend ?? scores, signals);
  return signals.sort((a, b) => a.at - b.at || runRuleNames.indexOf(a.rule) - runRuleNames.indexOf(b.rule));
}

function addSignals(
  rule: RunRuleName,
  scores: ArrayLike<number>,
  phases: ArrayLike<number> | null,
  trend: ArrayLike<number>,
  signals: RunSignal[],
): void {
  const n = scores.length;
  const start = (i: number): boolean => i === 0 || (phases !== null && phases[i] !== phases[i - 1]);
  /** A run of points that all fit: signals at its `length`-th point, and at every further one if `every`. */
  const runs = (length: number, fits: (i: number, runLength: number) => number, every: boolean): void => {
    let run = 0;
    let kind = 0;
    for (let i = 0; i < n; i++) {
      if (start(i)) {
        run = 0;
        kind = 0;
      }
      const now = fits(i, run);
      if (now === 0) {
        run = 0;
      } else if (now !== kind) {
        run = 1;
      } else {
        run++;
      }
      kind = now;
      if (run === length || (every && run > length)) signals.push({ rule, at: i, from: i - length + 1 });
    }
  };
  const windows = (most: number, need: number, beyond: number): void => {
    let phaseStart = 0;
    for (let i = 0; i < n; i++) {
      if (start(i)) phaseStart = i;
      const side = Math.sign(scores[i]!);
      if (!(Math.abs(scores[i]!) > beyond)) continue;
      let count = 0;
      const from = Math.max(phaseStart, i - most + 1);
      for (let j = from; j <= i; j++) if (scores[j]! * side > beyond) count++;
      if (count >= need) signals.push({ rule, at: i, from });
    }
  };
  switch (rule) {
    case 'beyond-3-sigma':
      for (let i = 0; i < n; i++) if (Math.abs(scores[i]!) > 3) signals.push({ rule, at: i, from: i });
      return;
    case '9-on-one-side':
      runs(9, (i) => Math.sign(scores[i]!), false);
      return;
    case '15-within-1-sigma':
      runs(15, (i) => (Math.abs(scores[i]!) < 1 ? 1 : 0), true);
      return;
    case '8-beyond-1-sigma':
      runs(8, (i) => (Math.abs(scores[i]!) > 1 ? 1 : 0), true);
      return;
    case '2-of-3-beyond-2-sigma':
      windows(3, 2, 2);
      return;
    case '4-of-5-beyond-1-sigma':
      windows(5, 4, 1);
      return;
    case '6-rising-or-falling':
    case '14-alternating': {
      const length = rule === '6-rising-or-falling' ? 6 : 14;
      let run = 1;
      let before = 0;
      for (let i = 0; i < n; i++) {
        if (start(i)) {
          run = 1;
          before = 0;
          continue;
        }
        const move = Math.sign(trend[i]! - trend[i - 1]!);
        const continues = length === 6 ? move === before : move === -before;
        run = move === 0 ? 1 : before !== 0 && continues ? run + 1 : 2;
        before = move;
        if (run === length || (length === 14 && run > length)) signals.push({ rule, at: i, from: i - length + 1 });
      }
    }
  }
}

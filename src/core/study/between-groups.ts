import { fSurvival } from '../stats/f-distribution.ts';
import type { GroupFigures } from '../stats/subgroups.ts';

/** p of the one-way F between groups, from their sums. */
export function betweenGroups(groups: GroupFigures): number | null {
  const members: number[][] = [];
  let total = 0;
  for (let g = 0; g < groups.n.length; g++) {
    const n = groups.n[g]!;
    if (n < 2) continue;
    total++;
    members.push([groups.mean[g]!, n, groups.sumOfSquares[g]!]);
  }
  if (total < 2) return null;
  return anovaP(members);
}

/** One-way F from (mean, n, sum of squares) of each group. */
function anovaP(groups: readonly (readonly number[])[]): number | null {
  let n = 0;
  let sum = 0;
  let withinSum = 0;
  for (const [mean = 0, size = 0, squares = 0] of groups) {
    n += size;
    sum += mean * size;
    withinSum += squares;
  }
  const grand = sum / n;
  let betweenSum = 0;
  for (const [mean = 0, size = 0] of groups) betweenSum += size * (mean - grand) ** 2;
  const df1 = groups.length - 1;
  const df2 = n - groups.length;
  if (!(withinSum > 0) || df2 < 1) return null;
  return fSurvival(betweenSum / df1 / (withinSum / df2), df1, df2);
}

/** The same analysis from the operators' side: where each stops and how widely. A matter for training, never of blame. */
import chisquare from '@stdlib/stats-base-dists-chisquare';
import type { ChangePoint, OperatorRow } from '../contract/models/drift-model.ts';
import { type Said, said } from '../text/said.ts';
import type { DriftAnalysis } from './analysis.ts';

/** Rows by name of the label, so that nobody stands first for having moved. */
export function operatorRows(
  analysis: DriftAnalysis,
  labels: readonly string[],
  badges: readonly string[],
): OperatorRow[] {
  const { table, ownRows, effectRows, effects, operatorLane } = analysis;
  const spread = new Map<number, { squares: number; freedom: number; readings: number }>();
  for (let k = 0; k < ownRows.cell.length; k++) {
    const c = ownRows.cell[k]!;
    const level = ownRows.rows.operator[k]!;
    const n = table.n[c]!;
    const squares = Math.max(0, table.sumPercentSquared[c]! - (table.sumPercent[c]! * table.sumPercent[c]!) / n);
    const one = spread.get(level) ?? { squares: 0, freedom: 0, readings: 0 };
    one.squares += squares;
    one.freedom += n - 1;
    one.readings += n;
    spread.set(level, one);
  }
  const rows: OperatorRow[] = [];
  // An operator may have a level at each kind of joint: the one with most readings stands for the person.
  const main = new Map<number, number>();
  for (const [level, one] of spread) {
    const position = ownRows.operatorOf[level]!;
    const other = main.get(position);
    if (other === undefined || one.readings > spread.get(other)!.readings) main.set(position, level);
  }
  for (const [position, level] of main) {
    const one = spread.get(level)!;
    const badge = badges[position];
    if (badge === undefined) continue;
    const label = labels[position] ?? badge;
    const effect = effects?.effects.operator.find((each) => effectRows.operatorOf[each.level] === position) ?? null;
    const lane = operatorLane.levels[level];
    const s = one.freedom > 0 ? Math.sqrt(one.squares / one.freedom) : null;
    let change: ChangePoint | null = null;
    if (lane?.moved === true && lane.change?.move) {
      const at = (k: number): number => table.blockAt[lane.blocks[k]!]!;
      change = {
        at: at(lane.change.at),
        low95: at(lane.change.low),
        high95: at(lane.change.high),
        shape: lane.change.shape,
        shiftPercent: lane.change.move.estimate,
        shiftLow95: lane.change.move.low95,
        shiftHigh95: lane.change.move.high95,
      };
    }
    const tangled = effects !== null && effects.sets.operator.length > 1 && effect === null;
    let line: Said;
    if (tangled) line = said('drift.operator.tangled', { label });
    else if (change) line = said('drift.operator.moved', { label, percent: change.shiftPercent, since: change.at });
    else if (effect === null) line = said('drift.operator.few', { label });
    else if (effect.low95 > 0 || effect.high95 < 0) {
      line = said('drift.operator.stop', {
        label,
        percent: effect.effect,
        low: effect.low95,
        high: effect.high95,
      });
    } else line = said('drift.operator.steady', { label });
    rows.push({
      operator: badge,
      label,
      readings: one.readings,
      stop: effect ? { percent: effect.effect, low95: effect.low95, high95: effect.high95 } : null,
      spreadPercent: s,
      spreadLow95: s === null ? null : s * Math.sqrt(one.freedom / chisquare.quantile(0.975, one.freedom)),
      spreadHigh95: s === null ? null : s * Math.sqrt(one.freedom / chisquare.quantile(0.025, one.freedom)),
      moved: lane?.moved ?? null,
      changePoint: change,
      line,
    });
  }
  return rows.sort((a, b) => (a.label < b.label ? -1 : 1));
}

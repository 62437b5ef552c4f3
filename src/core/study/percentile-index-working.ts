import type { Working } from '../contract/models/study-model.ts';
import { plainDecimal } from '../text/format.ts';
import { frac, type MathNode, num, row, sub, sym, words } from './math-node.ts';
import type { IndexFigure, Study } from './study.ts';
import { indexDecimals, input, interval, type Line, type Rest, shown, work } from './study-working.ts';
import { inputsThatReproduce } from './working-numbers.ts';
import { L, U } from './working-symbols.ts';

/** Working of an index from quantiles of the fitted model; null: there is no such model. */
export function percentileWorking(study: Study, name: string, figure: IndexFigure, base: Rest): Working | null {
  if (!study.percentile) return null;
  const { limits } = study.readings;
  const [a, b, c] = study.percentile.quantiles;
  const quantile = (p: string): MathNode => sub(sym('X'), p);
  let line: Line;
  let symbols: Working['inputs'];
  if (name === 'Pp' || name === 'Cm') {
    if (limits.low === null || limits.high === null) return null;
    const { low, high } = limits;
    const printed = inputsThatReproduce({ a, c }, (v) => (high - low) / (v.c - v.a), indexDecimals);
    line = {
      caption: null,
      formula: row(sym(name), '=', frac(row(U, '−', L), row(quantile('99.865'), '−', quantile('0.135')))),
      withNumbers: row(
        frac(row(num(plainDecimal(high)), '−', num(plainDecimal(low))), row(num(printed.c), '−', num(printed.a))),
        '=',
        shown(figure.value, indexDecimals),
      ),
    };
    symbols = [
      input(quantile('0.135'), printed.a, 'x'),
      input(quantile('99.865'), printed.c, 'x'),
      input(U, high, 'U'),
      input(L, low, 'L'),
    ];
  } else {
    const up = limits.high === null ? null : (limits.high - b) / (c - b);
    const down = limits.low === null ? null : (b - limits.low) / (b - a);
    const high = down === null || (up !== null && up <= down);
    const limit = (high ? limits.high : limits.low) ?? 0;
    const outer = high ? c : a;
    const printed = inputsThatReproduce({ b, outer }, (v) => (limit - v.b) / (v.outer - v.b), indexDecimals);
    const far = quantile(high ? '99.865' : '0.135');
    line = {
      caption: null,
      formula: row(
        sym(name),
        '=',
        high
          ? frac(row(U, '−', quantile('50')), row(far, '−', quantile('50')))
          : frac(row(quantile('50'), '−', L), row(quantile('50'), '−', far)),
      ),
      withNumbers: row(
        high
          ? frac(row(num(plainDecimal(limit)), '−', num(printed.b)), row(num(printed.outer), '−', num(printed.b)))
          : frac(row(num(printed.b), '−', num(plainDecimal(limit))), row(num(printed.b), '−', num(printed.outer))),
        '=',
        shown(figure.value, indexDecimals),
      ),
    };
    symbols = [
      input(quantile('50'), printed.b, 'x'),
      input(far, printed.outer, 'x'),
      input(high ? U : L, limit, high ? 'U' : 'L'),
    ];
  }
  const lines = [line];
  if (figure.low95 !== null && figure.high95 !== null && study.bootstrap && study.seed !== null) {
    lines.push({
      caption: interval,
      formula: row(words('50th and 1950th of the sorted values of '), sym('B'), '=', num(1999), words(' replicates')),
      withNumbers: row(
        shown(figure.low95, indexDecimals),
        words(' to '),
        shown(figure.high95, indexDecimals),
        words(`; MT19937, seed ${study.seed}, ${study.bootstrap.failed} fits failed`),
      ),
    });
  }
  return work(name, sym(name), figure.value, lines, 'percentile', 'percentile', { ...base, inputs: symbols });
}

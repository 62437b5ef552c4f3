import { chiSquareQuantile } from '../stats/chi-square-distribution.ts';
import { frac, type MathNode, num, power, root, row, sym, words } from './math-node.ts';
import type { IndexFigure } from './study.ts';
import { indexDecimals, interval, type Line, shown } from './study-working.ts';
import { inputsThatReproduce } from './working-numbers.ts';
import { nu } from './working-symbols.ts';

/** The interval of Cp, Pp, Cm or Cpm from quantiles of chi-square. */
export function chiSquareLine(figure: IndexFigure, freedom: number): Line {
  const printed = inputsThatReproduce(
    {
      v: figure.value,
      low: chiSquareQuantile(0.025, freedom),
      high: chiSquareQuantile(0.975, freedom),
      freedom,
    },
    (x) => [x.v * Math.sqrt(x.low / x.freedom), x.v * Math.sqrt(x.high / x.freedom)],
    indexDecimals,
  );
  const name = (p: string): MathNode => row(power(sym('χ'), '2'), '(', num(p), ',', nu, ')');
  return {
    caption: interval,
    formula: row(sym('v'), root(frac(name('0.025'), nu)), words(' to '), sym('v'), root(frac(name('0.975'), nu))),
    withNumbers: row(
      num(printed.v),
      '×',
      root(frac(num(printed.low), num(printed.freedom))),
      '=',
      shown(figure.low95 ?? 0, indexDecimals),
      words(' to '),
      num(printed.v),
      '×',
      root(frac(num(printed.high), num(printed.freedom))),
      '=',
      shown(figure.high95 ?? 0, indexDecimals),
    ),
  };
}

import type { Working } from '../contract/models/study-model.ts';
import { z975 } from '../stats/normal-distribution.ts';
import { plainDecimal } from '../text/format.ts';
import { frac, type MathNode, num, power, root, row, sym, words, xBar } from './math-node.ts';
import type { IndexFigure, Study } from './study.ts';
import { indexDecimals, input, interval, type Rest, shown, work } from './study-working.ts';
import { inputsThatReproduce, significant } from './working-numbers.ts';
import { L, n, nu, U } from './working-symbols.ts';

/** A number that is raised to a power: a negative one in brackets. */
const bracketedMinus = (text: string): MathNode => (text.startsWith('-') ? row('(', num(text), ')') : num(text));

/** Decimals of a printed number. */
const decimalsOf = (text: string): number => (text.includes('.') ? text.length - text.indexOf('.') - 1 : 0);

/** Working of Ppk, Cpk or Cmk: the limit that lies nearer, and the interval of Bissell. */
export function nearerWorking(
  name: string,
  figure: IndexFigure,
  limits: Study['readings']['limits'],
  mean: number,
  count: number,
  sigma: number,
  freedom: number,
  sigmaSymbol: MathNode,
  base: Rest,
): Working {
  const up = limits.high === null ? null : (limits.high - mean) / (3 * sigma);
  const down = limits.low === null ? null : (mean - limits.low) / (3 * sigma);
  const high = down === null || (up !== null && up <= down);
  const limit = (high ? limits.high : limits.low) ?? 0;
  const sign = high ? 1 : -1;
  const printed = inputsThatReproduce({ mean, sigma }, (v) => (sign * (limit - v.mean)) / (3 * v.sigma), indexDecimals);
  const distance = sign * (limit - Number(printed.mean));
  const top = high ? row(U, '−', xBar) : row(xBar, '−', L);
  const topNumbers = high
    ? row(num(plainDecimal(limit)), '−', num(printed.mean))
    : row(num(printed.mean), '−', num(plainDecimal(limit)));
  const half = (figure.high95 ?? figure.value) - figure.value;
  // The ends first: v and half must give them; then what gives half, to its own digits.
  const ends = inputsThatReproduce({ v: figure.value, half }, (x) => [x.v - x.half, x.v + x.half], indexDecimals);
  const halfDecimals = decimalsOf(ends.half);
  const parts = inputsThatReproduce(
    { v: figure.value, z: z975, freedom },
    (x) => x.z * Math.sqrt(1 / (9 * count) + x.v ** 2 / (2 * x.freedom)),
    halfDecimals,
  );
  return work(
    name,
    sym(name),
    figure.value,
    [
      {
        caption: null,
        formula: row(sym(name), '=', frac(top, row(num(3), sigmaSymbol))),
        withNumbers: row(
          frac(topNumbers, row(num(3), '×', num(printed.sigma))),
          '=',
          frac(
            num(plainDecimal(significant(distance, 10))),
            num(plainDecimal(significant(3 * Number(printed.sigma), 10))),
          ),
          '=',
          shown(figure.value, indexDecimals),
        ),
      },
      {
        caption: interval,
        formula: row(
          sym('v'),
          '±',
          sym('z'),
          root(row(frac(num(1), row(num(9), n)), '+', frac(power(sym('v'), '2'), row(num(2), nu)))),
        ),
        withNumbers: row(
          num(ends.v),
          '±',
          num(parts.z),
          '×',
          root(
            row(
              frac(num(1), row(num(9), '×', num(count))),
              '+',
              frac(power(bracketedMinus(parts.v), '2'), row(num(2), '×', num(parts.freedom))),
            ),
          ),
          '=',
          num(ends.v),
          '±',
          shown(half, halfDecimals),
          '=',
          shown(figure.low95 ?? 0, indexDecimals),
          words(' to '),
          shown(figure.high95 ?? 0, indexDecimals),
        ),
      },
    ],
    'bissell',
    'bissell',
    {
      ...base,
      inputs: [
        input(
          high ? U : L,
          limit,
          high ? (limits.low === null ? 'U' : 'U-nearer') : limits.high === null ? 'L' : 'L-nearer',
        ),
        input(xBar, printed.mean, 'mean'),
        input(sigmaSymbol, printed.sigma, name === 'Cpk' ? 'sigma' : 's'),
        input(n, count, 'n'),
        input(nu, significant(freedom, 7), 'nu'),
        input(sym('z'), z975, 'z'),
      ],
    },
  );
}

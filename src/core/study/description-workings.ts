import type { Working } from '../contract/models/study-model.ts';
import { plainDecimal } from '../text/format.ts';
import { frac, num, power, root, row, sub, sym, words, xBar } from './math-node.ts';
import type { Study } from './study.ts';
import { input, shown, work } from './study-working.ts';
import { inputsThatReproduce, significant } from './working-numbers.ts';
import { n, s } from './working-symbols.ts';

/** Workings of mean, median and overall deviation. */
export function description(study: Study, unit: string): Working[] {
  const { moments, median } = study;
  if (!moments || median === null) return [];
  const d = study.readings.decimals + 2;
  const found: Working[] = [
    work(
      'mean',
      xBar,
      moments.mean,
      [
        {
          caption: null,
          formula: row(xBar, '=', frac(row(words('Σ'), sym('x')), n)),
          withNumbers: row(
            frac(num(plainDecimal(significant(moments.mean * moments.n, 12))), num(moments.n)),
            '=',
            shown(moments.mean, d),
            words(` ${unit}`),
          ),
        },
      ],
      'mean',
      'definition',
      { inputs: [input(n, moments.n, 'n')] },
    ),
    work(
      'median',
      sub(sym('x'), '50'),
      median,
      [
        {
          caption: null,
          formula: row(sub(sym('x'), '50'), '=', words('quantile of type 7 at 0.5')),
          withNumbers: row(shown(median, d), words(` ${unit}`)),
        },
      ],
      'median',
      'hyndman-fan',
      { inputs: [input(n, moments.n, 'n')] },
    ),
  ];
  const deviation = moments.standardDeviation;
  if (deviation !== null) {
    const printed = inputsThatReproduce(
      { squares: moments.sumOfSquares },
      (v) => Math.sqrt(v.squares / (moments.n - 1)),
      d + 1,
    );
    found.push(
      work(
        'overall',
        s,
        deviation,
        [
          {
            caption: null,
            formula: row(
              s,
              '=',
              root(frac(row(words('Σ'), power(row('(', sym('x'), '−', xBar, ')'), '2')), row(n, '−', num(1)))),
            ),
            withNumbers: row(
              root(frac(num(printed.squares), row(num(moments.n), '−', num(1)))),
              '=',
              shown(deviation, d + 1),
              words(` ${unit}`),
            ),
          },
        ],
        'overall',
        'definition',
        { inputs: [input(n, moments.n, 'n'), input(xBar, significant(moments.mean, 10), 'mean')] },
      ),
    );
  }
  return found;
}

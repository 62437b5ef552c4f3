import type { Working } from '../contract/models/study-model.ts';
import { histogramWidth } from '../stats/histogram.ts';
import { quantileType7 } from '../stats/quantiles.ts';
import { plainDecimal } from '../text/format.ts';
import { num, power, row, sym, words } from './math-node.ts';
import type { Study } from './study.ts';
import { input, work } from './study-working.ts';
import { inputsThatReproduce, significant } from './working-numbers.ts';
import { n } from './working-symbols.ts';

/** Working of the width of the bars. */
export function histogramWorking(study: Study): Working[] {
  const count = study.sorted.length;
  if (count === 0) return [];
  const iqr = quantileType7(study.sorted, 0.75) - quantileType7(study.sorted, 0.25);
  const rule = 2 * iqr * count ** (-1 / 3);
  const width = histogramWidth(rule, study.step, study.decimalStep);
  const ruleText = (value: number): string => plainDecimal(significant(value, 4));
  const printed = inputsThatReproduce({ iqr }, (v) => 2 * v.iqr * count ** (-1 / 3), ruleText);
  return [
    work(
      'histogram',
      words('width'),
      width,
      [
        {
          caption: null,
          formula: row(num(2), words('IQR '), power(n, words('−1/3'))),
          withNumbers: row(
            num(2),
            '×',
            num(printed.iqr),
            '×',
            power(num(count), words('−1/3')),
            '=',
            num(ruleText(rule)),
            words(', moved to '),
            num(plainDecimal(width)),
          ),
        },
      ],
      'histogram',
      'freedman-diaconis',
      { inputs: [input(sym('h'), study.step, 'h'), input(n, count, 'n')] },
    ),
  ];
}

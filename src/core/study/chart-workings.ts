import type { Working } from '../contract/models/study-model.ts';
import { chartConstants } from '../stats/control-constants.ts';
import { frac, num, root, row, sigmaHat, sub, sym, words, xBar } from './math-node.ts';
import type { Study } from './study.ts';
import { input, shown, work } from './study-working.ts';
import { inputsThatReproduce } from './working-numbers.ts';
import { n } from './working-symbols.ts';

/** Workings of the control limits, of those of the spread, of the judgement of stability, and of the rules for runs. */
export function chartWorkings(study: Study, unit: string): Working[] {
  const { chart, readings } = study;
  const found: Working[] = [];
  const d = readings.decimals + 1;
  if (chart.center !== null && chart.lower !== null && chart.upper !== null && chart.sigma !== null) {
    const { center, lower, upper, sigma } = chart;
    const size = chart.singles ? 1 : study.subgroup;
    const printed = inputsThatReproduce({ center, sigma }, bothLimits, d);
    function bothLimits(v: { readonly center: number; readonly sigma: number }): readonly number[] {
      const half = (3 * v.sigma) / Math.sqrt(size);
      return [v.center - half, v.center + half];
    }
    const rootN = size === 1 ? null : root(num(size));
    found.push(
      work(
        'controlLimits',
        words(chart.singles ? 'limits for single readings' : `limits for means of ${size}`),
        upper,
        [
          {
            caption: null,
            formula: row(
              sym('x', 'bar'),
              '±',
              size === 1 ? row(num(3), sigmaHat) : frac(row(num(3), sigmaHat), root(sub(n, 'i'))),
            ),
            withNumbers: row(
              num(printed.center),
              '±',
              rootN ? frac(row(num(3), '×', num(printed.sigma)), rootN) : row(num(3), '×', num(printed.sigma)),
              '=',
              shown(lower, d),
              words(' to '),
              shown(upper, d),
              words(` ${unit}`),
            ),
          },
        ],
        'control-limits',
        'charts',
        {
          inputs: [
            input(xBar, printed.center, 'mean'),
            input(sigmaHat, printed.sigma, 'sigma'),
            input(sym('N'), size, 'N'),
          ],
        },
      ),
    );
  }
  if (chart.spreadCenter !== null && chart.spreadUpper !== null && chart.spreadLower !== null) {
    const size = chart.singles ? 2 : study.subgroup;
    const constants = chartConstants(size);
    const [lowName, highName, low, high] =
      chart.spreadKind === 's'
        ? (['B3', 'B4', constants.B3, constants.B4] as const)
        : (['D3', 'D4', constants.D3, constants.D4] as const);
    const bar =
      chart.spreadKind === 's' ? sym('s', 'bar') : chart.spreadKind === 'range' ? sym('R', 'bar') : sym('MR', 'bar');
    const { spreadCenter } = chart;
    const printed = inputsThatReproduce(
      { center: spreadCenter, low, high },
      (v) => [v.center * v.low, v.center * v.high],
      d + 1,
    );
    found.push(
      work(
        'spreadLimits',
        bar,
        chart.spreadUpper,
        [
          {
            caption: null,
            formula: row(sym(lowName), bar, words(' to '), sym(highName), bar),
            withNumbers: row(
              num(printed.low),
              '×',
              num(printed.center),
              '=',
              shown(chart.spreadLower, d + 1),
              words(' to '),
              num(printed.high),
              '×',
              num(printed.center),
              '=',
              shown(chart.spreadUpper, d + 1),
              words(` ${unit}`),
            ),
          },
        ],
        'spread-limits',
        'chart-constants',
        { inputs: [input(bar, printed.center, 'spread'), input(sym('N'), size, 'N')] },
      ),
    );
  }
  if (chart.stability) {
    const { beyondAllowed, runsAllowed } = chart.stability;
    const m = chart.points.length;
    found.push(
      work(
        'stability',
        words('signals'),
        chart.beyond + chart.runs,
        [
          {
            caption: null,
            formula:
              m <= 25
                ? row(words('signals'), '=', num(0), words(' up to 25 points'))
                : row(
                    words('99 % points of Binomial('),
                    sym('m'),
                    words(', 0.0027) and Poisson('),
                    sym('m'),
                    words('/512)'),
                  ),
            withNumbers: row(
              num(chart.beyond),
              words(` beyond three sigma${m <= 25 ? '' : ` (at most ${beyondAllowed})`}, `),
              num(chart.runs),
              words(` runs of nine${m <= 25 ? '' : ` (at most ${runsAllowed})`}`),
            ),
          },
        ],
        'by-count',
        'nelson',
        { inputs: [input(sym('m'), m, 'm')], fromReadings: false },
      ),
    );
  }
  return found;
}

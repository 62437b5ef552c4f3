import type { Working } from '../contract/models/study-model.ts';
import { c4, rangeConstants } from '../stats/control-constants.ts';
import { plainDecimal } from '../text/format.ts';
import { frac, num, power, root, row, sigmaHat, sub, sym, words } from './math-node.ts';
import type { Study } from './study.ts';
import { input, type Line, meaning, shown, work } from './study-working.ts';
import { stabilityUnmet } from './unmet-conditions.ts';
import { inputsThatReproduce, significant } from './working-numbers.ts';
import { n, nu, s } from './working-symbols.ts';

/** Working of the deviation within groups, by the estimator of the study. */
export function withinWorking(study: Study, unit: string): Working[] {
  if (!study.withinSigma.ok) return [];
  const { sigma, degreesOfFreedom, parts, statistic, runs } = study.withinSigma.value;
  const d = study.readings.decimals + 3;
  const lines: Line[] = [];
  const full = study.subgroup;
  switch (study.within) {
    case 'pooled': {
      const printed = inputsThatReproduce({ squares: statistic }, (v) => Math.sqrt(v.squares / degreesOfFreedom), d);
      lines.push({
        caption: null,
        formula: row(
          sigmaHat,
          '=',
          root(
            frac(
              row(words('Σ'), '(', sub(n, 'i'), '−', num(1), ')', power(sub(s, 'i'), '2')),
              row(words('Σ'), '(', sub(n, 'i'), '−', num(1), ')'),
            ),
          ),
        ),
        withNumbers: row(
          root(frac(num(printed.squares), num(degreesOfFreedom))),
          '=',
          shown(sigma, d),
          words(` ${unit}`),
        ),
      });
      break;
    }
    case 's-bar':
    case 'r-bar': {
      const isS = study.within === 's-bar';
      const constant = isS ? c4(full) : rangeConstants(full).d2;
      const name = isS ? sub(sym('c'), '4') : sub(sym('d'), '2');
      const each = isS ? sub(s, 'i') : sub(sym('R'), 'i');
      const printed = inputsThatReproduce({ sum: sigma * parts }, (v) => v.sum / parts, d);
      lines.push({
        caption: null,
        formula: row(sigmaHat, '=', frac(num(1), sym('k')), words('Σ'), frac(each, row(name, '(', sub(n, 'i'), ')'))),
        withNumbers: row(
          frac(num(1), num(parts)),
          '×',
          num(printed.sum),
          '=',
          shown(sigma, d),
          words(` ${unit}; `),
          name,
          words(`(${full}) = `),
          num(plainDecimal(significant(constant, 7))),
        ),
      });
      break;
    }
    case 'mr-bar':
    case 'mr-median': {
      const factor = study.within === 'mr-bar' ? 1.128379167 : 0.953872552;
      const printed = inputsThatReproduce({ range: statistic }, (v) => v.range / factor, d);
      const symbol = study.within === 'mr-bar' ? sym('MR', 'bar') : words('median MR');
      lines.push({
        caption: null,
        formula: row(sigmaHat, '=', frac(symbol, num(factor))),
        withNumbers: row(frac(num(printed.range), num(factor)), '=', shown(sigma, d), words(` ${unit}`)),
      });
    }
  }
  lines.push({
    caption: meaning('nu'),
    formula: nu,
    withNumbers: num(plainDecimal(significant(degreesOfFreedom, 7))),
  });
  return [
    work(
      'within',
      sigmaHat,
      sigma,
      lines,
      study.within,
      study.within === 'mr-median' ? 'simulation' : study.within === 'pooled' ? 'charts' : 'chart-constants',
      {
        inputs: [
          input(sym('k'), parts, 'k'),
          ...(runs > 0 ? [] : [input(sym('N'), full, 'N')]),
          input(nu, significant(degreesOfFreedom, 7), 'nu'),
        ],
        unmet: stabilityUnmet(study),
      },
    ),
  ];
}

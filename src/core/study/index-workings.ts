/** Workings of the capability indices. */
import type { Working } from '../contract/models/study-model.ts';
import { plainDecimal } from '../text/format.ts';
import { chiSquareLine } from './chi-square-line.ts';
import { frac, num, power, root, row, sigmaHat, sub, sym, xBar } from './math-node.ts';
import { nearerWorking } from './nearer-index-working.ts';
import { percentileWorking } from './percentile-index-working.ts';
import type { Study } from './study.ts';
import { indexDecimals, input, type Rest, shown, work } from './study-working.ts';
import { indexUnmet } from './unmet-conditions.ts';
import { inputsThatReproduce, significant } from './working-numbers.ts';
import { L, nu, s, U } from './working-symbols.ts';

/** Workings of every index that was computed. */
export function indexWorkings(study: Study): Working[] {
  const { limits } = study.readings;
  const { moments } = study;
  const found: Working[] = [];
  if (!moments) return found;
  const within = study.withinSigma.ok ? study.withinSigma.value : null;
  for (const name of ['Ppk', 'Pp', 'Cpk', 'Cp', 'Cpm', 'Cm', 'Cmk'] as const) {
    const outcome = study.indices[name];
    if (!outcome.ok) continue;
    const figure = outcome.value;
    const ofWithin = name === 'Cpk' || name === 'Cp';
    const sigma = ofWithin ? (within?.sigma ?? 0) : (moments.standardDeviation ?? 0);
    const freedom = ofWithin ? (within?.degreesOfFreedom ?? 0) : moments.n - 1;
    const sigmaSymbol = ofWithin ? sigmaHat : s;
    const base: Rest = { unmet: indexUnmet(study, figure) };
    if (figure.method === 'percentile') {
      const working = percentileWorking(study, name, figure, base);
      if (working) found.push(working);
    } else if (name === 'Ppk' || name === 'Cpk' || name === 'Cmk') {
      found.push(nearerWorking(name, figure, limits, moments.mean, moments.n, sigma, freedom, sigmaSymbol, base));
    } else if (name === 'Cpm') {
      if (limits.low === null || limits.high === null || limits.target === null) continue;
      const { low, high, target } = limits;
      const printed = inputsThatReproduce(
        { mean: moments.mean, s: sigma },
        (v) => (high - low) / (6 * Math.sqrt(v.s ** 2 + (v.mean - target) ** 2)),
        indexDecimals,
      );
      const xi2 = ((moments.mean - target) / sigma) ** 2;
      const boyles = (moments.n * (1 + xi2) ** 2) / (1 + 2 * xi2);
      found.push(
        work(
          name,
          sym(name),
          figure.value,
          [
            {
              caption: null,
              formula: row(
                sym(name),
                '=',
                frac(
                  row(U, '−', L),
                  row(num(6), root(row(power(s, '2'), '+', power(row('(', xBar, '−', sub(sym('T'), '0'), ')'), '2')))),
                ),
              ),
              withNumbers: row(
                frac(
                  row(num(plainDecimal(high)), '−', num(plainDecimal(low))),
                  row(
                    num(6),
                    root(
                      row(
                        power(num(printed.s), '2'),
                        '+',
                        power(row('(', num(printed.mean), '−', num(plainDecimal(target)), ')'), '2'),
                      ),
                    ),
                  ),
                ),
                '=',
                shown(figure.value, indexDecimals),
              ),
            },
            chiSquareLine(figure, boyles),
          ],
          'boyles',
          'boyles',
          {
            ...base,
            inputs: [
              input(U, high, 'U'),
              input(L, low, 'L'),
              input(sub(sym('T'), '0'), target, 'T0'),
              input(xBar, printed.mean, 'mean'),
              input(s, printed.s, 's'),
              input(nu, significant(boyles, 7), 'nu'),
            ],
          },
        ),
      );
    } else if (limits.low !== null && limits.high !== null) {
      const { low, high } = limits;
      const printed = inputsThatReproduce({ s: sigma }, (v) => (high - low) / (6 * v.s), indexDecimals);
      found.push(
        work(
          name,
          sym(name),
          figure.value,
          [
            {
              caption: null,
              formula: row(sym(name), '=', frac(row(U, '−', L), row(num(6), sigmaSymbol))),
              withNumbers: row(
                frac(row(num(plainDecimal(high)), '−', num(plainDecimal(low))), row(num(6), '×', num(printed.s))),
                '=',
                shown(figure.value, indexDecimals),
              ),
            },
            chiSquareLine(figure, freedom),
          ],
          'chi-square',
          'e-handbook-indices',
          {
            ...base,
            inputs: [
              input(U, high, 'U'),
              input(L, low, 'L'),
              input(sigmaSymbol, printed.s, ofWithin ? 'sigma' : 's'),
              input(nu, significant(freedom, 7), 'nu'),
            ],
          },
        ),
      );
    }
  }
  return found;
}

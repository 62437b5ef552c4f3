/** Workings of how well a distribution fits. */
import type { Working } from '../contract/models/study-model.ts';
import { andersonDarlingBranch, andersonDarlingP } from '../stats/anderson-darling.ts';
import type { FittedModel } from '../stats/fitted-model.ts';
import { plainDecimal, roundedText } from '../text/format.ts';
import { histogramWorking } from './histogram-working.ts';
import { frac, type MathNode, num, op, power, row, sub, sym, words, xBar } from './math-node.ts';
import type { Study } from './study.ts';
import { input, type Line, meaning, shown, work } from './study-working.ts';
import { inputsThatReproduce, significant } from './working-numbers.ts';
import { n, s } from './working-symbols.ts';

/** A true minus in text that is no number node. */
const minus = (text: string): string => text.replace('-', '−');

function aiccNumbers(model: FittedModel, value: number | null, count: number): MathNode {
  const { logLikelihood, parameterCount: k } = model;
  if (logLikelihood === null || value === null)
    return words('not computed: the readings themselves have no likelihood');
  const printed = inputsThatReproduce(
    { l: logLikelihood },
    (v) => -2 * v.l + 2 * k + (2 * k * (k + 1)) / (count - k - 1),
    2,
  );
  return row(
    op('−'),
    num(2),
    '×',
    '(',
    num(printed.l),
    ')',
    '+',
    num(2),
    '×',
    num(k),
    '+',
    frac(row(num(2), '×', num(k), '×', '(', num(k), '+', num(1), ')'), row(num(count), '−', num(k), '−', num(1))),
    '=',
    shown(value, 2),
  );
}

/** p of the fit by bootstrap, where it was asked for. */
function goodnessLine(study: Study): Line[] {
  const goodness = study.bootstrap?.goodness ?? null;
  if (!study.bootstrap || !goodness || goodness.p === null || study.seed === null) return [];
  const fitted = study.bootstrap.replicates - study.bootstrap.failed;
  return [
    {
      caption: meaning('fit-p'),
      formula: row(
        sym('p'),
        '=',
        frac(
          row(num(1), '+', words('number of simulated A² at or above that of the readings')),
          row(sym('B'), '+', num(1)),
        ),
      ),
      withNumbers: row(
        frac(row(num(1), '+', num(goodness.atLeast)), row(num(fitted), '+', num(1))),
        '=',
        shown(goodness.p, 4),
        words(`; A² = ${plainDecimal(significant(goodness.observed, 5))}, MT19937, seed ${study.seed}`),
      ),
    },
  ];
}

/** Decimals of A* from which p comes out to three digits. */
function digitsForP(adjusted: number, p: number): number {
  for (let decimals = 3; decimals < 12; decimals++) {
    const again = andersonDarlingP(Number(roundedText(adjusted, decimals))).p;
    if (again.toPrecision(3) === p.toPrecision(3)) return decimals;
  }
  return 12;
}

const pOf = (p: number): string => (p < 1e-6 ? p.toExponential(2) : plainDecimal(significant(p, 3)));

/** p of A* by the branch of the table that holds it. */
function tablePoint(adjusted: number, p: number, atMost: boolean): Line {
  const { terms, oneMinus } = andersonDarlingBranch(adjusted);
  const [a, b, c] = terms;
  const polynomial = (x: MathNode): MathNode =>
    row(num(a), b < 0 ? '−' : '+', num(Math.abs(b)), '×', x, c < 0 ? '−' : '+', num(Math.abs(c)), '×', power(x, '2'));
  const whole = (x: MathNode): MathNode =>
    oneMinus ? row(num(1), '−', power(sym('e'), polynomial(x))) : power(sym('e'), polynomial(x));
  if (atMost) {
    return {
      caption: null,
      formula: row(sym('p'), '<', num('1e-20')),
      withNumbers: row(sym('A*'), words(' is above 10, beyond the table')),
    };
  }
  return {
    caption: null,
    formula: row(sym('p'), '=', whole(sym('A*'))),
    withNumbers: row(whole(num(plainDecimal(adjusted))), '=', num(pOf(p))),
  };
}

/** Workings of the histogram, tests of normality, model and AICc, probability plot and outlier test. */
export function modelWorkings(study: Study): Working[] {
  const found: Working[] = histogramWorking(study);
  if (study.andersonDarling.ok) {
    const { statistic, adjusted, p, atMost } = study.andersonDarling.value;
    const count = study.values.length;
    const adjustedDecimals = digitsForP(adjusted, p);
    const printed = inputsThatReproduce(
      { statistic },
      (v) => v.statistic * (1 + 0.75 / count + 2.25 / count ** 2),
      adjustedDecimals,
    );
    found.push(
      work(
        'andersonDarling',
        power(sym('A'), '2'),
        statistic,
        [
          {
            caption: null,
            formula: row(
              power(sym('A'), '2'),
              '=',
              '−',
              n,
              '−',
              frac(num(1), n),
              words('Σ '),
              '(',
              num(2),
              sym('i'),
              '−',
              num(1),
              ')',
              '(',
              words('ln '),
              sub(sym('F'), 'i'),
              '+',
              words('ln '),
              '(',
              num(1),
              '−',
              sub(sym('F'), 'n + 1 − i'),
              ')',
              ')',
            ),
            withNumbers: num(printed.statistic),
          },
          {
            caption: null,
            formula: row(
              sym('A*'),
              '=',
              power(sym('A'), '2'),
              '(',
              num(1),
              '+',
              frac(num('0.75'), n),
              '+',
              frac(num('2.25'), power(n, '2')),
              ')',
            ),
            withNumbers: row(
              num(printed.statistic),
              '×',
              '(',
              num(1),
              '+',
              frac(num('0.75'), num(count)),
              '+',
              frac(num('2.25'), power(num(count), '2')),
              ')',
              '=',
              shown(adjusted, adjustedDecimals),
            ),
          },
          tablePoint(Number(roundedText(adjusted, adjustedDecimals)), p, atMost),
        ],
        'anderson-darling',
        'dagostino-stephens',
        { inputs: [input(n, study.values.length, 'n')] },
      ),
    );
  }
  if (study.shapiroWilk.ok) {
    const { statistic, p } = study.shapiroWilk.value;
    found.push(
      work(
        'shapiroWilk',
        sym('W'),
        statistic,
        [
          {
            caption: null,
            formula: row(
              sym('W'),
              '=',
              frac(
                power(row('(', words('Σ a'), sym('x'), ')'), '2'),
                row(words('Σ'), power(row('(', sym('x'), '−', xBar, ')'), '2')),
              ),
            ),
            withNumbers: row(num(plainDecimal(significant(statistic, 6))), words(', p = '), num(pOf(p))),
          },
        ],
        'shapiro-wilk',
        'royston',
        { inputs: [input(n, study.values.length, 'n')] },
      ),
    );
  }
  const fit = study.fits.find((one) => one.name === study.choices.model);
  if (fit?.model) {
    found.push(
      work(
        'model',
        words(fit.name),
        fit.aicc,
        [
          {
            caption: null,
            formula: row(
              words('AICc'),
              '=',
              op('−'),
              num(2),
              sym('ℓ'),
              '+',
              num(2),
              sym('k'),
              '+',
              frac(row(num(2), sym('k'), '(', sym('k'), '+', num(1), ')'), row(n, '−', sym('k'), '−', num(1))),
            ),
            withNumbers: aiccNumbers(fit.model, fit.aicc, study.values.length),
          },
          {
            caption: meaning('parameters'),
            formula: words('parameters'),
            withNumbers: words(
              Object.entries(fit.model.parameters)
                .map(([name, value]) => `${name} ${minus(plainDecimal(significant(value, 7)))}`)
                .join(', ') || 'none',
            ),
          },
          ...goodnessLine(study),
        ],
        fit.name === 'empirical' ? 'empirical' : 'maximum-likelihood',
        'aicc',
        { inputs: [input(n, study.values.length, 'n')] },
      ),
      work(
        'probabilityPlot',
        sub(sym('p'), 'i'),
        null,
        [
          {
            caption: null,
            formula: row(sub(sym('p'), 'i'), '=', frac(row(sym('i'), '−', num('0.3175')), row(n, '+', num('0.365')))),
            withNumbers: row(
              words('first and last: '),
              row(num(1), '−', power(num('0.5'), frac(num(1), num(study.values.length)))),
              '=',
              num(plainDecimal(significant(1 - 0.5 ** (1 / study.values.length), 5))),
              words(', '),
              num(plainDecimal(significant(0.5 ** (1 / study.values.length), 7))),
            ),
          },
        ],
        'probability-plot',
        'filliben',
        { inputs: [input(n, study.values.length, 'n')] },
      ),
    );
  }
  if (study.grubbs) {
    const { statistic, critical } = study.grubbs;
    found.push(
      work(
        'outliers',
        sym('G'),
        statistic,
        [
          {
            caption: null,
            formula: row(
              sym('G'),
              '=',
              frac(row(words('max |'), sym('x'), '−', xBar, words('|')), s),
              words(' on normal scores'),
            ),
            withNumbers: row(
              num(plainDecimal(significant(statistic, 5))),
              words(statistic > critical ? ', above ' : ', not above '),
              num(plainDecimal(significant(critical, 5))),
              words(`; generalised ESD finds ${study.outliers.filter((one) => one.test === 'esd').length}`),
            ),
          },
        ],
        'outliers',
        'grubbs',
        { inputs: [input(n, study.values.length, 'n')] },
      ),
    );
  }
  return found;
}

import type { Working } from '../contract/models/study-model.ts';
import { expectedShareNormal } from '../stats/expected-share.ts';
import { normalQuantile, normalSurvival } from '../stats/normal-distribution.ts';
import { plainDecimal } from '../text/format.ts';
import { said } from '../text/said.ts';
import { frac, type MathNode, num, op, row, sym, words, xBar } from './math-node.ts';
import type { Study } from './study.ts';
import { input, interval, type Line, work } from './study-working.ts';
import { stabilityUnmet } from './unmet-conditions.ts';
import { inputsThatReproduce, significant } from './working-numbers.ts';
import { L, n, s, U } from './working-symbols.ts';

/** Workings of the share outside the limits, found and expected. */
export function shareWorkings(study: Study): Working[] {
  const found: Working[] = [];
  const count = study.values.length;
  if (count > 0 && study.outsideInterval) {
    found.push(
      work(
        'observed',
        words('share outside'),
        study.outsideCount / count,
        [
          {
            caption: null,
            formula: frac(words('outside'), n),
            withNumbers: row(
              frac(num(study.outsideCount), num(count)),
              '=',
              num(plainDecimal(significant(study.outsideCount / count, 5))),
            ),
          },
          {
            caption: interval,
            formula: words('beta quantiles at 2.5 % and 97.5 %'),
            withNumbers: row(
              num(plainDecimal(significant(study.outsideInterval.low, 5))),
              words(' to '),
              num(plainDecimal(significant(study.outsideInterval.high, 5))),
            ),
          },
        ],
        'clopper-pearson',
        'clopper-pearson',
        { inputs: [input(words('outside'), study.outsideCount, 'count'), input(n, count, 'n')] },
      ),
    );
  }
  const { expected, moments } = study;
  if (expected && moments) {
    const { low, high } = study.readings.limits;
    const normal = study.choices.model === 'normal';
    // Shares far out are written with a power of ten, not with a hundred zeros.
    const ppm = (value: number): string => {
      const rounded = significant(value * 1e6, 4);
      return rounded > 0 && rounded < 1e-4 ? rounded.toExponential() : plainDecimal(rounded);
    };
    const terms: MathNode[] = [];
    const numbers: MathNode[] = [];
    const printed = inputsThatReproduce(
      { mean: moments.mean, sd: moments.standardDeviation ?? 0 },
      (v) => expectedShareNormal(study.readings.limits, v.mean, v.sd, count).value,
      ppm,
    );
    const { mean, sd } = printed;
    if (low !== null) {
      terms.push(row(words('Φ'), '(', frac(row(L, '−', xBar), s), ')'));
      numbers.push(row(words('Φ'), '(', frac(row(num(plainDecimal(low)), '−', num(mean)), num(sd)), ')'));
    }
    if (high !== null) {
      if (terms.length > 0) {
        terms.push(op('+'));
        numbers.push(op('+'));
      }
      terms.push(row(words('Φ'), '(', frac(row(xBar, '−', U), s), ')'));
      numbers.push(row(words('Φ'), '(', frac(row(num(mean), '−', num(plainDecimal(high))), num(sd)), ')'));
    }
    const lines: Line[] = [
      {
        caption: null,
        formula: normal ? row(...terms) : row(words('F('), L, words(') + 1 − F('), U, words(')')),
        withNumbers: row(...(normal ? [...numbers, op('=')] : []), num(ppm(expected.value)), words(' in a million')),
      },
    ];
    if (expected.low95 !== null && expected.high95 !== null) {
      lines.push({
        caption: interval,
        formula: normal
          ? row(
              words('Φ(−('),
              sym('q'),
              '±',
              sym('z'),
              words(' se(p)/φ('),
              sym('q'),
              words('))), '),
              sym('q'),
              '=',
              words('−Φ⁻¹(p)'),
            )
          : words('bootstrap, percentile ends'),
        withNumbers: row(
          ...(normal ? probitNumbers(expected.value, expected.low95, expected.high95, ppm) : []),
          num(ppm(expected.low95)),
          words(' to '),
          num(ppm(expected.high95)),
          words(' in a million'),
        ),
      });
    }
    found.push(
      work(
        'expectedPpm',
        words('expected outside'),
        expected.value * 1e6,
        lines,
        normal ? 'expected-normal' : 'expected-model',
        normal ? 'probit' : 'percentile',
        {
          inputs: [input(xBar, mean, 'mean'), input(s, sd, 's'), input(n, count, 'n')],
          unmet: [
            ...stabilityUnmet(study),
            ...(expected.value * count < 1 ? [said('study.caution.far-outside', {})] : []),
          ],
        },
      ),
    );
  }
  return found;
}

/** The interval of the expected share on the probit scale with its numbers: Φ(−(q ± half)). */
function probitNumbers(value: number, low95: number, high95: number, ppm: (share: number) => string): MathNode[] {
  const q = -normalQuantile(value);
  const half = -normalQuantile(low95) - q;
  const printed = inputsThatReproduce(
    { q, half },
    (v) => [normalSurvival(v.q + v.half), normalSurvival(v.q - v.half)],
    ppm,
  );
  // Where the share is nearly 1 the scale turns over: what is printed must still give the ends.
  if (ppm(normalSurvival(q - half)) !== ppm(high95)) return [];
  return [words('Φ(−('), num(printed.q), op('±'), num(printed.half), words('))'), op('=')];
}

import type { Working } from '../contract/models/study-model.ts';
import { guardBand } from '../stats/guard-band.ts';
import { plainDecimal, roundedText } from '../text/format.ts';
import { said } from '../text/said.ts';
import { frac, type MathNode, num, power, root, row, sub, sym, words } from './math-node.ts';
import type { Study } from './study.ts';
import { input, type Line, shown, work } from './study-working.ts';
import { inputsThatReproduce, significant } from './working-numbers.ts';
import { L, U } from './working-symbols.ts';

/** A fraction that is raised to a power. */
const inBrackets = (node: MathNode): MathNode => row('(', node, ')');

/** Workings of what the tool can prove: ratios, guard band, Ppk at the permitted error. */
export function toolWorkings(study: Study, unit: string): Working[] {
  const { measurement } = study;
  const { limits } = study.readings;
  const a = measurement.permissible;
  const found: Working[] = [];
  const unmet = [said('study.work.unmet.permissible', {})];
  if (a !== null && measurement.accuracyRatio !== null && limits.low !== null && limits.high !== null) {
    const at = limits.target ?? (limits.low + limits.high) / 2;
    found.push(
      work(
        'accuracyRatio',
        words('accuracy ratio'),
        measurement.accuracyRatio,
        [
          {
            caption: null,
            formula: frac(row(U, '−', L), row(num(2), sym('a'), sub(sym('T'), '0'))),
            withNumbers: row(
              frac(
                row(num(plainDecimal(limits.high)), '−', num(plainDecimal(limits.low))),
                row(num(2), '×', num(plainDecimal(a)), '×', num(plainDecimal(at))),
              ),
              '=',
              shown(measurement.accuracyRatio, 2),
            ),
          },
        ],
        'accuracy-ratio',
        'accuracy-ratio',
        { inputs: [input(sym('a'), a, 'a')], fromReadings: false },
      ),
    );
  }
  const { certificate } = measurement;
  const expanded = certificate ? significant(certificate.expanded, 12) : null;
  if (expanded !== null && measurement.uncertaintyRatio !== null && limits.low !== null && limits.high !== null) {
    const at = limits.target ?? (limits.low + limits.high) / 2;
    found.push(
      work(
        'uncertaintyRatio',
        words('uncertainty ratio'),
        measurement.uncertaintyRatio,
        [
          {
            caption: null,
            formula: frac(row(U, '−', L), row(num(2), sub(sym('U'), '95'))),
            withNumbers: row(
              frac(
                row(num(plainDecimal(limits.high)), '−', num(plainDecimal(limits.low))),
                row(num(2), '×', num(plainDecimal(expanded)), '×', num(plainDecimal(at))),
              ),
              '=',
              shown(measurement.uncertaintyRatio, 2),
            ),
          },
        ],
        'uncertainty-ratio',
        'definition',
        { inputs: [input(sub(sym('U'), '95'), expanded, 'U95')], fromReadings: false },
      ),
    );
  }
  if (!measurement.several && (measurement.guardLow !== null || measurement.guardHigh !== null)) {
    const lines: Line[] = [];
    const d = study.readings.decimals + 1;
    for (const [limit, sign, result] of [
      [limits.low, 1, measurement.guardLow],
      [limits.high, -1, measurement.guardHigh],
    ] as const) {
      if (limit === null || result === null) continue;
      const X = sign === 1 ? L : U;
      const side = sign === 1 ? '+' : '−';
      const plain = num(plainDecimal(limit));
      const step = frac(power(num(plainDecimal(study.step)), '2'), num(12));
      if (certificate && expanded !== null) {
        const printed = inputsThatReproduce(
          { deviation: certificate.deviation },
          (v) =>
            (limit + sign * guardBand(limit, a ?? 0, study.step, (certificate.expanded / 2) * Math.abs(limit)).width) *
            (1 + v.deviation),
          d,
        );
        lines.push({
          caption: null,
          formula: row(
            '(',
            X,
            side,
            num('1.645'),
            root(
              row(
                power(inBrackets(frac(row(sub(sym('U'), '95'), X), num(2))), '2'),
                '+',
                frac(power(sym('h'), '2'), num(12)),
              ),
            ),
            ')',
            '(',
            num(1),
            '+',
            sym('D'),
            ')',
          ),
          withNumbers: row(
            '(',
            plain,
            side,
            num('1.645'),
            '×',
            root(row(power(inBrackets(frac(row(num(plainDecimal(expanded)), '×', plain), num(2))), '2'), '+', step)),
            ')',
            '×',
            '(',
            num(1),
            '+',
            '(',
            num(printed.deviation),
            ')',
            ')',
            '=',
            shown(result, d),
            words(` ${unit}`),
          ),
        });
      } else if (a !== null) {
        lines.push({
          caption: null,
          formula: row(
            X,
            side,
            num('1.645'),
            root(
              row(
                power(inBrackets(frac(row(sym('a'), X), root(num(3)))), '2'),
                '+',
                frac(power(sym('h'), '2'), num(12)),
              ),
            ),
          ),
          withNumbers: row(
            plain,
            side,
            num('1.645'),
            '×',
            root(row(power(inBrackets(frac(row(num(plainDecimal(a)), '×', plain), root(num(3)))), '2'), '+', step)),
            '=',
            shown(result, d),
            words(` ${unit}`),
          ),
        });
      }
    }
    found.push(
      work(
        'guardBand',
        words('proved inside'),
        measurement.guardLow ?? measurement.guardHigh,
        lines,
        certificate ? 'guard-band-certificate' : 'guard-band',
        'jcgm',
        {
          inputs: [
            ...(expanded !== null
              ? [input(sub(sym('U'), '95'), expanded, 'U95')]
              : a === null
                ? []
                : [input(sym('a'), a, 'a')]),
            ...(certificate ? [input(sym('D'), significant(certificate.deviation, 8), 'D')] : []),
            input(sym('h'), study.step, 'h'),
          ],
          fromReadings: false,
          unmet: certificate ? [said('study.work.unmet.certificate', {})] : unmet,
        },
      ),
    );
  }
  if (measurement.atError) {
    const { high, low, smaller } = measurement.atError;
    const sign = high <= low ? 1 : -1;
    // One factor for all readings: mean and standard deviation scale with it.
    const { moments } = study;
    const applied = a === null || !moments ? null : { mean: moments.mean / (1 + sign * a) };
    const s = moments?.standardDeviation ?? null;
    const sd = a === null || s === null ? null : s / (1 + sign * a);
    const lines: Line[] = [];
    if (study.percentile && a !== null) {
      lines.push({
        caption: null,
        formula: row(
          words('Ppk of '),
          frac(sym('x'), row(num(1), '±', sym('a'))),
          words(', quantiles of the fitted distribution'),
        ),
        withNumbers: row(shown(smaller, 2), words(`; the other edge gives ${roundedText(Math.max(high, low), 2)}`)),
      });
    } else if (a !== null && applied && sd !== null) {
      const nearHigh =
        limits.low === null || (limits.high !== null && limits.high - applied.mean <= applied.mean - limits.low);
      const limit = (nearHigh ? limits.high : limits.low) ?? 0;
      const printed = inputsThatReproduce(
        { mean: applied.mean, sd },
        (v) => (nearHigh ? limit - v.mean : v.mean - limit) / (3 * v.sd),
        2,
      );
      lines.push({
        caption: null,
        formula: row(words('Ppk of '), frac(sym('x'), row(num(1), sign === 1 ? '+' : '−', sym('a')))),
        withNumbers: row(
          frac(
            nearHigh
              ? row(num(plainDecimal(limit)), '−', num(printed.mean))
              : row(num(printed.mean), '−', num(plainDecimal(limit))),
            row(num(3), '×', num(printed.sd)),
          ),
          '=',
          shown(smaller, 2),
          words(`; the other edge gives ${roundedText(Math.max(high, low), 2)}`),
        ),
      });
    } else {
      lines.push({
        caption: null,
        formula: row(words('Ppk of '), frac(sym('x'), row(num(1), '±', sub(sym('a'), 'i')))),
        withNumbers: row(shown(smaller, 2), words(`; the other edge gives ${roundedText(Math.max(high, low), 2)}`)),
      });
    }
    found.push(
      work('ppkAtPermittedError', words('Ppk at the permitted error'), smaller, lines, 'at-error', 'definition', {
        inputs: a === null ? [] : [input(sym('a'), a, 'a')],
        unmet,
      }),
    );
  }
  return found;
}

/** How every figure of a study came about (design: working). */
import type { Working } from '../contract/models/study-model.ts';
import { andersonDarlingBranch, andersonDarlingP } from '../stats/anderson-darling.ts';
import { chiSquareQuantile } from '../stats/chi-square-distribution.ts';
import { c4, chartConstants, rangeConstants } from '../stats/control-constants.ts';
import { expectedShareNormal } from '../stats/expected-share.ts';
import type { FittedModel } from '../stats/fitted-model.ts';
import { guardBand } from '../stats/guard-band.ts';
import { histogramWidth } from '../stats/histogram.ts';
import { normalQuantile, normalSurvival, z975 } from '../stats/normal-distribution.ts';
import { quantileType7 } from '../stats/quantiles.ts';
import { sampleMoments } from '../stats/sample-moments.ts';
import { plainDecimal, roundedText } from '../text/format.ts';
import { type Said, said } from '../text/said.ts';
import type { IndexFigure, Study } from './compute-study.ts';
import { frac, type MathNode, num, op, power, root, row, sigmaHat, sub, sym, words, xBar } from './math-node.ts';
import { inputsThatReproduce, significant } from './working-numbers.ts';

const U = sym('U');
const L = sym('L');
const s = sym('s');
const n = sym('n');
const nu = sym('ν');

type Line = Working['lines'][number];

/** Decimals of indices in a working. */
const indexDecimals = 3;

const interval = said('study.work.interval', {});
const meaning = (what: string): Said => said('study.work.meaning', { what });
const method = (name: string): Said => said('study.work.method', { method: name });
const source = (name: string): Said => said('study.work.source', { source: name });
const title = (figure: string): Said => said('study.work.title', { figure });

/** A fraction that is raised to a power. */
const inBrackets = (node: MathNode): MathNode => row('(', node, ')');

/** A number that is raised to a power: a negative one in brackets. */
const bracketedMinus = (text: string): MathNode => (text.startsWith('-') ? row('(', num(text), ')') : num(text));

/** Decimals of a printed number. */
const decimalsOf = (text: string): number => (text.includes('.') ? text.length - text.indexOf('.') - 1 : 0);

/** Text of a value to some decimals, as a node. */
const shown = (value: number, decimals: number): MathNode => num(roundedText(value, decimals));
const input = (symbol: MathNode, value: number | string, what: string): Working['inputs'][number] => ({
  symbol,
  text: typeof value === 'number' ? plainDecimal(value) : value,
  meaning: meaning(what),
});

/** Every working of a study, by figure. */
export function studyWorkings(study: Study, unit: string): Record<string, Working> {
  const all: Working[] = [
    ...description(study, unit),
    ...withinWorking(study, unit),
    ...indexWorkings(study),
    ...chartWorkings(study, unit),
    ...modelWorkings(study),
    ...shareWorkings(study),
    ...toolWorkings(study, unit),
    ...planWorking(study),
  ];
  return Object.fromEntries(all.map((working) => [working.figure, working]));
}

/** A true minus in text that is no number node. */
const minus = (text: string): string => text.replace('-', '−');

interface Rest {
  readonly inputs?: Working['inputs'];
  readonly unmet?: readonly Said[];
  readonly fromReadings?: boolean;
}

function work(
  figure: string,
  symbol: MathNode,
  value: number | null,
  lines: readonly Line[],
  methodName: string,
  sourceName: string,
  rest: Rest = {},
): Working {
  return {
    figure,
    title: title(figure),
    symbol,
    value,
    lines,
    inputs: rest.inputs ?? [],
    method: method(methodName),
    source: source(sourceName),
    unmet: rest.unmet ?? [],
    fromReadings: rest.fromReadings ?? true,
  };
}

function description(study: Study, unit: string): Working[] {
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

function withinWorking(study: Study, unit: string): Working[] {
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

/** Conditions of indices and sigmas that the data do not meet. */
function stabilityUnmet(study: Study): Said[] {
  const status = study.chart.stability?.status ?? null;
  if (status === 'not-stable') return [said('study.work.unmet.not-stable', {})];
  return status === null ? [said('study.work.unmet.not-judged', {})] : [];
}

function indexUnmet(study: Study, figure: IndexFigure): Said[] {
  const unmet = stabilityUnmet(study);
  if (figure.method === 'normal' && study.andersonDarling.ok && study.andersonDarling.value.p < 0.05) {
    unmet.push(said('study.work.unmet.not-normal', { p: study.andersonDarling.value.p }));
  }
  if (study.betweenGroupsP !== null && study.betweenGroupsP < 0.01)
    unmet.push(said('study.work.unmet.groups-differ', {}));
  if (figure.method === 'percentile') {
    unmet.push(
      said('study.work.unmet.coverage', {
        nominal: '95 %',
        found: '94.1 % at n = 50, 94.7 % at n = 125 (lognormal Ppk)',
      }),
    );
  } else if (study.within === 'mr-median') unmet.push(said('study.caution.mr-median', {}));
  if (study.readings.unit !== 'deg') unmet.push(said('study.work.unmet.permissible', {}));
  return unmet;
}

function indexWorkings(study: Study): Working[] {
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

function chiSquareLine(figure: IndexFigure, freedom: number): Line {
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

function nearerWorking(
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

function percentileWorking(study: Study, name: string, figure: IndexFigure, base: Rest): Working | null {
  if (!study.percentile) return null;
  const { limits } = study.readings;
  const [a, b, c] = study.percentile.quantiles;
  const quantile = (p: string): MathNode => sub(sym('X'), p);
  let line: Line;
  let symbols: Working['inputs'];
  if (name === 'Pp' || name === 'Cm') {
    if (limits.low === null || limits.high === null) return null;
    const { low, high } = limits;
    const printed = inputsThatReproduce({ a, c }, (v) => (high - low) / (v.c - v.a), indexDecimals);
    line = {
      caption: null,
      formula: row(sym(name), '=', frac(row(U, '−', L), row(quantile('99.865'), '−', quantile('0.135')))),
      withNumbers: row(
        frac(row(num(plainDecimal(high)), '−', num(plainDecimal(low))), row(num(printed.c), '−', num(printed.a))),
        '=',
        shown(figure.value, indexDecimals),
      ),
    };
    symbols = [
      input(quantile('0.135'), printed.a, 'x'),
      input(quantile('99.865'), printed.c, 'x'),
      input(U, high, 'U'),
      input(L, low, 'L'),
    ];
  } else {
    const up = limits.high === null ? null : (limits.high - b) / (c - b);
    const down = limits.low === null ? null : (b - limits.low) / (b - a);
    const high = down === null || (up !== null && up <= down);
    const limit = (high ? limits.high : limits.low) ?? 0;
    const outer = high ? c : a;
    const printed = inputsThatReproduce({ b, outer }, (v) => (limit - v.b) / (v.outer - v.b), indexDecimals);
    const far = quantile(high ? '99.865' : '0.135');
    line = {
      caption: null,
      formula: row(
        sym(name),
        '=',
        high
          ? frac(row(U, '−', quantile('50')), row(far, '−', quantile('50')))
          : frac(row(quantile('50'), '−', L), row(quantile('50'), '−', far)),
      ),
      withNumbers: row(
        high
          ? frac(row(num(plainDecimal(limit)), '−', num(printed.b)), row(num(printed.outer), '−', num(printed.b)))
          : frac(row(num(printed.b), '−', num(plainDecimal(limit))), row(num(printed.b), '−', num(printed.outer))),
        '=',
        shown(figure.value, indexDecimals),
      ),
    };
    symbols = [
      input(quantile('50'), printed.b, 'x'),
      input(far, printed.outer, 'x'),
      input(high ? U : L, limit, high ? 'U' : 'L'),
    ];
  }
  const lines = [line];
  if (figure.low95 !== null && figure.high95 !== null && study.bootstrap && study.seed !== null) {
    lines.push({
      caption: interval,
      formula: row(words('50th and 1950th of the sorted values of '), sym('B'), '=', num(1999), words(' replicates')),
      withNumbers: row(
        shown(figure.low95, indexDecimals),
        words(' to '),
        shown(figure.high95, indexDecimals),
        words(`; MT19937, seed ${study.seed}, ${study.bootstrap.failed} fits failed`),
      ),
    });
  }
  return work(name, sym(name), figure.value, lines, 'percentile', 'percentile', { ...base, inputs: symbols });
}

function chartWorkings(study: Study, unit: string): Working[] {
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

function histogramWorking(study: Study): Working[] {
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

function modelWorkings(study: Study): Working[] {
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

function shareWorkings(study: Study): Working[] {
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

function toolWorkings(study: Study, unit: string): Working[] {
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
    const applied = a === null ? null : sampleMoments(study.values.map((value) => value / (1 + sign * a)));
    const sd = applied?.standardDeviation ?? null;
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

function planWorking(study: Study): Working[] {
  const { more, requirement } = study;
  if (!more || !requirement) return [];
  const outcome = study.indices[requirement.index];
  if (!outcome.ok) return [];
  const v = outcome.value.value;
  const count = study.values.length;
  const freedom = requirement.index === 'Cpk' && study.withinSigma.ok ? study.withinSigma.value.degreesOfFreedom : null;
  const c = 1 / 9 + (v * v * (freedom === null ? 1 : count / freedom)) / 2;
  const z90 = 1.2815515655446004;
  const half = z975 * Math.sqrt(c / (count + more.evenOdds));
  const all = count + more.ninetyPercent;
  const ninety = z975 * Math.sqrt(c / all) + (z90 * Math.sqrt(c * more.ninetyPercent)) / all;
  const printed = inputsThatReproduce(
    { z: z975, z90, c },
    (x) => [
      x.z * Math.sqrt(x.c / (count + more.evenOdds)),
      x.z * Math.sqrt(x.c / all) + (x.z90 * Math.sqrt(x.c * more.ninetyPercent)) / all,
    ],
    5,
  );
  const gap = (): MathNode[] => [num(plainDecimal(significant(v, 7))), op('−'), num(plainDecimal(requirement.value))];
  return [
    work(
      'moreReadings',
      words('more readings'),
      more.evenOdds,
      [
        {
          caption: null,
          formula: row(sym('z'), root(frac(sym('c'), row(n, '+', words('add')))), '≤', sym('v'), '−', sym('R')),
          withNumbers: row(
            num(printed.z),
            '×',
            root(frac(num(printed.c), row(num(count), '+', num(more.evenOdds)))),
            '=',
            shown(half, 5),
            '≤',
            ...gap(),
          ),
        },
        {
          caption: meaning('nine-in-ten'),
          formula: row(
            sym('z'),
            root(frac(sym('c'), row(n, '+', words('add')))),
            '+',
            frac(row(num('1.28155'), root(row(sym('c'), words('add')))), row(n, '+', words('add'))),
            '≤',
            sym('v'),
            '−',
            sym('R'),
          ),
          withNumbers: row(
            num(printed.z),
            '×',
            root(frac(num(printed.c), num(all))),
            '+',
            frac(row(num(printed.z90), '×', root(row(num(printed.c), '×', num(more.ninetyPercent)))), num(all)),
            '=',
            shown(ninety, 5),
            '≤',
            ...gap(),
          ),
        },
      ],
      'more-readings',
      'definition',
      { inputs: [input(sym('R'), requirement.value, 'R'), input(n, count, 'n')] },
    ),
  ];
}

/** How the figures of one tool came about: formula, the same with numbers, inputs, method, source. */
import t from '@stdlib/stats-base-dists-t';
import type { Lane } from '../contract/models/drift-model.ts';
import type { MathNode, Working } from '../contract/models/study-model.ts';
import { mannKendall, tiedVariance } from '../stats/mann-kendall.ts';
import { pettitt } from '../stats/pettitt.ts';
import { stepAndRamp } from '../stats/step-and-ramp.ts';
import type { TheilSen } from '../stats/theil-sen.ts';
import { frac, num, op, power, root, row, sub, sym, words } from '../study/math-node.ts';
import { inputsThatReproduce } from '../study/working-numbers.ts';
import { plainDecimal, roundedText } from '../text/format.ts';
import { type Said, said } from '../text/said.ts';
import type { DriftAnalysis } from './analysis.ts';
import { type LaneResult, type LevelLane, type MoveEstimate, readingsMade } from './lane.ts';
import type { ToolFacts } from './tool-row.ts';

const z95 = 1.959963984540054;

/** Every figure of the detail with its working, in the order in which the screen shows the figures. */
export function driftWorkings(analysis: DriftAnalysis, facts: ToolFacts, laneBlocks: number): Working[] {
  const out: Working[] = [];
  for (const lane of ['own', 'response'] as const) {
    const level = facts[lane];
    if (level) out.push(...laneWorkings(lane, analysis, analysis[lane], level, facts.row[lane], facts));
  }
  out.push(...checkWorkings(facts));
  out.push(falseAlarms(analysis, laneBlocks));
  return out;
}

type LaneName = 'own' | 'response';

function laneWorkings(
  lane: LaneName,
  analysis: DriftAnalysis,
  result: LaneResult,
  level: LevelLane,
  shown: Lane,
  facts: ToolFacts,
): Working[] {
  const { quantity } = shown;
  const out: Working[] = [];
  const from = level.moved === true && level.change ? level.blocks[level.change.at] : (facts.sinceBlock ?? undefined);
  const move = from === undefined ? null : result.moveFrom(level.level, from);
  const doubt = from === undefined ? 0 : (result.input.doubt?.(level.level, from, null) ?? 0);
  if (move && shown.since) out.push(moveWorking(lane, quantity, result, move, doubt));
  if (level.changeAdjustedP !== null) out.push(changeWorking(lane, quantity, level));
  if (level.baseline !== null && level.ewma.length > 0) out.push(ewmaWorking(lane, quantity, analysis, level, shown));
  const trend = result.trends()[level.level];
  if (trend?.trend) out.push(trendWorking(lane, quantity, level, trend.trend, trend.adjustedP));
  if (shown.smallestVisible !== null) out.push(visibleWorking(lane, quantity, analysis, facts, shown));
  return out;
}

function moveWorking(lane: LaneName, quantity: string, result: LaneResult, move: MoveEstimate, doubt: number): Working {
  const ofCells = Math.sqrt(Math.max(0, move.standardError ** 2 - doubt));
  const ofLine = Math.sqrt(doubt);
  const quantile = t.quantile(0.975, move.degreesOfFreedom);
  const text = inputsThatReproduce(
    { estimate: move.estimate, ofCells, ofLine, quantile },
    (v) => {
      const half = v.quantile * Math.sqrt(v.ofCells ** 2 + v.ofLine ** 2);
      return [v.estimate - half, v.estimate + half];
    },
    3,
  );
  const cells = result.input.rows.length;
  const { clusters } = result.input.rows;
  const se = root(row(power(num(text.ofCells), '2'), '+', power(num(text.ofLine), '2')));
  return {
    figure: `${lane}-move`,
    title: said('drift.working.move', { quantity }),
    symbol: sym('d'),
    value: move.estimate,
    lines: [
      {
        caption: said('drift.working.interval', {}),
        formula: row(
          sym('d'),
          '±',
          sym('t'),
          root(row(power(sub(sym('s'), 'cells'), '2'), '+', power(sub(sym('s'), 'line'), '2'))),
        ),
        withNumbers: row(
          num(text.estimate),
          '±',
          num(text.quantile),
          op('×'),
          se,
          '=',
          ends(move.low95, move.high95, 3),
        ),
      },
      {
        caption: said('drift.working.degrees', {}),
        formula: row(sym('ν'), '=', sym('G'), '−', sym('p')),
        withNumbers: row(num(clusters), '−', num(clusters - move.degreesOfFreedom), '=', num(move.degreesOfFreedom)),
      },
    ],
    inputs: [
      input(sym('d'), text.estimate, said('drift.working.in.coefficient', {})),
      input(sub(sym('s'), 'cells'), text.ofCells, said('drift.working.in.cluster-error', {})),
      input(sub(sym('s'), 'line'), text.ofLine, said('drift.working.in.line-error', { used: lane === 'response' })),
      input(sym('t'), text.quantile, said('drift.working.in.quantile', { degrees: move.degreesOfFreedom })),
      input(sym('N'), String(cells), said('drift.working.in.cells', {})),
      input(sym('G'), String(clusters), said('drift.working.in.clusters', {})),
      input(sym('p'), String(clusters - move.degreesOfFreedom), said('drift.working.in.rank', {})),
    ],
    method: said('drift.working.method.move', { response: lane === 'response' }),
    source: said('drift.working.source.liang', {}),
    unmet: [],
    fromReadings: true,
  };
}

function changeWorking(lane: LaneName, quantity: string, level: LevelLane): Working {
  const m = level.percent.length;
  const found = pettitt(level.percent);
  const dated = stepAndRamp(level.percent);
  const lines: Working['lines'][number][] = [
    {
      caption: said('drift.working.pettitt', {}),
      formula: row(
        sym('p'),
        '=',
        words('min'),
        '(',
        num(1),
        ',',
        num(2),
        words('exp'),
        '(',
        '−',
        frac(row(num(6), power(sym('K'), '2')), row(power(sym('m'), '3'), '+', power(sym('m'), '2'))),
        ')',
        ')',
      ),
      withNumbers: row(
        words('min'),
        '(',
        num(1),
        ',',
        num(2),
        words('exp'),
        '(',
        '−',
        frac(
          row(num(6), '×', power(num(plainDecimal(found.k)), '2')),
          row(power(num(m), '3'), '+', power(num(m), '2')),
        ),
        ')',
        ')',
        '=',
        num(pText(found.p)),
      ),
    },
  ];
  if (dated) {
    lines.push({
      caption: said('drift.working.bic', {}),
      formula: row(
        words('BIC'),
        '=',
        sym('m'),
        words('ln'),
        '(',
        frac(words('RSS'), sym('m')),
        ')',
        '+',
        num(3),
        words('ln'),
        sym('m'),
      ),
      withNumbers: row(
        words('step '),
        num(roundedText(dated.bicStep, 2)),
        ',',
        words(' ramp '),
        num(roundedText(dated.bicRamp, 2)),
        ',',
        words(dated.shape === 'step' ? ' so a step' : ' so a ramp'),
      ),
    });
  }
  return {
    figure: `${lane}-change`,
    title: said('drift.working.change', { quantity }),
    symbol: sym('p'),
    value: found.p,
    lines,
    inputs: [
      input(sym('K'), plainDecimal(found.k), said('drift.working.in.pettitt', {})),
      input(sym('m'), String(m), said('drift.working.in.blocks', {})),
      input(words('adjusted p'), pText(level.changeAdjustedP ?? found.p), said('drift.working.in.adjusted', {})),
      ...(dated
        ? [
            input(
              words('blocks before'),
              `${dated.shape === 'step' ? dated.stepAfter : dated.rampAfter} (${dated.interval[0]} to ${dated.interval[1]})`,
              said('drift.working.in.span', {}),
            ),
          ]
        : []),
    ],
    method: said('drift.working.method.change', {}),
    source: said('drift.working.source.change', {}),
    unmet: level.moved === null ? [said('drift.working.unmet.tangled', {})] : [],
    fromReadings: true,
  };
}

function ewmaWorking(
  lane: LaneName,
  quantity: string,
  analysis: DriftAnalysis,
  level: LevelLane,
  shown: Lane,
): Working {
  const { lambda, limitFactor } = analysis.ewma;
  const chartFrom = (level.baselineTo ?? 0) + 1;
  // Where it went outside, else where it stands today.
  const outside = shown.alarmAt !== null && level.alarm !== null;
  const k = outside ? level.alarm! - chartFrom : level.ewma.length - 1;
  const i = k + 1;
  const b = chartFrom - (level.baselineFrom ?? 0);
  const sigma = level.sigma ?? 0;
  const baseline = level.baseline ?? 0;
  const limit = level.limit[k]!;
  const text = inputsThatReproduce(
    { sigma },
    (v) =>
      limitFactor *
      v.sigma *
      Math.sqrt((lambda / (2 - lambda)) * (1 - (1 - lambda) ** (2 * i)) + (1 - (1 - lambda) ** i) ** 2 / b),
    3,
  );
  const fade = (exponent: MathNode): MathNode =>
    row(num(1), '−', power(row('(', num(1), '−', sym('λ'), ')'), exponent));
  const fadeNumbers = (exponent: number): MathNode =>
    row(num(1), '−', power(num(plainDecimal(Number((1 - lambda).toPrecision(12)))), String(exponent)));
  const at = analysis.table.blockAt[level.blocks[chartFrom + k]!]!;
  return {
    figure: `${lane}-ewma`,
    title: said('drift.working.ewma', { quantity }),
    symbol: sym('h'),
    value: limit,
    lines: [
      {
        caption: said('drift.working.limit', { at }),
        formula: row(
          sym('h'),
          '=',
          sym('L'),
          sym('σ'),
          root(
            row(
              frac(sym('λ'), row(num(2), '−', sym('λ'))),
              '(',
              fade(row(num(2), sym('i'))),
              ')',
              '+',
              frac(power(row('(', fade(sym('i')), ')'), '2'), sym('b')),
            ),
          ),
        ),
        withNumbers: row(
          num(plainDecimal(limitFactor)),
          '×',
          num(text.sigma),
          '×',
          root(
            row(
              frac(num(plainDecimal(lambda)), row(num(2), '−', num(plainDecimal(lambda)))),
              '(',
              fadeNumbers(2 * i),
              ')',
              '+',
              frac(power(row('(', fadeNumbers(i), ')'), '2'), num(b)),
            ),
          ),
          '=',
          num(roundedText(limit, 3)),
        ),
      },
      {
        caption: said('drift.working.outside', { outside }),
        formula: row(
          words('|'),
          sub(sym('z'), sym('i')),
          '−',
          sub(sym('z'), '0'),
          words('|'),
          op(outside ? '>' : '≤'),
          sym('h'),
        ),
        withNumbers: row(
          words('|'),
          num(roundedText(level.ewma[k]!, 3)),
          '−',
          bracketed(roundedText(baseline, 3)),
          words('|'),
          '=',
          num(roundedText(Math.abs(level.ewma[k]! - baseline), 3)),
        ),
      },
    ],
    inputs: [
      input(sym('λ'), plainDecimal(lambda), said('drift.working.in.weight', {})),
      input(sym('L'), plainDecimal(limitFactor), said('drift.working.in.factor', { tools: analysis.tools.length })),
      input(sym('σ'), text.sigma, said('drift.working.in.sigma', {})),
      input(sym('b'), String(b), said('drift.working.in.baseline', {})),
      input(sym('i'), String(i), said('drift.working.in.position', {})),
      input(sub(sym('z'), '0'), roundedText(baseline, 3), said('drift.working.in.level', {})),
    ],
    method: said('drift.working.method.ewma', {}),
    source: said('drift.working.source.ewma', {}),
    unmet: lane === 'response' && level.alarm !== null && !outside ? [said('drift.working.unmet.alarm', {})] : [],
    fromReadings: true,
  };
}

function trendWorking(
  lane: LaneName,
  quantity: string,
  level: LevelLane,
  trend: TheilSen,
  adjustedP: number | null,
): Working {
  const m = level.percent.length;
  const x = readingsMade(level);
  const kendall = mannKendall(level.percent, { x, slope: trend.slope });
  const variance = tiedVariance(level.percent);
  const factor = Math.max(1, kendall.factor);
  const text = inputsThatReproduce(
    { variance, factor },
    (v) => (kendall.s - Math.sign(kendall.s)) / Math.sqrt(v.variance * v.factor),
    3,
  );
  const c = z95 * Math.sqrt(variance);
  return {
    figure: `${lane}-trend`,
    title: said('drift.working.trend', { quantity }),
    symbol: sym('b'),
    value: trend.slope,
    lines: [
      {
        caption: said('drift.working.slope', {}),
        formula: row(
          sym('b'),
          '=',
          words('median of '),
          frac(row(sub(sym('y'), 'j'), '−', sub(sym('y'), 'i')), row(sub(sym('x'), 'j'), '−', sub(sym('x'), 'i'))),
        ),
        withNumbers: row(
          words(`median of ${trend.pairs} slopes`),
          '=',
          num(roundedText(trend.slope, 3)),
          ',',
          ends(trend.low95, trend.high95, 3),
        ),
      },
      {
        caption: said('drift.working.ranks', {}),
        formula: row(frac(row(sym('N'), '∓', num('1.96'), root(row(words('var '), sym('S')))), num(2))),
        withNumbers: row(
          frac(row(num(trend.pairs), '∓', num(roundedText(c, 2))), num(2)),
          '=',
          num(roundedText((trend.pairs - c) / 2, 2)),
          ',',
          num(roundedText((trend.pairs + c) / 2, 2)),
        ),
      },
      {
        caption: said('drift.working.kendall', {}),
        formula: row(
          sym('z'),
          '=',
          frac(row(sym('S'), '−', words('sign '), sym('S')), root(row(words('var '), sym('S'), '×', sym('f')))),
        ),
        withNumbers: row(
          frac(
            row(num(kendall.s), '−', bracketed(String(Math.sign(kendall.s)))),
            root(row(num(text.variance), '×', num(text.factor))),
          ),
          '=',
          num(roundedText(kendall.z, 3)),
          ',',
          words(' p '),
          '=',
          num(pText(kendall.p)),
        ),
      },
    ],
    inputs: [
      input(sym('m'), String(m), said('drift.working.in.blocks', {})),
      input(sym('x'), roundedText(x[m - 1] ?? 0, 3), said('drift.working.in.thousands', {})),
      input(sym('S'), String(kendall.s), said('drift.working.in.kendall', {})),
      input(sym('f'), text.factor, said('drift.working.in.hamed', {})),
      input(words('adjusted p'), pText(adjustedP ?? kendall.p), said('drift.working.in.adjusted', {})),
    ],
    method: said('drift.working.method.trend', {}),
    source: said('drift.working.source.trend', {}),
    unmet: [],
    fromReadings: true,
  };
}

function visibleWorking(
  lane: LaneName,
  quantity: string,
  analysis: DriftAnalysis,
  facts: ToolFacts,
  shown: Lane,
): Working {
  const smallest = shown.smallestVisible!;
  const error = smallest / 1.96;
  const text = inputsThatReproduce({ error }, (v) => 1.96 * v.error, 3);
  const lines: Working['lines'][number][] = [
    {
      caption: said('drift.working.visible-line', {}),
      formula: row(num('1.96'), '×', sym('s')),
      withNumbers: row(num('1.96'), '×', num(text.error), '=', num(roundedText(smallest, 3))),
    },
  ];
  const perPercent = analysis.responsePerPercent(facts.tool);
  const permissible = facts.row.checks.permissiblePercent;
  if (lane === 'response' && perPercent !== null && permissible !== null) {
    const each = Math.abs(perPercent);
    const numbers = inputsThatReproduce({ each, permissible }, (v) => v.each * v.permissible, 3);
    lines.push({
      caption: said('drift.working.expected', {}),
      formula: row(sym('a'), '×', sym('r')),
      withNumbers: row(num(numbers.permissible), '×', num(numbers.each), '=', num(roundedText(each * permissible, 3))),
    });
  }
  return {
    figure: `${lane}-visible`,
    title: said('drift.working.visible', { quantity }),
    symbol: sym('v'),
    value: smallest,
    lines,
    inputs: [input(sym('s'), text.error, said('drift.working.in.error', {}))],
    method: said('drift.working.method.visible', { response: lane === 'response' }),
    source: said('drift.working.source.own', {}),
    unmet: shown.blind ? [said('drift.working.unmet.blind', {})] : [],
    fromReadings: true,
  };
}

function checkWorkings(facts: ToolFacts): Working[] {
  const { latest, forecast, permissiblePercent } = facts.row.checks;
  if (!latest) return [];
  const pulls = inputsThatReproduce(
    Object.fromEntries(latest.pullPercent.map((value, k) => [String(k), value])),
    (v) => latest.pullPercent.reduce((sum, _, k) => sum + v[String(k)]!, 0) / latest.pulls,
    3,
  );
  const d = latest.deviationPercent;
  const got = inputsThatReproduce({ d }, (v) => 100 * (1 / (1 + v.d / 100) - 1), 2);
  const sum = latest.pullPercent.flatMap((_, k) => [...(k === 0 ? [] : [op('+')]), bracketed(pulls[String(k)]!)]);
  const out: Working[] = [
    {
      figure: 'check-deviation',
      title: said('drift.working.deviation', { at: latest.at }),
      symbol: sym('D'),
      value: d,
      lines: [
        {
          caption: said('drift.working.deviation-line', {}),
          formula: row(
            sym('D'),
            '=',
            words('mean of '),
            num(100),
            frac(row(words('shown'), '−', words('reference')), words('reference')),
          ),
          withNumbers: row(frac(row(...sum), num(latest.pulls)), '=', num(roundedText(d, 3))),
        },
        {
          caption: said('drift.working.got', {}),
          formula: row(num(100), '(', frac(num(1), row(num(1), '+', frac(sym('D'), num(100)))), '−', num(1), ')'),
          withNumbers: row(
            num(100),
            '(',
            frac(num(1), row(num(1), '+', frac(num(got.d), num(100)))),
            '−',
            num(1),
            ')',
            '=',
            num(roundedText(100 * (1 / (1 + d / 100) - 1), 2)),
          ),
        },
      ],
      inputs: [
        input(words('nominal'), plainDecimal(latest.nominal), said('drift.working.in.nominal', { unit: latest.unit })),
        input(
          words('pulls'),
          String(latest.pulls),
          said('drift.working.in.pulls', { permissible: permissiblePercent }),
        ),
      ],
      method: said('drift.working.method.deviation', {}),
      source: said('drift.working.source.deviation', {}),
      unmet: latest.passed === null ? [said('drift.working.unmet.range', {})] : [],
      fromReadings: false,
    },
  ];
  if (forecast && permissiblePercent !== null) {
    out.push({
      figure: 'check-forecast',
      title: said('drift.working.forecast', {}),
      symbol: sym('b'),
      value: forecast.percentPerDay,
      lines: [
        {
          caption: said('drift.working.forecast-line', {
            at: forecast.crossesOn,
            low: forecast.low95,
            high: forecast.high95,
          }),
          formula: row(sym('D'), '=', sym('a'), '+', sym('b'), sym('x'), '=', op('±'), sub(sym('D'), 'permitted')),
          withNumbers: row(sym('b'), '=', num(roundedText(forecast.percentPerDay, 5)), words(' % a day')),
        },
      ],
      inputs: [
        input(words('checks'), String(forecast.checks), said('drift.working.in.checks', {})),
        input(sub(sym('D'), 'permitted'), plainDecimal(permissiblePercent), said('drift.working.in.permitted', {})),
      ],
      method: said('drift.working.method.forecast', {}),
      source: said('drift.working.source.own', {}),
      unmet: [],
      fromReadings: false,
    });
  }
  return out;
}

function falseAlarms(analysis: DriftAnalysis, laneBlocks: number): Working {
  const expected = laneBlocks / analysis.ewma.runLength;
  return {
    figure: 'false-alarms',
    title: said('drift.working.false-alarms', {}),
    symbol: sym('E'),
    value: expected,
    lines: [
      {
        caption: null,
        formula: row(sym('E'), '=', frac(words('shifts of all tools'), words('run length'))),
        withNumbers: row(frac(num(laneBlocks), num(analysis.ewma.runLength)), '=', num(roundedText(expected, 2))),
      },
    ],
    inputs: [
      input(
        words('run length'),
        String(analysis.ewma.runLength),
        said('drift.working.in.run-length', { factor: analysis.ewma.limitFactor }),
      ),
    ],
    method: said('drift.working.method.false-alarms', {}),
    source: said('drift.working.source.ewma', {}),
    unmet: [],
    fromReadings: false,
  };
}

const input = (symbol: MathNode, text: string, meaning: Said): Working['inputs'][number] => ({
  symbol,
  text: text.replace('-', '−'),
  meaning,
});
const ends = (low: number, high: number, decimals: number): MathNode =>
  row(num(roundedText(low, decimals)), words(' to '), num(roundedText(high, decimals)));
/** A number after an operator: negative ones in brackets. */
const bracketed = (text: string): MathNode => (text.startsWith('-') ? row('(', num(text), ')') : num(text));
/** A p-value with three significant digits; very small ones as a bound. */
const pText = (p: number): string => (p < 1e-6 ? '< 0.000001' : plainDecimal(Number(p.toPrecision(3))));

import type { Format } from '../format.ts';

/** The end of an interval, with more digits where one decimal would hide on which side of 0 it lies. */
const end = (value: number, f: Format): string => {
  let decimals = 1;
  while (decimals < 4 && value !== 0 && Math.abs(value) < 0.5 * 10 ** -decimals) decimals++;
  return f.signed(value, decimals);
};

/** Words inside the figures of the Drift and Study screens; also used when figures stand in reports. */
export const figuresDriftStudy = {
  // ---- study: one axis
  'figure.study.title': (a: { joint: string; angle: boolean }, _f: Format) =>
    `${a.joint}: run and control chart, histogram and probability plot on one ${a.angle ? 'angle' : 'torque'} axis`,
  'figure.study.summary': (
    a: {
      n: number;
      groups: number;
      signals: number;
      leftOut: number;
      outside: number;
      low: string | null;
      high: string | null;
    },
    f: Format,
  ) =>
    `${f.number(a.n)} readings in ${f.number(a.groups)} groups; ${
      a.signals === 0
        ? 'no point breaks a rule'
        : `${f.number(a.signals)} ${a.signals === 1 ? 'point breaks' : 'points break'} a rule`
    }; ${a.outside === 0 ? 'no reading' : f.number(a.outside)} outside the limits${
      a.low === null && a.high === null
        ? ' (there are none)'
        : ` (${a.low === null ? `at most ${a.high}` : a.high === null ? `at least ${a.low}` : `${a.low} to ${a.high}`})`
    }; ${f.number(a.leftOut)} left out.`,
  'figure.study.run-means': (a: { n: number; tries: string; groups: number }, f: Format) =>
    `${f.number(a.n)} ${a.tries} and the means of ${f.number(a.groups)} groups`,
  'figure.study.run-singles': (a: { n: number; tries: string }, f: Format) => `${f.number(a.n)} ${a.tries}, one by one`,
  'figure.study.run-pooled': (a: { n: number; columns: number }, f: Format) =>
    `${f.number(a.n)} readings as ${f.number(a.columns)} columns: 5 to 95 %, median, ends as ticks`,
  'figure.study.tries': (a: { attempts: 'first' | 'last' | 'all' }, _f: Format) =>
    ({ first: 'first tries', last: 'last tries', all: 'readings, every try' })[a.attempts],
  'figure.study.histogram': (_: Record<string, never>, _f: Format) => 'Histogram',
  'figure.study.probability': (_: Record<string, never>, _f: Format) => 'Probability plot',
  'figure.study.high-limit': (a: { value: string }, _f: Format) => `high limit ${a.value}`,
  'figure.study.low-limit': (a: { value: string }, _f: Format) => `low limit ${a.value}`,
  'figure.study.tried-limit': (a: { value: string }, _f: Format) => `tried out: ${a.value}`,
  'figure.study.limits-means': (a: { size: number; shortened: number }, f: Format) =>
    `dashed: limits for means of ${f.number(a.size)}${a.shortened > 0 ? ' (wider where a group is shorter)' : ''}`,
  'figure.study.limits-singles': (_: Record<string, never>, _f: Format) => 'dashed: limits for single readings',
  'figure.study.outside-means': (_: Record<string, never>, _f: Format) => 'limits for means',
  'figure.study.outside': (a: { value: string }, _f: Format) => `${a.value}, outside`,
  'figure.study.run-of-9': (a: { value: string }, _f: Format) => `${a.value}, 9th on one side`,
  'figure.study.signal': (a: { value: string }, _f: Format) => `${a.value}, a pattern ends`,
  'figure.study.left-out': (_: Record<string, never>, _f: Format) => 'left out',
  'figure.study.per-width': (a: { width: string; unit: string; model: string | null }, _f: Format) =>
    `per ${a.width} ${a.unit}${a.model === null ? '' : `; line: ${a.model}`}`,
  'figure.study.below-band': (a: { short: boolean }, _f: Format) =>
    a.short ? '% below; 95 % band' : '% below; 95 % band, point by point',
  'figure.study.anderson': (a: { statistic: number; p: number; atMost: boolean; rejected: boolean }, f: Format) =>
    `normal ${a.rejected ? 'rejected' : 'not rejected'}: A² ${f.number(a.statistic, 2)}, p ${
      a.atMost || a.p < 0.0001 ? 'under 0.0001' : f.number(a.p, a.p < 0.01 ? 4 : 2)
    }`,
  'figure.study.fit': (a: { model: string; statistic: number }, f: Format) =>
    `${a.model}: A² ${f.number(a.statistic, 2)}`,
  'figure.study.no-model': (_: Record<string, never>, _f: Format) => 'no model: too few readings',
  'figure.study.phase': (_: Record<string, never>, _f: Format) => 'new phase',
  'figure.study.spread': (a: { kind: 's' | 'range' | 'moving-range' }, _f: Format) =>
    ({ s: 's', range: 'R', 'moving-range': 'MR' })[a.kind],
  'figure.study.model-name': (
    a: {
      name: 'normal' | 'lognormal' | 'weibull' | 'gamma' | 'lognormal-threshold' | 'lognormal-mirrored' | 'empirical';
    },
    _f: Format,
  ) =>
    ({
      normal: 'normal',
      lognormal: 'lognormal',
      weibull: 'Weibull',
      gamma: 'gamma',
      'lognormal-threshold': 'lognormal with threshold',
      'lognormal-mirrored': 'lognormal with threshold, mirrored',
      empirical: 'as observed',
    })[a.name],

  'figure.study.reading-stop': (
    a: {
      value: string;
      unit: string;
      at: number | null;
      tool: string | null;
      leftOut: boolean;
      outside: -1 | 0 | 1;
    },
    f: Format,
  ) =>
    `${a.value} ${a.unit}${a.at === null ? '' : `, ${f.dayMonth(a.at)} ${f.time(a.at)}`}${
      a.tool === null ? '' : `, ${a.tool}`
    }${a.leftOut ? ', left out' : a.outside < 0 ? ', below the low limit' : a.outside > 0 ? ', above the high limit' : ''}`,
  'figure.study.group-stop': (
    a: { group: number; n: number; mean: string; s: string | null; at: number | null; signal: boolean },
    f: Format,
  ) =>
    `group ${f.number(a.group)}${a.at === null ? '' : `, ${f.dayMonth(a.at)}`}: mean of ${f.number(a.n)} ${a.mean}${
      a.s === null ? '' : `, s ${a.s}`
    }${a.signal ? ', outside or a pattern' : ''}`,
  'figure.study.rule': (
    a: {
      rule:
        | 'beyond-3-sigma'
        | '9-on-one-side'
        | '6-rising-or-falling'
        | '14-alternating'
        | '2-of-3-beyond-2-sigma'
        | '4-of-5-beyond-1-sigma'
        | '15-within-1-sigma'
        | '8-beyond-1-sigma';
    },
    _f: Format,
  ) =>
    ({
      'beyond-3-sigma': 'outside its limits',
      '9-on-one-side': '9 in a row on one side of the centre',
      '6-rising-or-falling': '6 in a row rising or falling',
      '14-alternating': '14 in a row up and down in turn',
      '2-of-3-beyond-2-sigma': '2 of 3 beyond 2σ on one side',
      '4-of-5-beyond-1-sigma': '4 of 5 beyond 1σ on one side',
      '15-within-1-sigma': '15 in a row within 1σ',
      '8-beyond-1-sigma': '8 in a row beyond 1σ on either side',
    })[a.rule],

  // ---- tables of figures
  'figure.table.start': (_: Record<string, never>, _f: Format) => 'Start',
  'figure.table.readings': (_: Record<string, never>, _f: Format) => 'Readings',
  'figure.table.own': (_: Record<string, never>, _f: Format) => 'Own, %',
  'figure.table.response': (_: Record<string, never>, _f: Format) => 'Response, %',
  'figure.table.ewma': (_: Record<string, never>, _f: Format) => 'EWMA',
  'figure.table.low': (_: Record<string, never>, _f: Format) => 'Low end',
  'figure.table.high': (_: Record<string, never>, _f: Format) => 'High end',
  'figure.table.group': (_: Record<string, never>, _f: Format) => 'Group',
  'figure.table.name': (_: Record<string, never>, _f: Format) => 'Name',
  'figure.table.index': (_: Record<string, never>, _f: Format) => 'Index',
  'figure.table.value': (_: Record<string, never>, _f: Format) => 'Value',
  'figure.table.required': (_: Record<string, never>, _f: Format) => 'Required',
  'figure.table.note': (_: Record<string, never>, _f: Format) => 'Note',
  'figure.table.mean': (_: Record<string, never>, _f: Format) => 'Mean',
  'figure.table.lower-limit': (_: Record<string, never>, _f: Format) => 'Lower control limit',
  'figure.table.upper-limit': (_: Record<string, never>, _f: Format) => 'Upper control limit',
  'figure.table.signal': (_: Record<string, never>, _f: Format) => 'Signal',
  'figure.table.when': (_: Record<string, never>, _f: Format) => 'When',
  'figure.table.before-since': (a: { since: boolean }, _f: Format) => (a.since ? 'since' : 'before'),

  // ---- study: EWMA and CUSUM
  'figure.study.ewma-title': (_: Record<string, never>, _f: Format) => 'EWMA of the charted points',
  'figure.study.ewma-note': (a: { lambda: number; width: number }, f: Format) =>
    `weight ${f.number(a.lambda, 1)}, limits ${f.number(a.width, 1)}σ, exact for every point`,
  'figure.study.ewma-summary': (a: { points: number; signals: number }, f: Format) =>
    `Exponentially weighted means of ${f.number(a.points)} points; ${
      a.signals === 0 ? 'none lies' : `${f.number(a.signals)} lie${a.signals === 1 ? 's' : ''}`
    } outside the limits.`,
  'figure.study.cusum-title': (_: Record<string, never>, _f: Format) => 'Cumulative sums of the charted points, σ',
  'figure.study.cusum-note': (a: { k: number; h: number }, f: Format) =>
    `k ${f.number(a.k, 1)}, h ${f.number(a.h, 1)}; up: sums of points above the mean, down: below`,
  'figure.study.cusum-summary': (a: { points: number; signals: number }, f: Format) =>
    `Cumulative sums of ${f.number(a.points)} points; ${
      a.signals === 0 ? 'none passes' : `${f.number(a.signals)} pass`
    } the decision value.`,

  // ---- study: indices
  'figure.indices.title': (_: Record<string, never>, _f: Format) =>
    'Indices with 95 % intervals against the requirement',
  'figure.indices.summary': (a: { items: readonly string[] }, f: Format) =>
    a.items.length === 0 ? 'No index could be computed.' : `${f.list(a.items)}.`,
  'figure.indices.item': (
    a: { name: string; value: number; low95: number | null; high95: number | null; required: number | null },
    f: Format,
  ) =>
    `${a.name} ${f.number(a.value, 2)}${
      a.low95 === null || a.high95 === null ? '' : ` (${f.number(a.low95, 2)} to ${f.number(a.high95, 2)})`
    }${a.required === null ? '' : `, required ${f.number(a.required, 2)}`}`,
  'figure.indices.required': (a: { value: number; name: string }, f: Format) =>
    `required ${f.number(a.value, 2)} for ${a.name}`,
  'figure.indices.interval-head': (_: Record<string, never>, _f: Format) => '95 % interval',
  'figure.indices.interval': (a: { low95: number; high95: number }, f: Format) =>
    `${f.number(a.low95, 2)} to ${f.number(a.high95, 2)}`,
  'figure.indices.no-interval': (_: Record<string, never>, _f: Format) => 'no interval',
  'figure.indices.none': (_: Record<string, never>, _f: Format) => 'not computed',

  // ---- drift: lanes
  'figure.lanes.title': (_: Record<string, never>, _f: Format) => 'Tools, most urgent first, three lanes each',
  'figure.lanes.row-title': (a: { tool: string }, _f: Format) => `${a.tool}: own readings, response, checks`,
  'figure.lanes.summary': (a: { tools: number; moved: number }, f: Format) =>
    `${f.number(a.tools)} tools; ${a.moved === 0 ? 'none' : f.number(a.moved)} moved in a lane of its own readings.`,
  'figure.lanes.own': (_: Record<string, never>, _f: Format) => 'Its own readings',
  'figure.lanes.own-unit': (_: Record<string, never>, _f: Format) => '% of target, EWMA',
  'figure.lanes.response': (_: Record<string, never>, _f: Format) => 'Angle at equal torque',
  'figure.lanes.response-short': (_: Record<string, never>, _f: Format) => 'Response',
  'figure.lanes.response-unit': (_: Record<string, never>, _f: Format) => 'change, %, 95 %',
  'figure.lanes.checks': (_: Record<string, never>, _f: Format) => 'Checks',
  'figure.lanes.checks-unit': (_: Record<string, never>, _f: Format) => 'D %, + too much',
  'figure.lanes.nothing': (_: Record<string, never>, _f: Format) => 'no data',
  'figure.lanes.too-few': (a: { blocks: number }, f: Format) =>
    `${f.number(a.blocks)} ${a.blocks === 1 ? 'shift' : 'shifts'} so far`,
  'figure.lanes.not-told': (_: Record<string, never>, _f: Format) => 'cannot be told',
  'figure.lanes.no-checks': (_: Record<string, never>, _f: Format) => 'no check',
  'figure.lanes.blind': (_: Record<string, never>, _f: Format) => 'this lane cannot see it',
  'figure.lanes.swapped': (a: { mixed: boolean }, _f: Format) =>
    a.mixed ? 'angle or torque, by joint' : 'torque at equal angle',
  'figure.lanes.lane-value': (a: { percent: number }, f: Format) => f.signed(a.percent, 1),

  // ---- drift: strips
  'figure.strips.title': (a: { tool: string }, _f: Format) =>
    `${a.tool} over time: its own readings, its response, its checks, each in per cent on one time axis`,
  'figure.strips.summary': (a: { own: string; response: string; checks: string }, _f: Format) =>
    `${a.own} ${a.response} ${a.checks}`.trim(),
  'figure.strips.quantity': (
    a: { quantity: 'torque' | 'angle-at-equal-torque' | 'angle' | 'torque-at-equal-angle' | 'mixed'; own: boolean },
    _f: Format,
  ) =>
    ({
      torque: 'Its own torque, % of target',
      'angle-at-equal-torque': 'Angle at equal torque, % of the usual angle',
      angle: 'Its own angle, % of target',
      'torque-at-equal-angle': 'Torque at equal angle, % of the usual torque',
      mixed: a.own
        ? 'Its own torque or angle at the stop, % of target'
        : 'What it should not change: angle at equal torque, torque at equal angle, %',
    })[a.quantity],
  'figure.strips.checks': (_: Record<string, never>, _f: Format) => 'Checks against the reference, %, + shows too much',
  'figure.strips.moved-at': (a: { at: number }, f: Format) => `Moved at the start of ${f.dayMonth(a.at)}`,
  'figure.strips.shape': (a: { shape: 'step' | 'ramp'; low: number; high: number }, f: Format) => {
    const low = f.dayMonth(a.low);
    const high = f.dayMonth(a.high);
    const shape = a.shape === 'step' ? 'a step' : 'a slope from a kink';
    return low === high ? `${shape}; 95 %: ${high}` : `${shape}; 95 %: ${low} to ${high}`;
  },
  'figure.strips.first-outside': (a: { at: number }, f: Format) => `first outside, ${f.dayMonth(a.at)}`,
  'figure.strips.ewma': (a: { lambda: number; factor: number; blocks: number }, f: Format) =>
    `EWMA, weight ${f.number(a.lambda, 1)}; limits L ${f.number(a.factor, a.factor % 1 === 0 ? 0 : 1)}, with the doubt of the ${f.number(a.blocks)} baseline shifts`,
  'figure.strips.state': (a: { moved: boolean | null; percent: number | null }, f: Format) =>
    `${a.moved === true ? 'moved' : a.moved === false ? 'still' : 'not told'}${
      a.percent === null ? '' : `: ${f.signed(a.percent, 1)} %`
    }`,
  'figure.strips.since': (a: { low95: number; high95: number; at: number }, f: Format) =>
    `${end(a.low95, f)} to ${end(a.high95, f)} since ${f.dayMonth(a.at)}`,
  'figure.strips.visible': (a: { percent: number }, f: Format) => `smallest visible ${f.number(a.percent, 1)}`,
  'figure.strips.blind': (a: { percent: number }, f: Format) =>
    `its permitted error: ${f.number(a.percent, 1)}, not seen`,
  'figure.strips.from-check': (a: { percent: number }, f: Format) =>
    `the check alone would give ${f.signed(a.percent, 1)}`,
  'figure.strips.check': (a: { at: number; percent: number }, f: Format) =>
    `${f.dayMonth(a.at)}: ${f.signed(a.percent, 1)} %`,
  'figure.strips.check-side': (a: { percent: number }, _f: Format) =>
    a.percent < 0
      ? 'shows less than the reference'
      : a.percent > 0
        ? 'shows more than the reference'
        : 'shows what the reference shows',
  'figure.strips.permitted': (a: { percent: number }, f: Format) =>
    `dotted: permitted ± ${f.number(a.percent, a.percent % 1 === 0 ? 0 : 1)} %`,
  'figure.strips.forecast': (a: { on: number }, f: Format) => `crosses ${f.date(a.on).replace(/^\S+ /, '')}`,
  'figure.strips.forecast-span': (a: { low: number; high: number }, f: Format) =>
    `95 %: ${f.date(a.low).replace(/^\S+ /, '')} to ${f.date(a.high).replace(/^\S+ /, '')}`,
  'figure.strips.no-permitted': (_: Record<string, never>, _f: Format) => 'permitted deviation not entered',
  'figure.strips.no-checks': (_: Record<string, never>, _f: Format) => 'No check is held for this tool.',
  'figure.strips.too-few': (a: { blocks: number }, f: Format) =>
    `${f.number(a.blocks)} ${a.blocks === 1 ? 'shift' : 'shifts'}; 20 are needed to date a change`,
  'figure.strips.block': (
    a: { at: number; percent: number; readings: number; ewma: number | null; outside: boolean },
    f: Format,
  ) =>
    `shift of ${f.dayMonth(a.at)} ${f.time(a.at)}: ${f.signed(a.percent, 1)} % from ${f.number(a.readings)} readings${
      a.ewma === null ? '' : `, EWMA ${f.signed(a.ewma, 1)} %`
    }${a.outside ? ', first outside' : ''}`,
  'figure.strips.check-stop': (
    a: { at: number; percent: number; low: number; high: number; pulls: number; passed: boolean | null },
    f: Format,
  ) =>
    `check of ${f.dayMonth(a.at)} ${f.time(a.at)}: ${f.signed(a.percent, 1)} %, ${
      a.pulls === 1
        ? 'one pull: cannot tell bias from scatter'
        : `${f.number(a.pulls)} pulls ${f.signed(a.low, 1)} to ${f.signed(a.high, 1)} %`
    }${a.passed === false ? ', failed' : a.passed === null ? ', not judged' : ''}`,
  'figure.strips.mark': (a: { kind: 'calibration' | 'repair' | 'limit-revision' | 'as-left'; at: number }, f: Format) =>
    `${{ calibration: 'calibrated', repair: 'repaired', 'limit-revision': 'new limits', 'as-left': 'adjusted' }[a.kind]} ${f.dayMonth(a.at)}`,

  // ---- drift: angle against torque
  'figure.scatter.title': (a: { joint: string; across: 'torque' | 'angle' }, _f: Format) =>
    a.across === 'torque' ? `${a.joint}: angle against shown torque` : `${a.joint}: shown torque against angle`,
  'figure.scatter.summary': (
    a: { since: number | null; step: number | null; across: 'torque' | 'angle'; unit: string; drawn: number },
    f: Format,
  ) =>
    `${f.number(a.drawn)} readings drawn; ${
      a.step === null || a.since === null
        ? 'the step between before and since cannot be told'
        : `since ${f.dayMonth(a.since)} ${
            a.across === 'torque'
              ? `${f.signed(a.step, 1)}° at equal torque`
              : `${f.signed(a.step, 2)} ${a.unit} at equal angle`
          }`
    }.`,
  'figure.scatter.since': (
    a: { since: number; step: number; across: 'torque' | 'angle'; unit: string; decimals: number },
    f: Format,
  ) =>
    `since ${f.dayMonth(a.since)}: ${f.signed(a.step, a.decimals)}${
      a.across === 'torque' ? '° at equal torque' : ` ${a.unit} at equal angle`
    }`,
  'figure.scatter.before': (_: Record<string, never>, _f: Format) => 'before',
  'figure.scatter.angle': (_: Record<string, never>, _f: Format) => 'Angle, °',
  'figure.scatter.angle-end': (_: Record<string, never>, _f: Format) => '°',
  'figure.scatter.torque': (a: { unit: string }, _f: Format) => `Torque, ${a.unit} shown`,
  'figure.scatter.torque-end': (a: { unit: string }, _f: Format) => `${a.unit} shown`,

  // ---- drift: intervals in rows
  'figure.moved.title': (a: { tool: string; at: number | null }, f: Format) =>
    a.at === null ? `${a.tool}: what moved` : `${a.tool}: what moved since ${f.dayMonth(a.at)}`,
  'figure.moved.summary': (a: { items: readonly string[]; untold: number }, f: Format) =>
    `${
      a.items.length === 0 ? 'No move excludes zero' : `Moved: ${f.list(a.items)}`
    }${a.untold > 0 ? `; ${f.number(a.untold)} cannot be told` : ''}.`,
  'figure.moved.item': (
    a: { label: string; lane: string; percent: number; low95: number; high95: number },
    f: Format,
  ) => `${a.label}, ${a.lane}, ${f.signed(a.percent, 1)} % (${f.signed(a.low95, 1)} to ${f.signed(a.high95, 1)})`,
  'figure.moved.own': (a: { quantity: string }, _f: Format) => (a.quantity === 'angle' ? 'Angle' : 'Torque'),
  'figure.moved.response': (a: { quantity: string }, _f: Format) =>
    a.quantity === 'torque-at-equal-angle' ? 'Torque' : 'Angle',
  'figure.moved.untold': (_: Record<string, never>, _f: Format) => 'cannot be told',
  'figure.effects.title': (a: { factor: 'tool' | 'operator' | 'joint' }, _f: Format) =>
    `${{ tool: 'Tools', operator: 'Operators', joint: 'Joints' }[a.factor]} against each other, %`,
  'figure.effects.summary': (a: { rows: number; beyond: number }, f: Format) =>
    `${f.number(a.rows)} compared; ${a.beyond === 0 ? 'none' : f.number(a.beyond)} with an interval that excludes zero.`,
};

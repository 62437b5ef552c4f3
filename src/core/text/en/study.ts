import type { Format } from '../format.ts';
import type { Said } from '../said.ts';

/** How many, in words up to ten. */
const countWords = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten'];
const inWords = (count: number, f: Format): string => countWords[count] ?? f.number(count);
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
const plural = (count: number, one: string, many: string): string => (count === 1 ? one : many);

const withinNames: Record<string, string> = {
  pooled: 'pooled',
  's-bar': 'from mean s',
  'r-bar': 'from mean range',
  'mr-bar': 'from mean moving range',
  'mr-median': 'from median moving range',
};

type None = Record<string, never>;

/** Phrases of the study area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const study = {
  'study.name': (_: None, _f: Format) => 'Study',

  // State of the screen
  'study.choose-joint': (a: { name: string }, _f: Format) =>
    a.name === ''
      ? 'Choose a joint to study.'
      : `There is no joint named “${a.name}”. Choose one of the joints in the register.`,
  'study.no-readings': (a: { joint: string }, _f: Format) =>
    `No readings of ${a.joint} in this period with these tools, operators and tries. Widen the period or the tools.`,
  'study.all-left-out': (a: { count: number }, f: Format) =>
    `All ${f.number(a.count)} readings are left out. Put some back to study them.`,
  'study.attribute-only': (a: { joint: string; of: string }, _f: Format) =>
    `No ${a.of} values for ${a.joint}, only pass or fail: a rate with its interval instead, on Review.`,
  'study.too-few': (a: { needed: number; got: number }, f: Format) =>
    `Indices need at least ${f.number(a.needed)} readings; there ${plural(a.got, 'is', 'are')} ${f.number(a.got)}. The run chart is shown.`,
  'study.within-wrong': (a: { within: string; subgroup: number }, _f: Format) =>
    a.subgroup === 1
      ? `Sigma ${withinNames[a.within] ?? a.within} needs groups of two or more; with single readings choose a moving range.`
      : `Sigma ${withinNames[a.within] ?? a.within} goes with single readings only: choose groups of 1, or another sigma.`,

  // Why a figure is not there
  'study.no-limits': (_: None, _f: Format) => 'Not computed: the joint has no limits for this characteristic.',
  'study.limits-equal': (_: None, _f: Format) => 'Not computed: the low and the high limit are equal.',
  'study.needs-two-limits': (_: None, _f: Format) => 'Not computed: needs a low and a high limit.',
  'study.target-not-middle': (_: None, _f: Format) =>
    'Not computed: the target is not the middle of the limits, so this index would punish a good process.',
  'study.within-needs-normal': (_: None, _f: Format) =>
    'Not computed: exists for the normal model only; with another distribution Pp and Ppk are taken from quantiles.',
  'study.no-groups': (_: None, _f: Format) =>
    'Not computed: no group holds two readings or more, so there is no sigma within groups.',
  'study.model-does-not-fit': (_: None, _f: Format) => 'Not computed: the chosen distribution does not fit.',
  'study.not-a-machine-run': (_: None, _f: Format) =>
    'Not computed: needs 50 readings in a row of one tool, one operator and one shift.',
  'study.shapiro-too-many': (_: None, _f: Format) => 'Not computed: the test was made for at most 5000 readings.',
  'study.needs-values': (a: { needed: number; got: number }, f: Format) =>
    `Not computed: needs at least ${f.number(a.needed)}, there ${plural(a.got, 'is', 'are')} ${f.number(a.got)}.`,
  'study.model-needs-positive': (_: None, _f: Format) => 'Does not apply: needs values above zero only.',
  'study.model-no-maximum': (_: None, _f: Format) =>
    'Does not fit: the likelihood has no maximum at a threshold clear of the readings.',
  'study.model-needs-many': (_: None, f: Format) =>
    `Needs at least ${f.number(2731)} readings, the least from which the 0.135 % point has a bound without a model.`,
  'study.model-too-many': (_: None, f: Format) =>
    `Not tried above ${f.number(20_000)} distinct values: the search takes long. It is made when you choose it.`,
  'study.model-needs-25': (_: None, _f: Format) => 'Not tried: needs at least 25 readings.',
  'study.model-no-spread': (_: None, _f: Format) => 'Does not fit: the values have no usable spread.',

  // Models
  'study.model.normal': (_: None, _f: Format) => 'Normal',
  'study.model.lognormal': (_: None, _f: Format) => 'Lognormal',
  'study.model.weibull': (_: None, _f: Format) => 'Weibull',
  'study.model.gamma': (_: None, _f: Format) => 'Gamma',
  'study.model.lognormal-threshold': (_: None, _f: Format) => 'Lognormal above a threshold (stop at target)',
  'study.model.lognormal-mirrored': (_: None, _f: Format) => 'Lognormal below a threshold (mirrored)',
  'study.model.empirical': (_: None, _f: Format) => 'The readings themselves',

  // Verdict
  'study.headline': (
    a: { outcome: string; without: string | null; requirement: boolean; contradicted: boolean },
    _f: Format,
  ) => {
    switch (a.outcome) {
      case 'shown':
        return a.contradicted ? '**Shown by the index, contradicted by the readings.**' : '**Shown.**';
      case 'not-shown-yet':
        return '**Not shown yet.**';
      case 'not-met':
        return '**Not met.**';
      case 'not-stable':
        return a.without === 'shown'
          ? '**Not stable.** Otherwise shown.'
          : a.without === 'not-met'
            ? '**Not stable, and not met.**'
            : '**Not stable, and not shown.**';
      default:
        return a.requirement ? '**Not computed.**' : '**No requirement.**';
    }
  },
  'study.verdict.interval': (
    a: {
      index: string;
      value: number;
      low95: number;
      high95: number;
      required: number;
      decimals: number;
      outcome: string;
    },
    f: Format,
  ) => {
    const d = a.decimals;
    const figures = `${a.index} is ${f.number(a.value, d)}, 95 % interval ${f.number(a.low95, d)} to ${f.number(a.high95, d)}`;
    const required = f.number(a.required, Math.max(2, decimalsOf(a.required)));
    if (a.outcome === 'shown') return `${figures}, at or above the required ${required} even at its lower end.`;
    if (a.outcome === 'not-met') return `${figures}, below the required ${required} even at its upper end.`;
    return `${figures}, below the required ${required} at its lower end.`;
  },
  'study.verdict.estimate': (
    a: { index: string; value: number; required: number; decimals: number; outcome: string },
    f: Format,
  ) =>
    `The estimate is judged, by choice: ${a.index} is ${f.number(a.value, a.decimals)}, ${
      a.outcome === 'shown' ? 'at or above' : 'below'
    } the required ${f.number(a.required, Math.max(2, decimalsOf(a.required)))}.`,
  'study.verdict.no-interval': (a: { index: string; value: number }, f: Format) =>
    `${a.index} is ${f.number(a.value, 2)}, but its interval could not be made, so its lower end cannot be judged.`,
  'study.verdict.no-requirement': (_: None, _f: Format) =>
    'The joint has no class and no requirement was chosen, so there is nothing to judge against.',
  'study.verdict.not-computed': (a: { index: string; why: Said }, f: Format) => `${a.index}: ${f.say(a.why)}`,
  'study.verdict.contradicted': (a: { first: Said; second: Said }, f: Format) => `${f.say(a.first)} ${f.say(a.second)}`,
  'study.verdict.with-stability': (a: { stability: Said; index: Said }, f: Format) =>
    `${f.say(a.stability)} ${f.say(a.index)}`,

  // Stability
  'study.unstable': (
    a: { beyond: number; beyondAllowed: number; runs: number; points: number; singles: boolean },
    f: Format,
  ) => {
    const what = a.singles ? 'readings' : 'group means';
    const parts: string[] = [];
    if (a.beyond > 0) {
      parts.push(
        `${capital(inWords(a.beyond, f))} of ${f.number(a.points)} ${what} ${plural(a.beyond, 'lies', 'lie')} outside ${a.singles ? 'the control' : plural(a.beyond, 'its', 'their')} limits`,
      );
    }
    if (a.runs > 0) {
      const text = `${inWords(a.runs, f)} ${plural(a.runs, 'run', 'runs')} of nine or more on one side of the centre`;
      parts.push(parts.length === 0 ? capital(text) : text);
    }
    return `${f.list(parts)}.`;
  },
  'study.stable': (a: { points: number; singles: boolean }, f: Format) =>
    `None of the ${f.number(a.points)} ${a.singles ? 'readings' : 'group means'} signals.`,
  'study.as-chance': (a: { signals: number; points: number }, f: Format) =>
    `${capital(inWords(a.signals, f))} ${plural(a.signals, 'signal', 'signals')} in ${f.number(a.points)} points: as many as chance gives.`,
  'study.chart-needs': (a: { needed: number; got: number; singles: boolean; baseline: boolean }, f: Format) =>
    `Stability not judged: needs at least ${f.number(a.needed)} ${a.singles ? 'single readings' : 'groups'}${a.baseline ? ' in the baseline' : ''}, there ${plural(a.got, 'is', 'are')} ${f.number(a.got)}.`,
  'study.chart-no-sigma': (_: None, _f: Format) => 'Stability not judged: there is no spread within groups.',
  'study.signal': (a: { rule: string; value: number; decimals: number; singles: boolean }, f: Format) => {
    const what = a.singles ? 'reading' : 'mean';
    const names: Record<string, string> = {
      'beyond-3-sigma': `${f.number(a.value, a.decimals)}, outside the limits for ${a.singles ? 'readings' : 'means'}`,
      '9-on-one-side': `nine ${what}s in a row on one side of the centre`,
      '6-rising-or-falling': `six ${what}s in a row rising or falling`,
      '14-alternating': `fourteen ${what}s in a row alternating`,
      '2-of-3-beyond-2-sigma': `two of three ${what}s beyond two sigma on one side`,
      '4-of-5-beyond-1-sigma': `four of five ${what}s beyond one sigma on one side`,
      '15-within-1-sigma': `fifteen ${what}s in a row within one sigma`,
      '8-beyond-1-sigma': `eight ${what}s in a row beyond one sigma`,
    };
    return names[a.rule] ?? a.rule;
  },

  // What to do next
  'study.next.find': (a: { at: number | null }, f: Format) =>
    a.at === null
      ? '**Before more readings:** find what differed where the chart signals.'
      : `**Before more readings:** find what differed on ${f.dayMonth(a.at)}.`,
  'study.next.more': (a: { evenOdds: number; ninetyPercent: number }, f: Format) =>
    `If the estimate holds, about ${f.number(roundedUp(a.evenOdds))} more readings give even odds of showing it, about ${f.number(roundedUp(a.ninetyPercent))} nine in ten.`,
  'study.next.none': (a: { index: string }, _f: Format) =>
    `More readings would not show it: the estimate of ${a.index} itself does not exceed the requirement.`,
  'study.next.both': (a: { first: Said; second: Said }, f: Format) => `${f.say(a.first)} ${f.say(a.second)}`,

  // The tool
  'study.measurement': (
    a: {
      tools: readonly string[];
      percent: number | null;
      ratio: number | null;
      atError: number | null;
      checkAt: number | null;
      checkPercent: number | null;
      guardLow: number | null;
      guardHigh: number | null;
      provable: boolean;
      certificate: { at: number; expanded: number; deviation: number } | null;
      neither: number | null;
      n: number;
      decimals: number;
    },
    f: Format,
  ) => {
    const parts = ['**Of shown, not applied torque.**'];
    const who = a.tools.length === 1 ? `${a.tools[0]} itself` : `the ${f.number(a.tools.length)} tools themselves`;
    if (a.percent === null) {
      parts.push(
        `Read by ${who}; ${a.tools.length === 1 ? 'its permitted error is' : 'their permitted errors are'} ${a.tools.length > 1 && a.atError !== null ? 'not the same' : 'not in the register'}.`,
      );
      if (a.atError !== null) {
        parts.push(
          `If each stood at the edge of its permitted error, Ppk of the applied torque could be ${f.number(a.atError, 2)}.`,
        );
      }
    } else {
      const percent = f.number(a.percent, decimalsOf(a.percent));
      parts.push(
        `Read by ${who}, permitted ± ${percent} %${a.ratio === null ? '' : `: the limits are ${f.number(a.ratio, 1)} times that`}.`,
      );
      if (a.atError !== null) {
        parts.push(
          `If ${a.tools.length === 1 ? 'it' : 'they'} stood at the edge of ${a.tools.length === 1 ? 'its' : 'their'} ${percent} %, Ppk of the applied torque could be ${f.number(a.atError, 2)}.`,
        );
      }
    }
    if (a.checkAt !== null && a.checkPercent !== null) {
      parts.push(`Last check, ${f.dayMonth(a.checkAt)}: ${f.signed(a.checkPercent, 1)} %.`);
    } else if (a.tools.length === 1) parts.push('No check on a reference is known.');
    const inside = a.certificate
      ? `By its certificate of ${f.date(a.certificate.at)} (uncertainty ${f.number(a.certificate.expanded, decimalsOf(a.certificate.expanded))} %, k = 2; deviation ${f.signed(a.certificate.deviation, 1)} %, taken out) inside is proved only`
      : 'Inside is proved only';
    if (!a.provable) parts.push('This tool cannot prove this window.');
    else if (a.guardLow !== null && a.guardHigh !== null) {
      parts.push(`${inside} from ${f.number(a.guardLow, a.decimals)} to ${f.number(a.guardHigh, a.decimals)}.`);
    } else if (a.guardLow !== null) parts.push(`${inside} from ${f.number(a.guardLow, a.decimals)} up.`);
    else if (a.guardHigh !== null) parts.push(`${inside} up to ${f.number(a.guardHigh, a.decimals)}.`);
    if (a.neither !== null && a.neither > 0) {
      parts.push(
        `By the permitted errors ${f.number(a.neither)} of ${f.number(a.n)} readings are proved neither inside nor outside.`,
      );
    }
    return parts.join(' ');
  },
  'study.measurement.angle': (_: None, _f: Format) =>
    '**Of shown angle.** The permitted error in the register is of torque; what the angle is worth is not known here.',
  'study.measurement.none': (_: None, _f: Format) => '**Of shown, not applied torque.**',

  // Facts
  'study.limits': (
    a: {
      class: string | null;
      low: number | null;
      high: number | null;
      unit: string;
      decimals: number;
      revision: string | null;
      other: number;
    },
    f: Format,
  ) => {
    const start = a.class === null ? 'No class.' : `Class ${a.class}.`;
    if (a.revision === null) return `${start} No limits in the register.`;
    const limits =
      a.low !== null && a.high !== null
        ? `${f.number(a.low, a.decimals)} to ${f.number(a.high, a.decimals)} ${a.unit}`
        : a.low !== null
          ? `at least ${f.number(a.low, a.decimals)} ${a.unit}`
          : a.high !== null
            ? `at most ${f.number(a.high, a.decimals)} ${a.unit}`
            : 'No limits for this characteristic';
    return `${start} ${limits}, revision ${a.revision}${
      a.other > 0
        ? `; ${f.number(a.other)} ${plural(a.other, 'reading', 'readings')} under other limits not used.`
        : ', in force for all readings used.'
    }`;
  },
  'study.groups': (
    a: { count: number; size: number; shortened: number; leftOver: number; singles: boolean },
    f: Format,
  ) => {
    if (a.singles) return 'Single readings; spread from moving ranges within one tool.';
    const parts = [`${f.number(a.count)} ${plural(a.count, 'group', 'groups')} of ${f.number(a.size)} within a shift`];
    if (a.shortened > 0) parts.push(`${inWords(a.shortened, f)} shortened by readings left out`);
    const tail =
      a.leftOver > 0
        ? `; ${inWords(a.leftOver, f)} ${plural(a.leftOver, 'reading fills', 'readings fill')} no group`
        : '';
    return `${parts.join(', ')}${tail}.`;
  },
  'study.distribution': (
    a: { model: Said; p: number | null; atMost: boolean; normal: boolean; recommended: Said | null },
    f: Format,
  ) => {
    const parts: string[] = [];
    if (a.normal) {
      if (a.p === null) parts.push('Normality not tested.');
      else {
        parts.push(
          `${a.p < 0.05 ? 'Normal rejected' : 'Normal not rejected'}, p ${a.atMost ? 'below 1e-20' : pText(a.p, f)}.`,
        );
      }
    } else parts.push(`${f.say(a.model)}, by your choice; indices from quantiles.`);
    if (a.recommended !== null) {
      parts.push(
        `${f.say(a.recommended)} fits clearly better (AICc by 10 or more, normality rejected at 0.01): consider it.`,
      );
    }
    return parts.join(' ');
  },
  'study.indices-caption': (
    a: {
      s: number | null;
      within: number | null;
      method: string;
      nu: number | null;
      unit: string;
      decimals: number;
      holds: boolean;
      beyond: Said | null;
      percent: number | null;
      atError: number | null;
      ppm: number | null;
      ppmLow: number | null;
      ppmHigh: number | null;
      far: boolean;
      percentile: Said | null;
      sides: number;
    },
    f: Format,
  ) => {
    const parts: string[] = [];
    if (a.percentile)
      parts.push(`Ppk, Pp from quantiles of the fitted distribution (${f.say(a.percentile)}), not of the normal.`);
    else if (a.s !== null) parts.push(`Ppk, Pp: all variation, s = ${f.number(a.s, a.decimals + 1)} ${a.unit}.`);
    if (!a.percentile && a.within !== null && a.nu !== null) {
      parts.push(
        `Cpk, Cp: within groups, ${withinNames[a.method] ?? a.method} ${f.number(a.within, a.decimals + 1)} ${a.unit}, ν ${f.number(a.nu, Number.isInteger(a.nu) ? 0 : 1)}${a.holds ? '.' : '; they would hold only if stable.'}`,
      );
    }
    if (a.atError !== null) {
      parts.push(
        `At the edge of the tool's ${a.percent === null ? 'permitted error' : `${f.number(a.percent, decimalsOf(a.percent))} %`}: Ppk ${f.number(a.atError, 2)}.`,
      );
    }
    if (a.ppm !== null) {
      parts.push(
        `Expected outside${a.sides === 2 ? ', both sides' : ''}: ${ppmText(a.ppm, f)} in a million${
          a.ppmLow !== null && a.ppmHigh !== null
            ? `, interval ${ppmText(a.ppmLow, f)} to ${ppmText(a.ppmHigh, f)}`
            : ''
        }${a.far ? '; far outside the data, rests on the model' : ''}.`,
      );
    }
    return parts.join(' ');
  },
  'study.left-out-effect': (a: { count: number; index: string; value: number | null }, f: Format) =>
    a.value === null
      ? `With ${a.count === 1 ? 'it' : a.count === 2 ? 'both' : `all ${f.number(a.count)}`} put back, ${a.index} could not be computed.`
      : `With ${a.count === 1 ? 'it' : a.count === 2 ? 'both' : `all ${f.number(a.count)}`} put back, ${a.index} would be **${f.number(a.value, 2)}**.`,
  'study.beside': (a: { model: Said; ppk: number; other: number }, f: Format) =>
    `By quantiles of the ${f.say(a.model).toLowerCase()} distribution Ppk would be ${f.number(a.ppk, 2)} instead of ${f.number(a.other, 2)}.`,
  'study.what-if': (a: { low: number | null; high: number | null; unit: string; decimals: number }, f: Format) =>
    `Hypothetical limits ${a.low === null ? 'open' : f.number(a.low, a.decimals)} to ${a.high === null ? 'open' : f.number(a.high, a.decimals)} ${a.unit}: tried out here only. The joint keeps its limits, and the report does not show these.`,
  'study.would-hold-if-stable': (_: None, _f: Format) => 'would hold only if stable',

  // Cautions
  'study.caution.resolution': (a: { resolution: number; step: number; unit: string }, f: Format) =>
    `The display step of ${f.number(a.step, decimalsOf(a.step))} ${a.unit} is coarse: 6 s holds only ${f.number(a.resolution, 1)} steps, under ten (common practice). Indices and tests of normality suffer.`,
  'study.caution.levels': (a: { levels: number }, f: Format) =>
    `The readings take only ${inWords(a.levels, f)} different values: no distribution can be told from them.`,
  'study.caution.large-n': (a: { n: number }, f: Format) =>
    `With ${f.number(a.n)} readings tests of normality reject even harmless deviations, and rounding alone can do it: look at the probability plot.`,
  'study.caution.between-groups': (a: { p: number }, f: Format) =>
    `Groups differ (one-way F, p ${pText(a.p, f)}): the intervals assume independent readings and are too short.`,
  'study.caution.mixture': (
    a: {
      by: string;
      first: string;
      second: string;
      difference: number;
      unit: string;
      decimals: number;
      spread: boolean;
    },
    f: Format,
  ) =>
    a.spread
      ? `The spread differs between ${a.by}s: study them apart before pooling.`
      : `${capital(a.by)}s differ: ${a.first} lies ${f.number(Math.abs(a.difference), a.decimals)} ${a.unit} ${a.difference < 0 ? 'below' : 'above'} ${a.second} on average. Study them apart before pooling.`,
  'study.caution.left-out': (a: { count: number }, f: Format) =>
    `${capital(inWords(a.count, f))} ${plural(a.count, 'reading is', 'readings are')} left out of this study; each with its reason below.`,
  'study.caution.own-exclusion': (a: { count: number }, f: Format) =>
    `${capital(inWords(a.count, f))} ${plural(a.count, 'reading was', 'readings were')} left out by the operator who made ${plural(a.count, 'it', 'them')}.`,
  'study.caution.tries': (a: { attempts: string }, _f: Format) =>
    a.attempts === 'last'
      ? 'Last tries are studied, by choice: failed first tries are not in it.'
      : 'All tries are studied, by choice: fasteners with second tries count more than once.',
  'study.caution.other-revisions': (a: { count: number }, f: Format) =>
    `${f.number(a.count)} ${plural(a.count, 'reading', 'readings')} made under other limits ${plural(a.count, 'is', 'are')} not in this study.`,
  'study.caution.cannot-prove': (_: None, _f: Format) =>
    'This tool cannot prove this window: its permitted error leaves no value that is surely inside.',
  'study.caution.far-outside': (_: None, _f: Format) =>
    'The expected share outside lies far outside the data: it rests on the model.',
  'study.fit.p': (
    a: { model: Said; statistic: number; p: number; atLeast: number; replicates: number; coarse: boolean },
    f: Format,
  ) =>
    `${f.say(a.model)}: A² is ${f.number(a.statistic, 3)}; ${f.number(a.atLeast)} of ${f.number(a.replicates)} simulated samples, fitted again, lie as far off or farther: p ${pText(a.p, f)}.${
      a.coarse ? ' The readings are rounded and the simulated ones are not, which alone lowers this p.' : ''
    }`,
  'study.fit.normal': (_: None, _f: Format) =>
    'The p of the normal comes from its table (Anderson-Darling): no simulation is made for it.',
  'study.fit.empirical': (_: None, _f: Format) => 'The readings themselves cannot be tested against the readings.',
  'study.fit.too-many': (a: { most: number }, f: Format) =>
    `No p for this distribution: its bootstrap is made up to ${f.number(a.most)} readings.`,
  'study.fit.none': (_: None, _f: Format) =>
    'No p for this distribution: it does not fit, or there are too few readings.',
  'study.caution.baseline': (a: { from: number | null; to: number | null; points: number; of: number }, f: Format) =>
    `Centre and control limits come from ${f.number(a.points)} of ${f.number(a.of)} points, those of ${spanText(a, f)}, by choice. The indices are of all readings.`,
  'study.caution.phases': (a: { count: number }, f: Format) =>
    `Between these readings lie calibrations, repairs or new limits: ${f.number(a.count)} phases. The control limits are those of all together, so that a level that moved there shows; choose a span as baseline to judge one against another.`,
  'study.note.baseline': (a: { from: number | null; to: number | null; points: number }, f: Format) =>
    `Baseline of the control chart: ${spanText(a, f)}, ${f.number(a.points)} points, chosen by hand.`,
  'study.caution.bootstrap': (a: { replicates: number; seed: number; failed: number }, f: Format) =>
    `Intervals by parametric bootstrap (B ${f.number(a.replicates)}, seed ${String(a.seed)}${a.failed > 0 ? `, ${f.number(a.failed)} fits failed` : ''}); they do not contain the doubt about the distribution itself.`,
  'study.caution.bootstrap-bound': (a: { most: number }, f: Format) =>
    `No interval: the bootstrap of this distribution is made up to ${f.number(a.most)} readings. Narrow the period, or judge the estimate.`,
  'study.caution.bootstrap-failed': (a: { failed: number; replicates: number }, f: Format) =>
    `No interval: ${f.number(a.failed)} of ${f.number(a.replicates)} bootstrap fits failed, more than 1 %.`,
  'study.caution.chosen-not-recommended': (a: { model: Said }, f: Format) =>
    `${f.say(a.model)} was chosen by hand; the readings do not ask for another distribution than the normal.`,
  'study.caution.machine': (_: None, _f: Format) =>
    'Cm and Cmk are from the tool’s own display: not a machine capability test in the sense of VDI/VDE 2645-2 or ISO 22514-3, which need a reference transducer.',
  'study.caution.tool-overdue': (a: { tool: string }, _f: Format) =>
    `The calibration of ${a.tool} is overdue: its readings are in doubt until it is checked.`,
  'study.caution.tool-status': (a: { tool: string; status: string }, _f: Format) =>
    `${a.tool} is ${a.status === 'quarantined' ? 'quarantined' : 'retired'}: its readings are in this study all the same.`,
  'study.caution.check-failed': (a: { tool: string; at: number; percent: number }, f: Format) =>
    `${a.tool} failed its check on ${f.date(a.at)} (${f.signed(a.percent, 1)} %): readings since its last good check are in doubt.`,
  'study.caution.contradicted': (a: { count: number; n: number; expected: number }, f: Format) =>
    `${f.number(a.count)} of ${f.number(a.n)} readings lie outside the limits, where the distribution expects ${
      a.expected < 0.1 ? 'none' : `about ${f.number(a.expected, a.expected < 10 ? 1 : 0)}`
    }: it does not describe these readings, and no index taken from it does.`,
  'study.caution.outliers': (a: { count: number; atLeast: boolean }, f: Format) =>
    `${a.atLeast ? 'At least ' : ''}${a.atLeast ? inWords(a.count, f) : capital(inWords(a.count, f))} ${plural(a.count, 'reading is', 'readings are')} far from the rest (outlier test at 5 %). Find out what happened; nothing is removed by itself.`,
  'study.caution.one-sided': (_: None, _f: Format) =>
    'One limit only: a natural zero is not a limit, so Pp and Cp do not exist.',
  'study.caution.no-time': (a: { count: number }, f: Format) =>
    `${f.number(a.count)} ${plural(a.count, 'reading has', 'readings have')} no time: ${plural(a.count, 'it stands', 'they stand')} last, in the order of the file, in a block of their own.`,
  'study.caution.mr-median': (_: None, _f: Format) =>
    'Degrees of freedom of the median moving range are approximate (0.314 of the number of ranges, by simulation).',
  'study.caution.releases-nothing': (_: None, _f: Format) =>
    'This study releases nothing. The responsible engineer decides, under the product’s own standard and local rules.',

  // Notes on method
  'study.note.words-automotive': (_: None, _f: Format) =>
    'Within against overall variation (Cpk, Ppk) is the usage of the automotive SPC manuals.',
  'study.note.words-iso': (a: { stable: boolean | null }, _f: Format) =>
    `In ISO 22514-1 and -4 the same formulas are called capability when stability has been shown, performance when not${
      a.stable === null ? '' : a.stable ? '; here it has not been contradicted' : '; here it has not'
    }.`,
  'study.note.intervals': (_: None, _f: Format) =>
    'Intervals are two-sided 95 %, equal tails, for independent readings: chi-square for Pp and Cp; Bissell, Appl. Statist. 39 (1990) 331 for Ppk and Cpk; Boyles, J. Qual. Technol. 23 (1991) 17 for Cpm.',
  'study.note.intervals-percentile': (_: None, _f: Format) =>
    'Indices from quantiles 0.135 %, 50 % and 99.865 % of the fitted distribution (percentile method of ISO 22514-2); intervals by parametric bootstrap.',
  'study.note.charts': (_: None, _f: Format) =>
    'Control charts: ISO 7870-2:2023; signals: beyond three sigma, nine in a row on one side (Nelson, J. Qual. Technol. 16 (1984) 237); stability judged by the number of signals chance allows.',
  'study.note.normality': (_: None, _f: Format) =>
    'Anderson-Darling p: D’Agostino & Stephens, Goodness-of-Fit Techniques (1986), Table 4.9. Shapiro-Wilk: Royston, AS R94 (1995).',
  'study.note.random': (a: { seed: number; replicates: number }, f: Format) =>
    `Random numbers: MT19937, 53-bit uniforms, seed ${String(a.seed)}, ${f.number(a.replicates)} replicates.`,
  'study.note.no-random': (_: None, _f: Format) => 'No simulation, so no seed.',
  'study.note.sources-not-opened': (_: None, _f: Format) =>
    'Texts of ISO and VDI were not opened beyond public excerpts.',
  'study.note.judged': (a: { judge: string }, _f: Format) =>
    a.judge === 'low-end'
      ? 'Judged is the lower end of the 95 % interval, by choice.'
      : 'Judged is the estimate, by choice, not its interval.',

  // Saved studies
  'study.saved.same': (_: None, _f: Format) => 'Same readings, same figures to the last digit.',
  'study.saved.only-renamed': (a: { before: string; now: string }, _f: Format) =>
    `Same readings, same figures to the last digit. The fingerprint is another one only because the joint’s name is part of it: ${a.before} then, ${a.now} now.`,
  'study.saved.renamed': (a: { before: string; now: string }, _f: Format) =>
    `The joint was called ${a.before} then and is ${a.now} now.`,
  'study.saved.data-changed': (
    a: {
      readings: { before: number; now: number } | null;
      leftOut: { before: number; now: number } | null;
      limits: boolean;
      requirement: boolean;
      sources: readonly { name: string; before: number; now: number }[];
    },
    f: Format,
  ) => {
    const parts: string[] = [];
    if (a.readings) parts.push(`readings ${f.number(a.readings.before)} then, ${f.number(a.readings.now)} now`);
    if (a.leftOut) parts.push(`left out ${f.number(a.leftOut.before)} then, ${f.number(a.leftOut.now)} now`);
    if (a.limits) parts.push('other limits');
    if (a.requirement) parts.push('another requirement');
    const shown = a.sources
      .slice(0, 3)
      .map((source) =>
        source.before === 0
          ? `${source.name} has come`
          : source.now === 0
            ? `${source.name} is gone`
            : `${source.name} gives ${f.number(source.now)} instead of ${f.number(source.before)}`,
      );
    if (a.sources.length > 3) shown.push(`${f.number(a.sources.length - 3)} more files differ`);
    parts.push(...shown);
    return parts.length === 0
      ? 'Changed since it was saved: the readings are as many, but some have another value, order or assignment.'
      : `Changed since it was saved: ${parts.join('; ')}.`;
  },
  'study.saved.program-changed': (a: { before: string; now: string }, _f: Format) =>
    a.before === a.now
      ? 'Same readings and limits, but something beside them has changed: who made them, shifts, tools or checks.'
      : `Same readings, but figures differ: saved by version ${a.before}, this is ${a.now}.`,

  // Working
  'study.work.title': (a: { figure: string }, _f: Format) => workTitles[a.figure] ?? a.figure,
  'study.work.interval': (_: None, _f: Format) => '95 % interval',
  'study.work.meaning': (a: { what: string }, _f: Format) => meanings[a.what] ?? a.what,
  'study.work.method': (a: { method: string }, _f: Format) => methods[a.method] ?? a.method,
  'study.work.source': (a: { source: string }, _f: Format) => sources[a.source] ?? a.source,
  'study.work.unmet.not-stable': (_: None, _f: Format) => 'Stability: the control chart signals.',
  'study.work.unmet.not-judged': (_: None, _f: Format) => 'Stability has not been judged.',
  'study.work.unmet.not-normal': (a: { p: number }, f: Format) =>
    `Normality: rejected at 0.05 (Anderson-Darling, p ${pText(a.p, f)}).`,
  'study.work.unmet.groups-differ': (_: None, _f: Format) =>
    'Independence: groups differ, so the interval is too short (92.5 % instead of 95 % when the spread between groups is half that within).',
  'study.work.unmet.permissible': (_: None, _f: Format) =>
    'Applied torque is not measured: the tool’s permitted error stands for its unknown one.',
  'study.work.unmet.certificate': (_: None, _f: Format) =>
    'The tool is taken to stand as on the day of its certificate.',
  'study.work.unmet.coverage': (a: { nominal: string; found: string }, _f: Format) =>
    `Coverage found by simulation: ${a.found} where ${a.nominal} is nominal.`,
};

const workTitles: Record<string, string> = {
  mean: 'Mean',
  median: 'Median',
  overall: 'Overall standard deviation',
  within: 'Sigma within groups',
  controlLimits: 'Control limits',
  spreadLimits: 'Limits of the chart of spread',
  stability: 'Stability',
  histogram: 'Histogram',
  model: 'Distribution',
  probabilityPlot: 'Probability plot',
  andersonDarling: 'Anderson-Darling',
  shapiroWilk: 'Shapiro-Wilk',
  observed: 'Observed share outside',
  expectedPpm: 'Expected share outside',
  accuracyRatio: 'Accuracy ratio',
  uncertaintyRatio: 'Uncertainty ratio',
  guardBand: 'Where inside is proved',
  ppkAtPermittedError: 'Ppk at the permitted error',
  moreReadings: 'More readings',
  outliers: 'Outlier tests',
};

const meanings: Record<string, string> = {
  U: 'high limit',
  L: 'low limit',
  'U-nearer': 'high limit, the nearer one',
  'L-nearer': 'low limit, the nearer one',
  T0: 'target',
  mean: 'mean of the readings used',
  s: 'standard deviation of the readings used, n − 1',
  n: 'readings used',
  sigma: 'sigma within groups',
  nu: 'degrees of freedom of sigma',
  z: '97.5 % point of the normal distribution',
  k: 'groups, or moving ranges',
  N: 'readings in a full group',
  chi: 'chi-square points',
  x: 'quantile of the fitted distribution',
  a: 'relative permitted error',
  h: 'display step',
  U95: 'expanded uncertainty of the certificate, k = 2, relative',
  D: 'deviation of the certificate, relative',
  count: 'readings outside the limits',
  m: 'points on the chart',
  spread: 'mean of the plotted spread',
  R: 'requirement',
  parameters: 'parameters of the fitted distribution',
  'fit-p': 'goodness of the fit, p',
  'nine-in-ten': 'nine in ten',
  c: '1/9 + v²/2, for Cpk 1/9 + v²n/(2ν)',
};

const methods: Record<string, string> = {
  mean: 'Compensated sum divided by n.',
  median: 'Quantile of type 7 at 0.5.',
  overall: 'Two-pass sum of squares, n − 1.',
  pooled: 'Root of the pooled variance within groups, not divided by c4; degrees of freedom exact.',
  's-bar': 'Mean of s/c4 over groups; degrees of freedom from the variance of that estimator.',
  'r-bar': 'Mean of R/d2 over groups; degrees of freedom from the variance of that estimator.',
  'mr-bar':
    'Mean moving range / 1.128 within one tool and phase; degrees of freedom from the variance of that estimator.',
  'mr-median': 'Median moving range / 0.954 within one tool and phase; degrees of freedom approximate.',
  'chi-square': 'Normal model, interval by chi-square.',
  bissell: 'Normal model, the nearer limit; interval after Bissell.',
  boyles: 'Normal model, distance from the target included; interval after Boyles.',
  percentile: 'Percentile method on the fitted distribution; interval by parametric bootstrap, percentile ends.',
  'control-limits':
    'Centre line: mean of the charted readings; limits by the chosen sigma within groups and the size of each group.',
  'spread-limits': 'Limits from the mean of the plotted spread with computed constants.',
  'by-count': 'Number of signals against the 99 % point of what chance gives; up to 25 points one signal is too many.',
  histogram: 'Freedman-Diaconis width moved to a round number of display steps; no reading lies on an edge.',
  'maximum-likelihood': 'Maximum likelihood; models ranked by AICc.',
  empirical: 'Quantiles of type 7 of the readings themselves.',
  'probability-plot': 'Filliben positions; band from the distribution of each order statistic, point by point.',
  'anderson-darling': 'A² of the normal with estimated mean and s; p from the adjusted A*.',
  'shapiro-wilk': 'W with Royston’s weights.',
  'clopper-pearson': 'Count over n; interval of Clopper and Pearson.',
  'expected-normal': 'Both tails of the normal; interval on the probit scale.',
  'expected-model': 'Both tails of the fitted distribution; interval by parametric bootstrap.',
  'accuracy-ratio': 'Width of the limits over twice the permitted error at the target.',
  'guard-band': 'Limit drawn in by 1.645 standard uncertainties of the permitted error and the display step.',
  'guard-band-certificate':
    'Limit drawn in by 1.645 standard uncertainties (half the expanded uncertainty of the certificate, and the display step), as the tool shows it: its deviation taken into account.',
  'uncertainty-ratio': 'Width of the limits over twice the expanded uncertainty of the certificate at the target.',
  'at-error': 'Ppk of x/(1 + a) and of x/(1 − a); the smaller counts.',
  'more-readings': 'Least whole number to add for even odds, and for nine in ten, if the estimate holds.',
  outliers: 'Grubbs two-sided and generalised ESD at 0.05 on normal scores of the chosen model.',
};

const sources: Record<string, string> = {
  definition: 'Definition',
  'e-handbook-indices':
    'NIST/SEMATECH e-Handbook 6.1.6; ISO 22514-4 (public excerpts), where without stability shown it is performance',
  bissell: 'ISO 22514-4 (public excerpts); Bissell, Appl. Statist. 39 (1990) 331',
  boyles: 'Boyles, J. Qual. Technol. 23 (1991) 17',
  percentile: 'ISO 22514-2 (public excerpts)',
  charts: 'ISO 7870-2:2023 (public excerpts); NIST/SEMATECH e-Handbook 6.3.2',
  'chart-constants': 'd2, d3, c4 computed for the size of the groups; NIST/SEMATECH e-Handbook 6.3.2',
  simulation: 'Own simulation',
  nelson: 'Nelson, J. Qual. Technol. 16 (1984) 237; count rule: own simulation',
  'freedman-diaconis': 'Freedman & Diaconis (1981) (stated from memory)',
  filliben: 'NIST/SEMATECH e-Handbook 1.3.3.21',
  'hyndman-fan': 'Hyndman & Fan, Am. Stat. 50 (1996) 361',
  'dagostino-stephens': 'D’Agostino & Stephens, Goodness-of-Fit Techniques (1986), Table 4.9',
  royston: 'Royston, AS R94, Appl. Statist. 44 (1995) 547',
  'clopper-pearson': 'Clopper & Pearson, Biometrika 26 (1934) 404',
  probit: 'Delta method on the probit scale; coverage 94.8 to 95.3 % for n of 25 to 125 by simulation',
  'accuracy-ratio': 'Common practice (4:1), no source',
  jcgm: 'JCGM 106:2012; ISO 14253-1:2017 (stated from memory)',
  grubbs: 'NIST/SEMATECH e-Handbook 1.3.5.17; Rosner, Technometrics 25 (1983) 165',
  aicc: 'Maximum likelihood; Akaike’s criterion corrected for n',
};

/** Decimals of a number as it would be typed. */
function decimalsOf(value: number): number {
  const text = String(value);
  const point = text.indexOf('.');
  return point < 0 || text.includes('e') ? 0 : text.length - point - 1;
}

/** A span of civil times whose end is not in it. */
function spanText(a: { from: number | null; to: number | null }, f: Format): string {
  if (a.from === null && a.to === null) return 'the whole period';
  if (a.to === null) return `from ${f.dateTime(a.from ?? 0)} on`;
  return a.from === null ? `before ${f.dateTime(a.to)}` : `${f.dateTime(a.from)} to before ${f.dateTime(a.to)}`;
}

/** p to two significant digits, in plain words when tiny. */
function pText(p: number, f: Format): string {
  if (p < 0.0001) return 'below 0.0001';
  return f.number(p, p < 0.001 ? 5 : p < 0.01 ? 4 : p < 0.1 ? 3 : 2);
}

/** Parts in a million to two significant digits. */
function ppmText(ppm: number, f: Format): string {
  if (ppm === 0) return '0';
  if (ppm < 0.01) return 'under 0.01';
  if (ppm < 10) return f.number(ppm, ppm < 1 ? 2 : 1);
  const scale = 10 ** Math.max(0, Math.floor(Math.log10(ppm)) - 1);
  return f.number(Math.round(ppm / scale) * scale);
}

/** Two digits are enough for a plan. */
function roundedUp(count: number): number {
  if (count < 100) return count;
  const scale = 10 ** (Math.floor(Math.log10(count)) - 1);
  return Math.round(count / scale) * scale;
}

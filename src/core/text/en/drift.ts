import { type TorqueUnit, torqueUnitSymbols } from '../../units/torque-unit.ts';
import type { Format } from '../format.ts';

/** "2.9 % low" for a tool that shows too little, "2.9 % high" for one that shows too much. */
const reads = (deviation: number, f: Format): string =>
  `reads ${f.number(Math.abs(deviation), 1)} % ${deviation < 0 ? 'low' : 'high'}`;

/** What fasteners got when the tool shows `deviation` percent too much: 100 (1/(1 + D/100) - 1). */
const gotPercent = (deviation: number): number => 100 * (1 / (1 + deviation / 100) - 1);
const got = (deviation: number, f: Format): string => {
  const percent = gotPercent(deviation);
  return `${f.number(Math.abs(percent), 1)} % ${percent >= 0 ? 'more' : 'less'} than shown`;
};
const many = (count: number, one: string, more: string, f: Format): string =>
  `${f.number(count)} ${count === 1 ? one : more}`;
/** The first names of a long list, and how many more: nobody reads two hundred. */
const some = (names: readonly string[], f: Format): string =>
  names.length > 8 ? f.list([...names.slice(0, 6), `${f.number(names.length - 6)} more`]) : f.list(names);
/** The quantity of a lane in words. */
const quantityNames: Record<string, string> = {
  torque: 'shown torque',
  angle: 'angle',
  'angle-at-equal-torque': 'angle at equal torque',
  'torque-at-equal-angle': 'torque at equal angle',
  mixed: 'response at equal stop',
};
const quantity = (name: string): string => quantityNames[name] ?? name;
const rose = (percent: number, f: Format): string =>
  `${percent >= 0 ? 'up' : 'down'} ${f.number(Math.abs(percent), 1)} %`;
/** Both ends, with more digits where one decimal would hide on which side of 0 an end lies. */
const interval = (low: number, high: number, f: Format): string => {
  const end = (value: number): string => {
    let decimals = 1;
    while (decimals < 4 && value !== 0 && Math.abs(value) < 0.5 * 10 ** -decimals) decimals++;
    return f.signed(value, decimals);
  };
  return `${end(low)} to ${end(high)}`;
};

/** Phrases of the drift area. A phrase takes its arguments and a format; marks are described in said.ts. */
export const drift = {
  'drift.name': (_: Record<string, never>, _f: Format) => 'Drift',

  // Findings for a chosen tool: only what the table of findings allows (definitions 16).
  'drift.finding.out-of-tolerance': (
    a: { tool: string; percent: number; permissible: number; at: number; since: number | null },
    f: Format,
  ) =>
    `**${a.tool} is out of tolerance**: a pull of its check of ${f.dayMonth(a.at)} lies outside ± ${f.number(a.permissible, 1)} %. On average it shows ${f.number(Math.abs(a.percent), 1)} % ${a.percent < 0 ? 'less' : 'more'} than the reference; fasteners${a.since === null ? '' : ` since ${f.dayMonth(a.since)}`} got about ${got(a.percent, f)}.`,
  'drift.finding.reads-wrong': (a: { tool: string; percent: number; at: number; since: number }, f: Format) =>
    `**${a.tool} ${reads(a.percent, f)}** by the check of ${f.dayMonth(a.at)}; its own readings cannot show this. Fasteners since ${f.dayMonth(a.since)} got about ${got(a.percent, f)}.`,
  'drift.finding.may-read-wrong': (
    a: { tool: string; quantity: string; percent: number; since: number; low: boolean; others: 'still' | 'none' },
    f: Format,
  ) =>
    `**${a.tool} may read ${a.low ? 'low' : 'high'}: check it today.** Its ${quantity(a.quantity)} is ${rose(a.percent, f)} since ${f.dayMonth(a.since)}; ${a.others === 'still' ? 'other tools at the same joints stay where they were' : 'no other tool at the same joints can confirm it'}.`,
  'drift.finding.check-disagrees': (
    a: { tool: string; quantity: string; percent: number; since: number; checkAt: number; checkPercent: number },
    f: Format,
  ) =>
    `**${a.tool}: ${quantity(a.quantity)} is ${rose(a.percent, f)}** since ${f.dayMonth(a.since)}, but the check of ${f.dayMonth(a.checkAt)} (${f.signed(a.checkPercent, 1)} %) does not show it. Check it again at the torque of its joints.`,
  'drift.finding.joint-not-tool': (
    a: { tool: string; quantity: string; percent: number; since: number; joints: readonly string[]; checked: boolean },
    f: Format,
  ) =>
    `**The joint rather than ${a.tool}**: ${quantity(a.quantity)} is ${rose(a.percent, f)} since ${f.dayMonth(a.since)} at ${f.list(a.joints)}, with other tools too${a.checked ? '' : '; no check since'}. Look at parts and friction.`,
  'drift.finding.people-or-stop': (
    a: {
      tool: string;
      quantity: string;
      percent: number;
      since: number;
      shape: 'step' | 'ramp';
      with: readonly string[];
    },
    f: Format,
  ) =>
    `**${a.tool}: people or stop signal.** Its own ${quantity(a.quantity)} is ${rose(a.percent, f)} since ${f.dayMonth(a.since)}${a.shape === 'ramp' ? ', growing' : ''}; an error of the tool is not shown.${a.with.length > 0 ? ` It cannot be told from ${f.list(a.with)}.` : ''}`,
  'drift.finding.own-moved-blind': (
    a: { tool: string; quantity: string; percent: number; since: number; with: readonly string[] },
    f: Format,
  ) =>
    `**${a.tool} stops elsewhere**: its own ${quantity(a.quantity)} is ${rose(a.percent, f)} since ${f.dayMonth(a.since)}. Mostly people, stop signal or joint; whether the tool is right cannot be seen from its readings.${a.with.length > 0 ? ` It cannot be told from ${f.list(a.with)}.` : ''}`,
  'drift.finding.more-than-one': (
    a: { tool: string; own: number; response: number; quantity: string; since: number },
    f: Format,
  ) =>
    `**More than one thing changed on ${a.tool}**: its own readings are ${rose(a.own, f)} and ${quantity(a.quantity)} is ${rose(a.response, f)}, since ${f.dayMonth(a.since)}. Check the tool first.`,
  'drift.finding.adjusted': (
    a: { tool: string; at: number; percent: number; since: number | null; count: number },
    f: Format,
  ) =>
    `**${a.tool} was out of tolerance** until it was adjusted on ${f.dayMonth(a.at)}: on average it showed ${f.number(Math.abs(a.percent), 1)} % ${a.percent < 0 ? 'less' : 'more'} than the reference. ${many(a.count, 'reading', 'readings', f)} ${a.since === null ? 'before that' : `since ${f.dayMonth(a.since)}`} ${a.count === 1 ? 'is' : 'are'} affected; fasteners got about ${got(a.percent, f)}.`,
  'drift.finding.still': (a: { tool: string }, _f: Format) => `**Nothing moved on ${a.tool}.**`,
  'drift.finding.still-overdue': (a: { tool: string; overdue: Overdue }, f: Format) =>
    `**Nothing moved on ${a.tool}**, but its ${overdueText(a.overdue, f)}.`,
  'drift.finding.too-little-overdue': (a: { tool: string; blocks: number; overdue: Overdue }, f: Format) =>
    `**${a.tool}: its ${overdueText(a.overdue, f)}.** ${many(a.blocks, 'shift is', 'shifts are', f)} too few to tell whether it moved.`,
  'drift.finding.too-little': (a: { tool: string; blocks: number; since: number | null }, f: Format) =>
    `**${a.tool}: too few shifts to tell.** ${many(a.blocks, 'shift', 'shifts', f)}${a.since === null ? '' : ` since ${f.dayMonth(a.since)}`}; a trend needs 10, the date of a change 20.`,
  'drift.finding.tangled': (a: { tool: string; with: readonly string[] }, f: Format) =>
    `**${a.tool} cannot be judged on its own**: its readings cannot be told from ${a.with.length > 0 ? f.list(a.with) : 'who used it where'}.`,

  // The line under a row of the list.
  'drift.line.out-of-tolerance': (a: { joints: readonly string[]; percent: number }, f: Format) =>
    `${f.list(a.joints)}: out of tolerance (${f.signed(a.percent, 1)} %): quarantine`,
  'drift.line.reads-wrong': (
    a: { joints: readonly string[]; percent: number; permissible: number | null },
    f: Format,
  ) =>
    `${f.list(a.joints)}: ${reads(a.percent, f)}${a.permissible === null ? '' : `, within its ${f.number(a.permissible, 1)} %`}`,
  'drift.line.may-read-wrong': (a: { joints: readonly string[] }, f: Format) =>
    `${f.list(a.joints)}: may read wrongly: check it today`,
  'drift.line.check-disagrees': (a: { joints: readonly string[] }, f: Format) =>
    `${f.list(a.joints)}: moved, but its check is good: check again`,
  'drift.line.joint-not-tool': (a: { joints: readonly string[] }, f: Format) =>
    `${f.list(a.joints)}: the joint, not this tool`,
  'drift.line.people-or-stop': (a: { joints: readonly string[]; shape: 'step' | 'ramp'; at: number }, f: Format) =>
    `${f.list(a.joints)}: people or stop signal, ${a.shape === 'step' ? 'step' : 'kink'} ${f.dayMonth(a.at)}; no tool error shown`,
  'drift.line.own-moved-blind': (a: { joints: readonly string[]; at: number }, f: Format) =>
    `${f.list(a.joints)}: own readings moved ${f.dayMonth(a.at)}; tool error cannot be seen here`,
  'drift.line.more-than-one': (a: { joints: readonly string[] }, f: Format) =>
    `${f.list(a.joints)}: more than one thing changed; check first`,
  'drift.line.adjusted': (a: { joints: readonly string[]; at: number; count: number }, f: Format) =>
    `${f.list(a.joints)}: was out of tolerance, adjusted ${f.dayMonth(a.at)}; ${many(a.count, 'reading', 'readings', f)} affected`,
  'drift.line.still': (a: { joints: readonly string[]; check: 'good' | 'none' | 'unknown' }, f: Format) =>
    `${f.list(a.joints)}: still${a.check === 'good' ? '; last check good' : a.check === 'none' ? '; never checked' : ''}`,
  'drift.line.still-overdue': (a: { joints: readonly string[]; overdue: Overdue }, f: Format) =>
    `${f.list(a.joints)}: nothing moved, but ${overdueText(a.overdue, f)}`,
  'drift.line.too-little-overdue': (a: { joints: readonly string[]; blocks: number; overdue: Overdue }, f: Format) =>
    `${a.joints.length > 0 ? `${f.list(a.joints)}: ` : ''}${many(a.blocks, 'shift', 'shifts', f)}, too few to tell; ${overdueText(a.overdue, f)}`,
  'drift.line.too-little': (a: { joints: readonly string[]; blocks: number }, f: Format) =>
    `${a.joints.length > 0 ? `${f.list(a.joints)}: ` : ''}${many(a.blocks, 'shift', 'shifts', f)}: too few to tell`,
  'drift.line.tangled': (a: { joints: readonly string[]; with: readonly string[] }, f: Format) =>
    `${f.list(a.joints)}: cannot be told from ${a.with.length > 0 ? f.list(a.with) : 'who used it where'}`,

  // The whole list.
  'drift.list.none-moved': (a: { tools: number; own: number | null; response: number | null }, f: Format) =>
    `None of ${many(a.tools, 'tool', 'tools', f)} left its level.${a.own === null ? '' : ` The smallest shift its own readings could have shown is ${f.number(a.own, 1)} %`}${a.own === null ? '' : a.response === null ? '.' : `, the response ${f.number(a.response, 1)} %.`}`,
  'drift.list.nothing': (_: Record<string, never>, _f: Format) =>
    'No reading here is a first try with a time, a tool, a joint and a value. Widen the period or the filters.',
  'drift.list.too-few': (_: Record<string, never>, _f: Format) =>
    'Fewer than 10 shifts in the period: no trend can be told yet; the date of a change needs 20.',

  // Cautions.
  'drift.caution.permitted': (a: { permissible: number }, f: Format) =>
    `± ${f.number(a.permissible, 1)} % is permitted, so no check failed.`,
  'drift.caution.parts': (a: { tools: readonly string[] }, f: Format) =>
    a.tools.length > 0
      ? `Parts or friction could do the same, but ${f.list(a.tools)} at the same joints ${a.tools.length === 1 ? 'stays' : 'stay'} where ${a.tools.length === 1 ? 'it was' : 'they were'}.`
      : 'Parts or friction could do the same, and no other tool at these joints can tell.',
  'drift.caution.people': (a: { tool: string }, _f: Format) =>
    `Another operator, a new way of pulling or a worn stop signal could do this. Swap ${a.tool} with another tool between operators for a day to see who it follows.`,
  'drift.caution.joint': (_: Record<string, never>, _f: Format) =>
    'Another lot of parts, a coating or grease could do this. Tighten a few from the old lot with two tools.',
  'drift.caution.check': (a: { tool: string }, _f: Format) =>
    `Next cheap test: five pulls of ${a.tool} on a reference at the torque of its joints.`,
  'drift.caution.quarantine': (a: { tool: string }, _f: Format) =>
    `Quarantine ${a.tool} and have it checked by a competent laboratory; re-check the fasteners it did by the procedure of the product’s owner.`,
  'drift.caution.affected': (_: Record<string, never>, _f: Format) =>
    'Re-check the affected fasteners by the procedure of the product’s owner; the next good check closes the matter.',
  'drift.caution.blind': (a: { visible: number; expected: number }, f: Format) =>
    `Its response could show ${f.number(a.visible, 1)} % at best; the permitted error would cause ${f.number(a.expected, 1)} %: this lane cannot see it.`,
  'drift.caution.false-alarms': (a: { expected: number }, f: Format) =>
    `By chance alone ${f.number(a.expected, 1)} alarms a lane are expected.`,
  'drift.caution.together': (a: { with: readonly string[] }, f: Format) =>
    `${f.list(a.with)} and this tool cannot be told apart here.`,

  // Lanes in words.
  'drift.lane.moved': (
    a: { quantity: string; percent: number; low: number; high: number; since: number; shape: 'step' | 'ramp' },
    f: Format,
  ) =>
    `${capital(quantity(a.quantity))} moved: ${f.signed(a.percent, 1)} % (${interval(a.low, a.high, f)}) since ${f.dayMonth(a.since)}, a ${a.shape === 'step' ? 'step' : 'ramp'}.`,
  'drift.lane.still': (
    a: { quantity: string; percent: number; low: number; high: number; since: number; visible: number | null },
    f: Format,
  ) =>
    `${capital(quantity(a.quantity))} still: ${f.signed(a.percent, 1)} % (${interval(a.low, a.high, f)}) since ${f.dayMonth(a.since)}${a.visible === null ? '' : `; smallest visible ${f.number(a.visible, 1)} %`}.`,
  'drift.lane.unknown': (a: { quantity: string }, _f: Format) => `${capital(quantity(a.quantity))}: cannot be told.`,
  'drift.lane.checks': (a: { at: number; percent: number; pulls: number; passed: boolean | null }, f: Format) =>
    `Check of ${f.dayMonth(a.at)}: ${f.signed(a.percent, 1)} % over ${many(a.pulls, 'pull', 'pulls', f)}, ${a.passed === null ? 'not judged: outside its range or no permitted deviation known' : a.passed ? 'within what is permitted' : 'outside what is permitted'}.`,
  'drift.why.few-for-trend': (a: { blocks: number; since: number | null }, f: Format) =>
    `${many(a.blocks, 'shift', 'shifts', f)}${a.since === null ? '' : ` since ${f.dayMonth(a.since)}`}: a trend needs 10, the date of a change 20.`,
  'drift.why.few-for-change': (a: { blocks: number; since: number | null }, f: Format) =>
    `${many(a.blocks, 'shift', 'shifts', f)}${a.since === null ? '' : ` since ${f.dayMonth(a.since)}`}: the date of a change needs 20.`,
  'drift.why.tangled': (a: { with: readonly string[] }, f: Format) =>
    a.with.length > 0
      ? `Cannot be told apart from ${f.list(a.with)}.`
      : 'Changed together with who used it or where it was used: cannot be told apart.',
  'drift.why.no-response': (_: Record<string, never>, _f: Format) => 'Angle not recorded.',
  'drift.why.no-response-angle-stop': (_: Record<string, never>, _f: Format) => 'Torque not recorded.',
  'drift.why.few-pairs': (_: Record<string, never>, _f: Format) =>
    'Too few readings with torque and angle in the baseline.',
  'drift.why.flat': (a: { joints: readonly string[] }, f: Format) =>
    `At ${f.list(a.joints)} the angle does not clearly rise with torque in the baseline, so it is compared as it is.`,
  'drift.why.blind': (a: { visible: number; expected: number }, f: Format) =>
    `Smallest visible shift ${f.number(a.visible, 1)} %; the permitted error would cause ${f.number(a.expected, 1)} %: this lane cannot see it.`,
  'drift.why.joints-without-baseline': (a: { joints: readonly string[] }, f: Format) =>
    `Left out, no baseline with torque and angle: ${f.list(a.joints)}.`,
  'drift.why.roles-swapped': (_: Record<string, never>, _f: Format) =>
    'Stopped by angle: a tool error shows in torque at equal angle, the angle is behaviour.',
  'drift.why.other-kind': (a: { joints: readonly string[]; byAngle: boolean }, f: Format) =>
    `${f.list(a.joints)}: stopped by ${a.byAngle ? 'angle' : 'torque'}, so not part of this lane.`,
  'drift.why.never-checked': (_: Record<string, never>, _f: Format) => 'No check on a reference is held.',
  'drift.why.one-pull': (_: Record<string, never>, _f: Format) => 'One pull: cannot tell bias from scatter.',
  'drift.why.no-permissible': (_: Record<string, never>, _f: Format) =>
    'No permissible deviation is entered for this tool: its checks cannot be judged.',
  'drift.why.no-cells': (_: Record<string, never>, _f: Format) =>
    'No shift holds three first tries by one operator at one joint.',
  'drift.why.effects': (a: { needed: number; got: number }, f: Format) =>
    `No effects: needs ${f.number(a.needed)} more tool shifts than unknowns, there are ${f.number(a.got)}.`,
  'drift.why.no-cells-before-after': (_: Record<string, never>, _f: Format) => 'No shifts on both sides of the date.',

  // Both sides of a deviation.
  'drift.both-sides': (a: { percent: number }, f: Format) =>
    Math.abs(a.percent) < 0.05
      ? 'By its last check it shows what the reference shows; fasteners got what was shown.'
      : `By its last check it shows ${f.number(Math.abs(a.percent), 1)} % ${a.percent < 0 ? 'less' : 'more'} than the reference; fasteners got ${got(a.percent, f)}.`,

  // Left out of the cells.
  'drift.left-out.no-time': (_: Record<string, never>, _f: Format) => 'without a time',
  'drift.left-out.no-tool': (_: Record<string, never>, _f: Format) => 'without a tool',
  'drift.left-out.no-joint': (_: Record<string, never>, _f: Format) => 'without a joint',
  'drift.left-out.other-direction': (_: Record<string, never>, _f: Format) => 'in the other direction',
  'drift.left-out.further-try': (_: Record<string, never>, _f: Format) => 'further tries at the same fastener',
  'drift.left-out.excluded': (_: Record<string, never>, _f: Format) => 'left out by a person',
  'drift.left-out.no-value': (_: Record<string, never>, _f: Format) => 'without a value or without limits in force',
  'drift.left-out.small-cell': (_: Record<string, never>, _f: Format) =>
    'in groups of fewer than three of one shift, joint, tool and operator',

  // Tangled.
  'drift.tangled.used-only': (a: { who: string; tools: readonly string[] }, f: Format) =>
    `Cannot be told apart: ${a.who} used only ${f.list(a.tools)}.`,
  'drift.tangled.sets': (
    a: { tools: readonly string[]; operators: readonly string[]; joints: readonly string[] },
    f: Format,
  ) =>
    `Cannot be told apart: ${f.list(
      [
        a.tools.length > 0 ? `tools ${some(a.tools, f)}` : '',
        a.operators.length > 0 ? `operators ${some(a.operators, f)}` : '',
        a.joints.length > 0 ? `joints ${some(a.joints, f)}` : '',
      ].filter((part) => part !== ''),
    )}.`,
  'drift.untangle': (
    a: { steps: readonly { operator: string; tool: string; joint: string }[]; more: number },
    f: Format,
  ) =>
    a.steps.length === 0
      ? 'No single swap untangles this: let each operator work with two of the tools.'
      : `To untangle: ${f.list(a.steps.map((step) => `${step.operator} with ${step.tool} at ${step.joint}`))}, at least 20 readings in each of 2 shifts${a.more > 0 ? `; then ${f.number(a.more)} more` : ''}.`,

  // Operators: a matter for training, never of blame.
  'drift.operator.steady': (a: { label: string }, _f: Format) => `${a.label} stops where the others stop.`,
  'drift.operator.stop': (a: { label: string; percent: number; low: number; high: number }, f: Format) =>
    `${a.label} stops ${f.number(Math.abs(a.percent), 1)} % ${a.percent >= 0 ? 'above' : 'below'} the average of all (${interval(a.low, a.high, f)})${Math.abs(a.percent) >= 1 ? ': a matter for training' : ''}.`,
  'drift.operator.moved': (a: { label: string; percent: number; since: number }, f: Format) =>
    `With ${a.label} the stop is ${rose(a.percent, f)} since ${f.dayMonth(a.since)}: worth watching a few pulls together.`,
  'drift.operator.tangled': (a: { label: string }, _f: Format) =>
    `${a.label} cannot be told from the tools used: nothing is said.`,
  'drift.operator.few': (a: { label: string }, _f: Format) => `${a.label}: too few shifts to compare.`,
  'drift.operator.not-named': (_: Record<string, never>, _f: Format) => 'operator not named',
  'drift.operator.somebody': (_: Record<string, never>, _f: Format) => 'an operator',
  'drift.operator.label': (a: { number: number }, f: Format) => `Operator ${f.number(a.number)}`,

  // Workings: how the figures of one tool came about.
  'drift.working.move': (a: { quantity: string }, _f: Format) => `Move of ${quantity(a.quantity)}`,
  'drift.working.change': (a: { quantity: string }, _f: Format) => `Date of the change of ${quantity(a.quantity)}`,
  'drift.working.ewma': (a: { quantity: string }, _f: Format) => `EWMA limit of ${quantity(a.quantity)}`,
  'drift.working.trend': (a: { quantity: string }, _f: Format) => `Trend of ${quantity(a.quantity)}`,
  'drift.working.visible': (a: { quantity: string }, _f: Format) => `Smallest visible shift of ${quantity(a.quantity)}`,
  'drift.working.deviation': (a: { at: number }, f: Format) => `Deviation by the check of ${f.dayMonth(a.at)}`,
  'drift.working.forecast': (_: Record<string, never>, _f: Format) => 'Forecast of the crossing date',
  'drift.working.false-alarms': (_: Record<string, never>, _f: Format) => 'False alarms expected in a lane',
  'drift.working.interval': (_: Record<string, never>, _f: Format) => 'Move with its 95 % interval, %',
  'drift.working.degrees': (_: Record<string, never>, _f: Format) => 'Degrees of freedom',
  'drift.working.pettitt': (_: Record<string, never>, _f: Format) => 'Whether it changed',
  'drift.working.bic': (_: Record<string, never>, _f: Format) => 'Step or ramp: the smaller BIC names the shape',
  'drift.working.limit': (a: { at: number }, f: Format) => `Half width of the limits on ${f.dayMonth(a.at)}, %`,
  'drift.working.outside': (a: { outside: boolean }, _f: Format) =>
    a.outside ? 'First shift outside' : 'The newest shift is inside',
  'drift.working.slope': (_: Record<string, never>, _f: Format) =>
    'Slope, % a thousand readings, with its 95 % interval',
  'drift.working.ranks': (_: Record<string, never>, _f: Format) =>
    'The ends are the slopes of these ranks, rounded, the upper one plus 1',
  'drift.working.kendall': (_: Record<string, never>, _f: Format) => 'Whether it rises or falls',
  'drift.working.visible-line': (_: Record<string, never>, _f: Format) =>
    'Smallest shift that the lane could have shown, %',
  'drift.working.expected': (_: Record<string, never>, _f: Format) => 'What the permitted error would cause, %',
  'drift.working.deviation-line': (_: Record<string, never>, _f: Format) => 'Mean of the deviations of the pulls, %',
  'drift.working.got': (_: Record<string, never>, _f: Format) => 'What fasteners got, % against shown',
  'drift.working.forecast-line': (a: { at: number; low: number; high: number }, f: Format) =>
    `Crosses on ${f.date(a.at)}, 95 % interval ${f.date(a.low)} to ${f.date(a.high)}`,
  'drift.working.in.coefficient': (_: Record<string, never>, _f: Format) =>
    'coefficient of “this tool, from that date on”',
  'drift.working.in.cluster-error': (_: Record<string, never>, _f: Format) => 'cluster-robust standard error',
  'drift.working.in.line-error': (a: { used: boolean }, _f: Format) =>
    a.used ? 'doubt of the slope of angle on torque' : 'not needed in this lane',
  'drift.working.in.quantile': (a: { degrees: number }, f: Format) =>
    `Student’s t at 97.5 %, ${f.number(a.degrees)} degrees of freedom`,
  'drift.working.in.cells': (_: Record<string, never>, _f: Format) =>
    'cells: joint × tool × operator × shift, at least 3 readings each',
  'drift.working.in.clusters': (_: Record<string, never>, _f: Format) => 'clusters: tool × shift',
  'drift.working.in.rank': (_: Record<string, never>, _f: Format) => 'rank of the model',
  'drift.working.in.pettitt': (_: Record<string, never>, _f: Format) => 'largest sum of ranks against its expectation',
  'drift.working.in.blocks': (_: Record<string, never>, _f: Format) => 'shifts in the series',
  'drift.working.in.adjusted': (_: Record<string, never>, _f: Format) =>
    'over all tools of the lane, Benjamini-Hochberg; 0.05 is the bound',
  'drift.working.in.span': (_: Record<string, never>, _f: Format) =>
    'shifts before the change, with the span of the date',
  'drift.working.in.weight': (_: Record<string, never>, _f: Format) => 'weight of the newest shift',
  'drift.working.in.factor': (a: { tools: number }, f: Format) =>
    `limit factor for ${many(a.tools, 'tool', 'tools', f)} (3; above 20 tools 3.5)`,
  'drift.working.in.sigma': (_: Record<string, never>, _f: Format) =>
    'larger of the tool’s own and the all-tools mean moving range / 1.128, baseline shifts',
  'drift.working.in.baseline': (_: Record<string, never>, _f: Format) => 'baseline shifts',
  'drift.working.in.position': (_: Record<string, never>, _f: Format) => 'shifts since the baseline',
  'drift.working.in.level': (_: Record<string, never>, _f: Format) => 'mean of the baseline shifts, %',
  'drift.working.in.thousands': (_: Record<string, never>, _f: Format) => 'thousand readings at the newest shift',
  'drift.working.in.kendall': (_: Record<string, never>, _f: Format) => 'rising pairs less falling pairs',
  'drift.working.in.hamed': (_: Record<string, never>, _f: Format) => 'factor for autocorrelation, at least 1',
  'drift.working.in.error': (_: Record<string, never>, _f: Format) =>
    'standard error of the move, or of one from the middle shift on where nothing moved',
  'drift.working.in.nominal': (a: { unit: TorqueUnit }, _f: Format) => `nominal, ${torqueUnitSymbols[a.unit]}`,
  'drift.working.in.pulls': (a: { permissible: number | null }, f: Format) =>
    a.permissible === null ? 'no permissible deviation is known' : `each may be ± ${f.number(a.permissible, 1)} % off`,
  'drift.working.in.checks': (_: Record<string, never>, _f: Format) => 'checks at this nominal since the last as-left',
  'drift.working.in.permitted': (_: Record<string, never>, _f: Format) => 'permissible deviation, %',
  'drift.working.in.run-length': (a: { factor: number }, f: Format) =>
    `shifts between two false alarms of a steady tool, L ${f.number(a.factor, a.factor % 1 === 0 ? 0 : 1)}`,
  'drift.working.method.move': (a: { response: boolean }, _f: Format) =>
    `Least squares of cell means on joint, operator, tool and “this tool, from that date on”; each cell counts once. Errors by clusters of tool and shift, factor G/(G−1) · (N−1)/(N−p).${a.response ? ' The doubt of the response line is added in quadrature.' : ''}`,
  'drift.working.method.change': (_: Record<string, never>, _f: Format) =>
    'Pettitt’s test over the shift values after joint and operator. Date: least squares over all dates with four shifts free at each end; its span holds the dates whose likelihood is near the best (7.352 for a step, 3.841 for a kink; both where the BICs differ by less than 6). A lane has moved when the adjusted p is at most 0.05 and the interval of the move excludes 0.',
  'drift.working.method.ewma': (_: Record<string, never>, _f: Format) =>
    'Exponentially weighted mean of the shift values from the baseline mean on; the last term under the root is the doubt of a short baseline.',
  'drift.working.method.trend': (_: Record<string, never>, _f: Format) =>
    'Median of all pair slopes of the shift values against readings made; Mann-Kendall with ties, continuity correction and a factor for autocorrelation.',
  'drift.working.method.visible': (a: { response: boolean }, _f: Format) =>
    a.response
      ? '1.96 standard errors. The permitted error a moves the response by a × r, r the response to 1 % at the tool’s joints.'
      : '1.96 standard errors of the move.',
  'drift.working.method.deviation': (_: Record<string, never>, _f: Format) =>
    'Positive: the tool shows too much and the fastener gets less. The check passes when every pull is within the permissible deviation.',
  'drift.working.method.forecast': (_: Record<string, never>, _f: Format) =>
    'Least-squares line of deviation on days; the interval is where the 95 % band of the mean line crosses. Only where the slope’s interval excludes 0, and within two years of the last check.',
  'drift.working.method.false-alarms': (_: Record<string, never>, _f: Format) =>
    'Shifts charted in one lane, all tools together, over the run length of a steady tool.',
  'drift.working.source.liang': (_: Record<string, never>, _f: Format) =>
    'K.-Y. Liang and S. L. Zeger, Biometrika 73 (1986) 13.',
  'drift.working.source.change': (_: Record<string, never>, _f: Format) =>
    'A. N. Pettitt, Appl. Statist. 28 (1979) 126; B. E. Hansen, Econometrica 68 (2000) 575; Y. Benjamini and Y. Hochberg, JRSS B 57 (1995) 289. Bounds of the span by our own simulation.',
  'drift.working.source.ewma': (_: Record<string, never>, _f: Format) =>
    'ISO 7870-6 for the chart; the doubt of the baseline and the run lengths by our own simulation.',
  'drift.working.source.trend': (_: Record<string, never>, _f: Format) =>
    'P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379; K. H. Hamed and A. R. Rao, J. Hydrol. 204 (1998) 182.',
  'drift.working.source.own': (_: Record<string, never>, _f: Format) => 'Own definition, stated in the method.',
  'drift.working.source.deviation': (_: Record<string, never>, _f: Format) =>
    'Form of ISO 6789 (stated from memory); every pull counts: ISO 6789-1 (stated from memory).',
  'drift.working.unmet.tangled': (_: Record<string, never>, _f: Format) =>
    'Its size cannot be told apart from who used it or where.',
  'drift.working.unmet.alarm': (_: Record<string, never>, _f: Format) =>
    'The line was outside, but in this lane an alarm counts only together with a move.',
  'drift.working.unmet.blind': (_: Record<string, never>, _f: Format) =>
    'The smallest visible shift is larger than what the permitted error would cause: this lane cannot see it.',
  'drift.working.unmet.range': (_: Record<string, never>, _f: Format) =>
    'Not judged: outside the tool’s marked range, or no permissible deviation is known.',

  // The card of one tool.
  'drift.card.chart': (a: { lambda: number; factor: number; blocks: number }, f: Format) =>
    `Dots: shift values after joint and operator. Line: EWMA, weight ${f.number(a.lambda, 1)}; limits dashed, L ${f.number(a.factor, a.factor % 1 === 0 ? 0 : 1)}, with the doubt of the first ${f.number(a.blocks)} shifts.`,
  'drift.card.doubt': (_: Record<string, never>, _f: Format) => 'Due, and readings in doubt',
  'drift.card.joints': (a: { joints: readonly string[] }, f: Format) => `By joint: ${f.list(a.joints)}.`,
  'drift.card.question': (a: { count: number; since: number; leave: number | null }, f: Format) =>
    `In question: ${many(a.count, 'reading', 'readings', f)} since ${f.dateTime(a.since)}${a.leave === null ? '' : `; corrected by the latest check, ${f.number(a.leave)} of those that passed leave their limits`}.`,
  'drift.card.forecast': (a: { on: number; low: number; high: number; nominal: number; checks: number }, f: Format) =>
    `Forecast from ${many(a.checks, 'check', 'checks', f)}: crosses the permitted deviation on ${f.date(a.on)} (95 % interval ${f.date(a.low)} to ${f.date(a.high)}).`,
  'drift.card.due': (a: { calibration: number | null; check: number | null; overdue: Overdue }, f: Format) =>
    [
      a.overdue.calibration !== null || a.overdue.check !== null ? `${capital(overdueText(a.overdue, f))}.` : '',
      a.calibration === null
        ? 'Calibration date not entered.'
        : a.overdue.calibration === null
          ? `Calibration due ${f.date(a.calibration)}.`
          : '',
      a.check !== null && a.overdue.check === null ? `Next check due ${f.date(a.check)}.` : '',
    ]
      .filter((part) => part !== '')
      .join(' '),

  // Marks on the strips.
  'drift.mark.calibration': (a: { at: number; note: string | null }, f: Format) =>
    `calibrated ${f.dayMonth(a.at)}${a.note ? `: ${a.note}` : ''}`,
  'drift.mark.repair': (a: { at: number; note: string | null }, f: Format) =>
    `repaired ${f.dayMonth(a.at)}${a.note ? `: ${a.note}` : ''}`,
  'drift.mark.as-left': (a: { at: number }, f: Format) => `adjusted ${f.dayMonth(a.at)}`,
  'drift.mark.revision': (a: { joint: string; label: string; at: number }, f: Format) =>
    `limits ${a.label} of ${a.joint} from ${f.dayMonth(a.at)}`,
};

export interface Overdue {
  readonly calibration: number | null;
  readonly check: number | null;
}

const overdueText = (overdue: Overdue, f: Format): string => {
  const parts: string[] = [];
  if (overdue.calibration !== null) parts.push(`calibration is overdue since ${f.dayMonth(overdue.calibration)}`);
  if (overdue.check !== null) {
    parts.push(`${parts.length > 0 ? 'its ' : ''}check is overdue since ${f.dayMonth(overdue.check)}`);
  }
  return f.list(parts);
};

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/**
 * The physical model: who tightens what, when, and what the wrench shows.
 *
 *   stopped by torque   shown   = target x (1 + habit + shift + skewed overshoot + scatter)   the hand stops on what is shown
 *                       applied = shown / (1 + D/100)                                         D: what the tool shows too much
 *                       angle   = (applied - snug) / K                                        snug scatters between fasteners
 *   stopped by angle    angle   = target + skewed overshoot; applied = snug + K x angle; shown = (1 + D/100) x applied
 */
import { msPerDay, msPerHour, msPerMinute } from '#core/time/civil-time.ts';
import { newtonMetresPer } from '#core/units/torque-unit.ts';
import {
  dayOf,
  type JointKey,
  jointOf,
  nights,
  operatorOf,
  planted,
  revisionAt,
  type ShiftName,
  toolOf,
  workingDays,
} from './halden-plant.ts';
import { makeRandom, type Random } from './random.ts';

export type PlantedEvent = 'second-pull' | 're-check' | 'across-shifts' | 'own-result-differs';

/** One stored reading, as the tool keeps it. */
export interface Made {
  readonly at: number;
  readonly tool: string;
  readonly operator: string;
  readonly joint: JointKey;
  readonly bike: string;
  readonly position: number;
  /** In the tool's unit, signed, rounded to its display. */
  readonly torque: number;
  /** Degrees, signed, to a tenth. */
  readonly angle: number;
  readonly kind: 'first' | 'again' | 'loosened' | 'extra';
  readonly planted: PlantedEvent | null;
}

export interface MissedFastener {
  readonly tool: string;
  readonly joint: JointKey;
  readonly bike: string;
  readonly position: number;
  readonly about: number;
}

export interface MadeLine {
  /** In time order; equal times do not occur within a tool. */
  readonly readings: readonly Made[];
  readonly missed: readonly MissedFastener[];
}

const crews = [
  ['114', '122', '139'],
  ['147', '153', '160'],
] as const;

/** What the tool shows too much, in percent, in a shift. */
export function deviationOf(tool: string, shiftNumber: number): number {
  return tool === planted.calibration.tool && shiftNumber >= planted.calibration.fromShift
    ? planted.calibration.deviationPercent
    : toolOf(tool).deviation;
}

/** Torque in N.m that one degree adds once the joint is snug. */
export function stiffness(joint: JointKey): number {
  const plan = jointOf(joint);
  return plan.stopsBy === 'angle' ? 0.23 : (0.82 * plan.revisions[0]!.target) / plan.usualAngle;
}

/** Whether the limits in force fail a reading: by the recorded values, in N.m. */
export function outside(made: Made): 'torque-low' | 'torque-high' | 'angle' | null {
  const limits = revisionAt(made.joint, made.at);
  const torque = Math.abs(made.torque) * newtonMetresPer[toolOf(made.tool).unit];
  if (torque < limits.low - 1e-9) return 'torque-low';
  if (torque > limits.high + 1e-9) return 'torque-high';
  if (!recordsAngle(made.tool)) return null;
  const angle = Math.abs(made.angle);
  if (limits.angleLow !== null && angle < limits.angleLow) return 'angle';
  return limits.angleHigh !== null && angle > limits.angleHigh ? 'angle' : null;
}

/** T-302 and T-090 store torque alone. */
export const recordsAngle = (tool: string): boolean => tool !== 'T-302' && tool !== 'T-090';

interface ShiftRun {
  readonly shift: ShiftName;
  readonly shiftNumber: number;
  readonly start: number;
  readonly day: number;
  readonly dayNumber: number;
}

/** Runs the line from the first to the last working day. */
export function simulateLine(seed: number): MadeLine {
  const readings: Made[] = [];
  const missed: MissedFastener[] = [];
  let bike = 23_410;
  const runs: ShiftRun[] = [];
  workingDays.forEach((day, dayNumber) => {
    runs.push({ shift: 'Early', shiftNumber: dayNumber * 2, start: day + 6 * msPerHour, day, dayNumber });
    runs.push({ shift: 'Late', shiftNumber: dayNumber * 2 + 1, start: day + 14 * msPerHour, day, dayNumber });
    if (nights.includes(day))
      runs.push({ shift: 'Night', shiftNumber: -1, start: day + 22 * msPerHour, day, dayNumber });
  });
  runs.forEach((run, index) => {
    const random = makeRandom(seed + 7919 * (index + 1));
    bike = run.shift === 'Night' ? runNight(run, random, bike, readings) : runDay(run, random, bike, readings, missed);
  });
  readings.sort((a, b) => a.at - b.at || (a.tool < b.tool ? -1 : 1));
  return { readings, missed };
}

/** Fasteners that are left out, by day, shift, joint, position and how many bikes into the shift. */
const toMiss = [
  { date: '2026-11-11', shift: 'Early', joint: 'BC', bikeInShift: 6, position: 4 },
  { date: '2026-11-24', shift: 'Early', joint: 'RA', bikeInShift: 12, position: 2 },
  { date: '2026-11-24', shift: 'Late', joint: 'RS', bikeInShift: 8, position: 4 },
] as const;

const breaks = [
  [150, 165],
  [330, 360],
] as const;

function runDay(run: ShiftRun, random: Random, bikeFrom: number, readings: Made[], missed: MissedFastener[]): number {
  const week = Math.floor((run.day - dayOf('2026-11-02')) / (7 * msPerDay));
  const early = run.shift === 'Early';
  const crew = crews[(week + (early ? 0 : 1)) % 2]!;
  const novak = week % 2 === 0 ? early : !early;
  const luck = shiftLuck(random);
  /** Stations: 0 axle and motor, 1 rack, 2 cockpit. Crews move on every day and at half time. */
  const at = (station: number, minute: number): string =>
    crew[(station + run.dayNumber + (minute >= 240 ? 1 : 0)) % crew.length]!;
  const next = crews[(week + (early ? 1 : 0)) % 2]!;
  let bike = bikeFrom;
  let minute = 3 + random.uniform();
  for (let count = 1; minute < 449; minute += 18.4 + random.uniform() * 1.4) {
    if (breaks.some(([from, to]) => minute > from - 21 && minute < to)) {
      const pause = breaks.find(([from, to]) => minute > from - 21 && minute < to)!;
      minute = pause[1] + random.uniform();
    }
    const name = `HC-${bike}`;
    const work: { joint: JointKey; tool: string; start: number; operator: string }[] = [
      { joint: 'RA', tool: 'T-114', start: minute, operator: at(0, minute) },
      { joint: 'LP', tool: count % 3 === 0 ? 'T-410' : 'T-114', start: minute + 2, operator: at(0, minute) },
      { joint: 'RS', tool: count % 2 === 1 ? 'T-207' : 'T-118', start: minute + 4, operator: at(1, minute) },
      { joint: 'CA', tool: novak ? 'T-131' : 'T-118', start: minute + 8, operator: novak ? '165' : at(1, minute) },
      {
        joint: 'MM',
        tool: count % 3 === 2 ? 'T-118' : 'T-410',
        start: minute + 11,
        operator: count % 3 === 2 ? at(1, minute) : at(0, minute),
      },
      { joint: 'SC', tool: 'T-302', start: minute + 14, operator: at(2, minute) },
      {
        joint: 'BC',
        tool: count % 2 === 1 ? 'T-305' : count % 4 === 0 ? 'T-207' : 'T-302',
        start: minute + 17,
        operator: count % 4 === 0 ? at(1, minute) : at(2, minute),
      },
    ];
    for (const job of work) {
      let when = run.start + Math.round((job.start * 60 + random.uniform() * 20) * 1000);
      for (let position = 1; position <= jointOf(job.joint).perBike; position += 1) {
        when += Math.round(21 + random.uniform() * 17) * 1000;
        const skip = toMiss.some(
          (miss) =>
            dayOf(miss.date) === run.day &&
            miss.shift === run.shift &&
            miss.joint === job.joint &&
            miss.bikeInShift === count &&
            miss.position === position,
        );
        if (skip) {
          missed.push({ tool: job.tool, joint: job.joint, bike: name, position, about: when });
          continue;
        }
        when = tighten({ run, random, luck, ...job, bike: name, position, when: toSecond(when) }, readings);
      }
    }
    plantAfterBike(run, name, count, readings, random, luck, next);
    bike += 1;
    count += 1;
  }
  if (run.day === dayOf('2026-11-18') && early) {
    // One rack batch runs over the change of shift: two fasteners before 14:00:00, one on it, one after.
    [-64, -30, 0, 33].forEach((second, i) => {
      tighten(
        {
          run,
          random,
          luck,
          joint: 'RS',
          tool: 'T-207',
          bike: `HC-${bike}`,
          position: i + 1,
          planted: 'across-shifts',
          operator: second < 0 ? at(1, 470) : next[(1 + run.dayNumber) % next.length]!,
          when: run.start + 8 * msPerHour + second * 1000,
        },
        readings,
      );
    });
    bike += 1;
  }
  return bike;
}

/** Rear axles, pedals and stems only, by one person; the spare T-090 does every third bike's stem. */
function runNight(run: ShiftRun, random: Random, bikeFrom: number, readings: Made[]): number {
  const luck = shiftLuck(random);
  let bike = bikeFrom;
  for (let count = 0; count < 15; count += 1) {
    const minute = 8 + count * 29 + random.uniform() * 3;
    const spare = count % 3 === 1;
    for (const [joint, tool, offset] of [
      ['RA', 'T-114', 0],
      ['LP', 'T-114', 3],
      ['SC', spare ? 'T-090' : 'T-302', 7],
    ] as const) {
      let when = run.start + (minute + offset) * msPerMinute;
      const perBike = spare && joint === 'SC' ? 4 : jointOf(joint).perBike;
      for (let position = 1; position <= perBike; position += 1) {
        when += Math.round(24 + random.uniform() * 20) * 1000;
        when = tighten(
          { run, random, luck, joint, tool, operator: '171', bike: `HC-${bike}`, position, when: toSecond(when) },
          readings,
        );
      }
    }
    bike += 1;
  }
  return bike;
}

interface Job {
  readonly run: ShiftRun;
  readonly random: Random;
  readonly luck: ShiftLuck;
  readonly joint: JointKey;
  readonly tool: string;
  readonly operator: string;
  readonly bike: string;
  readonly position: number;
  readonly when: number;
  readonly planted?: PlantedEvent;
}

/** What the shift does to every tool and joint alike: between-shift scatter of stop and of snug point. */
type ShiftLuck = (tool: string, joint: JointKey) => { readonly stop: number; readonly snug: number };

function shiftLuck(random: Random): ShiftLuck {
  const known = new Map<string, { stop: number; snug: number }>();
  // Drawn up front for every pair in a fixed order, so that what is used first does not matter.
  for (const tool of ['T-090', 'T-114', 'T-118', 'T-131', 'T-207', 'T-302', 'T-305', 'T-410'])
    for (const joint of ['RA', 'LP', 'RS', 'CA', 'MM', 'SC', 'BC'])
      known.set(`${tool} ${joint}`, { stop: 0.0022 * random.normal(), snug: 0.006 * random.normal() });
  return (tool, joint) => known.get(`${tool} ${joint}`)!;
}

/** One fastener with what follows a failure; returns when the hand is free again. */
function tighten(job: Job, readings: Made[]): number {
  const { random } = job;
  const made = pull(job, job.when, 'first', random.uniform() < 0.011 ? (random.uniform() < 0.55 ? -1 : 1) : 0);
  readings.push(made);
  const why = outside(made);
  const followUp = random.uniform();
  // Wrenches that store no identity: a failure left alone would make the next fastener look like its second try.
  const always = job.tool === 'T-302' || job.tool === 'T-305' || job.tool === 'T-090';
  if (why === null || (followUp > 0.78 && !always) || job.planted !== undefined) return job.when;
  let when = job.when;
  const sign = jointOf(job.joint).direction === 'ccw' ? -1 : 1;
  const storesLoosening = job.tool === 'T-114' || job.tool === 'T-118' || job.tool === 'T-207';
  if (storesLoosening && (why !== 'torque-low' || followUp < 0.3)) {
    when += 11_000;
    const share = 0.82 + 0.05 * random.normal();
    readings.push({
      ...made,
      at: when,
      kind: 'loosened',
      torque: rounded(-made.torque * share, toolOf(job.tool).decimals),
      angle: rounded(-sign * (28 + 4 * random.normal()), 1),
    });
  }
  when += 23_000 + Math.round(random.uniform() * 18) * 1000;
  readings.push(pull(job, when, 'again', 0));
  return when;
}

/** Stop, applied torque and angle of one pull. `slip` -1 or +1 makes it miss the window on that side. */
function pull(job: Job, at: number, kind: Made['kind'], slip: number): Made {
  const { random, run } = job;
  const plan = jointOf(job.joint);
  const limits = revisionAt(job.joint, at);
  const operator = operatorOf(job.operator);
  const tool = toolOf(job.tool);
  const luck = job.luck(job.tool, job.joint);
  const gain = 1 + deviationOf(job.tool, run.shiftNumber) / 100;
  const k = stiffness(job.joint);
  const over = operator.overshoot * Math.exp(operator.overshootSpread * random.normal());
  const scatter = 0.0055 * random.normal();
  const snugScatter = random.normalWithin(2);
  let shown: number;
  let angle: number;
  if (plan.stopsBy === 'angle') {
    const snug = limits.target - k * plan.usualAngle + (0.045 * snugScatter + luck.snug) * limits.target;
    angle = plan.usualAngle + 90 * over + 0.4 * random.normal() + (slip === 0 ? 0 : slip * 6);
    shown = gain * (snug + k * angle);
  } else {
    const half = (limits.high - limits.low) / 2;
    let share = -0.003 + operator.habit + luck.stop + over + scatter + drifted(job.tool, run);
    if (slip !== 0) share = (slip * half * (1.05 + 0.3 * random.uniform())) / limits.target;
    shown = limits.target * (1 + share);
    const snug = limits.target * (0.18 + 0.085 * snugScatter + luck.snug);
    angle = (shown / gain - snug) / k;
  }
  const sign = plan.direction === 'ccw' ? -1 : 1;
  return {
    at,
    tool: job.tool,
    operator: job.operator,
    joint: job.joint,
    bike: job.bike,
    position: job.position,
    torque: rounded((sign * shown) / newtonMetresPer[tool.unit], tool.decimals),
    angle: rounded(sign * angle, 1),
    kind,
    planted: job.planted ?? null,
  };
}

/** The planted change of behaviour, share of the target: a ramp over the second half. */
function drifted(tool: string, run: ShiftRun): number {
  const plan = planted.behaviour;
  if (tool !== plan.tool || run.shiftNumber < plan.fromShift) return 0;
  return (plan.shareAtEnd * (run.shiftNumber + 1 - plan.fromShift)) / (plan.toShift - plan.fromShift);
}

/** Single events that belong to one bike of one shift. */
function plantAfterBike(
  run: ShiftRun,
  bike: string,
  count: number,
  readings: Made[],
  random: Random,
  luck: ShiftLuck,
  nextCrew: readonly string[],
): void {
  const last = (joint: JointKey): Made =>
    [...readings].reverse().find((made) => made.joint === joint && made.bike === bike && made.kind === 'first')!;
  const date = (text: string, shift: ShiftName): boolean => run.day === dayOf(text) && run.shift === shift;
  if ((date('2026-11-17', 'Early') && count === 5) || (date('2026-11-24', 'Late') && count === 11)) {
    // The hand pulls once more on a fastener that is tight: a tiny angle after a pass.
    const tight = last('RA');
    readings.push({
      ...tight,
      at: tight.at + 14_000,
      kind: 'extra',
      planted: 'second-pull',
      torque: rounded(tight.torque * 1.006, 2),
      angle: rounded(3 + random.uniform() * 2, 1),
    });
  }
  if (date('2026-11-19', 'Early') && count === 10) {
    // Somebody of the next shift checks a pedal again, hours later: it holds.
    const pedal = last('LP');
    readings.push({
      ...pedal,
      at: run.start + 8 * msPerHour + 25 * 60_000,
      kind: 'extra',
      planted: 're-check',
      operator: nextCrew[run.dayNumber % nextCrew.length]!,
      torque: rounded(pedal.torque * 1.01, 2),
      angle: rounded(-1.6, 1),
    });
  }
  if ((date('2026-11-16', 'Early') && count === 3) || (date('2026-11-23', 'Late') && count === 14)) {
    // The wrench was set to a window of 39.50 to 50.00: it calls good what the register calls low.
    const index = readings.indexOf(last('RA'));
    const made = readings[index]!;
    const snug = 45 * (0.18 + luck('T-114', 'RA').snug);
    readings[index] = {
      ...made,
      torque: 39.72,
      planted: 'own-result-differs',
      angle: rounded((39.72 / 1.002 - snug) / stiffness('RA'), 1),
    };
  }
}

const toSecond = (at: number): number => Math.round(at / 1000) * 1000;

/** Rounds to the decimals a display has. */
export function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}

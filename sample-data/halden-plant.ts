/**
 * The invented plant: Halden Cargo Cycles, rear rack line. Joints, tools, people and calendar, and what is planted.
 *
 * Every number here is made up. Torques in N.m, angles in degrees, times in civil ms.
 */

import { civilTime, msPerDay } from '#core/time/civil-time.ts';
import type { TorqueUnit } from '#core/units/torque-unit.ts';

export type JointKey = 'RA' | 'LP' | 'RS' | 'CA' | 'MM' | 'SC' | 'BC';

export interface PlannedRevision {
  readonly from: string;
  readonly low: number;
  readonly target: number;
  readonly high: number;
  readonly angleLow: number | null;
  readonly angleTarget: number | null;
  readonly angleHigh: number | null;
  readonly by: string;
  readonly why: string;
}

export interface PlannedJoint {
  readonly key: JointKey;
  readonly name: string;
  readonly class: 'A' | 'B' | 'C';
  readonly direction: 'cw' | 'ccw';
  readonly stopsBy: 'torque' | 'angle';
  readonly perBike: number;
  /** Angle usually reached at the target torque; with the torque it gives the stiffness. */
  readonly usualAngle: number;
  readonly revisions: readonly PlannedRevision[];
}

const first = { by: 'P. Aune', why: 'first limits', from: '2026-09-01' };

export const joints: readonly PlannedJoint[] = [
  {
    key: 'RA',
    name: 'Rear axle nut',
    class: 'A',
    direction: 'cw',
    stopsBy: 'torque',
    perBike: 2,
    usualAngle: 50,
    revisions: [{ ...first, low: 40, target: 45, high: 50, angleLow: 30, angleTarget: 50, angleHigh: 70 }],
  },
  {
    key: 'LP',
    name: 'Left pedal',
    class: 'B',
    direction: 'ccw',
    stopsBy: 'torque',
    perBike: 1,
    usualAngle: 34,
    revisions: [{ ...first, low: 32, target: 35, high: 38, angleLow: null, angleTarget: null, angleHigh: null }],
  },
  {
    key: 'RS',
    name: 'Rack stay M8',
    class: 'B',
    direction: 'cw',
    stopsBy: 'torque',
    perBike: 4,
    usualAngle: 62,
    revisions: [
      { ...first, low: 21.5, target: 24, high: 26, angleLow: 40, angleTarget: 62, angleHigh: 90 },
      {
        from: '2026-11-10',
        low: 22,
        target: 24,
        high: 26,
        angleLow: 40,
        angleTarget: 62,
        angleHigh: 90,
        by: 'A. Solheim',
        why: 'longer aluminium insert',
      },
    ],
  },
  {
    key: 'CA',
    name: 'Crank arm',
    class: 'A',
    direction: 'cw',
    stopsBy: 'torque',
    perBike: 2,
    usualAngle: 45,
    revisions: [{ ...first, low: 38, target: 41, high: 44, angleLow: 25, angleTarget: 45, angleHigh: 65 }],
  },
  {
    key: 'MM',
    name: 'Motor mount M8',
    class: 'A',
    direction: 'cw',
    stopsBy: 'angle',
    perBike: 3,
    usualAngle: 60,
    revisions: [{ ...first, low: 22, target: 28, high: 34, angleLow: 57, angleTarget: 60, angleHigh: 66 }],
  },
  {
    key: 'SC',
    name: 'Stem clamp M6',
    class: 'A',
    direction: 'cw',
    stopsBy: 'torque',
    perBike: 2,
    usualAngle: 40,
    revisions: [{ ...first, low: 5.4, target: 6, high: 6.6, angleLow: null, angleTarget: null, angleHigh: null }],
  },
  {
    key: 'BC',
    name: 'Brake caliper M6',
    class: 'A',
    direction: 'cw',
    stopsBy: 'torque',
    perBike: 4,
    usualAngle: 34,
    revisions: [{ ...first, low: 7.5, target: 8, high: 8.5, angleLow: null, angleTarget: null, angleHigh: null }],
  },
];

export const jointOf = (key: JointKey): PlannedJoint => joints.find((joint) => joint.key === key)!;

/** Limits in force at a time. */
export function revisionAt(key: JointKey, at: number): PlannedRevision {
  const list = jointOf(key).revisions;
  return [...list].reverse().find((revision) => dayOf(revision.from) <= at) ?? list[0]!;
}

export interface PlannedTool {
  readonly serial: string;
  readonly min: number;
  readonly max: number;
  readonly permissibleDeviationPercent: number;
  readonly storageCapacity: number;
  readonly calibratedOn: string;
  /** Unit and decimals of what it displays and stores. */
  readonly unit: TorqueUnit;
  readonly decimals: number;
  /** What it shows too much (+) in percent of the reference, before anything drifts. */
  readonly deviation: number;
  readonly intervalMonths: number;
  readonly checkEveryDays: number | null;
  readonly lengthMm: number;
}

const common = { permissibleDeviationPercent: 4, intervalMonths: 12, checkEveryDays: 14 };

export const tools: readonly PlannedTool[] = [
  {
    ...common,
    serial: 'T-114',
    min: 10,
    max: 60,
    storageCapacity: 1500,
    calibratedOn: '2026-10-05',
    unit: 'N.m',
    decimals: 2,
    deviation: 0.2,
    lengthMm: 402,
  },
  {
    ...common,
    serial: 'T-118',
    min: 10,
    max: 60,
    storageCapacity: 4000,
    calibratedOn: '2026-10-09',
    unit: 'N.m',
    decimals: 2,
    deviation: 0.1,
    lengthMm: 402,
  },
  {
    ...common,
    serial: 'T-131',
    min: 10,
    max: 60,
    storageCapacity: 2500,
    calibratedOn: '2025-11-18',
    unit: 'N.m',
    decimals: 2,
    deviation: -0.2,
    lengthMm: 402,
  },
  {
    ...common,
    serial: 'T-207',
    min: 5,
    max: 50,
    storageCapacity: 2500,
    calibratedOn: '2026-10-12',
    unit: 'N.m',
    decimals: 2,
    deviation: 0.1,
    lengthMm: 365,
  },
  {
    ...common,
    serial: 'T-302',
    min: 1,
    max: 10,
    permissibleDeviationPercent: 6,
    storageCapacity: 4000,
    calibratedOn: '2026-10-06',
    unit: 'cN.m',
    decimals: 0,
    deviation: 0.1,
    lengthMm: 210,
  },
  {
    ...common,
    serial: 'T-305',
    min: 2,
    max: 12,
    storageCapacity: 540,
    calibratedOn: '2026-09-14',
    unit: 'N.m',
    decimals: 2,
    deviation: 0.2,
    lengthMm: 228,
  },
  {
    ...common,
    serial: 'T-410',
    min: 8,
    max: 50,
    storageCapacity: 2000,
    calibratedOn: '2026-08-24',
    unit: 'lbf.ft',
    decimals: 2,
    deviation: 0,
    lengthMm: 380,
  },
  {
    ...common,
    serial: 'T-090',
    min: 1,
    max: 10,
    permissibleDeviationPercent: 6,
    storageCapacity: 300,
    calibratedOn: '2026-06-02',
    unit: 'N.m',
    decimals: 2,
    deviation: 0.4,
    checkEveryDays: null,
    lengthMm: 190,
  },
];

export const toolOf = (serial: string): PlannedTool => tools.find((tool) => tool.serial === serial)!;

export interface PlannedOperator {
  readonly badge: string;
  readonly name: string;
  /** Mean stop over the target beside the usual overshoot, share of the target. */
  readonly habit: number;
  /** Median of the skewed overshoot after the signal, share of the target, and its spread on the log scale. */
  readonly overshoot: number;
  readonly overshootSpread: number;
}

/** Two who differ: Banerjee pulls on past the signal, Lind stops short; the others are alike. */
export const operators: readonly PlannedOperator[] = [
  { badge: '114', name: 'K. Osei', habit: 0, overshoot: 0.008, overshootSpread: 0.6 },
  { badge: '122', name: 'M. Lind', habit: -0.005, overshoot: 0.007, overshootSpread: 0.55 },
  { badge: '139', name: 'R. Banerjee', habit: 0.005, overshoot: 0.012, overshootSpread: 0.75 },
  { badge: '147', name: 'J. Tveit', habit: 0.0005, overshoot: 0.008, overshootSpread: 0.6 },
  { badge: '153', name: 'L. Duarte', habit: -0.0005, overshoot: 0.008, overshootSpread: 0.6 },
  { badge: '160', name: 'E. Sato', habit: 0, overshoot: 0.008, overshootSpread: 0.6 },
  { badge: '165', name: 'A. Novak', habit: 0.004, overshoot: 0.008, overshootSpread: 0.6 },
  { badge: '171', name: 'H. Berg', habit: 0, overshoot: 0.008, overshootSpread: 0.6 },
];

export const operatorOf = (badge: string): PlannedOperator => operators.find((operator) => operator.badge === badge)!;

const weekdays = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri'] as const;

/** The simulation keeps to the breaks: two and a half and five and a half hours into the day shifts. */
export const shifts = [
  {
    name: 'Early',
    start: '06:00',
    end: '14:00',
    weekdays,
    breaks: [
      { start: '08:30', end: '08:45', name: 'coffee' },
      { start: '11:30', end: '12:00', name: 'lunch' },
    ],
  },
  {
    name: 'Late',
    start: '14:00',
    end: '22:00',
    weekdays,
    breaks: [
      { start: '16:30', end: '16:45', name: 'coffee' },
      { start: '19:30', end: '20:00', name: 'supper' },
    ],
  },
  { name: 'Night', start: '22:00', end: '06:00', weekdays, breaks: [] },
] as const;

/** Where each joint is made, by the stations of the simulation. */
export const stations: Readonly<Record<JointKey, string>> = {
  RA: 'axle bench',
  LP: 'axle bench',
  MM: 'axle bench',
  RS: 'rack bench',
  CA: 'rack bench',
  SC: 'cockpit bench',
  BC: 'cockpit bench',
};
export type ShiftName = (typeof shifts)[number]['name'];

/** The civil time of an ISO date, or of a date with a time of day. */
export function dayOf(date: string): number {
  const [year, month, day] = date.split('-').map(Number);
  return civilTime(year ?? 0, month ?? 0, day ?? 0)!;
}

/** Working days, Tue 3 to Tue 24 Nov 2026. */
export const workingDays: readonly number[] = Array.from(
  { length: 22 },
  (_, i) => dayOf('2026-11-03') + i * msPerDay,
).filter((day) => {
  const weekday = ((day / msPerDay + 3) % 7) + 1;
  return weekday <= 5;
});

/** Nights on which the line also runs, by the day on which they start. */
export const nights: readonly number[] = ['2026-11-05', '2026-11-12', '2026-11-17', '2026-11-19'].map(dayOf);

/**
 * The changes that are planted. Shifts are counted from 0 over Early and Late in turn, so 16 is the 17th: the early
 * shift of Fri 13 Nov.
 */
export const planted = {
  /** T-207 begins to show too little; its own stops stay, since it signals on what it shows. */
  calibration: { tool: 'T-207', fromShift: 16, deviationPercent: -2.9 },
  /** T-305 is stopped earlier and earlier, by everybody who uses it. */
  behaviour: { tool: 'T-305', fromShift: 16, toShift: 32, shareAtEnd: -0.036 },
  /** A. Novak used T-131 only, and nobody else used it. */
  tangled: { tool: 'T-131', operator: '165' },
} as const;

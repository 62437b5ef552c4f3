/** The register of the invented plant, in the shape of the register file, and its log of checks. */
import { civilText, msPerHour } from '#core/time/civil-time.ts';
import { dayOf, joints, operators, planted, shifts, stations, toolOf, tools } from './halden-plant.ts';
import { makeRandom } from './random.ts';
import { rounded } from './simulate-line.ts';

interface PlannedCheck {
  readonly tool: string;
  readonly on: string;
  readonly nominal: number;
  readonly kind: 'as-found' | 'as-left';
  readonly pulls: number;
}

const check = (tool: string, on: string, nominal: number, kind: PlannedCheck['kind'] = 'as-found', pulls = 5) =>
  ({ tool, on, nominal, kind, pulls }) satisfies PlannedCheck;

/** Checks before the shift starts. T-410 is checked with a single pull, T-090 never. */
const checks: readonly PlannedCheck[] = [
  check('T-114', '2026-10-05', 45, 'as-left'),
  check('T-114', '2026-10-21', 45),
  check('T-114', '2026-11-04', 45),
  check('T-114', '2026-11-18', 45),
  check('T-118', '2026-10-09', 24, 'as-left'),
  check('T-118', '2026-10-26', 24),
  check('T-118', '2026-11-09', 24),
  check('T-118', '2026-11-23', 24),
  check('T-131', '2026-10-22', 41),
  check('T-131', '2026-11-05', 41),
  check('T-207', '2026-10-12', 24, 'as-left'),
  check('T-207', '2026-10-26', 24),
  check('T-207', '2026-11-09', 10),
  check('T-207', '2026-11-09', 24),
  check('T-207', '2026-11-09', 45),
  check('T-207', '2026-11-23', 10),
  check('T-207', '2026-11-23', 24),
  check('T-207', '2026-11-23', 45),
  check('T-302', '2026-10-06', 7, 'as-left'),
  check('T-302', '2026-10-30', 7),
  check('T-302', '2026-11-13', 7),
  check('T-305', '2026-10-20', 8),
  check('T-305', '2026-11-03', 8),
  check('T-305', '2026-11-17', 8),
  check('T-305', '2026-11-24', 8),
  check('T-410', '2026-11-16', 28, 'as-found', 1),
];

/** The day on which T-207 starts to show too little. */
export const calibrationDriftFrom = dayOf('2026-11-13');

/** The register file of the sample. */
export function plantRegister(seed: number): unknown {
  const random = makeRandom(seed + 48);
  return {
    joints: joints.map((joint) => ({
      name: joint.name,
      class: joint.class,
      direction: joint.direction,
      stopsBy: joint.stopsBy,
      station: stations[joint.key],
      limits: joint.revisions.map((revision) => ({
        from: revision.from,
        unit: 'N.m',
        low: revision.low,
        target: revision.target,
        high: revision.high,
        angleLow: revision.angleLow,
        angleTarget: revision.angleTarget,
        angleHigh: revision.angleHigh,
        batchSize: joint.perBike,
        retryWithinSeconds: 120,
        by: revision.by,
        why: revision.why,
      })),
    })),
    tools: tools.map((tool) => ({
      serial: tool.serial,
      unit: 'N.m',
      min: tool.min,
      max: tool.max,
      permissibleDeviationPercent: tool.permissibleDeviationPercent,
      storageCapacity: tool.storageCapacity,
      calibratedOn: tool.calibratedOn,
      intervalMonths: tool.intervalMonths,
      intervalCycles: 5000,
      checkEveryDays: tool.checkEveryDays,
      lengthMm: tool.lengthMm,
      status: 'in-use',
      events: checks
        .filter((made) => made.tool === tool.serial && made.kind === 'as-left')
        .map((made) => ({ at: made.on, kind: 'calibration', note: 'yearly calibration' })),
    })),
    operators: operators.map(({ badge, name }) => ({ badge, name })),
    shifts: shifts.map((shift) => ({ ...shift })),
    checks: checks.flatMap((made) => {
      const at = dayOf(made.on) + 5.5 * msPerHour;
      const deviation =
        made.tool === planted.calibration.tool && at >= calibrationDriftFrom
          ? planted.calibration.deviationPercent
          : toolOf(made.tool).deviation;
      return Array.from({ length: made.pulls }, () => {
        const decimals = made.nominal < 10 ? 3 : 2;
        const reading = rounded(made.nominal * (1 + 0.002 * random.normal()), decimals);
        const reference = rounded(reading / (1 + (deviation + 0.22 * random.normal()) / 100), decimals);
        return {
          tool: made.tool,
          at: civilText(at),
          nominal: made.nominal,
          reference,
          reading,
          unit: 'N.m',
          kind: made.kind,
          uncertaintyPercent: 1,
        };
      });
    }),
  };
}

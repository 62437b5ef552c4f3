/** What a reader and an analysis have to find in the sample: exact counts, and the facts that were planted. */
import { civilText, msPerHour } from '#core/time/civil-time.ts';
import type { Stored } from './dump-layouts.ts';
import { dayOf, jointOf, operatorOf, type PlannedOperator, planted, toolOf } from './halden-plant.ts';
import { calibrationDriftFrom } from './plant-register.ts';
import { type Made, type MadeLine, outside, rounded } from './simulate-line.ts';
import { clockReset, type MadeDump, type Memories, wrongNames } from './tool-memories.ts';

type Verdict = 'pass' | 'fail' | 'unjudged';

/** Builds the truth file. Readings are named by tool and place, so that it does not depend on how a store numbers files. */
export function plantedTruth(line: MadeLine, memories: Memories): unknown {
  const held = new Map<Made, Stored>();
  const files = memories.dumps.map((dump) => {
    const fresh = dump.records.filter((stored) => !held.has(stored.made));
    for (const stored of fresh) held.set(stored.made, stored);
    return fileTruth(dump, fresh.length);
  });
  const stored = [...held.values()];
  const events = stored.filter((reading) => reading.made.planted !== null);
  const atFastener = (made: Made) => ({ joint: jointOf(made.joint).name, batch: made.bike, position: made.position });
  return {
    about: 'Invented data. Counts are of distinct readings over all dumps; times are those of the tools unless said.',
    readings: {
      distinct: stored.length,
      byTool: counted(stored, (reading) => reading.made.tool),
      byJoint: counted(stored, (reading) => reading.joint),
      byOperator: counted(
        stored.filter((reading) => reading.made.tool !== 'T-090'),
        (reading) => reading.operator,
      ),
      byShift: counted(
        stored.filter((reading) => reading.made.tool !== 'T-090'),
        (reading) => shiftAt(reading.clock),
      ),
      withoutTime: stored.filter((reading) => reading.made.tool === 'T-090').length,
      otherDirection: stored.filter((reading) => reading.made.kind === 'loosened').length,
      verdicts: { pass: 0, fail: 0, unjudged: 0, ...counted(stored, verdict) },
    },
    files,
    totals: {
      files: files.length,
      accepted: sum(files.map((one) => one.lines.accepted)),
      alreadyHeld: sum(files.map((one) => one.lines.alreadyHeld)),
      rejected: sum(files.map((one) => one.lines.rejected)),
    },
    fullMemory: {
      tool: 'T-305',
      file: 'T-305_2026-11-12.txt',
      capacity: toolOf('T-305').storageCapacity,
      notStored: memories.lost.length,
      from: memories.lost[0] ? civilText(memories.lost[0].at) : null,
      to: memories.lost.length > 0 ? civilText(memories.lost[memories.lost.length - 1]!.at) : null,
    },
    clockReset: {
      tool: clockReset.tool,
      readings: stored.filter((reading) => reading.clock < dayOf('2001-01-01')).length,
      trueFrom: civilText(clockReset.from),
      trueTo: civilText(clockReset.to),
      shownFrom: civilText(clockReset.startsAt),
    },
    wrongNames: wrongNames.map(({ tool, kind, right, written, count }) => ({ tool, kind, right, written, count })),
    calibrationDrift: {
      tool: planted.calibration.tool,
      deviationPercent: planted.calibration.deviationPercent,
      since: civilText(calibrationDriftFrom + 6 * msPerHour),
      shiftsBefore: shiftsOf(stored, planted.calibration.tool, (at) => at < calibrationDriftFrom),
      shiftsAfter: shiftsOf(stored, planted.calibration.tool, (at) => at >= calibrationDriftFrom),
      shownIn: ['angle at equal torque', 'checks of 23 Nov'],
      notShownIn: ['its own torque readings'],
    },
    behaviourDrift: {
      tool: planted.behaviour.tool,
      shape: 'ramp',
      percentAtEnd: rounded(100 * planted.behaviour.shareAtEnd, 2),
      since: civilText(calibrationDriftFrom + 6 * msPerHour),
      shiftsBefore: shiftsOf(stored, planted.behaviour.tool, (at) => at < calibrationDriftFrom),
      shiftsAfter: shiftsOf(stored, planted.behaviour.tool, (at) => at >= calibrationDriftFrom),
      shownIn: ['its own torque readings'],
      notShownIn: ['angle at equal torque', 'checks'],
    },
    operatorsWhoDiffer: {
      higher: '139',
      lower: '122',
      percent: rounded(100 * (meanStop(operatorOf('139')) - meanStop(operatorOf('122'))), 2),
    },
    tangled: { ...planted.tangled, name: operatorOf(planted.tangled.operator).name },
    overdueCalibration: { tool: 'T-131', calibratedOn: '2025-11-18', months: 12, due: '2026-11-18' },
    missedFasteners: line.missed.map((miss) => ({
      tool: miss.tool,
      joint: jointOf(miss.joint).name,
      batch: miss.bike,
      position: miss.position,
      about: civilText(miss.about),
    })),
    secondPulls: events
      .filter((reading) => reading.made.planted === 'second-pull')
      .map((reading) => ({ tool: reading.made.tool, at: civilText(reading.clock), ...atFastener(reading.made) })),
    reChecks: events
      .filter((reading) => reading.made.planted === 're-check')
      .map((reading) => ({ tool: reading.made.tool, at: civilText(reading.clock), ...atFastener(reading.made) })),
    acrossShifts: events
      .filter((reading) => reading.made.planted === 'across-shifts')
      .map((reading) => ({ tool: reading.made.tool, at: civilText(reading.clock), ...atFastener(reading.made) })),
    ownResultDiffers: events
      .filter((reading) => reading.made.planted === 'own-result-differs')
      .map((reading) => ({ tool: reading.made.tool, at: civilText(reading.clock), ...atFastener(reading.made) })),
    tightenedAgain: stored.filter((reading) => reading.made.kind === 'again').length,
  };
}

function fileTruth(dump: MadeDump, fresh: number) {
  const { headerLines, blankLines, text } = dump.written;
  return {
    file: dump.file,
    tool: dump.tool,
    lines: {
      total: text.split('\n').length - 1,
      header: headerLines,
      blank: blankLines,
      accepted: fresh,
      alreadyHeld: dump.records.length - fresh,
      rejected: dump.rejectedLines,
    },
  };
}

/** Verdict by the recorded values and the names as written. */
function verdict(stored: Stored): Verdict {
  const plan = jointOf(stored.made.joint);
  if (stored.made.kind === 'loosened') return 'unjudged';
  if (stored.joint !== plan.name || stored.clock < dayOf('2026-09-01')) return 'unjudged';
  return outside(stored.made) === null ? 'pass' : 'fail';
}

function shiftAt(at: number): string {
  const hour = (at % (24 * msPerHour)) / msPerHour;
  return hour < 6 || hour >= 22 ? 'Night' : hour < 14 ? 'Early' : 'Late';
}

/** Shift occurrences, Early and Late, in which a tool was used. */
function shiftsOf(stored: readonly Stored[], tool: string, when: (at: number) => boolean): number {
  const used = stored
    .filter((reading) => reading.made.tool === tool && when(reading.clock))
    .map((reading) => Math.floor((reading.clock - 6 * msPerHour) / (8 * msPerHour)));
  return new Set(used).size;
}

/** Mean of habit and skewed overshoot: the mean of a lognormal is its median times exp(s^2/2). */
const meanStop = (operator: PlannedOperator): number =>
  operator.habit + operator.overshoot * Math.exp(operator.overshootSpread ** 2 / 2);

function counted(stored: readonly Stored[], key: (reading: Stored) => string): Record<string, number> {
  const counts = new Map<string, number>();
  for (const reading of stored) counts.set(key(reading), (counts.get(key(reading)) ?? 0) + 1);
  return Object.fromEntries([...counts].sort(([a], [b]) => (a < b ? -1 : 1)));
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

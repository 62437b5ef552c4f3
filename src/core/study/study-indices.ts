/** The capability indices of a study, each with its value or the reason why there is none. */
import type { IndexName } from '../contract/models/study-model.ts';
import { type CannotSay, type Computed, notDefined, tooFewValues } from '../outcome.ts';
import type { Plant } from '../readings/plant.ts';
import {
  bissellInterval,
  chiSquareInterval,
  cpmIndex,
  indexPair,
  type Limits,
  leastForIndices,
  leastForMachine,
  machineIndicesApply,
  nearerLimitIndex,
  potentialIndex,
} from '../stats/capability-indices.ts';
import type { BootstrapResult } from '../stats/parametric-bootstrap.ts';
import type { PercentileIndices } from '../stats/percentile-indices.ts';
import type { SampleMoments } from '../stats/sample-moments.ts';
import type { WithinSigma } from '../stats/within-sigma.ts';
import type { IndexFigure } from './study.ts';
import type { StudyReadings } from './study-readings.ts';

/** Whether the readings come from one tool, one operator, one block, and enough of them. */
export function machineFacts(plant: Plant, readings: StudyReadings, n: number): boolean {
  if (n < leastForMachine || readings.positions.length !== n) return false;
  const operators = new Set<number>();
  const tools = new Set<number>();
  for (const i of readings.positions) {
    operators.add(plant.readings.operator[i]!);
    tools.add(plant.readings.tool[i]!);
    if (operators.size > 1 || tools.size > 1) return false;
  }
  return machineIndicesApply(n, tools.size, operators.size, readings.strataCount);
}

interface IndexInputs {
  readonly limits: Limits;
  readonly moments: SampleMoments | null;
  readonly hasSpread: boolean;
  readonly n: number;
  readonly withinSigma: Computed<WithinSigma>;
  readonly normal: boolean;
  readonly percentile: PercentileIndices | null;
  readonly bootstrap: BootstrapResult | null;
  readonly fitted: boolean;
  readonly machine: boolean;
}

/** Every index: by the normal distribution, or by quantiles of the fitted model with bootstrap ends. */
export function allIndices(input: IndexInputs): Record<IndexName, Computed<IndexFigure>> {
  const { limits, moments, n, withinSigma } = input;
  const every = (why: CannotSay): Record<IndexName, Computed<IndexFigure>> => ({
    Cp: why,
    Cpk: why,
    Pp: why,
    Ppk: why,
    Cpm: why,
    Cm: why,
    Cmk: why,
  });
  if (limits.low === null && limits.high === null) return every(notDefined('study.no-limits'));
  if (limits.low !== null && limits.high !== null && !(limits.low < limits.high)) {
    return every(notDefined('study.limits-equal'));
  }
  if (!moments || n < leastForIndices) return every(tooFewValues(leastForIndices, n));
  const s = moments.standardDeviation;
  if (!input.hasSpread || s === null) return every({ ok: false, reason: 'no-spread' });
  const { mean } = moments;
  const twoSided = limits.low !== null && limits.high !== null;
  const give = (
    interval: { value: number; low95: number; high95: number } | null,
    missing: CannotSay,
  ): Computed<IndexFigure> => (interval ? { ok: true, value: { ...interval, method: 'normal' } } : missing);
  const oneSided = notDefined('study.needs-two-limits');

  let Pp: Computed<IndexFigure>;
  let Ppk: Computed<IndexFigure>;
  if (input.normal) {
    const pair = indexPair(limits, mean, n, s, n - 1);
    Pp = give(pair.potential, oneSided);
    Ppk = give(pair.nearer, oneSided);
  } else if (!input.fitted || !input.percentile) {
    Pp = notDefined('study.model-does-not-fit');
    Ppk = Pp;
  } else {
    const figure = (value: number | null, ends: { low95: number; high95: number } | null): Computed<IndexFigure> =>
      value === null
        ? oneSided
        : {
            ok: true,
            value: { value, low95: ends?.low95 ?? null, high95: ends?.high95 ?? null, method: 'percentile' },
          };
    Pp = figure(input.percentile.Pp, input.bootstrap?.Pp ?? null);
    Ppk = figure(input.percentile.Ppk, input.bootstrap?.Ppk ?? null);
  }

  const notNormal = notDefined('study.within-needs-normal');
  let Cp: Computed<IndexFigure> = notNormal;
  let Cpk: Computed<IndexFigure> = notNormal;
  if (input.normal) {
    if (withinSigma.ok) {
      const { sigma, degreesOfFreedom } = withinSigma.value;
      const potential = potentialIndex(limits, sigma);
      const nearer = nearerLimitIndex(limits, mean, sigma);
      Cp = give(potential === null ? null : chiSquareInterval(potential, degreesOfFreedom), oneSided);
      Cpk = give(nearer === null ? null : bissellInterval(nearer, n, degreesOfFreedom), oneSided);
    } else {
      Cp = withinSigma.reason === 'no-spread' ? withinSigma : notDefined('study.no-groups');
      Cpk = Cp;
    }
  }
  const Cpm = !input.normal
    ? notNormal
    : give(cpmIndex(limits, mean, s, n), twoSided ? notDefined('study.target-not-middle') : oneSided);
  const noMachine = n < leastForMachine ? tooFewValues(leastForMachine, n) : notDefined('study.not-a-machine-run');
  return { Cp, Cpk, Pp, Ppk, Cpm, Cm: input.machine ? Pp : noMachine, Cmk: input.machine ? Ppk : noMachine };
}

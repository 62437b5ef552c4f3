import type { DetailValue, ReadingDetail } from '../contract/models/readings-model.ts';
import type { ReadingRow } from '../contract/models/shared.ts';
import { type FailReason, failReasons, unjudgedCodes } from '../judging/judged.ts';
import type { LimitRevision } from '../register/register.ts';
import { fastenerChains } from '../review/chains.ts';
import { secondPulls } from '../review/second-pulls.ts';
import { type Said, said } from '../text/said.ts';
import { adapterFactor, handShiftEffect } from '../units/adapter-factor.ts';
import { type Plant, readingName } from './plant.ts';
import {
  chainByName,
  fastenerName,
  judgedUnitOf,
  operatorLabel,
  ownDiffers,
  present,
  readingRow,
  unitOf,
  verdictName,
} from './reading-row.ts';
import { dateOnly } from './shift-occurrence.ts';

/** Readings of the same tool shown before and after. */
const neighbours = 3;

/** Position of the reading named `<source>:<line>`, or -1. */
export function positionOf(plant: Plant, id: string): number {
  const parts = /^(\d+):(\d+)$/.exec(id);
  if (!parts) return -1;
  const source = Number(parts[1]);
  const line = Number(parts[2]);
  const { readings } = plant;
  for (let i = 0; i < readings.length; i++) if (readings.source[i] === source && readings.line[i] === line) return i;
  return -1;
}

/**
 * Everything the drawer shows of one reading.
 *
 * @param id `<source>:<line>`
 * @param rawLine the line as written, null while it cannot be read
 * @param rawNote what was masked in it, or why it is not shown; null: it is as written
 * @returns null when no reading has that name
 */
export function readingDetail(
  plant: Plant,
  id: string,
  rawLine: string | null,
  rawNote: Said | null = null,
): ReadingDetail | null {
  const i = positionOf(plant, id);
  if (i < 0) return null;
  const { readings, register, judged } = plant;
  const row = readingRow(plant, i);
  const joint = register.joints[readings.joint[i]!];
  const revision = joint?.revisions[judged.revision[i]!] ?? null;
  const chains = fastenerChains(plant);
  const tries = triesOf(plant, i);
  const unjudged = unjudgedCodes[judged.unjudgedBecause[i]!] ?? null;
  const leftOut = plant.leftOut.get(i) ?? null;
  const { before, after } = sameToolAround(plant, i);
  const number = readings.batchPosition[i]!;
  return {
    row,
    heading: said('readings.heading', {
      joint: row.joint,
      number: number >= 0 ? number : null,
      fastener: fastenerName(plant, i),
    }),
    under: said('readings.under', {
      at: row.at,
      dateOnly: readings.atStep[i] === dateOnly,
      tool: row.tool,
      operator: operatorLabel(plant, readings.operator[i]!),
    }),
    torque: torqueValue(plant, i, revision),
    angle: angleValue(plant, i, revision),
    unjudged: unjudged === null ? null : said('readings.unjudged', { code: unjudged, joint: row.joint }),
    revision: revision && { label: revision.label, from: revision.from, by: revision.by, why: revision.why },
    adapter: adapterSaid(plant, i),
    tries: tries.map((k) => ({
      id: readingName(readings, k),
      here: k === i,
      said: said('readings.try', {
        attempt: chains.attempt[k]!,
        torque: present(readings.torque[k]!),
        decimals: readings.decimals[k]!,
        unit: unitOf(plant, k),
        angle: present(readings.angle[k]!),
        loosened: chains.loosened[k] === 1,
        verdict: verdictName(judged.verdict[k]!),
      }),
    })),
    chainBy: chainByName(plant, i),
    rawLine,
    rawNote,
    sourceName: row.sourceName,
    line: row.line,
    ownDiffers: ownDiffers(plant, i)
      ? said('readings.own-differs', { own: row.ownResult ?? '', ours: verdictName(judged.verdict[i]!) })
      : null,
    remarks: remarksOf(plant, i),
    notes: (plant.notes.get(i) ?? []).map((note) => ({ ...note })),
    leftOut: leftOut && { ...leftOut },
    before,
    after,
  };
}

function triesOf(plant: Plant, i: number): number[] {
  const { fastener, firstOf, next } = fastenerChains(plant);
  const chain = fastener[i]!;
  if (chain < 0) return [];
  const tries: number[] = [];
  for (let k = firstOf[chain]!; k >= 0; k = next[k]!) tries.push(k);
  return tries.length > 1 ? tries : [];
}

function remarksOf(plant: Plant, i: number): Said[] {
  const { judged } = plant;
  const chains = fastenerChains(plant);
  const bits = judged.reasons[i]!;
  const remarks: Said[] = [];
  if (judged.onLimit[i] === 1) remarks.push(said('readings.on-limit', {}));
  // Bits 2 and 8: torque high, angle high.
  if ((bits & (2 | 8)) !== 0) remarks.push(said('readings.needs-loosening', {}));
  if ((bits & 4) !== 0 && chains.attempt[i]! >= 2 && chains.loosened[i] !== 1) {
    remarks.push(said('readings.short-angle', {}));
  }
  if (secondPulls(plant).has(i)) remarks.push(said('readings.second-pull', {}));
  if (chains.chainBy[i] === 2) remarks.push(said('readings.by-time-only', {}));
  return remarks;
}

function torqueValue(plant: Plant, i: number, revision: LimitRevision | null): DetailValue | null {
  const { readings, judged } = plant;
  const recorded = present(readings.torque[i]!);
  if (recorded === null) return null;
  const value = {
    recorded,
    decimals: readings.decimals[i]!,
    unit: unitOf(plant, i),
    judged: present(judged.torque[i]!),
    judgedUnit: judgedUnitOf(plant, i),
    low: revision?.low ?? null,
    high: revision?.high ?? null,
  };
  return {
    ...value,
    target: revision?.target ?? null,
    place: present(judged.torquePlace[i]!),
    said: said('readings.value', {
      ...value,
      revision: revision?.label ?? null,
      outcome: outcome(judged.reasons[i]!, ['torque-low', 'torque-high']),
    }),
  };
}

function angleValue(plant: Plant, i: number, revision: LimitRevision | null): DetailValue | null {
  const { readings, judged } = plant;
  const recorded = present(readings.angle[i]!);
  if (recorded === null) return null;
  const value = {
    recorded,
    decimals: Number.isInteger(recorded) ? 0 : 1,
    unit: 'deg' as const,
    judged: present(judged.angle[i]!),
    judgedUnit: 'deg' as const,
    low: revision?.angleLowDeg ?? null,
    high: revision?.angleHighDeg ?? null,
  };
  return {
    ...value,
    target: revision?.angleTargetDeg ?? null,
    place: present(judged.anglePlace[i]!),
    said: said('readings.value', {
      ...value,
      revision: revision?.label ?? null,
      outcome: outcome(judged.reasons[i]!, ['angle-low', 'angle-high']),
    }),
  };
}

function outcome(bits: number, of: readonly FailReason[]): string | null {
  return failReasons(bits).find((reason) => of.includes(reason)) ?? null;
}

/** The working of an adapter in use at the reading. */
function adapterSaid(plant: Plant, i: number): Said | null {
  const { readings, register } = plant;
  const tool = register.tools[readings.tool[i]!];
  const recorded = present(readings.torque[i]!);
  if (!tool || recorded === null || tool.adapters.length === 0) return null;
  const at = readings.at[i]!;
  const period = Number.isNaN(at)
    ? tool.adapters.length === 1
      ? tool.adapters[0]
      : undefined
    : tool.adapters.findLast((one) => at >= one.from && at < (one.to ?? Number.POSITIVE_INFINITY));
  if (!period) return null;
  const factor = adapterFactor(period.lengthMm, period.offsetMm, period.angleDeg);
  if (factor === null) return null;
  const reading = Math.abs(recorded);
  return said('review.sentences', {
    parts: [
      said('readings.adapter', {
        reading,
        length: period.lengthMm,
        offset: period.offsetMm,
        angle: period.angleDeg,
        factor,
        fastener: reading * factor,
        unit: unitOf(plant, i),
      }),
      said('readings.adapter-hand', {
        percent: 100 * handShiftEffect(period.lengthMm, period.offsetMm, period.angleDeg, 10),
      }),
    ],
  });
}

/** Up to three readings of the same tool before and after, in force, in time order. */
function sameToolAround(plant: Plant, i: number): { before: ReadingRow[]; after: ReadingRow[] } {
  const { order, readings } = plant;
  const tool = readings.tool[i]!;
  const here = order.indexOf(i);
  const collect = (step: 1 | -1): number[] => {
    const found: number[] = [];
    for (let k = here + step; k >= 0 && k < order.length && found.length < neighbours; k += step) {
      const other = order[k]!;
      if (readings.tool[other] === tool && readings.inForce[other] === 1) found.push(other);
    }
    return found;
  };
  if (here < 0) return { before: [], after: [] };
  return {
    before: collect(-1)
      .reverse()
      .map((k) => readingRow(plant, k)),
    after: collect(1).map((k) => readingRow(plant, k)),
  };
}

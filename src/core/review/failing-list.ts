import type { FailingList, FailingRow } from '../contract/models/review-model.ts';
import { verdictPass } from '../judging/judged.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { present, readingRow, unitOf } from '../readings/reading-row.ts';
import { type Said, said } from '../text/said.ts';
import { fastenerChains } from './chains.ts';
import { readingLine } from './reading-line.ts';
import type { ReviewTally } from './review-tally.ts';
import { secondPulls } from './second-pulls.ts';

export const mostFailingRows = 500;
const neighbours = 3;
/** How far the order is searched for the readings of the same tool around one. */
const searched = 2000;

/** Failing readings in time order with what became of them. `causeKey` names the row of the cause table. */
export function failingList(
  plant: Plant,
  tally: ReviewTally,
  causeKey: (position: number) => string,
  most: number,
): { list: FailingList; rowOf: Map<number, number> } {
  const chains = fastenerChains(plant);
  const { judged } = plant;
  let inside = 0;
  let firstTries = 0;
  for (let k = 0; k < tally.failing.length; k++) {
    const i = tally.failing[k]!;
    if (chains.first[i] !== 1) continue;
    firstTries++;
    if (judged.verdict[chains.lastOf[chains.fastener[i]!]!] === verdictPass) inside++;
  }
  const listed = tally.failing.subarray(0, most);
  const rowOf = new Map<number, number>();
  listed.forEach((i, row) => {
    rowOf.set(i, row);
  });
  const around = aroundOf(plant, listed);
  return {
    rowOf,
    list: {
      said: said('review.failing-head', {
        total: firstTries,
        inside,
        not: firstTries - inside,
        listed: tally.failing.length > most ? most : firstTries,
      }),
      total: firstTries,
      rows: Array.from(listed, (i, row) => failingRow(plant, i, causeKey, around[row]!)),
    },
  };
}

function failingRow(
  plant: Plant,
  i: number,
  causeKey: (position: number) => string,
  around: { before: string[]; after: string[] },
): FailingRow {
  const note = plant.notes.get(i)?.at(-1) ?? null;
  const chains = fastenerChains(plant);
  return {
    ...readingRow(plant, i),
    outcome: outcomeOf(plant, i),
    question: questionOf(plant, i),
    disposition: plant.notes.get(i)?.findLast((one) => one.disposition !== 'note')?.disposition ?? null,
    noteBy: note?.by ?? null,
    noteMs: note?.decidedMs ?? null,
    cause: chains.first[i] === 1 ? causeKey(i) : null,
    said: readingLine(plant, i),
    ...around,
  };
}

/** What followed a failing reading, or what must follow. */
function outcomeOf(plant: Plant, i: number): Said | null {
  const { readings, judged } = plant;
  const chains = fastenerChains(plant);
  const next = chains.next[i]!;
  if (next >= 0) {
    const loosened = chains.loosened[next] === 1;
    return said('review.outcome-next', {
      loosened,
      pass: judged.verdict[next] === verdictPass,
      torque: present(readings.torque[next]!),
      decimals: readings.decimals[next]!,
      unit: unitOf(plant, next),
      angle: present(readings.angle[next]!),
      angleShort: !loosened && (judged.reasons[next]! & 4) !== 0,
    });
  }
  if ((judged.reasons[i]! & 4) !== 0 && chains.attempt[i]! >= 2 && chains.loosened[i] !== 1) {
    return said('review.outcome-short-angle', { attempt: chains.attempt[i]! });
  }
  if ((judged.reasons[i]! & (2 | 8)) !== 0) return said('review.outcome-needs-loosening', {});
  return said('review.outcome-open', {});
}

function questionOf(plant: Plant, i: number): Said | null {
  if (!secondPulls(plant).has(i)) return null;
  const { readings } = plant;
  // The fastener pulled before, where positions are known.
  const before = [...previousOfTool(plant, i)][0] ?? -1;
  const number = before < 0 ? -1 : readings.batchPosition[before]!;
  return said('review.second-pull', { number: number >= 0 ? number : null });
}

function* previousOfTool(plant: Plant, i: number): Generator<number> {
  const { order, readings } = plant;
  let k = indexInOrder(plant, i);
  for (let steps = 0; k > 0 && steps < searched; steps++) {
    const other = order[--k]!;
    if (readings.tool[other] === readings.tool[i] && readings.inForce[other] === 1) {
      yield other;
      return;
    }
  }
}

const inverse = new WeakMap<Plant, Uint32Array>();

/** Place of a position in the time order. */
export function indexInOrder(plant: Plant, i: number): number {
  let index = inverse.get(plant);
  if (!index) {
    index = new Uint32Array(plant.order.length);
    for (let k = 0; k < plant.order.length; k++) index[plant.order[k]!] = k;
    inverse.set(plant, index);
  }
  return index[i]!;
}

/** Up to three readings of the same tool before and after each. */
function aroundOf(plant: Plant, listed: Uint32Array): { before: string[]; after: string[] }[] {
  const { order, readings } = plant;
  const collect = (i: number, step: 1 | -1): string[] => {
    const found: string[] = [];
    let k = indexInOrder(plant, i) + step;
    for (let steps = 0; k >= 0 && k < order.length && steps < searched && found.length < neighbours; steps++) {
      const other = order[k]!;
      if (readings.tool[other] === readings.tool[i] && readings.inForce[other] === 1) {
        found.push(readingName(readings, other));
      }
      k += step;
    }
    return found;
  };
  // Context for every row of a long list would cost more than the list: the drawer asks for it again.
  return Array.from(listed, (i, row) =>
    row < 300 ? { before: collect(i, -1).reverse(), after: collect(i, 1) } : { before: [], after: [] },
  );
}

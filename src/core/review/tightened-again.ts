import type { AgainChain, AgainModel } from '../contract/models/review-model.ts';
import { failReasons, verdictPass } from '../judging/judged.ts';
import { type Plant, readingName } from '../readings/plant.ts';
import { chainByName, fastenerName, present, unitOf, verdictName } from '../readings/reading-row.ts';
import { said } from '../text/said.ts';
import { fastenerChains } from './chains.ts';
import type { ReviewTally } from './review-tally.ts';

const mostChains = 200;

/** Fasteners tightened again, in order of their first try: what followed, and whether loosening is shown. */
export function tightenedAgain(plant: Plant, tally: ReviewTally): AgainModel {
  const chains = fastenerChains(plant);
  const { judged } = plant;
  let loosened = 0;
  let notLoosened = 0;
  let inside = 0;
  for (let k = 0; k < tally.again.length; k++) {
    const i = tally.again[k]!;
    const how = looseningOf(plant, i);
    if (how === 'yes') loosened++;
    else if (how === 'needed') notLoosened++;
    if (judged.verdict[chains.lastOf[chains.fastener[i]!]!] === verdictPass) inside++;
  }
  return {
    said: said('review.again', { total: tally.again.length, loosened, notLoosened, inside }),
    total: tally.again.length,
    loosened,
    notLoosened,
    endsInside: inside,
    chains: Array.from(tally.again.subarray(0, mostChains), (i) => againChain(plant, i)),
  };
}

/**
 * Whether a fastener was loosened between its tries: `yes` is proven by a reading in the other direction; `needed`: a try
 * was too high, which tightening on cannot cure, or a later try is short in angle, and nothing proves loosening.
 */
function looseningOf(plant: Plant, first: number): 'yes' | 'needed' | 'unknown' {
  const { next, loosened } = fastenerChains(plant);
  const { reasons } = plant.judged;
  let proven = false;
  let needed = false;
  for (let i = first; i >= 0; i = next[i]!) {
    if (loosened[i] === 1) proven = true;
    else if (i !== first && (reasons[i]! & 4) !== 0) needed = true;
    if (next[i]! >= 0 && loosened[next[i]!] !== 1 && (reasons[i]! & (2 | 8)) !== 0) needed = true;
  }
  return needed ? 'needed' : proven ? 'yes' : 'unknown';
}

function againChain(plant: Plant, first: number): AgainChain {
  const { readings, register, judged } = plant;
  const { next } = fastenerChains(plant);
  const tries: AgainChain['tries'][number][] = [];
  let last = first;
  for (let i = first; i >= 0; i = next[i]!) {
    last = i;
    tries.push({
      id: readingName(readings, i),
      at: present(readings.at[i]!),
      place: present(judged.torquePlace[i]!),
      anglePlace: present(judged.anglePlace[i]!),
      reasons: failReasons(judged.reasons[i]!),
      verdict: verdictName(judged.verdict[i]!),
      torque: present(readings.torque[i]!),
      unit: unitOf(plant, i),
      angleDeg: present(readings.angle[i]!),
    });
  }
  const joint = register.joints[readings.joint[first]!]?.name ?? null;
  const loosened = looseningOf(plant, first);
  const chainBy = chainByName(plant, first) ?? 'time';
  const endsInPass = judged.verdict[last] === verdictPass;
  return {
    joint,
    tool: register.tools[readings.tool[first]!]?.serial ?? null,
    fastener: fastenerName(plant, first),
    chainBy,
    loosened,
    endsInPass,
    tries,
    said: said('review.again-chain', {
      joint,
      tries: tries.length,
      loosened,
      inside: endsInPass,
      byTime: chainBy === 'time',
    }),
  };
}
